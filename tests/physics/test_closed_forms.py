"""Each piece of physics at points that can be worked out by hand, and at its edges."""

from __future__ import annotations

from math import log10, pi, sqrt

import numpy as np
import pytest

from labkit.physics import GRAVITY
from labkit.physics.pipe import (
    DARCY_WEISBACH,
    LINEAR_BELOW,
    area,
    darcy_flow,
    drag,
    hazen_williams_flow,
    run_flow,
    storage,
    wave_speed,
)
from labkit.physics.pump import (
    Centrifugal,
    Displacement,
    centrifugal,
    displacement,
    idle_speed,
    torque_head,
)
from labkit.physics.tank import water_volume
from labkit.physics.valve import float_opening, opening_flow, relief_flow

NU = 1.2e-6
WEIGHT = 9800.0


# --- pipe


def test_laminar_flow_is_poiseuilles() -> None:
    """q = pi g D**4 S / (128 nu)."""
    q, slope = darcy_flow(1e-4, 50.0, 0.02, 1.5e-6, NU)

    assert q == pytest.approx(pi * GRAVITY * 0.02**4 * (1e-4 / 50.0) / (128.0 * NU), rel=1e-12)
    assert slope == pytest.approx(q / 1e-4, rel=1e-12)


def test_turbulent_flow_is_colebrooks() -> None:
    """1/sqrt(f) = -2 log10(e / 3.7 D + 2.51 / (Re sqrt(f))), with f and Re of the flow found."""
    D, L, e, dh = 0.035, 300.0, 1.5e-6, 7.0

    q, _ = darcy_flow(dh, L, D, e, NU)

    v = q / (pi / 4 * D * D)
    f, Re = dh * 2.0 * GRAVITY * D / (L * v * v), v * D / NU
    assert 1.0 / sqrt(f) == pytest.approx(
        -2.0 * log10(e / (3.7 * D) + 2.51 / (Re * sqrt(f))), rel=1e-12
    )


@pytest.mark.parametrize("relative", [0.0, 4e-5, 1e-2])
@pytest.mark.parametrize("Re", [0.5, 900.0, 2000.0, 2900.0, 6e3, 4e5])
def test_what_a_flow_loses_drives_that_flow(Re: float, relative: float) -> None:
    """The loss at a flow, read by the law for the flow at a loss; the factor by its definition, in
    laminar flow Poiseuille's ``64 / Re``, in turbulent flow Colebrook's."""
    D, L, K, A = 0.035, 100.0, 3.0, pi / 4.0 * 0.035**2
    q = Re * NU / D * A
    velocity_head = (q / A) ** 2 / (2.0 * GRAVITY)

    smooth = drag(q, L, D, 0.0, relative * D, NU, DARCY_WEISBACH) * q
    fitted = drag(-q, L, D, K, relative * D, NU, DARCY_WEISBACH) * q

    assert darcy_flow(smooth, L, D, relative * D, NU)[0] == pytest.approx(q, rel=1e-9)
    assert fitted - smooth == pytest.approx(K * velocity_head, rel=1e-6)
    f = smooth / (L / D * velocity_head)
    if Re <= 2000.0:
        assert f == pytest.approx(64.0 / Re, rel=1e-12)
    elif Re > 4000.0:
        assert 1.0 / sqrt(f) == pytest.approx(
            -2.0 * log10(relative / 3.7 + 2.51 / (Re * sqrt(f))), rel=1e-9
        )


@pytest.mark.parametrize(("x", "Re"), [(sqrt(64.0 * 2000.0), 2000.0), (750.0, None)])
@pytest.mark.parametrize("relative", [0.0, 4e-5, 1e-2])
def test_the_bridge_meets_both_laws_in_flow_and_slope(
    x: float, Re: float | None, relative: float
) -> None:
    """At Re 2000 and at x = Re sqrt(f) = 750, by either law worked out by hand."""
    D, L = 0.035, 100.0
    dh = (x * NU / D) ** 2 * L / (2.0 * GRAVITY * D)
    if Re is None:
        Re = -2.0 * x * log10(relative / 3.7 + 2.51 / x)

    below, at, above = (darcy_flow(dh * y, L, D, relative * D, NU) for y in (1 - 1e-7, 1, 1 + 1e-7))

    assert at[0] == pytest.approx(Re * NU * pi * D / 4.0, rel=1e-12)
    assert below[0] < at[0] < above[0]
    assert below[0] == pytest.approx(above[0], rel=1e-6)
    assert below[1] == pytest.approx(above[1], rel=2e-6)


