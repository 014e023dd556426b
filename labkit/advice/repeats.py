"""A line that starts again and again with every float shut: when that repeats, and how often it is.

Each of its starts is like the last. Once that shows, what a run would add is a count.
"""

from math import ceil
from typing import Final

import numpy as np

from labkit.arrays import Floats
from labkit.engine.memory import FLOAT_OPENS, FLOAT_SHUTS, PUMP_STARTS
from labkit.trace.verdict import CYCLING_STARTS
from labkit.units.customary import HOUR

_TIMES: Final = 4  # how often a cycle must be seen in a row
_LONGEST: Final = 4  # starts that a cycle may have: waves make long and short ones take turns
_ALIKE: Final = 1e-5  # how far its waits may differ, as a share of the cycle
_SELDOM: Final = HOUR / CYCLING_STARTS
"""Waits that come to more [s] on the mean are run: the line may not count as cycling."""


def cycle_of(starts: Floats) -> Floats:
    """Return the waits from start to start that repeat at the end of some starts [s], or none."""
    waits = np.diff(starts)
    for size in range(1, min(_LONGEST, waits.size // _TIMES) + 1):
        cycles = waits[-_TIMES * size :].reshape(_TIMES, size)
        lasts = cycles[-1].sum()
        if np.ptp(cycles, axis=0).max() <= _ALIKE * lasts and lasts < size * _SELDOM:
            return np.asarray(cycles[-1])
    return np.empty(0)


def idle_starts(events: Floats, trough: int) -> Floats:
    """Return the starts [s] since the last float shut; none while one is open.

    `events` are what a run has seen so far; only the float of the `trough` was open at first.
    """
    last = {trough: (0.0, FLOAT_OPENS)}
    for time, kind, where in events[np.isin(events[:, 1], (FLOAT_OPENS, FLOAT_SHUTS))]:
        last[int(where)] = time, int(kind)
    if any(kind == FLOAT_OPENS for _, kind in last.values()):
        return np.empty(0)
    shut = max(time for time, _ in last.values())
    return np.asarray(events[(events[:, 1] == PUMP_STARTS) & (events[:, 0] > shut), 0])


def gone_on(starts: Floats, cycle: Floats, until: float) -> Floats:
    """Return some starts, and those that a cycle brings until a moment [s]."""
    again = np.tile(cycle, max(ceil((until - starts[-1]) / cycle.sum()), 0))
    more = starts[-1] + np.cumsum(again)
    return np.concatenate((starts, more[more < until]))
