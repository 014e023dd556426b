"""Questions about the two points of a switch, and the screws that move them."""

from typing import Final

from labkit.advice.rules import PER_TURN, PRESET
from labkit.advice.setting import after_turns
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import Amount, phrase

TURN: Final = 6.283185307179586
"""One turn [rad]."""

_RULE: Final = {
    "cut_in": Amount(PRESET[0], "pressure"),
    "cut_out": Amount(PRESET[1], "pressure"),
    "each_in": Amount(PER_TURN[0], "pressure"),
    "each_out": Amount(PER_TURN[1], "pressure"),
}
"""The usual switch from its box (common practice)."""


def cut_out_after(name: str, *, turns: float) -> NumberQuestion:
    """Ask where cut-out stands after some turns out of the range screw."""
    low, answer = after_turns(turns)
    fall = PER_TURN[1] * turns
    return NumberQuestion(
        name=name,
        label="Cut-out then",
        ask=phrase(
            "A new switch comes set at {cut_in} and {cut_out}. One turn of its range screw moves "
            "cut-in by {each_in} and cut-out by {each_out}; **out** is down. A helper gives it "
            "{turns} out. **Where is cut-out then?**",
            turns=(TURN * turns, "turns"),
            **_RULE,
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(
                name="cut-in's step for cut-out",
                values=(PRESET[1] - PER_TURN[0] * turns,),
                hint=phrase(
                    "You moved cut-out by cut-in's step. Each turn moves cut-out by {each}.",
                    each=(PER_TURN[1], "pressure"),
                ),
            ),
            Slip(
                name="cut-in for cut-out",
                values=(low,),
                hint=phrase("That is where cut-in is then. Cut-out is the upper of the two."),
            ),
            Slip(
                name="screw the wrong way",
                values=(PRESET[1] + fall,),
                hint=phrase("Out lets the spring go slack. Do the points rise then, or fall?"),
            ),
            Slip(
                name="fall for cut-out",
                values=(fall,),
                hint=phrase("That is how far it falls. From where does it fall?"),
            ),
        ),
        hints=(
            phrase("How far does cut-out fall with all the turns together?"),
            phrase(
                "Take {turns} of {each_out} each off {cut_out}.",
                turns=(TURN * turns, "turns"),
                each_out=_RULE["each_out"],
                cut_out=_RULE["cut_out"],
            ),
        ),
        reason=phrase(
            "{turns} out take {fall} off, and leave {answer}. Cut-in fell less, to {low}: the two "
            "points come closer as you go out.",
            turns=(TURN * turns, "turns"),
            fall=(fall, "pressure"),
            answer=(answer, "pressure"),
            low=(low, "pressure"),
        ),
    )


def turns_for(name: str, *, cut_in: float) -> NumberQuestion:
    """Ask how many turns out bring cut-in down to a pressure [Pa]."""
    fall = PRESET[0] - cut_in
    answer = TURN * fall / PER_TURN[0]
    return NumberQuestion(
        name=name,
        label="Turns out",
        ask=phrase(
            "A neighbor's new switch stands at {cut_in} and {cut_out} as well. He wants cut-in "
            "down at {wanted}. One turn of the range screw moves cut-in by {each_in} and cut-out "
            "by {each_out}. **How many turns out?** Write it as 1.5 turns.",
            wanted=(cut_in, "pressure"),
            **_RULE,
        ),
        answer=answer,
        kind="turns",
        tolerance=0.05,
        slips=(
            Slip(
                name="cut-out's step for cut-in",
                values=(TURN * fall / PER_TURN[1],),
                hint=phrase(
                    "You divided by cut-out's step. One turn moves cut-in by {each}.",
                    each=(PER_TURN[0], "pressure"),
                ),
            ),
            Slip(
                name="cut-out for cut-in",
                values=(TURN * (PRESET[1] - cut_in) / PER_TURN[1],),
                hint=phrase("You brought cut-out down there. It is cut-in that he wants there."),
            ),
            Slip(
                name="point for fall",
                values=(TURN * cut_in / PER_TURN[0],),
                hint=phrase(
                    "You divided the new point itself. How far is the way down from {cut_in}?",
                    cut_in=_RULE["cut_in"],
                ),
            ),
        ),
        hints=(
            phrase("How far must cut-in come down, and how far does one turn bring it?"),
            phrase(
                "{fall} to go, {each} a turn.",
                fall=(fall, "pressure"),
                each=(PER_TURN[0], "pressure"),
            ),
        ),
        reason=phrase(
            "{fall} down, at {each} a turn, make {answer}. Then trust the gauge, not the count: "
            "no two springs are alike.",
            fall=(fall, "pressure"),
            each=(PER_TURN[0], "pressure"),
            answer=(answer, "turns"),
        ),
    )


