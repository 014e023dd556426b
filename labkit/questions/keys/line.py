"""Questions about the pressure in a line, made for any numbers; used by lessons and exercises."""

from labkit.questions.choice import ChoiceQuestion, Option
from labkit.questions.keys import slips
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import phrase


def at_rest(
    name: str, *, rise: float, weight: float, friction: float, air: float
) -> NumberQuestion:
    """Ask what a standing column puts on the gauge.

    Parameters
    ----------
    name : str
        Name of the question.
    rise : float
        Height of the trough above the gauge [m].
    weight : float
        Weight of the water [N/m3].
    friction : float
        Pressure that the pipe takes while it runs, told to lead astray [Pa].
    air : float
        Air pressure on site [Pa absolute].
    """
    answer = weight * rise
    return NumberQuestion(
        name=name,
        label="Gauge at rest",
        ask=phrase(
            "A trough stands {rise} above the gauge. The line is full of water up to its float "
            "valve, the pump is off and nothing flows. While it fills, the pipe takes {friction}. "
            "**What does the standing water alone put on the gauge?**",
            rise=(rise, "length"),
            friction=(friction, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            slips.upside_down(rise, weight),
            slips.height_read_as_pressure(rise, weight),
            slips.friction_at_rest(answer, friction),
            slips.air_counted(answer, air),
        ),
        hints=(
            phrase("Nothing flows, so only the height of the water counts."),
            phrase(
                "{rule}. How often does that go into {rise}?",
                rule=(weight, "column"),
                rise=(rise, "length"),
            ),
        ),
        reason=phrase(
            "{rise} of standing water weigh {answer} on the gauge, however long the pipe is. "
            "The cut-in must lie above that, or the pump never comes back.",
            rise=(rise, "length"),
            answer=(answer, "pressure"),
        ),
    )


def dead_head(
    name: str, *, shut_off: float, lift: float, rise: float, weight: float
) -> NumberQuestion:
    """Ask where the gauge goes when every float is shut and nobody tells the pump to stop.

    Parameters
    ----------
    name : str
        Name of the question.
    shut_off, lift, rise : float
        The pump's shut-off head, depth to the water in the well, height of the trough [m].
    weight : float
        Weight of the water [N/m3].
    """
    height = shut_off - lift
    answer = weight * height
    forgot_lift = phrase(
        "You left out the well. Before the pump can push on the gauge it must lift the water "
        "{lift} to get there.",
        lift=(lift, "length"),
    )
    added_lift = phrase(
        "You added the depth of the well. The lift uses up head; it does not give any."
    )
    took_rise = phrase(
        "You took off the trough's height. The gauge sits at the well, so the trough does not "
        "come into it."
    )
    return NumberQuestion(
        name=name,
        label="Highest the gauge can go",
        ask=phrase(
            "At full speed, with nothing flowing, the pump makes {shut_off} of head. The water in "
            "the well stands {lift} below the gauge; the trough stands {rise} above it. Every "
            "float is shut, the sun is strong and nobody has told the pump to stop. **Where does "
            "the gauge end up?**",
            shut_off=(shut_off, "length"),
            lift=(lift, "length"),
            rise=(rise, "length"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="forgot the lift", values=(weight * shut_off,), hint=forgot_lift),
            Slip(name="added the lift", values=(weight * (shut_off + lift),), hint=added_lift),
            Slip(name="took off the trough", values=(weight * (height - rise),), hint=took_rise),
            slips.upside_down(height, weight),
            slips.height_read_as_pressure(height, weight),
        ),
        hints=(
            phrase("How much of the pump's head is left once the water is up at the gauge?"),
            phrase(
                "Take {lift} from {shut_off}. Then: {rule}.",
                lift=(lift, "length"),
                shut_off=(shut_off, "length"),
                rule=(weight, "column"),
            ),
        ),
        reason=phrase(
            "{height} of head are left at the gauge, and they weigh {answer}. This is the "
            "dead-head pressure. The cut-out must lie below it, or the pump never stops.",
            height=(height, "length"),
            answer=(answer, "pressure"),
        ),
    )


def comes_back(name: str, *, cut_out: float, differential: float) -> NumberQuestion:
    """Ask at which reading the pump may start again [Pa]."""
    answer = cut_out - differential
    took_cut_out = phrase(
        "That is the cut-out, where the switch trips. The pump comes back at the other point."
    )
    took_gap = phrase("That is the gap between the two points. Where is the lower one?")
    added = phrase(
        "You went up from the cut-out. The pressure is falling, so the second point lies below."
    )
    return NumberQuestion(
        name=name,
        label="Pump may start at",
        ask=phrase(
            "A switch cuts out at {cut_out}; its differential is {gap}. The trough is full and the "
            "pump stands. Now cattle drink, the float opens and the gauge falls. **At what reading "
            "may the pump start?**",
            cut_out=(cut_out, "pressure"),
            gap=(differential, "pressure"),
        ),
        answer=answer,
        kind="pressure",
        slips=(
            Slip(name="cut-out for cut-in", values=(cut_out,), hint=took_cut_out),
            Slip(name="differential for cut-in", values=(differential,), hint=took_gap),
            Slip(name="added the differential", values=(cut_out + differential,), hint=added),
        ),
        hints=(
            phrase("A switch has two points: it trips at the upper and resets at the lower."),
            phrase(
                "Cut-in lies one differential below cut-out: take {gap} from {cut_out}.",
                gap=(differential, "pressure"),
                cut_out=(cut_out, "pressure"),
            ),
        ),
        reason=phrase(
            "{answer} is the cut-in: cut-out less the differential. Between the two points the "
            "switch stays as it is, so a small dip does not start the pump.",
            answer=(answer, "pressure"),
        ),
    )


def bigger_array(name: str) -> ChoiceQuestion:
    """Ask whether more panels raise the pressure of a pump that turns at full speed already."""
    speed = phrase(
        "More panels give more power, but the pump already turns as fast as the drive lets it. "
        "Which of the two sets the head?"
    )
    return ChoiceQuestion(
        name=name,
        ask=phrase(
            "Every float is shut and the sun is strong: the pump turns at full speed. A neighbor "
            "doubles his array. **What happens to the highest pressure his line can reach?**"
        ),
        options=(
            Option(
                words=phrase("It doubles, since there is twice the power."),
                said=speed,
                slip="bigger array, more dead-head pressure",
            ),
            Option(
                words=phrase("It goes up some, since there is power to spare."),
                said=speed,
                slip="bigger array, more dead-head pressure",
            ),
            Option(
                words=phrase("It stays the same; only hazy hours get better."),
                said=phrase(
                    "At full speed the pump's curve and the depth of the well set the dead-head "
                    "pressure, and more panels change neither. They help when the sun is weak."
                ),
                is_right=True,
            ),
        ),
    )
