"""The shortest line of evidence: tasks of the fewest minutes that rule out every other suspect."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations
from typing import Final, TypeAlias

from labkit.drills.scene import Value
from labkit.drills.signature import Channel, Done, Piece, telling
from labkit.drills.tasks import TASKS

MOST: Final = 4
"""Tasks in a line up to which the search is exact; past that the next best is taken each time."""

Ruled: TypeAlias = Mapping[Done, frozenset[int]]
"""For each task the numbers of the suspects that it rules out."""


def shortest_line(
    values: Mapping[Channel, Value], suspects: Sequence[Piece]
) -> tuple[tuple[Done, ...], frozenset[int]]:
    """Find the line of tasks of the fewest minutes that rules out every suspect that can be.

    Parameters
    ----------
    values : mapping
        What the hidden fault reads in each task.
    suspects : sequence
        What each other suspect can read.

    Returns
    -------
    line : tuple
        The tasks.
    left : frozenset of int
        Places of the suspects that no task rules out.
    """
    ruled: dict[Done, set[int]] = {}
    for number, piece in enumerate(suspects):
        for done in telling(values, piece):
            ruled.setdefault(done, set()).add(number)
    useful = _undominated({done: frozenset(out) for done, out in ruled.items()})
    every = frozenset().union(*useful.values()) if useful else frozenset()
    left = frozenset(range(len(suspects))) - every
    line = _exact(useful, every)
    return (_greedy(useful, every) if line is None else line), left


def minutes_of(line: Iterable[Done]) -> float:
    """Give what a line of tasks costs [min]."""
    return sum(TASKS[key].minutes for key, _ in line)


def _undominated(ruled: Ruled) -> dict[Done, frozenset[int]]:
    """Leave out a task where a cheaper one rules out as much."""
    kept: dict[Done, frozenset[int]] = {}
    order = sorted(ruled, key=lambda done: (TASKS[done[0]].minutes, -len(ruled[done]), done))
    for done in order:
        if not any(ruled[done] <= out for out in kept.values()):
            kept[done] = ruled[done]
    return kept


def _exact(ruled: Ruled, every: frozenset[int]) -> tuple[Done, ...] | None:
    """Search all lines of few tasks."""
    if not every:
        return ()
    best: tuple[Done, ...] | None = None
    for length in range(1, MOST + 1):
        for line in combinations(ruled, length):
            if best is not None and minutes_of(line) >= minutes_of(best):
                continue
            if every == frozenset().union(*(ruled[done] for done in line)):
                best = line
    return best


def _greedy(ruled: Ruled, every: frozenset[int]) -> tuple[Done, ...]:
    """Take the task that rules out most for each minute, again and again."""
    line: list[Done] = []
    left = set(every)
    while left:
        done = max(ruled, key=lambda one: (len(ruled[one] & left) / TASKS[one[0]].minutes, one))
        line.append(done)
        left -= ruled[done]
    return tuple(line)
