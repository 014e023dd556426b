"""Runs in pieces whose water has inertia: what cutting keeps, and closed forms of waves."""

from __future__ import annotations

from math import cos, exp, pi, sin, sqrt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from labkit import simulate
from labkit.engine.network import Inputs, evaluate, held_water, make_flows
from labkit.engine.pieces import cut_runs, in_pieces, travel_times
from labkit.engine.step import Drive, make_step, take_step
from labkit.sitefile import loads
from tests.customary import FOOT, INCH, PSI
from tests.engine.lines import line, plant_of
from tests.reference.test_time_integration import LINE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from labkit.engine.network import Floats, Plant

OFF = Drive(0.0, 0.0, 0.0, 0.0)


def whole_in_pieces(plant: Plant, parts: int) -> Plant:
    """Every run but a drop pipe in as many pieces, all with inertia."""
    counts = np.full(plant.nodes.size, parts)
    counts[: plant.gauge + 1] = 1
    return cut_runs(plant, counts, counts > 0)


def stepped(
    plant: Plant, h: Floats, q: Floats, lengths: Iterable[float], tolerance: float
) -> Iterator[tuple[Floats, Floats]]:
    """Heads and water held after each of some steps, the pump off and the floats shut."""
    held = np.array([held_water(plant, i, h[i])[0] for i in range(h.size)])
    V, drinking, step = (
        np.array(plant.troughs.V_shut),
        np.zeros(plant.troughs.size),
        make_step(plant),
    )
    for dt in lengths:
        step.start.nodes.q_start = q
        evaluate(plant, h, Inputs(0.0, 0.0, drinking), held, V, 1.0, 0.0, 0.0, step.start)
        assert np.isfinite(take_step(plant, step, h, held, V, OFF, drinking, dt, tolerance))
        h, held, q = step.h.copy(), step.held.copy(), step.finish.nodes.q.copy()
        yield h, held


def march(plant: Plant, h: Floats, q: Floats, end: float, steps: int) -> Floats:
    """Heads at every node after each of some equal steps."""
    lengths = [end / steps] * steps
    return np.array([h, *(heads for heads, _ in stepped(plant, h, q, lengths, 1e-5))])


def test_a_cut_line_is_the_same_line() -> None:
    """Nothing counts twice: lengths, fittings, storage and travel times add up, whatever is there."""
    leak = {"at": "north", "distance": "300 ft", "size": "0.2 gpm at 30 psi"}
    site = loads(LINE).changed(
        {"pump.drop_pipe": "1 in PE DR 9 IPS", "trough.north.pipe.fittings": 12.0,
         "pipe.tee.fittings": 30.0, "leak": [leak]}
    )  # fmt: skip
    plant = plant_of(site)

    cut = whole_in_pieces(plant, 5)

    assert cut.nodes.size == 2 + 5 * (plant.nodes.size - 2)
    for field in ("L", "K", "half", "C"):
        assert cut.nodes[field].sum() == pytest.approx(plant.nodes[field].sum(), rel=1e-12)
    assert travel_times(cut).sum() == pytest.approx(travel_times(plant).sum(), rel=1e-9)
    assert np.all(cut.nodes.parent < np.arange(cut.nodes.size))
    for field in ("z", "h_least", "D"):
        assert np.array_equal(cut.nodes[field][cut.own], plant.nodes[field])
    here, there = plant.nodes, cut.nodes
    for i in range(1, plant.nodes.size):
        first = cut.own[i - 1] + 1
        assert there[first].parent == cut.own[here[i].parent]
        assert there[first].z - there[there[first].parent].z == pytest.approx(
            (here[i].z - here[here[i].parent].z) / (cut.own[i] + 1 - first), abs=1e-12
        )
    assert np.array_equal(cut.own[plant.troughs.node], cut.troughs.node)
    assert np.array_equal(cut.own[plant.leaks.node], cut.leaks.node)
    assert cut.own[plant.gauge] == cut.gauge


def test_at_rest_in_time_pieces_carry_what_the_run_carries() -> None:
    """In a stage without end inertia counts for nothing: flows are those of friction alone."""
    plant = plant_of(loads(LINE).changed({"trough.north.pipe.fittings": 12.0}))
    cut = whole_in_pieces(plant, 4)
    h = np.array([40.0, 30.0, 22.0, 26.0])
    heads = np.interp(np.arange(cut.nodes.size), cut.own, h)
    for i in range(1, h.size):
        first = cut.own[i - 1] + 1
        heads[first : cut.own[i] + 1] = np.linspace(h[plant.nodes[i].parent], h[i], 5)[1:]

    flows = []
    for each, at in ((plant, h), (cut, heads)):
        room = make_flows(each)
        V = np.array(each.troughs.V_shut)
        evaluate(
            each, at, Inputs(0.0, 0.0, np.zeros(2)), np.zeros(at.size), V, 1.0, 1e12, 0.0, room
        )
        flows.append(room.nodes.q[each.own])
    assert flows[0][1:] == pytest.approx(flows[1][1:], rel=1e-6)
    assert min(flows[0][1:]) > 1e-4


