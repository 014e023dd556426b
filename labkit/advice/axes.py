"""What can be turned on a line: one table of numbers, each read from a site and set in it.

A map of settings runs over them, and a page's controls of the same things turn them by the same
changes (`labkit.view.controls`).
"""

from collections.abc import Callable, Mapping
from typing import Any, Final

import attrs
import numpy as np

from labkit.advice.setting import right_air
from labkit.errors import Said, SiteError
from labkit.parts import Leak, PressureTank, Trough
from labkit.site import Site
from labkit.units import (
    FlowAt,
    LeakSize,
    Quantity,
    quantity,
    read_argument,
    si,
    typed,
    ureg,
    written,
)
from labkit.units.customary import GALLON, PSI

LEAK_PRESSURE: Final = ureg.Quantity(30.0, "psi")  # pressure at which the size of a leak is stated
SUN: Final = "sun"  # the one axis that is no part of the site

SWITCH: Final = frozenset({"cut-in", "cut-out", "differential"})
"""Those of the switch, whose two points must fit each other."""

UNITS: Final = {
    "pressure": "Pa",
    "irradiance": "W/m^2",
    "length": "m",
    "flow": "m3/s",
    "volume": "m3",
    "power": "W",
}
"""Kind of an axis -> the SI unit of its values."""

Change = dict[str, Any]


@attrs.frozen(kw_only=True)
class Axis:
    """A number of a line that can be turned."""

    name: str  # in the trade's words
    kind: str  # what it measures, as `labkit.units` names it
    # gives the ends of a range worth a look, for a site and a trough [SI]
    usual: Callable[[Site, Trough], tuple[float, float]]
    # gives the value of a site and a trough [SI]; None for the sun
    read: Callable[[Site, Trough], float] | None = None
    # gives the dotted changes of a site that set it, for a site, a trough and a value; None for the
    # sun
    change: Callable[[Site, Trough, float], Change] | None = None
    of_trough: bool = False  # whether it belongs to one trough


@attrs.frozen(kw_only=True, eq=False)
class Scale:
    """An axis with the values that a map takes on it."""

    # as in `AXES`
    name: str
    kind: str
    values: tuple[float, ...]  # rising [SI]

    @property
    def unit(self) -> str:
        """The SI unit of the values."""
        return UNITS[self.kind]


def _point(name: str, usual: Callable[..., tuple[float, float]]) -> Axis:
    """Make the axis of one point of the switch; the other stays."""
    field = name.replace("-", "_")
    return Axis(
        name=name,
        kind="pressure",
        usual=usual,
        read=lambda site, _trough: si(getattr(site.pressure_switch, field)),
        change=lambda _site, _trough, value: {f"pressure_switch.{field}": typed(value, "pressure")},
    )


def _set_apart(site: Site, _trough: Trough, value: float) -> Change:
    """Turn the smaller nut, which moves cut-out alone."""
    cut_out = si(site.pressure_switch.cut_in) + value
    return {"pressure_switch.cut_out": typed(cut_out, "pressure")}


def _set_tank(site: Site, _trough: Trough, value: float) -> Change:
    """Turn the tank's size; a new one is charged two psi under cut-in."""
    if value <= 0.0:
        return {"pressure_tank": None}
    old, volume = site.pressure_tank, typed(value, "volume")
    if old is not None:
        return {"pressure_tank": attrs.evolve(old, volume=volume)}
    charge = typed(right_air(si(site.pressure_switch.cut_in)), "pressure")
    return {"pressure_tank": PressureTank(volume=volume, precharge=charge)}


def flow_of(size: LeakSize) -> float:
    """Return the flow of a leak that is stated as a flow [m3/s]; a hole counts as none."""
    return si(size.flow) if isinstance(size, FlowAt) else 0.0


def sized(value: float) -> FlowAt:
    """Return a leak of a flow [m3/s] at the pressure at which leaks are stated."""
    return FlowAt(flow=typed(value, "flow"), pressure=LEAK_PRESSURE)


def _set_line_leak(site: Site, trough: Trough, value: float) -> Change:
    """Turn the first leak of the line; without one, a leak halfway along the trough's pipe."""
    halfway = typed(0.5 * si(trough.pipe.length), "length")
    first = site.leaks[0] if site.leaks else Leak(at=trough.name, distance=halfway, size="0 gpm")
    return {"leaks": (attrs.evolve(first, size=sized(value)), *site.leaks[1:])}


def _in_trough(field: str, kind: str) -> Callable[[Site, Trough, float], Change]:
    return lambda _site, trough, value: {f"trough.{trough.name}.{field}": typed(value, kind)}


def _about(read: Callable[[Site], Quantity], low: float, high: float) -> Callable[..., Any]:
    """Return a range around what the site has."""
    return lambda site, _trough: (low * si(read(site)), high * si(read(site)))


def _fixed(low: float, high: float) -> Callable[..., Any]:
    return lambda _site, _trough: (low, high)


def _points(site: Site, _trough: Trough) -> tuple[float, float]:
    return 3.0 * PSI, si(site.pressure_switch.cut_out) - 2.0 * PSI


