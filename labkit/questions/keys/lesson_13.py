"""Lesson 13: pressure, wire or radio."""

from typing import TYPE_CHECKING

from labkit.catalogue import wire_gauges
from labkit.questions.bank import Picked, lesson_choice
from labkit.questions.keys import lesson_12, saying_stop

if TYPE_CHECKING:
    from labkit.advice.stop_methods import StopMethods
    from labkit.questions import Question


def _pushing(found: "StopMethods", failure: str) -> set[str]:
    """Return the ways whose pump runs on against closed floats when something fails."""
    rows = {method.name: method.failure(failure) for method in found.methods}
    return {name for name, row in rows.items() if row is not None and row.outcome == "pushes on"}


@lesson_choice
def dull_days(found: "StopMethods") -> Picked:
    """Pick which ways fail to stop the pump in two cloudy days; the runs decide."""
    sets = {"pressure": {"pressure"}, "sensors": {"wire", "radio"}, "none": set[str]()}
    return Picked(_which(sets, _pushing(found, "two cloudy days")))


@lesson_choice
def one_pair_cut(found: "StopMethods") -> Picked:
    """Pick which lines run on when a pair is cut; the runs decide."""
    sets = {"long": {"wire"}, "both": {"pressure", "wire"}, "neither": set[str]()}
    return Picked(_which(sets, _pushing(found, "wire cut")))


def _which(sets: dict[str, set[str]], pushing: set[str]) -> str:
    return next((key for key, ways in sets.items() if ways == pushing), f"{sorted(pushing)}")


@lesson_choice
def behind_the_ridge(found: "StopMethods") -> Picked:
    """Pick which way a ridge ruled out; the comparison decides."""
    out = [method.name for method in found.methods if not method.feasible]
    if len(out) != 1:
        raise ValueError(f"a ridge should rule out one way, not {out}")
    return Picked(out[0])


def checks() -> tuple["Question", ...]:
    """Return the questions at the end of the lesson; the last is a review of lesson 12."""
    gauge = "18 AWG"
    each = wire_gauges()[gauge]
    return (
        saying_stop.loop_ohms("ohms of a pair", gauge=gauge, distance="2500 ft", each=each),
        saying_stop.same_price("wire or radio", wire=300, roll=900, radio=900),
        saying_stop.decibels_left("decibels left", left=24, near="1000 ft"),
        lesson_12.checks()[1],
    )
