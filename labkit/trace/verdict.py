"""How a line behaved, in one word of a closed list.

The limits are judgement, not law: two minutes is long against the seconds in which a shut line
reaches its cut-out or an open one falls to its cut-in. Every pump turns against a shut line for a
while at dawn and dusk, so that "no stop" needs a sun that counts as well.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from labkit.physics import GRAVITY, water
from labkit.trace.calling import FULLY_OPEN, all_full, patience
from labkit.trace.measures import SHUT, dead_headed, false_stop_times, stretches
from labkit.trace.states import DriveState
from labkit.units import si

if TYPE_CHECKING:
    from labkit.arrays import Bools
    from labkit.trace.record import Trace

VERDICTS: Final = (
    "safety stop",
    "stuck off",
    "no stop",
    "false stop",
    "cycling",
    "sucked empty",
    "sound stop",
    "still filling",
    "at rest",
)
"""Every verdict; where several fit, the first one counts."""

LONG: Final = 120.0  # seconds after which a dead head or a dry call for water counts
WEAK_SUN: Final = 250.0
"""Irradiance [W/m2] under which nobody expects a stop (common practice), if there is more."""
CYCLING_STARTS: Final = 3  # starts within an hour, with every float shut, that count as cycling
SUCKED: Final = 10.0
"""Seconds under vacuum at a place of the line that count as sucked empty; the dip of a wave that
passes is shorter, and flagged all the same."""
_NEAR_VACUUM: Final = 0.2  # how near to the vapor limit the head must be [m]
_TRICKLE: Final = 1e-6


def verdict(trace: Trace) -> str:
    """Judge a run."""
    fits = {
        "safety stop": trace.times("low water") or trace.times("torque limit"),
        "stuck off": _longest(trace, _called_in_vain(trace)) >= LONG + patience(trace),
        "no stop": _longest(trace, _pushes_in_vain(trace) & _sun_counts(trace)) >= LONG
        or _longest(trace, _untold(trace) & all_full(trace)) >= LONG + patience(trace)
        or _longest(trace, _running_over(trace)) >= LONG,
        "false stop": false_stop_times(trace),
        "cycling": _is_cycling(trace),
        "sucked empty": trace.times("suction") and _longest(trace, _under_vacuum(trace)) >= SUCKED,
        "sound stop": trace.times("drive told to stop"),
        "still filling": trace.times("pump starts"),
        "at rest": True,
    }
    return next(name for name in VERDICTS if fits[name])


def _longest(trace: Trace, where: Bools) -> float:
    return max(stretches(trace, where), default=0.0)


def _under_vacuum(trace: Trace) -> Bools:
    """Where the water at some node of the line is as near to no pressure as water can be."""
    place = trace.site.place
    warmth = si(place.water_temperature) - 273.15
    weight = water.density(warmth) * GRAVITY
    limit = (water.vapour_pressure(warmth) - water.air_pressure(si(place.elevation))) / weight
    above = np.vstack([head - trace.elevations[node] for node, head in trace.head.items()])
    where: Bools = above.min(axis=0) <= limit + _NEAR_VACUUM
    return where


def _pushes_in_vain(trace: Trace) -> Bools:
    """Where the pump turns, untold, against a shut line that takes up nothing more.

    A big tank may fill for long before the pressure reaches cut-out; that is no dead head yet.
    """
    into = np.sum(np.vstack(list(trace.inflow.values())), axis=0)
    taken_up = trace.pump_flow - into - trace.leak_flow - trace.relief_flow
    where: Bools = dead_headed(trace) & (taken_up < _TRICKLE)
    return where


def _sun_counts(trace: Trace) -> Bools:
    """Where the sun is strong enough that a shut line should stop the pump, dawn and dusk not."""
    if trace.site.drive.kind == "mains":
        return np.ones(trace.time.size, dtype=np.bool_)
    return trace.irradiance >= min(WEAK_SUN, 0.9 * float(trace.irradiance.max()))


def _called_in_vain(trace: Trace) -> Bools:
    """Where a trough calls for water and gets none while the drive is held."""
    inflow = np.sum(np.vstack(list(trace.inflow.values())), axis=0)
    held = trace.drive_state == DriveState.HELD
    where: Bools = held & trace.calls & (inflow < _TRICKLE)
    return where


def _untold(trace: Trace) -> Bools:
    """Where the drive turns the pump and knows of no reason to stop."""
    where: Bools = np.isin(trace.drive_state, (DriveState.STARTING, DriveState.RUNNING))
    return where


def _running_over(trace: Trace) -> Bools:
    """Where water runs over a rim because a valve stands wide open, and the pump goes on."""
    over = np.zeros(trace.time.size, dtype=np.bool_)
    for trough in trace.site.troughs:
        brimming = trace.level[trough.name] > si(trough.depth)
        over |= brimming & (trace.opening[trough.name] >= FULLY_OPEN)
    return _untold(trace) & over


def _is_cycling(trace: Trace) -> bool:
    """Whether the pump keeps starting unasked, or starts too often altogether."""
    unprovoked, stopped = [], None
    idle = all_full(trace) | (trace.widest_opening < SHUT)
    for event in trace.events:
        if event.kind == "pump stops":
            stopped = event.time
        elif event.kind == "pump starts" and stopped is not None:
            first = np.searchsorted(trace.time, stopped, side="left")
            last = np.searchsorted(trace.time, event.time, side="right")
            if np.all(idle[first:last]):
                unprovoked.append(event.time)
    too_often = any(flag.kind in {"starts", "cut short"} for flag in trace.flags)
    return too_often or _crowded(unprovoked, CYCLING_STARTS)


def _crowded(times: list[float], count: int) -> bool:
    """Whether `count` of the times fall within one hour."""
    return any(
        later - earlier <= 3600.0 for earlier, later in zip(times, times[count - 1 :], strict=False)
    )
