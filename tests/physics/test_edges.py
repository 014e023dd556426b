"""Where one law of the physics hands over to another: both sides of each seam, worked out on paper."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from labkit.physics.pipe import (
    DARCY_WEISBACH,
    GIVEN_FACTOR,
    HAZEN_WILLIAMS,
    drag,
    friction_flow,
    heavy_flow,
    pushed_flow,
    run_flow,
)
from labkit.physics.pump import Centrifugal, Displacement, centrifugal, displacement
from labkit.physics.tank import water_volume
from labkit.physics.valve import float_opening, forced_opening, opening_flow, relief_flow

G = 9.80665
WEIGHT = 9800.0
MM = 1e-3
L, D, NU = 250.0, 0.04, 1.2e-6
A = 0.25 * pi * D * D


# --- drag: head lost for each unit of flow


def test_drag_of_creeping_water_is_poiseuilles() -> None:
    """``128 nu L / (pi g D**4)``, as long as Re is under 2000; at Re 1 as at Re 1000."""
    by_hand = 128.0 * NU * L / (pi * G * D**4)

    for Re in (1e-3, 0.999, 1.001, 1000.0):
        q = Re * A * NU / D
        assert drag(q, L, D, 0.0, 1.5e-6, NU, DARCY_WEISBACH) == pytest.approx(by_hand, rel=1e-9)
        assert drag(-q, L, D, 0.0, 1.5e-6, NU, DARCY_WEISBACH) == pytest.approx(by_hand, rel=1e-9)


@pytest.mark.parametrize("law", [DARCY_WEISBACH, HAZEN_WILLIAMS, GIVEN_FACTOR])
@pytest.mark.parametrize("q", [1e-9, 4e-4])
def test_fittings_add_their_velocity_heads_to_the_drag(law: int, q: float) -> None:
    wall = {DARCY_WEISBACH: 1.5e-6, HAZEN_WILLIAMS: 150.0, GIVEN_FACTOR: 0.02}[law]

    more = drag(q, L, D, 7.0, wall, NU, law) - drag(q, L, D, 0.0, wall, NU, law)

    assert more == pytest.approx(7.0 * q / (2.0 * G * A * A), rel=1e-3)


def test_drag_by_a_given_factor() -> None:
    q = 4e-4
    v = q / A

    assert drag(q, L, D, 0.0, 0.02, NU, GIVEN_FACTOR) * q == pytest.approx(
        0.02 * L / D * v * v / (2.0 * G), rel=1e-12
    )


def test_drag_by_hazen_and_williams_and_its_chord_under_a_millimeter() -> None:
    """``h = 10.667 L q**1.852 / (c**1.852 D**4.871)``; the chord is that of one millimeter."""
    factor = 10.667 * L / (150.0**1.852 * D**4.871)
    trickle = (MM / factor) ** (1.0 / 1.852)

    for q in (4e-4, 1.001 * trickle):
        assert drag(q, L, D, 0.0, 150.0, NU, HAZEN_WILLIAMS) == pytest.approx(
            factor * q**0.852, rel=1e-9
        )
    for q in (0.5 * trickle, 1e-3 * trickle):
        assert drag(q, L, D, 0.0, 150.0, NU, HAZEN_WILLIAMS) == pytest.approx(
            MM / trickle, rel=1e-9
        )


# --- flow along a run


@pytest.mark.parametrize("K", [1e-3, 3.0, 400.0, 1e6])
@pytest.mark.parametrize("dh", [1e-6, 0.02, 0.3, 7.0, 300.0])
def test_what_friction_and_fittings_take_is_all_there_is(dh: float, K: float) -> None:
    """Friction by its own law at the flow found, and fittings by ``K v**2 / 2 g``; either way."""
    q, slope = run_flow(dh, L, D, K, 1.5e-6, NU, DARCY_WEISBACH)
    fittings = K * (q / A) ** 2 / (2.0 * G)

    assert friction_flow(dh - fittings, L, D, 1.5e-6, NU, DARCY_WEISBACH)[0] == pytest.approx(
        q, rel=1e-7
    )
    back, same = run_flow(-dh, L, D, K, 1.5e-6, NU, DARCY_WEISBACH)
    assert (back, same) == (-q, slope)
    near = run_flow(dh * (1.0 + 1e-6), L, D, K, 1.5e-6, NU, DARCY_WEISBACH)[0]
    assert (near - q) / (dh * 1e-6) == pytest.approx(slope, rel=1e-4)


@pytest.mark.parametrize("M", [10.0, 3e5])
@pytest.mark.parametrize(("dh", "q_start"), [(4.0, 0.0), (0.5, 6e-4), (-3.0, 5e-4), (-2.0, 0.0)])
def test_water_that_is_set_going_takes_its_share_of_the_head(
    dh: float, q_start: float, M: float
) -> None:
    """``M (q - q_start) + loss(q) = dh``: begun anew from its own answer, until nothing moves."""
    q, lost = 0.0, 1.0
    for _ in range(6):
        q, _, lost = heavy_flow(dh, M, q_start, lost, L, D, 5.0, 1.5e-6, NU, DARCY_WEISBACH)

    fittings = 5.0 * q * abs(q) / A**2 / (2.0 * G)
    sign = 1.0 if q >= 0.0 else -1.0
    assert M * (q - q_start) + sign * lost + fittings == pytest.approx(dh, rel=1e-9)
    assert friction_flow(lost, L, D, 1.5e-6, NU, DARCY_WEISBACH)[0] == pytest.approx(
        abs(q), rel=1e-7
    )


@pytest.mark.parametrize("M", [10.0, 3e5])
@pytest.mark.parametrize(("dh", "q_start"), [(4.0, 0.0), (0.5, 6e-4), (-3.0, 5e-4), (-2.0, 0.0)])
def test_a_flow_that_is_pushed_comes_to_the_same_in_a_few_rounds(
    dh: float, q_start: float, M: float
) -> None:
    """Each round by its own tangent of friction; all of them meet the balance of heads."""
    q, lost = 0.0, 1.0
    for _ in range(8):
        q, after = pushed_flow(dh, M, q_start, lost, L, D, 5.0, 1.5e-6, NU, DARCY_WEISBACH)
        fittings = 5.0 * q * abs(q_start) / A**2 / (2.0 * G)
        sign = 1.0 if q >= 0.0 else -1.0
        assert M * (q - q_start) + sign * after + fittings == pytest.approx(dh, rel=1e-9)
        lost = after

    assert friction_flow(lost, L, D, 1.5e-6, NU, DARCY_WEISBACH)[0] == pytest.approx(
        abs(q), rel=1e-7
    )


# --- pumps


CURVE = Centrifugal(60.0, 20.0 / 5e-4**2, 2.0, 400.0, 5e-4, 0.55)
"""60 m shut off, 40 m at half a litre a second, 55 % of its power without flow."""


def test_the_last_millimeter_of_head_is_a_chord() -> None:
    """At a millimeter short of shut-off ``q = sqrt(0.001 / R)``; at half of it, half of that."""
    q = sqrt(MM / CURVE.bend)

    whole, half = (centrifugal(60.0 - x * MM, 0.0, 400.0, 1.0, CURVE) for x in (1.0, 0.5))

    assert whole.flow == pytest.approx(q, rel=1e-6)
    assert half.flow == pytest.approx(0.5 * q, rel=1e-6)
    assert half.slope == pytest.approx(-q / MM, rel=1e-6)
    assert half.shut_in_head == 60.0


@pytest.mark.parametrize("exponent", [1.7, 2.0, 2.6])
@pytest.mark.parametrize("watts", [90.0, 200.0, 260.0, 330.0, 5000.0])
@pytest.mark.parametrize("drawdown", [0.0, 1e4])
@pytest.mark.parametrize("H", [2.0, 25.0])
def test_a_centrifugal_pump_keeps_to_its_head_and_to_its_power(
    H: float, drawdown: float, watts: float, exponent: float
) -> None:
    """Head ``s2 H0 - R s**(2-m) q**m``, power ``s3 Pr (share + (1 - share) q / (s Qr))``: the one that
    binds is met to the last digits, and neither is passed."""
    bend = 20.0 / 5e-4**exponent
    curve = CURVE._replace(bend=bend, exponent=exponent)

    duty = centrifugal(H, drawdown, watts, 1.0, curve)

    s, q = duty.speed, duty.flow
    if q == 0.0:
        assert s * s * 60.0 <= H
        return
    head = s * s * 60.0 - bend * s ** (2.0 - exponent) * q**exponent
    power = s**3 * 400.0 * (0.55 + 0.45 * q / (s * 5e-4))
    assert head == pytest.approx(H + drawdown * q, rel=1e-7)
    assert power == pytest.approx(watts, rel=1e-7) if s < 1.0 else power <= watts * (1.0 + 1e-9)
    near = centrifugal(H + 1e-4, drawdown, watts, 1.0, curve).flow
    assert (near - q) / 1e-4 == pytest.approx(duty.slope, rel=2e-3)


def test_a_displacement_pump_shut_in_pushes_until_all_of_it_slips_back() -> None:
    """At speed s it sweeps ``s Qd`` and slips ``k H``: nothing comes from ``s Qd / k`` on, 400 m here.

    On 50 W with 20 W of friction and 300 m, ``s = 50 / (20 + 9800 x 4e-4 x 300)``, which falls as the
    load grows."""
    pump = Displacement(4e-4, 1e-6, 20.0, WEIGHT)

    full, weak = displacement(500.0, 0.0, 1e5, 1.0, pump), displacement(300.0, 0.0, 50.0, 1.0, pump)

    assert (full.flow, full.speed) == (0.0, 1.0)
    assert full.shut_in_head == pytest.approx(400.0, rel=1e-12)
    assert full.shut_in_slope == 0.0
    load = 20.0 + WEIGHT * 4e-4 * 300.0
    assert weak.flow == 0.0
    assert weak.shut_in_head == pytest.approx(400.0 * 50.0 / load, rel=1e-12)
    assert weak.shut_in_slope == pytest.approx(-400.0 * 50.0 * WEIGHT * 4e-4 / load**2, rel=1e-12)


# --- tank and openings


@pytest.mark.parametrize("n", [1.0, 1.2, 1.4])
def test_a_tank_whose_air_warms_as_it_is_squeezed(n: float) -> None:
    """``p V**n`` stays: from 100 kPa and 100 kPa of air to 3.5 times that, absolute."""
    left = 0.1 * (200.0 / 700.0) ** (1.0 / n)

    water, slope = water_volume(600e3, V=0.1, p_precharge=100e3, p_air=100e3, n=n)
    more, _ = water_volume(600.1e3, V=0.1, p_precharge=100e3, p_air=100e3, n=n)

    assert water == pytest.approx(0.1 - left, rel=1e-12)
    assert slope == pytest.approx((more - water) / 100.0, rel=1e-3)


@pytest.mark.parametrize("n", [0.5, 1.0, 1.5])
def test_openings_hand_over_at_one_millimeter(n: float) -> None:
    at = 2e-5 * MM**n

    below, on, above = (opening_flow(x * MM, 2e-5, n) for x in (0.25, 1.0, 4.0))

    assert below == pytest.approx((0.25 * at, at / MM))
    assert on == pytest.approx((at, n * at / MM))
    assert above == pytest.approx((4.0**n * at, n * 4.0**n * at / (4.0 * MM)))
    assert opening_flow(-1.0, 2e-5, n) == (0.0, 0.0)
    assert opening_flow(1.0, 0.0, n) == (0.0, 0.0)


def test_slopes_of_floats_and_relief_at_their_corners() -> None:
    """A float with a band of a quarter loses four of its opening for each unit; forced open from 30 m on, all
    the way at 33 m."""
    assert float_opening(0.875, 1.0, 0.25) == (0.5, -4.0)
    assert float_opening(0.75, 1.0, 0.25) == (1.0, 0.0)
    assert forced_opening(30.0, 30.0) == (0.0, 0.0)
    assert forced_opening(31.5, 30.0) == pytest.approx((0.5, 1.0 / 3.0))
    assert forced_opening(33.0, 30.0) == (1.0, 0.0)
    assert forced_opening(40.0, 30.0) == (1.0, 0.0)
    assert relief_flow(29.0, 30.0, 2e-4) == (0.0, 0.0)


@pytest.mark.parametrize(("watts", "cap"), [(0.0, 1.0), (-5.0, 1.0), (500.0, 0.0)])
def test_a_displacement_pump_without_power_or_leave_to_turn_stands(
    watts: float, cap: float
) -> None:
    pump = Displacement(4e-4, 1e-6, 20.0, WEIGHT)

    assert displacement(30.0, 0.0, watts, cap, pump) == (0.0, 0.0, 0.0, 0.0, 0.0)


def test_a_displacement_pump_held_back_is_no_faster_than_it_may_turn() -> None:
    """At a cap of 0.6 it sweeps six tenths and slips by the same lift."""
    pump = Displacement(4e-4, 1e-6, 20.0, WEIGHT)

    duty = displacement(30.0, 0.0, 1e4, 0.6, pump)

    assert duty.speed == 0.6
    assert duty.flow == pytest.approx(0.6 * 4e-4 - 1e-6 * 30.0, rel=1e-12)
