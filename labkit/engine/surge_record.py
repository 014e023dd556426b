"""What a surge did: heads over time, the envelope along each run, and what it means."""

from __future__ import annotations

from functools import cached_property
from math import isfinite
from typing import TYPE_CHECKING, Final, NamedTuple

import attrs

from labkit.parts import MANIFOLD
from labkit.units import si

if TYPE_CHECKING:
    from collections.abc import Mapping

    from labkit.engine.network import Floats
    from labkit.site import Site

WORKING_SHARE: Final = 0.72
"""Share of a plastic pipe's rating to keep to where surge is not computed (Missouri Livestock
Watering Systems Handbook, NRCS, October 1997, chapter 5, which refers to ASAE S376.1)."""


class Spot(NamedTuple):
    """A place on the line: the `run` by the node where it ends, the `distance` from the manifold
    [m], and the gauge `pressure` there [Pa]."""  # noqa: D205, D209 - one sentence

    run: str
    distance: float
    pressure: float


@attrs.frozen(kw_only=True, eq=False)
class RunSurge:
    """One run of pipe, point by point."""

    # the nodes at its ends
    start: str
    end: str
    size: str  # its pipe
    # way from the manifold along the pipe, and height above it [m], shape (k,)
    distance: Floats
    elevation: Floats
    # head at the start, and its least and greatest [m above the manifold], shape (k,)
    steady: Floats
    lowest: Floats
    highest: Floats
    head: Floats  # head at the times in `Surge.frames` [m], shape (m, k)
    # as the pipe has it, and as adjusted to a whole number of reaches [m/s]
    wave_speed: float
    wave_speed_used: float
    reaches: int  # how many it was cut into
    rating: float  # pressure rating of the pipe at 73 degF [Pa]
    # greatest gauge pressure without any wave: at the start, or with the water at rest and the
    # switch at cut-out, or as high as the pump can bring it [Pa]
    working_pressure: float
    # greatest and least gauge pressure of all [Pa]
    peak_pressure: float
    low_pressure: float
    boils: bool  # whether the pressure fell to the vapour limit somewhere

    @property
    def adjustment(self) -> float:
        """Change made to the wave speed, as a share of it."""
        return self.wave_speed_used / self.wave_speed - 1.0

    @property
    def margin(self) -> float:
        """Rating less peak pressure [Pa]; negative where the pipe is overdone."""
        return self.rating - self.peak_pressure

    @property
    def keeps_working_share(self) -> bool:
        """Whether the pressure without a wave keeps to `WORKING_SHARE` of the rating."""
        return self.working_pressure <= WORKING_SHARE * self.rating


@attrs.frozen(kw_only=True)
class Balance:
    """Water from start to end [m3]."""

    # in from the pump, and back through a bad check valve
    pumped: float
    returned: float
    # out through float valves, leaks and relief valve
    delivered: float
    leaked: float
    relieved: float
    # held more at the end than at the start; pockets of vapour count against the line
    line_gain: float
    tank_gain: float

    @property
    def error(self) -> float:
        """Water that cannot be accounted for [m3]; it falls with finer reaches."""
        out = self.returned + self.delivered + self.leaked + self.relieved
        return abs(self.pumped - out - self.line_gain - self.tank_gain)


