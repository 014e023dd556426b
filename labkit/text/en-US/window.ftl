# The operating window, told and drawn.

title = { $site }: where to set the pressure switch
range = for sun from { $low } to { $high }
mains = for a grid-powered pump

# bounds

static = Cut-in above { $p }: with the pump off, the water standing up to { $where }{ $crest } still puts that much on the gauge. Set it lower, and the pump never restarts.
over-crest = { " " }(by way of the high ground before it)
no-static = Cut-in at { $least } or more: no trough is above the switch, so no static head holds it up, but the switch's spring needs that much.
running = Cut-out above { $p }: the gauge shows that much when only { $where } fills and its float valve begins to close{ $sun }. Set it lower, and the pump stops before the trough is full.
dead-head = Cut-out below { $p }: with every float valve shut the pump deadheads at that pressure{ $sun }. Set it higher, and the pump won't stop.
no-dead-head = Cut-out: no setting will work, because the pump lifts no water to the switch{ $sun }.
torque-limit = Cut-out below { $p }: above that the pump needs so much torque against the closed line that the controller locks out.
pipe-rating = Cut-out below { $p }: the overshoot after the stop must leave the pipe to { $where } under 72% of its rating, because of water hammer.
float-holds = Cut-out below { $p }: above that the pressure forces the float valve at { $where } open.
relief-valve = Cut-out below { $p }: above that the relief valve opens and water is lost.
from-sun = { " " }(in sun of { $sun } or more)
in-sun = { " " }in sun of { $sun }

# the troughs

trough = { $name }: { $static } at rest, { $least } to { $most } while it fills, the most when its float valve begins to close.
trough-alike = { $name }: { $static } at rest, { $most } while it fills.
crest = The high ground on the way keeps { $static } on the gauge at rest once air has come in there; at first it may show as little as { $low }.
all-open = All float valves wide open: { $p }. All shut: { $low } to { $high }.
all-open-alike = All float valves wide open: { $p }. All shut: { $high }.

# the setting

setting = Set cut-in at { $cut_in } and cut-out at { $cut_out } by the gauge, a differential of { $differential }.
right-if = It is right if cut-in is { $off_in }, and cut-out { $off_out }.
right-within = within { $off } of that
on-the-mark = exactly there
precharge = Set the precharge to { $p } with the tank empty of water, { $under } below cut-in.
turns = On the switch assumed here, which comes set at { $low } and { $high } and moves by { $per_in } and { $per_out } a turn ({ $source }), that is about: { $turns }
range-nut = range nut { $turns }.
common = common practice
measured = as the site file says
nut = Then the small differential nut { $turns }.
out = { $turns } out
in = { $turns } in
no-turn = as it is
one-turn = { $turns } turn
more-turns = { $turns } turns
gauge = The gauge decides, not the count: no two switches are alike.
margin = The nearest limit is { $margin } away; the stop overshoots by up to { $overshoot }.
narrow = The window is narrow: there is less than { $by } of room on one side, and a gauge or a switch may be off by that much. Check the gauge first.
starts = Tried like this in weak, middling and strong sun. Most starts within an hour: { $starts }.
slow = Stock that drink slowly, one after another, can start the pump up to { $starts } times an hour while they stay; the motor can take about { $most }.
slow-cured = A pressure tank of { $volume } keeps it to that; take the next size your dealer stocks.
slow-uncured = No tank up to { $volume } keeps it to that.
empty = The window is empty: no setting stops the pump in every sun and fills every trough.
empty-by = Cut-out would have to be above { $low } and below { $high } at once.
refused = No setting works. The pressures leave room, but the best setting, { $cut_in } and { $cut_out }, fails when it is tried: { $what }
level-sensor = This line is stopped by a level sensor. The pressure switch is not used to stop it, so there is nothing to set.

# the switch as it stands

own = As it is set now ({ $cut_in } and { $cut_out }): { $what }
own-by-level = As it is now: { $what }

