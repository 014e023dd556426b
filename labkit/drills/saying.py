"""Which sentences are written down after a task: one for each way its readings can fall out.

Each function takes the things read by their names and returns the names of sentences, which stand
with the task in the words of ``tasks``. Nobody writes that a gauge "went between 71 and 71 psi".
"""

from collections.abc import Callable, Mapping
from typing import Final, TypeAlias

from labkit.text import Words
from labkit.units.customary import PSI

Reads: TypeAlias = Mapping[str, float | str]
"""Things read, by their names: SI values and words."""
Saying: TypeAlias = Callable[[Reads], tuple[str, ...]]
"""From things read to the sentences that say it."""

NOTHING: Final = 3.1e-7
"""A flow that fills no bucket [m3/s]; less than 0.005 gpm."""
_NO_WATER: Final = 1.9e-5
"""Water [m3] that wets a bucket's bottom; less than 0.005 gal."""
_LEVEL: Final = 1e-3
"""Water this close under a rim is at the rim [m]."""
_SAME: Final = 0.5 * PSI
_COUNTED: Final = 2
"""Starts up to which there is a word: none, once, twice."""

WORDS: Final = Words("tasks")


def seen(word: str) -> str:
    """Return how something seen is told; what is read off a print is told as it stands there."""
    return WORDS.get(f"seen {word}", word)


def always(_: Reads) -> tuple[str, ...]:
    """Say the same no matter what is read."""
    return ("read",)


def _number(read: Reads, name: str) -> float:
    value = read[name]
    return 0.0 if isinstance(value, str) else value


def _differ(read: Reads, name: str, other: str) -> bool:
    return abs(_number(read, name) - _number(read, other)) > _SAME


def watched(read: Reads) -> tuple[str, ...]:
    """Say how the gauge went in ten minutes, and how often the pump started."""
    starts = round(_number(read, "starts"))
    gauge = "moved" if _differ(read, "low", "high") else "stood"
    return gauge, f"starts-{starts}" if starts <= _COUNTED else "starts"


def turned(read: Reads) -> tuple[str, ...]:
    """Say how the contact answered the nut."""
    return ("same" if read["before"] == read["contact"] else "turned",)


def held(read: Reads) -> tuple[str, ...]:
    """Say how a pressure held in ten minutes."""
    if _differ(read, "gauge", "later"):
        return ("fell",)
    return ("none" if _number(read, "gauge") < _SAME else "held",)


def lifted(read: Reads) -> tuple[str, ...]:
    """Say how high the gauge went with every float lifted."""
    return ("rose" if _differ(read, "before", "high") else "stayed",)


def worked(read: Reads) -> tuple[str, ...]:
    """Whether the pump came with a float down, and went with all floats up."""
    return ("moved" if _differ(read, "low", "high") else "stood",)


def passed(read: Reads) -> tuple[str, ...]:
    """Say what a float passes, or that it passes nothing."""
    return ("flow" if _number(read, "flow") > NOTHING else "none",)


def looked(read: Reads) -> tuple[str, ...]:
    """Say how high the water is in a trough."""
    return ("rim" if _number(read, "gap") < _LEVEL else "under",)


def emptied(read: Reads) -> tuple[str, ...]:
    """Say what was found in a drained tank."""
    return ("water" if _number(read, "water") > _NO_WATER else "none",)


def cycled(read: Reads) -> tuple[str, ...]:
    """Say how a full cycle went."""
    return ("fell" if _differ(read, "rest", "later") else "held",)
