"""Lesson 6: what a sound check valve and a tight float are worth."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from labkit.physics.water import air_pressure
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import filling, holding, leaking
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import COUNT, NumberQuestion
from labkit.questions.phrase import Phrase, phrase
from labkit.units import flow_at, si

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


def after_the_stop(sound: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the gauge of a sound line does after the stop; the run decides."""
    stop = sound.times("pump stops")[0]
    top, end = sound.at(stop).pressure, float(sound.pressure[-1])
    column = weight_of_water(sound.site) * si(sound.site.troughs[0].pipe.rise)
    holds, drained = end > 0.95 * top, end < 1.2 * column
    return ChoiceQuestion(
        name="a sound line after the stop",
        ask=phrase(
            "Check valve, float and line are sound. The float shuts, the pump stops at cut-out, "
            "and nobody drinks. **Where will the gauge be an hour later?**"
        ),
        options=(
            Option(
                words=phrase("At zero: nobody pushes any more."),
                said=phrase("It was not at zero."),
                is_right=end <= 0.0,
            ),
            Option(
                words=phrase("Down where the weight of the standing water holds it."),
                said=phrase("It stood higher."),
                is_right=drained and end > 0.0,
            ),
            Option(
                words=phrase("Where it stood when the pump stopped."),
                said=phrase("It stayed up there."),
                is_right=holds,
            ),
        ),
    )


def starts(leaky: "Trace", size: str) -> NumberQuestion:
    """Ask, before the run, how often a leak of a size in the check valve starts the pump."""
    return NumberQuestion(
        name="starts with a leaking check valve",
        label="Starts in the hour",
        ask=phrase(
            "Now the check valve leaks: {leak} at a pressure of {at}, a thin thread of water. "
            "**How many times will the pump start in the hour, the start at noon counted?** Give a "
            "whole number.",
            leak=(si(flow_at(size).flow), "small flow"),
            at=(si(flow_at(size).pressure), "pressure"),
        ),
        answer=float(leaky.measures().starts),
        kind=COUNT,
        hints=(phrase("The tank gives up only so much water. How long does that last?"),),
        reason=phrase(
            "The tank is soon empty, the gauge falls to cut-in, and the pump comes back."
        ),
    )


def soonest(runs: Mapping[str, "Trace"]) -> ChoiceQuestion:
    """Ask which of three leaks of one size brings the pump back soonest; the runs decide."""
    back = {place: run.times("pump starts")[1] for place, run in runs.items()}
    first = min(back, key=lambda place: back[place])
    again = phrase(
        "Press Reset. Set one slider, read from the picture when the pump comes back, set it back "
        "to zero, and do the same with the next."
    )
    right = phrase(
        "The check valve lies deep in the well, so the whole column down there pushes on it as "
        "well. The same hole loses more."
    )
    words = {
        "check valve": phrase("The check valve's."),
        "float": phrase("The float's."),
        "line": phrase("The line's."),
    }

    def said(place: str) -> Phrase:
        return right if place == first else again

    return ChoiceQuestion(
        name="which leak brings it back soonest",
        ask=phrase(
            "Before you read on: give each leak the same size, one at a time. **Which one brings "
            "the pump back soonest?**"
        ),
        options=tuple(
            Option(words=words[place], said=said(place), is_right=place == first) for place in runs
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 3."""
    weight = weight_of_water(site)
    seen = holding.Readings.of(
        site, "check valve", "0.07 gpm at 30 psi", sun="700 W/m^2", minutes=10.0
    )
    return (
        holding.which_part("which part", seen),
        leaking.size_of_leak("size of the leak", given_up="1.5 gal", wait="10 min", refill="30 s"),
        holding.where_it_ends(
            "gauge in the morning",
            rise=plain_si(35, "ft"),
            weight=weight,
            cut_in=plain_si(30, "psi"),
            air=air_pressure(si(site.place.elevation)),
        ),
        filling.while_filling(
            "gauge while filling, again",
            rise=plain_si(60, "ft"),
            weight=weight,
            friction=plain_si(7, "psi"),
            valve=plain_si(4, "psi"),
        ),
    )
