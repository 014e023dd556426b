"""Lesson 0: parts, where the water goes, and what may hurt."""

from typing import TYPE_CHECKING

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase
from labkit.units import si

if TYPE_CHECKING:
    from labkit.site import Site


def the_shutter() -> ChoiceQuestion:
    """Ask which part shuts the water off when the trough is full."""
    return ChoiceQuestion(
        name="who shuts the water off",
        ask=phrase("The trough is full. **Which part shuts the water off at the trough?**"),
        options=(
            Option(
                words=phrase("The pressure switch"),
                said=phrase(
                    "The switch stands at the well. Which part touches the water in the trough?"
                ),
            ),
            Option(
                words=phrase("The check valve"),
                said=phrase("The check valve only keeps water from running back down the well."),
            ),
            Option(
                words=phrase("The float valve"),
                said=phrase("The float rises with the water and shuts its valve. No wire needed."),
                is_right=True,
            ),
            Option(
                words=phrase("The drive"),
                said=phrase("The drive stops the pump, later. Who shuts the pipe's end first?"),
            ),
        ),
    )


def still_live() -> ChoiceQuestion:
    """Ask what can hurt while the pump stands still on a sunny day."""
    both = phrase("That is half of it. Two things keep their force while the pump stands still.")
    return ChoiceQuestion(
        name="what is still live",
        ask=phrase(
            "A sunny noon. The pump has stopped, the trough is full. You want to unscrew the "
            "gauge. **What can hurt you?**"
        ),
        options=(
            Option(
                words=phrase("Nothing: the pump is off."),
                said=phrase("Off is not safe. What does the line hold, and what does daylight do?"),
                slip="off is safe",
            ),
            Option(words=phrase("Only the water pressure in line and tank."), said=both),
            Option(words=phrase("Only the wires from the panels."), said=both),
            Option(
                words=phrase("Both: the line holds its pressure, and the panels are live."),
                said=phrase(
                    "Panels are live whenever there is daylight, and a shut line keeps its "
                    "pressure. Isolate, let the pressure off, and check both before you touch."
                ),
                is_right=True,
            ),
        ),
    )


def rise_of(site: "Site") -> NumberQuestion:
    """Ask for the trough's height above the manifold, to learn to answer with a unit."""
    pipe = site.troughs[0].pipe
    return NumberQuestion(
        name="rise read from the drawing",
        label="Height of the trough",
        ask=phrase(
            "Look at the drawing of the line once more. **About how high above the manifold does "
            "the trough stand?** Give a number and its unit: feet, meters, both are fine."
        ),
        answer=si(pipe.rise),
        kind="length",
        tolerance=0.25,
        slips=(
            Slip(
                name="way along the pipe",
                values=(si(pipe.length),),
                hint=phrase(
                    "That is the way along the pipe, read off the bottom scale. The height stands "
                    "on the scale at the right."
                ),
            ),
            Slip(
                name="depth of the well",
                values=(si(site.well.static_level),),
                hint=phrase("That is how far down the water stands in the well."),
            ),
        ),
        hints=(
            phrase("The manifold is at 0 on the scale at the right. Follow the ground uphill."),
        ),
        reason=phrase(
            "It stands {rise} above the manifold, at the far end of {length} of pipe.",
            rise=(si(pipe.rise), "length"),
            length=(si(pipe.length), "length"),
        ),
    )
