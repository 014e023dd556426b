"""What a fault leaves to be seen: a morning simulated with it, compared with one without.

Nothing here is asserted of a fault; the two runs decide what people on site would say.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.engine.standing import Standing, go_on, standing
from labkit.faults.fault import Fault, words
from labkit.faults.manifold import FAIR_SUN
from labkit.parts import Herd
from labkit.sun import clock_seconds
from labkit.trace import DriveState, Trace
from labkit.trace.measures import SHUT, dead_headed, stretches
from labkit.units import si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from labkit.parts import Trough
    from labkit.site import Site

_LACKS: Final = 0.05
"""How much lower than usual the water stands in a trough that anybody calls low [m]."""
_OVER: Final = 60.0  # how long water stands at the rim where it leaves mud [s]
_MORE_STARTS: Final = 3
"""More starts in a morning than usual; by two a herd that drinks otherwise differs as well."""
_LONGER: Final = 1.5
_SLOWER: Final = 1.2
_HUMMING: Final = 900.0
_NEEDLE: Final = 7e3


def lacks_water(trace: Trace, usual: Trace, name: str) -> bool:
    """Whether a trough has clearly less water in the end than usual."""
    return bool(trace.level[name][-1] < usual.level[name][-1] - _LACKS)


def runs_over(trace: Trace, usual: Trace, trough: Trough) -> bool:
    """Whether a trough runs over that does not usually, judged by its level."""

    def at_rim(run: Trace) -> float:
        over: NDArray[np.bool_] = run.level[trough.name] >= si(trough.depth) - 1e-3
        return max(stretches(run, over), default=0.0)

    return at_rim(trace) > _OVER >= at_rim(usual)


def fills_slowly(trace: Trace, usual: Trace, name: str) -> bool:
    """Whether the float of a trough is open for much longer than usual."""
    took, takes = (sum(stretches(run, run.opening[name] >= SHUT)) for run in (trace, usual))
    return took > _SLOWER * takes


def shuts_itself_off(trace: Trace) -> bool:
    """Whether the drive takes the pump off for its own sake."""
    return bool(trace.times("low water") or trace.times("torque limit"))


def starts_more(trace: Trace, usual: Trace) -> bool:
    """Whether the pump comes on clearly more often than usual."""
    return bool(trace.measures().starts >= usual.measures().starts + _MORE_STARTS)


def ran(trace: Trace) -> float:
    """How long the pump turned [s]."""
    return sum(stretches(trace, trace.speed > 0.0))


def runs_on(trace: Trace) -> bool:
    """Whether the pump still runs in the end."""
    return bool(trace.drive_state[-1] == DriveState.RUNNING)


def keeps_running(trace: Trace, usual: Trace) -> bool:
    """Whether the pump still runs in the end, against closed floats or much longer than usual."""
    return runs_on(trace) and (hums(trace) or ran(trace) > _LONGER * ran(usual))


def hums(trace: Trace) -> bool:
    """Whether the pump ran against closed floats for long."""
    return max(stretches(trace, dead_headed(trace)), default=0.0) > _HUMMING


def stops_too_soon(trace: Trace, usual: Trace) -> bool:
    """Whether the pump stops more often than usual though a trough still asks for water."""
    return bool(trace.measures().false_stops > usual.measures().false_stops)


def gauge_stands(trace: Trace, *, is_gauge_stopped: bool) -> bool:
    """Whether the gauge does not move while the pump comes and goes."""
    moved = 0.0 if is_gauge_stopped else float(np.ptp(trace.pressure))
    return moved < _NEEDLE and trace.measures().starts > 0


BEFORE: Final = 1800.0  # how long before the first visit of stock a morning begins [s]
LASTS: Final = "3.5 hour"  # how long it lasts: the technician comes three hours after the stock

_ANY_HERD: Final = Herd(head=25, kind="cow with calf")
_DRY: Final = 0.3
_HIGHER: Final = 0.015


@attrs.frozen(kw_only=True, eq=False)
class Evidence:
    """What a fault leaves to be seen."""

    # what people on site would say, the gravest first; empty if they would notice nothing
    complaints: tuple[str, ...]
    # the morning with the fault and without
    trace: Trace
    usual: Trace


def stocked(site: Site) -> Site:
    """Return a site with a herd at each trough, since a line without stock does not move."""
    changes = {f"trough.{t.name}.herd": _ANY_HERD for t in site.troughs if t.herd is None}
    return site.changed(changes)


def morning(site: Site) -> tuple[Trace, Standing]:
    """Run a stocked site from before its stock come until a technician arrives."""
    visits = [trough.herd.visits[0] for trough in site.troughs if trough.herd is not None]
    begin = (clock_seconds(min(visits)) - BEFORE) % DAY
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
    said = [*_at_the_troughs(trace, usual), *_at_the_pump(trace, usual)]
    if gauge_stands(trace, is_gauge_stopped=is_gauge_stopped):
        said.append(words("said-gauge"))
    return tuple(said)


def _at_the_troughs(trace: Trace, usual: Trace) -> list[str]:
    return [one for trough in trace.site.troughs for one in _at_a_trough(trace, usual, trough)]


def _at_a_trough(trace: Trace, usual: Trace, trough: Trough) -> list[str]:
    said, name = [], trough.name
    level, before = trace.level[name][-1], usual.level[name][-1]
    if level < _DRY * si(trough.depth) <= before:
        said.append(words("said-empty", trough=name))
    elif lacks_water(trace, usual, name):
        said.append(words("said-late", trough=name))
    if runs_over(trace, usual, trough):
        said.append(words("said-over", trough=name))
    elif level > before + _HIGHER:
        said.append(words("said-high", trough=name))
    if not said and fills_slowly(trace, usual, name):
        said.append(words("said-slow", trough=name))
    return said


def _at_the_pump(trace: Trace, usual: Trace) -> list[str]:
    said = []
    if shuts_itself_off(trace):
        said.append(words("said-shut-off"))
    elif trace.measures().starts == 0 < usual.measures().starts:
        said.append(words("said-silent"))
    elif starts_more(trace, usual):
        said.append(words("said-cycles"))
    if keeps_running(trace, usual):
        said.append(words("said-hums" if hums(trace) else "said-runs"))
    if stops_too_soon(trace, usual):
        said.append(words("said-too-soon"))
    return said
