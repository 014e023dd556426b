"""Questions about what is read while a line is set up, made for any numbers."""

from labkit.advice.rules import PER_TURN, QUARTER, UNDER_CUT_IN
from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.number import COUNT, NumberQuestion, Slip
from labkit.questions.phrase import Phrase, phrase

_WORDS = {
    "sound stop": phrase("On clear days and on hazy ones it fills, stops, and comes back."),
    "no stop": phrase("On hazy days the float shuts and the pump pushes on, with no stop."),
    "false stop": phrase("In strong sun it stops while the trough still fills."),
    "stuck off": phrase("It stops once, and does not come back when stock drink."),
}
_WHY = {
    "sound stop": phrase(
        "Cut-in lies above the gauge at rest. Cut-out lies above the gauge while it fills in "
        "strong sun, and below the dead head in haze. That is all it takes."
    ),
    "no stop": phrase("In haze the gauge ends below the click, so the switch never trips then."),
    "false stop": phrase("The line runs at more than the click, so it trips with the float open."),
    "stuck off": phrase("At rest the gauge stays over the click back, so the switch never resets."),
}
_HINT = phrase(
    "Hold three pairs together: gauge at rest and click back; gauge while filling and click over; "
    "gauge in haze, float up, and click over."
)


def by_the_log(name: str, *, verdict: str) -> ChoiceQuestion:
    """Ask what a line will do by its log; `verdict` is what the simulation found."""

    def said(outcome: str) -> Phrase:
        return _WHY[outcome] if outcome == verdict else _HINT

    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "The colleague leaves the switch as it clicks. Stock come back; some days are clear, "
            "some as dull as under the cloth. **What will this line do?**"
        ),
        options=tuple(
            Option(
                words=words,
                said=said(outcome),
                is_right=outcome == verdict,
                slip="" if outcome == verdict else f"{outcome} for {verdict}",
            )
            for outcome, words in _WORDS.items()
        ),
    )


def middle(
    name: str, *, static: float, running: float, hazy: float, noon: float, is_told: bool = True
) -> NumberQuestion:
    """Ask where cut-out stays farthest from both of its limits.

    Parameters
    ----------
    name : str
        Name of the question.
    static, running : float
        Gauge at rest with the float open, and while it fills in strong sun [Pa].
    hazy, noon : float
        Where the gauge ends with the float up, in haze and in strong sun [Pa].
    is_told : bool
        Whether the readings are told here; otherwise they stand in the story.
    """
    readings = {
        "running": (running, "pressure"),
        "hazy": (hazy, "pressure"),
        "noon": (noon, "pressure"),
        "static": (static, "pressure"),
    }
    told = (
        phrase(
            "Another new line: at rest, float open, the gauge shows {static}. It fills in strong "
            "sun at {running}. With the float held up it ends at {noon} in strong sun, and at "
            "{hazy} under the shade cloth. **Which cut-out lies halfway between its two limits?**",
            **readings,
        )
        if is_told
        else phrase("Look at the log. **Which cut-out would lie halfway between its two limits?**")
    )
    return NumberQuestion(
        name=name,
        label="Cut-out halfway",
        ask=told,
        answer=0.5 * (running + hazy),
        kind="pressure",
        tolerance=0.03,
        slips=(
            Slip(
                name="haze forgotten",
                values=(0.5 * (running + noon),),
                hint=phrase(
                    "You took the dead head of strong sun. On a dull day the gauge does not come "
                    "that far, and the switch must trip then too."
                ),
            ),
            Slip(
                name="rest for filling",
                values=(0.5 * (static + hazy),),
                hint=phrase(
                    "You took the gauge at rest for the lower limit. That one limits cut-in. While "
                    "it fills the gauge stands higher, and must not trip the switch."
                ),
            ),
            Slip(
                name="limit for the middle",
                values=(hazy,),
                hint=phrase("That is the upper limit itself. A little more haze, and no stop."),
            ),
        ),
        hints=(
            phrase("Which reading must cut-out stay above, and which below, on every day?"),
            phrase("Above the gauge while it fills in strong sun; below where haze lets it end."),
        ),
        reason=phrase(
            "{running} while it fills in strong sun and {hazy} in haze with the float up: halfway "
            "is {answer}. Then check that cut-in still lies above {static}.",
            answer=(0.5 * (running + hazy), "pressure"),
            running=readings["running"],
            hazy=readings["hazy"],
            static=readings["static"],
        ),
    )


