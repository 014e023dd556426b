# What `labkit diagnose` asks and says.

title = { $site }: what could be wrong
conditions = Float worked: { $trough }. Sun: { $sun }.
no-readings = No readings yet. Every cause in the list is still open. Start with the first test below.
likely = What fits your readings
cause = { $chance } · { $name }{ $brief }
place-at = at { $place }
place-most = most likely at { $place } ({ $chance })
size = about { $size }
excluded = { $count ->
    [one] Your readings rule out one cause: { $names }.
   *[other] Your readings rule out { $count } causes: { $names }.
}
open = Still possible: { $names }.
pairs = Two faults at once would also fit: { $names }.
sound = nothing wrong
sound-brief = . The line does what it should for these readings. If the trouble comes and goes, read it again while it's there.
none = none of these
none-brief = . The cause isn't in this list, or a reading is off.
misfit = No cause in the list fits all your readings.
odd = { $count ->
    [one] One reading doesn't go with the others. Take it again: { $names }.
   *[other] Take these again. Leaving out any one of them, the rest fit: { $names }.
}
odd-all = Leaving out any single reading doesn't help. Check the site file (well, pump, pipe, switch) and take the readings again.
settled = That settles it as far as these tests can.
next = Next test
next-row = { $minutes } min · { $name }: { $how }
next-also = After that: { $names }.
repair = What to do: { $repair }
unsure = More than one cause is still open. Don't dig, pull the pump or buy parts yet.
ranges = What this page allows for: the water level may be 8% off, well drawdown 40 to 60%, pump head 6%, panel power 12%, pipe bore 3%, float flow 25 to 30%, switch points 1 1/2 psi, a cheap gauge about 1 psi. Chances are only as good as these ranges.
log-found = From the log: { $stops ->
    [one] one stop
   *[other] { $stops } stops
} in { $hours } h. The pump stops at about { $top } and starts at about { $low }{ $wait }.
log-wait = , { $wait } after a stop
log-stock = The log is read as if no stock drank between a stop and the next start. Use hours when none did.
log-empty = The log shows no full stop and start, so it adds no reading. It is still drawn.
ask-intro = Type what you read, with its unit. Press Enter to skip anything you didn't measure.
ask = { $label }{ $choices }:{" "}
ask-sun = Sun ({ $choices }, or W/m²) [full sun]:{" "}
no-start = no start in an hour

picture-title = Pressure at the switch after a stop
picture-log = logger
picture-sound = computed, nothing wrong
picture-cause = computed, { $name }
picture-time = minutes after a stop
picture-pressure = pressure ({ $unit })

# The page, and the way to it from the home page.
home-link = Type what you read on your own line.
home-rest = You get the causes that fit, the ones that are ruled out, and the next test.
which-line = Which line?
own-file = Choose your site file
demo = Or try a demo ranch
line = The line is { $title }. A fault is looked for on this very line, so its site file must be right.
worked = Trough whose float you work
sun-seen = Sun as you see it
what-read = What did you read?
how-typed = Skip what you didn't measure. A number without a unit is taken in the unit beside its box.
not-read = (not read)
never = or "never"
own-log = Choose a logger's table (CSV)
work = What fits?
every = Show every reading
working = Trying every suspect on this line. The first time takes some seconds.
picture-alt = Pressure at the switch after a stop: { $name }, over what is computed for a good line and for the likeliest cause.
unexpected = Something unexpected happened ({ $what }). What you typed is still here.

# Readings: what stands at the question, with its instrument.
reading-pump-filling = Pump with the float at { $trough } held down
reading-gauge-filling = Gauge, settled, with the float at { $trough } held down
reading-bucket = Flow at { $trough } with the float held down, by bucket and watch
reading-bucket-one-inch-down = Flow at { $trough } with the float held one inch down
reading-gauge-at-the-float = Second gauge just ahead of the float valve at { $trough }, float held down
reading-stop = What the pump does after you lift every float
reading-gauge-at-the-stop = Highest the gauge goes after you lift every float
reading-gauge-after-ten-minutes = Gauge ten minutes after that, floats still up
reading-stop-to-start = Time from the stop to the next start, floats still up
reading-start = What the pump does after the float at { $trough } goes down again
reading-gauge-at-the-start = Gauge at the moment the pump starts
reading-float-down-to-start = Time from float down to pump start
reading-still-runs-in = Flow that still runs in at { $trough } with the float lifted
reading-fall-shut-off = Drop in ten minutes, controller off, line shutoff valve closed
reading-fall-open = Drop in ten minutes, controller off, valve open, floats up
reading-contact-filling = Switch contact while filling, pair taken off
reading-contact-stopped = Switch contact after the stop, pair taken off
reading-lever-up = Switch contact with its lever up, pair taken off
reading-lever-down = Switch contact with its lever down, pair taken off
reading-controller = What the controller's lights say with the float at { $trough } held down
reading-wellhead = Fittings, drain and relief valve at the wellhead
reading-shutoff-valve = Handle of the line shutoff valve
reading-pair-filling = Pair at the controller while filling
reading-pair-stopped = Pair at the controller after the stop
reading-pair-ohms = Ohms of the pair at the controller, lever held where the contact closes
reading-insulation = Insulation of the motor lead, as a licensed electrician reads it
reading-leads-swapped = Water at the troughs with two motor leads swapped
reading-gauge-drained = Gauge with the manifold drained
reading-tank-air = Tank precharge, tank empty of water
reading-well-at-rest = Depth to water, pump off
reading-well-pumping = Depth to water, pump running
reading-array-power = Power the panels can give now
reading-pipe-size = Print on the pipe to { $trough }

