"""Questions about the ways to say stop, made for any numbers; used by lesson and exercise 13."""

from typing import Final

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys.slips import FOOT
from labkit.questions.number import COUNT, NumberQuestion, Slip
from labkit.questions.phrase import Phrase, phrase

ROLL: Final = 500 * FOOT
"""A roll of pair [m] (common practice)."""

DOUBLING: Final = 6
"""What each doubling of the distance takes in free space [dB]: 20 log10(2), ITU-R P.525."""

WAYS: Final = {"pressure": "By pressure.", "wire": "By wire.", "radio": "By radio."}


def loop_ohms(name: str, *, gauge: str, distance: float, each: float) -> NumberQuestion:
    """Ask what a meter shows across a pair with the far contact closed.

    Parameters
    ----------
    name : str
        Name of the question.
    gauge : str
        Of each wire.
    distance : float
        One way [m].
    each : float
        Resistance of one wire for each meter [ohm/m].
    """
    answer = 2.0 * distance * each
    by_hand = [2.0 * distance / unit * each * ROLL for unit in (FOOT, 1.0)]
    return NumberQuestion(
        name=name,
        label="The meter shows",
        ask=phrase(
            "A pair of {gauge} runs {distance} from the drive to a contact. One wire of it has "
            "{ohms} in a roll of {roll}. You lift the pair off the drive, and the contact is "
            "closed. **What does the meter show across the pair?**",
            gauge=gauge,
            distance=(distance, "length"),
            ohms=(each * ROLL, "resistance"),
            roll=(ROLL, "length"),
        ),
        answer=answer,
        kind="resistance",
        slips=(
            Slip(
                name="one way only",
                values=(answer / 2.0,),
                hint=phrase("That is one wire. The current goes out on one and back on the other."),
            ),
            Slip(
                name="rolls forgotten",
                values=tuple(by_hand),
                hint=phrase("You took each step for a whole roll. How many rolls is it?"),
            ),
        ),
        hints=(
            phrase("Through how much wire must the meter's current go?"),
            phrase(
                "Out and back: twice {distance}. Divide by {roll}, times {ohms}.",
                distance=(distance, "length"),
                roll=(ROLL, "length"),
                ohms=(each * ROLL, "resistance"),
            ),
        ),
        reason=phrase(
            "Out and back it is twice {distance} of wire. A stop input for a dry contact takes a "
            "good deal more for closed: length is seldom what rules a pair out.",
            distance=(distance, "length"),
        ),
    )


def same_price(name: str, *, wire: int, roll: int, radio: int) -> NumberQuestion:
    """Ask at which distance wire and radio cost the same.

    Parameters
    ----------
    name : str
        Name of the question.
    wire, radio : int
        What each costs whatever the distance [US dollars].
    roll : int
        What a roll of pair costs in the ground [US dollars].
    """
    answer = (radio - wire) / roll * ROLL
    rolls = (radio - wire) / roll
    return NumberQuestion(
        name=name,
        label="They cost the same at",
        ask=phrase(
            f"By wire a trough costs ${wire:,} for sensor and work, and ${roll:,} for each roll of "
            f"{{roll}} in the ground. By radio it costs ${radio:,}, however far it is. **At what "
            "distance do both cost the same?**",
            roll=(ROLL, "length"),
        ),
        answer=answer,
        kind="length",
        slips=(
            Slip(
                name="sensor forgotten",
                values=(radio / roll * ROLL,),
                hint=phrase("The wire has a sensor and work to pay for too. Take that off first."),
            ),
            Slip(
                name="added for took off",
                values=((radio + wire) / roll * ROLL,),
                hint=phrase(
                    "You added the two fixed prices. How much *more* does the radio cost before "
                    "the first roll is laid?"
                ),
            ),
            Slip(
                name="rolls for distance",
                values=(rolls * FOOT, rolls),
                hint=phrase("That is how many rolls it is. How long is one?"),
            ),
        ),
        hints=(
            phrase("How much dearer is the radio before any wire is laid?"),
            phrase(
                f"Take ${wire:,} from ${radio:,}. How many rolls does that buy, and how long are "
                "they?"
            ),
        ),
        reason=phrase(
            "Up to {answer} the wire is cheaper, beyond it the radio. What a trench costs moves "
            "that point most.",
            answer=(answer, "length"),
        ),
    )


