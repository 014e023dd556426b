"""What a run comes to in numbers."""

from __future__ import annotations

from math import nan
from typing import TYPE_CHECKING

import attrs
import numpy as np

from labkit.trace.states import DriveState
from labkit.units import si

if TYPE_CHECKING:
    from labkit.arrays import Bools
    from labkit.trace.record import Trace


SHUT = 0.01  # opening under which a float valve counts as shut


@attrs.frozen(kw_only=True)
class Measures:
    """Numbers of a run, SI; nan where there is none."""

    # how often the pump started and stopped
    starts: int
    stops: int
    # how often it was told to stop while a trough called for water, see `labkit.trace.calling`
    false_stops: int
    cycles_per_hour: float  # starts per hour
    shortest_run: float  # shortest time from a start to its stop [s]
    # highest pressure at the manifold, and how far above the cut-out point that is [Pa]
    peak_pressure: float
    overshoot: float
    # longest time from the last float valve's shutting, or with a drive that listens to level
    # sensors from the last one's saying full, to the word to stop [s]
    time_to_stop: float
    dead_head_time: float  # time the pump turned against a shut line without being told to stop [s]
    # water [m3]: lifted; into troughs; out of leaks; over the rims; out of the relief valve; back
    # into the well; drunk; wanted but not there; gained by line and tank
    pumped: float
    delivered: float
    leaked: float
    overflowed: float
    relieved: float
    returned: float
    drunk: float
    unmet: float
    evaporated: float  # water gone into the air from the troughs [m3]
    stored: float
    balance_error: float  # water that cannot be accounted for [m3]


def dead_headed(trace: Trace) -> Bools:
    """Where the pump turns, untold, against a line whose float valves are all shut, shape (n,)."""
    turning = np.isin(trace.drive_state, (DriveState.STARTING, DriveState.RUNNING))
    where: Bools = turning & (trace.widest_opening < SHUT)
    return where


def stretches(trace: Trace, where: Bools) -> list[float]:
    """Lengths [s] of the unbroken stretches of rows in which `where` holds."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], where, [False])).astype(np.int8)))
    last = trace.time.size - 1
    return [
        float(trace.time[min(stop, last)] - trace.time[start])
        for start, stop in zip(edges[::2], edges[1::2], strict=True)
    ]


def false_stop_times(trace: Trace) -> list[float]:
    """When the drive was told to stop while a trough called for water [s]."""
    told = trace.times("drive told to stop")
    last = trace.time.size - 1
    rows = np.minimum(np.searchsorted(trace.time, told, side="left"), last)
    return [time for time, row in zip(told, rows, strict=True) if trace.calls[row]]


def _runs(trace: Trace) -> list[float]:
    """Lengths of the runs that ended [s]."""
    runs, started = [], nan
    for event in trace.events:
        if event.kind == "pump starts":
            started = event.time
        elif event.kind == "pump stops":
            runs.append(event.time - started)
    return [run for run in runs if run == run]  # noqa: PLR0124 - leaves nan out


def _time_to_stop(trace: Trace) -> float:
    """Longest wait from the last sign that nobody calls to the word to stop [s]."""
    ends, begins = {
        "pressure switch": ({"float shuts"}, {"float opens"}),
        "level sensor": ({"sensor says full"}, {"sensor says room"}),
        "either": ({"float shuts", "sensor says full"}, {"float opens", "sensor says room"}),
    }[trace.site.drive.listens_to]
    waits, shut = [], nan
    for event in trace.events:
        if event.kind in ends:
            shut = event.time
        elif event.kind in begins:
            shut = nan
        elif event.kind == "drive told to stop":
            waits.append(event.time - shut)
            shut = nan
    return max((wait for wait in waits if wait == wait), default=nan)  # noqa: PLR0124


def measure(trace: Trace) -> Measures:
    """Measure a run."""
    totals = trace.totals
    starts = len(trace.times("pump starts"))
    peak = float(trace.pressure.max())
    over = peak - si(trace.site.pressure_switch.cut_out)
    line = totals.pumped - totals.returned - totals.delivered - totals.leaked - totals.relieved
    troughs = totals.delivered - totals.drunk - totals.overflowed - totals.evaporated
    return Measures(
        starts=starts,
        stops=len(trace.times("pump stops")),
        false_stops=len(false_stop_times(trace)),
        cycles_per_hour=starts * 3600.0 / float(trace.time[-1] - trace.time[0]),
        shortest_run=min(_runs(trace), default=nan),
        peak_pressure=peak,
        overshoot=over if over >= 0.0 else nan,
        time_to_stop=_time_to_stop(trace),
        dead_head_time=sum(stretches(trace, dead_headed(trace))),
        pumped=totals.pumped,
        delivered=totals.delivered,
        leaked=totals.leaked,
        overflowed=totals.overflowed,
        relieved=totals.relieved,
        returned=totals.returned,
        drunk=totals.drunk,
        unmet=totals.asked - totals.drunk,
        evaporated=totals.evaporated,
        stored=totals.line_gain,
        balance_error=abs(line - totals.line_gain) + abs(troughs - totals.trough_gain),
    )
