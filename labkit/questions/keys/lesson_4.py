"""Lesson 4: where cut-in and cut-out must be, and the nuts that move them."""

from labkit.advice.setting import after_turns, turns_to
from labkit.questions.bank import Picked, asked_at_end, lesson_choice
from labkit.questions.keys import screw
from labkit.questions.keys.pump import FULL_SUN
from labkit.site import Site
from labkit.trace import Trace
from labkit.units import typed


def turned(site: Site, turns: float) -> Site:
    """Return a site whose switch is new, its range nut loosened by some turns."""
    cut_in, cut_out = (typed(point, "pressure") for point in after_turns(turns))
    return site.changed({"switch.cut_in": cut_in, "switch.cut_out": cut_out})


@lesson_choice
def from_the_box(boxed: Trace) -> Picked:
    """Pick what a switch does as it came out of its box; the run decides."""
    cut_in, cut_out = boxed.site.pressure_switch.points
    suns = {"sun": float(boxed.irradiance.max()), "full": FULL_SUN}
    return Picked(boxed.verdict, {"cut_in": cut_in, "cut_out": cut_out, **suns})


@lesson_choice
def far_out(out: Trace) -> Picked:
    """Pick what the same switch does with its range nut far out; the run decides."""
    cut_in, cut_out = out.site.pressure_switch.points
    turns, _ = turns_to(cut_in, cut_out)
    points = {"cut_in": cut_in, "cut_out": cut_out}
    return Picked(out.verdict, {"turned": screw.TURN * turns, **points})


@lesson_choice
def what_the_screw_did(one: Trace, other: Trace) -> Picked:
    """Pick how the two points moved between two settings of the range nut; they decide."""
    (low, high), (low_after, high_after) = (
        one.site.pressure_switch.points,
        other.site.pressure_switch.points,
    )
    if low_after == low:
        return Picked("alone")
    return Picked("closer" if high_after - low_after < high - low else "same")


checks = asked_at_end(__name__)