def decibels_left(name: str, *, left: int, near: float) -> NumberQuestion:
    """Ask what a radio has left over at four times the distance.

    Parameters
    ----------
    name : str
        Name of the question.
    left : int
        Left over at the near place [dB]; a multiple of four.
    near : float
        Distance of the near place [m].
    """
    answer = left - 2 * DOUBLING
    return NumberQuestion(
        name=name,
        label="Decibels left over",
        ask=phrase(
            f"Over open ground a pair of radios has {left} dB left over at {{near}}. Each doubling "
            f"of the distance takes {DOUBLING} dB. **How many are left over at {{far}}?**",
            near=(near, "length"),
            far=(4.0 * near, "length"),
        ),
        answer=float(answer),
        kind=COUNT,
        slips=(
            Slip(
                name="one doubling for two",
                values=(float(left - DOUBLING),),
                hint=phrase("That is at twice the distance. Double once more."),
            ),
            Slip(
                name="decibels divided",
                values=(float(left // 4),),
                hint=phrase("Decibels are taken off, not divided: {each} dB for each doubling.",
                            each=str(DOUBLING)),
            ),
        ),
        hints=(
            phrase("How often must you double the near distance to come to the far one?"),
            phrase(f"Twice. So take {DOUBLING} dB off, two times."),
        ),
        reason=phrase(
            "Two doublings take {taken} dB. Ten should be left over for rain, leaves and a weak "
            "battery (common practice).",
            taken=str(2 * DOUBLING),
        ),
    )  # fmt: skip


def wire_cut(name: str, *, stop_when: str, outcome: str) -> ChoiceQuestion:
    """Ask what a drive does when its pair is cut; `outcome` is what the run came to."""
    other = phrase(
        "A cut pair reads open, whatever the contact does. What does this drive take an open "
        "contact for?"
    )
    reads = phrase(
        "A cut pair reads open. This drive stops on a contact that is {stop_when}, so it {does}.",
        stop_when=stop_when,
        does="is never told to stop" if outcome == "pushes on" else "is told to stop for good",
    )
    words = {
        "pushes on": "It pumps on against the shut float.",
        "stays off": "It stays off, and the herd goes short.",
        "as before": "It goes on as before.",
    }
    slips = {"pushes on": "cut wire, wrong action", "stays off": "cut wire, wrong action"}
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            f"The drive of this line stops when its contact is **{stop_when}**. A plow cuts the "
            "pair. **What does the pump do now?**"
        ),
        options=tuple(
            Option(
                words=phrase(said),
                said=reads if key == outcome else other,
                is_right=key == outcome,
                slip="" if key == outcome else slips.get(key, "cut wire thought harmless"),
            )
            for key, said in words.items()
        ),
    )


def cheapest(name: str, *, works: dict[str, bool], costs: dict[str, float]) -> ChoiceQuestion:
    """Ask which of the ways that work on a line costs least.

    Parameters
    ----------
    name : str
        Name of the question.
    works, costs : dict
        Whether each way works there, and what it costs [US dollars].
    """
    best = min((way for way in WAYS if works[way]), key=lambda way: costs[way])
    return ChoiceQuestion(
        name=name,
        ask=phrase("**Of the ways that work on this line, which costs least?**"),
        options=tuple(
            Option(
                words=phrase(said),
                said=_why(way, best, works),
                is_right=way == best,
                slip="" if way == best else _belief(way, works),
            )
            for way, said in WAYS.items()
        ),
    )


def _belief(way: str, works: dict[str, bool]) -> str:
    """Name what one believes who takes a way that is not the best."""
    return f"{way} taken, dearer" if works[way] else f"{way} taken, does not work"


def _why(way: str, best: str, works: dict[str, bool]) -> Phrase:
    """Say why a way is the best one, or what to look at again."""
    if way == best:
        return phrase("It works here, and every other way that does costs more.")
    if works[way]:
        return phrase("It would work. Another one that works costs less.")
    return {
        "pressure": phrase(
            "Is there room for a cut-out? It must lie above the reading while the trough fills in "
            "strong sun, and below the highest reading in haze with the float shut."
        ),
        "wire": phrase("Look at the ohms of the pair again."),
        "radio": phrase("Look at the decibels: how many are left over, and how many are wanted?"),
    }[way]