@pytest.mark.parametrize("relative", [0.0, 1e-5, 1e-4, 1e-3, 1e-2])
def test_flow_rises_all_the_way_over_the_bridge(relative: float) -> None:
    """Log of flow by log of head: 1 for laminar flow, 0.55 and more for turbulent; and at the least
    0.1 between them, so that no line is without an answer."""
    D, L = 0.035, 100.0
    dh = np.geomspace(1e-3, 1e-1, 4000)

    q, slope = np.array([darcy_flow(float(h), L, D, relative * D, NU) for h in dh]).T

    assert np.all(np.diff(q) > 0.0)
    assert (slope * dh / q).min() > 0.1
    assert np.allclose((slope * dh / q)[1:-1], np.gradient(np.log(q), np.log(dh))[1:-1], atol=2e-3)


def test_hazen_williams_power_and_chord() -> None:
    """Twice the flow takes 2**1.852 the head; the chord is under one millimetre and joins there."""
    one = hazen_williams_flow(2.0, 100.0, 0.035, 150.0)[0]
    two = hazen_williams_flow(2.0 * 2.0**1.852, 100.0, 0.035, 150.0)[0]
    below, above = (
        hazen_williams_flow(LINEAR_BELOW * x, 100.0, 0.035, 150.0)[0] for x in (1.0 - 1e-9, 1.0)
    )

    assert two == pytest.approx(2.0 * one, rel=1e-12)
    assert below == pytest.approx(above, rel=1e-8)
    assert above * 60e3 < 1.0  # litres a minute: the chord touches trickles only


def test_a_run_without_length_of_friction_is_its_fittings() -> None:
    """dh = K v**2 / 2 g where friction is all but nothing."""
    D, K, dh = 0.05, 5000.0, 2.0

    q, _ = run_flow(dh, 0.3, D, K, 1.5e-6, NU, DARCY_WEISBACH)

    assert q == pytest.approx(area(D) * sqrt(2.0 * GRAVITY * dh / K), rel=1e-3)


def test_no_head_no_flow() -> None:
    assert run_flow(0.0, 10.0, 0.03, 4.0, 1.5e-6, NU, DARCY_WEISBACH)[0] == 0.0
    assert run_flow(0.0, 10.0, 0.03, 4.0, 1.5e-6, NU, DARCY_WEISBACH)[1] > 0.0


def test_a_stiff_pipe_leaves_water_its_own_wave_speed() -> None:
    """Korteweg: a = sqrt(K / rho) / sqrt(1 + K D / (E e)); steel-like walls change little, and a wall
    with K D = E e slows the wave by sqrt(2)."""
    K, rho, D = 2.1e9, 1000.0, 0.04

    assert wave_speed(D, wall=0.004, E=1e15, bulk=K, rho=rho) == pytest.approx(
        sqrt(K / rho), rel=1e-4
    )
    assert wave_speed(D, wall=0.004, E=K * D / 0.004, bulk=K, rho=rho) == pytest.approx(
        sqrt(K / rho / 2.0), rel=1e-12
    )
    a = wave_speed(D, wall=0.004, E=1e15, bulk=K, rho=rho)
    squeezed = area(D) * 10.0 * (rho * GRAVITY * 1.0) / K  # a metre of head on ten metres of water
    assert storage(10.0, D, a) == pytest.approx(squeezed, rel=1e-4)


# --- pumps

CURVE = Centrifugal(60.0, 20.0 / 5e-4**2, 2.0, 400.0, 5e-4, 0.55)
"""60 m shut off, 40 m at half a litre a second."""


def test_a_centrifugal_pump_at_its_rated_point() -> None:
    duty = centrifugal(40.0, 0.0, 400.0, 1.0, CURVE)

    assert duty.flow == pytest.approx(5e-4, rel=1e-9)
    assert duty.speed == pytest.approx(1.0, rel=1e-9)
    assert duty.shut_in_head == 60.0
    assert duty.slope == pytest.approx(-1.0 / (2.0 * 20.0 / 5e-4**2 * 5e-4), rel=1e-6)


def test_drawdown_is_one_more_lift() -> None:
    """A well that falls 4 m for the flow that comes is 4 m deeper."""
    plain = centrifugal(40.0, 0.0, 1e4, 1.0, CURVE)

    drawn = centrifugal(36.0, 4.0 / plain.flow, 1e4, 1.0, CURVE)

    assert drawn.flow == pytest.approx(plain.flow, rel=1e-9)


