"""What a line read on the day it was commissioned, and what acting on a wrong diagnosis costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from labkit.drills.mending import CYCLE
from labkit.drills.scene import read_together
from labkit.drills.signature import scene_of
from labkit.drills.tasks import TASKS, choices

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


class Price(NamedTuple):
    """What a repair takes: minutes on site, and dollars for parts and machines."""

    minutes: float
    dollars: float


CALLED_BACK: Final = Price(120, 90)
"""What a second trip takes to a line that was handed back with its fault (a judgement)."""

PRICES: Final[dict[str, Price]] = {
    "worn float seat": Price(40, 25),
    "lazy float": Price(40, 60),
    "bad check valve": Price(420, 1400),
    "buried leak": Price(360, 700),
    "cut-out too high for the sun": Price(25, 0),
    "cut-in under the static pressure": Price(25, 0),
    "wrong action": Price(45, 60),
    "cut wire": Price(180, 120),
    "chewed pair": Price(180, 120),
    "waterlogged tank": Price(60, 180),
    "wrong precharge": Price(30, 0),
    "plugged gauge": Price(20, 20),
    "plugged switch nipple": Price(30, 10),
    "worn pump": Price(480, 2600),
    "dusty or shaded array": Price(45, 0),
    "low well": Price(240, 400),
    "clogged screen": Price(600, 3500),
    "undersized pipe": Price(900, 2800),
    "stuck-open float": Price(30, 20),
    "stuck-shut float": Price(30, 20),
    "clogged float valve": Price(40, 25),
    "valve left partly closed": Price(5, 0),
    "leak at the wellhead": Price(60, 40),
    "welded switch contact": Price(45, 60),
    "corroded switch contact": Price(45, 60),
    "controller or motor fault": Price(240, 900),
}
"""What acting on each diagnosis takes. Invented for the drill, in the proportions of the trade
(common practice): pulling a pump is a day, a trench most of one, a screw a few minutes."""
