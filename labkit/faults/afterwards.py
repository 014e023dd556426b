"""Faults that come with a repair, a season or a storm: contacts, fittings, a valve left closed."""

from typing import Final

from labkit.faults.fault import Fault, each_trough
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.units import written

THROTTLED: Final = 250.0
"""Loss coefficient from which a line shutoff valve counts as partly closed [-]: a ball valve two
thirds closed has some 200, one that is nearly shut thousands (from memory)."""

_DEAD: Final = "5000 W"
"""Shaft power without which a drive stays at rest that cannot start at all."""

_WIRES: Final = (
    "Controller terminals can be live. Meter only the signal pair. Leave wiring to a licensed "
    "electrician."
)
_PRESSED: Final = "Bleed pressure to zero before you open anything."
_LIDS: Final = "Lids and floats are heavy and slick. Keep your hands clear, and watch for stock."


def _no_size(_site: Site, _where: str, _badness: float) -> str:
    return ""


def _welded(site: Site, _size: str, _where: str) -> Site:
    return site.changed({"pressure_switch.contact": "stuck closed"})


def _corroded(site: Site, _size: str, _where: str) -> Site:
    return site.changed({"pressure_switch.contact": "stuck open"})


def _share(_site: Site, _where: str, badness: float) -> str:
    return f"{0.4 - 0.2 * badness:.2f}"


def _clogged(site: Site, size: str, where: str) -> Site:
    valve = next(t.float_valve for t in site.troughs if t.name == where)
    flow, at = valve.flow.flow * float(size), valve.flow.pressure
    return site.changed({f"trough.{where}.float_valve.flow": f"{written(flow)} at {written(at)}"})


def _closing(_site: Site, _where: str, badness: float) -> str:
    return f"{3000.0 + 6000.0 * badness:.0f}"


def _throttled(site: Site, size: str, _where: str) -> Site:
    own = {trough.name for trough in site.troughs}
    first = [run.end for run in site.runs() if run.start == MANIFOLD]
    runs = [f"trough.{end}.pipe" if end in own else f"pipe.{end}" for end in first]
    return site.changed({f"{run}.fittings": float(size) for run in runs})


def is_throttled(site: Site) -> bool:
    """Whether the line shutoff valve at the manifold is partly closed."""
    return any(run.pipe.fittings >= THROTTLED for run in site.runs() if run.start == MANIFOLD)


def is_wet(site: Site) -> bool:
    """Whether water drips at the wellhead."""
    return any(leak.at == MANIFOLD for leak in site.leaks)


def _drips(_site: Site, _where: str, badness: float) -> str:
    return f"{0.1 + 0.4 * badness:.2f} gpm at 30 psi"


def _leaking_fitting(site: Site, size: str, _where: str) -> Site:
    return site.changed({"leaks": [*site.leaks, {"at": MANIFOLD, "size": size}]})


def _dead(site: Site, _size: str, _where: str) -> Site:
    return site.changed({"drive.start_power": _DEAD})


def _not_on_the_grid(site: Site) -> str:
    if site.drive.kind == "solar":
        return ""
    return "the fault is that of a solar controller"


WELDED = Fault(
    key="welded switch contact",
    part="gauge and switch",
    brief="the contact stays closed no matter where the lever is",
    about="The switch's contact is welded or bridged: it stays closed, wherever the lever is.",
    complaint="The pump ignores the switch.",
    repair="Replace the switch. Find out what welded it: a dry contact must carry no power.",
    cautions=_WIRES,
    size_at=_no_size,
    make=_welded,
)
CORRODED = Fault(
    key="corroded switch contact",
    part="gauge and switch",
    brief="the contact stays open no matter where the lever is",
    about="The switch's contact is corroded or full of insects: it stays open, wherever the lever "
    "is.",
    complaint="The pump ignores the switch.",
    repair="Replace the switch and seal its box against moisture and insects.",
    cautions=_WIRES,
    size_at=_no_size,
    make=_corroded,
)
CLOGGED_FLOAT = Fault(
    key="clogged float valve",
    part="float and trough",
    brief="grit or algae lets too little water through",
    about="Grit or algae has clogged a float valve: wide open, it still lets too little through.",
    complaint="The trough fills slowly, and the pump stops before it is full.",
    repair="Shut the water off, take the valve apart and flush it. A screen ahead of it keeps grit "
    "out.",
    cautions=f"{_PRESSED} {_LIDS}",
    kind="share",
    places=each_trough,
    size_at=_share,
    make=_clogged,
)
THROTTLED_VALVE = Fault(
    key="valve left partly closed",
    part="pipe in the ground",
    brief="the line shutoff valve at the wellhead isn't all the way open",
    about="Somebody left the line shutoff valve at the wellhead partly closed.",
    complaint="It takes longer to fill, and the pump stops before the trough is full.",
    repair="Open the valve all the way, and tag it.",
    cautions="Open it slowly: water that starts or stops fast can hammer.",
    kind="share",
    size_at=_closing,
    make=_throttled,
)
WELLHEAD_LEAK = Fault(
    key="leak at the wellhead",
    part="pump and well",
    brief="a fitting, a drain or a relief valve drips",
    about="A fitting, a drain or a relief valve at the wellhead drips.",
    complaint="The pump comes on again and again, and the ground at the wellhead is wet.",
    repair="Bleed the line, remake the fitting, or replace the drain or relief valve. Never plug a "
    "relief valve.",
    cautions=_PRESSED,
    kind="leak",
    size_at=_drips,
    make=_leaking_fitting,
)
NO_START = Fault(
    key="controller or motor fault",
    part="pump and well",
    brief="the controller has power and no stop signal, but doesn't start the pump",
    about="The controller has power and no stop signal, but it doesn't start the pump: a fault in "
    "the controller, the motor lead or the motor.",
    complaint="The pump hasn't run since the storm.",
    repair="Read the fault code in the controller's manual. Have a qualified person test the motor "
    "lead's insulation before anything is pulled.",
    cautions="Panels are live in daylight. Stop the pump, open the disconnect, lock and tag it. "
    "The panel side stays live. Leave the rest to a licensed electrician.",
    size_at=_no_size,
    make=_dead,
    hinders=_not_on_the_grid,
)
