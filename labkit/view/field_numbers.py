"""Advice in the numbers that a gauge, a watch and a bucket show: the one place that rounds it.

Settings to 1 psi or 5 kPa, times to the second, flows to a tenth. A limit is rounded towards the
safe side, so that a setting on the rounded number keeps to it.
"""

from collections.abc import Callable, Mapping
from math import ceil, floor, isfinite
from typing import Final

from labkit.language import say, say_time, unit_word
from labkit.text.shared import WORDS
from labkit.units import displayed

STEP: Final = {"US": 1, "metric": 5}  # what a gauge on a wellhead shows [psi, kPa]


_FRACTIONS: Final = ("", "1/4", "1/2", "3/4")


def gauge(pascals: float, units: str) -> str:
    """Return a pressure to the nearest mark of a gauge, such as ``"43 psi"``."""
    return _marks(pascals, units, _nearest)


def at_least(pascals: float, units: str) -> str:
    """Return a pressure that must be kept above, rounded up."""
    return _marks(pascals, units, ceil)


def at_most(pascals: float, units: str) -> str:
    """Return a pressure that must be kept below, rounded down."""
    return _marks(pascals, units, floor)


def gap(low: float, high: float, units: str) -> str:
    """Return the difference of two pressures as they are written by `gauge`."""
    step = STEP[units]
    marks = [_nearest(float(displayed(p, "pressure", units)) / step) for p in (low, high)]
    return _written(step * (marks[1] - marks[0]), units)


def off_by(pascals: float, point: float, units: str) -> str:
    """Return how far off a point may be, less what it lost as it was rounded itself."""
    off, at = (float(displayed(p, "pressure", units)) / STEP[units] for p in (pascals, point))
    marks = floor(off - abs(at - _nearest(at)) + 1e-3)
    return _written(STEP[units] * max(marks, 0), units)


def right_by(pascals: float, point: float, units: str, words: Mapping[str, str]) -> str:
    """Say how near a point must be: within so much, or exactly where nothing is left."""
    told = off_by(pascals, point, units)
    return words["on the mark" if told.startswith("0 ") else "right within"].format(off=told)


def bucket(flow: float, units: str) -> str:
    """Return a flow to a tenth, such as ``"6.6 gpm"``."""
    return f"{float(displayed(flow, 'flow', units)):.1f} {unit_word('flow', units)}"


def watch(seconds: float) -> str:
    """Return a time to the second; one that does not come within an hour, so."""
    return say_time(float(round(seconds))) if isfinite(seconds) else WORDS["over-an-hour"]


def lapse(seconds: float) -> str:
    """Return how long something takes, such as ``"in about 46 s"`` or ``"at once"``."""
    return WORDS["in about"].format(time=watch(seconds)) if seconds >= 1.0 else WORDS["at once"]


def size(value: float, kind: str, units: str) -> str:
    """Return a size as shops write it, such as ``"5 gal"`` or ``"1,260 W"``."""
    return say(value, kind, units).replace(".0 ", " ")


def quarters(count: int) -> str:
    """Return quarters of a turn as the number that people say, such as ``"3 1/2"``."""
    whole, rest = divmod(abs(count), 4)
    return " ".join(part for part in (str(whole) if whole else "", _FRACTIONS[rest]) if part)


def _nearest(value: float) -> int:
    return floor(value + 0.5)


def _marks(pascals: float, units: str, to: Callable[[float], int]) -> str:
    """Round to marks; what is a hair from one is on it."""
    if not isfinite(pascals):
        return WORDS["not known"]
    marks = float(displayed(pascals, "pressure", units)) / STEP[units]
    whole = _nearest(marks)
    return _written(STEP[units] * (whole if abs(marks - whole) < 1e-3 else to(marks)), units)


def _written(value: int, units: str) -> str:
    sign = "\N{MINUS SIGN}" if value < 0 else ""
    return f"{sign}{abs(value):,} {unit_word('pressure', units)}"
