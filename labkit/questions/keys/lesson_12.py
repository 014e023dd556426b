"""Lesson 12: which part is it? Questions on readings, decided by lines that are simulated."""

from functools import cache
from typing import Final

from labkit.drills import Placed, Value, scene_of
from labkit.drills.tasks import TASKS
from labkit.faults import FAULTS, stocked
from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.site import Site

LOSERS: Final = ("bad check valve", "buried leak", "worn float seat", "waterlogged tank")
"""Four faults behind the same call: the pump comes on again and again."""
FALLS: Final = 20e3  # a fall of the gauge in ten minutes that nobody overlooks [Pa]


@cache
def read(site: Site, key: str, task: str) -> dict[str, Value]:
    """Return what a task reads on a site with one of the faults, at its middling size."""
    sound, fault = stocked(site), FAULTS[key]
    where = fault.places(sound)[0]
    placed = Placed(key=key, size=fault.size_at(sound, where, 0.5), where=where)
    at = sound.troughs[0].name if TASKS[task].is_at_trough else ""
    values, _ = TASKS[task].do(scene_of(sound, [placed]), at)
    return {value.name: value for value in values}


def fall(site: Site, key: str, task: str) -> float:
    """Return how far the gauge falls in ten minutes, valve shut or open [Pa]."""
    value = read(site, key, task)["fall"].value
    return 0.0 if isinstance(value, str) else value


@lesson_choice
def who_falls_shut_in(site: Site) -> Picked:
    """Pick whose gauge falls with the valve closed; the simulation decides."""
    (right,) = (key for key in LOSERS if fall(site, key, "shut in") > FALLS)
    return Picked(right)


@lesson_number
def how_many_fall_open(site: Site) -> Worked:
    """Return how many of the four let the gauge fall, valve open; the simulation decides."""
    return Worked(float(sum(fall(site, key, "open line") > FALLS for key in LOSERS)))


checks = asked_at_end(__name__)
