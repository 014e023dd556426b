"""Questions about the pressure tank: its air, what it gives, what it cures and what it does not."""

from labkit.advice.rules import UNDER_CUT_IN
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase


def given_up(volume: float, charge: float, cut_in: float, cut_out: float, air: float) -> float:
    """Give what a tank gives from cut-out down to cut-in, by Boyle's law [m3].

    Parameters
    ----------
    volume : float
        Of the tank [m3].
    charge, cut_in, cut_out, air : float
        Precharge and points of the switch [Pa gauge]; the air's pressure on site [Pa]. With no air
        counted it is the well-known mistake of gauge pressures in the tank law.
    """
    return volume * (charge + air) * (1.0 / (cut_in + air) - 1.0 / (cut_out + air))


def drawdown(
    name: str,
    *,
    volume: float,
    cut_in: float,
    cut_out: float,
    air: float,
    is_charge_told: bool = True,
) -> NumberQuestion:
    """Ask what a rightly charged tank gives between the points of the switch.

    Parameters
    ----------
    name : str
        Name of the question.
    volume, cut_in, cut_out, air : float
        As in `given_up`; it is charged 2 psi under cut-in.
    is_charge_told : bool
        Whether the charge is told; otherwise it is the answer to the question before.
    """
    charge = cut_in - UNDER_CUT_IN
    answer = given_up(volume, charge, cut_in, cut_out, air)
    held = volume * (1.0 - (charge + air) / (cut_out + air))
    told = "to {charge}" if is_charge_told else "as you found"
    amounts: dict[str, tuple[float, str]] = {"charge": (charge, "pressure")}
    return NumberQuestion(
        name=name,
        label="Water it gives",
        ask=phrase(
            f"A tank of {{volume}} is charged {told}; the switch cuts in at {{cut_in}} and out at "
            "{cut_out}. The air outside presses with {air}. The law: the tank's air takes up the "
            "share (charge + air outside) / (gauge + air outside) of the tank. **How much water "
            "does the tank give from cut-out down to cut-in?**",
            volume=(volume, "volume"),
            cut_in=(cut_in, "pressure"),
            cut_out=(cut_out, "pressure"),
            air=(air, "pressure"),
            **(amounts if is_charge_told else {}),
        ),
        answer=answer,
        kind="volume",
        tolerance=0.03,
        slips=(
            Slip(
                name="gauge for absolute pressure",
                values=(given_up(volume, charge, cut_in, cut_out, 0.0),),
                hint=phrase(
                    "You took the gauge's readings as they are. To the tank's air the pressure of "
                    "the air outside counts too: add {air} to each.",
                    air=(air, "pressure"),
                ),
            ),
            Slip(
                name="all that it holds",
                values=(held,),
                hint=phrase(
                    "That is all the water in it at cut-out. A little is still in there when the "
                    "pump comes back at cut-in."
                ),
            ),
            Slip(
                name="the whole tank",
                values=(volume,),
                hint=phrase("Most of the tank is air, and must be. It gives only a part."),
            ),
            Slip(
                name="air for water",
                values=(volume - held,),
                hint=phrase("That is the air in it at cut-out. How much water is there?"),
            ),
        ),
        hints=(
            phrase(
                "Work out the air's share at cut-in, then at cut-out. Their difference is water."
            ),
            phrase(
                "The shares are {low} at cut-in and {high} at cut-out.",
                low=((charge + air) / (cut_in + air), "percent"),
                high=((charge + air) / (cut_out + air), "percent"),
            ),
        ),
        reason=phrase(
            "{share} of the tank. A tank's size is not the water it gives.",
            share=(round(answer / volume, 3), "percent"),
        ),
    )


