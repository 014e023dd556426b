"""Faults of well, array and pump."""

from typing import Any, Final

from labkit.engine.steady import steady
from labkit.faults.fault import Fault, Price, putting, some_share, words
from labkit.parts import DisplacementPump
from labkit.site import Site
from labkit.sun import Sun
from labkit.trace import DriveState, Trace
from labkit.units import Quantity, si, written
from labkit.units.customary import FOOT, GPM

_AS_A_RULE: Final = 0.45
"""Share of a centrifugal pump's head and flow that is left as it turns the wrong way: they vary
widely from pump to pump, and up to seven tenths are lost (from memory)."""

_NO_WATER: Final = 3e-6
"""What all troughs together get when nothing comes that anybody would call water [m3/s]."""

_MOST_SLIP: Final = 0.5  # the largest slip that a pump may have [-]; one with more is past use


def _times(quantity: Quantity, share: float) -> str:
    """Write a quantity, some share of it, in its own unit."""
    return written(quantity * share)


def _worn_pump(site: Site, size: str, _where: str) -> Site:
    left, pump = float(size), site.pump
    if isinstance(pump, DisplacementPump):
        return _more_slip(site, pump, left)
    changes: dict[str, Any] = {
        "pump.shut_off_head": _times(pump.shut_off_head, left),
        "pump.rated_flow": _times(pump.rated_flow, left),
        "pump.rated_head": _times(pump.rated_head, left),
        "pump.efficiency": pump.efficiency * left,
    }
    if pump.high_flow is not None and pump.high_head is not None:
        changes["pump.high_flow"] = _times(pump.high_flow, left)
        changes["pump.high_head"] = _times(pump.high_head, left)
    return site.changed(changes)


def _more_slip(site: Site, pump: DisplacementPump, left: float) -> Site:
    """Let a pump that sweeps the same volume pass `left` of its flow at its rated head.

    Each turn still moves the same volume against the same head and the same friction, so shaft
    power, torque and the torque at which the drive gives up stay as they were.
    """
    left = max(left, (1.0 - _MOST_SLIP) / (1.0 - pump.slip))
    return site.changed(
        {
            "pump.rated_flow": _times(pump.rated_flow, left),
            "pump.slip": 1.0 - left * (1.0 - pump.slip),
            "pump.efficiency": pump.efficiency * left,
        }
    )


def _backward(site: Site, size: str, _where: str) -> Site:
    return site.changed({"pump.backward": float(size)})


def swapped(site: Site, sun: Sun | str) -> str:
    """Say what swapping two leads of the motor does to the water that the troughs get.

    With every float down in a `sun`, while the switch does not stop the pump.
    """
    pump = site.pump
    if site.drive.fault != "none" or isinstance(pump, DisplacementPump):
        return "no water"
    other = _AS_A_RULE if pump.backward is None else None
    before, after = (
        sum(steady(one, sun=sun).inflow.values())
        for one in (site, site.changed({"pump.backward": other}))
    )
    if max(before, after) < _NO_WATER:
        return "no water"
    return "more water" if after > before else "less water"


def lit(trace: Trace, row: int = -1) -> str:
    """Say what a drive's lights show: what it is doing, or that something keeps it from it."""
    if trace.site.drive.fault != "none":
        return "showing a fault code"
    return DriveState(int(trace.drive_state[row])).words


def insulation(site: Site) -> str:
    """Say what a test of the insulation of the lead to the motor shows."""
    return "low" if site.drive.fault == "motor lead" else "good"


def metered_power(trace: Trace, row: int = -1) -> float:
    """Return what the array can give [W], metered ahead of the drive."""
    return float(trace.power[row]) / trace.site.drive.efficiency


def _only_centrifugal(site: Site) -> str:
    return words("only-centrifugal") if isinstance(site.pump, DisplacementPump) else ""


def _dusty_array(site: Site, size: str, _where: str) -> Site:
    return site.changed({"array.derate": max(0.05, site.array.derate * float(size))})


def _standing_water(site: Site) -> float:
    """Water over the intake when the well rests [m]."""
    return si(site.well.intake_depth) - si(site.well.static_level)


def _low_level(site: Site, _where: str, severity: float) -> str:
    fallen = (0.86 + 0.11 * severity) * _standing_water(site)
    return f"{(si(site.well.static_level) + fallen) / FOOT:.1f} ft"


def _clogged_screen(site: Site, size: str, _where: str) -> Site:
    drawn = float(size) * _standing_water(site) / si(site.pump.rated_flow)  # s/m2
    feet_per_gpm = min(50.0, drawn * GPM / FOOT)
    return site.changed({"well.drawdown": f"{feet_per_gpm:.2f} ft/gpm"})


def _not_on_the_grid(site: Site) -> str:
    if site.drive.kind == "solar":
        return ""
    return words("no-solar-controller")


WORN_PUMP = Fault(
    key="worn pump",
    part="pump and well",
    cautions=("pulling",),
    steps=("controller off", "licensed"),
    price=Price(480, 2600),
    kind="share",
    size_at=some_share(0.75, 0.55),
    make=_worn_pump,
)
DUSTY_ARRAY = Fault(
    key="dusty or shaded array",
    part="sun and panels",
    cautions=("panels",),
    steps=(),
    price=Price(45, 0),
    kind="share",
    size_at=some_share(0.45, 0.25),
    make=_dusty_array,
)
LOW_WELL = Fault(
    key="low well",
    part="pump and well",
    cautions=("pulling",),
    steps=("controller off", "licensed"),
    price=Price(240, 400),
    kind="length",
    size_at=_low_level,
    make=putting("well.static_level"),
)
CLOGGED_SCREEN = Fault(
    key="clogged screen",
    part="pump and well",
    cautions=("pulling",),
    steps=("controller off", "licensed"),
    price=Price(600, 3500),
    kind="share",
    size_at=some_share(1.1, 1.3),
    make=_clogged_screen,
)
NO_START = Fault(
    key="controller or motor fault",
    part="pump and well",
    cautions=("controller",),
    steps=("controller off", "licensed"),
    price=Price(240, 900),
    make=putting("drive.fault", "own"),
    unavailable_reason=_not_on_the_grid,
)
MOTOR_LEAD = Fault(
    key="bad motor lead",
    part="pump and well",
    cautions=("controller", "pulling"),
    steps=("controller off", "licensed"),
    price=Price(420, 800),
    make=putting("drive.fault", "motor lead"),
    unavailable_reason=_not_on_the_grid,
)
BACKWARD = Fault(
    key="pump turning backward",
    part="pump and well",
    cautions=("controller",),
    steps=("controller off", "licensed"),
    price=Price(30, 150),
    kind="share",
    size_at=some_share(0.55, 0.35),
    make=_backward,
    unavailable_reason=_only_centrifugal,
)
