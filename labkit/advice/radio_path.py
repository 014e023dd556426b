"""Formulas of a radio path between two masts, as pure functions of SI floats.

Symbols: d distance [m], d1 and d2 its parts before and beyond a point, f frequency [Hz], h height
of the ground above the straight ray [m], nu the diffraction parameter [-].
"""

from math import inf, log10, pi, sqrt
from typing import Final

SPEED_OF_LIGHT: Final = 299_792_458.0
"""Exact [m/s] (SI Brochure, 9th edition)."""

EARTH_RADIUS: Final = 6_371_000.0
"""Mean radius of the earth [m]; ITU-R P.526 reckons with 8,500 km for four thirds of it."""

BENDING: Final = 4.0 / 3.0
"""Factor on the earth's radius for the way ordinary air bends a ray (ITU-R P.453, P.526)."""

NO_LOSS_BELOW: Final = -0.78
"""Diffraction parameter up to which an edge takes nothing (ITU-R P.526, eq. 31)."""

ENOUGH_CLEARANCE: Final = 0.6
"""Share of the first Fresnel zone that should be free (ITU-R P.530, design rule)."""


def free_space_loss(d: float, f: float) -> float:
    """Loss between two isotropic antennas in free space [dB]: ``20 log10(4 pi d f / c)``.

    ITU-R P.525 prints it as ``32.4 + 20 log f/MHz + 20 log d/km``.
    """
    return 20.0 * log10(4.0 * pi * d * f / SPEED_OF_LIGHT)


def fresnel_radius(d1: float, d2: float, f: float) -> float:
    """Radius of the first Fresnel zone between two masts [m]: ``sqrt(lambda d1 d2 / d)``.

    ITU-R P.530 prints it as ``17.3 sqrt(d1 d2 / (f d))`` in m, with km and GHz.
    """
    return sqrt(SPEED_OF_LIGHT / f * d1 * d2 / (d1 + d2))


def bulge(d1: float, d2: float) -> float:
    """Height by which the round earth stands above its chord between two masts [m].

    ``d1 d2 / (2 k R)``, right while the path is short against the earth's radius.
    """
    return d1 * d2 / (2.0 * BENDING * EARTH_RADIUS)


def diffraction_parameter(h: float, d1: float, d2: float, f: float) -> float:
    """Parameter nu of an edge that stands `h` above the ray, negative below it [-].

    ``nu = h sqrt(2/lambda (1/d1 + 1/d2))``, ITU-R P.526, eq. 26; it is ``sqrt(2) h / F1``.
    """
    if d1 <= 0.0 or d2 <= 0.0:
        return inf if h > 0.0 else -inf
    return h * sqrt(2.0 * f / SPEED_OF_LIGHT * (1.0 / d1 + 1.0 / d2))


def knife_edge_loss(nu: float) -> float:
    """Loss over a single knife edge [dB].

    ``6.9 + 20 log10(sqrt((nu - 0.1)^2 + 1) + nu - 0.1)``, ITU-R P.526, eq. 31, for nu above -0.78;
    below that nothing. A real, round hill takes more.
    """
    if nu <= NO_LOSS_BELOW:
        return 0.0
    return max(6.9 + 20.0 * log10(sqrt((nu - 0.1) ** 2 + 1.0) + nu - 0.1), 0.0)
