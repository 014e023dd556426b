# The settings card.

title = Settings card: { $site }
range = For sun of { $low } to { $high } on the array.
mains = For a grid-powered pump.
fill-in = Date: ____________   Gauge checked: ______   By: ______________

# settings

set = Set it
cut-in = Cut-in
cut-out = Cut-out
differential = Differential
precharge = Precharge (tank empty)
right-within = right within { $off }
on-the-mark = exactly
how = How
how-1 = Controller off and locked off. Bleed the pressure to zero; drain the tank.
how-2 = Set the precharge to { $p }.
how-3 = Turn the nuts until the gauge shows these two pressures as the switch clicks.
how-4 = On the switch assumed here that is about: { $turns } The gauge decides.
how-5 = Prove it: see the table.
how-5-sensors = Prove it with every trough below the mark of its level sensor, so that only the switch can stop the pump.
room = Limits: cut-in above { $static }, cut-out between { $floor } and { $ceiling }. With no switch the pump could reach { $push }.
to-widen = To get more margin: { $remedy }
push = { $low } in haze, { $high } at noon

# proving

first = Before you set it
prove = Prove it: what gauge, bucket and watch show
step = Step
noon = Noon, { $sun }
haze = Haze, { $sun }
any-time = Any time
you-read = You read
filling = Only { $name } filling: gauge, flow
gauge-and-flow = { $gauge }, { $flow }
no-water = { $gauge }, no water
more-troughs = ({ $count } more: see labkit window)
ok-gauge = { $by }
ok-gauge-and-flow = { $by }, 10%
ok-time = a fifth, or 3 s
ok = Right within
lift = All floats held up: switch trips after
peak = Highest gauge on the way
holds = Gauge 10 minutes after the pump stops
back = { $name }'s float down: pump restarts after
rest = Controller off, line drained down to { $name }: gauge

# signs

signs = If you see this, do that
see = You see
suspect = Suspect
do = Do
locks-out = The pump stops by itself at a gauge of { $at } or less, and the controller shows a lockout. Good sun doesn't restart it.
locks-out-do = Do not keep resetting it. Sound the well, look for a half-closed valve or a clogged line; then have the pump looked at.
runs-on = Floats up, the gauge goes past { $past } on its way to { $top }, and the pump keeps running.
runs-on-do = Disconnect the pair. Check the contact at the switch, then the pair at the controller. Readings differ: repair the pair. Readings match: suspect the nipple or the switch.
stays-off = Good sun, a float down, the gauge under { $cut_in }, and the pump stays off.
stays-off-do = A fault code: have the motor lead's insulation tested, then the controller and motor. No code: disconnect the pair. Check the contact at the switch, then the pair at the controller. Readings differ: repair the pair. Readings match: install the switch action that the controller needs.
stalls = Clear noon, floats up: the gauge levels off short of { $cut_out }, and the pump hums. It should be able to reach { $push }.
stalls-do = Wash the array and look for shade. If that is not it, the trouble is in the well: after electrical work, ask whether two motor leads are swapped. Do not chase it with the range nut.
short-of-water = Clear noon, the float at { $name } down: the bucket catches { $under } or less. It should be { $good }.
short-of-water-do = Look at the array for dust and shade, sound the well at rest and pumping, bleed the high points; only then think of pipe or pump.
stops-early = Clear noon, the float at { $name } down: the gauge reads over { $over } (it should be { $good }), or the switch trips.
stops-early-do = Look for a half-closed valve, a clogged strainer at the float valve, or smaller pipe: read its print (the next size down gives { $high }).
never-back = A float is down and the float valve is dry. The gauge stays at { $stands } and falls no more. The pump never starts.
never-back-do = That is static head. Set cut-in back to { $cut_in }.
falls-shut-in = Controller off, the line shutoff valve closed: the gauge falls by { $fall } { $takes }. It should hold.
falls-shut-in-do = The loss is on the well side. Check fittings, drain and the shutoff valve itself first; then the check valve, a drop-pipe joint or the pitless seal.
falls-open = It holds with that valve closed; with it open, floats lifted, the gauge falls by { $fall } { $takes }.
falls-open-do = Lift the float and look: a drip into the trough is its seat. Dry: the leak is in the ground. Close in on it with valves.
back-at-once = The float at { $name } goes down, and the pump restarts within { $waits }. It should take about { $good }.
back-at-once-do = Controller off, drain the tank, read its precharge: { $charge }. If the air valve spits water, replace the tank.

