"""Leaps: a wave in a bare line shut at both ends, against the wave equation.

Source: d'Alembert. A head that stands like half a cosine along a shut pipe swings with the period
2 L / a; laminar friction takes it away by exp(-16 nu t / D**2) (half of Poiseuille's 32, for the
water moves but half of the time).
"""

from __future__ import annotations

from math import cos, exp, pi

import numpy as np
import pytest

from labkit.engine.leap import go
from labkit.engine.network import Inputs, Plant, evaluate, held_water
from labkit.engine.pieces import BARE, in_pieces, travel_times
from labkit.engine.step import Drive, Step, make_step
from tests.engine.lines import line, plant_of

OFF = Drive(0.0, 0.0, 0.0, 0.0)
STANDS, SWINGS = 20.0, 0.5


def swung(plant: Plant, steps: list[float]) -> Step:
    """Let half a cosine go, and give the last of some steps [s]."""
    n, V, drinking = plant.nodes.size, np.array(plant.troughs.V_shut), np.zeros(1)
    h = STANDS + SWINGS * np.cos(pi * np.arange(n) / (n - 1))
    held = np.array([held_water(plant, i, h[i])[0] for i in range(n)])
    step = make_step(plant)
    evaluate(plant, h, Inputs(0.0, 0.0, drinking), held, V, 1.0, 0.0, 0.0, step.start)
    water = held.sum()
    for dt in steps:
        assert go(plant, step, h, held, V, OFF, drinking, dt, 2e-4) <= 1.0
        h, held, V = step.h.copy(), step.held.copy(), step.V_trough.copy()
        for name in ("net", "q", "q_rate"):
            step.start.nodes[name] = step.finish.nodes[name]
    assert held.sum() == pytest.approx(water, abs=1e-15)
    return step


@pytest.fixture(scope="module")
def plant() -> Plant:
    return in_pieces(plant_of(line(trough__lane__pipe__length="1500 ft")))


def test_a_bare_line_goes_in_leaps(plant: Plant) -> None:
    assert plant.nodes.size == BARE[0] + 1
    assert 0.0 < plant.beat < travel_times(plant)[1]


@pytest.mark.parametrize("share", [1.0, 0.3])
def test_a_wave_comes_back_as_it_went(plant: Plant, share: float) -> None:
    """After five times out and back, the phase right to half a percent of a round."""
    L_a = float(travel_times(plant).sum())
    dt = share * plant.beat
    steps = round(10.0 * L_a / dt)

    h = swung(plant, [dt] * steps).h

    fades = exp(-16.0 * plant.nu * steps * dt / plant.nodes[1].D ** 2)
    wanted = SWINGS * fades * cos(pi * steps * dt / L_a)
    assert h[0] - STANDS == pytest.approx(wanted, abs=0.02 * SWINGS)
    assert h[-1] - STANDS == pytest.approx(-wanted, abs=0.02 * SWINGS)


@pytest.mark.parametrize("shares", [(1.0, 1.0, 1.0, 0.4, 0.05), (1.0, 1.0, 0.5, 0.2, 1e-3, 1e-6)])
def test_steps_of_uneven_length_stir_up_no_shiver(plant: Plant, shares: tuple[float, ...]) -> None:
    """Switchings cut leaps short: undamped, a shiver from node to node would grow without end."""
    rng = np.random.default_rng(5)
    steps = [float(share * plant.beat) for share in rng.choice(shares, 3000)]

    h = swung(plant, steps).h

    across = np.diff(h, 2)
    assert np.abs(across).max() < 0.2 * SWINGS
