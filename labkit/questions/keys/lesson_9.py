"""Lesson 9: how the float closes."""

from typing import TYPE_CHECKING

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import closing, friction
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import si

if TYPE_CHECKING:
    from labkit.engine.surge_record import Surge
    from labkit.site import Site
    from labkit.trace import Trace

SEVERAL = 6
"""Stops from which on nobody says "once or twice"."""


def as_it_closes(filled: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the pump does while the float closes; the run decides."""
    stops = len(filled.times("pump stops"))
    return ChoiceQuestion(
        name="as the float closes",
        ask=phrase(
            "The trough fills. Over the last bit, {band} of water, the float valve closes little "
            "by little. The sun stays strong, and nothing is broken. **What will the pump do?**",
            band=(si(filled.site.troughs[0].float_valve.band), "small length"),
        ),
        options=(
            Option(
                words=phrase("Stop once, and rest."),
                said=phrase("It did not stop just once."),
                is_right=stops == 1,
            ),
            Option(
                words=phrase("Stop, come back once or twice while the float closes, then rest."),
                said=phrase("It came back while the float was closing."),
                is_right=1 < stops < SEVERAL,
            ),
            Option(
                words=phrase("Stop and come back again and again, all afternoon."),
                said=phrase("It came to rest."),
                is_right=stops >= SEVERAL,
            ),
        ),
    )


def highest_when_slammed(wave: "Surge") -> NumberQuestion:
    """Ask, before the run, how high the pressure at the trough goes; the run decides."""
    at_trough = wave.pressure[wave.trough]
    before, cut_out = float(at_trough[0]), si(wave.site.pressure_switch.cut_out)
    return NumberQuestion(
        name="highest at the trough",
        label="Highest pressure",
        ask=phrase(
            "Now somebody lifts the float by hand, in {time}, while the pump fills. There were "
            "{before} at the valve; the switch at the well cuts out at {cut_out}. **How high does "
            "the pressure at the valve go?** Give a pressure with its unit.",
            time=(wave.closing_time, "time"),
            before=(before, "pressure"),
            cut_out=(cut_out, "pressure"),
        ),
        answer=float(at_trough.max()),
        kind="pressure",
        tolerance=0.1,
        slips=(
            Slip(
                name="stays as it was",
                values=(before,),
                hint=phrase("The water in the pipe was moving. What stops it?"),
            ),
        ),
        hints=(phrase("A long column of water has to be stopped within a moment."),),
        reason=phrase(
            "First the jump; then, on top of it, what friction took while the water still moved."
        ),
    )


def read_while_they_sip(sipping: "Trace") -> dict[str, float]:
    """Give what is read off the run: the rate [m3/s], when stock come and leave, and the pump [s].

    On paper nobody can turn the bench, so these times stand there in its place.
    """
    rate = sipping.drinking[sipping.site.troughs[0].name]
    standing = sipping.time[rate > 0.0]
    came, left = float(standing[0]), float(standing[-1])
    starts, stops = (
        [time for time in sipping.times(kind) if time > came]
        for kind in ("pump starts", "pump stops")
    )
    turns = dict(zip(("one", "two", "three", "four"), sorted(starts + stops), strict=False))
    return {"rate": float(max(rate)), "came": came, "left": left, "last": stops[-1], **turns}


def while_they_sip(sipping: "Trace") -> ChoiceQuestion:
    """Ask what was seen while stock drank less than the pump gives; the run decides."""
    herd = sipping.site.troughs[0].herd
    stay = si(herd.visit_time) if herd is not None else 0.0
    shut = sipping.times("float opens")[0]
    stops = [time for time in sipping.times("pump stops") if shut < time < shut + stay]
    many = len(stops) >= SEVERAL
    again = phrase("Press Reset, set that rate, and count the teeth of the pressure trace.")
    return ChoiceQuestion(
        name="while they sip",
        ask=phrase(
            "Before you read on: the stock drank {rate}, less than the pump gives. **What did "
            "the pump do while they stood there?**",
            rate=(read_while_they_sip(sipping)["rate"], "flow"),
        ),
        options=(
            Option(words=phrase("It ran through, only more slowly."), said=again),
            Option(words=phrase("It stayed off."), said=again),
            Option(
                words=phrase("It stopped and came back many times; when they left, it rested."),
                said=phrase(
                    "Yes. The float hangs part open and takes what the stock drink. The pump gives "
                    "more, so the switch trips; then the small tank feeds them until cut-in."
                )
                if many
                else again,
                is_right=many,
            ),
            Option(
                words=phrase("It started once, and rested when they left."),
                said=again,
                is_right=not many,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 3."""
    weight = weight_of_water(site)
    return (
        closing.jump(
            "the jump",
            velocity=plain_si(2.5, "ft/s"),
            wave_speed=plain_si(1200, "ft/s"),
            weight=weight,
        ),
        closing.margin(
            "left of the rating",
            before=plain_si(35, "psi"),
            jumped=plain_si(28, "psi"),
            rating=plain_si(100, "psi"),
        ),
        friction.along(
            "friction, again",
            per_hundred=plain_si(1.2, "psi"),
            length=plain_si(1800, "ft"),
            size="1 1/4 in",
        ),
    )