@attrs.frozen(kw_only=True, eq=False)
class Surge:
    """What a pressure wave did to a line.

    Arrays over time have shape (n,); pressures are gauge, all SI.

    Attributes
    ----------
    site : Site
        The line.
    event, closing : str
        What set off the wave, and by which law the float valve closed.
    trough : str
        Whose float valve shut, or who was watched.
    closing_time : float
        How long the valve took [s]; by its float, how long its band takes to fill at full flow.
    dt : float
        Step in which a wave crosses one reach [s].
    time : array
        Time from the event [s], from 0 on; the first row is the line before it.
    head : dict of array
        Hydraulic head above the manifold at each node [m].
    pressure : dict of array
        Gauge pressure at each node [Pa].
    inflow : dict of array
        Flow into each trough [m3/s].
    pump_flow, speed, returned_flow, relief_flow, leak_flow : array
        Flows [m3/s] and pump speed as in a Trace.
    tank_water : array
        Water in the pressure tank [m3].
    frames : array
        Times of the rows of `RunSurge.head` [s].
    runs : tuple of RunSurge
        The runs, from the root to the leaves, but for those too short to be cut.
    elevations, distance : dict of float
        Of the nodes [m]; the pump's node lies at a negative distance.
    parents : dict of str
        The node before each node but the root.
    weight : float
        Of the water [N/m3].
    vapour_pressure : float
        Gauge pressure at which it boils [Pa].
    arrival : float
        Time the wave needs from where it is made to the switch [s].
    trip_time : float
        When the pressure at the switch reached cut-out [s]; nan if it did not.
    settled_pressure : float
        Pressure at the switch once a valve has shut and the waves are gone, if the pump runs on
        [Pa]; nan where the pump stopped.
    lock_time : float
        When the torque limit or low water stopped the pump [s]; nan if nothing did.
    balance : Balance
        Where the water went.
    flags : tuple of str
        What the numbers cannot be trusted with, one sentence each.
    """

    site: Site
    event: str
    closing: str
    trough: str
    closing_time: float
    dt: float
    time: Floats
    head: Mapping[str, Floats]
    pressure: Mapping[str, Floats]
    inflow: Mapping[str, Floats]
    pump_flow: Floats
    speed: Floats
    returned_flow: Floats
    relief_flow: Floats
    leak_flow: Floats
    tank_water: Floats
    frames: Floats
    runs: tuple[RunSurge, ...]
    elevations: Mapping[str, float]
    distance: Mapping[str, float]
    parents: Mapping[str, str]
    weight: float
    vapour_pressure: float
    arrival: float
    trip_time: float
    settled_pressure: float
    lock_time: float
    balance: Balance
    flags: tuple[str, ...]

    @property
    def trips_switch(self) -> bool:
        """Whether the pressure at the switch reached cut-out."""
        return isfinite(self.trip_time)

    @property
    def trips_early(self) -> bool:
        """Whether the switch tripped for the wave alone: without it cut-out is not reached."""
        return self.trips_switch and self.settled_pressure < si(self.site.pressure_switch.cut_out)

    @cached_property
    def peak_pressure(self) -> dict[str, float]:
        """Greatest pressure at each node [Pa]."""
        return {name: float(series.max()) for name, series in self.pressure.items()}

    @property
    def switch_peak(self) -> float:
        """Greatest pressure at the manifold, where the switch sits [Pa]."""
        return self.peak_pressure[MANIFOLD]

    @cached_property
    def highest(self) -> Spot:
        """Where on the line the pressure was greatest."""
        return self._extreme(sign=1.0)

    @cached_property
    def lowest(self) -> Spot:
        """Where on the line the pressure was least."""
        return self._extreme(sign=-1.0)

    @property
    def tightest(self) -> RunSurge:
        """The run with the least margin to its rating."""
        return min(self.runs, key=lambda run: run.margin)

    @property
    def boils(self) -> bool:
        """Whether the pressure fell to the vapour limit anywhere."""
        return any(run.boils for run in self.runs)

    def path(self, trough: str | None = None) -> tuple[RunSurge, ...]:
        """Return the runs from the well to a trough; left out, to the one it is about."""
        way, node = [], self.trough if trough is None else trough
        while node in self.parents:
            way += [run for run in self.runs if run.end == node]
            node = self.parents[node]
        return tuple(reversed(way))

    def _extreme(self, *, sign: float) -> Spot:
        """Find the greatest pressure, or with a minus sign the least."""
        spots = []
        for run in self.runs:
            heads = run.highest if sign > 0.0 else run.lowest
            over = sign * (heads - run.elevation)
            j = int(over.argmax())
            spots.append(Spot(run.end, float(run.distance[j]), sign * self.weight * float(over[j])))
        return max(spots, key=lambda spot: sign * spot.pressure)
