"""One change to a site, and the window that it gives."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Any, Final

import attrs

from labkit.advice.line import Line
from labkit.advice.rules import ROOM
from labkit.advice.sun_range import sun_range
from labkit.advice.window import Window, bare_window
from labkit.errors import LabkitError

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.site import Site

DIFFERENTIAL: Final = "smaller differential"
FLOAT_VALVE: Final = "bigger float valve"
TANK: Final = "tank"
ARRAY: Final = "more array"
PIPE_UP: Final = "bigger pipe"
STRONGER: Final = "stronger pipe"
WEAK_SUN: Final = "weak sun left out"
SIGNAL: Final = "another stop signal"
"""Kinds of remedies."""

EASIEST_FIRST: Final = (
    DIFFERENTIAL, FLOAT_VALVE, TANK, ARRAY, STRONGER, PIPE_UP, WEAK_SUN, SIGNAL,
)  # fmt: skip
"""The rule by which remedies are ranked: least work first. A nut is turned, a valve or a tank
screwed on, a panel set up, pipe dug in. After these comes what gives something up: weak sun in
which the pump is not stopped, or the pressure switch itself."""


@attrs.frozen(kw_only=True)
class Remedy:
    """One change, and the window that it gives.

    Attributes
    ----------
    kind : str
        One of `EASIEST_FIRST`.
    where : str or None
        The trough, or the node where the run of pipe ends; None for the whole site.
    before, after : float or str
        What is changed, and into what: differential [Pa], valve flow at its rated pressure [m3/s],
        tank volume [m3], array power [W], weakest sun [W/m2], or a pipe size. Empty for another
        signal.
    changes : dict
        What to hand to `Site.changed`; empty where the site stays as it is.
    window : Window or None
        Of the changed site; None for another signal, which needs none.
    """

    kind: str
    where: str | None = None
    before: float | str = ""
    after: float | str = ""
    changes: dict[str, Any] = attrs.field(factory=dict)
    window: Window | None = None


def wide(window: Window, changes: dict[str, Any], *, low: float | None = None) -> Window | None:
    """Give the window of a changed site if it is wide enough."""
    weakest = window.sun.low if low is None else low
    try:
        site = window.site.changed(changes)
        if not _may_be_wide(site, weakest, window.sun.high):
            return None
        after = bare_window(site, weakest, window.sun.high)
    except LabkitError:
        return None
    chosen = after.recommended
    return after if chosen is not None and not chosen.is_narrow else None


def _may_be_wide(site: Site, low: float, high: float) -> bool:
    """Say, from two of the bounds alone, whether a window could be wide enough: for speed."""
    line = Line.of(site)
    sun = sun_range(line, low, high)
    reach = line.reach(sun.least)
    return all(reach - line.running(sun.most, trough) >= ROOM for trough in line.troughs)


def least_change(
    window: Window,
    changes: Callable[[float], dict[str, Any]],
    before: float,
    most: float,
    *,
    step: float,
) -> tuple[float, Window] | None:
    """Find the smallest new value, in whole steps, that makes a window wide enough.

    Grown by a quarter at a time, then bisected: a window may open and close again, and the first
    that opens is wanted.
    """
    low, high = before, before
    while high < most:
        low, high = high, min(1.25 * high + step, most)
        if wide(window, changes(high)) is not None:
            break
    else:
        return None
    while high - low > step:
        middle = 0.5 * (low + high)
        if wide(window, changes(middle)) is None:
            low = middle
        else:
            high = middle
    for value in (ceil(high / step) * step, high):
        after = wide(window, changes(value))
        if after is not None:
            return value, after
    return None
