"""Lesson 0: the parts, where the water goes, and what can hurt you."""

from labkit.questions.bank import Worked, fixed, lesson_number
from labkit.questions.marking import ChoiceQuestion
from labkit.site import Site
from labkit.units import si


def the_shutter() -> ChoiceQuestion:
    """Ask which part shuts the water off when the trough is full."""
    return fixed("lesson_0.the_shutter")


def still_live() -> ChoiceQuestion:
    """Ask what can hurt while the pump is off on a sunny day."""
    return fixed("lesson_0.still_live")


@lesson_number
def rise_of(site: Site) -> Worked:
    """Return the trough's height above the manifold, to learn to answer with a unit."""
    pipe = site.troughs[0].pipe
    rise, length = si(pipe.rise), si(pipe.length)
    wrong = {"way along the pipe": length, "depth of the well": si(site.well.static_level)}
    return Worked(rise, wrong, {"rise": rise, "length": length})
