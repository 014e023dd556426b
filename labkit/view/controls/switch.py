"""Controls of switch, tank and check valve, and of how the drive is told to stop."""

from math import pi
from typing import Any, Final

import attrs

from labkit.advice.axes import flow_of, sized
from labkit.advice.setting import after_turns, right_air, turns_to
from labkit.advice.stop_table import ACTIONS, KINDS, drive_of
from labkit.parts import SignalPair
from labkit.parts.signals import GAUGES
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.units import si, typed
from labkit.view.controls.base import Changes, as_length, choice, control, of_site
from labkit.view.controls.line import by_table

FAULTS: Final = ("none", "cut", "shorted", "stuck open", "stuck closed")
"""What may be wrong between the switch and the drive: nothing, its pair, its contact."""

_ORDINARY: Final = SignalPair(gauge="18 AWG", length="100 ft")


def pair_of(site: Site) -> SignalPair:
    """Return the pair from the switch to the drive; where there is none, an ordinary short one."""
    return site.pressure_switch.wire or _ORDINARY


def _with_pair(site: Site, **fields: Any) -> Changes:
    return {"switch.wire": attrs.evolve(pair_of(site), **fields)}


def fault_of(site: Site) -> str:
    """Say what is wrong between the switch and the drive, as one of `FAULTS`."""
    contact, condition = site.pressure_switch.contact, pair_of(site).condition
    if condition != "sound":
        return condition
    return "none" if contact == "works" else contact


def _broken(site: Site, fault: str) -> Changes:
    """Break one thing; the others are mended."""
    contact = fault if fault.startswith("stuck") else "works"
    condition = fault if fault in {"cut", "shorted"} else "sound"
    return {"switch.contact": contact, **_with_pair(site, condition=condition)}


TURN: Final = 2.0 * pi  # one turn of a screw [rad]


def _turns(site: Site) -> tuple[float, float]:
    """Return how far range screw and differential nut are turned from the preset."""
    return turns_to(*site.pressure_switch.points)


def _turned(turns: float, nut: float) -> Changes:
    cut_in, cut_out = (typed(point, "pressure") for point in after_turns(turns, nut))
    return {"switch.cut_in": cut_in, "switch.cut_out": cut_out}


def _precharge(site: Site) -> float:
    if site.pressure_tank:
        return si(site.pressure_tank.precharge)
    return right_air(si(site.pressure_switch.cut_in))


def _charged(site: Site, value: float) -> Changes:
    """Turn the air of the tank; without a tank there is none to turn."""
    return {"pressure_tank.precharge": typed(value, "pressure")} if site.pressure_tank else {}


_SCREW: Final = of_site(
    lambda site: TURN * _turns(site)[0], lambda site, value: _turned(value / TURN, _turns(site)[1])
)
"""The range screw moves both points; the nut stays."""

_NUT: Final = of_site(
    lambda site: TURN * _turns(site)[1], lambda site, value: _turned(_turns(site)[0], value / TURN)
)
"""The smaller nut moves cut-out alone; the range screw stays."""

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
    control(
        "check-valve leak", "flow", (0, 1, 0.02), (0, 4, 0.1),
        of_site(
            lambda site: flow_of(site.check_valve.leak),
            lambda _, value: {"check_valve.leak": sized(value)},
        ),
    ),
    control(
        "pair length", "length", (100, 6000, 100), (40, 1800, 40),
        of_site(
            lambda site: si(pair_of(site).length),
            lambda site, value: _with_pair(site, length=as_length(value)),
        ),
    ),
)  # fmt: skip

CHOICES: Final = (
    choice(
        "action", ACTIONS,
        of_site(
            lambda site: site.pressure_switch.action, lambda _, action: {"switch.action": action}
        ),
    ),
    choice(
        "drive kind", KINDS,
        of_site(lambda site: site.drive.kind, lambda site, kind: {"drive": drive_of(site, kind)}),
        says=lambda kind: WORDS[f"drive {kind}"],
    ),
    choice(
        "gauge", GAUGES,
        of_site(
            lambda site: pair_of(site).gauge, lambda site, gauge: _with_pair(site, gauge=gauge)
        ),
        words="gauge of pair",
    ),
    choice(
        "wire fault", FAULTS, of_site(fault_of, _broken), says=lambda fault: WORDS[f"fault {fault}"]
    ),
)  # fmt: skip
