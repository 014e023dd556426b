"""What a fault leaves to be seen: a morning simulated with it, compared with one without.

Nothing here is asserted of a fault; the two runs decide what people on site would say.
"""

from typing import Final

import attrs

from labkit.engine.standing import Standing, go_on, standing
from labkit.faults import signs
from labkit.faults.fault import Fault, words
from labkit.faults.manifold import FAIR_SUN
from labkit.parts import Herd
from labkit.site import Site
from labkit.sun import clock_seconds
from labkit.trace import Trace
from labkit.units import si
from labkit.units.customary import DAY

BEFORE: Final = 1800.0
"""How long before the first visit of stock a morning begins [s]."""
LASTS: Final = "3.5 hour"
"""How long it lasts: the technician comes three hours after the stock."""

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
    if signs.gauge_stands(trace, is_gauge_stopped=is_gauge_stopped):
        said.append(words("said-gauge"))
    return tuple(said)


def _at_the_troughs(trace: Trace, usual: Trace) -> list[str]:
    said = []
    for trough in trace.site.troughs:
        name = trough.name
        level, before = trace.level[name][-1], usual.level[name][-1]
        if level < _DRY * si(trough.depth) <= before:
            said.append(words("said-empty", trough=name))
        elif signs.lacks_water(trace, usual, name):
            said.append(words("said-late", trough=name))
        if signs.runs_over(trace, usual, trough):
            said.append(words("said-over", trough=name))
        elif level > before + _HIGHER:
            said.append(words("said-high", trough=name))
        if not said and signs.fills_slowly(trace, usual, name):
            said.append(words("said-slow", trough=name))
    return said


def _at_the_pump(trace: Trace, usual: Trace) -> list[str]:
    said = []
    if signs.shuts_itself_off(trace):
        said.append(words("said-shut-off"))
    elif trace.measures().starts == 0 < usual.measures().starts:
        said.append(words("said-silent"))
    elif signs.starts_more(trace, usual):
        said.append(words("said-cycles"))
    if signs.keeps_running(trace, usual):
        said.append(words("said-hums" if signs.hums(trace) else "said-runs"))
    if signs.stops_too_soon(trace, usual):
        said.append(words("said-too-soon"))
    return said
