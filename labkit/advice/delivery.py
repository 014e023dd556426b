"""What a line's herds drink in a day, and what the line can deliver in one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from labkit.engine.demand import herd_need
from labkit.engine.plant import shut_volume
from labkit.engine.run import simulate
from labkit.units import si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.trace import Trace

_BOTTOMLESS: Final = "100000 gal"

_DRY: Final = 1e-3
"""Depth of water that counts as none [m]."""


def herd_demand(site: Site) -> dict[str, float]:
    """Return what each trough's herd drinks in the air of the site [m3/day]."""
    return {
        trough.name: herd_need(trough, site) * DAY
        for trough in site.troughs
        if trough.herd is not None
    }


def evaporation(site: Site) -> dict[str, float]:
    """Return what leaves each open trough into the air [m3/day], by the place's depth a day."""
    depth = si(site.place.evaporation) * DAY
    return {t.name: depth * si(t.volume) / si(t.depth) for t in site.troughs}


def bottomless(site: Site) -> Site:
    """Return the line with troughs that never fill, nobody drinking, no water lost to the air."""
    changes: dict[str, str | None] = {"place.evaporation": "0 in/day"}
    for trough in site.troughs:
        changes[f"trough.{trough.name}.volume"] = _BOTTOMLESS
        if trough.herd is not None:
            changes[f"trough.{trough.name}.herd"] = None
    return site.changed(changes)


def deliverable(site: Site, sun: Sun) -> float:
    """Return what the line delivers on a day with every float wide open [m3]."""
    empty = {trough.name: "0 in" for trough in site.troughs}
    trace = simulate(bottomless(site), "1 day", sun=sun, start="00:00", levels=empty)
    return float(trace.measures().delivered)


def storage_days(site: Site) -> float:
    """Days that the least of the full troughs waters its herd with no pump at all [day]."""
    demand, lost = herd_demand(site), evaporation(site)
    return min(
        shut_volume(trough) / (demand[trough.name] + lost[trough.name])
        for trough in site.troughs
        if demand.get(trough.name)
    )


def dry_time(trace: Trace) -> float:
    """Longest time, all told, that any one trough stood empty in a run [s]."""
    steps = np.diff(trace.time)
    return max(
        float(steps[(level[:-1] < _DRY) & (level[1:] < _DRY)].sum())
        for level in trace.level.values()
    )