# Answers to a reading that is a word.
word-runs = runs
word-off = off
word-starts-and-stops = starts and stops
word-stops = stops
word-keeps-running = keeps running
word-locks-out = locks out
word-was-off = was off
word-starts = starts
word-stays-off = stays off
word-open = open
word-closed = closed
word-resting = resting
word-running = running
word-held = held
word-locked-out = locked out
word-dry = dry
word-wet = wet
word-showing-a-fault-code = a fault code
word-relieving = wet: the relief valve is running
word-no-reading = no reading (open line)
word-a-few-ohms = no more than the controller allows
word-too-many-ohms = hundreds of ohms or more
word-good = good
word-low = low
word-more-water = more water
word-less-water = less water
word-no-water = no water either way
word-partly-closed = partly closed
word-as-designed = as designed
word-smaller = smaller
# Other ways to type that nothing started.
typed-never = never; none; no start; not in an hour

# Tests: how each is done, and what can hurt.
test-fill = fill
    .how = Hold the float at { $trough } down, tie the others up, and wait until the needle settles. Listen for the pump.
test-bucket = bucket
    .how = With the float at { $trough } held down, time a bucket at the valve.
test-one-inch = one inch down
    .how = Hold the float at { $trough } one inch below where it closes, and time a bucket.
test-second-gauge = second gauge
    .how = Put a second gauge on the last tee or plug ahead of the float valve at { $trough }, hold the float down, and read it.
    .caution = Caution: Bleed pressure to zero before you open anything. Keep hands out from under lids and floats.
test-stop = stop
    .how = While the pump runs, tie every float up. Watch the gauge climb. Note the highest reading and whether the pump stops.
    .caution = Caution: On a positive-displacement pump, check the relief valve first. Never deadhead one without a working relief valve.
test-ten-minutes = ten minutes
    .how = Leave the line alone for ten minutes after the stop, floats up. Read the gauge.
test-wait = stop to start
    .how = Leave the floats up and time how long the pump stays off. Give it up to an hour.
test-start = start
    .how = Let the float at { $trough } down again. Time the wait and read the gauge when the pump starts.
test-lifted-float = lifted float
    .how = Lift the float at { $trough } all the way and catch what still runs in.
    .caution = Caution: Keep hands out from under lids and floats, and watch for stock.
test-shut-off = shutoff valve closed
    .how = After a stop, switch the controller off, close the line shutoff valve, and watch the gauge for ten minutes.
    .caution = Caution: Don't run the pump against a closed valve. Open the valve before you switch the controller back on.
test-open-line = valve open
    .how = After a stop, switch the controller off, leave the line shutoff valve open and the floats up, and watch the gauge for ten minutes.
test-contact-filling = contact while filling
    .how = While the line fills, take the pair off the switch and meter its contact on ohms.
    .caution = Caution: Meter the signal pair only, with the controller off. Controller terminals can be live. Leave wiring to a licensed electrician.
test-contact-stopped = contact after the stop
    .how = After the stop, take the pair off the switch and meter its contact on ohms.
    .caution = Caution: Meter the signal pair only, with the controller off. Controller terminals can be live. Leave wiring to a licensed electrician.
test-wellhead = look at the wellhead
    .how = Look over the fittings, the drain and the relief valve for drips, and check that the line shutoff valve is all the way open.
test-lights = controller lights
    .how = With the float at { $trough } held down and the gauge low, read what the controller says.
test-lever = switch lever
    .how = Controller off and the pair taken off the switch, work its lever by hand and meter the contact in both positions.
    .caution = Caution: Controller terminals can be live. Meter the signal pair only. Leave wiring to a licensed electrician.
test-pair-filling = pair while filling
    .how = While the line fills, meter the signal pair at the controller end.
    .caution = Caution: Controller terminals can be live. Leave wiring to a licensed electrician.
test-pair-stopped = pair after the stop
    .how = After the stop, meter the signal pair at the controller end.
    .caution = Caution: Controller terminals can be live. Leave wiring to a licensed electrician.
test-ohms = ohms of the pair
    .how = Controller off and the pair taken off there, have the switch's lever held where its contact closes, and meter the pair on ohms.
    .caution = Caution: Controller terminals can be live. Meter the signal pair only. Leave wiring to a licensed electrician.
test-insulation = insulation of the motor lead
    .how = Ask a licensed electrician to test the insulation of the motor lead to ground, in megohms, with the lead off the controller.
    .caution = Caution: Panels are live in daylight, and an insulation tester puts hundreds of volts on the lead. Leave it to a licensed electrician.
test-swap = swap two motor leads
    .how = Ask a licensed electrician to swap two of the three motor leads and start the pump with every float down. More water means it turned backward before.
    .caution = Caution: Panels are live in daylight. Leave the motor leads to a licensed electrician.
test-drain = drain
    .how = Switch the controller off, close the line shutoff valve, bleed the manifold to zero and read the gauge.
    .caution = Caution: Bleed pressure to zero before you open anything.
test-tank = tank
    .how = Switch the controller off, drain the tank, and read its air with a tire gauge.
    .caution = Caution: Bleed pressure to zero before you open anything.
test-well-at-rest = well at rest
    .how = With the pump off for an hour, sound the well.
    .caution = Caution: Keep everything that goes down a drinking-water well clean. Leave the well to a licensed pump installer.
test-well-pumping = well pumping
    .how = With the float at { $trough } held down and the pump running, sound the well.
    .caution = Caution: Keep everything that goes down a drinking-water well clean. Leave the well to a licensed pump installer.
test-array = panel power
    .how = Have the power that the panels can give measured.
    .caution = Caution: Panels are live in daylight. Only a qualified person measures them.
test-pipe = pipe print
    .how = Expose the pipe to { $trough } where it surfaces and read its print.
    .caution = Caution: Call 811 before you dig, and find your own private lines.
