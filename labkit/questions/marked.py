"""What the marking of an answer gives."""

from enum import Enum

import attrs

from labkit.questions.phrase import Phrase


class Outcome(Enum):
    """How an answer came out."""

    RIGHT = "right"
    NOT_YET = "not yet"
    UNREAD = "unread"


@attrs.frozen(kw_only=True)
class MarkResult:
    """An answer after marking.

    Attributes
    ----------
    outcome : Outcome
        Right, not yet, or not to be read at all.
    said : Phrase
        The reason why it is right, or one hint, or what to write instead.
    checked : Phrase
        What was looked at.
    slip : str
        Name of the slip that the answer matches; empty for none.
    """

    outcome: Outcome
    said: Phrase
    checked: Phrase
    slip: str = ""

    @property
    def is_right(self) -> bool:
        """Say whether it is right."""
        return self.outcome is Outcome.RIGHT
