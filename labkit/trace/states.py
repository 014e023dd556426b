"""What a drive can be doing."""

from enum import IntEnum


class DriveState(IntEnum):
    """What the drive is doing."""

    RESTING = 0
    STARTING = 1
    RUNNING = 2
    STOPPING = 3
    HELD = 4
    LOCKED = 5

    @property
    def words(self) -> str:
        """The state in plain words."""
        return ("resting", "starting", "running", "stopping", "held", "locked out")[self]
