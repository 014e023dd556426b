# The printed sheet of mastery, for a learner and for a trainer.

title = What I can show
whose = { $name }, { $day }
whose-none = Name: ______________________, { $day }
link = { $link } to print: your visits and calls so far, with room for a signature.
file = Save your mastery sheet
visits = Setting up a new line
visit-goal = The mark: one visit to a line you hadn't seen, with all four readings right, no slip in procedure, and a setting that works from weak sun to strong.
calls = Fault finding
call-goal = The mark: { $all } ranches in a row that you hadn't seen. Each time the right part at the first repair, the line proved, every safety step taken, and tests within { $par } min.
reached = Reached
not-reached = Not reached yet
visit-count = { $passed } of { $all ->
    [one] 1 line
   *[other] { $all } lines
} passed at the first visit.
call-count = Most in a row so far: { $count } of { $all }.
day = Day
line = Line
kind = What kind of line
points = Points
missed = Readings missed
slips = Slips
minutes = Minutes
ranch = Ranch
wrong = Wrong repairs
hints = Hints
result = Result
passed = passed
failed = not yet
none = None so far.
kept = The lines are simulated. This sheet shows practice; it is no license. Work on a real line only as far as local codes and your license allow.
signed = Seen by: ______________________   Date: ______________
