"""Questions with a number or a choice for an answer, and how an answer is marked."""

import re
from enum import Enum
from itertools import combinations
from typing import Final

import attrs

from labkit.errors import NoUnitError, UnitError, shortened
from labkit.questions.phrase import Amount, Phrase, phrase
from labkit.text import sentence, template
from labkit.units import quantity, si, unit_label
from labkit.units.customary import PSI


class Outcome(Enum):
    """How an answer came out."""

    RIGHT = "right"
    NOT_YET = "not yet"
    UNREAD = "unread"


@attrs.frozen(kw_only=True)
class MarkResult:
    """An answer after marking."""

    outcome: Outcome  # right, not yet, or not to be read at all
    said: Phrase  # the reason why it is right, or one hint, or what to write instead
    checked: Phrase  # what was looked at
    slip: str = ""  # name of the slip that the answer matches; empty for none

    @property
    def is_right(self) -> bool:
        """Whether it is right."""
        return self.outcome is Outcome.RIGHT


COUNT: Final = "count"  # the kind of a number of things, which has no unit

NEAR: Final = 0.05
"""How far off a reading still is near, as a share of the answer: what a gauge shows (judgement)."""

HALF_A_POUND: Final = 0.5 * PSI
"""How far off a pressure still is near [Pa]: half of a gauge's finest mark (common practice)."""

SLIP: Final = 0.02
"""How near an answer must be to what a slip comes to, as a share, to be told of that slip: a
reason that is not one's own teaches nothing."""

_WHOLE: Final = re.compile(r"(?:about |~ ?)?(?P<whole>[0-9]{1,6})(?:\.0*)?(?: [a-z]{1,12})?\.?")
_COUNTED: Final = 12
"""The largest number that may be typed as a word."""
_LONGEST_COUNT: Final = 20
_FRACTION: Final = {"1/2": "½", "1/4": "¼", "3/4": "¾"}


@attrs.frozen(kw_only=True)
class Slip:
    """A way to go wrong, with what it comes to for the numbers of one question."""

    name: str  # what trainers call it
    values: tuple[float, ...]  # what it gives, worked in US or in metric units [SI]
    hint: Phrase  # what to say to one who made it


@attrs.frozen(kw_only=True)
class NumberQuestion:
    """A question that a number with a unit answers."""

    name: str  # what the answer is kept by
    label: str  # what stands beside the box
    ask: Phrase
    answer: float  # the right answer [SI]
    kind: str  # what it measures, as `labkit.units` names it, or ``"count"``
    tolerance: float = 0.02  # how far off still counts as right, as a share of the answer
    slips: tuple[Slip, ...] = ()  # wrong answers that are known
    hints: tuple[Phrase, ...]  # for other wrong answers, one after the other, each a smaller step
    reason: Phrase  # why the right answer is right


def is_unambiguous(question: NumberQuestion) -> bool:
    """Whether no answer can be taken for two slips, or for a slip and the right answer."""
    readings = [(question.answer,), *(slip.values for slip in question.slips)]
    return all(
        abs(one - other) > question.tolerance * (abs(one) + abs(other))
        for some, others in combinations(readings, 2)
        for one in some
        for other in others
    )


def read_number(typed: str, kind: str) -> float:
    """Return a typed answer as an SI number, or raise UnitError with what to write."""
    if kind != COUNT:
        return si(quantity(typed, unit_label(kind, "US")))
    plain = " ".join(typed[:40].lower().split())
    word = plain.split(" ")[0].rstrip(".")
    known = {
        one: number
        for number in range(_COUNTED + 1)
        for one in sentence("marking", f"number-{number}").split()
    }
    if word in known and len(plain) < _LONGEST_COUNT:
        return float(known[word])
    match = _WHOLE.fullmatch(plain)
    if match is None:
        raise UnitError("write a whole number, such as '3'")
    return float(match["whole"])


