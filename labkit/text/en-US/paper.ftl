# What stands on paper in place of a live page.

because = Because
blank = ________
you-said = You said (copy it here)
run-showed = The run showed
so = Same, or something to find out?

# the line in a picture

sketch = The line: height above the gauge ({ $unit })
sketch-distance = Distance along the pipe ({ $unit })
sketch-gauge = gauge and switch{ "\u000A" }well: water { $depth } down
sketch-trough = { $name }: { $rise } up,{ "\u000A" }{ $way } of pipe
sketch-trough-below = { $name }: { $rise } down,{ "\u000A" }{ $way } of pipe
sketch-alt = The line from the gauge at the well to its troughs. { $troughs }

# the rig

rig-sheet = Commissioning sheet
rig-whose = My number: { $number }   Date: ____________   Sky: ____________________
rig-rest = Pump off, float down: the gauge falls to
rig-filling = Full sun, float down: the gauge stands at
rig-haze = Shade cloth, float up: the gauge ends at
rig-gauge = Gauge
rig-limits = The limits, read from the gauge
rig-so = So
rig-above = cut-in must lie above this
rig-over = cut-out must lie above this
rig-under = cut-out must lie below this
rig-halfway = Halfway between the last two
rig-aim = my aim for cut-out
rig-tries = The tries, one line each
rig-try = Try
rig-turns = Screw turns, in or out
rig-stop = Gauge at stop
rig-start = Gauge at start
rig-contact = Contact at stop
rig-remark = Sun, cloth, float; what I heard; remark
rig-left = Handed over: cut-in ________   cut-out ________   air in the tank ________   minutes ________

# the drill

drill-sheet = Case sheet
drill-whose = My number: { $number }   Date: ____________   Minutes in all: ________
drill-reported = What was reported
drill-tests = The tests, each with its price. Number them in the order in which you do them
drill-order = No.
drill-test = Test
drill-minutes = min
drill-read = What I read, and what it rules out
drill-faults = What it can be. Cross out what a reading rules out; tick what is left
drill-found = It is: ______________________________   because: ______________________________________
