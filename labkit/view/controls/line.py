"""Controls of the line beyond the manifold: heights, pipe, leaks, floats."""

from typing import Final

import attrs

from labkit.parts import Leak, Trough
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si
from labkit.view.controls.base import Setting, as_length, control, flow_of, sized


def far_trough(site: Site) -> Trough:
    """Give the trough at the longest way along the pipe."""
    distance = {"manifold": 0.0}
    for start, end, pipe in site.runs():
        distance[end] = distance[start] + si(pipe.length)
    return max(site.troughs, key=lambda trough: distance[trough.name])


def _head(site: Site, _sun: Sun) -> float:
    return site.elevation(far_trough(site).name)


def _set_head(site: Site, sun: Sun, value: float) -> Setting:
    trough = far_trough(site)
    rise = value - site.elevation(trough.pipe.from_)
    return site.changed({f"trough.{trough.name}.pipe.rise": as_length(rise)}), sun


def _line_leak(site: Site, _sun: Sun) -> float:
    return flow_of(site.leaks[0].size) if site.leaks else 0.0


def _set_line_leak(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the first leak of the line; without one, a leak halfway along the far trough's pipe."""
    trough = far_trough(site)
    halfway = as_length(si(trough.pipe.length) / 2.0)
    first = site.leaks[0] if site.leaks else Leak(at=trough.name, distance=halfway, size="0 gpm")
    leaks = (attrs.evolve(first, size=sized(value)), *site.leaks[1:])
    return site.changed({"leaks": leaks}), sun


def _float_leak(site: Site, _sun: Sun) -> float:
    return flow_of(far_trough(site).float_valve.seat_leak)


def _set_float_leak(site: Site, sun: Sun, value: float) -> Setting:
    key = f"trough.{far_trough(site).name}.float_valve.seat_leak"
    return site.changed({key: sized(value)}), sun


def _far_length(site: Site, _sun: Sun) -> float:
    return si(far_trough(site).pipe.length)


def _set_far_length(site: Site, sun: Sun, value: float) -> Setting:
    key = f"trough.{far_trough(site).name}.pipe.length"
    return site.changed({key: as_length(value)}), sun


CONTROLS: Final = (
    control("head", "length", (0, 80, 1), (0, 25, 0.5), (_head, _set_head)),
    control("leak size", "flow", (0, 2, 0.05), (0, 8, 0.2), (_line_leak, _set_line_leak)),
    control("float leak", "flow", (0, 1, 0.02), (0, 4, 0.1), (_float_leak, _set_float_leak)),
    control(
        "pipe length", "length", (100, 5000, 50), (30, 1500, 10), (_far_length, _set_far_length)
    ),
)
