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
