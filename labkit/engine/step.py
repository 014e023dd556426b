"""One implicit step in time: the trapezoidal rule, then a backward difference (TR-BDF2).

Second order, L-stable, with a third-order companion for the error. Written for the water that
nodes and troughs *hold*, not for heads, so that what flows in is found again to the last drop.

References
----------
Bank, Coughran, Fichtner, Grosse, Rose & Smith 1985, IEEE Trans. Electron Devices 32:1992;
coefficients and error estimate: Hosea & Shampine 1996, Appl. Numer. Math. 20:21, section 3.
"""

from math import sqrt
from typing import Final, NamedTuple

import numpy as np

from labkit.compiled import compiled
from labkit.engine.memory import ROW
from labkit.engine.network import (
    Floats,
    Flows,
    Inputs,
    Integers,
    Plant,
    Records,
    has_pocket,
    make_flows,
)
from labkit.engine.newton import solve, substitute
from labkit.physics import valve
from labkit.physics.pipe import LINEAR_BELOW

GAMMA: Final = 2.0 - sqrt(2.0)
"""Where the middle stage stands within the step."""
D_STAGE: Final = 0.5 * GAMMA
W_STAGE: Final = 0.25 * sqrt(2.0)
_E1: Final = (1.0 - W_STAGE) / 3.0 - W_STAGE
_E2: Final = (3.0 * W_STAGE + 1.0) / 3.0 - W_STAGE
_E3: Final = D_STAGE / 3.0 - D_STAGE

NEWTON: Final = 1e-3
"""Newton's error as a share of a step's; no water is lost by what it leaves over."""
_BANDS: Final = 0.3
"""Error allowed in a trough, in float bands, where the line is allowed a switch's differential."""
_LEFT_OVER: Final = 0.1
"""Share of the error allowed in a trough that Newton's own may make there. A wide open valve over a
tiny trough turns a hair of head into more water than that: the guess is taken for the answer, the
next is drawn from it, and the line creeps on at some ten microseconds a step."""
_REACH: Final = 3.0
"""How many times its own length a step's curve serves for guessing further on."""


STRAIGHT: Final = 0.005
"""How far a value may bend away from the straight line between rows: pressure in differentials."""


class Drive(NamedTuple):
    """How power and cap run within a step: values at its start and slopes [W, W/s, -, 1/s].

    `slack` says how much further than the tolerance heads may err meanwhile.
    """

    power: float
    power_slope: float
    cap: float
    cap_slope: float
    slack: float = 1.0


class Door(NamedTuple):
    """The straight lines from the last row kept that pass every row left out since.

    `allowed` is how far a value may lie from the line, `least` and `most` the slopes that pass,
    each (w,) for the columns of a row; `at` (1,) is the place of the row kept, and `left_out` (1,)
    how many rows were left out of the page.
    """

    allowed: Floats
    least: Floats
    most: Floats
    at: Integers
    left_out: Integers


class Step(NamedTuple):
    """Room for a step from `start` to `end`: heads (n,), water held (n,) and in troughs (m,).

    `start`, `middle` and `finish` are the flows at the three stages, `lively` those of `finish` at
    the nodes that must be solved for in a leap, all where none is taken; `h_middle` and `V_middle`
    (m,) heads and water in troughs at the second; `trial` is working room. `rate` [m/s] and `bend`
    [m/s2] (n,) draw the curve of heads from which stages are guessed, ``h + rate t + bend t**2``;
    it was seen over `span` (1,) [s]. What is left out between two rows is in `door`, see
    `labkit.engine.logbook.thin`.
    """

    start: Flows
    middle: Flows
    finish: Flows
    lively: Flows
    h: Floats
    h_middle: Floats
    held: Floats
    V_trough: Floats
    held_stage: Floats
    V_stage: Floats
    trial: Floats
    V_middle: Floats
    rate: Floats
    bend: Floats
    span: Floats
    door: Door


def make_step(plant: Plant) -> Step:
    """Make room for steps of a plant."""
    n, m = plant.nodes.size, plant.troughs.size
    finish, allowed = make_flows(plant), _allowed(plant)
    lively = finish._replace(among=lively_nodes(plant)) if plant.beat > 0.0 else finish
    door = Door(
        allowed, np.zeros(allowed.size), np.zeros(allowed.size), np.array([0]), np.array([0])
    )
    return Step(
        make_flows(plant), make_flows(plant), finish, lively,
        np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(m), np.zeros(n), np.zeros(m), np.zeros(n),
        np.zeros(m), np.zeros(n), np.zeros(n), np.zeros(1), door,
    )  # fmt: skip


