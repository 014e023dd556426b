"""Lesson 2: what the sun can push."""

from typing import TYPE_CHECKING

from labkit.physics.water import air_pressure
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import haze, line, pump
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import si

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


def prediction(clear: "Trace", hazy: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the pump does in haze once the float has shut; the run decides."""
    stops = bool(hazy.times("switch trips"))
    sooner = stops and hazy.times("switch trips")[0] < clear.times("switch trips")[0]
    return ChoiceQuestion(
        name="pump in the haze",
        ask=phrase(
            "On a clear day, with {clear} on the array, this line stops as it should. Then smoke "
            "comes over the ridge and only {hazy} get through. Nobody touches the switch. The "
            "trough fills and the float shuts. **What will the pump do?**",
            clear=(float(clear.irradiance.max()), "irradiance"),
            hazy=(float(hazy.irradiance.max()), "irradiance"),
        ),
        options=(
            Option(
                words=phrase("Stop sooner: a weak pump gives up sooner."),
                said=phrase("It did not stop sooner."),
                is_right=sooner,
            ),
            Option(
                words=phrase("Stop as on the clear day, only later."),
                said=phrase("It did not stop at all."),
                is_right=stops and not sooner,
            ),
            Option(
                words=phrase("Not stop: it pushes on against the shut line until dusk."),
                said=phrase("It did not stop."),
                is_right=not stops,
            ),
        ),
    )


def highest(clear: "Trace", hazy: "Trace") -> NumberQuestion:
    """Ask, before the run, how high the gauge climbs in haze; the run decides."""
    answer, on_clear = (float(max(trace.pressure)) for trace in (hazy, clear))
    sun, full = (float(trace.irradiance.max()) for trace in (hazy, clear))
    linear = phrase("In proportion to the sun it would be that. It fell less.")
    return NumberQuestion(
        name="highest gauge in the haze",
        label="Highest gauge",
        ask=phrase(
            "On the clear day the gauge climbed to {clear} before the pump stood still. **How "
            "high will it climb in the haze, all day long?** Give a pressure with its unit.",
            clear=(on_clear, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        tolerance=0.1,
        slips=(
            Slip(name="in proportion to the sun", values=(on_clear * sun / full,), hint=linear),
        ),
        hints=(phrase("It lies below the clear day's figure."),),
        reason=phrase("That is how far the slow pump can push."),
    )


def what_you_saw(hazy: "Trace") -> ChoiceQuestion:
    """Ask what the gauge did in the haze after the float had shut; the run decides."""
    shut = hazy.times("float shuts")[0]
    end = min([time for time in hazy.times("float opens") if time > shut] + [hazy.time[-1]])
    at_shut = hazy.at(shut).pressure
    late, later = (hazy.at(shut + share * (end - shut)).pressure for share in (0.5, 0.95))
    flat = abs(later - late) < 0.02 * late and late > 1.2 * at_shut
    again = phrase(
        "Press Reset, set the haze slider so that the pump no longer stops, and look at the "
        "pressure after the float has shut."
    )
    return ChoiceQuestion(
        name="what the gauge did",
        ask=phrase(
            "Before you read on: you made haze until the pump no longer stopped. **What did the "
            "gauge do after the float had shut?**"
        ),
        options=(
            Option(words=phrase("It stayed where it was while filling."), said=again),
            Option(
                words=phrase("It climbed, leveled off below cut-out, and stayed there."),
                said=phrase(
                    "Yes: that level is the dead head. The pump turns, nothing flows, and nobody "
                    "tells it to stop."
                )
                if flat
                else again,
                is_right=flat,
            ),
            Option(
                words=phrase("It swung up and down between cut-in and cut-out."),
                said=again,
                is_right=not flat,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 1."""
    weight = weight_of_water(site)
    return (
        pump.at_speed(
            "head at less speed",
            shut_off=plain_si(200, "ft"),
            lift=plain_si(50, "ft"),
            speed=0.7,
            weight=weight,
        ),
        haze.displacement_in_haze("a positive-displacement pump in haze"),
        line.at_rest(
            "pressure at rest, again",
            rise=plain_si(60, "ft"),
            weight=weight,
            friction=plain_si(8, "psi"),
            air=air_pressure(si(site.place.elevation)),
        ),
    )
