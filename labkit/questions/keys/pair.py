"""Questions about the pair of wires from a switch to a drive, made for any numbers."""

from typing import Final

from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase

THOUSAND_FEET: Final = 304.8
"""The length for which wire tables give a resistance [m]."""


def loop(name: str, *, gauge: str, per_thousand: float, distance: float) -> NumberQuestion:
    """Ask what a meter reads at the drive through a sound pair and a closed contact.

    Parameters
    ----------
    name : str
        Name of the question.
    gauge : str
        Of each wire.
    per_thousand : float
        Resistance of a thousand feet of one wire [ohm].
    distance : float
        One way [m].
    """
    one_way = per_thousand * distance / THOUSAND_FEET
    answer = 2.0 * one_way
    return NumberQuestion(
        name=name,
        label="The meter shows",
        ask=phrase(
            "A sound pair of {gauge} runs {distance} from drive to switch. One such wire has "
            "{each} in {thousand}. The switch has tripped, and its contact is closed. You lift the "
            "pair off the drive and meter it. **What does the meter show?**",
            gauge=gauge,
            distance=(distance, "length"),
            each=(per_thousand, "resistance"),
            thousand=(THOUSAND_FEET, "length"),
        ),
        answer=answer,
        kind="resistance",
        tolerance=0.03,
        slips=(
            Slip(
                name="one way only",
                values=(one_way,),
                hint=phrase("You went out to the switch. How does the current get back?"),
            ),
            Slip(
                name="table value for the pair",
                values=(per_thousand,),
                hint=phrase(
                    "That is what {thousand} of one wire have. How long are your two together?",
                    thousand=(THOUSAND_FEET, "length"),
                ),
            ),
            Slip(
                name="closed reads zero",
                values=(0.0,),
                hint=phrase("The contact has none to speak of. But the wires do, out and back."),
            ),
        ),
        hints=(
            phrase("How many feet of wire does the current go through, out and back?"),
            phrase(
                "{round} of wire, at {each} in {thousand}.",
                round=(2.0 * distance, "length"),
                each=(per_thousand, "resistance"),
                thousand=(THOUSAND_FEET, "length"),
            ),
        ),
        reason=phrase(
            "{round} of wire have {answer}. A reading near that says: closed contact, sound pair, "
            "or a pair that touches. Open line would say: open contact, or a cut pair.",
            round=(2.0 * distance, "length"),
            answer=(answer, "resistance"),
        ),
    )


def farthest(name: str, *, gauge: str, per_thousand: float, limit: float) -> NumberQuestion:
    """Ask how far off a switch may be for a drive to take its closed contact for closed [m]."""
    answer = THOUSAND_FEET * limit / (2.0 * per_thousand)
    return NumberQuestion(
        name=name,
        label="Farthest",
        ask=phrase(
            "Another drive takes its contact for closed up to {limit} in the whole loop, says its "
            "manual. The store has {gauge}: {each} in {thousand} of one wire. **How far from the "
            "drive may the switch be?**",
            limit=(limit, "resistance"),
            gauge=gauge,
            each=(per_thousand, "resistance"),
            thousand=(THOUSAND_FEET, "length"),
        ),
        answer=answer,
        kind="length",
        tolerance=0.03,
        slips=(
            Slip(
                name="one way only",
                values=(2.0 * answer,),
                hint=phrase("That is how much wire there may be. It has to go out **and** back."),
            ),
            Slip(
                name="counted double twice",
                values=(0.5 * answer,),
                hint=phrase("Out and back count once each: take half of the wire, not a quarter."),
            ),
        ),
        hints=(
            phrase(
                "How much wire gives that many ohms? And how far does it reach, there and back?"
            ),
            phrase(
                "{limit} over {each}, times {thousand}, is all the wire. Half of that.",
                limit=(limit, "resistance"),
                each=(per_thousand, "resistance"),
                thousand=(THOUSAND_FEET, "length"),
            ),
        ),
        reason=phrase(
            "{answer}, that is {wire} of wire. Within that any gauge will do, and past it a "
            "thicker one.",
            answer=(answer, "length"),
            wire=(2.0 * answer, "length"),
        ),
    )


def chewed(name: str, *, distance: float, near: float, far: float) -> NumberQuestion:
    """Ask how far from the drive a pair touches, from the readings at both its ends [ohm]."""
    answer = distance * near / (near + far)
    rest = distance - answer
    return NumberQuestion(
        name=name,
        label="From the drive",
        ask=phrase(
            "A third pair, {distance} long, touches somewhere in the ground. You lift it off at "
            "both ends. At the drive the meter shows {near}, at the switch {far}. Where the wires "
            "touch they touch well. **How far from the drive do you dig?**",
            distance=(distance, "length"),
            near=(near, "resistance"),
            far=(far, "resistance"),
        ),
        answer=answer,
        kind="length",
        tolerance=0.03,
        slips=(
            Slip(
                name="from the other end",
                values=(rest,),
                hint=phrase(
                    "That is how far it is from the switch. Which end gave the smaller reading?"
                    if near < far
                    else "That is how far it is from the switch. Which end gave the larger one?"
                ),
            ),
            Slip(
                name="reading over reading",
                values=(distance * min(near, far) / max(near, far),),
                hint=phrase("Compare with the *whole* pair: both readings together."),
            ),
        ),
        hints=(
            phrase("Both readings together are the whole pair. Which share of it lies before?"),
            phrase(
                "{near} of {all}: that share of {distance}.",
                near=(near, "resistance"),
                all=(near + far, "resistance"),
                distance=(distance, "length"),
            ),
        ),
        reason=phrase(
            "{near} of {all} lie between the drive and the spot, so it is {answer} away. Have "
            "buried lines marked before you dig.",
            near=(near, "resistance"),
            all=(near + far, "resistance"),
            answer=(answer, "length"),
        ),
    )