# signs on the mains

stays-off-mains = A float down, the gauge under { $cut_in }, and the pump stays off.
stalls-mains = Floats up: the gauge levels off short of { $cut_out }, and the pump hums. It should be able to reach { $push }.
stalls-do-mains = The trouble is in the well: after electrical work, ask whether two motor leads are swapped. Do not chase it with the range nut.
short-of-water-mains = The float at { $name } down: the bucket catches { $under } or less. It should be { $good }.
short-of-water-do-mains = Sound the well at rest and pumping; only then think of the pump.
stops-early-mains = The float at { $name } down: the gauge reads over { $over } (it should be { $good }), or the switch trips.
locks-out-mains = The pump stops by itself at a gauge of { $at } or less, and the controller shows a lockout.

# cautions

live = Panels are live in daylight, and so may the controller be. Meter the signal pair only; leave the rest, and all work in the well, to licensed people.
live-mains = The starter is live until its feed is locked off, and so may the signal pair be. Leave both, and all work in the well, to licensed people.
holds-pressure = The line holds its pressure after the pump has stopped: bleed it to zero before you open anything.
displacement = This pump can burst a closed line: never run it with the relief valve shut off, missing or untested.
lids = Lids are heavy. Never go into a tank or a well pit. Keep hoses out of the water, so that nothing is sucked back.
codes = The makers' instructions and local codes go before this card.
weak-sun-stop = In sun under { $sun } the pump keeps running below cut-out, floats up. Dawn, dusk and smoke do that. Nothing is broken, but a pump must not deadhead for hours: ask its maker how long it may.
relief = The relief valve is set at { $opens }: above cut-out and its overshoot, below the weakest rating. It must sit ahead of any shutoff.

# assumptions

assumed = Assumptions and sources
as-stated = Well, pump, array, pipe, floats and tank as the site file states them.
as-stated-mains = Well, pump, pipe, floats and tank as the site file states them.
water = Water at { $temperature }; { $column }. Air pressure of { $elevation } (standard atmosphere).
Darcy-Weisbach = Friction by Darcy-Weisbach.
Hazen-Williams = Friction by Hazen-Williams, C = { $c }.
preset = The switch assumed here comes set at { $low } and { $high }; a turn of its range nut moves them by { $per_in } and { $per_out }, of the small nut cut-out by { $per_nut } ({ $source }).
ok-means = Right within: { $by }, the error of a gauge or a switch (common practice); a tenth of a flow and a fifth of a time (a judgment).
starts = Starts an hour: { $starts } at most in the trials; the motor can take { $most } ({ $source }).
under = Tank charged { $under } below cut-in (Water Systems Council, Pressure Tanks, 2007).
rating = Pipe kept under { $share } of its rating in water as warm, for water hammer (Missouri Livestock Watering Systems Handbook, ch. 5, 1997).
sun-range = Noon and haze are the two ends of the sun planned for (common practice).
faults = Signs: each fault was put into this very line, at a middling size ({ $leak } for leaks), at noon, and run. Those that do not show are left out.
faults-mains = Signs: each fault was put into this very line, at a middling size ({ $leak } for leaks), and run. Those that do not show are left out.
made-by = Made with labkit { $version }. Numbers are computed; the gauge on site decides.

# the sketch

sketch = Grade lines: how high the water would climb in an open hose
running-line = running at noon, { $name } filling
running-line-mains = running, { $name } filling
static-line = at rest, { $name }'s float down
height-axis = Height above the gauge ({ $unit })
distance-axis = Distance along the pipe ({ $unit })
trip = cut-out { $p }
reset = cut-in { $p }
well = well: water { $depth } down
sketch-alt = Ground along the pipe with troughs { $troughs }. Running at noon with { $name } filling the grade line falls from { $high } at the gauge to { $low } at the trough; at rest it is level at { $static }.
sketch-alt-mains = Ground along the pipe with troughs { $troughs }. Running with { $name } filling the grade line falls from { $high } at the gauge to { $low } at the trough; at rest it is level at { $static }.
trough-at = { $name } at { $height }

# no card

no-card = There is no card for { $site }: { $why }