def test_two_ends_of_one_piece_swing_as_a_damped_spring() -> None:
    """Source: with laminar friction ``r q``, a difference d of the heads of two nodes that store C
    each obeys d'' + (r/M) d' + 2 d/(C M) = 0, M = L/gA the inertance; of second order in the step."""
    L, D, nu = 400.0 * FOOT, 2.067 * INCH, 4e-5
    plant = plant_of(line())._replace(nu=nu)
    cut = whole_in_pieces(plant, 1)
    C, M = float(cut.nodes[0].C), L / (9.80665 * pi / 4.0 * D**2)
    r = 128.0 * nu * L / (pi * 9.80665 * D**4)
    decay, swing = r / (2.0 * M), sqrt(2.0 / (C * M) - (r / (2.0 * M)) ** 2)
    end = 1.5 * pi / swing
    wanted = 4.0 * exp(-decay * end) * (cos(swing * end) + decay / swing * sin(swing * end))

    errors = []
    for steps in (40, 80, 160):
        heads = march(cut, np.array([32.0, 28.0]), np.zeros(2), end, steps)[-1]
        errors.append(abs(heads[0] - heads[1] - wanted))
        assert heads.sum() == pytest.approx(60.0, rel=1e-9)

    assert errors[-1] < 5e-3 * abs(wanted)
    assert np.diff(np.log2(errors)) == pytest.approx([-2.0, -2.0], abs=0.15)


def test_water_brought_to_a_stop_rises_by_joukowskys_head() -> None:
    """Source: a v / g at the shut end of a pipe in which water runs, until news from its other end is
    there; 2 cm/s are laminar, and friction along the pipe comes to 0.6 % of it."""
    v, a = 0.02, 400.0
    plant = plant_of(line(trough__lane__pipe__wave_speed="400 m/s"))
    cut = whole_in_pieces(plant, 64)
    q = np.full(cut.nodes.size, v * pi / 4.0 * (2.067 * INCH) ** 2)
    passes = 400.0 * FOOT / a

    heads = march(cut, np.full(cut.nodes.size, 30.0), q, passes, 300)[:, -1]

    assert heads[60:270].mean() - 30.0 == pytest.approx(a * v / 9.80665, rel=0.02)


def test_after_a_step_of_any_length_a_node_holds_what_its_head_says() -> None:
    """A wave of a meter dies away in steps of up to hours. Water that a node then held too much would
    set off another out of nothing in the next short step; a hundredth of a psi is let pass."""
    cut = whole_in_pieces(plant_of(line()), 8)._replace(waves=50.0)
    h, lengths = np.full(cut.nodes.size, 30.0), (0.5, 5.0, 50.0, 500.0, 5000.0, 20_000.0)
    h[0] += 1.0

    for heads, held in stepped(cut, h, np.zeros(h.size), lengths, 2e-4):
        said = [held_water(cut, i, heads[i])[0] for i in range(h.size)]
        assert np.all(np.abs(held - said) <= 0.01 * PSI / cut.weight * cut.nodes.C)


def test_inertia_where_it_shows() -> None:
    """A few feet of pipe or a big tank need none; a mile does, with one piece for each share of the
    longest way; a stub beside it stays as it is."""
    tank = {"volume": "2 gal", "precharge": "18 psi"}
    assert in_pieces(near := plant_of(line(trough__lane__pipe__length="40 ft"))) is near
    assert in_pieces(held := plant_of(line(pressure_tank=tank))) is held

    mile = {"trough__lane__pipe__length": "5280 ft"}
    cut = in_pieces(plant_of(line(**mile, pressure_tank=tank)))
    assert (cut.nodes.size, cut.waves) == (9, 50.0)
    stub = {"at": "lane", "distance": "1 ft", "size": "0.1 gpm at 30 psi"}
    cut = in_pieces(plant_of(line(**mile, leaks=(stub,))))
    assert (cut.nodes.size, cut.waves) == (18, 5.0)
    assert cut.nodes.inertance[-1] == 0.0
    assert np.all(cut.nodes.inertance[1:-1] > 0.0)


def test_a_bare_line_of_short_runs_alone_runs_without_inertia() -> None:
    """Together they are long enough to be followed in leaps, but none alone takes a leap."""
    trunk, pipe = LINE.split("[[pipe]]")[0], '{{ from = "tee {k}", length = "30 ft", {size} }}'
    size = 'size = "1 1/4 in PE SIDR 15", rise = "0 ft"'
    for k in range(32):
        up = "manifold" if k == 0 else f"tee {k - 1}"
        trunk += f'[[pipe]]\nfrom = "{up}"\nto = "tee {k}"\nlength = "60 ft"\n'
        trunk += "\n".join(size.split(", ")) + "\n"
        trunk += f'[[trough]]\nname = "t{k}"\nvolume = "200 gal"\ndepth = "24 in"\n'
        trunk += (
            f'pipe = {pipe.format(k=k, size=size)}\nfloat_valve = {{ flow = "6 gpm at 20 psi" }}\n'
        )
    site = loads(trunk)
    whole = plant_of(site)

    assert in_pieces(whole) is whole
    assert simulate(site, "10 min", sun="800 W/m^2").measures().balance_error < 1e-6


def test_the_drop_pipe_stays_whole() -> None:
    site = line(trough__lane__pipe__length="5280 ft", pump__drop_pipe="1 in PE DR 9 IPS")

    cut = in_pieces(plant_of(site))

    assert cut.own[1] == cut.gauge == 1
    assert cut.nodes.inertance[1] == 0.0
    assert cut.nodes.size == 18
