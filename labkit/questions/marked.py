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
    """An answer after marking."""

    outcome: Outcome  # right, not yet, or not to be read at all
    said: Phrase  # the reason why it is right, or one hint, or what to write instead
    checked: Phrase  # what was looked at
    slip: str = ""  # name of the slip that the answer matches; empty for none

    @property
    def is_right(self) -> bool:
        """Whether it is right."""
        return self.outcome is Outcome.RIGHT
