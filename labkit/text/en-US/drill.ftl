# The fault drill: what its page says.

number = My number
line = Line
line-here = this lesson's ranch
line-unseen = a new ranch for every number
faults = Faults
one = one
two = two
deal = Get a service call
call = What they tell you
next-faults = How many faults: that counts for the next call. This one stays open.
wait = Working it out, a few seconds …
wait-debrief = Handed back. Looking for the cheapest way to know, a few seconds …
task = { $task } ({ $minutes } min)
clock = { $clock }; { $minutes } min spent.
log = Your notebook
empty = Nothing read yet. Choose a test.
when = Time
done = What you did
read = What you read
story = “{ $title }”: the static level in the well is { $lift } down. The { $far } is at the end of { $way } of pipe, { $rise } { $side } the gauge. The switch is set to cut in at { $low } and out at { $high }. Here { $stop } contact tells the controller to stop; “held” means that it got that signal. The sky is clear. You get there at { $clock }, three hours after stock drank.
story-above = above
story-below = below
story-one = trough
story-many = farthest trough
story-two = There are two faults. Repair them one at a time.
group-wellhead = At the wellhead, the well and the panels
group-trough = At the trough “{ $where }”

diagnosis = What is wrong?
way = Name it
way-list = from a list
way-typed = from memory
typed = The part and what's wrong with it
typed-example = such as “worn belt”
taken-for = Taken as: { $fault }.
unknown-name = Nothing that can go wrong here goes by that name. Name the part and what's wrong with it.
choose = choose …
where = Where is the { $fault }
at = { $fault } { $where }
size = { $fault } ({ $size })
at-size = { $fault } { $where } ({ $size })
at-trough = at “{ $where }”
in-run = in the run to “{ $where }”
unplaced = None of these tests tells one run of pipe from another, so its place isn't asked. In the field, the valves at the tees would close in on it.
suspect = { $fault }: { $brief }
leak = { $flow } at { $pressure }

# Repair and proof.
first = What do you do before you start?
first-note = Check what this job needs. A step that is skipped shows up in the debrief.
step-controller-off = Switch the controller off, lock it and tag it
step-bleed = Bleed the pressure to zero, and see that it's there
step-hands-clear = Tie the lid up, keep hands clear, watch for stock
step-locate = Call 811, and have private lines found
step-relief = Check that the relief valve works
step-licensed = Get the licensed electrician or pump installer
repair = Repair it
prove = Watch one full cycle at “{ $where }” ({ $minutes } min)
hand-back = Hand the line back
hint = I'm stuck. Give me a hint ({ $minutes } min)
give-up = Show me the answer
name-one = Name what is wrong first.
repaired = Done: { $fault }. It took { $minutes } min and ${ $dollars }. Was that it? Nobody can tell yet. Test the line again, watch one full cycle, then hand it back.
trip = You handed it back, and they called again: it isn't right yet. The second trip took { $minutes } min and ${ $dollars }.
bill = { $count ->
    [one] One good part was repaired or replaced
   *[other] { $count } good parts were repaired or replaced
}{ $trips ->
    [0] {""}
    [one] , and one trip was for nothing
   *[other] , and { $trips } trips were for nothing
}: { $minutes } min and ${ $dollars } on top of your tests.
hint-against = Look again at what you read at { $times }. With “{ $fault }” it would not be so.
hint-test = A test that you haven't done would tell a lot here: { $task }.
hint-none = You have read all that the cheapest way needs. Compare each reading with the day the line was commissioned.

# Debrief.
passed = Found well: no good part replaced, every step taken, and proved. Tests took { $minutes } min; par is { $par } min.
missed = It works again. This call doesn't count as found well, because:
missed-left = You asked for the answer.
missed-wrong = A good part was replaced, or the line was handed back before it was right.
missed-unproved = You handed it back without watching a full cycle after the repair.
missed-steps = You skipped a step that keeps people safe.
missed-luck = Your tests left { $count } other faults open, so the right name was partly luck: { $names }.
missed-par = Tests and hints took { $minutes } min; par is { $par } min.
skipped = Skipped before “{ $what }”: { $step }.
the-proof = the full cycle
was = It was: { $faults }.
your-tests = Your tests in their order, and what each added
it-told = What it told
told = Ruled out: { $names }.
told-many = Ruled out { $count } causes. Still open after it: { $names }.
narrowed = Ruled out some sizes or places, but no cause as a whole.
late = Nothing new: your earlier tests had ruled that out. As a second look before you dig or pull a pump it is worth its minutes.
alike = This test could tell nothing, because every cause still open can read the same there.
cheapest = The cheapest way to know takes { $minutes } min:
cheap-is-no-proof = That is enough here, where all but the fault is as the as-built sheet says. On a real line, take the test that shows the place before anybody digs or pulls a pump.
left = No test tells it from: { $faults }.
mend = Repair: { $repair }
cautions = Take care: { $cautions }

# Calls so far.
streak = { $count } of { $all } in a row on ranches you hadn't seen, each found well.
mastered = Mastered: { $all } ranches in a row that you hadn't seen, each found well.
calls = My calls
calls-when = Day
calls-ranch = Ranch
calls-number = Number
calls-minutes = Tests (min)
calls-result = Result
result-passed = found well
result-missed = not yet
record-title = When this line was commissioned
record-note = The installer's readings on the day of the hand-over, float by float. Compare them with yours.
record-test = Test
record-read = Read then
