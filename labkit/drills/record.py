"""What a line read on the day it was commissioned, and what acting on a wrong diagnosis costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from labkit.drills.mending import CYCLE
from labkit.drills.scene import read_together
from labkit.drills.signature import scene_of
from labkit.drills.tasks import TASKS, choices
from labkit.faults import FAULTS, Price

if TYPE_CHECKING:
    from labkit.drills.scene import Value
    from labkit.site import Site

RECORDED: Final = (
    "work", "bucket", "lift", "shut in", "open line", "power", "well at rest", "well pumping",
    "tank",
)  # fmt: skip
"""Tests that a careful installer writes down at the hand-over, in the order of the sheet."""


class Recorded(NamedTuple):
    """A test of the commissioning sheet, where it was done, and what was read."""

    key: str
    where: str
    values: tuple[Value, ...]


def commissioning_record(site: Site) -> tuple[Recorded, ...]:
    """Return what a stocked, sound line reads in each test of the sheet, each done first.

    Read by one who makes no error: to the divisions of each instrument.
    """
    scene = scene_of(site, ())
    tests = [(TASKS[key], at) for wanted in RECORDED for key, at in choices(site) if key == wanted]
    cycles = [(CYCLE, trough.name) for trough in site.troughs]
    return tuple(
        Recorded(task.key, where, read_together(task.do(scene, where)[0]))
        for task, where in (*tests, *cycles)
    )


CALLED_BACK: Final = Price(120, 90)
"""What a second trip takes to a line that was handed back with its fault (a judgement)."""

PRICES: Final[dict[str, Price]] = {key: fault.price for key, fault in FAULTS.items()}
"""What acting on each diagnosis takes."""
