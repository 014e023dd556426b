"""Lesson 14: your own site. What a site file says, and what its window makes of it."""

from typing import TYPE_CHECKING

from labkit.advice.rules import PRESET, UNDER_CUT_IN
from labkit.physics.water import air_pressure
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import line
from labkit.questions.keys.sheet import plain_si, weight_of_water
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import si

if TYPE_CHECKING:
    from labkit.advice.window import Window
    from labkit.site import Site


def as_typed(window: "Window") -> ChoiceQuestion:
    """Ask, before the work, what the switch does as the file has it; the window decides."""
    switch = window.site.pressure_switch
    cut_in, cut_out = si(switch.cut_in), si(switch.cut_out)
    found = window.own.verdict
    said = phrase("That is not what the window says.")
    kinds = (
        ("sound stop", "It stops the pump when the trough is full, in all of that sun."),
        ("false stop", "It stops the pump while the trough still fills."),
        ("no stop", "In the weak sun it never stops the pump."),
        ("stuck off", "It stops the pump once, and the pump never comes back."),
    )
    return ChoiceQuestion(
        name="the switch as typed",
        ask=phrase(
            "The file below has a switch set at {cut_in} and {cut_out}, as it came in the box. The "
            "sun runs from {low} to {high}. **What will this switch do?**",
            cut_in=(cut_in, "pressure"),
            cut_out=(cut_out, "pressure"),
            low=(window.sun.low, "irradiance"),
            high=(window.sun.high, "irradiance"),
        ),
        options=tuple(
            Option(words=phrase(words), said=said, is_right=kind == found) for kind, words in kinds
        ),
    )


def highest_cut_out(window: "Window") -> NumberQuestion:
    """Ask, before the work, up to where cut-out may stand; the window decides."""
    rated, lift = (
        si(window.site.pump.rated_head) - si(window.site.well.static_level),
        si(window.site.well.static_level),
    )
    weight = weight_of_water(window.site)
    return NumberQuestion(
        name="highest cut-out",
        label="Cut-out below",
        ask=phrase(
            "In the weak sun the pump turns slowly, and with the float shut it pushes only so "
            "high. Cut-out has to lie below that. **Where is that, as a guess?** Give a pressure "
            "with its unit."
        ),
        answer=window.room.ceiling,
        kind="pressure",
        tolerance=0.15,
        slips=(
            Slip(
                name="rated point for dead head",
                values=(weight * rated, weight * (rated + lift)),
                hint=phrase("That is the pump's rated head, with water flowing."),
            ),
        ),
        hints=(phrase("It lies between the gauge while filling and the gauge at noon."),),
        reason=phrase("That is how far the pump pushes in the weakest sun."),
    )


def checks(site: "Site") -> tuple[ChoiceQuestion | NumberQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 1."""
    return (
        _no_unit(),
        _charge(plain_si(24, "psi"), plain_si(42, "psi")),
        line.at_rest(
            "pressure at rest, a last time",
            rise=plain_si(52, "ft"),
            weight=weight_of_water(site),
            friction=plain_si(9, "psi"),
            air=air_pressure(si(site.place.elevation)),
        ),
    )


def _no_unit() -> ChoiceQuestion:
    return ChoiceQuestion(
        name="a value without its unit",
        ask=phrase(
            "Somebody writes the length of the pipe as “length = 1200” and hands you the file. "
            "**What should a program do with it?**"
        ),
        options=(
            Option(
                words=phrase("Take it as feet: this is a ranch."),
                said=phrase(
                    "And if it was paced off in meters? The line would be three times as long, and "
                    "nobody would know."
                ),
                slip="unit guessed",
            ),
            Option(
                words=phrase("Refuse it, and say which value wants a unit."),
                said=phrase("A number without its unit is not a length. It has to be asked for."),
                is_right=True,
            ),
            Option(
                words=phrase("Leave the pipe out and work with the rest."),
                said=phrase("Then the card would be about a line that is not there."),
            ),
        ),
    )


def _charge(cut_in: float, cut_out: float) -> NumberQuestion:
    """Ask what to charge a tank to, for two points."""
    return NumberQuestion(
        name="charge of the tank",
        label="Tank charge",
        ask=phrase(
            "Your card says cut-in {cut_in} and cut-out {cut_out}. The tank came charged for "
            "another switch. **To what do you charge it, with no water in it?**",
            cut_in=(cut_in, "pressure"),
            cut_out=(cut_out, "pressure"),
        ),
        answer=cut_in - UNDER_CUT_IN,
        kind="pressure",
        slips=(
            Slip(
                name="cut-out for cut-in",
                values=(cut_out - UNDER_CUT_IN, cut_out),
                hint=phrase("The charge goes by the lower of the two points."),
            ),
            Slip(
                name="factory charge",
                values=(PRESET[0] - UNDER_CUT_IN,),
                hint=phrase("That suits the switch as it leaves the factory, not yours."),
            ),
            Slip(
                name="charged to cut-in",
                values=(cut_in,),
                hint=phrase(
                    "A little under, so that water is left in the tank as the pump starts."
                ),
            ),
        ),
        hints=(phrase("A little under cut-in. How little is on the card."),),
        reason=phrase(
            "{under} under cut-in, by the sheet of the Water Systems Council.",
            under=(UNDER_CUT_IN, "pressure"),
        ),
    )
