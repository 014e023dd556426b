"""The marking of a diagnosis: what speaks against it, and what would have settled it fastest."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Final, Literal, NamedTuple, TypeAlias

import attrs

from labkit.drills.scene import Scene, Value, read_together
from labkit.drills.signature import (
    ANYWHERE,
    At,
    Channel,
    Done,
    Piece,
    Placed,
    distinguishing_tests,
    in_turn,
    pieces,
    reading_ranges,
    readings,
    scene_of,
)
from labkit.drills.tasks import TASKS, choices
from labkit.errors import LabkitError
from labkit.faults import FAULTS
from labkit.site import Site

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


UNPLACED: Final = frozenset(("buried leak",))
"""Faults that can sit in several places which no field test of the box tells apart."""

Read: TypeAlias = tuple[Done, tuple[Value, ...]]  # a task that was done and what was read


@attrs.frozen(kw_only=True)
class Proof:
    """A task of the shortest line, and what it reads."""

    key: str
    where: str
    values: tuple[Value, ...]


@attrs.frozen(kw_only=True)
class Marking:
    """How a diagnosis came out."""

    is_right: bool  # whether it is what is hidden, where it is hidden
    right: int  # how many of its faults are among the hidden ones
    misplaced: tuple[str, ...] = ()  # faults that are right but sit elsewhere
    # places in the log of the readings that rule a wrong diagnosis out
    against: tuple[int, ...] = ()


@attrs.frozen(kw_only=True)
class Settling:
    """What would have settled a drill fastest."""

    # tasks of the fewest minutes, each as if done first, that rule out every other suspect
    line: tuple[Proof, ...]
    minutes: float  # what the line costs [min]
    left: tuple[str, ...]  # suspects that no task rules out


def asked_places(site: Site, key: str) -> tuple[str, ...]:
    """Return the places between which a diagnosis must choose; none where there is but one.

    None either where no test tells the places apart.
    """
    places = () if key in UNPLACED else FAULTS[key].places(site)
    return places if len(places) > 1 else ()


def mark(site: Site, hidden: Sequence[Placed], diagnosis: At, log: Sequence[Read]) -> Marking:
    """Mark a diagnosis on a stocked site against what is hidden there, by what was read.

    The diagnosis gives each fault's place, an empty name where none is asked.
    """
    keys, given = frozenset(one.key for one in hidden), frozenset(diagnosis)
    right = len(keys & given)
    misplaced = tuple(
        one.key
        for one in hidden
        if asked_places(site, one.key) and diagnosis.get(one.key, one.where) != one.where
    )
    if keys == given and not misplaced:
        return Marking(is_right=True, right=right)
    at = {key: where for key, where in diagnosis.items() if where}
    places = against(site, sorted(given), log, at)
    return Marking(is_right=False, right=right, misplaced=misplaced, against=places)


def settle(site: Site, hidden: Sequence[Placed]) -> Settling:
    """Find the shortest line of evidence for what is hidden on a stocked site."""
    line, left = _settling(site, hidden)
    scene = scene_of(site, hidden)
    proofs = tuple(
        Proof(key=key, where=where, values=read_together(TASKS[key].do(scene, where)[0]))
        for key, where in line
    )
    return Settling(line=proofs, minutes=minutes_of(line), left=left)


def _settling(site: Site, hidden: Sequence[Placed]) -> tuple[tuple[Done, ...], tuple[str, ...]]:
    """Find the shortest line, and the suspects that it leaves."""
    names, suspects = _suspected(site, tuple(hidden))
    line, left = shortest_line(_exact(site, tuple(hidden)), suspects)
    return line, tuple(sorted({names[number] for number in left}))


@lru_cache(maxsize=8)
def _exact(site: Site, hidden: tuple[Placed, ...]) -> dict[Channel, Value]:
    """Return what every task reads on a line, each done first."""
    return readings(scene_of(site, hidden), choices(site))


def _suspected(site: Site, hidden: tuple[Placed, ...]) -> tuple[list[str], list[Piece]]:
    """Return every wrong answer, in pieces: its name, and what it can read."""
    names, suspects = [], []
    for answer, at in _answers(site, hidden):
        for piece in _pieces(site, tuple(answer), tuple(at.items())):
            names.append(" and ".join(answer) + "".join(f" at “{where}”" for where in at.values()))
            suspects.append(piece)
    return names, suspects


@attrs.frozen(kw_only=True)
class Judged:
    """What one of the learner's tests told."""

    # the test, and its trough or an empty name
    key: str
    where: str
    out: tuple[str, ...]  # wrong answers that it was the first to rule out
    # whether it told something; narrowed sizes or places only; told what was known by then; or
    # could tell nothing, for every wrong answer that is still open can read the same there: "told",
    # "narrowed", "late", "alike"
    why: Literal["told", "narrowed", "late", "alike"]


