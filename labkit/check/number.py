"""Questions whose answer is a number with a unit."""

import re
from itertools import combinations
from typing import Final

import attrs

from labkit.check.marked import Marked, Outcome
from labkit.check.phrase import Phrase, phrase
from labkit.errors import UnitError, shortened
from labkit.units import quantity, si, unit_label

COUNT: Final = "count"
"""The kind of a number of things, which has no unit."""

_WHOLE: Final = re.compile(r"[0-9]{1,6}")


@attrs.frozen(kw_only=True)
class Slip:
    """A way to go wrong, with what it comes to for the numbers of one question.

    Attributes
    ----------
    name : str
        What trainers call it.
    values : tuple of float
        What it gives, worked in US or in metric units [SI].
    hint : Phrase
        What to say to one who made it.
    """

    name: str
    values: tuple[float, ...]
    hint: Phrase


@attrs.frozen(kw_only=True)
class NumberQuestion:
    """A question that a number with a unit answers.

    Attributes
    ----------
    name : str
        What the answer is kept by.
    label : str
        What stands beside the box.
    ask : Phrase
        The question.
    answer : float
        The right answer [SI].
    kind : str
        What it measures, as `labkit.units` names it, or ``"count"``.
    tolerance : float
        How far off still counts as right, as a share of the answer.
    slips : tuple of Slip
        Wrong answers that are known.
    hints : tuple of Phrase
        For other wrong answers, one after the other, each a smaller step.
    reason : Phrase
        Why the right answer is right.
    """

    name: str
    label: str
    ask: Phrase
    answer: float
    kind: str
    tolerance: float = 0.02
    slips: tuple[Slip, ...] = ()
    hints: tuple[Phrase, ...]
    reason: Phrase


def is_clear(question: NumberQuestion) -> bool:
    """Say whether no answer can be taken for two slips, or for a slip and the right answer."""
    readings = [(question.answer,), *(slip.values for slip in question.slips)]
    return all(
        abs(one - other) > question.tolerance * (abs(one) + abs(other))
        for some, others in combinations(readings, 2)
        for one in some
        for other in others
    )


def read_number(typed: str, kind: str) -> float:
    """Read a typed answer as an SI number.

    Raises
    ------
    UnitError
        With one sentence on what to write.
    """
    if kind != COUNT:
        return si(quantity(typed, unit_label(kind, "US")))
    if not _WHOLE.fullmatch(typed.strip()):
        raise UnitError("write a whole number, such as '3'")
    return float(typed)


def mark_number(question: NumberQuestion, typed: str, *, tries: int = 0) -> Marked:
    """Mark a typed answer.

    Parameters
    ----------
    question : NumberQuestion
        What was asked.
    typed : str
        A number with its unit, in any unit that fits.
    tries : int
        How many wrong answers came before: later hints take smaller steps.
    """
    written = shortened(typed.strip()) or "nothing"
    try:
        given = read_number(typed, question.kind)
    except UnitError as problem:
        checked = phrase("In the box: {written}.", written=written)
        words = str(problem)
        said = phrase("{problem}.", problem=words[:1].upper() + words[1:].rstrip("."))
        return Marked(outcome=Outcome.UNREAD, said=said, checked=checked)
    checked = phrase(
        "Checked: {written}. Up to {tolerance} off counts as right.",
        written=written,
        tolerance=(question.tolerance, "percent"),
    )
    if _is_near(given, question.answer, question.tolerance):
        return Marked(outcome=Outcome.RIGHT, said=question.reason, checked=checked)
    slip = _slip_of(question, given)
    hint = slip.hint if slip else question.hints[min(tries, len(question.hints) - 1)]
    name = slip.name if slip else ""
    return Marked(outcome=Outcome.NOT_YET, said=hint, checked=checked, slip=name)


def _slip_of(question: NumberQuestion, given: float) -> Slip | None:
    """Give the slip whose value an answer matches."""
    for slip in question.slips:
        if any(_is_near(given, value, question.tolerance) for value in slip.values):
            return slip
    return None


def _is_near(given: float, wanted: float, tolerance: float) -> bool:
    return abs(given - wanted) <= tolerance * abs(wanted) * (1.0 + 1e-9)
