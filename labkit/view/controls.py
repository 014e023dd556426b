"""What the sliders of a bench can turn: each control is a range, and a change to a Site or its sun.

Ranges are our judgement: wide enough to fail in both directions, round in US and in metric units.
"""

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Final

import attrs

from labkit.errors import SiteError
from labkit.parts import Leak, PressureTank, Trough
from labkit.site import Site
from labkit.sun import Sun, constant
from labkit.units import FlowAt, LeakSize, Quantity, si, typed
from labkit.view.language import say
from labkit.view.words import WORDS

LEAK_PRESSURE: Final = typed(206842.7, "pressure", "US")
"""The pressure at which leaks are stated: 30 psi."""

Setting = tuple[Site, Sun]


@attrs.frozen
class Span:
    """The range of a slider in display units: its ends and its step."""

    low: float
    high: float
    step: float


@attrs.frozen(kw_only=True)
class Control:
    """One thing that a slider turns.

    Attributes
    ----------
    name : str
        What a bench calls it by.
    words : str
        Its label; ``{pressure}`` in it stands for the pressure at which leaks are stated.
    kind : str
        What it measures, as `labkit.units` names it.
    spans : mapping
        Its range in each system of units.
    read : callable
        Gives its value [SI] from a site and a sun.
    apply : callable
        Gives the site and sun changed to a value [SI].
    """

    name: str
    words: str
    kind: str
    spans: Mapping[str, Span]
    read: Callable[[Site, Sun], float]
    apply: Callable[[Site, Sun, float], Setting]

    def label(self, system: str) -> str:
        """Give its label in a system of units."""
        pressure = say(si(LEAK_PRESSURE), "pressure", system).replace(".0 ", " ")
        return self.words.format(pressure=pressure)


def apply_all(setting: Setting, values: Iterable[tuple[Control, float]]) -> Setting:
    """Change a site and a sun by several controls.

    Each must fit what is there when its turn comes, such as a cut-in below the cut-out. One that
    does not waits for the others.

    Raises
    ------
    SiteError
        If no order of the controls gives a site that can be.
    """
    waiting = list(values)
    while waiting:
        refused, problem = [], None
        for control, value in waiting:
            try:
                setting = control.apply(*setting, value)
            except SiteError as error:
                refused.append((control, value))
                problem = problem or error
        if problem is not None and len(refused) == len(waiting):
            raise problem
        waiting = refused
    return setting


def far_trough(site: Site) -> Trough:
    """Give the trough at the longest way along the pipe."""
    distance = {"manifold": 0.0}
    for start, end, pipe in site.runs():
        distance[end] = distance[start] + si(pipe.length)
    return max(site.troughs, key=lambda trough: distance[trough.name])


def _set_sun(site: Site, _sun: Sun, value: float) -> Setting:
    return site, constant(typed(value, "irradiance"), site.place.air_temperature)


def _strongest(_site: Site, sun: Sun) -> float:
    return float(sun.irradiance.max())


def _head(site: Site, _sun: Sun) -> float:
    return site.elevation(far_trough(site).name)


def _set_head(site: Site, sun: Sun, value: float) -> Setting:
    trough = far_trough(site)
    rise = value - site.elevation(trough.pipe.from_)
    return site.changed({f"trough.{trough.name}.pipe.rise": _length(rise)}), sun


def _differential(site: Site, _sun: Sun) -> float:
    return si(site.pressure_switch.cut_out) - si(site.pressure_switch.cut_in)


def _set_differential(site: Site, sun: Sun, value: float) -> Setting:
    cut_out = si(site.pressure_switch.cut_in) + value
    return site.changed({"switch.cut_out": typed(cut_out, "pressure")}), sun


def _set_point(name: str) -> tuple[Callable[[Site, Sun], float], Callable[..., Setting]]:
    """Read and turn one point of the switch."""

    def read(site: Site, _sun: Sun) -> float:
        return si(getattr(site.pressure_switch, name))

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        return site.changed({f"switch.{name}": typed(value, "pressure")}), sun

    return read, turn


def _flow_of(size: LeakSize) -> float:
    """Give the flow of a leak that is stated as a flow; a hole counts as none on a slider."""
    return si(size.flow) if isinstance(size, FlowAt) else 0.0


def _sized(value: float) -> FlowAt:
    return FlowAt(flow=typed(value, "flow"), pressure=LEAK_PRESSURE)


def _line_leak(site: Site, _sun: Sun) -> float:
    return _flow_of(site.leaks[0].size) if site.leaks else 0.0


