"""What is read while a line is set up."""

from labkit.advice.rules import PER_TURN, QUARTER, UNDER_CUT_IN
from labkit.questions.bank import Picked, Pressure, Worked, choice, number

_EACH = {"each_in": PER_TURN[0], "each_out": PER_TURN[1]}


@choice
def by_the_log(*, verdict: str) -> Picked:
    """Pick what a line will do by its log; the simulation has found it."""
    return Picked(verdict)


@number
def middle(
    *, static: Pressure, running: Pressure, hazy: Pressure, noon: Pressure, is_told: bool = True
) -> Worked:
    """Return the cut-out that is farthest from both of its limits.

    The gauge [Pa] at rest with the float valve open, and while it fills in strong sun; where it
    ends with the float up, in haze and in strong sun. Unless told here, they stand in the story.
    """
    return Worked(
        0.5 * (running + hazy),
        {
            "haze forgotten": 0.5 * (running + noon),
            "rest for filling": 0.5 * (static + hazy),
            "limit for the middle": hazy,
        },
        case="told" if is_told else "logged",
    )


@number
def quarters(*, seen: Pressure, count: int) -> Worked:
    """Return how many quarter turns bring cut-out down from where the switch clicks [Pa]."""
    step = PER_TURN[1] * QUARTER
    return Worked(
        float(count),
        {
            "whole turns for quarters": float(round(count * QUARTER)),
            "cut-in's step for cut-out": float(round(count * PER_TURN[1] / PER_TURN[0])),
        },
        {**_EACH, "step": step, "fall": step * count, "wanted": seen - step * count},
    )


@number
def cut_in_after(*, back: Pressure, turns: float) -> Worked:
    """Return where cut-in goes when the range nut is loosened by some turns [Pa, turns]."""
    fall = PER_TURN[0] * turns
    return Worked(
        back - fall,
        {
            "cut-out's step for cut-in": back - PER_TURN[1] * turns,
            "screw the wrong way": back + fall,
            "cut-in left behind": back,
        },
        {**_EACH, "fall": fall, "count": f"{turns / QUARTER:.0f}"},
    )


@number
def tank_air(*, over: Pressure, back: Pressure) -> Worked:
    """Return the precharge of a tank whose switch clicks over and back at two readings [Pa]."""
    return Worked(
        back - UNDER_CUT_IN,
        {
            "cut-out for cut-in": over - UNDER_CUT_IN,
            "over cut-in": back + UNDER_CUT_IN,
            "cut-in itself": back,
        },
        {"under": UNDER_CUT_IN},
    )
