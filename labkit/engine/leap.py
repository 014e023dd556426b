"""One explicit step in time, as long as a wave takes through a piece: a leap.

Where waves run to and fro all the time, as on a bare line, a step must be as short as a wave's way
through a piece of a run anyhow. There flows and heads are found in turn, half a step apart, and
only what does not wait for a wave stays implicit: pump, valves, leaks, runs without inertia. Such
a scheme carries a wave through equal pieces almost unbent, where an implicit one smears its front,
and a step costs a fifth: the flow along each run is known before the heads are sought, and most
heads with it. What is left to solve for are the few lively nodes.

References
----------
Flows and heads in turn (Verlet's method): Hairer, Lubich & Wanner 2003, Acta Numerica 12:399. The
longest step: Courant, Friedrichs & Lewy 1928, Math. Ann. 100:32. Both from memory.
"""

from typing import Final

import numpy as np

from labkit.compiled import compiled
from labkit.engine.network import Floats, Plant, Records, driving_heads, has_pocket
from labkit.engine.newton import solve
from labkit.engine.step import (
    D_STAGE,
    GAMMA,
    W_STAGE,
    Drive,
    Step,
    close_enough,
    inputs_at,
    take_step,
    wave_error,
)
from labkit.physics.pipe import pushed_flow

COURANT: Final = 0.8
"""Length of a leap in ways of a wave through the shortest piece. From 1 on it would blow up; from
0.85 on it still does where switchings cut many leaps short, for each of them stirs up shiver."""
_AFTER: Final = 0.6
"""Weight of a leap's end in what is implicit: a half would be exact to second order, but let a
short run ring; at 1 a peak of 10 psi comes out some 0.7 psi lower."""
_DAMPED: Final = 0.04
"""How much the shiver from node to node is damped, which steps of uneven length stir up. A wave as
long as the line loses a hundred thousandth in each leap."""
_CALM: Final = 0.02
"""Error of waves in a leap, as a share of the allowed, from where longer steps are tried."""
WORTH: Final = 3.0
"""Leaps for which one implicit step may do; a shorter one costs more than they."""


@compiled
def of_good_length(plant: Plant, dt: float) -> float:
    """Shorten a step of `dt` [s] to a leap where leaps cost less."""
    return min(dt, plant.beat) if dt < WORTH * plant.beat else dt


