"""Bounds of the operating window as curves over a map of settings, found without a trial."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs
import numpy as np
from numpy.typing import NDArray

from labkit.advice.axes import SUN, SWITCH, set_to
from labkit.advice.bounds import DEAD_HEAD, RUNNING, STATIC
from labkit.advice.window import bare_window
from labkit.errors import SiteError

if TYPE_CHECKING:
    from labkit.advice.axes import Scale
    from labkit.advice.settings_map import SettingsMap
    from labkit.advice.window import Window

Floats = NDArray[np.float64]

CEILING: Final = "ceiling"
"""What limits cut-out from above besides the pump's reach: a pipe, a float, the relief valve, the
torque limit."""

_CURVES: Final = {"cut-in": (STATIC,), "cut-out": (RUNNING, DEAD_HEAD, CEILING)}
"""Point of the switch -> the bounds that it has."""


@attrs.frozen(kw_only=True, eq=False)
class Curve:
    """A bound of the operating window over a map."""

    name: str  # "static", "running", "dead head" or "ceiling"; "recommended" for the cut-out to set
    # its points on the map's axes [SI]; nan where there is no such bound, shape (n,)
    across: Floats
    up: Floats


def window_curves(found: SettingsMap) -> tuple[Curve, ...]:
    """Return the bounds that run over a map; none if no axis is a point of the switch.

    Each point is a window for one sun, that of the trials there, and for the troughs tried.
    """
    curves = []
    for point, other, is_across in (
        (found.across, found.up, True),
        (found.up, found.across, False),
    ):
        if point.name not in _CURVES:
            continue
        windows = [_window(found, other, value) for value in other.values]
        along = np.array(other.values)
        for name in _CURVES[point.name]:
            limits = np.array([_limit(window, name, found.troughs) for window in windows])
            if np.isfinite(limits).any():
                across, up = (limits, along) if is_across else (along, limits)
                curves.append(Curve(name=name, across=across, up=up))
    return tuple(curves)


def _window(found: SettingsMap, other: Scale, value: float) -> Window | None:
    """Work out the window at one value of the other axis, if the pump runs there at all."""
    sun = value if other.name == SUN else found.sun
    assert sun is not None  # noqa: S101 - one of the axes is the sun, or there is one for all
    try:
        site = found.site
        if other.name not in SWITCH:  # the window takes no notice of where the switch stands
            site = set_to(site, {other.name: value}, trough=found.troughs[0])
        return bare_window(site, sun, sun)
    except SiteError:
        return None


def _limit(window: Window | None, name: str, troughs: tuple[str, ...]) -> float:
    """Return the tightest bound of a name [Pa], nan where there is none."""
    if window is None:
        return float("nan")
    if name in {STATIC, RUNNING}:
        lower = [b.pressure for b in window.bounds if b.name == name and b.where in troughs]
        return max(lower, default=float("nan"))
    upper = [
        bound.pressure
        for bound in window.bounds
        if bound.side == "below" and (bound.name == DEAD_HEAD) == (name == DEAD_HEAD)
    ]
    return min(upper, default=float("nan"))
