"""One step in time against closed forms, and the order in which it closes in on them."""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
import pytest

from labkit.engine.landing import _crossing
from labkit.engine.logbook import _crossed, _reached
from labkit.engine.network import Inputs, evaluate, held_water
from labkit.engine.step import Drive, make_step, take_step
from tests.engine.lines import line, plant_of

SHORT = {
    "trough__lane__pipe__length": "10 ft",
    "trough__lane__pipe__wave_speed": "50 m/s",
}
"""A pipe so short that both its nodes stand at one head, and so soft that it holds something."""
OFF = Drive(0.0, 0.0, 0.0, 0.0)


def left_alone(site: object, h0: float, V0: float, end: float, steps: int) -> tuple[float, float]:
    """Head at the manifold and water in the trough after some equal steps, pump off."""
    plant = plant_of(site)  # type: ignore[arg-type]
    n = plant.nodes.size
    h, V, drinking = np.full(n, h0), np.array([V0]), np.zeros(1)
    held = np.array([held_water(plant, i, h0)[0] for i in range(n)])
    step = make_step(plant)
    for _ in range(steps):
        evaluate(plant, h, Inputs(0.0, 0.0, drinking), held, V, 1.0, 0.0, 0.0, step.start)
        error = take_step(plant, step, h, held, V, OFF, drinking, end / steps, 1e-4)
        assert np.isfinite(error)
        h, held, V = step.h.copy(), step.held.copy(), step.V_trough.copy()
    return float(h[0]), float(V[0])


def test_fall_of_a_leaking_line_is_met_in_two_steps() -> None:
    """Source: C dh/dt = -k sqrt(h) by hand: sqrt(h) = sqrt(h0) - k t / (2 C). Head is a parabola in
    time, and a second-order step has no error on a parabola; what is left, 1e-5, is the pipe."""
    site = line(**SHORT, leaks=({"at": "manifold", "size": "0.05 gpm at 40 psi"},))
    plant = plant_of(site)
    C, k = float(plant.nodes.C.sum()), float(plant.leaks[0].k)
    h0, h1 = 28.0, 14.0
    end = 2.0 * C * (sqrt(h0) - sqrt(h1)) / k

    for steps in (2, 16):
        h, _ = left_alone(site, h0, float(plant.troughs[0].V_shut), end, steps)
        assert h == pytest.approx(h1, rel=1e-5)


def test_fall_through_a_soft_leak_converges_on_the_closed_form() -> None:
    """Source: C dh/dt = -k h (exponent 1) by hand: h = h0 exp(-k t / C)."""
    leak = {"at": "manifold", "size": "0.05 gpm at 40 psi", "exponent": 1.0}
    site = line(**SHORT, leaks=(leak,))
    plant = plant_of(site)
    C, k = float(plant.nodes.C.sum()), float(plant.leaks[0].k)
    end = 2.0 * C / k
    V_shut = float(plant.troughs[0].V_shut)

    errors = [abs(left_alone(site, 28.0, V_shut, end, n)[0] - 28.0 * exp(-2.0)) for n in (4, 8, 16)]

    assert errors[-1] < 0.01
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.2)  # second order
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.1)


def test_a_tank_gives_its_water_back_by_boyles_law() -> None:
    """Source: d(water)/dt = -q with water = V (1 - (p0 + pa) / (p + pa)). The time to a
    head is the integral of (dV/dh) / q, here by Simpson's rule."""
    site = line(
        **SHORT,
        pressure_tank={"volume": "5 gal", "precharge": "18 psi"},
        leaks=({"at": "manifold", "size": "0.2 gpm at 30 psi", "exponent": 0.4},),
    )
    plant = plant_of(site)
    leak = plant.leaks[0]
    V_shut = float(plant.troughs[0].V_shut)
    h0, h1 = 28.0, 15.0
    C = float(plant.nodes.C.sum())

    def seconds_a_metre(h: float) -> float:
        p = plant.weight * h + plant.p_air
        slope = plant.tank_volume * (plant.tank_precharge + plant.p_air) / p**2 * plant.weight
        return float((C + slope) / (leak.k * h**leak.n))

    heads = np.linspace(h1, h0, 2001)
    rates = np.array([seconds_a_metre(h) for h in heads])
    weights = np.full(2001, 2.0)
    weights[1::2], weights[0], weights[-1] = 4.0, 1.0, 1.0
    end = float((weights * rates).sum() * (heads[1] - heads[0]) / 3.0)

    errors = [abs(left_alone(site, h0, V_shut, end, n)[0] - h1) for n in (4, 8, 16)]

    assert errors[-1] < 2e-3
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.2)


def test_a_float_valve_closes_like_a_decaying_exponential() -> None:
    """Source: in its band dV/dt = q (V_shut - V) / V_band, q fixed by a head that a great
    tank holds: V_shut - V falls as exp(-q t / V_band)."""
    site = line(
        trough__lane__pipe__length="10 ft",
        trough__lane__float_valve={"flow": "0.5 gpm at 20 psi", "band": "0.5 in"},
        pressure_tank={"volume": "1000 gal", "precharge": "5 psi"},
    )
    plant = plant_of(site)
    trough = plant.troughs[0]
    h0 = 28.0
    V0 = float(trough.V_shut - 0.5 * trough.V_band)
    q = float(trough.valve_k) * sqrt(h0)
    end = 1.2 * float(trough.V_band) / q

    gaps = [float(trough.V_shut) - left_alone(site, h0, V0, end, n)[1] for n in (4, 8, 16)]

    wanted = 0.5 * float(trough.V_band) * exp(-1.2)
    assert gaps[-1] == pytest.approx(wanted, rel=2e-3)
    changes = [gaps[0] - gaps[1], gaps[1] - gaps[2]]
    assert changes[0] / changes[1] == pytest.approx(4.0, rel=0.25)


@pytest.mark.parametrize(("a", "b", "c"), [(1.0, 1.0, -1.0), (-1.0, 3.0, -1.0), (4.0, 1.0, -2.0)])
def test_a_landing_aims_where_a_parabola_crosses_zero(a: float, b: float, c: float) -> None:
    """Source: the first root of a t^2 + b t + c by the textbook; the middle stage at 2 - sqrt 2
    (Bank et al. 1985)."""
    gamma = 2.0 - sqrt(2.0)
    low, middle, high = (a * t * t + b * t + c for t in (0.0, gamma, 1.0))

    found = _crossing(low, middle, high)

    assert found == pytest.approx((-b + sqrt(b * b - 4.0 * a * c)) / (2.0 * a), rel=1e-12)


def test_what_happens_within_a_step_has_its_moment() -> None:
    """By hand: a step of 8 s that ends at 10 s begins at 2 s. From 3 to 7 a value comes to 4 after a
    quarter of it, at 4 s; at 0.5 a second it does after 2 s, at 4 s too. Never outside the step."""
    assert _crossed(3.0, 7.0, 4.0, 10.0, 8.0) == pytest.approx(4.0)
    assert _crossed(7.0, 3.0, 4.0, 10.0, 8.0) == pytest.approx(8.0)
    assert _reached(3.0, 0.5, 4.0, 10.0, 8.0) == pytest.approx(4.0)
    assert _reached(3.0, 0.1, 4.0, 10.0, 8.0) == pytest.approx(10.0)
    assert _crossed(3.0, 3.0, 3.0, 10.0, 8.0) == _reached(3.0, 0.0, 4.0, 10.0, 8.0) == 10.0