_EVERY: Final = (
    Axis(name=SUN, kind="irradiance", usual=_fixed(200.0, 1000.0)),
    _point("cut-out", _about(lambda site: site.pressure_switch.cut_out, 0.6, 2.0)),
    _point("cut-in", _points),
    Axis(
        name="differential", kind="pressure", change=_set_apart, usual=_points,
        read=lambda site, _trough: site.pressure_switch.differential,
    ),
    Axis(
        name="rise", kind="length", change=_in_trough("pipe.rise", "length"), of_trough=True,
        read=lambda _site, trough: si(trough.pipe.rise),
        usual=lambda _site, trough: (si(trough.pipe.rise) - 6.0, si(trough.pipe.rise) + 18.0),
    ),
    Axis(
        name="pipe length", kind="length", of_trough=True,
        change=_in_trough("pipe.length", "length"),
        read=lambda _site, trough: si(trough.pipe.length),
        usual=lambda _site, trough: (0.25 * si(trough.pipe.length), 3.0 * si(trough.pipe.length)),
    ),
    Axis(
        name="float leak", kind="flow", of_trough=True,
        change=lambda _site, trough, value: {
            f"trough.{trough.name}.float_valve.seat_leak": sized(value)
        },
        read=lambda _site, trough: flow_of(trough.float_valve.seat_leak),
        usual=_fixed(0.0, 0.5 * GALLON / 60.0),
    ),
    Axis(
        name="line leak", kind="flow", change=_set_line_leak,
        read=lambda site, _trough: flow_of(site.leaks[0].size) if site.leaks else 0.0,
        usual=_fixed(0.0, 0.5 * GALLON / 60.0),
    ),
    Axis(
        name="tank", kind="volume", change=_set_tank, usual=_fixed(0.0, 20.0 * GALLON),
        read=lambda site, _trough: si(site.pressure_tank.volume) if site.pressure_tank else 0.0,
    ),
    Axis(
        name="array", kind="power",
        change=lambda _site, _trough, value: {"array.rated_power": typed(value, "power")},
        read=lambda site, _trough: si(site.array.rated_power),
        usual=_about(lambda site: site.array.rated_power, 0.5, 2.0),
    ),
)  # fmt: skip

AXES: Final[Mapping[str, Axis]] = {axis.name: axis for axis in _EVERY}  # every one by its name


def axis_named(name: str) -> Axis:
    """Return an axis, or raise SiteError that says which there are."""
    if name not in AXES:
        raise SiteError("map", "axis", name, f"write one of {', '.join(AXES)}")
    return AXES[name]


def scale(
    name: str,
    site: Site,
    trough: Trough,
    *,
    ends: tuple[str | Quantity, str | Quantity] | None,
    count: int,
) -> Scale:
    """Return `count` values of an axis, by default between its usual ends."""
    axis = axis_named(name)
    if not 2 <= count <= 1000:
        raise SiteError("map", "cells", count, "write 2 to 1000 for each axis")
    low, high = axis.usual(site, trough) if ends is None else _ends(axis, ends)
    if not low < high:
        rule = "write the smaller end first"
        raise SiteError("map", f"range of {name}", Said(f"{low:g} to {high:g} {axis.kind}"), rule)
    values = tuple(np.linspace(low, high, count).tolist())
    return Scale(name=name, kind=axis.kind, values=values)


def _ends(axis: Axis, ends: tuple[str | Quantity, str | Quantity]) -> tuple[float, float]:
    """Read the two ends of a range [SI]."""
    like, field = UNITS[axis.kind], f"range of {axis.name}"
    low, high = (si(read_argument(end, like, part="map", field=field)) for end in ends)
    if not low < high:
        said = " to ".join(written(quantity(end, UNITS[axis.kind])) for end in ends)
        rule = "write the smaller end first"
        raise SiteError("map", f"range of {axis.name}", Said(said), rule)
    return low, high


def set_to(site: Site, values: Mapping[str, float], *, trough: str, recharge: bool = False) -> Site:
    """Return a site with some numbers set [SI], by the names of their axes; the sun is passed over.

    Asked to `recharge`, it has its tank charged anew, two psi under cut-in.
    """
    part = site.trough(trough)
    moved = site.changed(_points_apart(values, site))
    changes: Change = {}
    for name, value in values.items():
        change = AXES[name].change
        if change is not None and not (name in SWITCH and "differential" in values):
            changes |= change(moved, part, value)
    moved = moved.changed(changes)
    if recharge and moved.pressure_tank is not None:
        charge = right_air(si(moved.pressure_switch.cut_in))
        moved = moved.changed({"pressure_tank.precharge": ureg.Quantity(charge, "Pa")})
    return moved


def _points_apart(values: Mapping[str, float], site: Site) -> Change:
    """Return both points of the switch where its differential is one of the values.

    Beside a cut-out it moves cut-in; else cut-out, as the smaller nut does.
    """
    if "differential" not in values:
        return {}
    apart = values["differential"]
    low = values.get("cut-in", si(site.pressure_switch.cut_in))
    if "cut-out" in values:
        low = values["cut-out"] - apart
    return {
        "pressure_switch.cut_in": typed(low, "pressure"),
        "pressure_switch.cut_out": typed(low + apart, "pressure"),
    }
