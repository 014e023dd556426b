"""Controls of what stands at the manifold: switch, pressure tank, check valve."""

from math import pi
from typing import Final

from labkit.advice.setting import after_turns, turns_to
from labkit.parts import PressureTank
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si, typed
from labkit.view.controls.base import Read, Setting, Turn, control, flow_of, sized

TURN: Final = 2.0 * pi
"""One turn of a screw [rad]."""


def _differential(site: Site, _sun: Sun) -> float:
    return si(site.pressure_switch.cut_out) - si(site.pressure_switch.cut_in)


def _set_differential(site: Site, sun: Sun, value: float) -> Setting:
    cut_out = si(site.pressure_switch.cut_in) + value
    return site.changed({"switch.cut_out": typed(cut_out, "pressure")}), sun


def _set_point(name: str) -> tuple[Read, Turn]:
    """Read and turn one point of the switch."""

    def read(site: Site, _sun: Sun) -> float:
        return si(getattr(site.pressure_switch, name))

    def turn(site: Site, sun: Sun, value: float) -> Setting:
        return site.changed({f"switch.{name}": typed(value, "pressure")}), sun

    return read, turn


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


def _tank(site: Site, _sun: Sun) -> float:
    return si(site.pressure_tank.volume) if site.pressure_tank else 0.0


def _under_cut_in(site: Site) -> float:
    """Give the usual charge: 2 psi under cut-in (common practice) [Pa]."""
    return max(si(site.pressure_switch.cut_in) - si(typed(13789.5, "pressure")), 0.0)


def _set_tank(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the tank's size; a new one is charged 2 psi under cut-in (common practice)."""
    if value <= 0.0:
        return site.changed({"pressure_tank": None}), sun
    old = site.pressure_tank
    precharge = old.precharge if old else typed(_under_cut_in(site), "pressure")
    tank = PressureTank(volume=typed(value, "volume"), precharge=precharge)
    return site.changed({"pressure_tank": tank}), sun


def _precharge(site: Site, _sun: Sun) -> float:
    return si(site.pressure_tank.precharge) if site.pressure_tank else _under_cut_in(site)


def _set_precharge(site: Site, sun: Sun, value: float) -> Setting:
    """Turn the air of the tank; without a tank there is none to turn."""
    if site.pressure_tank is None:
        return site, sun
    return site.changed({"pressure_tank.precharge": typed(value, "pressure")}), sun


CONTROLS: Final = (
    control(
        "switch differential", "pressure", (2, 30, 1), (10, 210, 5),
        (_differential, _set_differential), grip="cut-out",
    ),
    control(
        "cut-out", "pressure", (10, 80, 1), (70, 550, 5), _set_point("cut_out"), "cut-out control",
        grip="cut-out",
    ),
    control(
        "cut-in", "pressure", (5, 60, 1), (35, 420, 5), _set_point("cut_in"), "cut-in control",
        grip="cut-in",
    ),
    control("range screw", "turns", (-4, 7, 0.25), (-4, 7, 0.25), (_screw, _set_screw),
            grip="cut-in"),
    control("differential nut", "turns", (-4, 6, 0.25), (-4, 6, 0.25), (_nut, _set_nut),
            grip="cut-out"),
    control("tank volume", "volume", (0, 40, 1), (0, 150, 5), (_tank, _set_tank)),
    control("precharge", "pressure", (0, 60, 1), (0, 420, 5), (_precharge, _set_precharge)),
    control("check-valve leak", "flow", (0, 1, 0.02), (0, 4, 0.1), (_check_leak, _set_check_leak)),
)  # fmt: skip
