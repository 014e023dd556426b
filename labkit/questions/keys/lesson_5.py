"""Lesson 5: contact and wire, and what the drive hears of them."""

from typing import TYPE_CHECKING, Final

from labkit.advice.stop_table import NEVER_STARTS, NEVER_STOPS, WORKS, heard
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import contact, pair, screw
from labkit.questions.keys.sheet import plain_si
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import phrase

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace

OUTCOMES: Final = {"sound stop": WORKS, "stuck off": NEVER_STARTS, "no stop": NEVER_STOPS}
"""What a run found -> what comes of contact and drive."""


def on_the_mains(mains: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what the solar drive's switch does on a mains pump; the run decides."""
    return contact.what_it_does(
        "the same switch on a mains pump",
        outcome=OUTCOMES[mains.verdict],
        is_faulty=False,
        ask=phrase(
            "Your switch **closes** when the pressure rises, and your solar drive stops when it "
            "sees the contact closed. That works. A neighbor likes it and fits the same switch to "
            "a pump on the mains, whose starter stops when its contact **opens**. His trough is "
            "half empty and his line is low. **What will his pump do?**"
        ),
    )


def cut_through(cut: "Trace") -> ChoiceQuestion:
    """Ask, before the run, what your own pump does with a wire cut; the run decides."""
    return contact.what_it_does(
        "a wire of your pair is cut",
        outcome=OUTCOMES[cut.verdict],
        is_faulty=True,
        ask=phrase(
            "Back to your own solar pump, whose drive stops on a **closed** contact. A gopher "
            "bites through one wire of the pair, and nobody notices. The trough fills, the float "
            "shuts, the switch trips. **What will your pump do?**"
        ),
    )


def what_the_wire_changed(thick: "Trace", thin: "Trace") -> ChoiceQuestion:
    """Ask what gauge and length of the pair changed in the run; two runs decide."""
    trips = [trace.times("switch trips") for trace in (thick, thin)]
    alike = thick.verdict == thin.verdict and trips[0] == trips[1]
    again = phrase(
        "Press Reset, choose the thinnest wire and the longest way, and look at the picture of the "
        "run again. Then look at the meter."
    )
    return ChoiceQuestion(
        name="what the wire changed",
        ask=phrase(
            "Before you read on: you went from thick wire to thin, and from near to far. **What "
            "did that change?**"
        ),
        options=(
            Option(
                words=phrase("The pressure at which the pump stopped."),
                said=again,
                is_right=not alike and thick.verdict == thin.verdict,
            ),
            Option(
                words=phrase("Whether the pump stopped at all."),
                said=again,
                is_right=thick.verdict != thin.verdict,
            ),
            Option(
                words=phrase("The meter's reading; the pump ran just the same."),
                said=phrase(
                    "A contact says yes or no. Some ohms in the wire make the yes a little "
                    "fainter, and the drive hears it all the same."
                )
                if alike
                else again,
                is_right=alike,
            ),
        ),
    )


def checks(site: "Site") -> tuple[NumberQuestion | ChoiceQuestion, ...]:
    """Give the questions at the end of the lesson; the last comes back from lesson 4."""
    backward = site.changed({"switch.action": "opens on rise"})
    return (
        contact.what_it_does(
            "an opening switch on a solar drive",
            outcome=heard(backward).outcome,
            is_faulty=False,
            ask=phrase(
                "The hardware store has only switches that **open** on rise. You fit one to a "
                "solar drive that stops on a **closed** contact. **What will the pump do?**"
            ),
        ),
        pair.loop(
            "loop of a pair", gauge="20 AWG", per_thousand=10.2, distance=plain_si(1500, "ft")
        ),
        contact.polarity("polarity"),
        screw.cut_out_after("cut-out after two turns", turns=2.0),
    )
