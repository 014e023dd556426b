"""Pressure waves in pipes: friction, one column of water, tees and dead ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import labkit as lab
from labkit.engine.demand import shaft_power
from labkit.engine.plant import make_plant
from labkit.engine.reaches import cut, lay
from labkit.engine.surge import follow, surge
from labkit.engine.waves import HEADS, Cause
from labkit.physics import GRAVITY
from labkit.physics.pipe import (
    DARCY_WEISBACH,
    GIVEN_FACTOR,
    HAZEN_WILLIAMS,
    drag,
    run_flow,
)
from labkit.sitefile import loads
from labkit.sun import as_sun
from tests.column import A, column
from tests.customary import GPM

if TYPE_CHECKING:
    from labkit.site import Site

FULL_SUN = "1000 W/m^2"
NOTHING = Cause(power=0.0)


# --- friction


@given(
    q=st.floats(-2e-3, 2e-3),
    D=st.floats(0.02, 0.06),
    L=st.floats(10.0, 1500.0),
    K=st.sampled_from([0.0, 12.0]),
    law=st.sampled_from([DARCY_WEISBACH, HAZEN_WILLIAMS]),
)
def test_drag_is_the_line_s_own_friction(q: float, D: float, L: float, K: float, law: int) -> None:
    """What the steady line loses, the wave loses."""
    wall = 150.0 if law == HAZEN_WILLIAMS else 1.5e-6
    nu = 1.2e-6

    lost = q * drag(q, L, D, K, wall, nu, law)

    assert run_flow(lost, L, D, K, wall, nu, law)[0] == pytest.approx(q, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("friction", ["Darcy-Weisbach", "Hazen-Williams"])
def test_a_line_to_which_nothing_happens_stays_as_it_is(three: Site, friction: str) -> None:
    """Heads of the steady residual, friction of the waves: one law, or they would drift apart."""
    site = three.changed(
        {"friction": friction, "pressure_tank": None, "trough.creek.pipe.fittings": 40.0}
    )
    plant, layout = make_plant(site)
    start = lab.steady(site, sun=FULL_SUN)
    pieces = cut(site, plant, reaches=40)
    net = lay(plant, pieces, np.array([start.head[name] for name in layout.names]))
    net.opening[:] = 1.0
    power = float(shaft_power(site, as_sun(FULL_SUN, site))[0])

    rows = follow(plant, net, NOTHING._replace(power=power), pieces.dt, 500).rows

    assert rows[0, 0] == pytest.approx(start.pump_flow, rel=1e-6)
    assert np.ptp(rows, axis=0)[HEADS : HEADS + 7].max() < 1e-5
    assert rows[-1, -3:] == pytest.approx(list(start.inflow.values()), rel=1e-4, abs=1e-12)


# --- one column of water


def test_a_wave_without_friction_comes_back_every_four_lengths() -> None:
    """Source: closed form, period 4 L / a = 6 s; nothing is lost."""
    run = column(duration=18.0)

    assert run.head[81:241] == pytest.approx(run.head[1:161], abs=1e-3)
    assert run.flow[1:] == pytest.approx(0.0, abs=1e-15)


def test_energy_between_two_dead_ends_stays() -> None:
    """Source: sum of A (v**2 / g + g h**2 / a**2) / 2 over the line, closed at both ends at once;
    exact for the characteristics when the end points count half."""
    run = column(h0=200.0, reservoir=0.0, duration=0.015, reaches=100)
    points = run.net.points
    energies = []
    for _ in range(5):
        h, q = points.h - 200.0, points.q_in
        each = (q / A) ** 2 / GRAVITY + GRAVITY * h**2 / 400.0**2
        energies.append(float(np.trapezoid(each)))
        follow(run.plant, run.net, NOTHING, run.pieces.dt, 37)

    assert energies[0] > 0.0
    assert energies == pytest.approx([energies[0]] * 5, rel=1e-9)


def test_closing_within_the_critical_time_is_as_bad_as_at_once() -> None:
    """Source: critical closure 2 L / a = 3 s: the wave comes back too late to help."""
    rises = {t: column(closing_time=t, duration=8.0).rise for t in (0.0, 2.99, 3.6)}

    assert rises[2.99] == pytest.approx(rises[0.0], rel=1e-4)
    assert rises[3.6] == pytest.approx(rises[0.0] * 3.0 / 3.6, rel=1e-4)


def test_a_pocket_of_vapour_grows_as_by_hand() -> None:
    """Source: Wylie & Streeter, chapter 8, by hand. When the wave is back at the shut valve, at
    2 L / a, the head there cannot fall to h0 - a v / g; it stays at the vapour limit hv, and the
    column leaves the valve at ``v - g (h0 - hv) / a`` for another 2 L / a, then slower by twice the
    last term."""
    h0, v = 20.0, 2.0
    run = column(h0=h0, v=v, duration=6.0 + 1e-6)
    hv = run.plant.nodes.h_least[1]
    brake = GRAVITY * (h0 - hv) / 400.0

    def pocket(duration: float) -> float:
        return float(column(h0=h0, v=v, duration=duration).net.nodes.pocket[1])

    step = 600.0 / 400.0 / 20
    assert run.head.min() == pytest.approx(hv, abs=1e-9)
    assert pocket(6.0) == pytest.approx(A * (v - brake) * 3.0, rel=2.0 * step / 3.0)
    assert pocket(9.0) == pytest.approx(A * (2.0 * v - 4.0 * brake) * 3.0, rel=4.0 * step / 3.0)


# --- trees

FORK = """
title = "Fork"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "0 ft" }
well = { static_level = "60 ft", intake_depth = "110 ft" }
array = { rated_power = "600 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "15 psi", cut_out = "30 psi" }
pump = { kind = "centrifugal", shut_off_head = "190 ft", rated_flow = "7 gpm", rated_head = "130 ft" }
[[pipe]]
from = "manifold"
to = "tee"
length = "600 m"
size = "1 1/4 in PE SIDR 15"
inside_diameter = "40 mm"
wave_speed = "300 m/s"
rise = "0 ft"
[[trough]]
name = "near"
volume = "300 gal"
depth = "24 in"
pipe = { from = "tee", length = "200 m", size = "1 1/4 in PE SIDR 15", rise = "0 ft", inside_diameter = "30 mm", wave_speed = "400 m/s" }
float_valve = { flow = "6 gpm at 20 psi" }
[[trough]]
name = "far"
volume = "300 gal"
depth = "24 in"
pipe = { from = "tee", length = "500 m", size = "1 1/4 in PE SIDR 15", rise = "0 ft", inside_diameter = "25 mm", wave_speed = "500 m/s" }
float_valve = { flow = "6 gpm at 20 psi" }
"""


def test_what_a_tee_lets_through_and_throws_back() -> None:
    """Source: closed form (Wylie & Streeter, chapter 3): of a wave that reaches a junction from run
    1 a share ``s = 2 (A1 / a1) / sum(A / a)`` goes on, ``s - 1`` goes back; at a dead end it
    doubles."""
    site = loads(FORK)
    plant, layout = make_plant(site)
    plant = plant._replace(
        law=GIVEN_FACTOR, wall=0.0, tank_volume=1e5, tank_precharge=0.0, tank_exponent=1.0
    )
    pieces = cut(site, plant, reaches=100)
    net = lay(plant, pieces, np.full(4, 100.0))
    near = layout.names.index("near")
    here = net.runs[near]
    q = 3e-4
    for i in (layout.names.index("tee"), near):
        first = net.runs[i].first
        points: Any = net.points[first : first + net.runs[i].reaches + 1]
        points.q_in = points.q_out = q
    net.opening[layout.troughs.index("near")] = 1.0
    plant.troughs.valve_k[layout.troughs.index("near")] = q / 10.0
    cause = NOTHING._replace(trough=layout.troughs.index("near"))
    assert pieces.used[1:] == pytest.approx([300.0, 400.0, 500.0], rel=1e-9)

    history = follow(plant, net, cause, pieces.dt, round(1.7 / pieces.dt))

    area = {
        name: np.pi / 4.0 * d * d for name, d in (("tee", 0.04), ("near", 0.03), ("far", 0.025))
    }
    shares = {"tee": area["tee"] / 300.0, "near": area["near"] / 400.0, "far": area["far"] / 500.0}
    wave = 400.0 * q / area["near"] / GRAVITY
    s = 2.0 * shares["near"] / sum(shares.values())

    def head(name: str, time: float) -> float:
        row = history.rows[round(time / pieces.dt)]
        return float(row[HEADS + layout.names.index(name)]) - 100.0

    assert head("near", 0.9) == pytest.approx(wave, rel=1e-6)
    assert head("tee", 0.4) == pytest.approx(0.0, abs=1e-9)
    assert head("tee", 0.6) == pytest.approx(s * wave, rel=1e-6)
    assert head("near", 1.1) == pytest.approx((1.0 + 2.0 * (s - 1.0)) * wave, rel=1e-6)
    assert head("far", 1.4) == pytest.approx(0.0, abs=1e-9)
    assert head("far", 1.6) == pytest.approx(2.0 * s * wave, rel=1e-6)
    assert here.reaches == pieces.reaches[near]


def test_runs_are_cut_whole_and_what_that_changes_is_told(three: Site) -> None:
    found = surge(three, duration="0.1 s")

    for run in found.runs:
        length = abs(run.distance[-1] - run.distance[0])
        assert run.wave_speed_used * found.dt * run.reaches == pytest.approx(length, rel=1e-9)
        assert run.distance.size == run.reaches + 1
        assert abs(run.adjustment) < 0.01
        assert run.adjustment == pytest.approx(run.wave_speed_used / run.wave_speed - 1.0)


def test_a_run_too_short_to_cut_is_told() -> None:
    site = lab.demo_site("one_trough").changed(
        {"leaks": ({"at": "lane", "distance": "1 ft", "size": "0.5 gpm at 20 psi"},)}
    )
    found = surge(site, reaches=20, duration="5 s")

    assert any("run to lane is" in flag for flag in found.flags)
    assert found.balance.leaked / 5.0 == pytest.approx(0.5 * GPM, rel=0.6)
