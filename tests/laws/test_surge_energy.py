"""Energy of waves in any tree of pipes: kept without friction, never gained with it."""

from __future__ import annotations

from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING, Any

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from labkit.engine.network import LEAK, records
from labkit.engine.plant import make_plant
from labkit.engine.reaches import cut, lay
from labkit.engine.surge import follow
from labkit.engine.waves import CAP, CHECK_K, Cause
from labkit.physics import GRAVITY
from labkit.physics.pipe import GIVEN_FACTOR, area
from labkit.sitefile import loads
from tests.laws.working import working_sites
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit.engine.network import Plant
    from labkit.engine.reaches import Cut
    from labkit.engine.waves import Net

DEEP = 2000.0
"""Head [m] of the resting line, under which no pocket of vapour opens."""


def closed(plant: Plant, *, friction: bool) -> Plant:
    """Take away all that lets water in or out of the pipes, and the friction if so wished."""
    plant.troughs.valve_k = 0.0
    plant.troughs.seat_k = 0.0
    plant.troughs.hold_h = 1e9
    if not friction:
        plant.nodes.K = 0.0
        plant = plant._replace(law=GIVEN_FACTOR, wall=0.0)
    return plant._replace(leaks=records(0, LEAK), tank_volume=0.0, relief_h=inf, check_k=0.0)


def energy(plant: Plant, net: Net, pieces: Cut) -> float:
    """Sum over all pipes of ``q**2 / (2 g A) + g A h**2 / (2 a**2)`` [m4], ends counted half."""
    total = 0.0
    for i in range(1, plant.nodes.size):
        run = net.runs[i]
        if run.reaches == 0:
            continue
        points: Any = net.points[run.first : run.first + run.reaches + 1]
        A, a = area(run.D), pieces.used[i]
        each = points.q_in**2 / (2.0 * GRAVITY * A)
        each = each + GRAVITY * A * (points.h - DEEP) ** 2 / (2.0 * a * a)
        total += float(np.trapezoid(each)) * run.L / run.reaches
    return total


@given(
    text=working_sites(),
    friction=st.booleans(),
    where=st.floats(0.0, 1.0),
    height=st.floats(1.0, 80.0),
    q=st.floats(-5e-4, 5e-4),
)
@tried(0.3)
def test_energy_is_kept_or_lost_but_never_gained(
    text: str, friction: bool, where: float, height: float, q: float
) -> None:
    """Source: ``dE/dt = -sum of q J(q) dx`` over the pipes; nothing else takes or gives there, and
    tees and dead ends throw back or hand on all they get."""
    site = loads(text)
    plant, _ = make_plant(site)
    plant = closed(plant, friction=friction)
    pieces = cut(site, plant, reaches=30)
    net = lay(plant, pieces, np.full(plant.nodes.size, DEEP))
    net.state[CAP], net.state[CHECK_K] = 0.0, 0.0
    longest = int(pieces.reaches.argmax())
    run = net.runs[longest]
    j = run.first + 1 + round(where * (run.reaches - 2))
    net.points[j].h += height
    net.points[j].q_in = net.points[j].q_out = q

    found = [energy(plant, net, pieces)]
    for _ in range(6):
        follow(plant, net, Cause(power=0.0), pieces.dt, 23)
        found.append(energy(plant, net, pieces))

    rounding = 1e-9 * found[0]
    assert all(after <= before + rounding for before, after in pairwise(found))
    if not friction:
        assert found[-1] >= found[0] - rounding
    elif q != 0.0:
        assert found[-1] < found[0]
