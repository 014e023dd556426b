# A quiz drawn from the exercises: sheets, the trainer's key, and a screen for the whole class.

title = Quiz
key = Key to the quiz
caution = For the trainer. These are the answers: don't leave them at the printer.
caution-screen = Live panels and trapped pressure hurt people. On a real line, follow local codes, and leave electrical and well work to licensed people.
number = Number { $number }
name = Name ______________________   Date ______________
story = The line for questions { $first } to { $last }
story-one = The line for question { $first }
line = A line
question = Question { $number } of { $all }
answer = Answer
show = Show the answer
next = Next
back = Back
slip = A known slip
page = From exercise
nothing-to-ask = { $page }: it has no questions that a sheet can ask; leave it out
too-many = { $count } questions are asked for, and the exercises have { $all }; ask for fewer
