"""Slips that people make, as functions of the numbers in front of them.

Each gives what the slip comes to, so that it is known again by its value.
"""

from typing import Final

from labkit.questions.number import Slip
from labkit.questions.phrase import phrase

PSI: Final = 6894.757293168
FOOT: Final = 0.3048
KILOPASCAL: Final = 1000.0
MINUTE: Final = 60.0
GALLON: Final = 3.785411784e-3
LITER: Final = 1e-3
GPM: Final = GALLON / MINUTE


def upside_down(height: float, weight: float) -> Slip:
    """Multiply where one must divide, or the other way about, between height and pressure.

    Parameters
    ----------
    height : float
        Height of water [m].
    weight : float
        Weight of the water [N/m3].
    """
    feet_to_a_psi = PSI / (weight * FOOT)
    us = height / FOOT * feet_to_a_psi * PSI
    metric = height / (weight / KILOPASCAL) * KILOPASCAL
    hint = phrase(
        "The rule is turned over. {rule}. Should {height} of water give a larger number or a "
        "smaller one?",
        rule=(weight, "column"),
        height=(height, "length"),
    )
    return Slip(name="2.31 turned over", values=(us, metric), hint=hint)


def height_read_as_pressure(height: float, weight: float) -> Slip:
    """Take a height for a pressure, the number unchanged: feet for psi, or meters for kPa."""
    hint = phrase(
        "That is the number of the height itself. {rule}, so turn {height} into pressure first.",
        rule=(weight, "column"),
        height=(height, "length"),
    )
    return Slip(
        name="height read as pressure",
        values=(height / FOOT * PSI, height * KILOPASCAL),
        hint=hint,
    )


def air_counted(answer: float, air: float) -> Slip:
    """Add the air's pressure: absolute for gauge [Pa]."""
    hint = phrase(
        "You counted the weight of the air too ({air} here). A gauge stands at 0 in open air, so "
        "it leaves that out.",
        air=(air, "pressure"),
    )
    return Slip(name="absolute for gauge", values=(answer + air,), hint=hint)


def friction_at_rest(answer: float, friction: float) -> Slip:
    """Count friction where nothing flows [Pa]."""
    hint = phrase(
        "You counted friction. Water rubs on the pipe only while it moves, and here nothing flows."
    )
    return Slip(
        name="friction where nothing flows",
        values=(answer + friction, answer - friction),
        hint=hint,
    )


def part_forgotten(answer: float, part: float, name: str, words: str) -> Slip:
    """Leave out one part of a sum [Pa]; `words` is the hint."""
    return Slip(name=name, values=(answer - part,), hint=phrase(words))


def hours_and_minutes(answer: float) -> Slip:
    """Mix up minutes with hours or with seconds: sixty times too long or too short [s]."""
    hint = phrase(
        "You are off by sixty. Look at the units: a flow in gallons or liters *per minute* gives "
        "minutes."
    )
    return Slip(name="minutes and hours", values=(answer * MINUTE, answer / MINUTE), hint=hint)


def flow_over_volume(answer: float) -> Slip:
    """Divide flow by volume instead of volume by flow, in minutes [s]."""
    minutes = answer / MINUTE
    hint = phrase(
        "You divided the wrong way. Gallons divided by gallons a minute leave minutes; try "
        "volume over flow."
    )
    return Slip(name="flow over volume", values=(MINUTE / minutes,), hint=hint)