def mark_number(question: NumberQuestion, typed: str, *, tries: int = 0) -> MarkResult:
    """Mark a typed answer; later hints, after some wrong `tries`, take smaller steps."""
    written = shortened(typed.strip()) or sentence("marking", "nothing")
    try:
        given = read_number(typed, question.kind)
    except UnitError as problem:
        checked = phrase(template("marking", "in-the-box"), written=written)
        said = phrase("{problem}", problem=unread(problem, question.kind))
        return MarkResult(outcome=Outcome.UNREAD, said=said, checked=checked)
    near = 0.0 if question.kind == COUNT else max(NEAR, question.tolerance)
    checked = phrase(template("marking", "checked"), written=written, tolerance=(near, "percent"))
    if _is_near(given, question.answer, question.tolerance):
        return MarkResult(outcome=Outcome.RIGHT, said=question.reason, checked=checked)
    slip = _slip_of(question, given)
    if slip is None and near and _is_close(given, question, near):
        return MarkResult(outcome=Outcome.RIGHT, said=_close_enough(question), checked=checked)
    hint = slip.hint if slip else question.hints[min(tries, len(question.hints) - 1)]
    name = slip.name if slip else ""
    return MarkResult(outcome=Outcome.NOT_YET, said=hint, checked=checked, slip=name)


def unread(problem: UnitError, kind: str) -> str:
    """Say in a sentence why an answer cannot be read: of a number alone, what is missing."""
    if isinstance(problem, NoUnitError):
        *others, last = dict.fromkeys(unit_label(kind, system) for system in ("US", "metric"))
        units = sentence("marking", "or", all=others[0], last=last) if others else last
        number = _FRACTION.get(problem.number, problem.number)
        return sentence("marking", "which-unit", number=number, units=units)
    words = str(problem).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."


def _is_close(given: float, question: NumberQuestion, near: float) -> bool:
    """Whether nobody could read the difference from the answer."""
    room = HALF_A_POUND if question.kind == "pressure" else 0.0
    return abs(given - question.answer) <= max(room, near * abs(question.answer)) * (1.0 + 1e-9)


def _close_enough(question: NumberQuestion) -> Phrase:
    """Say what it comes to, and why that is right."""
    key = "close-enough-gauge" if question.kind == "pressure" else "close-enough"
    words = template("marking", key).replace("{answer}", "{the answer}")  # a reason may name one
    amounts = {"the answer": Amount(question.answer, question.kind), **question.reason.amounts}
    return Phrase(f"{words} {question.reason.words}", amounts)


def _slip_of(question: NumberQuestion, given: float) -> Slip | None:
    """Return the slip whose value an answer matches, and closely: its hint must be its own."""
    tolerance = min(question.tolerance, SLIP)
    for slip in question.slips:
        if any(_is_near(given, value, tolerance) for value in slip.values):
            return slip
    return None


def _is_near(given: float, wanted: float, tolerance: float) -> bool:
    return abs(given - wanted) <= tolerance * abs(wanted) * (1.0 + 1e-9)


@attrs.frozen(kw_only=True)
class Option:
    """One sentence to choose."""

    words: Phrase  # the sentence
    said: Phrase  # why it is right, or the hint for one who chose it
    is_right: bool = False  # whether it is the answer
    slip: str = ""  # what trainers call the belief behind a wrong one


@attrs.frozen(kw_only=True)
class ChoiceQuestion:
    """A question that one of several sentences answers."""

    name: str
    ask: Phrase
    options: tuple[Option, ...]

    def __attrs_post_init__(self) -> None:
        """Hold to exactly one right answer."""
        if sum(option.is_right for option in self.options) != 1:
            raise ValueError(f"{self.name}: exactly one option must be right")

    @property
    def answer(self) -> int:
        """Place of the right option."""
        return next(n for n, option in enumerate(self.options) if option.is_right)


def mark_choice(question: ChoiceQuestion, chosen: int | None) -> MarkResult:
    """Mark a choice, given by its place; None when nothing was chosen."""
    if chosen is None:
        return MarkResult(
            outcome=Outcome.UNREAD,
            said=phrase(template("marking", "choose-first")),
            checked=phrase(template("marking", "nothing-chosen")),
        )
    option = question.options[chosen]
    return MarkResult(
        outcome=Outcome.RIGHT if option.is_right else Outcome.NOT_YET,
        said=option.said,
        checked=phrase(template("marking", "checked-choice"), letter=letter(chosen)),
        slip=option.slip,
    )


def letter(place: int) -> str:
    """Return the letter by which people in a room call an option."""
    return chr(ord("A") + place)
