# What the pages' scripts say: the header of a lesson, and what moves on the home page.
# Each is one plain line; the page itself puts the values in.

home = Home
contents = Contents
previous = Previous
next = Next
lessons = Lessons
exercises = Exercises
units = Units
show-code = Show the code
hide-code = Hide the code
answered = { $done } of { $asked } answered

opening = Opening the page …
starting = Starting the part that computes …
getting-ready = Getting ready: { $part }
getting-ready-here = Getting ready: { $part } …
next-part = the next part
page = the page
not-trusted = This lesson did not start by itself, because it does not come from this copy of the lessons.
start = Start it
stopped = The part that computes has stopped. Your answers and settings are kept.
start-again = Start it again
on-paper = A browser prints only the part of this page that is on the screen. For all of it on paper, type labkit handout and the lesson's number in a terminal.

type-a-value = { $name }, type a value

play = Play
pause = Pause
pressure = { $psi } psi
cut-out = cut-out { $psi } psi
cut-in = cut-in { $psi } psi
pump-runs = pump runs
pump-off = pump off
exercise = exercise
loading = Getting ready
closed = labkit has been closed. Start it again with: labkit open
