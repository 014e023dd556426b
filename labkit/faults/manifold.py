"""Faults of what stands at the manifold: check valve, tank, gauge, fittings, switch and wires."""

from collections.abc import Callable
from math import floor
from typing import Final, Literal

import attrs

from labkit.engine.fluid import water_at
from labkit.engine.steady import steady
from labkit.faults.fault import Fault, Price, putting, some_leak, words
from labkit.parts import MANIFOLD, DisplacementPump, SignalPair
from labkit.site import Site
from labkit.units import quantity, si
from labkit.units.customary import PSI

FAIR_SUN: Final = "650 W/m^2"
"""Irradiance on the array through a drill's day: a clear sky, some time from noon."""

_LEAST_STATIC: Final = 4.0 * PSI
_LEAST_AIR: Final = 4e-5


def _psi(pascal: float) -> str:
    return f"{pascal / PSI:.1f} psi"


def _has_tank(site: Site) -> str:
    return "" if site.pressure_tank is not None else words("no-tank")


def _high_cut_out(site: Site, _where: str, severity: float) -> str:
    most = steady(site, sun=FAIR_SUN, open_troughs=[]).pressure[MANIFOLD]
    return _psi((1.06 + 0.12 * severity) * most)


def _no_high_cut_out(site: Site) -> str:
    if isinstance(site.pump, DisplacementPump):
        return words("no-high-cut-out")
    relief, most = site.relief_valve, steady(site, sun=FAIR_SUN, open_troughs=[]).pressure[MANIFOLD]
    if most <= si(site.pressure_switch.cut_in):
        return words("no-cut-in-reached")
    if relief is not None and 1.2 * most >= si(relief.opens_at):
        return words("no-cut-out-under-relief")
    return ""


def _static(site: Site) -> float:
    """Return what the standing water up to the highest trough puts on the gauge [Pa]."""
    heights = (site.elevation(trough.name) for trough in site.troughs)
    return water_at(site.place).weight * max(heights)


def _low_cut_in(site: Site, _where: str, severity: float) -> str:
    return _psi((0.88 - 0.25 * severity) * _static(site))


def _no_static(site: Site) -> str:
    if _static(site) >= _LEAST_STATIC:
        return ""
    return words("no-static")


def _wrong_action(site: Site, _size: str, _where: str) -> Site:
    closes = site.pressure_switch.action == "closes on rise"
    action = "opens on rise" if closes else "closes on rise"
    return site.changed({"pressure_switch.action": action})


def _pair(site: Site) -> SignalPair:
    """Return the pair of wires; with the switch beside the controller, the short one there."""
    return site.pressure_switch.wire or SignalPair(gauge="18 AWG", length="10 ft")


def _wire(condition: Literal["cut", "shorted"]) -> Callable[[Site, str, str], Site]:
    def make(site: Site, _size: str, _where: str) -> Site:
        wire = attrs.evolve(_pair(site), condition=condition)
        return site.changed({"pressure_switch.wire": wire})

    return make


def _too_much(site: Site, _where: str, severity: float) -> str:
    """Return the ohms of a wet splice: well past what the stop input takes for a closed contact."""
    return f"{(2.0 + 13.0 * severity) * site.drive.stop_input.limit:.0f} ohm"


def _wet_splice(site: Site, size: str, _where: str) -> Site:
    return site.changed({"pressure_switch.wire": attrs.evolve(_pair(site), splice=size)})


def ohms(site: Site) -> str:
    """Say what a meter on the pair's controller end shows, the switch's lever held closed."""
    wire, switch = _pair(site), site.pressure_switch
    if wire.condition == "shorted":
        return "a few ohms"
    is_closed = "closed" in {switch.metered(is_tripped=one) for one in (True, False)}
    if wire.condition == "cut" or not is_closed:
        return "no reading"
    limit = site.drive.stop_input.limit
    return "a few ohms" if wire.loop_resistance <= limit else "too many ohms"


def _air_left(_site: Site, _where: str, severity: float) -> str:
    return f"{0.06 - 0.04 * severity:.3f}"


def _waterlogged(site: Site, size: str, _where: str) -> Site:
    whole = 0.0 if site.pressure_tank is None else si(site.pressure_tank.volume)
    air = f"{max(whole * float(size), _LEAST_AIR) * 1e3:.4f} L"
    return site.changed({"pressure_tank.volume": air, "pressure_tank.precharge": "0 psi"})


def _high_precharge(site: Site, _where: str, severity: float) -> str:
    low, high = site.pressure_switch.points
    return _psi(low + (0.8 + 0.4 * severity) * (high - low))


def _stopped_at(site: Site, _where: str, severity: float) -> str:
    share = 0.3 + 0.4 * severity
    return f"{floor(share * si(site.pressure_switch.cut_out) / PSI + 0.5001)} psi"  # a half goes up


def _as_it_was(site: Site, _size: str, _where: str) -> Site:
    return site


def _opens_early(site: Site, _where: str, severity: float) -> str:
    low, high = site.pressure_switch.points
    return _psi(low + (0.65 - 0.4 * severity) * (high - low))


