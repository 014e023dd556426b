"""Time: steps that land on every switching, and rows of what happened."""

from math import inf, sqrt
from typing import Final

from labkit.compiled import compiled
from labkit.engine.drive import CHECK, WATCHED, is_turning, next_change, settle, signal
from labkit.engine.landing import aim, land
from labkit.engine.leap import go, of_good_length
from labkit.engine.logbook import (
    SHUT_UNDER,
    add_up,
    keep,
    notice,
    put,
    put_flows,
    record,
    thin,
)
from labkit.engine.memory import (
    AIR,
    CAP,
    CAP_SLOPE,
    CONTACT,
    EVENTS,
    FIRST_STEP,
    FRESH,
    LIFTED,
    OPEN,
    ROWS,
    SEGMENT,
    STARTED,
    STATE,
    STEP,
    STOPPING,
    SWITCHED,
    TIME,
    Inputs,
    Memory,
)
from labkit.engine.network import Floats, Flows, Plant, evaluate, held_water
from labkit.engine.signals import begin_sensing, loop_closed
from labkit.engine.step import STRAIGHT, Door, Drive, Step, go_on, inputs_at
from labkit.engine.trough import let_in

DONE: Final = 0
"""The run has reached its end."""
FULL: Final = 1
"""The room for rows or events is used up; call again."""
STUCK: Final = 2
"""No step, however short, could be solved."""

_SHORTEST: Final = 1e-9
_FINE: Final = 1e-6
"""Step [s] so short that its error no longer counts: what a foot of stiff pipe does within it has
gone by its end, for the method damps it (L-stable)."""
_GROWS: Final = 8.0
"""How many times longer the next step may be, unless this one had to be tried again."""
_SLACK_UP: Final = 2.0
"""Slack while the pump pushes up: its curve pulls errors back, and the cut-out is passed fast."""
_SLACK_STILL: Final = 0.125
"""Slack while the pump stands: a slow fall turns every error of pressure into much time."""
_HALVES: Final = 60
"""How often a stretch of heads is halved: to the last bit."""
_EVENTS_A_STEP: Final = 24
"""Events that the wellhead may bring in one step, and troughs and sensors three each."""


@compiled
def begin(plant: Plant, memory: Memory) -> None:
    """Take stock of a line at rest: the water held, and how switch and sensors stand."""
    for i in range(memory.h.size):
        memory.held[i], _ = held_water(plant, i, memory.h[i])
    for k in range(memory.V_trough.size):
        if memory.seen[k] & AIR:
            i = plant.troughs[k].node
            memory.held[i] -= let_in(plant.troughs[k], plant.nodes[i], memory.h[i])[0]
    g = plant.gauge
    p = plant.weight * (memory.h[g] - plant.nodes[g].z)
    memory.whole[SWITCHED] = 1 if p >= plant.p_cut_out else 0
    memory.whole[FRESH] = 1
    begin_sensing(plant, memory)
    memory.whole[CONTACT] = 1 if loop_closed(plant, memory) else 0
    for k in range(memory.V_trough.size):
        if memory.V_trough[k] < plant.troughs[k].V_shut - SHUT_UNDER * plant.troughs[k].V_band:
            memory.seen[k] |= OPEN


@compiled
def _copy(source: Flows, target: Flows) -> None:
    """Carry the flows at the end of a step to the start of the next."""
    for i in range(source.nodes.size):
        node, was = target.nodes[i], source.nodes[i]
        node.net, node.q, node.q_rate = was.net, was.q, was.q_rate
    for k in range(source.troughs.size):
        there, here = target.troughs[k], source.troughs[k]
        there.net, there.inflow, there.opening = here.net, here.inflow, here.opening
        there.drunk, there.evaporated, there.overflow = here.drunk, here.evaporated, here.overflow
    put(source.leaks, target.leaks, 0)
    put(source.source, target.source, 0)


@compiled
def _start_flows(plant: Plant, memory: Memory, step: Step, drive: Drive, drinking: Floats) -> None:
    """Leave in ``step.start`` the flows at this moment."""
    if memory.whole[FRESH] == 0:
        _copy(step.finish, step.start)
        return
    for i in range(memory.q.size):
        step.start.nodes[i].q_start = memory.q[i]
    inputs = inputs_at(drive, drinking, 0.0)
    evaluate(plant, memory.h, inputs, memory.held, memory.V_trough, 1.0, 0.0, 0.0, step.start)
    memory.whole[FRESH] = 0


