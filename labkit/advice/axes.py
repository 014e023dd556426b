"""What a map of settings may run over: a small list of axes, each a number of the line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs
import numpy as np

from labkit.advice.rules import GALLON, PSI
from labkit.advice.setting import right_air
from labkit.errors import Said, SiteError, UnitError
from labkit.parts import MANIFOLD, Leak, PressureTank
from labkit.units import FlowAt, quantity, si, typed, ureg, written

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from labkit.parts import Trough
    from labkit.site import Site
    from labkit.units import Quantity

LEAK_PRESSURE: Final = ureg.Quantity(30.0, "psi")
"""Pressure at which the size of a leak is stated."""

SUN: Final = "sun"
"""The one axis that is no part of the site."""

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
    """A number that a map may run over.

    Attributes
    ----------
    name : str
        In the trade's words.
    kind : str
        What it measures, as `labkit.units` names it.
    usual : callable
        Gives the ends of a range worth a look, for a site and a trough [SI].
    change : callable or None
        Gives the dotted changes of a site that set it, for a site, a trough and a value; None for
        the sun and for the switch, whose two points are set together.
    of_trough : bool
        Whether it belongs to one trough.
    """

    name: str
    kind: str
    usual: Callable[[Site, Trough], tuple[float, float]]
    change: Callable[[Site, Trough, float], Change] | None = None
    of_trough: bool = False


@attrs.frozen(kw_only=True, eq=False)
class Scale:
    """An axis with the values that a map takes on it.

    Attributes
    ----------
    name, kind : str
        As in `AXES`.
    values : tuple of float
        Rising [SI].
    """

    name: str
    kind: str
    values: tuple[float, ...]

    @property
    def unit(self) -> str:
        """The SI unit of the values."""
        return UNITS[self.kind]


def _switch(values: Mapping[str, float], site: Site) -> Change:
    """Give the switch's two points [Pa]; a differential alone moves cut-in."""
    switch, apart = site.pressure_switch, values.get("differential")
    if not values.keys() & {"cut-in", "cut-out", "differential"}:
        return {}
    cut_in = values.get("cut-in", si(switch.cut_in))
    cut_out = values.get("cut-out", si(switch.cut_out))
    if apart is not None and "cut-in" in values:
        cut_out = cut_in + apart
    elif apart is not None:
        cut_in = cut_out - apart
    return {
        "pressure_switch.cut_in": ureg.Quantity(cut_in, "Pa"),
        "pressure_switch.cut_out": ureg.Quantity(cut_out, "Pa"),
    }


def _tank(site: Site, _trough: Trough, value: float) -> Change:
    """Turn the tank's size; a new one is charged two psi under cut-in."""
    if value <= 0.0:
        return {"pressure_tank": None}
    old, volume = site.pressure_tank, typed(value, "volume")
    if old is not None:
        return {"pressure_tank": attrs.evolve(old, volume=volume)}
    charge = right_air(si(site.pressure_switch.cut_in))
    precharge = ureg.Quantity(charge, "Pa")
    return {"pressure_tank": PressureTank(volume=volume, precharge=precharge)}


def _sized(value: float) -> FlowAt:
    return FlowAt(flow=typed(value, "flow"), pressure=LEAK_PRESSURE)


def _line_leak(site: Site, _trough: Trough, value: float) -> Change:
    """Add a leak at the manifold to those the line has."""
    return {"leak": (*site.leaks, Leak(at=MANIFOLD, size=_sized(value)))}


def _float_leak(_site: Site, trough: Trough, value: float) -> Change:
    return {f"trough.{trough.name}.float_valve.seat_leak": _sized(value)}


def _rise(_site: Site, trough: Trough, value: float) -> Change:
    return {f"trough.{trough.name}.pipe.rise": ureg.Quantity(value, "m")}


def _length(_site: Site, trough: Trough, value: float) -> Change:
    return {f"trough.{trough.name}.pipe.length": ureg.Quantity(value, "m")}


def _array(_site: Site, _trough: Trough, value: float) -> Change:
    return {"array.rated_power": ureg.Quantity(value, "W")}


