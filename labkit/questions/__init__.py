"""Marking of answers: units, tolerance, the slips that people make, and one hint at a time.

Nothing here draws or formats: what is said comes as a `Phrase`, words with amounts in SI, which
the view writes out in the units that the learner reads. The keys of lessons and exercises are in
`labkit.questions.keys`, so that no notebook holds an answer.
"""

from labkit.questions.draw import draw, learner_number, rng_of
from labkit.questions.marking import (
    ChoiceQuestion,
    MarkResult,
    NumberQuestion,
    Option,
    Outcome,
    Slip,
    is_unambiguous,
    mark_choice,
    mark_number,
)
from labkit.questions.phrase import Amount, Phrase, phrase

Question = ChoiceQuestion | NumberQuestion  # what can be asked
