"""How far the axes reach: chosen once for a bench, so that only what moves is drawn again."""

from typing import Final, Self

import attrs
import numpy as np

from labkit.site import Site
from labkit.trace import Trace
from labkit.units import si

WATER_COLUMN: Final = 9804.0
"""Weight of fresh water at 50 degF [Pa per m of height], to put heights beside pressures.

Density 999.7 kg/m3 (Tanaka and others 2001) times 9.80665 m/s2.
"""

BELOW: Final = 0.36  # depth drawn below the manifold, as a share of the height drawn above it
_ROOM: Final = 1.06  # how much farther than the farthest value an axis reaches


@attrs.frozen(kw_only=True)
class Limits:
    """The far ends of the axes, all in SI."""

    duration: float  # length of the time axis [s]
    clock: float  # time of day at its start [s after midnight]
    pressure: float  # top of the pressure axis [Pa gauge]; the line's heights use the same scale
    flow: float  # top of the flow axis [m3/s]
    level: float  # top of the level axis [m]
    distance: float  # far end of the line [m]

    @classmethod
    def of_site(cls, site: Site, *, clock: float = 0.0) -> Self:
        """Return limits that hold a site's set points, ground and troughs."""
        return attrs.evolve(site.once(cls._around), clock=clock)

    @classmethod
    def _around(cls, site: Site) -> Self:
        distance, heights = site.distances(), [0.0]
        for start, end, pipe in site.runs():
            heights.append(site.elevation(end))
            heights += [site.elevation(start) + si(high) for _, high in pipe.profile]
        cut_out = si(site.pressure_switch.cut_out)
        uphill = max(heights) * WATER_COLUMN
        downhill = -min(heights) * WATER_COLUMN / BELOW
        return cls(
            duration=0.0,
            clock=0.0,
            pressure=max(1.15 * cut_out, 1.25 * uphill, 1.15 * downhill),
            flow=1.1 * si(site.pump.rated_flow),
            level=max([si(trough.depth) for trough in site.troughs], default=0.0),
            distance=max(distance.values()),
        )

    @classmethod
    def of_trace(cls, trace: Trace) -> Self:
        """Return limits that hold everything in a trace."""
        around = trace.site.once(cls._around)
        into = sum(trace.inflow.values(), start=np.zeros(1))
        flow = max(float(np.max(trace.pump_flow)), float(np.max(into)))
        levels = [float(np.max(level)) for level in trace.level.values()]
        return attrs.evolve(
            around,
            duration=float(trace.time[-1]),
            clock=trace.clock,
            pressure=max(around.pressure, _ROOM * float(np.max(trace.pressure))),
            flow=max(around.flow, _ROOM * flow),
            level=max([around.level, *levels]),
        )

    def holding(self, other: Self) -> Self:
        """Return limits that hold this and another."""
        far = {
            name: max(getattr(self, name), getattr(other, name))
            for name in ("duration", "pressure", "flow", "level", "distance")
        }
        return attrs.evolve(self, clock=other.clock, **far)

    def with_room(self, before: Self) -> Self:
        """Return limits that reach farther still where they grew, to seldom grow again."""
        grown = {
            name: 1.15 * getattr(self, name)
            for name in ("pressure", "flow")
            if getattr(self, name) > getattr(before, name)
        }
        return attrs.evolve(self, **grown)
