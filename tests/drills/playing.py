"""Drills played by script: by guessing, and by reasoning from readings alone."""

from collections.abc import Iterator
from functools import cache

from labkit.drills import TASKS, Debrief, Drill, Placed, choices, pieces, readings, steps
from labkit.drills.marking import asked_places
from labkit.drills.scene import Value
from labkit.drills.signature import Channel, Done, Piece
from labkit.faults import FAULTS
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


def reasoned(drill: Drill) -> Drill:
    """Do the test that parts most of what is still open for its minutes, until one is left.

    A line that was worked reads otherwise than one that was left alone, so what is left is held to
    the whole notebook before anything is repaired, and after it what little speaks against.
    """
    suspects = dict(_suspects(drill.site))
    spoken = dict.fromkeys(suspects, 0)
    undone = set(choices(drill.site))
    while undone:
        worth = _worth(undone, _least(suspects, spoken))
        best = max(sorted(undone), key=worth.__getitem__)
        if not worth[best]:
            break
        undone.remove(best)
        drill = drill.tried(*best)
        read = {(*best, one.name): one for one in drill.log[-1].values}
        for one, piece in suspects.items():
            spoken[one] += _is_out(read, piece)
    ranked = list(dict.fromkeys(named for named, _ in sorted(spoken, key=lambda one: spoken[one])))
    fits = (named for named in ranked if not drill.against(named[0]))
    return _closed(drill.repaired([next(fits, ranked[0])], steps(drill.site)))


def _worth(tests: set[Done], left: dict[tuple[Named, int], Piece]) -> dict[Done, float]:
    """How many pairs of those left each test parts for its minutes."""
    return {done: _parted(done, left) / TASKS[done[0]].minutes for done in tests}


def _least(
    suspects: dict[tuple[Named, int], Piece], spoken: dict[tuple[Named, int], int]
) -> dict[tuple[Named, int], Piece]:
    """Those against whom least speaks."""
    least = min(spoken.values())
    return {one: piece for one, piece in suspects.items() if spoken[one] == least}


def _closed(drill: Drill) -> Drill:
    """Watch a full cycle, and hand the line back."""
    return drill.proved(drill.site.troughs[-1].name, steps(drill.site)).handed_back()


def missed(drill: Drill) -> tuple[str, ...]:
    """Why a drill does not count; worked out whole only where nothing plain speaks against it."""
    if drill.wrong or drill.left or not drill.is_over:
        return ("wrong",)
    found: Debrief = drill.debriefed()
    return found.missed


@cache
def _suspects(site: Site) -> tuple[tuple[tuple[Named, int], Piece], ...]:
    done = choices(site)
    return tuple(
        ((named, number), piece)
        for key, fault in FAULTS.items()
        if fault.fits(site)
        for named in names(site, key)
        for number, piece in enumerate(
            pieces(
                site, [key], lambda met, wait: readings(met, done, wait),
                {key: named[1]} if named[1] else {},
            )
        )
    )  # fmt: skip


def _is_out(read: dict[Channel, Value], piece: Piece) -> bool:
    return any(
        piece[channel].excludes(value) for channel, value in read.items() if channel in piece
    )


def _parted(done: Done, left: dict[tuple[Named, int], Piece]) -> int:
    """How many pairs of suspects a test parts for sure."""
    pairs = 0
    spans = [(named, _spans(done, piece)) for (named, _), piece in left.items()]
    for number, (one, mine) in enumerate(spans):
        for other, its in spans[number + 1 :]:
            if one != other and any(
                _apart(a, its[name]) for name, a in mine.items() if name in its
            ):
                pairs += 1
    return pairs


def _spans(done: Done, piece: Piece) -> dict[str, tuple[frozenset[str], float, float]]:
    return {
        name: (span.words, span.least - 2 * span.error, span.most + 2 * span.error)
        for (key, where, name), span in piece.items()
        if (key, where) == done
    }


def _apart(
    one: tuple[frozenset[str], float, float], other: tuple[frozenset[str], float, float]
) -> bool:
    if one[0] or other[0]:
        return one[0].isdisjoint(other[0])
    return one[2] < other[1] or other[2] < one[1]


def played(drills: Iterator[Drill], by: str) -> list[tuple[Placed, tuple[str, ...]]]:
    """Play drills by a strategy: what was hidden, and why it does not count."""
    strategy = {"guessing": guessed, "reasoning": reasoned}[by]
    return [(drill.hidden[0], missed(strategy(drill))) for drill in drills]
