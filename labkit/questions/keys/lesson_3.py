"""Lesson 3: moving water costs pressure."""

from typing import TYPE_CHECKING

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import filling, friction, pump
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import phrase

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


def prediction(noon: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the pump does while the trough fills; the run decides."""
    early = noon.verdict == "false stop"
    started = bool(noon.times("pump starts"))
    return ChoiceQuestion(
        name="pump at noon",
        ask=phrase(
            "Noon, strong sun, and the far trough is half empty. The float hangs wide open. "
            "**What will the pump do?**"
        ),
        options=(
            Option(
                words=phrase("Run until the trough is full, then stop."),
                said=phrase("It did not fill it in one go."),
                is_right=started and not early,
            ),
            Option(
                words=phrase("Stop and start again and again, with the trough half empty."),
                said=phrase("It stopped while the trough was filling."),
                is_right=early,
            ),
            Option(
                words=phrase("Not start at all."),
                said=phrase("It started."),
                is_right=not started,
            ),
        ),
    )


def which_sun(noon: "Trace", morning: "Trace") -> ChoiceQuestion:
    """Ask, before the run, under which sun the trough fills in one go; the runs decide."""
    strong, weak = (trace.verdict != "false stop" for trace in (noon, morning))
    if strong == weak:
        raise ValueError("the lesson needs two suns that differ")
    suns = {
        "strong": (float(noon.irradiance.max()), "irradiance"),
        "weak": (float(morning.irradiance.max()), "irradiance"),
    }
    return ChoiceQuestion(
        name="the better sun",
        ask=phrase(
            "One of these two suns fills the trough in one go: {weak} in the morning, or {strong} "
            "at noon. **Which one?**",
            **suns,
        ),
        options=(
            Option(
                words=phrase("The morning's {weak}.", weak=suns["weak"]),
                said=phrase("The weaker one does."),
                is_right=weak,
            ),
            Option(
                words=phrase("The noon's {strong}.", strong=suns["strong"]),
                said=phrase("The stronger one does."),
                is_right=strong,
            ),
        ),
    )


def what_came_first(noon: "Trace") -> ChoiceQuestion:
    """Ask what was seen: did the switch trip before or after the float shut; the run decides."""
    shuts = noon.times("float shuts") or [float(noon.time[-1])]
    trip_first = noon.times("switch trips")[0] < shuts[0]
    again = phrase(
        "Press Reset and drag the moment slider over the first climb of the pressure. Read in the "
        "card what float and switch do."
    )
    right = phrase(
        "The switch tripped with the float wide open. It cannot know why the gauge is high; it "
        "only knows that it is."
    )
    return ChoiceQuestion(
        name="float or switch",
        ask=phrase("Before you read on: **which came first in the run at noon?**"),
        options=(
            Option(
                words=phrase("The float shut, then the switch tripped."),
                said=again if trip_first else right,
                is_right=not trip_first,
            ),
            Option(
                words=phrase("The switch tripped while the float was wide open."),
                said=right if trip_first else again,
                is_right=trip_first,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 2."""
    weight = weight_of_water(site)
    return (
        filling.while_filling(
            "gauge while filling",
            rise=plain_si(50, "ft"),
            weight=weight,
            friction=plain_si(11, "psi"),
            valve=plain_si(5, "psi"),
        ),
        friction.doubled("twice the flow", friction=plain_si(4, "psi"), flow=plain_si(4, "gpm")),
        friction.what_cures("a cure"),
        pump.at_speed(
            "head at less speed, again",
            shut_off=plain_si(250, "ft"),
            lift=plain_si(80, "ft"),
            speed=0.8,
            weight=weight,
        ),
    )
