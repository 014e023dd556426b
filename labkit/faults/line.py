"""Faults of pipe, float valves and what lies in the ground."""

from collections.abc import Callable
from typing import Final

from labkit.catalogue import pipe_sizes
from labkit.faults.fault import Fault, Price, each_run, each_trough, some_leak, some_share, words
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.units import si, written
from labkit.units.customary import INCH

THROTTLED: Final = 250.0
"""Loss coefficient from which a line shutoff valve counts as partly closed [-]: a ball valve two
thirds closed has some 200, one that is nearly shut thousands (from memory)."""


def _worn_seat(site: Site, size: str, where: str) -> Site:
    return site.changed({f"trough.{where}.float_valve.seat_leak": size})


def _longer_band(site: Site, where: str, severity: float) -> str:
    trough = site.trough(where)
    room = si(trough.depth) - si(trough.freeboard)
    return f"{min(0.075 + 0.05 * severity, 0.8 * room) / INCH:.1f} in"


def _lazy_float(site: Site, size: str, where: str) -> Site:
    return site.changed({f"trough.{where}.float_valve.band": size})


def _buried_leak(site: Site, size: str, where: str) -> Site:
    length = next(si(run.pipe.length) for run in site.runs() if run.end == where)
    leak = {"at": where, "distance": f"{0.4 * length:.1f} m", "size": size}
    return site.changed({"leaks": [*site.leaks, leak]})


def _smaller(site: Site, where: str) -> list[str]:
    """Sizes of the same standard with a smaller bore than the run that ends there, wide first."""
    run = next(run.pipe for run in site.runs() if run.end == where)
    standard = run.size.split(" in ")[-1].lower()
    found = [
        row
        for row in pipe_sizes().values()
        if row.size.split(" in ")[-1].lower() == standard
        and si(row.inside_diameter) < 0.9 * si(run.row.inside_diameter)
    ]
    return [row.size for row in sorted(found, key=lambda row: -si(row.inside_diameter))]


def _runs_to_narrow(site: Site) -> tuple[str, ...]:
    return tuple(end for end in each_run(site) if _smaller(site, end))


def _smaller_pipe(site: Site, where: str, severity: float) -> str:
    sizes = _smaller(site, where)
    return sizes[min(int(severity * len(sizes)), len(sizes) - 1)]


def _undersized(site: Site, size: str, where: str) -> Site:
    key = _pipe_key(site, where)
    return site.changed({f"{key}.size": size, f"{key}.inside_diameter": None})


def _no_smaller_pipe(site: Site) -> str:
    return "" if _runs_to_narrow(site) else words("no-smaller-pipe")


def _stuck(position: str) -> Callable[[Site, str, str], Site]:
    def make(site: Site, _size: str, where: str) -> Site:
        return site.changed({f"trough.{where}.float_valve.position": position})

    return make


def _narrowed(site: Site, size: str, where: str) -> Site:
    run = next(run for run in site.runs() if run.end == where)
    bore = f"{float(size) * si(run.pipe.bore) * 1e3:.3f} mm"
    return site.changed({f"{_pipe_key(site, where)}.inside_diameter": bore})


def _pipe_key(site: Site, end: str) -> str:
    """Name the run that ends at a node as a site's changes do."""
    is_own = any(trough.name == end for trough in site.troughs)
    return f"trough.{end}.pipe" if is_own else f"pipe.{end}"


def _clogged(site: Site, size: str, where: str) -> Site:
    valve = site.trough(where).float_valve
    flow, at = valve.flow.flow * float(size), valve.flow.pressure
    return site.changed({f"trough.{where}.float_valve.flow": f"{written(flow)} at {written(at)}"})


def _closing(_site: Site, _where: str, severity: float) -> str:
    return f"{3000.0 + 6000.0 * severity:.0f}"


def _throttled(site: Site, size: str, _where: str) -> Site:
    first = [_pipe_key(site, run.end) for run in site.runs() if run.start == MANIFOLD]
    return site.changed({f"{run}.fittings": float(size) for run in first})


def shutoff_valve(site: Site) -> str:
    """Say how the line shutoff valve at the manifold stands."""
    first = (run.pipe.fittings for run in site.runs() if run.start == MANIFOLD)
    return "partly closed" if max(first) >= THROTTLED else "open"


WORN_SEAT = Fault(
    key="worn float seat",
    part="float and trough",
    cautions=("pressed", "lids"),
    steps=("bleed", "hands clear"),
    price=Price(40, 25),
    kind="leak",
    places=each_trough,
    size_at=some_leak,
    make=_worn_seat,
)
LAZY_FLOAT = Fault(
    key="lazy float",
    part="float and trough",
    cautions=("lids",),
    steps=("hands clear",),
    price=Price(40, 60),
    kind="small length",
    places=each_trough,
    size_at=_longer_band,
    make=_lazy_float,
)
STUCK_OPEN = Fault(
    key="stuck-open float",
    part="float and trough",
    cautions=("lids",),
    steps=("hands clear",),
    price=Price(30, 20),
    places=each_trough,
    make=_stuck("always open"),
)
STUCK_SHUT = Fault(
    key="stuck-shut float",
    part="float and trough",
    cautions=("pressed", "lids"),
    steps=("bleed", "hands clear"),
    price=Price(30, 20),
    places=each_trough,
    make=_stuck("always shut"),
)
BURIED_LEAK = Fault(
    key="buried leak",
    part="pipe in the ground",
    cautions=("pressed", "digging"),
    steps=("bleed", "locate"),
    price=Price(360, 700),
    kind="leak",
    places=each_run,
    size_at=some_leak,
    make=_buried_leak,
)
UNDERSIZED = Fault(
    key="undersized pipe",
    part="pipe in the ground",
    cautions=("digging",),
    steps=("bleed", "locate"),
    price=Price(900, 2800),
    kind="pipe",
    places=_runs_to_narrow,
    size_at=_smaller_pipe,
    make=_undersized,
    unavailable_reason=_no_smaller_pipe,
)
NARROWED = Fault(
    key="narrowed pipe",
    part="pipe in the ground",
    cautions=("pressed", "digging"),
    steps=("bleed", "locate"),
    price=Price(360, 700),
    kind="share",
    places=each_run,
    size_at=some_share(0.6, 0.4),
    make=_narrowed,
)
CLOGGED_FLOAT = Fault(
    key="clogged float valve",
    part="float and trough",
    cautions=("pressed", "lids"),
    steps=("bleed", "hands clear"),
    price=Price(40, 25),
    kind="share",
    places=each_trough,
    size_at=some_share(0.4, 0.2),
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