def _allowed(plant: Plant) -> Floats:
    """Return how far each column of a row may lie from a straight line between two others."""
    n, m = plant.own.size, plant.troughs.size
    curve, line = plant.centrifugal, plant.displacement
    flow = line.displaced if plant.is_displacement else curve.rated_flow
    bands = plant.troughs.V_band
    leading = dict.fromkeys(ROW, 0.0) | dict.fromkeys(
        ("pump_flow", "returned_flow", "relief_flow", "leak_flow"), STRAIGHT * flow
    )
    leading |= {"power": 1.0, "speed": STRAIGHT, "tank_water": STRAIGHT * plant.tank_volume}
    head = STRAIGHT * (plant.p_cut_out - plant.p_cut_in) / plant.weight
    return np.concatenate(
        (
            list(leading.values()), np.full(n, head), STRAIGHT * bands,
            np.full(m, STRAIGHT * flow), np.full(m, STRAIGHT), np.full(m, STRAIGHT * flow),
        )
    )  # fmt: skip


def lively_nodes(plant: Plant) -> Integers:
    """Return the nodes with what does not wait for a wave: pump, valve, leak, light run."""
    light = np.flatnonzero(plant.nodes.inertance[1:] == 0.0) + 1
    ends = (light, plant.nodes.parent[light], plant.troughs.node, plant.leaks.node)
    return np.unique(np.concatenate(([0, plant.gauge], *ends))).astype(np.int64)


@compiled
def inputs_at(drive: Drive, drinking: Floats, elapsed: float) -> Inputs:
    """Power, cap and drinking a while [s] into a step; none is ever negative."""
    return Inputs(
        max(drive.power + drive.power_slope * elapsed, 0.0),
        min(max(drive.cap + drive.cap_slope * elapsed, 0.0), 1.0),
        drinking,
    )


@compiled
def _guess_middle(step: Step, h: Floats, elapsed: float) -> None:
    """Guess the heads at the middle stage from the curve of the step before."""
    straight = 1.0 if elapsed <= _REACH * step.span[0] else 0.0
    for i in range(h.size):
        step.h_middle[i] = h[i] + straight * elapsed * (step.rate[i] + elapsed * step.bend[i])


@compiled
def _guess_finish(step: Step, h: Floats, dt: float) -> None:
    """Guess the heads at the end from the middle stage and the bend of the step before."""
    bent = 1.0 if dt <= _REACH * step.span[0] else 0.0
    for i in range(h.size):
        rate = (step.h_middle[i] - h[i]) / (GAMMA * dt)
        step.h[i] = h[i] + dt * (rate + bent * (1.0 - GAMMA) * dt * step.bend[i])


@compiled
def _draw_curve(step: Step, h: Floats, dt: float) -> None:
    """Draw the curve through the three stages of a step, to guess by."""
    step.span[0] = dt
    for i in range(h.size):
        early = (step.h_middle[i] - h[i]) / (GAMMA * dt)
        step.bend[i] = ((step.h[i] - h[i]) / dt - early) / ((1.0 - GAMMA) * dt)
        step.rate[i] = early - GAMMA * dt * step.bend[i]


@compiled
def go_on(step: Step, dt: float) -> None:
    """Let the curve of heads begin where an accepted step of `dt` [s] ends."""
    for i in range(step.h.size):
        step.rate[i] += 2.0 * dt * step.bend[i]


@compiled
def wave_error(plant: Plant, flow: Records, tolerance: float) -> tuple[float, float]:
    """Return how far nodes' `step` is from their mean by water, over that allowed; the mean."""
    taken, storage = 0.0, 0.0
    for i in range(flow.size):
        taken += flow[i].storage * flow[i].step
        storage += flow[i].storage
    mean = taken / storage
    allowed = plant.waves * tolerance * (plant.p_cut_out - plant.p_cut_in) / plant.weight
    worst = 0.0
    for i in range(flow.size):
        worst = max(worst, abs(flow[i].step - mean) / allowed)
    return worst, mean


@compiled
def _error_of_heads(plant: Plant, step: Step, dt: float, scale: float, tolerance: float) -> float:
    """Estimate a step's error in heads over what is allowed: `scale` [m] for the line as a whole.

    Where runs have inertia, waves run to and fro about the mean head of the water held. They have a
    tolerance of their own, without slack: held to the line's, a step would follow each wave until
    it has died away, though none of them moves the moment of a switching by anything that counts.
    """
    a, b, c = step.start.nodes, step.middle.nodes, step.finish.nodes
    for i in range(c.size):
        c[i].step = dt * (_E1 * a[i].net + _E2 * b[i].net + _E3 * c[i].net)
    if plant.waves == 0.0:
        substitute(plant.nodes, step.finish)
        error = 0.0
        for i in range(c.size):
            error = max(error, abs(c[i].step) / scale)
        return error
    for i in range(1, c.size):
        if plant.nodes[i].inertance > 0.0:  # the gap of a run's flow, shared out to its ends
            gap = dt * (_E1 * a[i].q_rate + _E2 * b[i].q_rate + _E3 * c[i].q_rate)
            gap *= plant.nodes[i].inertance * c[i].slope
            c[i].step += gap
            c[plant.nodes[i].parent].step -= gap
    substitute(plant.nodes, step.finish)
    error, mean = wave_error(plant, c, tolerance)
    return max(error, abs(mean) / scale)