@compiled
def _let_stand(plant: Plant, memory: Memory, k: int) -> None:
    """Let air in by a valve that opens over sunk water: the same water stands under air now.

    Its head leaps to where it stands. No guess drawn from the heads before would find it beyond
    the stretch in which the leg is empty and a head costs next to no water.
    """
    trough, i = plant.troughs[k], plant.troughs[k].node
    node = plant.nodes[i]
    low, high = memory.h[i], node.z
    for _ in range(_HALVES):
        middle = 0.5 * (low + high)
        water = held_water(plant, i, middle)[0] - let_in(trough, node, middle)[0]
        if water > memory.held[i]:
            high = middle
        else:
            low = middle
    memory.h[i] = low


@compiled
def _breathe(plant: Plant, memory: Memory, step: Step, drive: Drive, drinking: Floats) -> None:
    """Let air in by the valves that are open now, and out where the pipe behind one is full.

    Only moving water swings back from an open end: without inertia there is nothing to do.
    """
    if plant.waves == 0.0:
        return
    for k in range(memory.V_trough.size):
        trough = plant.troughs[k]
        sinks = memory.h[trough.node] < plant.nodes[trough.node].z
        if step.start.troughs[k].opening > 0.0:
            if sinks and not memory.seen[k] & AIR:
                _let_stand(plant, memory, k)
                memory.whole[FRESH] = 1
            memory.seen[k] |= AIR
        elif not sinks:
            memory.seen[k] &= ~AIR
        air = 1.0 if memory.seen[k] & AIR else 0.0
        step.start.troughs[k].air = step.middle.troughs[k].air = air
        step.finish.troughs[k].air = air
    if memory.whole[FRESH] == 1:
        _start_flows(plant, memory, step, drive, drinking)


@compiled
def _phase(memory: Memory) -> int:
    """Return the place of the drive's state and the check valve's in `Memory.first_step`."""
    return int(2 * memory.whole[STATE] + memory.whole[LIFTED])


@compiled
def _drive(memory: Memory, power: float, slope: float) -> Drive:
    """Return the drive as it runs now."""
    slack = 1.0
    if not is_turning(memory.whole[STATE]):
        slack = _SLACK_STILL
    elif memory.whole[STATE] != STOPPING:
        slack = _SLACK_UP
    return Drive(power, slope, memory.real[CAP], memory.real[CAP_SLOPE], slack)


@compiled
def _changes_drinking(inputs: Inputs, i: int) -> bool:
    """Whether herds begin or end to drink at break `i`."""
    if i == 0:
        return True
    for k in range(inputs.drinking.shape[1]):
        if inputs.drinking[i, k] != inputs.drinking[i - 1, k]:
            return True
    return False


@compiled
def _try_step(
    plant: Plant,
    memory: Memory,
    step: Step,
    drive: Drive,
    drinking: Floats,
    limit: float,
    tolerance: float,
) -> float:
    """Take one good step of at most `limit` [s]; give its length, or 0 if none can be solved.

    Sets ``memory.real[STEP]`` for the next one.
    """
    _breathe(plant, memory, step, drive, drinking)
    dt = of_good_length(plant, min(memory.real[STEP], limit))
    if dt > 0.9 * limit:
        dt = limit
    dt = aim(plant, memory, step, drive, drinking, dt)
    grows = _GROWS
    while True:
        landed = False
        error = go(
            plant, step, memory.h, memory.held, memory.V_trough, drive, drinking, dt, tolerance
        )
        for which in range(WATCHED + plant.sensors.size):
            lifts = which == CHECK and memory.whole[LIFTED] == 0 and error < inf
            if (error <= 1.0 or lifts) and (
                signal(plant, which, memory, step.h, step.V_trough, step.finish.source) >= 0.0
            ):
                dt, error = land(plant, memory, step, drive, drinking, dt, error, tolerance, which)
                landed = True
        if error <= 1.0 or (dt <= _FINE and error < inf):
            break
        if dt < _SHORTEST:
            return 0.0
        dt = of_good_length(plant, dt * max(0.25, 0.8 * error ** (-1.0 / 3.0)))
        grows = 1.0
    wish = dt * min(grows, 0.9 * max(error, 1e-6) ** (-1.0 / 3.0))
    arch = abs(step.bend[plant.gauge]) * plant.weight / (plant.p_cut_out - plant.p_cut_in)
    if 0.25 * arch * wish * wish > STRAIGHT:
        wish = sqrt(4.0 * STRAIGHT / arch)
    wish = max(wish, _FINE, plant.beat)
    if landed or dt == limit:
        wish = max(wish, memory.real[STEP])
    memory.real[STEP] = wish
    if memory.whole[STARTED] == 1:
        memory.first_step[_phase(memory)] = wish
        memory.whole[STARTED] = 0
    return float(dt)


