"""Lesson 8: several troughs at different heights on one switch."""

from typing import TYPE_CHECKING

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import friction, heights
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import phrase

if TYPE_CHECKING:
    from labkit.engine.steady import Steady
    from labkit.site import Site
    from labkit.trace import Trace


def _first_shut(trace: "Trace") -> list[str]:
    """Name the troughs in the order in which their floats shut."""
    return [event.where for event in trace.events if event.kind == "float shuts"]


def full_first(trace: "Trace") -> ChoiceQuestion:
    """Ask, before the run, which trough is full first; the run decides."""
    first = _first_shut(trace)[0]
    site = trace.site
    said = {one.name: phrase(f"{one.name.capitalize()} was not the first.") for one in site.troughs}
    said[first] = phrase(f"{first.capitalize()} was full first.")
    return ChoiceQuestion(
        name="full first",
        ask=phrase(
            "The stock at all three troughs drink the same and leave. All three floats hang open, "
            "and the pump starts. **Which trough is full first?**"
        ),
        options=tuple(
            Option(
                words=phrase(
                    f"{one.name.capitalize()}, {{height}} {_side(site.elevation(one.name))} the "
                    "gauge.",
                    height=(abs(site.elevation(one.name)), "length"),
                ),
                said=said[one.name],
                is_right=one.name == first,
            )
            for one in site.troughs
        ),
    )


def highest_share(settled: "Steady", site: "Site") -> ChoiceQuestion:
    """Ask what the highest trough gets while all floats are open; the settled line decides."""
    highest = max(site.troughs, key=lambda one: site.elevation(one.name)).name
    share = settled.inflow[highest] / sum(settled.inflow.values())
    even = abs(share - 1.0 / len(site.troughs)) < 0.05
    none = share < 0.01
    return ChoiceQuestion(
        name=f"what {highest} gets",
        ask=phrase(
            f"All three floats are open at the same time. **How much of the water goes to "
            f"{highest}, the highest?**"
        ),
        options=(
            Option(
                words=phrase("A third of it."), said=phrase("It was not a third."), is_right=even
            ),
            Option(
                words=phrase("Some, though less than a third."),
                said=phrase("It was not some."),
                is_right=not even and not none,
            ),
            Option(words=phrase("None."), said=phrase("It got none."), is_right=none),
        ),
    )


def the_order(trace: "Trace") -> ChoiceQuestion:
    """Ask what was seen: the order in which the troughs filled; the run decides."""
    order = _first_shut(trace)
    site = trace.site
    by_height = sorted((one.name for one in site.troughs), key=site.elevation)
    upward, downward = order == by_height, order == by_height[::-1]
    again = phrase("Press Reset and look at the curves of the water in the troughs, at the left.")
    right = phrase(
        "One after the other, from the bottom up. Only when the lower one shuts does the gauge "
        "rise enough for the next."
    )
    return ChoiceQuestion(
        name="order of filling",
        ask=phrase("Before you read on: **in what order did the troughs fill in the run?**"),
        options=(
            Option(
                words=phrase("From the highest down."),
                said=right if downward else again,
                is_right=downward,
            ),
            Option(
                words=phrase("From the lowest up."),
                said=right if upward else again,
                is_right=upward,
            ),
            Option(
                words=phrase("All at the same time."),
                said=again,
                is_right=not upward and not downward,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 3."""
    weight = weight_of_water(site)
    three = {
        "spring": plain_si(-12, "ft"),
        "bench": plain_si(25, "ft"),
        "mesa": plain_si(58, "ft"),
    }
    return (
        heights.lowest_cut_in("lowest reading", heights=three, weight=weight),
        heights.hill_between(
            "the hill between",
            trough=plain_si(14, "ft"),
            crest=plain_si(52, "ft"),
            weight=weight,
        ),
        heights.low_float_holds(
            "what the low float holds",
            drop=plain_si(37, "ft"),
            cut_out=plain_si(44, "psi"),
            weight=weight,
        ),
        heights.water_for_the_high_one("water for the high trough"),
        friction.doubled(
            "twice the flow, again", friction=plain_si(6, "psi"), flow=plain_si(3, "gpm")
        ),
    )


def _side(height: float) -> str:
    return "above" if height >= 0.0 else "below"