@compiled
def go(
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
    """Take one step, as `take_step` does: a leap where it is short enough for one."""
    if dt <= plant.beat:
        return leap(plant, step, h, held, V_trough, drive, drinking, dt, tolerance)
    return take_step(plant, step, h, held, V_trough, drive, drinking, dt, tolerance)


@compiled
def _push(plant: Plant, step: Step, h: Floats, flow: Records) -> None:
    """Leave in `q_rate` the head that drives each run with inertia [m], the shiver damped.

    What a node's rate has over the mean of its neighbors' holds against it, like a wall that yields
    and resists. Works in the fields `step` and `pivot`.
    """
    is_full = not has_pocket(plant, h)
    for i in range(h.size):
        flow[i].step = flow[i].pivot = 0.0
    for i in range(1, h.size):
        if plant.nodes[i].inertance > 0.0:
            node, up = flow[i], flow[plant.nodes[i].parent]
            apart = step.rate[i] - step.rate[plant.nodes[i].parent]
            node.step += apart
            up.step -= apart
            node.pivot += 1.0
            up.pivot += 1.0
    for i in range(1, h.size):
        if plant.nodes[i].inertance > 0.0:
            node, up = flow[i], flow[plant.nodes[i].parent]
            start, end = h[plant.nodes[i].parent], h[i]
            if not is_full:
                start, end = driving_heads(plant, i, h)
            shiver = up.step / up.pivot - node.step / node.pivot
            node.q_rate = start - end + _DAMPED * plant.beat * shiver


@compiled
def _set_going(plant: Plant, step: Step, h: Floats, dt: float, early: float) -> None:
    """Bring the flows along runs with inertia to the middle of a leap; let their water through."""
    a, b, c = step.start.nodes, step.middle.nodes, step.finish.nodes
    _push(plant, step, h, c)
    for i in range(1, h.size):
        run, flow = plant.nodes[i], c[i]
        flow.stands = 0.0
        if run.inertance > 0.0:
            b[i].q_rate = flow.q_rate
            flow.q, flow.lost = pushed_flow(
                flow.q_rate, 2.0 * run.inertance / dt, a[i].q, flow.lost, run.L, run.D, run.K,
                plant.wall, plant.nu, plant.law,
            )  # fmt: skip
            flow.stands = 1.0
            water = dt * flow.q - early * a[i].q
            step.held_stage[i] += water
            step.held_stage[run.parent] -= water


@compiled
def _settle(plant: Plant, step: Step) -> None:
    """Find the heads of nodes from the water they hold, where all flows are known by now.

    Where something lively is besides, the guess is as good as any.
    """
    for i in range(step.h.size):
        node, flow, held = plant.nodes[i], step.finish.nodes[i], step.held_stage[i]
        flow.net, flow.storage, step.h[i] = 0.0, node.C, held / node.C
        if step.h[i] < node.h_least:
            step.h[i] = (held + (node.S - node.C) * node.h_least) / node.S
            flow.storage = node.S


@compiled
def _catch_up(plant: Plant, step: Step, dt: float) -> None:
    """Bring the flows along runs with inertia from the middle of a leap to its end.

    Friction is that of the middle, which makes its mean over the leap right to second order.
    """
    a, b, c = step.start.nodes, step.middle.nodes, step.finish.nodes
    _push(plant, step, step.h, c)
    for i in range(1, step.h.size):
        run, flow = plant.nodes[i], c[i]
        if run.inertance > 0.0:
            drag = b[i].q_rate - 2.0 * run.inertance / dt * (flow.q - a[i].q)
            flow.q_rate = (flow.q_rate - drag) / run.inertance
            flow.q += 0.5 * dt * flow.q_rate
            flow.net += flow.q
            c[run.parent].net -= flow.q


@compiled
def _between(start: float, finish: float) -> float:
    """Flow at the middle stage with which a step's own weights add up to a leap's."""
    return ((1.0 - _AFTER - W_STAGE) * start + (_AFTER - D_STAGE) * finish) / W_STAGE


@compiled
def _fill_middle(step: Step, h: Floats, V_trough: Floats) -> None:
    """Leave the middle stage as whoever reads an implicit step expects to find it."""
    a, b, c = step.start, step.middle, step.finish
    for i in range(h.size):
        step.h_middle[i] = h[i] + GAMMA * (step.h[i] - h[i])
    for j in range(c.source.size):
        b.source[j] = _between(a.source[j], c.source[j])
    for j in range(c.leaks.size):
        b.leaks[j] = _between(a.leaks[j], c.leaks[j])
    for k in range(V_trough.size):
        x, y, z = a.troughs[k], b.troughs[k], c.troughs[k]
        step.V_middle[k] = V_trough[k] + GAMMA * (step.V_trough[k] - V_trough[k])
        y.inflow, y.drunk = _between(x.inflow, z.inflow), _between(x.drunk, z.drunk)
        y.overflow = _between(x.overflow, z.overflow)
        y.evaporated = _between(x.evaporated, z.evaporated)


@compiled
def leap(
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
    """Take one step of at most ``plant.beat``; all else as in `labkit.engine.step.take_step`.

    The error given back is never above 1, for no shorter step would do better: only how far from
    calm the line is.
    """
    n, a, c = h.size, step.start, step.finish
    early, late = (1.0 - _AFTER) * dt, _AFTER * dt
    for i in range(n):
        step.held_stage[i] = held[i] + early * a.nodes[i].net
    for k in range(V_trough.size):
        step.V_stage[k] = V_trough[k] + early * a.troughs[k].net
    _set_going(plant, step, h, dt, early)
    _settle(plant, step)
    for j in range(step.lively.among.size):
        i = step.lively.among[j]
        step.h[i] = h[i] + dt * step.rate[i]
    inputs, close = inputs_at(drive, drinking, dt), close_enough(plant, a, h, dt, tolerance)
    if not solve(
        plant, step.h, inputs, step.held_stage, step.V_stage, 1.0, late, late, close,
        step.lively, step.trial, 0 if has_pocket(plant, h) else 1,
    ):  # fmt: skip
        step.rate[:] = 0.0
        return np.inf
    for i in range(n):
        step.held[i] = step.held_stage[i] + late * c.nodes[i].net
        c.nodes[i].step = step.h[i] - h[i]
        step.rate[i] += ((step.h[i] - h[i]) / dt - step.rate[i]) * min(dt / plant.beat, 1.0)
        step.bend[i] = 0.0
    step.span[0] = dt
    for k in range(V_trough.size):
        step.V_trough[k] = step.V_stage[k] + late * c.troughs[k].net
    error = wave_error(plant, c.nodes, tolerance)[0]
    _catch_up(plant, step, dt)
    _fill_middle(step, h, V_trough)
    return error if error < _CALM else 1.0
