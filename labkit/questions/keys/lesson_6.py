"""Lesson 6: what a good check valve and a tight float valve are worth."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from labkit.questions.bank import Picked, Worked, lesson_choice, lesson_number
from labkit.questions.keys import filling, holding, leaking
from labkit.units import flow_at, si

if TYPE_CHECKING:
    from labkit.questions import Question
    from labkit.site import Site
    from labkit.trace import Trace


@lesson_choice
def after_the_stop(sound: "Trace") -> Picked:
    """Pick what the gauge of a good line does after the stop; the run decides."""
    top, end = sound.at(sound.times("pump stops")[0]).pressure, float(sound.pressure[-1])
    if end > 0.95 * top:
        return Picked("holds")
    return Picked("drained" if end > 0.0 else "zero")


@lesson_number
def starts(leaky: "Trace", size: str) -> Worked:
    """Return how often a leak of a size in the check valve starts the pump; the run decides."""
    leak = flow_at(size)
    more = {"leak": si(leak.flow), "at": si(leak.pressure)}
    return Worked(float(leaky.measures().starts), more=more)


@lesson_choice
def soonest(runs: Mapping[str, "Trace"]) -> Picked:
    """Pick which of three leaks of one size restarts the pump soonest; the runs decide."""
    return Picked(min(runs, key=lambda place: runs[place].times("pump starts")[1]))


def checks(site: "Site") -> tuple["Question", ...]:
    """Return the questions at the end of the lesson; the last is a review of lesson 3."""
    size, again = "0.07 gpm at 30 psi", "gauge while filling, again"
    seen = holding.Readings.of(site, "check valve", size, sun="700 W/m^2", minutes=10.0)
    return (
        holding.which_part("which part", seen),
        leaking.size_of_leak("size of the leak", given_up="1.5 gal", wait="10 min", refill="30 s"),
        holding.where_it_ends("gauge in the morning", site=site, rise="35 ft", cut_in="30 psi"),
        filling.while_filling(again, site=site, rise="60 ft", friction="7 psi", valve="4 psi"),
    )
