"""Lesson 13: pressure, wire or radio."""

from labkit.advice.stop_methods import StopMethods
from labkit.questions.bank import Picked, asked_at_end, lesson_choice


def _pushing(found: StopMethods, failure: str) -> set[str]:
    """Return the ways whose pump runs on against closed floats when something fails."""
    rows = {method.name: method.failure(failure) for method in found.methods}
    return {name for name, row in rows.items() if row is not None and row.outcome == "pushes on"}


@lesson_choice
def dull_days(found: StopMethods) -> Picked:
    """Pick which ways fail to stop the pump in two cloudy days; the runs decide."""
    sets = {"pressure": {"pressure"}, "sensors": {"wire", "radio"}, "none": set[str]()}
    return Picked(_which(sets, _pushing(found, "two cloudy days")))


@lesson_choice
def one_pair_cut(found: StopMethods) -> Picked:
    """Pick which lines run on when a pair is cut; the runs decide."""
    sets = {"long": {"wire"}, "both": {"pressure", "wire"}, "neither": set[str]()}
    return Picked(_which(sets, _pushing(found, "wire cut")))


def _which(sets: dict[str, set[str]], pushing: set[str]) -> str:
    return next((key for key, ways in sets.items() if ways == pushing), f"{sorted(pushing)}")


@lesson_choice
def behind_the_ridge(found: StopMethods) -> Picked:
    """Pick which way a ridge ruled out; the comparison decides."""
    out = [method.name for method in found.methods if not method.feasible]
    if len(out) != 1:
        raise ValueError(f"a ridge should rule out one way, not {out}")
    return Picked(out[0])


checks = asked_at_end(__name__)