def precharge(name: str, *, cut_in: float, cut_out: float) -> NumberQuestion:
    """Ask for the precharge of a tank [Pa]."""
    answer = cut_in - UNDER_CUT_IN
    return NumberQuestion(
        name=name,
        label="Precharge",
        ask=phrase(
            "A switch cuts in at {cut_in} and out at {cut_out}. The rule for the tank's air: "
            "{under} under the point at which the pump comes back. **To what pressure do you "
            "charge the tank, empty of water?**",
            cut_in=(cut_in, "pressure"),
            cut_out=(cut_out, "pressure"),
            under=(UNDER_CUT_IN, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        tolerance=0.015,
        slips=(
            Slip(
                name="cut-out for cut-in",
                values=(cut_out - UNDER_CUT_IN,),
                hint=phrase(
                    "You started from cut-out. The tank would be empty long before the pump comes "
                    "back. At which point does it come back?"
                ),
            ),
            Slip(
                name="over for under",
                values=(cut_in + UNDER_CUT_IN,),
                hint=phrase("That is over cut-in. The tank must still hold a little water there."),
            ),
        ),
        hints=(phrase("The pump comes back at cut-in. Go a little under it."),),
        reason=phrase(
            "At cut-in there is then still a little water in the tank, so the pressure does not "
            "drop all at once before the pump is up to speed."
        ),
    )


def size_for(name: str, *, wanted: float, share: float) -> NumberQuestion:
    """Ask for the tank that gives a wanted volume [m3], by a table's share [-]."""
    return NumberQuestion(
        name=name,
        label="Tank",
        ask=phrase(
            "For another switch a table says: a tank gives {share} of its volume. You want "
            "{wanted} from cut-out to cut-in. **How big must the tank be?**",
            share=(share, "percent"),
            wanted=(wanted, "small volume"),
        ),
        answer=wanted / share,
        kind="volume",
        tolerance=0.03,
        slips=(
            Slip(
                name="multiplied for divided",
                values=(wanted * share,),
                hint=phrase("Such a tank is smaller than the water you want from it."),
            ),
            Slip(
                name="tank as big as its water",
                values=(wanted,),
                hint=phrase("A tank of that size gives only its share of it."),
            ),
        ),
        hints=(phrase("Wanted water over the table's share."),),
        reason=phrase(
            "{wanted} over {share} make {answer}. Take the next size that is sold.",
            wanted=(wanted, "small volume"),
            share=(share, "percent"),
            answer=(wanted / share, "volume"),
        ),
    )


def cures(name: str) -> ChoiceQuestion:
    """Ask what a bigger tank does to a leak."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "A line leaks, and the pump comes on every five minutes. A neighbor says: put in a "
            "tank four times as big. **What will that change?**"
        ),
        options=(
            Option(
                words=phrase("The pump starts less often, and less water is lost."),
                said=phrase(
                    "Does the hole know how big the tank is? The pressure on it swings between the "
                    "same two points as before."
                ),
                slip="tank cures the leak",
            ),
            Option(
                words=phrase("The pump starts less often; the leak takes as much as before."),
                said=phrase(
                    "The tank only makes the swings longer. It buys the motor time until you have "
                    "found the leak."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("Nothing: only a repair helps."),
                said=phrase("A bigger tank gives more water per swing. What does that do?"),
            ),
        ),
    )


def tighter(name: str) -> ChoiceQuestion:
    """Ask what a tighter differential does to a line that cycles."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "The pump cycles too often. Somebody brings cut-in and cut-out closer together, cut-in "
            "as it was. **What happens?**"
        ),
        options=(
            Option(
                words=phrase("It calms down: a tighter setting is a steadier one."),
                said=phrase(
                    "Between two points that lie close together the tank gives less water. How "
                    "long does that last?"
                ),
                slip="tighter differential stops cycling",
            ),
            Option(
                words=phrase("It starts more often."),
                said=phrase("Less water from cut-out to cut-in, the same leak: shorter rests."),
                is_right=True,
            ),
            Option(
                words=phrase("Nothing changes: the tank is the same."),
                said=phrase("The tank is the same. Is what it gives the same?"),
            ),
        ),
    )


def enough(name: str, *, limit: int, verdict: str) -> ChoiceQuestion:
    """Ask whether a line keeps within the starts its motor is allowed; the run has found it."""
    options = {
        "enough": phrase("It keeps within the limit."),
        "too small": phrase("It starts too often."),
    }
    why = {
        "enough": phrase("Your figure lies below the limit. Find the leak all the same."),
        "too small": phrase(
            "Your figure lies above the limit. Find the leak; until then a bigger tank or a wider "
            "differential spares the motor."
        ),
    }
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "The motor's maker allows {limit} starts an hour. **What do you tell the owner?**",
            limit=(limit, "count"),
        ),
        options=tuple(
            Option(
                words=words,
                said=why[verdict]
                if case == verdict
                else phrase("Hold your starts in an hour against the limit."),
                is_right=case == verdict,
                slip="" if case == verdict else f"{case} for {verdict}",
            )
            for case, words in options.items()
        ),
    )
