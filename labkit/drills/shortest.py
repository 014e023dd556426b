"""The shortest line of evidence: tasks of the fewest minutes that rule out every other suspect."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final, TypeAlias

from labkit.drills.scene import Value
from labkit.drills.signature import Channel, Done, Piece, distinguishing_tests
from labkit.drills.tasks import TASKS
from labkit.errors import LabkitError

FEWER: Final = 1e-3
"""What a task counts besides its minutes, so that of two lines as long the one of fewer tasks is
taken [min]."""

Ruled: TypeAlias = Mapping[Done, frozenset[int]]
"""For each task the numbers of the suspects that it rules out."""


def shortest_line(
    values: Mapping[Channel, Value], suspects: Sequence[Piece]
) -> tuple[tuple[Done, ...], frozenset[int]]:
    """Return the tasks of the fewest minutes that rule out all suspects that can be, and the rest.

    `values` are what the hidden fault reads, and each suspect's piece what that one can read.
    """
    ruled: dict[Done, set[int]] = {}
    for number, piece in enumerate(suspects):
        for done in distinguishing_tests(values, piece):
            ruled.setdefault(done, set()).add(number)
    useful = _undominated({done: frozenset(out) for done, out in ruled.items()})
    every = frozenset().union(*useful.values()) if useful else frozenset()
    left = frozenset(range(len(suspects))) - every
    return cheapest(useful, every), left


def minutes_of(line: Iterable[Done]) -> float:
    """Return what a line of tasks costs [min]."""
    return sum(TASKS[key].minutes for key, _ in line)


def _undominated(ruled: Ruled) -> dict[Done, frozenset[int]]:
    """Leave out a task where a cheaper one rules out as much."""
    kept: dict[Done, frozenset[int]] = {}
    order = sorted(ruled, key=lambda done: (TASKS[done[0]].minutes, -len(ruled[done]), done))
    for done in order:
        if not any(ruled[done] <= out for out in kept.values()):
            kept[done] = ruled[done]
    return kept


def cheapest(ruled: Ruled, every: frozenset[int]) -> tuple[Done, ...]:
    """Search all lines that rule `every` suspect out, by branch and bound: the shortest is exact.

    Of two lines as long [min] the one of fewer tasks is taken, the cheapest task first. A suspect
    that few tasks rule out comes first, and each of those tasks is tried. A branch is left where
    its minutes and the least that the rest can take come to more than the best line.
    """
    if missed := sorted(every.difference(*ruled.values())):
        raise LabkitError(f"line of evidence: suspect is {missed[0]}; some task must rule it out")
    by_suspect = {
        one: sorted(
            (done for done in ruled if one in ruled[done]), key=lambda done: (_cost(done), done)
        )
        for one in sorted(every)
    }
    best: list[tuple[Done, ...]] = []

    def go_on(left: frozenset[int], line: tuple[Done, ...], spent: float) -> None:
        if best and spent + _least(ruled, by_suspect, left) > _cost(*best[-1]) - 0.5 * FEWER:
            return
        if not left:
            best.append(line)
            return
        rarest = min(left, key=lambda one: (len(by_suspect[one]), one))
        for done in by_suspect[rarest]:
            go_on(left - ruled[done], (*line, done), spent + _cost(done))

    go_on(every, (), 0.0)
    return tuple(sorted(best[-1], key=lambda done: (_cost(done), done)))


def _cost(*line: Done) -> float:
    """Return the minutes of a line, and a trifle for each of its tasks."""
    return minutes_of(line) + FEWER * len(line)


def _least(ruled: Ruled, by_suspect: Mapping[int, Sequence[Done]], left: frozenset[int]) -> float:
    """Return minutes under which no line rules the rest out.

    Each suspect pays its share of the task that is cheapest for it; no task is paid more than it
    costs.
    """
    share = {done: _cost(done) / max(len(out & left), 1) for done, out in ruled.items()}
    return sum(min(share[done] for done in by_suspect[one]) for one in left)
