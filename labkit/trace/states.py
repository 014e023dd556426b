"""What a drive can be doing."""

from enum import IntEnum
from typing import Self


class DriveState(IntEnum):
    """What the drive is doing."""

    words: str  # the state in plain words

    RESTING = 0, "resting"
    STARTING = 1, "starting"
    RUNNING = 2, "running"
    STOPPING = 3, "stopping"
    HELD = 4, "held"
    LOCKED = 5, "locked out"

    def __new__(cls, code: int, words: str = "") -> Self:
        """Take a state's number with its words."""
        state = int.__new__(cls, code)
        state._value_, state.words = code, words
        return state
