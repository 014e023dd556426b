"""What a fault leaves to be seen: a morning simulated with it, compared with one without.

Nothing here is asserted of a fault; the two runs decide what people on site would say.
"""

from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.engine.standing import Standing, go_on, standing
from labkit.faults.fault import Fault, words
from labkit.faults.manifold import FAIR_SUN
from labkit.parts import Herd, Trough
from labkit.site import Site
from labkit.sun import clock_seconds
from labkit.trace import DriveState, Trace
from labkit.trace.measures import SHUT, dead_headed, stretches
from labkit.units import si

if TYPE_CHECKING:
    from numpy.typing import NDArray

BEFORE: Final = 1800.0
"""How long before the first visit of stock a morning begins [s]."""
LASTS: Final = "3.5 hour"
"""How long it lasts: the technician comes three hours after the stock."""

_ANY_HERD: Final = Herd(head=25, kind="cow with calf")
_DRY: Final = 0.3
_SPILLED: Final = 0.008
_MORE_STARTS: Final = 3
_SLOWER: Final = 1.2
_HUMMING: Final = 900.0
_NEEDLE: Final = 7e3


@attrs.frozen(kw_only=True, eq=False)
class Evidence:
    """What a fault leaves to be seen.

    Attributes
    ----------
    complaints : tuple of str
        What people on site would say, the gravest first; empty if they would notice nothing.
    trace, usual : Trace
        The morning with the fault and without.
    """

    complaints: tuple[str, ...]
    trace: Trace
    usual: Trace


def stocked(site: Site) -> Site:
    """Give a site with a herd at each trough, since a line without stock does not move."""
    changes = {f"trough.{t.name}.herd": _ANY_HERD for t in site.troughs if t.herd is None}
    return site.changed(changes)


def morning(site: Site) -> tuple[Trace, Standing]:
    """Run a stocked site from before its stock come until a technician arrives."""
    visits = [trough.herd.visits[0] for trough in site.troughs if trough.herd is not None]
    begin = (clock_seconds(min(visits)) - BEFORE) % 86_400.0
    start = f"{int(begin // 3600):02d}:{int(begin % 3600 // 60):02d}"
    return go_on(standing(site, sun=FAIR_SUN, start=start), LASTS)


def evidence(site: Site, fault: Fault, size: str, where: str = "") -> Evidence:
    """Simulate what a fault leaves to be seen over a morning."""
    sound = stocked(site)
    usual, _ = morning(sound)
    trace, _ = morning(fault.apply(sound, size, where))
    is_stopped = fault.stops_gauge
    return Evidence(
        complaints=complaints(trace, usual, is_gauge_stopped=is_stopped), trace=trace, usual=usual
    )


def complaints(trace: Trace, usual: Trace, *, is_gauge_stopped: bool = False) -> tuple[str, ...]:
    """Say what people on site would say of a morning, compared with a usual one."""
    said = [
        *_at_the_troughs(trace, usual),
        *_at_the_pump(trace, usual),
        *_at_the_gauge(trace, is_gauge_stopped=is_gauge_stopped),
    ]
    return tuple(said)


def _at_the_troughs(trace: Trace, usual: Trace) -> list[str]:
    said = []
    for trough in trace.site.troughs:
        name = trough.name
        level, before = trace.level[name][-1], usual.level[name][-1]
        if level < _DRY * si(trough.depth) <= before:
            said.append(words("said-empty", trough=name))
        elif level < before - 0.05:
            said.append(words("said-late", trough=name))
        if _spilled(trace, trough) > _SPILLED >= _spilled(usual, trough):
            said.append(words("said-over", trough=name))
        elif level > before + 0.015:
            said.append(words("said-high", trough=name))
        if not said and _filled(trace, name) > _SLOWER * _filled(usual, name):
            said.append(words("said-slow", trough=name))
    return said


def _at_the_pump(trace: Trace, usual: Trace) -> list[str]:
    said = []
    starts, used_to = trace.measures().starts, usual.measures().starts
    if trace.times("low water") or trace.times("torque limit"):
        said.append(words("said-shut-off"))
    elif starts == 0 < used_to:
        said.append(words("said-silent"))
    elif starts >= used_to + _MORE_STARTS:
        said.append(words("said-cycles"))
    humming = max(stretches(trace, dead_headed(trace)), default=0.0)
    if humming > _HUMMING and trace.drive_state[-1] == DriveState.RUNNING:
        said.append(words("said-hums"))
    elif _ran(trace) > 1.5 * _ran(usual) and trace.drive_state[-1] == DriveState.RUNNING:
        said.append(words("said-runs"))
    if trace.measures().false_stops > usual.measures().false_stops:
        said.append(words("said-too-soon"))
    return said


def _at_the_gauge(trace: Trace, *, is_gauge_stopped: bool) -> list[str]:
    moved = 0.0 if is_gauge_stopped else float(np.ptp(trace.pressure))
    if moved < _NEEDLE and trace.measures().starts > 0:
        return [words("said-gauge")]
    return []


def _spilled(trace: Trace, trough: Trough) -> float:
    """Water that stood over the rim of a trough for long [m3], judged by its level."""
    over: NDArray[np.bool_] = trace.level[trough.name] >= si(trough.depth) - 1e-3
    return max(stretches(trace, over), default=0.0) / 60.0 * _SPILLED


def _filled(trace: Trace, name: str) -> float:
    """How long the float of a trough was open [s]."""
    return sum(stretches(trace, trace.opening[name] >= SHUT))


def _ran(trace: Trace) -> float:
    return sum(stretches(trace, trace.speed > 0.0))
