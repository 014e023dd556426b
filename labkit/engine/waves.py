"""Pressure waves in a tree of runs, by the method of characteristics.

Along a line of slope ``dx/dt = a`` the equations of a water column reduce to

    dh + B dq + J(q) dx = 0,    B = a / (g A),

and along ``-a`` to the same with the sign of h turned. Each run is cut into reaches that a wave
crosses in one step, so both lines pass through points of the grid and nothing is interpolated.
Friction is quasi-steady, J(q) the run's own law spread evenly over its reaches (fittings too), and
taken as ``J(q_old) / q_old`` times the new flow, which is stable whatever the step, and of first
order: at a front it leaves out the friction of one reach.

Where the head would fall under the vapour limit it is held there and a pocket of vapour opens at
that point, grows by what flows away from it, and is filled to the last drop before the head rises.

References
----------
Wylie & Streeter 1993, Fluid Transients in Systems, chapters 3 (characteristics, junctions), 4
(valves, pumps) and 8 (discrete vapour pockets; they are known to give sharp false spikes of head
when many small ones shut at once).
"""

from typing import Final, NamedTuple

import numpy as np

from labkit.compiled import compiled
from labkit.engine.network import Floats, Integers, Plant, Records
from labkit.physics.pipe import drag

RUN: Final = np.dtype(
    [(name, "i8") for name in ("up", "first", "reaches")]
    + [(name, "f8") for name in ("B", "L", "D", "K")]
)
"""The run that ends at a node: the node it leaves, its first point and number of reaches (none for
a run too short to be cut), its impedance B [s/m2], and its pipe."""
POINT: Final = np.dtype(
    [
        (name, "f8")
        for name in (
            "h", "q_in", "q_out", "pocket", "h_vapour", "lowest", "highest",
            "down", "down_ease", "back", "back_ease",
        )
    ]
)  # fmt: skip
"""A point of the grid. Flows reaching and leaving it differ where there is a pocket [m3]. What it
sends down the run and back up it: a head [m], and a flow for each metre of head [m2/s]."""
JUNCTION: Final = np.dtype(
    [(name, "f8") for name in ("h", "pocket", "h_vapour", "arriving", "ease")]
)
"""A node: ``arriving - ease h`` flows in from its runs [m3/s]."""

# Places in `Net.state`.
CAP: Final = 0
"""Highest speed of the pump allowed now."""
TOLD: Final = 1
"""When the drive was told to stop [s]."""
SPEED_TOLD: Final = 2
"""Speed at that moment."""
TRIPPED: Final = 3
"""When the pressure reached the switch's cut-out [s]."""
LOCKED: Final = 4
"""When the torque limit or the low-water stop acted [s]."""
PUSHED: Final = 5
"""When the pump last pushed water up [s]."""
CHECK_K: Final = 6
"""What the check valve lets back now, as a flow coefficient [m3/s/m**0.5]."""

# Columns of a row, before the blocks of nodes (heads) and troughs (flows).
HEADS: Final = 7
"""Where the heads (n) begin; the flows into troughs (m) come behind them. The leading columns are
those of `network.Flows.source` (`PUMP`, `SPEED`, `BACK`, `RELIEF`, `SHUT_IN`), and these two."""
LEAKS: Final = 5
TANK: Final = 6

# Laws by which a float valve closes.
BY_AREA: Final = 0
BY_FLOW: Final = 1
BY_LEVEL: Final = 2


class Net(NamedTuple):
    """A plant cut into reaches, and all that changes as waves pass.

    `runs` and `nodes` (n,); `place` (n,) the node whose head a node has, its own unless its run is
    too short to be cut; `points` (k,); `flows` one row of history, `leaks` (j,) the flow of each
    leak [m3/s]; `opening` and `limit` (m,) how far each float valve is open and the most it passes
    [m3/s]; `state` as named above.
    """

    runs: Records
    nodes: Records
    place: Integers
    points: Records
    flows: Floats
    leaks: Floats
    opening: Floats
    limit: Floats
    state: Floats


class Cause(NamedTuple):
    """What sets off the waves.

    `power` [W] stays; `trough` closes within `closing_time` [s] (-1: none) by a `law`: its area as
    ``(1 - t / closing_time)**exponent``, its flow likewise from `q_start` [m3/s], or as its level
    rises. A drive told to stop runs down a full turn in `ramp_down` [s]; with a `coast` [s] the
    pump's inertia alone carries it on instead. The drive hears the switch only if it `heeds`. The
    check valve hangs open for `hangs` [s] after the pump's last push, and lets `open_k` back.
    """

    power: float
    trough: int = -1
    closing_time: float = 0.0
    law: int = BY_AREA
    exponent: float = 1.0
    q_start: float = 0.0
    ramp_down: float = 0.0
    coast: float = 0.0
    heeds: bool = False
    hangs: float = 0.0
    open_k: float = 0.0


@compiled
def send(plant: Plant, net: Net) -> None:
    """Let every point send its characteristics; its old flows are not needed after that."""
    points = net.points
    for i in range(1, net.runs.size):
        run = net.runs[i]
        if run.reaches == 0:
            continue
        for j in range(run.first, run.first + run.reaches + 1):
            point = points[j]
            lost = (
                drag(point.q_out, run.L, run.D, run.K, plant.wall, plant.nu, plant.law)
                / run.reaches
            )
            point.down = point.h + run.B * point.q_out
            point.down_ease = 1.0 / (run.B + lost)
            if point.q_in != point.q_out:
                lost = (
                    drag(point.q_in, run.L, run.D, run.K, plant.wall, plant.nu, plant.law)
                    / run.reaches
                )
            point.back = point.h - run.B * point.q_in
            point.back_ease = 1.0 / (run.B + lost)


@compiled
def meet(net: Net, dt: float) -> None:
    """Let the characteristics meet at the points within the runs."""
    points = net.points
    for i in range(1, net.runs.size):
        run = net.runs[i]
        for j in range(run.first + 1, run.first + run.reaches):
            point, before, after = points[j], points[j - 1], points[j + 1]
            into, out = before.down_ease, after.back_ease
            h = (into * before.down + out * after.back - point.pocket / dt) / (into + out)
            h = max(h, point.h_vapour)
            point.h = h
            point.q_in = into * (before.down - h)
            point.q_out = out * (h - after.back)
            point.pocket += dt * (point.q_out - point.q_in)
            if h > point.h_vapour:
                point.pocket = 0.0