def lowest_cut_out(
    name: str, *, static: float, running: float, differential: float
) -> NumberQuestion:
    """Ask for the lowest cut-out that lets the pump come back and the trough fill [Pa]."""
    answer = static + differential
    if answer <= running:
        raise ValueError(f"{name}: the pressure at rest must decide")
    return NumberQuestion(
        name=name,
        label="Lowest cut-out",
        ask=phrase(
            "On another line the gauge stands at {static} with the pump off and the float open, "
            "and at {running} while it fills in the strongest sun. Its switch has its two points "
            "{gap} apart, and that cannot be changed. **How low may cut-out go, at the very "
            "least?**",
            static=(static, "pressure"),
            running=(running, "pressure"),
            gap=(differential, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(
                name="forgot cut-in",
                values=(running,),
                hint=phrase(
                    "There the trough fills. But cut-in comes along, {gap} lower. Is it still "
                    "above the gauge at rest?",
                    gap=(differential, "pressure"),
                ),
            ),
            Slip(
                name="cut-in for cut-out",
                values=(static,),
                hint=phrase("That is the least for cut-in. Cut-out lies above it."),
            ),
            Slip(
                name="added the gap to the wrong one",
                values=(running + differential,),
                hint=phrase(
                    "You put cut-in above the gauge while filling. It need only be above the gauge "
                    "at rest."
                ),
            ),
        ),
        hints=(
            phrase("Two things must hold: one for cut-in, one for cut-out."),
            phrase(
                "Cut-in must be above {static}. Where is cut-out, {gap} higher?",
                static=(static, "pressure"),
                gap=(differential, "pressure"),
            ),
        ),
        reason=phrase(
            "Cut-in must stay above {static}, so cut-out stays above {answer}. That is more than "
            "the {running} while filling, so here the gauge at rest decides. Leave some room.",
            static=(static, "pressure"),
            answer=(answer, "pressure"),
            running=(running, "pressure"),
        ),
    )


def which_way(name: str, *, static: float) -> ChoiceQuestion:
    """Ask which screw goes where on a line whose gauge at rest stands above cut-in [Pa]."""
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "A new switch, {cut_in} and {cut_out}, on a line whose trough stands so high that the "
            "gauge at rest reads {static}. It stopped once and never came back. The shut line "
            "could climb much higher. **Which screw, and which way?**",
            static=(static, "pressure"),
            cut_in=_RULE["cut_in"],
            cut_out=_RULE["cut_out"],
        ),
        options=(
            Option(
                words=phrase("The range screw out."),
                said=phrase("Out brings both points down, so cut-in is still farther away."),
                slip="screw the wrong way",
            ),
            Option(
                words=phrase("The range screw in."),
                said=phrase(
                    "In raises both points. Cut-in must get above the gauge at rest, with a little "
                    "room; then look whether cut-out is still within reach."
                ),
                is_right=True,
            ),
            Option(
                words=phrase("The differential nut in."),
                said=phrase("The nut moves cut-out alone. Which of the two points is at fault?"),
                slip="cut-out for cut-in",
            ),
            Option(
                words=phrase("The differential nut out."),
                said=phrase(
                    "That brings cut-out down and leaves cut-in where it is: under the gauge at "
                    "rest."
                ),
                slip="tighter differential",
            ),
        ),
    )