def _about(read: Callable[[Site], Quantity], low: float, high: float) -> Callable[..., Any]:
    """Give a range around what the site has."""
    return lambda site, _trough: (low * si(read(site)), high * si(read(site)))


def _fixed(low: float, high: float) -> Callable[..., Any]:
    return lambda _site, _trough: (low, high)


def _points(site: Site, _trough: Trough) -> tuple[float, float]:
    return 3.0 * PSI, si(site.pressure_switch.cut_out) - 2.0 * PSI


_EVERY: Final = (
    Axis(name=SUN, kind="irradiance", usual=_fixed(200.0, 1000.0)),
    Axis(
        name="cut-out",
        kind="pressure",
        usual=_about(lambda site: site.pressure_switch.cut_out, 0.6, 2.0),
    ),
    Axis(name="cut-in", kind="pressure", usual=_points),
    Axis(name="differential", kind="pressure", usual=_points),
    Axis(
        name="rise", kind="length", change=_rise, of_trough=True,
        usual=lambda _site, trough: (si(trough.pipe.rise) - 6.0, si(trough.pipe.rise) + 18.0),
    ),
    Axis(
        name="pipe length", kind="length", change=_length, of_trough=True,
        usual=lambda _site, trough: (0.25 * si(trough.pipe.length), 3.0 * si(trough.pipe.length)),
    ),
    Axis(
        name="float leak", kind="flow", change=_float_leak, of_trough=True,
        usual=_fixed(0.0, 0.5 * GALLON / 60.0),
    ),
    Axis(name="line leak", kind="flow", change=_line_leak, usual=_fixed(0.0, 0.5 * GALLON / 60.0)),
    Axis(name="tank", kind="volume", change=_tank, usual=_fixed(0.0, 20.0 * GALLON)),
    Axis(
        name="array", kind="power", change=_array,
        usual=_about(lambda site: site.array.rated_power, 0.5, 2.0),
    ),
)  # fmt: skip

AXES: Final[Mapping[str, Axis]] = {axis.name: axis for axis in _EVERY}
"""Every axis by its name."""


def axis_named(name: str) -> Axis:
    """Give an axis, or say which there are.

    Raises
    ------
    SiteError
        For a name that none has.
    """
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
    """Lay `count` values over the range of an axis.

    Parameters
    ----------
    name : str
        The axis.
    site, trough : Site, Trough
        For which the usual range is taken if none is given.
    ends : pair of str or Quantity, optional
        The range.
    count : int
        How many values.

    Raises
    ------
    SiteError
        For a range that is none, or fewer than two values.
    """
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
    found = []
    for end in ends:
        try:
            found.append(si(quantity(end, UNITS[axis.kind])))
        except UnitError as problem:
            raise SiteError("map", f"range of {axis.name}", end, str(problem)) from None
    low, high = found
    if not low < high:
        said = " to ".join(written(quantity(end, UNITS[axis.kind])) for end in ends)
        rule = "write the smaller end first"
        raise SiteError("map", f"range of {axis.name}", Said(said), rule)
    return low, high


def set_to(site: Site, values: Mapping[str, float], *, trough: str, recharge: bool = False) -> Site:
    """Give a site with some of its numbers set.

    Parameters
    ----------
    site : Site
        The line.
    values : dict of float
        Axis by name -> value [SI]; the sun is passed over.
    trough : str
        The trough that those of a trough are about.
    recharge : bool
        Whether the tank is charged anew, two psi under cut-in.

    Raises
    ------
    SiteError
        If there can be no such site.
    """
    part = next(each for each in site.troughs if each.name == trough)
    moved = site.changed(_switch(values, site))
    changes: Change = {}
    for name, value in values.items():
        change = AXES[name].change
        if change is not None:
            changes |= change(moved, part, value)
    moved = moved.changed(changes)
    if recharge and moved.pressure_tank is not None:
        charge = right_air(si(moved.pressure_switch.cut_in))
        moved = moved.changed({"pressure_tank.precharge": ureg.Quantity(charge, "Pa")})
    return moved
