"""Lesson 14: your own ranch. What a site file says, and what its window makes of it."""

from labkit.advice.rules import PRESET, UNDER_CUT_IN
from labkit.advice.window import Window
from labkit.questions.bank import (
    Picked,
    Pressure,
    Worked,
    Wrong,
    asked_at_end,
    lesson_choice,
    lesson_number,
)
from labkit.questions.keys.sheet import weight_of_water
from labkit.units import si


@lesson_choice
def as_typed(window: Window) -> Picked:
    """Pick what the switch does as the file has it; the window decides."""
    cut_in, cut_out = window.site.pressure_switch.points
    suns = {"low": window.sun.low, "high": window.sun.high}
    return Picked(window.own.verdict, {"cut_in": cut_in, "cut_out": cut_out, **suns})


@lesson_number
def highest_cut_out(window: Window) -> Worked:
    """Return up to where cut-out may be set; the window decides."""
    site, weight = window.site, weight_of_water(window.site)
    rated, lift = si(site.pump.rated_head), si(site.well.static_level)
    by_rating = Wrong(weight * (rated - lift), weight * rated)
    return Worked(window.room.ceiling, {"rated point for dead head": by_rating})


@lesson_number
def charge(*, cut_in: Pressure, cut_out: Pressure) -> Worked:
    """Return the precharge for a switch's two points [Pa]."""
    return Worked(
        cut_in - UNDER_CUT_IN,
        {
            "cut-out for cut-in": Wrong(cut_out - UNDER_CUT_IN, cut_out),
            "factory charge": PRESET[0] - UNDER_CUT_IN,
            "charged to cut-in": cut_in,
        },
        {"under": UNDER_CUT_IN},
    )


checks = asked_at_end(__name__)
