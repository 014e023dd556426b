"""Drills played by script: by guessing, and by the cheapest plan."""

from collections.abc import Iterator

from labkit.drills import Drill, Placed, steps
from labkit.drills.marking import asked_places
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


def planned(drill: Drill) -> Drill:
    """Do the tests of the cheapest plan, and repair what they leave: the plan rules out the rest.

    That it does is looked at by its exact readings, each taken first; whoever reads them one after
    the other meets the line in another minute of its cycle and may have to look again.
    """
    for proof in drill.settled().line:
        drill = drill.tried(proof.key, proof.where)
    (hidden,) = drill.hidden
    return _closed(drill.repaired([(hidden.key, hidden.where)], steps(drill.site)))


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
    strategy = {"guessing": guessed, "the cheapest plan": planned}[by]
    return [(drill.hidden[0], missed(strategy(drill))) for drill in drills]
