# The commissioning rig: a site visit on a new line. The story, the buttons, the log, the debrief.

come = Start the job
job = “{ $title }” is new. The static level in the well is { $lift } down. { $pump }
trough = “{ $name }” is { $far } of pipe away and { $rise ->
    [level] level with the gauge.
   *[other] { $height } { $rise } the gauge.
}
crest = On the way to “{ $name }” the line crosses high ground { $height } above the gauge, with an air vent on it.
pump-centrifugal = The pump is a centrifugal one.
pump-displacement = The pump is a positive-displacement pump, and a relief valve sits at the manifold.
stop-closed = The controller stops the pump when the pair is closed.
stop-open = The controller stops the pump when the pair is open.
label = The label of the switch says { $low } and { $high }, but no two springs are alike. One turn of the range nut moves cut-in by about { $per_low } and cut-out by about { $per_high }; loosening it lowers both.
nut = One turn of the differential nut moves cut-out alone by about { $per_nut }; tightening it raises cut-out.
tank = The pressure tank came with { $air } of air.
rating = The weakest part of the line is good for { $rating }, measured at the gauge.
noon = On a clear day the sun on the array reaches { $noon } around noon.
helper = A helper with a radio waits by the floats. The troughs are nearly empty, and no stock come today.
goal = Set the switch so that the pump stops in any sun from { $least } up, and never while a trough fills. Some lines can’t be set at all: then hand over what the line needs instead. A visit passes when all four readings are on the sheet (three where no setting works), no one was put at risk, and the line works.

# groups of buttons, each with the caution that fits
group-floats = Floats
group-sun = Sun on the array
group-wires = Controller and wires
group-pressure = Pressure
group-switch = Pressure switch
group-look = Wait and look
group-sheet = Your sheet
group-leave = Leave
caution-sun = Panels are live in daylight, even under a cloth. Cover them evenly, and not in wind.
caution-wires-closed = Turn the controller off before you touch a wire. With the pair off nothing stops this pump: in strong sun keep a float down.
caution-wires-open = Turn the controller off before you touch a wire. With the pair off this controller would stop, so a jumper goes across its terminals. Nothing stops the pump then: in strong sun keep a float down.
caution-wires-displacement = Never deadhead this pump without a working relief valve: check the valve first.
caution-pressure = Bleed pressure to zero before you open anything. The needle should then rest at zero.

always-shut = Hold “{ $where }” up ({ $minutes } min)
always-open = Push “{ $where }” down ({ $minutes } min)
floats = Let “{ $where }” go ({ $minutes } min)
bucket = Time a bucket at “{ $where }” ({ $minutes } min)
plug = Pull the plug of “{ $where }” and let it run out ({ $minutes } min)
cloth-on = Hang cloths down to { $sun } ({ $minutes } min)
cloth-off = Take the cloths off ({ $minutes } min)
power-off = Controller off, locked ({ $minutes } min)
power-on = Controller on ({ $minutes } min)
pair-off = Take the pair off ({ $minutes } min)
pair-on = Put the pair back on ({ $minutes } min)
relief = Check the relief valve ({ $minutes } min)
bleed = Close the line valve and bleed off ({ $minutes } min)
refill = Close the drain, open the line valve ({ $minutes } min)
test-gauge = Install the test gauge ({ $minutes } min)
air-read = Read the tank’s air ({ $minutes } min)
air-to = Precharge
air = Set the tank’s air ({ $minutes } min)
by = Turn by
quarter = 1/4 turn
half = 1/2 turn
whole = 1 turn
double = 2 turns
screw-out = Loosen the range nut, lower ({ $minutes } min)
screw-in = Tighten the range nut, higher ({ $minutes } min)
nut-in = Tighten the differential nut, cut-out higher ({ $minutes } min)
nut-out = Loosen the differential nut, cut-out lower ({ $minutes } min)
meter = Meter the contact ({ $minutes } min)
wait = Wait { $minutes } min
day = Leave it safe for the night, return tomorrow
write = Write it on the sheet
sheet-static = Pump off, line full
sheet-filling = Filling, strong sun
sheet-dead-head = Deadheaded, weak sun
sheet-peak = Highest at the stop
sheet-unread = “{ $name }”: write a pressure such as { $example }, not { $typed }.
hint = I’m stuck. Give me a hint.
hand-over = Hand over the line
remedy = What it needs
hand-remedy = Hand over: no setting works
again = Start this line over

