"""Questions about contact and drive, and what may be broken between them."""

from math import inf
from typing import Final

from labkit.advice.stop_table import NEVER_STARTS, NEVER_STOPS, WORKS
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.phrase import Amount, Phrase, phrase

FAULT_WORDS: Final = {
    "none": "Pair and contact are sound.",
    "cut": "But a plow has gone through one of its wires, and nobody knows.",
    "shorted": "But something has gnawed the pair, its two wires touch, and nobody knows.",
}
"""What a line's story says of the pair."""

_DOES: Final = {
    WORKS: phrase("It works: it runs while the line is low and stops when the gauge is high."),
    NEVER_STARTS: phrase("It never starts, though the trough is low."),
    NEVER_STOPS: phrase("It never stops: it pushes on against the shut line."),
}
_WHY: Final = {
    WORKS: phrase("Low, the drive is told to run; high, it is told to stop. As it should be."),
    NEVER_STARTS: phrase("With the line low the drive is already told to stop, so it stands."),
    NEVER_STOPS: phrase("High or low, the drive is told to run: the word never gets to it."),
}


def what_it_does(name: str, *, outcome: str, is_faulty: bool, ask: Phrase) -> ChoiceQuestion:
    """Ask what a pump will do with its contact, pair and drive; `outcome` is what was found."""
    hint = phrase(
        "With a cut or shorted pair the contact has no more say. Which state does the drive see "
        "then, and what does that state tell it?"
        if is_faulty
        else "Put the line low first. Is the contact open or closed? What does that tell this "
        "drive? Then put it high."
    )
    return ChoiceQuestion(
        name=name,
        ask=ask,
        options=tuple(
            Option(
                words=words,
                said=_WHY[one] if one == outcome else hint,
                is_right=one == outcome,
                slip="" if one == outcome else f"{one} for {outcome}",
            )
            for one, words in _DOES.items()
        ),
    )


def polarity(name: str) -> ChoiceQuestion:
    """Ask what changes when the two wires of a pair change places."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "A helper puts the pair back on and wonders: the red wire was on the left terminal, "
            "and now it is on the right one. **What will be different?**"
        ),
        options=(
            Option(
                words=phrase("The drive runs when it should stop."),
                said=phrase(
                    "To turn stop into run, *closed* must become *open*. Does that happen when "
                    "two wires change places?"
                ),
                slip="polarity",
            ),
            Option(
                words=phrase("The switch trips at another pressure."),
                said=phrase("The spring sets that. The wires only report it."),
                slip="polarity",
            ),
            Option(
                words=phrase("Nothing: a contact is open or closed from either side."),
                said=phrase(
                    "A dry contact is a gap that is bridged or not. It has no plus and no minus."
                ),
                is_right=True,
            ),
        ),
    )


def which_part(name: str, *, by_itself: float, joined: float, found: str) -> ChoiceQuestion:
    """Ask what is broken, from the meter; the pair reads open at the drive, the gauge is high.

    Parameters
    ----------
    name : str
        Name of the question.
    by_itself, joined : float
        What the meter shows on the contact, and on the pair from the switch with its ends at the
        drive twisted together; infinite for no reading [ohm].
    found : {"cut", "stuck open"}
        What it is.
    """
    words = {
        "cut": phrase("A wire of the pair is cut."),
        "stuck open": phrase("The switch's contact stays open."),
        "shorted": phrase("The two wires of the pair touch."),
        "drive": phrase("The drive does not heed its stop input."),
    }
    why = {
        "cut": phrase(
            "The contact is closed, and the pair by itself is open. At the drive alone a cut wire "
            "and an open contact look alike."
        ),
        "stuck open": phrase(
            "The pair by itself is sound, and the contact is open though the gauge is past "
            "cut-out. At the drive alone a cut wire and an open contact look alike."
        ),
        "shorted": phrase("Wires that touch read closed at the drive. Here it reads open."),
        "drive": phrase("It was never told: the pair reads open at the drive."),
    }
    other = phrase("Which of the two read open: the contact, or the pair by itself?")
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "A solar drive that stops on a closed contact, and a switch that closes on rise. The "
            "pump does not stop; the gauge stands past cut-out. Lifted off the drive, the pair "
            "reads OL (open line). At the switch you take the wires off: the contact reads "
            "{by_itself}. You twist the pair's ends at the drive together and meter it from the "
            "switch: {joined}. **What is broken?**",
            by_itself=_shown(by_itself),
            joined=_shown(joined),
        ),
        options=tuple(
            Option(
                words=said,
                said=why[one] if one == found or one in {"shorted", "drive"} else other,
                is_right=one == found,
                slip="" if one == found else f"{one} for {found}",
            )
            for one, said in words.items()
        ),
    )


def _shown(ohms: float) -> Amount | str:
    return "OL" if ohms == inf else Amount(ohms, "resistance")
