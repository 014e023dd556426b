"""How a shut line leaks down after the stop: as a run shows it, and worked out on paper."""

import cmath
from math import sqrt
from typing import Any, Final

import attrs
import numpy as np

from labkit.advice.line import Line
from labkit.arrays import Floats
from labkit.engine.network import Plant
from labkit.engine.standing import Standing, go_on, standing
from labkit.parts import Leak
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import FlowAt, LeakSize, leak_size, si, typed

CHECK: Final = "check valve"
FLOAT: Final = "float"
LINE: Final = "line"
PLACES: Final = (CHECK, FLOAT, LINE)
"""Where a shut line can lose its water."""

_NONE: Final = "0 gpm at 30 psi"
_UNTIL_STOP: Final = 600.0
_POINTS: Final = 12


@attrs.frozen(kw_only=True)
class Fall:
    """The gauge after the stop, the drive off."""

    time: Floats  # from the stop [s]
    # gauge pressure at the manifold [Pa]; below zero where the line is under suction
    pressure: Floats

    def at(self, time: float) -> float:
        """Return the pressure at a time [s, Pa]."""
        return float(np.interp(time, self.time, self.pressure))


def with_single_leak(site: Site, place: str, size: LeakSize | str) -> Site:
    """Return a site with one leak and no other: in the check valve, the float or the line.

    The one in the line lies halfway along the pipe of the first trough.
    """
    trough = site.troughs[0]
    halfway = typed(si(trough.pipe.length) / 2.0, "length")
    buried = (Leak(at=trough.name, distance=halfway, size=size if place == LINE else _NONE),)
    changes: dict[str, Any] = {
        "check_valve.leak": size if place == CHECK else _NONE,
        f"trough.{trough.name}.float_valve.seat_leak": size if place == FLOAT else _NONE,
        "leaks": buried,
    }
    return site.changed(changes)


def at_stop(site: Site, sun: Sun | str) -> Standing:
    """Return the line at the moment its pump has stopped, every float shut.

    A pump that does not stop within ten minutes is taken as it runs then.
    """
    start = standing(site, sun=sun, start="12:00")
    trace, late = go_on(start, f"{_UNTIL_STOP} s")
    stops = trace.times("pump stops")
    return go_on(start, f"{stops[0]!r} s")[1] if stops else late


def fall(now: Standing, minutes: float, *, is_valve_shut: bool = False) -> Fall:
    """Watch the gauge with the drive off, the valve at the manifold open or shut."""
    trace, _ = go_on(now, f"{minutes!r} min", is_valve_shut=is_valve_shut, is_drive_off=True)
    return Fall(time=trace.time, pressure=trace.pressure)


def closed_form_fall(
    site: Site, place: str, size: LeakSize | str, top: float, bottom: float
) -> Fall:
    """Work out on paper how the gauge falls from one pressure to another through one leak [Pa].

    What the line gives up for each pascal is its elastic storage and, above the precharge, what the
    tank's air pushes out by Boyle's law, ``A / (p + p_air)**2``. The leak takes ``k sqrt(p + L)``,
    where L is the column between the gauge and the place of the leak: the well's depth for the
    check valve, less than nothing for a trough that stands higher. With ``u = sqrt(p + L)`` both
    integrals are in any table.
    """
    line = Line.of(site)
    plant, lead = line.plant, _lead(line, place)
    stated = leak_size(size)
    if not isinstance(stated, FlowAt):
        raise TypeError("on paper a leak is stated as a flow at a pressure")
    k = si(stated.flow) / sqrt(si(stated.pressure))
    bottom = max(bottom, -lead)
    pressures = np.linspace(top, bottom, _POINTS)
    times = [_spent(plant, top, lead) - _spent(plant, float(p), lead) for p in pressures]
    return Fall(time=np.array(times) / k, pressure=pressures)


def _lead(line: Line, place: str) -> float:
    """Column of water by which a leak has more pressure on it than the gauge shows [Pa]."""
    rise = si(line.site.troughs[0].pipe.rise)
    height = {CHECK: -line.plant.lift, FLOAT: rise, LINE: rise / 2.0}[place]
    return -float(line.plant.weight) * height


def _spent(plant: Plant, p: float, lead: float) -> float:
    """Time times leak coefficient that it takes from suction's end up to a pressure."""
    elastic = 2.0 * float(plant.nodes.C.sum()) / float(plant.weight) * sqrt(max(p + lead, 0.0))
    charge = float(plant.tank_precharge)
    if plant.tank_volume <= 0.0 or p <= charge:
        return elastic
    outside = float(plant.p_air)
    air = float(plant.tank_volume) * (charge + outside)
    return elastic + air * (_boyle(p, outside, lead) - _boyle(charge, outside, lead))


def _boyle(p: float, p_air: float, lead: float) -> float:
    """Integral of ``1 / ((p + p_air)**2 sqrt(p + lead))`` over p."""
    u, a = sqrt(p + lead), complex(p_air - lead)
    return float((u / (a * (u * u + a)) + cmath.atan(u / cmath.sqrt(a)) / a**1.5).real)
