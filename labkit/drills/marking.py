"""The marking of a diagnosis: what speaks against it, and what would have settled it fastest."""

from collections.abc import Sequence
from typing import Final, TypeAlias

import attrs

from labkit.drills.scene import Scene, Value
from labkit.drills.shortest import minutes_of, shortest_line
from labkit.drills.signature import (
    Channel,
    Done,
    Piece,
    Placed,
    hulls,
    pieces,
    readings,
    scene_of,
    telling,
)
from labkit.drills.tasks import TASKS, choices
from labkit.faults import FAULTS
from labkit.site import Site

ALIKE: Final[dict[frozenset[str], str]] = {}
"""Pairs of faults that no field test of the box tells apart, with the reason in words."""

Read: TypeAlias = tuple[Done, tuple[Value, ...]]
"""A task that was done and what was read."""


@attrs.frozen(kw_only=True)
class Proof:
    """A task of the shortest line, and what it reads."""

    key: str
    where: str
    values: tuple[Value, ...]


@attrs.frozen(kw_only=True)
class Marking:
    """How a diagnosis came out.

    Attributes
    ----------
    is_right : bool
        Whether it is what is hidden, or what nothing tells from it.
    right : int
        How many of its faults are among the hidden ones.
    alike : str
        Why another answer counts as right; empty if it is the very one.
    against : tuple of int
        Places in the log of the readings that rule a wrong diagnosis out.
    next_task : tuple or None
        Where none does: the cheapest task, as if done first, that would; none if none would.
    """

    is_right: bool
    right: int
    alike: str = ""
    against: tuple[int, ...] = ()
    next_task: Done | None = None


@attrs.frozen(kw_only=True)
class Settling:
    """What would have settled a drill fastest.

    Attributes
    ----------
    line : tuple of Proof
        Tasks of the fewest minutes, each as if done first, that rule out every other suspect.
    minutes : float
        What the line costs [min].
    left : tuple of str
        Suspects that no task rules out.
    """

    line: tuple[Proof, ...]
    minutes: float
    left: tuple[str, ...]


def mark(
    site: Site, hidden: Sequence[Placed], diagnosis: frozenset[str], log: Sequence[Read]
) -> Marking:
    """Mark a diagnosis on a stocked site against what is hidden there, by what was read."""
    keys = frozenset(one.key for one in hidden)
    right = len(keys & diagnosis)
    if keys == diagnosis:
        return Marking(is_right=True, right=right)
    if alike := ALIKE.get(keys ^ diagnosis, ""):
        return Marking(is_right=True, right=right, alike=alike)
    places = against(site, sorted(diagnosis), log)
    task = None if places else _would_rule_out(site, hidden, sorted(diagnosis))
    return Marking(is_right=False, right=right, against=places, next_task=task)


def settle(site: Site, hidden: Sequence[Placed]) -> Settling:
    """Find the shortest line of evidence for what is hidden on a stocked site."""
    line, left = _settling(site, hidden)
    scene = scene_of(site, hidden)
    proofs = tuple(
        Proof(key=key, where=where, values=TASKS[key].do(scene, where)[0]) for key, where in line
    )
    return Settling(line=proofs, minutes=minutes_of(line), left=left)


def _would_rule_out(site: Site, hidden: Sequence[Placed], diagnosis: Sequence[str]) -> Done | None:
    """Find the cheapest task that would rule a wrong diagnosis out."""
    done = choices(site)
    values = readings(scene_of(site, hidden), done)
    found = pieces(site, diagnosis, lambda met, wait: readings(met, done, wait))
    out = [telling(values, piece) for piece in found]
    every = frozenset.intersection(*out) if out else frozenset()
    return min(every, key=lambda one: (TASKS[one[0]].minutes, one), default=None)


def _settling(site: Site, hidden: Sequence[Placed]) -> tuple[tuple[Done, ...], tuple[str, ...]]:
    """Find the shortest line, and the suspects that it leaves.

    The suspects are all single faults; where two are hidden, also every pair with one of the two.
    """
    done = choices(site)
    keys = frozenset(one.key for one in hidden)
    answers = {frozenset((key,)) for key in FAULTS}
    if len(keys) > 1:
        answers |= {frozenset((one, key)) for one in keys for key in FAULTS if key != one}
    names, suspects = [], []
    for answer in sorted(answers - {keys}, key=sorted):
        for piece in pieces(site, sorted(answer), lambda met, wait: readings(met, done, wait)):
            names.append(" and ".join(sorted(answer)))
            suspects.append(piece)
    line, left = shortest_line(readings(scene_of(site, hidden), done), suspects)
    return line, tuple(sorted({names[number] for number in left}))


def against(site: Site, diagnosis: Sequence[str], log: Sequence[Read]) -> tuple[int, ...]:
    """Find the readings that rule a diagnosis out, by the same tasks on lines that have it."""

    def again(scene: Scene, wait: float) -> dict[Channel, Value]:
        found = {}
        for number, ((key, where), _) in enumerate(log):
            if wait:  # before each task: one that turns something sets the cycle going anew
                _, scene = scene.pass_time(wait)
            values, scene = TASKS[key].do(scene, where)
            found.update({(key, where, f"{number} {value.name}"): value for value in values})
        return found

    suspects = hulls(site, diagnosis, again)
    return tuple(
        number
        for number, ((key, where), values) in enumerate(log)
        if suspects and all(_is_out(piece, number, key, where, values) for piece in suspects)
    )


def _is_out(piece: Piece, number: int, key: str, where: str, values: Sequence[Value]) -> bool:
    """Say whether a suspect cannot have read one line of a log."""
    return any(
        piece[key, where, f"{number} {value.name}"].excludes(attrs.evolve(value, error=0.0))
        for value in values
    )