# the picture

picture-title = { $site }: window for the switch
pressure-axis = Pressure at the switch ({ $unit })
height-axis = The same as feet of water ({ $unit })
row-filling = only { $name } fills
row-shut = every float valve closed
row-pipe-rating = pipe to { $where }, 72%
row-float-holds = float at { $where } holds
row-relief-valve = relief valve opens
row-torque-limit = torque limit
key = diamond: pump off, float valve open   { $bars }shaded: window for cut-out
key-none = diamond: pump off, float valve open   { $bars }crossed: where the two limits overlap
bars = bars: from the weakest sun ({ $low }) to the strongest ({ $high }){ "   " }
weakest-sun = weakest sun
weakest-sun-at = weakest sun, { $p }
strongest-sun = strongest sun
room = Cut-out between { $low } and { $high }
no-room = No window: { $low } is above { $high }
point-cut-in = cut-in { $p }
point-cut-out = cut-out { $p }
alt = Picture of the pressures that limit the switch.{ " " }

# remedies

remedies = Any one of these fixes it, the easiest first:
remedy = One change was found that fixes it. { $what }
with-tank = A pressure tank of at least { $tank } and one thing more. { $what }
weak-sun-left-out = Give up on weak sun: plan for { $after } and stronger. In weaker sun the pump then deadheads, so ask its maker how long it may.
leaks-repaired = Repair what leaks: the pipe, the float valves' seats, the check valve.
smaller-differential = Use a smaller differential: { $before } now, { $after } will do.
crisper-float-valve = Float valves that close more crisply{ $at }: within the last { $after } of depth; now it takes { $before }.
at-trough = { " " }at { $where }
bigger-float-valve = A bigger float valve at { $where }: at least { $after } at the same pressure ({ $before } now). Take the next size your dealer stocks.
tank = A pressure tank of at least { $after }{ $instead }. Take the next size your dealer stocks.
instead = { " " }in place of { $before }
more-array = A bigger array: at least { $after } in place of { $before }. Take the next panel size up.
stronger-pipe = Stronger pipe to { $where }: { $after } in place of { $before }.
bigger-pipe = Bigger pipe to { $where }: { $after } in place of { $before }.
whole-way = Bigger pipe for the whole run: { $after } in place of { $before }.
another-stop-signal = Another stop signal: a level sensor in the trough, by wire or radio, needs no window.
no-remedy = None of the single changes tried here helps.

# no tank

no-tank = This line has no pressure tank. Starts an hour while a trough tops up: { $starts } at most.
no-tank-needed = That is few enough to do without, as long as stock drink their fill and go.
tank-cures = A tank of { $volume } brings that down to { $less }; take the next size your dealer stocks.
no-tank-cures = No tank up to { $volume } brings that down far enough.

# cautions

low-water = with every float valve open the pump draws the well down to its intake.
locks = while { $where } fills, the pump needs too much torque and the controller locks out.
weak-sun = { $where } gets no water in sun under { $sun }.
leaks = with every float valve shut the line still loses water, so the pump restarts by itself again and again: repair the leak, the float valve's seat or the check valve.
no-reach = the pump cannot lift water to { $where } in any of this sun.
late-stop = beyond the high ground the pipe drains while { $where } fills. In sun of { $sun } the pump takes about { $lasts } to refill the pipe after the float valve closes, and only then does it stop. Nothing is broken.
late-anytime = beyond the high ground the pipe drains while { $where } fills. The pump takes about { $lasts } to refill the pipe after the float valve closes, and only then does it stop. Nothing is broken.
never-starts = as the switch is made and wired, the controller sees a stop signal even at zero pressure, so the pump never starts: check the switch's action, its contact and its wires.
never-stops = as the switch is made and wired, it can't send the controller a stop signal: check its action, its contact, its wires and its nipple.
mind = Caution: { $what }
