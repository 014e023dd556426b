"""Slips that many questions share: what each comes to, so that it is known again by its value.

Their hints stand in ``slips.toml`` of the bank.
"""

from typing import Final

from labkit.questions.bank import Wrong
from labkit.units.customary import FOOT, MINUTE, PSI

KILOPASCAL: Final = 1000.0
LITER: Final = 1e-3

Slips = dict[str, Wrong]


def upside_down(height: float, weight: float) -> Slips:
    """Multiply where one must divide, or the other way about [m, weight of water in N/m3]."""
    feet_to_a_psi = PSI / (weight * FOOT)
    us = height / FOOT * feet_to_a_psi * PSI
    metric = height / (weight / KILOPASCAL) * KILOPASCAL
    return {"2.31 turned over": Wrong(us, metric, height=height, weight=weight)}


def height_as_pressure(height: float, weight: float, more: float = 0.0) -> Slips:
    """Take a height [m] for a pressure, the number unchanged: feet for psi, or meters for kPa.

    ``more`` [Pa] is what is rightly added to it.
    """
    us, metric = height / FOOT * PSI + more, height * KILOPASCAL + more
    return {"height read as pressure": Wrong(us, metric, height=height, weight=weight)}


def air_counted(answer: float, air: float) -> Slips:
    """Add the air's pressure: absolute for gauge [Pa]."""
    return {"absolute for gauge": Wrong(answer + air, air=air)}


def hours_and_minutes(answer: float) -> Slips:
    """Mix up minutes with hours or with seconds: sixty times too long or too short [s]."""
    return {"minutes and hours": Wrong(answer * MINUTE, answer / MINUTE)}


def flow_over_volume(answer: float) -> Slips:
    """Divide flow by volume instead of volume by flow, in minutes [s]."""
    return {"flow over volume": Wrong(MINUTE / (answer / MINUTE))}
