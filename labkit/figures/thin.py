"""Long records made short enough to draw, without losing a peak or a change.

A picture has a few hundred columns of dots, a record may have fifty thousand uneven steps. What is
drawn keeps, for each column, the first, lowest, highest and last value.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from labkit.arrays import Floats, Integers

MIXED: Final = -1  # the code of a stretch in which a state changes too often to be seen one by one
_NARROW: Final = 4.0  # columns that a stretch of one state must take to be told from its neighbours


def envelope(time: Floats, value: Floats, *, columns: int) -> tuple[Floats, Floats]:
    """Return a line at uneven times [s], thinned to at most four points a column of dots.

    The very record comes back when it is short.
    """
    if time.size <= 4 * columns:
        return time, value
    column = _column_of(time, columns)
    first = np.flatnonzero(np.diff(column, prepend=-1))
    last = np.append(first[1:], time.size) - 1
    low, high = np.minimum.reduceat(value, first), np.maximum.reduceat(value, first)
    shares = np.array([0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0])
    times = time[first, None] + (time[last] - time[first])[:, None] * shares
    values = np.column_stack([value[first], low, high, value[last]])
    return times.ravel(), values.ravel()


def spans(time: Floats, code: ArrayLike, *, columns: int) -> list[tuple[float, float, int]]:
    """Return which state held from when to when, as (start, end, code), as wide as can be seen.

    `code` is the state from each time to the next; `MIXED` where changes follow too closely.
    """
    codes = np.asarray(code, dtype=np.int64)
    change = np.flatnonzero(np.diff(codes)) + 1
    starts = np.concatenate([[0], change])
    edges = np.append(time[starts], time[-1])
    kinds = codes[starts]
    if kinds.size > 1:
        edges, kinds = _merge_crowded(edges, kinds, (time[-1] - time[0]) / columns)
    return [
        (float(a), float(b), int(kind))
        for a, b, kind in zip(edges[:-1], edges[1:], kinds, strict=True)
    ]


def _column_of(time: Floats, columns: int) -> Integers:
    width = (time[-1] - time[0]) / columns
    column: Integers = ((time - time[0]) // width).astype(np.int64)
    return np.minimum(column, columns - 1)


def _merge_crowded(edges: Floats, kinds: Integers, width: float) -> tuple[Floats, Integers]:
    """Join neighbours that are both too narrow to tell apart into one mixed span."""
    narrow = np.diff(edges) < _NARROW * width
    beside = np.zeros_like(narrow)
    beside[1:] |= narrow[:-1]
    beside[:-1] |= narrow[1:]
    mixed = np.where(narrow & beside, MIXED, kinds)
    keep = np.concatenate([[True], (mixed[1:] != MIXED) | (mixed[:-1] != MIXED)])
    return np.append(edges[:-1][keep], edges[-1]), mixed[keep]