def _weak_spring(site: Site, size: str, _where: str) -> Site:
    relief = site.relief_valve
    rated = si(quantity(size, "psi")) if relief is None else si(relief.opens_at)
    return site.changed({"relief_valve.spring": min(si(quantity(size, "psi")) / rated, 1.0)})


def _has_relief(site: Site) -> str:
    return "" if site.relief_valve is not None else words("no-relief")


def wellhead(site: Site, *, relieves: bool) -> str:
    """Say how the ground is at the wellhead, whose relief valve may be letting water out."""
    drips = any(leak.at == MANIFOLD for leak in site.leaks)
    return "relieving" if relieves else "wet" if drips else "dry"


def _drips(_site: Site, _where: str, severity: float) -> str:
    return f"{0.1 + 0.4 * severity:.2f} gpm at 30 psi"


def _leaking_fitting(site: Site, size: str, _where: str) -> Site:
    return site.changed({"leaks": [*site.leaks, {"at": MANIFOLD, "size": size}]})


STUCK_CHECK = Fault(
    key="check valve stuck shut",
    part="pump and well",
    cautions=("pressed", "well"),
    steps=("controller off", "bleed", "licensed"),
    price=Price(420, 1400),
    make=putting("check_valve.position", "stuck shut"),
)
WEAK_RELIEF = Fault(
    key="weak relief valve",
    part="gauge and switch",
    cautions=("pressed", "relief"),
    steps=("controller off", "bleed"),
    price=Price(45, 80),
    kind="pressure",
    size_at=_opens_early,
    make=_weak_spring,
    unavailable_reason=_has_relief,
)
BAD_CHECK = Fault(
    key="bad check valve",
    part="pump and well",
    cautions=("pressed", "well"),
    steps=("controller off", "bleed", "licensed"),
    price=Price(420, 1400),
    kind="leak",
    size_at=some_leak,
    make=putting("check_valve.leak"),
)
HIGH_CUT_OUT = Fault(
    key="cut-out too high for the sun",
    part="gauge and switch",
    cautions=("rated",),
    steps=("controller off",),
    price=Price(25, 0),
    kind="pressure",
    size_at=_high_cut_out,
    make=putting("pressure_switch.cut_out"),
    unavailable_reason=_no_high_cut_out,
)
LOW_CUT_IN = Fault(
    key="cut-in under the static pressure",
    part="gauge and switch",
    cautions=("rated",),
    steps=("controller off",),
    price=Price(25, 0),
    kind="pressure",
    size_at=_low_cut_in,
    make=putting("pressure_switch.cut_in"),
    unavailable_reason=_no_static,
)
WRONG_ACTION = Fault(
    key="wrong action",
    part="gauge and switch",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(45, 60),
    make=_wrong_action,
)
CUT_WIRE = Fault(
    key="cut wire",
    part="signal wires",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(180, 120),
    make=_wire("cut"),
)
CHEWED_PAIR = Fault(
    key="chewed pair",
    part="signal wires",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(180, 120),
    make=_wire("shorted"),
)
WET_SPLICE = Fault(
    key="wet splice",
    part="signal wires",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(120, 40),
    kind="resistance",
    size_at=_too_much,
    make=_wet_splice,
)
WATERLOGGED = Fault(
    key="waterlogged tank",
    part="tank",
    cautions=("pressed",),
    steps=("controller off", "bleed"),
    price=Price(60, 180),
    kind="share",
    size_at=_air_left,
    make=_waterlogged,
    unavailable_reason=_has_tank,
)
WRONG_PRECHARGE = Fault(
    key="wrong precharge",
    part="tank",
    cautions=("pressed",),
    steps=("controller off", "bleed"),
    price=Price(30, 0),
    kind="pressure",
    size_at=_high_precharge,
    make=putting("pressure_tank.precharge"),
    unavailable_reason=_has_tank,
)
PLUGGED_GAUGE = Fault(
    key="plugged gauge",
    part="gauge and switch",
    cautions=("pressed",),
    steps=("controller off", "bleed"),
    price=Price(20, 20),
    kind="pressure",
    size_at=_stopped_at,
    make=_as_it_was,
    stops_gauge=True,
)
PLUGGED_NIPPLE = Fault(
    key="plugged switch nipple",
    part="gauge and switch",
    cautions=("pressed",),
    steps=("controller off", "bleed"),
    price=Price(30, 10),
    make=putting("pressure_switch.nipple", "plugged"),
)
WELDED = Fault(
    key="welded switch contact",
    part="gauge and switch",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(45, 60),
    make=putting("pressure_switch.contact", "stuck closed"),
)
CORRODED = Fault(
    key="corroded switch contact",
    part="gauge and switch",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(45, 60),
    make=putting("pressure_switch.contact", "stuck open"),
)
WELLHEAD_LEAK = Fault(
    key="leak at the wellhead",
    part="pump and well",
    cautions=("pressed",),
    steps=("controller off", "bleed"),
    price=Price(60, 40),
    kind="leak",
    size_at=_drips,
    make=_leaking_fitting,
)
