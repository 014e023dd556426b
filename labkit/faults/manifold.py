"""Faults of what stands at the manifold: check valve, tank, gauge, switch and its wires."""

from typing import Final, Literal

import attrs

from labkit.engine.fluid import water_at
from labkit.engine.steady import steady
from labkit.faults.fault import Fault
from labkit.parts import MANIFOLD, DisplacementPump, SignalPair
from labkit.site import Site
from labkit.units import si

FAIR_SUN: Final = "650 W/m^2"
"""Irradiance on the array through a drill's day: a clear sky, some time from noon."""

_PSI: Final = 6894.757
_LEAST_STATIC: Final = 4.0 * _PSI
_LEAST_AIR: Final = 4e-5
_PRESSED = (
    "The line holds pressure after the pump stops. Bleed it to zero before you open anything."
)
_WIRES = (
    "Panels are live in daylight, and the controller's terminals may be too. Put a meter only on "
    "the signal pair, and leave the rest to a licensed electrician."
)


def _psi(pascal: float) -> str:
    return f"{pascal / _PSI:.1f} psi"


def _no_size(_site: Site, _where: str, _badness: float) -> str:
    return ""


def _has_tank(site: Site) -> str:
    return "" if site.pressure_tank is not None else "the site has no pressure tank"


def _some_leak(_site: Site, _where: str, badness: float) -> str:
    return f"{0.15 + 0.45 * badness:.2f} gpm at 30 psi"


def _bad_check(site: Site, size: str, _where: str) -> Site:
    return site.changed({"check_valve.leak": size})


def _high_cut_out(site: Site, _where: str, badness: float) -> str:
    most = steady(site, sun=FAIR_SUN, open_troughs=[]).pressure[MANIFOLD]
    return _psi((1.06 + 0.12 * badness) * most)


def _cut_out(site: Site, size: str, _where: str) -> Site:
    return site.changed({"pressure_switch.cut_out": size})


def _no_high_cut_out(site: Site) -> str:
    if isinstance(site.pump, DisplacementPump):
        return "a positive-displacement pump climbs to any cut-out and past it"
    relief, most = site.relief_valve, steady(site, sun=FAIR_SUN, open_troughs=[]).pressure[MANIFOLD]
    if most <= si(site.pressure_switch.cut_in):
        return "its pump does not even reach the cut-in"
    if relief is not None and 1.2 * most >= si(relief.opens_at):
        return "its relief valve would open first"
    return ""


def _static(site: Site) -> float:
    """Give what the standing water up to the highest trough puts on the gauge [Pa]."""
    heights = (site.elevation(trough.name) for trough in site.troughs)
    return water_at(site.place).weight * max(heights)


def _low_cut_in(site: Site, _where: str, badness: float) -> str:
    return _psi((0.88 - 0.25 * badness) * _static(site))


def _cut_in(site: Site, size: str, _where: str) -> Site:
    return site.changed({"pressure_switch.cut_in": size})


def _no_static(site: Site) -> str:
    if _static(site) >= _LEAST_STATIC:
        return ""
    return "no trough is high enough above the gauge to hold it above a cut-in"


def _wrong_action(site: Site, _size: str, _where: str) -> Site:
    closes = site.pressure_switch.action == "closes on rise"
    action = "opens on rise" if closes else "closes on rise"
    return site.changed({"pressure_switch.action": action})


def _wire(site: Site, condition: Literal["cut", "shorted"]) -> Site:
    wire = site.pressure_switch.wire or SignalPair(gauge="18 AWG", length="10 ft")
    return site.changed({"pressure_switch.wire": attrs.evolve(wire, condition=condition)})


def _cut_wire(site: Site, _size: str, _where: str) -> Site:
    return _wire(site, "cut")


def _chewed_pair(site: Site, _size: str, _where: str) -> Site:
    return _wire(site, "shorted")


def _plugged_nipple(site: Site, _size: str, _where: str) -> Site:
    return site.changed({"pressure_switch.nipple": "plugged"})


def _air_left(_site: Site, _where: str, badness: float) -> str:
    return f"{0.06 - 0.04 * badness:.3f}"


def _waterlogged(site: Site, size: str, _where: str) -> Site:
    whole = 0.0 if site.pressure_tank is None else si(site.pressure_tank.volume)
    air = f"{max(whole * float(size), _LEAST_AIR) * 1e3:.4f} L"
    return site.changed({"pressure_tank.volume": air, "pressure_tank.precharge": "0 psi"})


def _high_precharge(site: Site, _where: str, badness: float) -> str:
    switch = site.pressure_switch
    low, high = si(switch.cut_in), si(switch.cut_out)
    return _psi(low + (0.8 + 0.4 * badness) * (high - low))


def _precharge(site: Site, size: str, _where: str) -> Site:
    return site.changed({"pressure_tank.precharge": size})


def _stopped_at(site: Site, _where: str, badness: float) -> str:
    return f"{round((0.3 + 0.4 * badness) * si(site.pressure_switch.cut_out) / _PSI)} psi"


def _as_it_was(site: Site, _size: str, _where: str) -> Site:
    return site


