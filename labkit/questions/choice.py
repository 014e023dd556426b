"""Questions that one of several sentences answers."""

import attrs

from labkit.questions.marked import MarkResult, Outcome
from labkit.questions.phrase import Phrase, phrase
from labkit.text import template


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
