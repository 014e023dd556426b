"""What is asked in lessons and exercises: formulas that work out the answers, away from notebooks.

Each module goes with a file of the bank of the same name (`labkit.questions.bank`).
"""
