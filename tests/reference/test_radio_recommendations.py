"""Radio path against the ITU's printed forms, the wave theory behind them, and others' fits."""

from __future__ import annotations

from math import log10, sqrt

import pytest
from scipy.special import fresnel

from labkit.advice.radio_link import (
    bulge,
    diffraction_parameter,
    free_space_loss,
    fresnel_radius,
    knife_edge_loss,
)

FOOT, MILE = 0.3048, 1609.344


@pytest.mark.parametrize(
    ("megahertz", "km"), [(151.0, 0.4), (433.0, 2.0), (915.0, 1.0), (2400.0, 12.0)]
)
def test_free_space_loss(megahertz: float, km: float) -> None:
    """Source: ITU-R P.525, 32.4 + 20 log f (MHz) + 20 log d (km), printed to 0.1 dB."""
    printed = 32.4 + 20.0 * log10(megahertz) + 20.0 * log10(km)

    assert free_space_loss(1000.0 * km, 1e6 * megahertz) == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(
    ("megahertz", "miles", "printed"),
    [(900.0, 1.0, 95.7), (2400.0, 1.0, 104.2), (915.0, 5.0, 109.8)],
)
def test_free_space_loss_in_miles(megahertz: float, miles: float, printed: float) -> None:
    """Source: the trade's form 36.6 + 20 log f (MHz) + 20 log d (mi) (common practice), worked by
    hand to 0.1 dB; its constant is rounded to 0.1 as well."""
    assert free_space_loss(miles * MILE, 1e6 * megahertz) == pytest.approx(printed, abs=0.1)


@pytest.mark.parametrize(
    ("d1", "d2", "gigahertz"), [(0.5, 0.5, 0.915), (0.3, 2.7, 2.4), (4.0, 9.0, 0.151)]
)
def test_fresnel_radius(d1: float, d2: float, gigahertz: float) -> None:
    """Source: ITU-R P.530, F1 = 17.3 sqrt(d1 d2 / (f d)) [m; km, GHz], three digits."""
    printed = 17.3 * sqrt(d1 * d2 / (gigahertz * (d1 + d2)))

    assert fresnel_radius(1000 * d1, 1000 * d2, 1e9 * gigahertz) == pytest.approx(printed, rel=2e-3)


@pytest.mark.parametrize(("d1", "d2", "gigahertz"), [(0.5, 0.5, 0.915), (0.3, 2.7, 2.4)])
def test_fresnel_radius_in_feet(d1: float, d2: float, gigahertz: float) -> None:
    """Source: the US form 72.1 sqrt(d1 d2 / (f d)) [ft; mi, GHz], 72.05 and 72.6 also in use."""
    printed = 72.1 * FOOT * sqrt(d1 * d2 / (gigahertz * (d1 + d2)))

    assert fresnel_radius(MILE * d1, MILE * d2, 1e9 * gigahertz) == pytest.approx(printed, rel=2e-3)


@pytest.mark.parametrize(("d1", "d2"), [(1.0, 1.0), (2.0, 7.0), (10.0, 10.0)])
def test_the_bulge_of_the_earth(d1: float, d2: float) -> None:
    """Source: microwave planners' d1 d2 / (12.75 k) [m; km], and d1 d2 / (1.5 k) [ft; mi], k = 4/3
    (common practice); the second is rounded to two digits."""
    assert bulge(1000 * d1, 1000 * d2) == pytest.approx(d1 * d2 / (12.75 * 4 / 3), rel=2e-3)
    assert bulge(MILE * d1, MILE * d2) / FOOT == pytest.approx(d1 * d2 / (1.5 * 4 / 3), rel=0.01)


def exact_edge(nu: float) -> float:
    """Source: ITU-R P.526, eq. 30: the loss of a knife edge by Fresnel's integrals [dB]."""
    S, C = fresnel(nu)
    return float(-20.0 * log10(sqrt((1.0 - C - S) ** 2 + (C - S) ** 2) / 2.0))


@pytest.mark.parametrize("nu", [-0.7, -0.5, -0.2, 0.0, 0.3, 0.8, 1.0, 1.7, 2.4, 4.0, 9.0])
def test_an_edge_against_the_wave_theory(nu: float) -> None:
    """The recommendation's fit is within 0.3 dB of Fresnel's integrals above nu = -0.7."""
    assert knife_edge_loss(nu) == pytest.approx(exact_edge(nu), abs=0.3)


@pytest.mark.parametrize("nu", [0.0, 0.5, 1.0, 1.5, 2.0, 2.39])
def test_an_edge_against_another_fit(nu: float) -> None:
    """Source: NBS Technical Note 101, vol. 2, eq. III.24b, 6.02 + 9.11 nu - 1.27 nu^2, as in the
    irregular terrain model; the two fits lie within half a decibel."""
    assert knife_edge_loss(nu) == pytest.approx(6.02 + 9.11 * nu - 1.27 * nu**2, abs=0.5)


@pytest.mark.parametrize("nu", [2.5, 5.0, 20.0])
def test_a_high_edge_against_another_fit(nu: float) -> None:
    """Source: NBS Technical Note 101, vol. 2, eq. III.24c, 12.953 + 20 log nu."""
    assert knife_edge_loss(nu) == pytest.approx(12.953 + 20.0 * log10(nu), abs=0.3)


def test_a_ray_that_grazes_an_edge_loses_half_its_field() -> None:
    """Closed form: half the wave is cut off, so half the field is left: 20 log 2 = 6.02 dB."""
    assert knife_edge_loss(0.0) == pytest.approx(20.0 * log10(2.0), abs=0.02)


def test_the_parameter_counts_in_fresnel_radii() -> None:
    """Closed form: nu = sqrt(2) h / F1, from ITU-R P.526 eq. 26 and the radius of P.530."""
    d1, d2, f, h = 700.0, 2300.0, 4.33e8, -3.7

    nu = diffraction_parameter(h, d1, d2, f)

    assert nu == pytest.approx(sqrt(2.0) * h / fresnel_radius(d1, d2, f))
