# What is said of an answer besides its question's own hints and reasons.

choose-first = Choose one of the answers first.
nothing-chosen = Nothing was chosen.
checked-choice = Checked: answer { $letter }.
nothing = nothing
in-the-box = In the box: { $written }.
checked = Checked: { $written }. Up to { $tolerance } off counts as right.
close-enough = Close enough: { $answer }.
close-enough-gauge = Close enough: { $answer }; no gauge in the field reads finer.
which-unit = { $number } what? Choose { $units }.
or = { $all } or { $last }
too-many-files = { $count } more files; { $most } are read at most

# Numbers that may be typed as words.
number-0 = zero none no never
number-1 = one once
number-2 = two twice
number-3 = three
number-4 = four
number-5 = five
number-6 = six
number-7 = seven
number-8 = eight
number-9 = nine
number-10 = ten
number-11 = eleven
number-12 = twelve
