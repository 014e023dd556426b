"""Lesson 4: where cut-in and cut-out must lie, and the screw that moves them."""

from typing import TYPE_CHECKING

from labkit.advice.setting import after_turns, turns_to
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import filling, screw
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import phrase
from labkit.units import si, typed

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


def turned(site: "Site", turns: float) -> "Site":
    """Give a site whose switch is new from its box, its range screw some turns out."""
    cut_in, cut_out = (typed(point, "pressure") for point in after_turns(turns))
    return site.changed({"switch.cut_in": cut_in, "switch.cut_out": cut_out})


def _points(trace: "Trace") -> tuple[float, float]:
    switch = trace.site.pressure_switch
    return si(switch.cut_in), si(switch.cut_out)


def _outcomes(trace: "Trace") -> tuple[Option, ...]:
    """Give the three things that a line may do; the run decides."""
    words = {
        "sound stop": "It stops when the trough is full, and comes back when cattle drink.",
        "no stop": "It never stops: the float shuts, and the pump pushes on.",
        "stuck off": "It stops once and does not come back when cattle drink.",
    }
    if trace.verdict not in words:
        raise ValueError(f"the lesson has no words for {trace.verdict}")
    return tuple(
        Option(
            words=phrase(said),
            said=phrase("It did otherwise."),
            is_right=verdict == trace.verdict,
        )
        for verdict, said in words.items()
    )


def from_the_box(boxed: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what a switch does as it came out of its box; the run decides."""
    cut_in, cut_out = _points(boxed)
    return ChoiceQuestion(
        name="the switch from its box",
        ask=phrase(
            "The switch is new and nobody has touched its screws: cut-in {cut_in}, cut-out "
            "{cut_out}. The sky is hazy or overcast: {sun} on the array, where full sun gives "
            "{full}. The trough fills and the float shuts; later, cattle drink. **What will the "
            "pump do?**",
            cut_in=(cut_in, "pressure"),
            cut_out=(cut_out, "pressure"),
            sun=(float(boxed.irradiance.max()), "irradiance"),
            full=(plain_si(1000, "W/m^2"), "irradiance"),
        ),
        options=_outcomes(boxed),
    )


def far_out(out: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the same switch does with its screw far out; the run decides."""
    cut_in, cut_out = _points(out)
    turns, _ = turns_to(cut_in, cut_out)
    return ChoiceQuestion(
        name="the screw far out",
        ask=phrase(
            "Now a helper gives the range screw {turns} out. That brings cut-in down to {cut_in} "
            "and cut-out to {cut_out}. The sky stays as it is. **What will the pump do now?**",
            turns=(screw.TURN * turns, "turns"),
            cut_in=(cut_in, "pressure"),
            cut_out=(cut_out, "pressure"),
        ),
        options=_outcomes(out),
    )


def what_the_screw_did(one: "Trace", other: "Trace") -> ChoiceQuestion:
    """Ask how the two points moved between two settings of the range screw; they decide."""
    (low, high), (low_after, high_after) = _points(one), _points(other)
    fell = low_after < low and high_after < high
    closer = high_after - low_after < high - low
    again = phrase(
        "Press Reset and turn the range screw out a whole turn at a time. Read both points off the "
        "dashed lines in the picture of the room."
    )
    right = phrase(
        "Cut-out falls faster than cut-in, so the two come closer as you go out. Only the nut "
        "moves cut-out alone."
    )
    return ChoiceQuestion(
        name="what the screw moved",
        ask=phrase("Before you read on: **what did the range screw do on its way out?**"),
        options=(
            Option(words=phrase("It moved cut-out alone."), said=again, is_right=low_after == low),
            Option(
                words=phrase("Both points came down by the same."),
                said=again,
                is_right=fell and not closer,
            ),
            Option(
                words=phrase("Both points came down, and closer together."),
                said=right if fell and closer else again,
                is_right=fell and closer,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 3."""
    weight = weight_of_water(site)
    return (
        screw.cut_out_after("cut-out after three turns", turns=3.0),
        screw.lowest_cut_out(
            "lowest cut-out",
            static=plain_si(22, "psi"),
            running=plain_si(31, "psi"),
            differential=plain_si(18, "psi"),
        ),
        screw.which_way("which way", static=plain_si(35, "psi")),
        filling.while_filling(
            "gauge while filling, again",
            rise=plain_si(35, "ft"),
            weight=weight,
            friction=plain_si(7, "psi"),
            valve=plain_si(4, "psi"),
        ),
    )
