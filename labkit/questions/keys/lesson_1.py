"""Lesson 1: how pressure says that a far trough is full."""

from typing import TYPE_CHECKING

from labkit.physics.water import air_pressure
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import line
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import COUNT, NumberQuestion
from labkit.questions.phrase import phrase
from labkit.sun import clock_seconds
from labkit.units import si

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


def prediction(trace: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the gauge does once the float has shut; the run decides."""
    shut = trace.times("float shuts")[0]
    before, later = trace.at(shut - 60.0).pressure, trace.at(shut + 60.0).pressure
    climbed = later > 1.2 * before
    fell = later < 0.8 * before
    return ChoiceQuestion(
        name="gauge after the float shuts",
        ask=phrase(
            "The picture stops just before the trough is full. In a moment the float will shut. "
            "The sun stays strong, and no wire runs to the trough. "
            "**What will the gauge at the well do?**"
        ),
        options=(
            Option(
                words=phrase("Stay where it is: the pump goes on as before."),
                said=phrase("It did not stay."),
                is_right=not climbed and not fell,
            ),
            Option(
                words=phrase("Fall: no more water moves."),
                said=phrase("It did not fall."),
                is_right=fell,
            ),
            Option(
                words=phrase("Climb until something at the well stops the pump, then hold."),
                said=phrase("It climbed, and held."),
                is_right=climbed,
            ),
        ),
    )


def starts(trace: "Trace") -> NumberQuestion:
    """Ask, before the run, how often the pump will start; the run decides."""
    herd = trace.site.troughs[0].herd
    if herd is None:
        raise ValueError("the lesson needs a herd")
    return NumberQuestion(
        name="starts in the hour",
        label="Starts in this hour",
        ask=phrase(
            "{cows} cows come to drink at {time} and leave after {stay}. **How many times will "
            "the pump start in this hour, the start at noon counted?** Give a whole number.",
            cows=(herd.head, "count"),
            time=(clock_seconds(herd.visits[0]), "clock"),
            stay=(si(herd.visit_time), "time"),
        ),
        answer=float(trace.measures().starts),
        kind=COUNT,
        hints=(phrase("Count a start for each time the gauge falls to cut-in."),),
        reason=phrase("Once at noon, and once when the cattle had drawn the line down."),
    )


def what_came_first(trace: "Trace") -> ChoiceQuestion:
    """Ask what was seen: which came first, float, switch or pump; the run decides."""
    first = min(
        ("float shuts", "switch trips", "pump stops"), key=lambda kind: trace.times(kind)[0]
    )
    wrong = phrase(
        "Press Reset, then drag the moment slider slowly over the steep climb shortly before "
        "{time}. Read the last lines of the card under the drawing.",
        time=(trace.clock + trace.times("pump stops")[0] + 60.0, "clock"),
    )
    right = phrase(
        "First the float shut, then the pressure climbed, then the switch tripped, and last the "
        "pump ramped down. Nothing but water told the well."
    )
    said = {kind: right if kind == first else wrong for kind in ("float shuts", "switch trips")}
    return ChoiceQuestion(
        name="what came first",
        ask=phrase("Before you read on: **which of these came first in the run?**"),
        options=(
            Option(
                words=phrase("The switch tripped at the well."),
                said=said["switch trips"],
                is_right=first == "switch trips",
            ),
            Option(
                words=phrase("The float shut at the trough."),
                said=said["float shuts"],
                is_right=first == "float shuts",
            ),
            Option(
                words=phrase("The pump slowed down."),
                said=right if first == "pump stops" else wrong,
                is_right=first == "pump stops",
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; their numbers are not the bench's."""
    return (
        line.at_rest(
            "pressure at rest",
            rise=plain_si(45, "ft"),
            weight=weight_of_water(site),
            friction=plain_si(6, "psi"),
            air=air_pressure(si(site.place.elevation)),
        ),
        line.comes_back(
            "point of return",
            cut_out=plain_si(48, "psi"),
            differential=plain_si(22, "psi"),
        ),
        line.bigger_array("a bigger array"),
    )
