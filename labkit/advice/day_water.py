"""What a trough goes through in some days: sun, water in it, water in and out of it each day."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs
import numpy as np

from labkit.engine.demand import herd_need
from labkit.engine.run import simulate
from labkit.units import si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.trace import Trace

    Floats = NDArray[np.float64]


@attrs.frozen(kw_only=True, eq=False)
class DayWater:
    """Days at one trough."""

    trough: str
    # from the first midnight [s], sun on the array [W/m2], water in the trough [m3], shape (n,)
    time: Floats
    irradiance: Floats
    water: Floats
    holds: float  # water in it when its float is shut [m3]
    # each day [m3]: what the herd asked for; what left the trough, which it drank; what came in
    wanted: tuple[float, ...]
    drunk: tuple[float, ...]
    came: tuple[float, ...]
    dry: tuple[float, ...]  # when it ran empty [s]


def day_water(site: Site, sun: Sun) -> DayWater:
    """Run a line through all the days of a sun and tell what its first trough went through."""
    count = max(round(float(sun.time[-1]) / DAY), 1)
    trace = simulate(site, f"{count} day", sun=sun, start="00:00")
    trough = site.troughs[0]
    area = si(trough.volume) / si(trough.depth)
    water, came = area * trace.level[trough.name], _by_day(trace, trace.inflow[trough.name], count)
    gained = np.diff(np.interp(DAY * np.arange(count + 1), trace.time, water))
    return DayWater(
        trough=trough.name,
        time=trace.time,
        irradiance=trace.irradiance,
        water=water,
        holds=area * (si(trough.depth) - si(trough.freeboard)),
        wanted=(herd_need(trough, site) * DAY,) * count,
        drunk=tuple(float(each) for each in np.array(came) - gained),
        came=came,
        dry=tuple(
            e.time for e in trace.events if (e.kind, e.where) == ("trough empty", trough.name)
        ),
    )


def _by_day(trace: Trace, flow: Floats, count: int) -> tuple[float, ...]:
    """Add a flow [m3/s] up day by day [m3]."""
    time = trace.time
    so_far = np.concatenate(([0.0], np.cumsum(0.5 * (flow[1:] + flow[:-1]) * np.diff(time))))
    ends = np.interp(DAY * np.arange(count + 1), time, so_far)
    return tuple(float(value) for value in np.diff(ends))
