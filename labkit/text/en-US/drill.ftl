# What the drill says of the as-built record and of wrong diagnoses.

record-title = When this line was commissioned
record-note = The installer's readings on the day of the hand-over, float by float. Compare them with yours.
record-test = Test
record-read = Read then
cost = Acting on that would have cost { $minutes } min and ${ $dollars }, and the line would still be down.
bill = { $count ->
    [one] One wrong diagnosis
   *[other] { $count } wrong diagnoses
} so far: { $minutes } min and ${ $dollars } on top of your tests.
