"""Faults that come with a repair, a season or a storm: contacts, fittings, a valve left closed."""

from typing import Final

from labkit.faults.fault import Fault, Price, each_trough, words
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.units import written

THROTTLED: Final = 250.0
"""Loss coefficient from which a line shutoff valve counts as partly closed [-]: a ball valve two
thirds closed has some 200, one that is nearly shut thousands (from memory)."""

_DEAD: Final = "5000 W"
"""Shaft power without which a drive stays at rest that cannot start at all."""


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
    return words("no-solar-controller")


WELDED = Fault(
    key="welded switch contact",
    part="gauge and switch",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(45, 60),
    make=_welded,
)
CORRODED = Fault(
    key="corroded switch contact",
    part="gauge and switch",
    cautions=("wires",),
    steps=("controller off", "licensed"),
    price=Price(45, 60),
    make=_corroded,
)
CLOGGED_FLOAT = Fault(
    key="clogged float valve",
    part="float and trough",
    cautions=("pressed", "lids"),
    steps=("bleed", "hands clear"),
    price=Price(40, 25),
    kind="share",
    places=each_trough,
    size_at=_share,
    make=_clogged,
)
THROTTLED_VALVE = Fault(
    key="valve left partly closed",
    part="pipe in the ground",
    cautions=("slowly",),
    steps=(),
    price=Price(5, 0),
    kind="share",
    size_at=_closing,
    make=_throttled,
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
NO_START = Fault(
    key="controller or motor fault",
    part="pump and well",
    cautions=("controller",),
    steps=("controller off", "licensed"),
    price=Price(240, 900),
    make=_dead,
    hinders=_not_on_the_grid,
)
