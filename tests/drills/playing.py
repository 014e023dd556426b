"""Drills played by script: by guessing, and with care."""

from collections.abc import Iterator
from functools import cache
from itertools import combinations

from labkit.drills import TASKS, Drill, Placed, choices, pieces, readings, steps
from labkit.drills.marking import against, asked_places
from labkit.drills.signature import FLEETING, Done, Piece, Span
from labkit.site import Site

Named = tuple[str, str]


def names(site: Site, key: str) -> list[Named]:
    """Every answer that names a fault: with each of its places where they are asked."""
    return [(key, where) for where in asked_places(site, key) or ("",)]


def guessed(drill: Drill) -> Drill:
    """Repair suspects from the top, every step taken, until a line is right; no test is done."""
    for key in drill.suspects:
        for named in names(drill.site, key):
            drill = drill.repaired([named], steps(drill.site))
            if not drill.left:
                return _closed(drill)
            if drill.wrong:
                return drill  # it cannot count as found well any more
    raise AssertionError(drill.hidden)


def careful(drill: Drill) -> Drill:
    """Do the tests of the cheapest plan one after the other, and repair what the notebook leaves.

    The plan reads each test as if it came first. Done in sequence they meet the line in another
    minute of its cycle, so what they rule out is worked out for the very sequence, and where more
    than one answer is left, the cheapest tests that can part those are done as well.
    """
    tests = [(proof.key, proof.where) for proof in drill.settled().line]
    left = [named for key in drill.suspects for named in names(drill.site, key)]
    while tests:
        for key, where in tests:
            drill = drill.tried(key, where)
        left = [named for named in left if not _speaks(drill, named)]
        tests = _next(drill, left)
    return _closed(drill.repaired(left[:1], steps(drill.site))) if left else drill


def _speaks(drill: Drill, named: Named) -> tuple[int, ...]:
    """Which lines of the notebook rule an answer out."""
    key, where = named
    read = [((one.key, one.where), one.values) for one in drill.log]
    return against(drill.site, [key], read, {key: where} if where else {})


def _next(drill: Drill, left: list[Named]) -> list[Done]:
    """Give the cheapest test not done yet that parts two of the answers left for sure."""
    done = {(one.key, one.where) for one in drill.log}
    undone = sorted(set(drill.choices) - done, key=lambda one: (TASKS[one[0]].minutes, one))
    spans = {named: _pieces(drill.site, named) for named in left}
    for test in undone:
        for one, other in combinations(left, 2):
            if all(_parts(test, a, b) for a in spans[one] for b in spans[other]):
                return [test]
    return []


@cache
def _pieces(site: Site, named: Named) -> list[Piece]:
    key, where = named
    done = choices(site)
    at = {key: where} if where else {}
    return pieces(site, [key], lambda met, _: readings(met, done), at)


def _parts(test: Done, one: Piece, other: Piece) -> bool:
    """Whether two answers cannot read the same in a test."""
    return any(
        channel in other and _apart(span, other[channel])
        for channel, span in one.items()
        if channel[:2] == test
    )


def _apart(one: Span, other: Span) -> bool:
    if one.words or other.words:
        return one.words.isdisjoint(other.words) and not FLEETING & (one.words | other.words)
    off = 2.0 * (one.error + other.error)
    return one.most + off < other.least or other.most + off < one.least


def _closed(drill: Drill) -> Drill:
    """Watch a full cycle, and hand the line back."""
    return drill.proved(drill.site.troughs[-1].name, steps(drill.site)).handed_back()


def missed(drill: Drill) -> tuple[str, ...]:
    """Why a drill does not count; worked out whole only where nothing plain speaks against it."""
    if drill.wrong or drill.left or not drill.is_over:
        return ("wrong",)
    return drill.debriefed().missed


def played(drills: Iterator[Drill], by: str) -> list[tuple[Placed, tuple[str, ...]]]:
    """Play drills by a strategy: what was hidden, and why it does not count."""
    strategy = {"guessing": guessed, "care": careful}[by]
    return [(drill.hidden[0], missed(strategy(drill))) for drill in drills]