def quarters(name: str, *, seen: float, count: int) -> NumberQuestion:
    """Ask how many quarter turns out bring cut-out down from where the switch clicks [Pa]."""
    step = PER_TURN[1] * QUARTER
    return NumberQuestion(
        name=name,
        label="Quarter turns out",
        ask=phrase(
            "Elsewhere a switch clicks over at {seen}, and you want {wanted}. One **whole** turn "
            "of its range screw moves cut-out by {each} and cut-in by {other}. **How many quarter "
            "turns out?** Give a whole number.",
            seen=(seen, "pressure"),
            wanted=(seen - step * count, "pressure"),
            each=(PER_TURN[1], "pressure"),
            other=(PER_TURN[0], "pressure"),
        ),
        answer=float(count),
        kind=COUNT,
        slips=(
            Slip(
                name="whole turns for quarters",
                values=(float(round(count / 4)),),
                hint=phrase("That is whole turns. How many quarters are they?"),
            ),
            Slip(
                name="cut-in's step for cut-out",
                values=(float(round(count * PER_TURN[1] / PER_TURN[0])),),
                hint=phrase("You moved cut-out by cut-in's step. Each point has its own."),
            ),
        ),
        hints=(
            phrase("How far must it come down? How far does a quarter turn bring it?"),
            phrase("A quarter turn moves cut-out by {step}.", step=(step, "small pressure")),
        ),
        reason=phrase(
            "{fall} to go, {step} a quarter turn. Then test: the gauge decides, not the count.",
            fall=(step * count, "pressure"),
            step=(step, "small pressure"),
        ),
    )


def cut_in_after(name: str, *, back: float, turns: float) -> NumberQuestion:
    """Ask where cut-in goes when the range screw is turned out by some turns [Pa, turns]."""
    fall = PER_TURN[0] * turns
    return NumberQuestion(
        name=name,
        label="Cut-in then",
        ask=phrase(
            "On a third line the switch clicks back at {back}. To bring cut-out down you give the "
            "range screw {count} quarter turns out. One **whole** turn moves cut-out by {other} "
            "and cut-in by {each}. **At what reading will it click back now?**",
            back=(back, "pressure"),
            count=f"{4 * turns:.0f}",
            each=(PER_TURN[0], "pressure"),
            other=(PER_TURN[1], "pressure"),
        ),
        answer=back - fall,
        kind="pressure",
        slips=(
            Slip(
                name="cut-out's step for cut-in",
                values=(back - PER_TURN[1] * turns,),
                hint=phrase("You moved cut-in by cut-out's step. Each point has its own."),
            ),
            Slip(
                name="screw the wrong way",
                values=(back + fall,),
                hint=phrase("Out lets the spring go slack. Do the points rise then, or fall?"),
            ),
            Slip(
                name="cut-in left behind",
                values=(back,),
                hint=phrase("The range screw moves both points. Only the small nut moves one."),
            ),
        ),
        hints=(
            phrase("How many whole turns are these? How far does each move cut-in?"),
            phrase("Take {fall} off {back}.", fall=(fall, "pressure"), back=(back, "pressure")),
        ),
        reason=phrase(
            "It falls by {fall} to {answer}. Is that still above the gauge at rest? Look before "
            "you leave.",
            fall=(fall, "pressure"),
            answer=(back - fall, "pressure"),
        ),
    )


def tank_air(name: str, *, over: float, back: float) -> NumberQuestion:
    """Ask for the tank's air on a line whose switch clicks over and back at two readings [Pa]."""
    return NumberQuestion(
        name=name,
        label="Air of the empty tank",
        ask=phrase(
            "A line is set: float up, the switch clicks over at {over}; float down, it clicks back "
            "at {back}. The tank is drained. It wants its air {under} under the point at which the "
            "pump comes back. **To what pressure do you charge it?**",
            over=(over, "pressure"),
            back=(back, "pressure"),
            under=(UNDER_CUT_IN, "pressure"),
        ),
        answer=back - UNDER_CUT_IN,
        kind="pressure",
        slips=(
            Slip(
                name="cut-out for cut-in",
                values=(over - UNDER_CUT_IN,),
                hint=phrase("You started from the upper point. At which one does the pump start?"),
            ),
            Slip(
                name="over cut-in",
                values=(back + UNDER_CUT_IN,),
                hint=phrase("Over cut-in the tank runs empty before the pump starts. Go under it."),
            ),
            Slip(
                name="cut-in itself",
                values=(back,),
                hint=phrase("That is cut-in itself. The air wants a little less."),
            ),
        ),
        hints=(
            phrase("Which of the two clicks brings the pump back?"),
            phrase(
                "Take {under} off {back}.",
                under=(UNDER_CUT_IN, "pressure"),
                back=(back, "pressure"),
            ),
        ),
        reason=phrase(
            "{answer}: so the last water leaves the tank just after the pump has come back.",
            answer=(back - UNDER_CUT_IN, "pressure"),
        ),
    )
