"""What the gauge reads while a trough fills."""

from labkit.questions.bank import Length, Pressure, Worked, Wrong, number
from labkit.questions.keys import slips


@number
def while_filling(
    *, rise: Length, weight: float, friction: Pressure, valve: Pressure, is_told: bool = True
) -> Worked:
    """Return what the gauge reads while a trough fills: height [m], friction and float valve [Pa].

    `is_told` is whether the friction is told; otherwise it is the answer to the question before.
    """
    column = weight * rise
    answer = column + friction + valve
    return Worked(
        answer,
        {
            "forgot the trough's height": Wrong(answer - column),
            "forgot friction": Wrong(answer - friction),
            "forgot the float valve": Wrong(answer - valve),
        }
        | slips.height_as_pressure(rise, weight, friction + valve),
        {"column": column},
        case="told" if is_told else "found",
    )
