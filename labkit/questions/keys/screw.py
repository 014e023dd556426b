"""The two points of a switch, and the nuts that move them. Pressures in Pa."""

from typing import Final

from labkit.advice.rules import PER_TURN, PRESET
from labkit.advice.setting import after_turns
from labkit.questions.bank import Picked, Pressure, Worked, choice, number

TURN: Final = 6.283185307179586  # one turn [rad]

_EACH: Final = {"each_in": PER_TURN[0], "each_out": PER_TURN[1]}


@number
def cut_out_after(*, turns: float) -> Worked:
    """Return cut-out after some turns of a new switch's range nut, counterclockwise."""
    low, answer = after_turns(turns)
    fall = PER_TURN[1] * turns
    return Worked(
        answer,
        {
            "cut-in's step for cut-out": PRESET[1] - PER_TURN[0] * turns,
            "cut-in for cut-out": low,
            "screw the wrong way": PRESET[1] + fall,
            "fall for cut-out": fall,
        },
        {
            "cut_in": PRESET[0],
            "cut_out": PRESET[1],
            "turned": TURN * turns,
            "fall": fall,
            "low": low,
            **_EACH,
        },
    )


@number
def turns_for(*, cut_in: Pressure) -> Worked:
    """Return the turns [rad] that bring a new switch's cut-in down to a pressure."""
    fall = PRESET[0] - cut_in
    return Worked(
        TURN * fall / PER_TURN[0],
        {
            "cut-out's step for cut-in": TURN * fall / PER_TURN[1],
            "cut-out for cut-in": TURN * (PRESET[1] - cut_in) / PER_TURN[1],
            "point for fall": TURN * cut_in / PER_TURN[0],
        },
        {"fall": fall, "preset_in": PRESET[0], "preset_out": PRESET[1], **_EACH},
    )


@number
def lowest_cut_out(*, static: Pressure, running: Pressure, differential: Pressure) -> Worked:
    """Return the lowest cut-out that lets the pump restart and the trough fill."""
    answer = static + differential
    if answer <= running:
        raise ValueError("the pressure at rest must decide")
    return Worked(
        answer,
        {
            "forgot cut-in": running,
            "cut-in for cut-out": static,
            "added the gap to the wrong one": running + differential,
        },
    )


@choice
def which_way(*, static: Pressure, cut_in: Pressure, cut_out: Pressure) -> Picked:
    """Pick the nut for a line that stopped for good: at rest it stands between the points."""
    return Picked("clockwise" if cut_in <= static < cut_out else "otherwise")