BAD_CHECK = Fault(
    key="bad check valve",
    part="pump and well",
    brief="lets water run back down the well",
    about="The check valve lets water run back down the well.",
    complaint="The pump comes on again and again, but no stock drinks and nothing is wet.",
    # A second valve at the surface lets the drop pipe drain to vacuum below it (common practice
    # of installers and pump handbooks; well codes differ from state to state).
    repair="First check fittings, drain and line shutoff valve for the leak. If they're tight, "
    "have "
    "the pump pulled and the check valve replaced. A second valve at the surface hides the leak "
    "and "
    "can cause water hammer; ask your pump installer and check your state's well code.",
    cautions=f"{_PRESSED} Leave the well to a licensed pump installer.",
    kind="leak",
    size_at=_some_leak,
    make=_bad_check,
)
HIGH_CUT_OUT = Fault(
    key="cut-out too high for the sun",
    part="gauge and switch",
    brief="the pump can't reach it",
    about="The cut-out is set higher than the pump can reach in this sun.",
    complaint="The trough is full, and the pump is still humming.",
    repair="Set the cut-out well below what the closed line reaches in the weakest sun that "
    "counts.",
    cautions="Never set a cut-out above what pipe, tank and float valve are rated for.",
    kind="pressure",
    size_at=_high_cut_out,
    make=_cut_out,
    hinders=_no_high_cut_out,
)
LOW_CUT_IN = Fault(
    key="cut-in under the static pressure",
    part="gauge and switch",
    brief="static head alone holds the gauge above it",
    about="Static head alone holds the gauge above the cut-in.",
    complaint="It stopped once and never restarted. The trough is dry.",
    repair="Set the cut-in above the static head at the gauge.",
    cautions="Never set a cut-out above what pipe, tank and float valve are rated for.",
    kind="pressure",
    size_at=_low_cut_in,
    make=_cut_in,
    hinders=_no_static,
)
WRONG_ACTION = Fault(
    key="wrong action",
    part="gauge and switch",
    brief="the contact opens where it should close, or closes where it should open",
    about="The switch opens where the controller needs it to close, or the other way around.",
    complaint="It never runs while the line is low.",
    repair="Install a switch with the action that the controller needs, or wire its other contact.",
    cautions=_WIRES,
    size_at=_no_size,
    make=_wrong_action,
)
CUT_WIRE = Fault(
    key="cut wire",
    part="signal wires",
    brief="the controller always sees an open contact",
    about="A wire of the signal pair is cut: the controller sees an open contact, whatever the "
    "switch "
    "does.",
    complaint="The pump ignores the switch.",
    repair="Find the break, splice it with a waterproof splice, and protect the pair.",
    cautions=_WIRES,
    size_at=_no_size,
    make=_cut_wire,
)
CHEWED_PAIR = Fault(
    key="chewed pair",
    part="signal wires",
    brief="the wires touch, so the controller always sees a closed contact",
    about="The two wires touch: the controller sees a closed contact, whatever the switch does.",
    complaint="The pump ignores the switch.",
    repair="Cut out the chewed piece, splice it with waterproof splices, and protect the pair.",
    cautions=_WIRES,
    size_at=_no_size,
    make=_chewed_pair,
)
WATERLOGGED = Fault(
    key="waterlogged tank",
    part="tank",
    brief="its air is gone, so it has next to no drawdown",
    about="The tank is waterlogged: it has lost its air and has next to no drawdown.",
    complaint="The pump short-cycles as the float closes.",
    repair="If the air valve spits water, replace the tank. If not, drain it and pump the air "
    "back up.",
    cautions=_PRESSED,
    kind="share",
    size_at=_air_left,
    make=_waterlogged,
    hinders=_has_tank,
)
WRONG_PRECHARGE = Fault(
    key="wrong precharge",
    part="tank",
    brief="its precharge is above cut-in",
    about="The tank's precharge is above the cut-in, so the tank is empty before the pump "
    "restarts.",
    complaint="The pump starts more often than it used to.",
    repair="With the tank empty of water, bleed its air down to about 2 psi below cut-in.",
    cautions=_PRESSED,
    kind="pressure",
    size_at=_high_precharge,
    make=_precharge,
    hinders=_has_tank,
)
PLUGGED_GAUGE = Fault(
    key="plugged gauge",
    part="gauge and switch",
    brief="reads the same no matter what the line does",
    about="The gauge's port is plugged, so it reads the same no matter what the line does.",
    complaint="The gauge hasn't moved for days.",
    repair="Bleed the pressure to zero, then clear the port or replace the gauge.",
    cautions=_PRESSED,
    kind="pressure",
    size_at=_stopped_at,
    make=_as_it_was,
    stops_gauge=True,
)
PLUGGED_NIPPLE = Fault(
    key="plugged switch nipple",
    part="gauge and switch",
    brief="the switch no longer feels the line",
    about="The nipple to the switch is plugged: the switch no longer feels the line.",
    complaint="The pump won't stop, no matter what the gauge reads.",
    repair="Bleed the pressure to zero, clear or replace the nipple, and try the switch again.",
    cautions=_PRESSED,
    size_at=_no_size,
    make=_plugged_nipple,
)