# what was done
did-come = Came to the line
did-wait = Waited { $minutes } min
did-meter = Metered the contact
did-float-always-shut = Held “{ $where }” up
did-float-always-open = Pushed “{ $where }” down
did-float-floats = Let “{ $where }” go
did-screw = Range nut { $turns }
did-nut = Differential nut { $turns }
did-cloth-on = Hung cloths down to { $sun }
did-cloth-off = Took the cloths off
did-power-off = Turned the controller off
did-power-on = Turned the controller on
did-pair-off = Took the pair off
did-pair-on = Put the pair back on
did-relief = Checked the relief valve
did-bleed = Closed the line valve and bled off
did-refill = Closed the drain, opened the line valve
did-test-gauge = Installed the test gauge
did-bucket = Timed a bucket at “{ $where }”
did-plug = Let “{ $where }” run out
did-air-read = Read the tank’s air
did-air-set = Set the tank’s air to { $pressure }
did-air-refused = Tried the tank’s air; water still holds against it
did-sheet = Wrote on the sheet: { $reading } { $pressure }
did-day = Let the floats go, took the cloths off, turned the controller off; returned the next morning
did-leave = Turned to go
turned-out = { $turns } looser
turned-in = { $turns } tighter

# what was heard and read
switch-trips = the switch clicks over at { $gauge }
switch-resets = the switch clicks back at { $gauge }
pump-starts = the pump starts
pump-stops = the pump stops
highest = the needle goes up to { $gauge }
runs-over = a shout from a trough whose float is down: it runs over
more = and { $count } more
nothing = nothing
read = The gauge shows { $gauge }. The pump { $pump }. The sun meter shows { $sun }.
read-own = The line’s own gauge shows { $own }.
read-contact = The contact is { $contact }.
read-air = The air gauge shows { $air }.
read-bare = Beside the cloths the sun is { $sun }.
read-flow = The bucket fills at { $flow }.
read-relief = The plate says { $opens }; the lever lifts and water comes.
now = { $clock }. Work so far: { $worked } min. Settings tried: { $tries }.
state-float = “{ $where }” { $held }, water { $level } deep of { $depth }
held-always-shut = held up
held-always-open = pushed down
held-floats = free
state-floats = Floats: { $floats }.
state-nut = Range nut: { $turns }.
state-small = Differential nut: { $turns }.
as-came = as it came
state-cloth = Cloths hang over the array.
state-off = The controller is off.
state-pair = The pair is off.
state-bled = The line valve is closed and the drain open.
state-air = Precharge: { $air }.
picture = A pressure gauge at the manifold. { $read }
log = What you did
when = Time
did = Done
heard = What you heard
gauge = Gauge
pump = Pump
sun = Sun
other = Other readings

# hints
hint-no-stop-in-this-sun = Every float is up and the pump runs, but in this sun the gauge ends at { $now }. Cut-out is higher than that. The strongest sun would bring it to { $most }, so at noon it may stop; in haze it won’t.
hint-never-trips = Every float is up and the pump runs, but the gauge ends at { $now } now and at { $most } in the strongest sun. Cut-out is above both, so no sun will trip the switch.
hint-still-climbing = Every float is up and the gauge is still climbing. In this sun it would end at { $now } if nothing stopped the pump. Wait a minute and read again.
hint-ends-here = The pair is off and every float is up: the gauge ends at { $now } in this sun. If this is the weakest sun that counts, this reading belongs on the sheet.
hint-weak-sun = The pump is off because the sun is too weak, not because of the switch. Wait for the cloud to pass, or return tomorrow.
hint-under-the-cloth = The pump is off because there is too little sun, not because of the switch. Wait for the cloud to pass, or take the cloths off.
hint-dark = The sun is down. Nothing can be tried before morning: leave the line safe for the night and return tomorrow.
hint-locked = The controller has locked out to save the pump. It waits until the sun is gone.
hint-over-rating = Caution: cut-out is above what the line may see, { $limit } at the gauge. { $where } sets that limit. Loosen the range nut before you go on.
hint-over-torque = Caution: above { $limit } the pump pushes too hard and the controller locks out. Loosen the range nut before you go on.
hint-holds = The switch has tripped with every float up, as it should. Now push a float down, listen for the click and read the gauge: that is cut-in. Then test it in haze.
hint-holds-in-haze = The switch has tripped in haze with every float up: that’s what you want. Take the cloths off, push a float down, listen for the click and read the gauge: that is cut-in.
hint-holds-from-before = The switch tripped before the cloths hung, and the check valve has held the pressure since. Haze has not been tested yet. Push a float down until the pump runs, then hold it up again.
hint-comes-back-while-full = The switch clicked back at { $now } with every float up, so water is getting away: check valve, float seat or line. No adjustment fixes that. Find the leak first.
hint-stuck-off = “{ $where }” is open and needs water, but the column of water alone keeps the gauge at { $static }. Cut-in is lower, so the pump won’t restart.
hint-false-stop = The switch tripped at { $running } while water still ran into “{ $where }”. Cut-out is too close to the pressure at which the line fills.
hint-still-falling = “{ $where }” is open and the gauge is still falling. Wait a minute and listen for the click: that is cut-in.
hint-air-over-cut-in = The tank’s air is { $air }, above cut-in, so the tank is empty before the pump restarts. Set it { $under } below the cut-in that you found.
hint-fills = The pump runs and water flows at { $running }. In strong sun, cut-out must be above this reading. Write it on the sheet.
hint-fills-several = Water flows to several floats at once at { $running }. Hold up all but one and read each by itself in strong sun: the highest reading counts.
hint-fills-in-haze = The pump runs under the cloths at { $running }. Now hold every float up. Where does the gauge end? Cut-out must be below that.
hint-bled = The manifold is bled off. Do what needs an open fitting, then close the drain and open the line valve.
hint-controller-off = The controller is off. With the line full and the highest float pushed down, the needle comes to rest at what the column of water alone holds: cut-in must be above that.