@compiled
def close_enough(plant: Plant, flows: Flows, h: Floats, dt: float, tolerance: float) -> float:
    """Return the head [m] that Newton may leave over, less where a trough minds.

    `flows` and `h` are those where the step of `dt` [s] begins.
    """
    allowed = tolerance * (plant.p_cut_out - plant.p_cut_in) / plant.weight
    close = whole = NEWTON * allowed * max(plant.waves, 1.0)
    for k in range(flows.troughs.size):
        trough = plant.troughs[k]
        over = h[trough.node] - plant.nodes[trough.node].z
        if over < -whole:  # its water stands under the valve: none comes, whatever is left over
            continue
        over = max(over, LINEAR_BELOW)
        k_open = trough.valve_k * flows.troughs[k].opening + trough.seat_k
        forced = trough.valve_k * valve.forced_opening(over, trough.hold_h)[1]
        steep = 0.5 * k_open / sqrt(over) + forced * sqrt(over)
        if steep > 0.0:
            water = _LEFT_OVER * _BANDS * tolerance * trough.V_band
            close = min(close, water / (steep * dt))
    return float(close)


@compiled
def take_step(
    plant: Plant,
    step: Step,
    h: Floats,
    held: Floats,
    V_trough: Floats,
    drive: Drive,
    drinking: Floats,
    dt: float,
    tolerance: float,
) -> float:
    """Take one step of `dt` [s] from heads `h`, water `held` and `V_trough`.

    ``step.start`` must hold the flows where the step begins. The end of the step is left in
    `step`: ``h``, ``held``, ``V_trough`` and the flows ``finish``. Flows along runs that have
    inertia go on from those in ``step.start``.

    Returns
    -------
    float
        Estimated error over `tolerance`: at most 1 for a good step, infinite if no solution came.
        The tolerance is a share of the switch's differential, for troughs of a third of a band.
    """
    tau = D_STAGE * dt
    a, b, c = step.start, step.middle, step.finish
    n, m = h.size, V_trough.size
    scale = drive.slack * tolerance * (plant.p_cut_out - plant.p_cut_in) / plant.weight
    is_full = 0 if has_pocket(plant, h) else 1
    _guess_middle(step, h, GAMMA * dt)
    for i in range(n):
        step.held_stage[i] = held[i] + tau * a.nodes[i].net
        b.nodes[i].stands = c.nodes[i].stands = 0.0
        b.nodes[i].q_start = a.nodes[i].q + tau * a.nodes[i].q_rate
    for k in range(m):
        step.V_stage[k] = V_trough[k] + tau * a.troughs[k].net
    inputs = inputs_at(drive, drinking, GAMMA * dt)
    close = close_enough(plant, a, h, dt, tolerance)
    if not solve(
        plant, step.h_middle, inputs, step.held_stage, step.V_stage, 1.0, tau, tau,
        close, b, step.trial, is_full,
    ):  # fmt: skip
        step.span[0] = 0.0
        return np.inf
    is_full = 0 if has_pocket(plant, step.h_middle) else is_full
    _guess_finish(step, h, dt)
    for i in range(n):
        step.held_stage[i] = held[i] + W_STAGE * dt * (a.nodes[i].net + b.nodes[i].net)
        c.nodes[i].q_start = a.nodes[i].q + W_STAGE * dt * (a.nodes[i].q_rate + b.nodes[i].q_rate)
    for k in range(m):
        step.V_middle[k] = step.V_stage[k] + tau * b.troughs[k].net
        step.V_stage[k] = V_trough[k] + W_STAGE * dt * (a.troughs[k].net + b.troughs[k].net)
    inputs = inputs_at(drive, drinking, dt)
    if not solve(
        plant, step.h, inputs, step.held_stage, step.V_stage, 1.0, tau, tau,
        close, c, step.trial, is_full,
    ):  # fmt: skip
        step.span[0] = 0.0
        return np.inf
    _draw_curve(step, h, dt)
    for i in range(n):
        step.held[i] = step.held_stage[i] + tau * c.nodes[i].net
    error = _error_of_heads(plant, step, dt, scale, tolerance)
    for k in range(m):
        step.V_trough[k] = step.V_stage[k] + tau * c.troughs[k].net
        gap = dt * (_E1 * a.troughs[k].net + _E2 * b.troughs[k].net + _E3 * c.troughs[k].net)
        gap /= 1.0 - tau * c.troughs[k].slope
        error = max(error, abs(gap) / (_BANDS * tolerance * plant.troughs[k].V_band))
    return error


@compiled
def weighed(start: float, middle: float, finish: float) -> float:
    """Mean of a flow over a step [m3/s], with the step's own weights."""
    return W_STAGE * (start + middle) + D_STAGE * finish
