"""The question what the gauge reads while a trough fills, made for any numbers."""

from labkit.questions.keys import slips
from labkit.questions.number import NumberQuestion, Slip
from labkit.questions.phrase import Phrase, phrase


def while_filling(
    name: str,
    *,
    rise: float,
    weight: float,
    friction: float,
    valve: float,
    is_told: bool = True,
) -> NumberQuestion:
    """Ask what the gauge reads while a trough fills.

    Parameters
    ----------
    name : str
        Name of the question.
    rise : float
        Height of the trough above the gauge [m].
    weight : float
        Weight of the water [N/m3].
    friction, valve : float
        What the pipe and the float valve take [Pa].
    is_told : bool
        Whether the friction is told; otherwise it is the answer to the question before.
    """
    column = weight * rise
    answer = column + friction + valve
    as_pressure = slips.height_read_as_pressure(rise, weight)
    return NumberQuestion(
        name=name,
        label="Gauge while it fills",
        ask=_filling(rise, friction if is_told else None, valve),
        answer=answer,
        kind="pressure",
        slips=(
            slips.part_forgotten(
                answer,
                column,
                "forgot the trough's height",
                "You left out the climb. The pump also has to lift the water up to the trough.",
            ),
            slips.part_forgotten(
                answer,
                friction,
                "forgot friction",
                "You left out friction. Now water moves, so the pipe takes its share.",
            ),
            slips.part_forgotten(
                answer,
                valve,
                "forgot the float valve",
                "You left out the float valve. Water needs a push to get through it.",
            ),
            Slip(
                name=as_pressure.name,
                values=tuple(value + friction + valve for value in as_pressure.values),
                hint=as_pressure.hint,
            ),
        ),
        hints=(
            phrase("Three things push back on the gauge here. Add them up."),
            phrase(
                "First turn the height into pressure: {rule}. Then add friction and float valve.",
                rule=(weight, "column"),
            ),
        ),
        reason=phrase(
            "{column} for the climb, {friction} for friction and {valve} for the float valve make "
            "{answer}. The cut-out must lie above that, or the pump stops while the trough fills.",
            column=(column, "pressure"),
            friction=(friction, "pressure"),
            valve=(valve, "pressure"),
            answer=(answer, "pressure"),
        ),
    )


def _filling(rise: float, friction: float | None, valve: float) -> Phrase:
    """Tell what there is to add up."""
    if friction is None:
        return phrase(
            "With that friction, the climb of {rise} and the float valve's {valve}: **what would "
            "the gauge read if the trough filled in one go?**",
            rise=(rise, "length"),
            valve=(valve, "pressure"),
        )
    return phrase(
        "Now the float is wide open and the trough fills. The trough stands {rise} above the "
        "gauge, friction in the pipe takes {friction}, and the float valve takes {valve} to "
        "let the flow through. **What does the gauge read?**",
        rise=(rise, "length"),
        friction=(friction, "pressure"),
        valve=(valve, "pressure"),
    )
