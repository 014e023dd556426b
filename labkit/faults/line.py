"""Faults of pipe, float valves and what lies in the ground."""

from collections.abc import Callable

from labkit.catalogue import pipe_sizes
from labkit.faults.fault import Fault, each_run, each_trough
from labkit.site import Site
from labkit.units import si

_LIDS = (
    "Lids and floats are heavy and slick. Keep your hands out from under them, and watch for stock."
)
_DIGGING = (
    "Call 811 before you dig, and find your own private lines: 811 doesn't mark those. A trench 5 "
    "ft "
    "deep or more needs protection against a cave-in, and a shallower one too in bad soil."
)
"""The one-call centers' pages for ranchers; 29 CFR 1926.652(a)(1), the federal trench rule."""
_PRESSED = (
    "The line holds pressure after the pump stops. Bleed it to zero before you open anything."
)


def _leak_at(badness: float) -> str:
    return f"{0.15 + 0.45 * badness:.2f} gpm at 30 psi"


def _some_leak(_site: Site, _where: str, badness: float) -> str:
    return _leak_at(badness)


def _no_size(_site: Site, _where: str, _badness: float) -> str:
    return ""


def _worn_seat(site: Site, size: str, where: str) -> Site:
    return site.changed({f"trough.{where}.float_valve.seat_leak": size})


def _longer_band(site: Site, where: str, badness: float) -> str:
    trough = next(trough for trough in site.troughs if trough.name == where)
    room = si(trough.depth) - si(trough.freeboard)
    return f"{min(0.075 + 0.05 * badness, 0.8 * room) / 0.0254:.1f} in"


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


def _smaller_pipe(site: Site, where: str, badness: float) -> str:
    sizes = _smaller(site, where)
    return sizes[min(int(badness * len(sizes)), len(sizes) - 1)]


def _undersized(site: Site, size: str, where: str) -> Site:
    is_own = any(trough.name == where for trough in site.troughs)
    key = f"trough.{where}.pipe" if is_own else f"pipe.{where}"
    return site.changed({f"{key}.size": size, f"{key}.inside_diameter": None})


def _no_smaller_pipe(site: Site) -> str:
    return "" if _runs_to_narrow(site) else "every run has the smallest pipe of its kind already"


def _stuck(position: str) -> Callable[[Site, str, str], Site]:
    def make(site: Site, _size: str, where: str) -> Site:
        return site.changed({f"trough.{where}.float_valve.position": position})

    return make


WORN_SEAT = Fault(
    key="worn float seat",
    part="float and trough",
    brief="closed, the valve still lets water by",
    about="The seat of a float valve is worn or dirty: closed, it still lets water by.",
    complaint="The trough runs over, and the pump comes on again and again.",
    repair="Shut the water off, clean the valve, and put in a new seat and washer.",
    cautions=f"{_PRESSED} {_LIDS}",
    kind="leak",
    places=each_trough,
    size_at=_some_leak,
    make=_worn_seat,
)
LAZY_FLOAT = Fault(
    key="lazy float",
    part="float and trough",
    brief="throttles for many inches before it closes",
    about="The float closes over many inches instead of the last one, so it throttles for a long "
    "time.",
    complaint="The trough is slow to fill, and the pump cycles while it does.",
    repair="Clean the pivot, set the arm, or install a float valve that closes crisply.",
    cautions=_LIDS,
    kind="small length",
    places=each_trough,
    size_at=_longer_band,
    make=_lazy_float,
)
STUCK_OPEN = Fault(
    key="stuck-open float",
    part="float and trough",
    brief="hangs open, no matter how high the water",
    about="A float valve hangs open: weed, ice or a bent arm holds it.",
    complaint="The trough runs over, and the pump never stops.",
    repair="Free the float, straighten the arm, and check that the valve closes when you lift it.",
    cautions=_LIDS,
    places=each_trough,
    size_at=_no_size,
    make=_stuck("always open"),
)
STUCK_SHUT = Fault(
    key="stuck-shut float",
    part="float and trough",
    brief="stays shut, no matter how low the water",
    about="A float valve stays shut: grit, ice or a jammed arm holds it.",
    complaint="The trough is empty, yet the pump does nothing.",
    repair="Free the float and flush the valve. A screen ahead of it keeps grit out.",
    cautions=f"{_PRESSED} {_LIDS}",
    places=each_trough,
    size_at=_no_size,
    make=_stuck("always shut"),
)
BURIED_LEAK = Fault(
    key="buried leak",
    part="pipe in the ground",
    brief="a pipe loses water out of sight",
    about="A run of pipe leaks underground, out of sight.",
    complaint="The pump comes on again and again, but the trough is full and the ground around it "
    "is dry.",
    repair="Close in on it with valves, dig, and repair the pipe with a fitting made for it.",
    cautions=f"{_PRESSED} {_DIGGING}",
    kind="leak",
    places=each_run,
    size_at=_some_leak,
    make=_buried_leak,
)
UNDERSIZED = Fault(
    key="undersized pipe",
    part="pipe in the ground",
    brief="a run is too narrow for the flow",
    about="A run was laid or repaired with pipe that is too small for the flow.",
    complaint="The trough fills slowly, and the pump stops before it is full.",
    repair="Lay pipe of the right size, or lower the flow.",
    cautions=_DIGGING,
    kind="pipe",
    places=_runs_to_narrow,
    size_at=_smaller_pipe,
    make=_undersized,
    hinders=_no_smaller_pipe,
)