@compiled
def _mark(memory: Memory, door: Door, happened: int) -> int:
    """Keep the last row if more has happened than before; give the number of events."""
    if memory.whole[EVENTS] != happened:
        keep(door, memory.whole[ROWS] - 1)
    return int(memory.whole[EVENTS])


@compiled
def _book(
    plant: Plant, memory: Memory, step: Step, drinking: Floats, dt: float, events: Floats
) -> None:
    """Take an accepted step of `dt` [s] into what is remembered."""
    add_up(memory, step, drinking, dt)
    notice(plant, memory, step, events, dt)
    go_on(step, dt)
    put(step.h, memory.h, 0)
    put(step.held, memory.held, 0)
    put_flows(step.finish.nodes, memory)
    put(step.V_trough, memory.V_trough, 0)


@compiled
def _next_segment(inputs: Inputs, memory: Memory) -> None:
    """Go on to the stretch of the inputs in which the present moment lies."""
    while inputs.time[memory.whole[SEGMENT] + 1] <= memory.real[TIME]:
        memory.whole[SEGMENT] += 1
        memory.whole[FRESH] = 1
        if _changes_drinking(inputs, memory.whole[SEGMENT]):
            memory.real[STEP] = min(memory.real[STEP], FIRST_STEP)


@compiled
def most_events(plant: Plant) -> int:
    """Return the number of events that one step may bring."""
    return _EVENTS_A_STEP + 3 * (plant.troughs.size + plant.sensors.size)


@compiled
def advance(
    plant: Plant,
    inputs: Inputs,
    memory: Memory,
    step: Step,
    rows: Floats,
    events: Floats,
    end: float,
    tolerance: float,
) -> int:
    """Go on in time until `end` [s] or until there is no more room for rows or events.

    Parameters
    ----------
    rows : array, shape (any, 11 + n + 4 m)
        Room for rows, with n nodes that have a name; how many were written is left in
        ``memory.whole[ROWS]``.
    events : array, shape (any, 3)
        Room for events as (time, kind, where).
    tolerance : float
        Error allowed in one step, see `labkit.engine.step.take_step`.

    Returns
    -------
    int
        `DONE`, `FULL` or `STUCK`.
    """
    step.door.left_out[0], happened = 0, 0
    while memory.whole[ROWS] < rows.shape[0] - 1 and (
        memory.whole[EVENTS] < events.shape[0] - most_events(plant)
    ):
        now = memory.real[TIME]
        _next_segment(inputs, memory)
        i = memory.whole[SEGMENT]
        t0, t1 = inputs.time[i], inputs.time[i + 1]
        slope = (inputs.power[i + 1] - inputs.power[i]) / (t1 - t0)
        power = inputs.power[i] + slope * (now - t0)
        drinking = inputs.drinking[i]
        drive = _drive(memory, power, slope)
        _start_flows(plant, memory, step, drive, drinking)
        phase = _phase(memory)
        state, switched, contact = (
            memory.whole[STATE], memory.whole[SWITCHED], memory.whole[CONTACT],
        )  # fmt: skip
        settle(plant, memory, events, power, step.start.source)
        if phase != _phase(memory):
            memory.real[STEP] = memory.first_step[_phase(memory)]
            memory.whole[STARTED] = 1
        if memory.whole[FRESH] == 1:
            drive = _drive(memory, power, slope)
            _start_flows(plant, memory, step, drive, drinking)
        if memory.whole[ROWS] == 0 or (
            state != memory.whole[STATE]
            or switched != memory.whole[SWITCHED]
            or contact != memory.whole[CONTACT]
        ):
            record(plant, memory, step.start, power, rows)
            happened = -1
        happened = _mark(memory, step.door, happened)
        if now >= end:
            return DONE
        until = min(t1, end, next_change(plant, memory, power, slope))
        dt = _try_step(plant, memory, step, drive, drinking, until - now, tolerance)
        if dt == 0.0:
            return STUCK
        memory.real[TIME] = now + dt if dt < until - now else until
        memory.real[CAP] = inputs_at(drive, drinking, dt).cap
        _book(plant, memory, step, drinking, dt, events)
        record(plant, memory, step.finish, power + slope * dt, rows)
        if plant.beat > 0.0:
            thin(memory, step.door, rows)
        happened = _mark(memory, step.door, happened)
    return FULL