class Lookback(NamedTuple):
    """What tests told, and which wrong answers they left open that some test could rule out."""

    tests: tuple[Judged, ...]
    open: tuple[str, ...]


def judged(site: Site, hidden: Sequence[Placed], tests: Sequence[Done]) -> Lookback:
    """Judge tests in their order, each as if it were done first on the line."""
    names, suspects = _suspected(site, tuple(hidden))
    ruled: dict[Done, set[int]] = {}
    for number, piece in enumerate(suspects):
        for done in distinguishing_tests(_exact(site, tuple(hidden)), piece):
            ruled.setdefault(done, set()).add(number)
    still = set().union(*ruled.values()) if ruled else set()
    found = []
    for done in tests:
        before, all_out = {names[n] for n in still}, ruled.get(done, set())
        now, still = still & all_out, still - all_out
        out = tuple(sorted(before - {names[n] for n in still}))
        why: Literal["told", "narrowed", "late", "alike"] = (
            "told" if out else "narrowed" if now else "late" if all_out else "alike"
        )
        found.append(Judged(key=done[0], where=done[1], out=out, why=why))
    return Lookback(tests=tuple(found), open=tuple(sorted({names[n] for n in still})))


@lru_cache(maxsize=128)
def _pieces(
    site: Site, keys: tuple[str, ...], at: tuple[tuple[str, str], ...]
) -> tuple[Piece, ...]:
    """Span what faults can read in every task; kept, for the next drill on the line asks again."""
    done = choices(site)
    return tuple(pieces(site, keys, lambda met, _: readings(met, done), dict(at)))


def _answers(site: Site, hidden: Sequence[Placed]) -> list[tuple[list[str], At]]:
    """Return every wrong answer to be ruled out: faults, and where they are if that is asked.

    They are all single faults; where two are hidden, also every pair with one of the two; and the
    very faults in other places.
    """
    keys = frozenset(one.key for one in hidden)
    answers = {frozenset((key,)) for key in FAULTS}
    if len(keys) > 1:
        answers |= {frozenset((one, key)) for one in keys for key in FAULTS if key != one}
    found: list[tuple[list[str], At]] = [
        (sorted(answer), ANYWHERE) for answer in sorted(answers - {keys}, key=sorted)
    ]
    for one in hidden:
        others = [where for where in asked_places(site, one.key) if where != one.where]
        found += [(sorted(keys), {one.key: where}) for where in others]
    return found


def against(
    site: Site, diagnosis: Sequence[str], log: Sequence[Read], at: At = ANYWHERE
) -> tuple[int, ...]:
    """Find the readings that rule a diagnosis out, by the same tasks on lines that have it."""

    def again(scene: Scene, wait: float) -> dict[Channel, Value]:
        tests = [done for done, _ in log]
        read = zip(tests, in_turn(scene, wait, tests), strict=True)
        return {
            (*done, f"{number} {value.name}"): value
            for number, (done, values) in enumerate(read)
            for value in values
        }

    suspects = reading_ranges(site, diagnosis, again, at)
    return tuple(
        number
        for number, ((key, where), values) in enumerate(log)
        if suspects and all(_is_out(piece, number, key, where, values) for piece in suspects)
    )


def _is_out(piece: Piece, number: int, key: str, where: str, values: Sequence[Value]) -> bool:
    """Whether a suspect cannot have read one line of a log."""
    return any(
        piece[key, where, f"{number} {value.name}"].excludes(attrs.evolve(value, error=0.0))
        for value in values
    )
