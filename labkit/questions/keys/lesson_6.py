"""Lesson 6: what a good check valve and a tight float valve are worth."""

from collections.abc import Mapping

from labkit.questions import ChoiceQuestion
from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.questions.keys import holding
from labkit.site import Site
from labkit.trace import Trace
from labkit.units import flow_at, si


@lesson_choice
def after_the_stop(sound: Trace) -> Picked:
    """Pick what the gauge of a good line does after the stop; the run decides."""
    top, end = sound.at(sound.times("pump stops")[0]).pressure, float(sound.pressure[-1])
    if end > 0.95 * top:
        return Picked("holds")
    return Picked("drained" if end > 0.0 else "zero")


@lesson_number
def starts(leaky: Trace, size: str) -> Worked:
    """Return how often a leak of a size in the check valve starts the pump; the run decides."""
    leak = flow_at(size)
    more = {"leak": si(leak.flow), "at": si(leak.pressure)}
    return Worked(float(leaky.measures().starts), more=more)


@lesson_choice
def soonest(runs: Mapping[str, Trace]) -> Picked:
    """Pick which of three leaks of one size restarts the pump soonest; the runs decide."""
    return Picked(min(runs, key=lambda place: runs[place].times("pump starts")[1]))


def which_part(name: str, *, site: Site) -> ChoiceQuestion:
    """Ask which part leaks, from what is read on a line whose check valve does."""
    size = "0.07 gpm at 30 psi"
    seen = holding.Readings.of(site, "check valve", size, sun="700 W/m^2", minutes=10.0)
    return holding.which_part(name, seen)


checks = asked_at_end(__name__)
