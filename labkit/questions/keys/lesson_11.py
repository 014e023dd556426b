"""Lesson 11: commissioning. Predictions that a dull day decides, and checks on readings."""

from labkit.advice.rules import PRESET
from labkit.engine.run import simulate
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import commissioning
from labkit.questions.keys.sheet import plain_si
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import phrase
from labkit.site import Site
from labkit.trace import Trace
from labkit.trace.measures import SHUT
from labkit.units import typed


def from_the_box(site: Site) -> Site:
    """Give a line whose switch stands as its label says, the tank charged for that."""
    low, high = (typed(point, "pressure") for point in PRESET)
    return site.changed({"pressure_switch.cut_in": low, "pressure_switch.cut_out": high})


def dull(site: Site, sun: float) -> Trace:
    """Run three hours of a sun [W/m2] from a trough that is nearly full."""
    levels = {trough.name: trough.depth * 0.7 for trough in site.troughs}
    return simulate(site, "3 hour", sun=f"{sun} W/m^2", start="11:00", levels=levels)


def in_haze(hazy: Trace) -> ChoiceQuestion:
    """Ask, before the rig, what the switch as it came does on a dull day; the run decides."""
    stops = bool(hazy.times("switch trips"))
    said = phrase("The run showed otherwise.")
    return ChoiceQuestion(
        name="the switch from its box, in haze",
        ask=phrase(
            "A new switch, as its label says: {low} and {high}. At noon you held the float up by "
            "hand, and the pump stopped. You leave. Next day there is haze: {sun} on the array. "
            "The trough fills and the float shuts. **What will the pump do?**",
            low=(PRESET[0], "pressure"),
            high=(PRESET[1], "pressure"),
            sun=(float(hazy.irradiance.max()), "irradiance"),
        ),
        options=(
            Option(
                words=phrase("Stop as at noon: the switch was tested."), said=said, is_right=stops
            ),
            Option(
                words=phrase("Push on against the shut line, with no stop."),
                said=said,
                is_right=not stops,
            ),
            Option(words=phrase("Not start at all: haze is too weak for it."), said=said),
        ),
    )


def ends_at(hazy: Trace) -> NumberQuestion:
    """Ask, before the rig, how far the gauge climbs in haze with the float shut."""
    shut = hazy.widest_opening < SHUT
    return NumberQuestion(
        name="gauge in haze, float shut",
        label="Gauge ends at",
        ask=phrase(
            "The same hazy day, float shut, nobody draws water. **Where does the gauge end?** Give "
            "a pressure with its unit."
        ),
        answer=float(hazy.pressure[shut].max()),
        kind="pressure",
        tolerance=0.1,
        hints=(phrase("It lies under the cut-out of the label."),),
        reason=phrase("That is as far as the slow pump can push."),
    )


def checks() -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson."""
    return (
        _never_closes("contact never closes"),
        commissioning.middle(
            "halfway",
            static=plain_si(12, "psi"),
            running=plain_si(24, "psi"),
            hazy=plain_si(38, "psi"),
            noon=plain_si(66, "psi"),
        ),
        commissioning.quarters("quarter turns", seen=plain_si(51, "psi"), count=16),
        commissioning.tank_air("air", over=plain_si(36, "psi"), back=plain_si(21, "psi")),
    )


def _never_closes(name: str) -> ChoiceQuestion:
    """Ask what to do when the contact does not close under the cloth."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "At noon the switch tripped as soon as the float was held up. Under the shade cloth, "
            "float up, the needle stands still, the pump hums, and the meter says the contact is "
            "open. **What next?**"
        ),
        options=(
            Option(
                words=phrase("Leave it: at noon it stops, and that is what counts."),
                said=phrase(
                    "Then it pushes through every hazy day. Noon alone proves nothing about haze."
                ),
                slip="haze forgotten",
            ),
            Option(
                words=phrase("Range screw in: the contact needs more pressure to close."),
                said=phrase("In raises cut-out, and the needle cannot even reach it now."),
                slip="screw the wrong way",
            ),
            Option(
                words=phrase(
                    "Range screw out until cut-out lies well under the needle, but over the "
                    "running pressure of noon."
                ),
                said=phrase(
                    "The needle stands at the dead head of haze: cut-out must lie under it. And "
                    "over the running pressure, or the pump stops while the trough fills."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("Let air out of the tank, so that the pressure can rise."),
                said=phrase("The tank sets how long it takes, never how far the pump can push."),
                slip="tank for pressure",
            ),
        ),
    )
