"""Repair and proof: what comes first so that nobody gets hurt, what a repair takes, the full cycle.

A repair is done before anybody knows whether it was the right one; a full cycle that is watched
shows it, as on a real line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from labkit.drills import doing
from labkit.drills.doing import Task, caught, pumps
from labkit.drills.scene import fallen, on_gauge, word
from labkit.faults import FAULTS
from labkit.parts import DisplacementPump

if TYPE_CHECKING:
    from labkit.drills.doing import Result
    from labkit.drills.scene import Scene
    from labkit.site import Site

STEPS: Final[dict[str, float]] = {
    "controller off": 3.0,
    "bleed": 4.0,
    "hands clear": 2.0,
    "locate": 30.0,
    "relief": 4.0,
    "licensed": 15.0,
}
"""What one does before a repair or the proof, with the minutes it takes on site (a judgement)."""

PAR: Final = 75.0  # minutes of tests, hints included, within which a fault counts as found well
HINT: Final = 10.0  # what a hint takes off that [min]: a call to somebody who knows
MOST_OPEN: Final = 3
"""Other faults that the tests may leave open: with more of them a right name was luck."""


def needed(site: Site, key: str) -> frozenset[str]:
    """Return the steps that must come before a repair, or before the proof (an empty name)."""
    if not key:
        return frozenset(("relief",)) if isinstance(site.pump, DisplacementPump) else frozenset()
    return frozenset(FAULTS[key].steps)


def steps(site: Site) -> tuple[str, ...]:
    """Return the steps that there are on a site."""
    return tuple(key for key in STEPS if key != "relief" or needed(site, ""))


@attrs.frozen(kw_only=True)
class Repair:
    """A repair that was done."""

    # what was taken to be wrong: each fault's key, and its place or an empty name
    faults: tuple[tuple[str, str], ...]
    wrong: tuple[str, ...]  # which of them were good
    steps: tuple[str, ...]  # what was done first
    read: int  # how many lines stood in the notebook by then


def cycle(scene: Scene, where: str, minutes: float) -> Result:
    """Watch one full cycle: fill, stop, hold for ten minutes, start again."""
    filling, after = scene.pass_time(8.0, turned=scene.held("always open", [where]))
    lifted, after = after.pass_time(6.0, turned=scene.held("always shut"))
    high = scene.needle(lifted).max()
    held, after = after.pass_time(10.0, turned=scene.held("always shut"))
    before, later = (
        on_gauge(n, scene.shown(held.pressure[i])) for n, i in (("rest", 0), ("later", -1))
    )
    again, after = after.pass_time(minutes - 24.0, turned=scene.held("always open", [where]))
    is_off = lifted.speed[-1] <= 0.0
    return (
        word("on", pumps(filling)),
        on_gauge("gauge", scene.shown(filling.pressure[-1])),
        caught(filling, where),
        word("off", "stopped" if is_off else "kept running"),
        on_gauge("high", high),
        before,
        later,
        fallen("fall", before, later),
        word("held", "started by itself" if held.times("pump starts") else "stayed off"),
        word("again", "restarted" if again.times("pump starts") else pumps(again)),
    ), after  # fmt: skip


CYCLE: Final = Task(key="cycle", minutes=30, turn=cycle, is_at_trough=True, said=doing.cycled)
"""The proof of a repair. It is no test of the box: it shows whether a line is good."""