def _set_line_leak(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the first leak of the line; without one, a leak halfway along the far trough's pipe."""
    trough = far_trough(site)
    halfway = _length(si(trough.pipe.length) / 2.0)
    first = site.leaks[0] if site.leaks else Leak(at=trough.name, distance=halfway, size="0 gpm")
    leaks = (attrs.evolve(first, size=_sized(value)), *site.leaks[1:])
    return site.changed({"leaks": leaks}), sun


def _float_leak(site: Site, _sun: Sun) -> float:
    return _flow_of(far_trough(site).float_valve.seat_leak)


def _set_float_leak(site: Site, sun: Sun, value: float) -> Setting:
    key = f"trough.{far_trough(site).name}.float_valve.seat_leak"
    return site.changed({key: _sized(value)}), sun


def _check_leak(site: Site, _sun: Sun) -> float:
    return _flow_of(site.check_valve.leak)


def _set_check_leak(site: Site, sun: Sun, value: float) -> Setting:
    return site.changed({"check_valve.leak": _sized(value)}), sun


def _tank(site: Site, _sun: Sun) -> float:
    return si(site.pressure_tank.volume) if site.pressure_tank else 0.0


def _set_tank(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the tank's size; a new one is charged 2 psi under cut-in (common practice)."""
    if value <= 0.0:
        return site.changed({"pressure_tank": None}), sun
    under = si(site.pressure_switch.cut_in) - si(typed(13789.5, "pressure"))
    old = site.pressure_tank
    precharge = old.precharge if old else typed(max(under, 0.0), "pressure")
    tank = PressureTank(volume=typed(value, "volume"), precharge=precharge)
    return site.changed({"pressure_tank": tank}), sun


def _far_length(site: Site, _sun: Sun) -> float:
    return si(far_trough(site).pipe.length)


def _set_far_length(site: Site, sun: Sun, value: float) -> Setting:
    key = f"trough.{far_trough(site).name}.pipe.length"
    return site.changed({key: _length(value)}), sun


def _length(value: float) -> Quantity:
    return typed(value, "length")


def _control(
    name: str,
    kind: str,
    us: tuple[float, float, float],
    metric: tuple[float, float, float],
    turn: tuple[Callable[[Site, Sun], float], Callable[[Site, Sun, float], Setting]],
    words: str | None = None,
) -> Control:
    spans = MappingProxyType({"US": Span(*us), "metric": Span(*metric)})
    label = WORDS[words or name]
    return Control(name=name, words=label, kind=kind, spans=spans, read=turn[0], apply=turn[1])


_SUN: Final = (0.0, 1000.0, 10.0)
_LEAK: Final = (0.0, 2.0, 0.05)
_METRIC_LEAK: Final = (0.0, 8.0, 0.2)
_DRIP: Final = (0.0, 1.0, 0.02)
_METRIC_DRIP: Final = (0.0, 4.0, 0.1)

CONTROLS: Final[Mapping[str, Control]] = MappingProxyType(
    {
        control.name: control
        for control in (
            _control(
                "irradiance", "irradiance", (0, 1000, 10), (0, 1000, 10), (_strongest, _set_sun)
            ),
            _control("head", "length", (0, 80, 1), (0, 25, 0.5), (_head, _set_head)),
            _control(
                "switch differential",
                "pressure",
                (2, 30, 1),
                (10, 210, 5),
                (_differential, _set_differential),
            ),
            _control("leak size", "flow", _LEAK, _METRIC_LEAK, (_line_leak, _set_line_leak)),
            _control(
                "cut-out",
                "pressure",
                (10, 80, 1),
                (70, 550, 5),
                _set_point("cut_out"),
                "cut-out control",
            ),
            _control(
                "cut-in",
                "pressure",
                (5, 60, 1),
                (35, 420, 5),
                _set_point("cut_in"),
                "cut-in control",
            ),
            _control("tank volume", "volume", (0, 40, 1), (0, 150, 5), (_tank, _set_tank)),
            _control("float leak", "flow", _DRIP, _METRIC_DRIP, (_float_leak, _set_float_leak)),
            _control(
                "check-valve leak", "flow", _DRIP, _METRIC_DRIP, (_check_leak, _set_check_leak)
            ),
            _control(
                "pipe length",
                "length",
                (100, 5000, 50),
                (30, 1500, 10),
                (_far_length, _set_far_length),
            ),
        )
    }
)
"""Every control by its name."""


def control_named(name: str | Control) -> Control:
    """Give a control by its name; one that is ready-made passes.

    Raises
    ------
    SiteError
        If there is none of that name.
    """
    if isinstance(name, Control):
        return name
    if name not in CONTROLS:
        raise SiteError("bench", "controls", name, f"write one of {', '.join(CONTROLS)}")
    return CONTROLS[name]
