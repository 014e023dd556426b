"""The water of a place, and what an opening lets out of it."""

from functools import lru_cache
from math import pi, sqrt
from typing import Final

import attrs

from labkit.parts import Place
from labkit.physics import GRAVITY, water
from labkit.physics.valve import HOLE
from labkit.units import FlowAt, Hole, LeakSize, si

DISCHARGE: Final = 0.61
"""Discharge coefficient of a sharp-edged hole [-] (Choudhary & Prakash, chapter 6: .61 to .62)."""


@attrs.frozen(kw_only=True)
class Water:
    """The water in the line and the air around it, SI."""

    rho: float
    nu: float
    bulk: float
    p_air: float
    h_vapour: float
    weight: float


def water_at(place: Place) -> Water:
    """Return the properties of the water and the air at a place."""
    return _water(si(place.water_temperature) - 273.15, si(place.elevation))


@lru_cache(maxsize=64)
def _water(warmth: float, elevation: float) -> Water:
    rho = water.density(warmth)
    p_air = water.air_pressure(elevation)
    return Water(
        rho=rho,
        nu=water.kinematic_viscosity(warmth),
        bulk=water.bulk_modulus(warmth),
        p_air=p_air,
        h_vapour=(water.vapour_pressure(warmth) - p_air) / (rho * GRAVITY),
        weight=rho * GRAVITY,
    )


def flow_coefficient(rating: FlowAt, weight: float, n: float = HOLE) -> float:
    """Flow coefficient k of an opening rated at a pressure [m3/s/m**n]."""
    return float(si(rating.flow) / (si(rating.pressure) / weight) ** n)


def leak_coefficient(size: LeakSize, weight: float, n: float = HOLE) -> float:
    """Flow coefficient k of a leak [m3/s/m**n].

    A hole passes ``Cd a sqrt(2 g dh)``; with another exponent it is matched at ten metres of head.
    """
    if isinstance(size, Hole):
        k = DISCHARGE * 0.25 * pi * si(size.diameter) ** 2 * sqrt(2.0 * GRAVITY)
        return float(k * 10.0 ** (HOLE - n))
    return flow_coefficient(size, weight, n)
