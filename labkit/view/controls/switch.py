"""Controls of what stands at the manifold: switch, pressure tank, check valve."""

from math import pi
from typing import Final

from labkit.advice.axes import flow_of, sized
from labkit.advice.setting import after_turns, right_air, turns_to
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si, typed
from labkit.view.controls.base import Setting, control
from labkit.view.controls.line import by_table

TURN: Final = 2.0 * pi
"""One turn of a screw [rad]."""


def _turns(site: Site) -> tuple[float, float]:
    """Give how far range screw and differential nut are turned from the preset."""
    switch = site.pressure_switch
    return turns_to(si(switch.cut_in), si(switch.cut_out))


def _turned(site: Site, sun: Sun, *, turns: float, nut: float) -> Setting:
    cut_in, cut_out = (typed(point, "pressure") for point in after_turns(turns, nut))
    return site.changed({"switch.cut_in": cut_in, "switch.cut_out": cut_out}), sun


def _screw(site: Site, _sun: Sun) -> float:
    return TURN * _turns(site)[0]


def _set_screw(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the range screw, which moves both points; the nut stays."""
    return _turned(site, sun, turns=value / TURN, nut=_turns(site)[1])


def _nut(site: Site, _sun: Sun) -> float:
    return TURN * _turns(site)[1]


def _set_nut(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the smaller nut, which moves cut-out alone; the range screw stays."""
    return _turned(site, sun, turns=_turns(site)[0], nut=value / TURN)


def _check_leak(site: Site, _sun: Sun) -> float:
    return flow_of(site.check_valve.leak)


def _set_check_leak(site: Site, sun: Sun, value: float) -> Setting:
    return site.changed({"check_valve.leak": sized(value)}), sun


def _precharge(site: Site, _sun: Sun) -> float:
    if site.pressure_tank:
        return si(site.pressure_tank.precharge)
    return right_air(si(site.pressure_switch.cut_in))


def _set_precharge(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the air of the tank; without a tank there is none to turn."""
    if site.pressure_tank is None:
        return site, sun
    return site.changed({"pressure_tank.precharge": typed(value, "pressure")}), sun


CONTROLS: Final = (
    control(
        "switch differential", "pressure", (2, 30, 1), (10, 210, 5),
        by_table("differential"), grip="cut-out",
    ),
    control(
        "cut-out", "pressure", (10, 80, 1), (70, 550, 5), by_table("cut-out"), "cut-out control",
        grip="cut-out",
    ),
    control(
        "cut-in", "pressure", (5, 60, 1), (35, 420, 5), by_table("cut-in"), "cut-in control",
        grip="cut-in",
    ),
    control("range screw", "turns", (-4, 7, 0.25), (-4, 7, 0.25), (_screw, _set_screw),
            grip="cut-in"),
    control("differential nut", "turns", (-4, 6, 0.25), (-4, 6, 0.25), (_nut, _set_nut),
            grip="cut-out"),
    control("tank volume", "volume", (0, 40, 1), (0, 150, 5), by_table("tank")),
    control("precharge", "pressure", (0, 60, 1), (0, 420, 5), (_precharge, _set_precharge)),
    control("check-valve leak", "flow", (0, 1, 0.02), (0, 4, 0.1), (_check_leak, _set_check_leak)),
)  # fmt: skip