def test_idle_speed_is_the_cube_root_of_power() -> None:
    assert idle_speed(220.0, 1.0, CURVE) == pytest.approx(1.0)
    assert idle_speed(220.0 / 8.0, 1.0, CURVE) == pytest.approx(0.5)
    assert idle_speed(220.0, 0.3, CURVE) == 0.3
    assert idle_speed(-1.0, 1.0, CURVE) == 0.0


def test_a_pump_that_cannot_lift_gives_nothing_and_takes_nothing_back() -> None:
    for H in (60.0, 61.0, 500.0):
        duty = centrifugal(H, 0.0, 400.0, 1.0, CURVE)
        assert (duty.flow, duty.slope) == (0.0, 0.0)
        assert duty.shut_in_head == 60.0
    assert centrifugal(10.0, 0.0, 0.0, 1.0, CURVE).flow == 0.0
    assert centrifugal(10.0, 0.0, 400.0, 0.0, CURVE).flow == 0.0


SCREW = Displacement(4e-4, 4e-4 * 0.05 / 80.0, 100.0, WEIGHT)
"""0.4 L/s swept; a twentieth slips back at 80 m; 100 W of friction."""


def test_a_displacement_pump_by_hand() -> None:
    """Q = Qd - slip H at full speed; P = Pf + rho g Qd H decides when power is short."""
    full = displacement(80.0, 0.0, 1e4, 1.0, SCREW)
    need = 100.0 + WEIGHT * 4e-4 * 80.0
    half = displacement(80.0, 0.0, need / 2.0, 1.0, SCREW)

    assert full.flow == pytest.approx(4e-4 * 0.95, rel=1e-12)
    assert half.speed == pytest.approx(0.5, rel=1e-12)
    assert half.flow == pytest.approx(4e-4 * 0.45, rel=1e-9)
    assert displacement(80.0, 0.0, need / 25.0, 1.0, SCREW).flow == 0.0


def test_torque_in_proportion_to_power_over_speed() -> None:
    """At the limit's head, power at full speed is the limit times power at the rated head."""
    H = torque_head(SCREW, 1.5, 80.0)

    def power(head: float) -> float:
        return SCREW.friction_power + WEIGHT * SCREW.displaced * head

    assert power(H) == pytest.approx(1.5 * power(80.0), rel=1e-12)
    assert torque_head(SCREW, 1.0, 80.0) == pytest.approx(80.0, rel=1e-12)


# --- tank and openings


def test_a_tank_by_boyle() -> None:
    """Twice the absolute pressure, half the air."""
    water, slope = water_volume(300e3, V=0.1, p_precharge=100e3, p_air=100e3, n=1.0)

    assert water == pytest.approx(0.05, rel=1e-12)
    assert slope == pytest.approx(0.05 / 400e3, rel=1e-12)
    assert water_volume(100e3, V=0.1, p_precharge=100e3, p_air=100e3, n=1.0) == (0.0, 0.0)
    assert water_volume(300e3, V=0.0, p_precharge=100e3, p_air=100e3, n=1.0) == (0.0, 0.0)


def test_an_opening_by_its_square_root_and_its_chord() -> None:
    assert opening_flow(9.0, 2e-5, 0.5)[0] == pytest.approx(6e-5, rel=1e-12)
    assert opening_flow(9.0, 2e-5, 1.5)[0] == pytest.approx(54e-5, rel=1e-12)
    assert opening_flow(LINEAR_BELOW / 2.0, 2e-5, 0.5)[0] == pytest.approx(
        1e-5 * sqrt(LINEAR_BELOW), rel=1e-12
    )


def test_a_float_half_way_through_its_band_is_half_open() -> None:
    assert float_opening(0.95, 1.0, 0.1)[0] == pytest.approx(0.5)
    assert float_opening(1.0, 1.0, 0.1) == (0.0, 0.0)
    assert float_opening(0.5, 1.0, 0.1) == (1.0, 0.0)


def test_a_relief_valve_in_proportion() -> None:
    assert np.allclose(relief_flow(33.0, 30.0, 2e-4), (6e-4, 2e-4), rtol=1e-9)
    assert relief_flow(30.0, 30.0, 2e-4) == (0.0, 0.0)
