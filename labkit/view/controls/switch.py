"""Controls of what stands at the manifold: switch, pressure tank, check valve."""

from math import pi
from typing import Final

from labkit.advice.axes import flow_of, sized
from labkit.advice.setting import after_turns, right_air, turns_to
from labkit.site import Site
from labkit.units import si, typed
from labkit.view.controls.base import Changes, control, of_site
from labkit.view.controls.line import by_table

TURN: Final = 2.0 * pi
"""One turn of a screw [rad]."""


def _turns(site: Site) -> tuple[float, float]:
    """Return how far range screw and differential nut are turned from the preset."""
    switch = site.pressure_switch
    return turns_to(si(switch.cut_in), si(switch.cut_out))


def _turned(turns: float, nut: float) -> Changes:
    cut_in, cut_out = (typed(point, "pressure") for point in after_turns(turns, nut))
    return {"switch.cut_in": cut_in, "switch.cut_out": cut_out}


def _precharge(site: Site) -> float:
    if site.pressure_tank:
        return si(site.pressure_tank.precharge)
    return right_air(si(site.pressure_switch.cut_in))


def _charged(site: Site, value: float) -> Changes:
    """Turn the air of the tank; without a tank there is none to turn."""
    if site.pressure_tank is None:
        return {}
    return {"pressure_tank.precharge": typed(value, "pressure")}


_SCREW: Final = of_site(
    lambda site: TURN * _turns(site)[0],
    lambda site, value: _turned(value / TURN, _turns(site)[1]),
)
"""The range screw moves both points; the nut stays."""

_NUT: Final = of_site(
    lambda site: TURN * _turns(site)[1],
    lambda site, value: _turned(_turns(site)[0], value / TURN),
)
"""The smaller nut moves cut-out alone; the range screw stays."""

_CHECK: Final = of_site(
    lambda site: flow_of(site.check_valve.leak), lambda _, value: {"check_valve.leak": sized(value)}
)

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
    control("range screw", "turns", (-4, 7, 0.25), (-4, 7, 0.25), _SCREW, grip="cut-in"),
    control("differential nut", "turns", (-4, 6, 0.25), (-4, 6, 0.25), _NUT, grip="cut-out"),
    control("tank volume", "volume", (0, 40, 1), (0, 150, 5), by_table("tank")),
    control("precharge", "pressure", (0, 60, 1), (0, 420, 5), of_site(_precharge, _charged)),
    control("check-valve leak", "flow", (0, 1, 0.02), (0, 4, 0.1), _CHECK),
)  # fmt: skip
