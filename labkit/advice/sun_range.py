"""Which suns of a range are the worst: the strongest push, and the weakest that counts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.advice.bisect import turning_point
from labkit.errors import Said, SiteError, UnitError
from labkit.units import quantity, si, written

if TYPE_CHECKING:
    from labkit.advice.line import Line
    from labkit.units import Quantity

_STEPS: Final = 60
"""Suns tried over a range; power bends too gently with the sun to hide a peak between them."""

_ROUNDS: Final = 30


@attrs.frozen(kw_only=True)
class SunRange:
    """A range of sun, and its two ends as the pump sees them [W/m2]."""

    # as asked
    low: float
    high: float
    least: float  # the weakest in which the drive runs: `low`, or where it starts if that is later
    # The one with the most power. On a hot day that may not be the strongest: the array loses more
    # to the heat than it gains.
    most: float


def read_range(typed: tuple[str | Quantity, str | Quantity]) -> tuple[float, float]:
    """Read a range of sun as two irradiances [W/m2], or say which of them is wrong."""
    found = []
    if not _are_two(typed):
        raise SiteError("run", "sun_range", Said(str(typed)), "write two, the weaker sun first")
    for one in typed:
        try:
            asked = quantity(one, "W/m^2")
        except UnitError as problem:
            raise SiteError("run", "sun_range", one, str(problem)) from None
        if not 0.0 < si(asked) <= 2000.0:
            rule = "it must lie between 0 W/m^2 and 2000 W/m^2"
            raise SiteError("run", "sun_range", Said(written(asked)), rule)
        found.append(si(asked))
    low, high = found
    if low > high:
        raise SiteError(
            "run", "sun_range", Said(f"{low:g} to {high:g} W/m^2"), "write the weaker sun first"
        )
    return low, high


def _are_two(typed: object) -> bool:
    """Whether two things were handed over; a text is one thing."""
    return isinstance(typed, Sequence) and not isinstance(typed, str) and len(typed) == 2


def sun_range(line: Line, low: float, high: float) -> SunRange:
    """Return the ends of a range of sun [W/m2] that matter on a line that starts in some of it."""
    if (fault := line.site.drive.fault) != "none":
        rule = "with it the pump never starts; write 'none' to see what settings the line needs"
        raise SiteError("drive", "fault", fault, rule)
    found = find_range(line, low, high)
    if found is None:
        rule = (
            f"in all of it the array gives less than start_power "
            f"{written(line.site.drive.start_power)}, and the pump never starts"
        )
        raise SiteError("run", "sun_range", Said(f"{low:g} to {high:g} W/m^2"), rule)
    return found


def find_range(line: Line, low: float, high: float) -> SunRange | None:
    """Find the same; None if the drive does not start anywhere in the range."""
    if not line.is_solar:
        return SunRange(low=low, high=high, least=high, most=high)
    suns = np.linspace(low, high, _STEPS) if high > low else np.array([low])
    powers = line.powers(suns)
    starts = powers >= line.plant.start_power
    if not starts.any():
        return None
    first = int(np.argmax(starts))
    least = float(suns[first])
    if first > 0:
        _, least = turning_point(
            lambda sun: line.power(sun) >= line.plant.start_power,
            float(suns[first - 1]),
            least,
            rounds=_ROUNDS,
        )
    weakest = float(suns[starts][np.argmin(powers[starts])])
    least = min(least, weakest, key=line.power)
    return SunRange(low=low, high=high, least=least, most=float(suns[np.argmax(powers)]))
