"""A pump whose well falls as it pumps: flow, speed and slope solved on paper."""

from __future__ import annotations

from math import sqrt

import pytest

from labkit.physics.pump import Centrifugal, Displacement, centrifugal, displacement

WEIGHT = 9800.0
SWEPT = 4e-4
"""At full speed [m3/s]."""

FALLS = [0.0, 2e4, 1e5]
"""Drawdowns [m/(m3/s)]: none, 4 and 20 m at half of what the pump sweeps."""


@pytest.mark.parametrize("drawdown", FALLS)
def test_a_displacement_pump_short_of_power_lifts_from_the_water_as_it_stands_then(
    drawdown: float,
) -> None:
    """Without slip and friction ``P = w q (H + d q)``: a parabola for q, and its slope beside it."""
    H, P = 40.0, 100.0
    q = P / (WEIGHT * H)
    if drawdown:
        q = (sqrt(H * H + 4.0 * drawdown * P / WEIGHT) - H) / (2.0 * drawdown)

    duty = displacement(H, drawdown, P, 1.0, Displacement(SWEPT, 0.0, 0.0, WEIGHT))

    assert duty.flow == pytest.approx(q, rel=1e-9)
    assert duty.speed == pytest.approx(q / SWEPT, rel=1e-9)
    assert duty.slope == pytest.approx(-q / (H + 2.0 * drawdown * q), rel=1e-6)


@pytest.mark.parametrize("drawdown", FALLS)
def test_a_displacement_pump_at_full_speed_slips_by_all_of_its_lift(drawdown: float) -> None:
    """``q = Qd - k (H + d q)``."""
    H, slip = 40.0, 1e-6
    share = 1.0 + slip * drawdown

    duty = displacement(H, drawdown, 1e4, 1.0, Displacement(SWEPT, slip, 30.0, WEIGHT))

    assert duty.flow == pytest.approx((SWEPT - slip * H) / share, rel=1e-9)
    assert duty.slope == pytest.approx(-slip / share, rel=1e-9)
    assert duty.speed == 1.0


def test_a_displacement_pump_that_water_would_run_through_lifts_nothing() -> None:
    """Where the line pulls, all power goes into friction, and nothing slips."""
    duty = displacement(-5.0, 0.0, 15.0, 1.0, Displacement(SWEPT, 1e-6, 30.0, WEIGHT))

    assert duty.speed == pytest.approx(0.5)
    assert duty.flow == pytest.approx(0.5 * SWEPT)


@pytest.mark.parametrize("drawdown", FALLS)
@pytest.mark.parametrize("cap", [1.0, 0.8])
@pytest.mark.parametrize("exponent", [2.0, 1.7])
def test_a_centrifugal_pump_runs_at_its_cap_as_long_as_there_is_power_for_it(
    drawdown: float, cap: float, exponent: float
) -> None:
    """By the affinity laws and the well: ``s2 H0 - R s**(2 - m) q**m = H + d q``, and the shaft
    takes ``s3 Pi + s2 (Pr - Pi) q / Qr``. A hair less than that at the cap slows the pump."""
    H0, Qr, Pr, idle, H = 70.0, 5e-4, 400.0, 0.3, 30.0
    R = 25.0 / Qr**exponent
    pump = Centrifugal(H0, R, exponent, Pr, Qr, idle)

    def needed(s: float, q: float) -> float:
        return s**3 * Pr * idle + s**2 * Pr * (1.0 - idle) * q / Qr

    free = centrifugal(H, drawdown, 1e4, cap, pump)
    spare = needed(cap, free.flow)
    enough = centrifugal(H, drawdown, 1.001 * spare, cap, pump)
    short = centrifugal(H, drawdown, 0.999 * spare, cap, pump)

    assert enough == pytest.approx(free)
    assert enough.speed == cap
    assert 0.99 * cap < short.speed < cap
    assert needed(short.speed, short.flow) == pytest.approx(0.999 * spare, rel=1e-9)
    for duty in (enough, short):
        made = duty.speed**2 * H0 - R * duty.speed ** (2.0 - exponent) * duty.flow**exponent
        assert made == pytest.approx(H + drawdown * duty.flow, rel=1e-9)
    lower = centrifugal(H - 1e-3, drawdown, 1e4, cap, pump)
    assert (enough.flow - lower.flow) / 1e-3 == pytest.approx(enough.slope, rel=1e-3)