# leaving
problem-undone = Not yet, and it goes on record that you turned to go. Before you leave, put this right: { $what }.
undone-float = “{ $where }” is still held
undone-cloth = the cloths still hang
undone-pair = the pair is off
undone-refill = the drain is open
undone-power = the controller is off
not-done = { $problem } Nothing was changed.

# the debrief
passed = Passed. Write both points, the precharge and the date inside the cover of the switch.
not-passed = Not passed yet. What is missing is told below, part by part.
part = Part
points = Points
of = of
why = Why
part-readings = Readings
part-procedure = Procedure and safety
part-outcome = Does it work
part-minutes = Minutes of work
total = Total
why-readings = { $right } of { $all } readings taken and written as they were.
why-procedure = { $count ->
    [0] Nothing left out, no one put at risk.
    [one] One thing to do otherwise: see below.
   *[other] { $count } things to do otherwise: see below.
}
why-works = The judge ran it in weak, middling and strong sun: { $verdict }.
why-remedy-right = No setting works on this line, and your remedy is one that it needs.
why-remedy-wrong = No setting works on this line, but your remedy doesn’t help. These would: { $remedies }.
why-remedy-needless = A setting would have worked on this line.
why-hopeless = { $verdict }. No setting works on this line; it needs another remedy: { $remedies }.
why-minutes = You worked { $minutes } min. { $free } are free, then every { $per } cost a point. Waiting costs nothing.
why-no-minutes = Counts only for a line that works.
left-at = You left it at { $low } and { $high }; { $margin ->
    [past] a limit is passed by { $by }.
   *[in] the nearest limit is { $by } away.
}
reading = Reading
wrote = You wrote
had = The line had
verdict = Result
right = right
not-written = not on the sheet
not-taken = never read as it must be: { $how }
wrong-reading = not what the gauge showed then
how-static = pump off, line full, the highest float down, needle at rest
how-filling = one float down, the highest, pump running in strong sun
how-dead-head = every float up, pump running, pair off, sun at { $least }
how-peak = strong sun, every float up, the switch trips
slips = Procedure and safety
slip-live-wires = You moved wires with the controller on. Turn it off and lock it first: the terminals may be live.
slip-under-pressure = You opened a fitting under pressure. Bleed to zero first: a plug can fly, and water finds eyes.
slip-relief-unchecked = You deadheaded a positive-displacement pump before checking its relief valve. Without a working one it can burst the line.
slip-past-rating = The pressure went past what the weakest part of the line is good for. With the pair off only an open float or a cloth holds it down in strong sun.
slip-ran-over = A trough ran over while its float was pushed down. Mud at a trough hurts stock; watch the level and let the float go in time.
slip-left-undone = You turned to go with something held, off or open.
slip-unproved = You left without proof: after the last turn, one stop and one restart by the switch itself.
slip-air-off = The precharge doesn’t follow cut-in. Set it { $under } under the cut-in that you heard, with the tank drained.
run = Show
run-visit = Your visit
run-clear = Clear day after you left
run-hazy = Hazy day after you left
kept = Visits passed so far: { $passed } of { $all }. The last one: line { $number }, { $score } points.
as-left = This is your visit as you left it.
answer = cut-in { $low }, cut-out { $high }
remedy-weak-sun-left-out = accept that it won’t stop in weak sun
remedy-leaks-repaired = repair the leaks
remedy-smaller-differential = a smaller differential
remedy-crisper-float-valve = a crisper float valve
remedy-bigger-float-valve = a bigger float valve
remedy-tank = a pressure tank, or a larger one
remedy-more-array = more panels
remedy-stronger-pipe = stronger pipe
remedy-bigger-pipe = bigger pipe
remedy-another-stop-signal = another stop signal: wire or radio
sheet-title = Commissioning sheet
sheet-whose = Line number: { $number }
sheet-limits = Four readings
sheet-reads = Gauge
sheet-so = What it means
sheet-means-static = cut-in must be above
sheet-means-filling = cut-out must be above
sheet-means-dead-head = cut-out must be below
sheet-means-peak = no rating may be below
sheet-tries = Settings
sheet-try = No.
sheet-turns = Turns
sheet-over = Trips at
sheet-back = Resets at
sheet-contact = Contact
sheet-remark = Remark

# Where a nut turns no further.
stud-ends = the stud of the range nut ends before that
thread-ends = the thread of the differential nut ends before that
spring-slack = loosened that far, the spring of the switch hangs slack
no-closer = the cut-in and cut-out of this switch come no closer together
