"""The book a run is written into: rows, events at the troughs, water added up."""

from math import inf
from typing import Final

from labkit.compiled import compiled
from labkit.engine.memory import (
    AIR,
    ASKED,
    CONTACT,
    DELIVERED,
    DRUNK,
    EMPTY,
    EVAPORATED,
    FLOAT_OPENS,
    FLOAT_SHUTS,
    LEAKED,
    OPEN,
    OVER,
    OVERFLOW,
    OVERFLOWED,
    PUMPED,
    RELIEVED,
    RETURNED,
    ROWS,
    STATE,
    SUCTION,
    SUCTION_SEEN,
    SWITCHED,
    TIME,
    TROUGH_EMPTY,
    Memory,
)
from labkit.engine.network import (
    BACK,
    PUMP,
    RELIEF,
    SPEED,
    Floats,
    Flows,
    Plant,
    Records,
    tank_water,
)
from labkit.engine.signals import note
from labkit.engine.step import Door, Step, weighed

SHUT_UNDER: Final = 0.01
"""Opening under which a float counts as shut."""
OPEN_OVER: Final = 0.03
"""Opening over which a shut float counts as open again."""

_LEADING: Final = 11


@compiled
def put(values: Floats, into: Floats, at: int) -> None:
    """Copy `values` into an array, from place `at` on."""
    for i in range(values.size):
        into[at + i] = values[i]


@compiled
def put_flows(flows: Records, memory: Memory) -> None:
    """Remember the flows along the runs, and the most that each has seen."""
    for i in range(memory.q.size):
        memory.q[i] = flows[i].q
        memory.fastest[i] = max(memory.fastest[i], abs(flows[i].q))


@compiled
def add_up(memory: Memory, step: Step, drinking: Floats, dt: float) -> None:
    """Add the water of an accepted step to the totals."""
    a, b, c = step.start, step.middle, step.finish
    totals = memory.totals
    for total, place in ((PUMPED, PUMP), (RETURNED, BACK), (RELIEVED, RELIEF)):
        totals[total] += dt * weighed(a.source[place], b.source[place], c.source[place])
    for j in range(a.leaks.size):
        totals[LEAKED] += dt * weighed(a.leaks[j], b.leaks[j], c.leaks[j])
    for k in range(a.troughs.size):
        x, y, z = a.troughs[k], b.troughs[k], c.troughs[k]
        totals[DELIVERED] += dt * weighed(x.inflow, y.inflow, z.inflow)
        totals[DRUNK] += dt * weighed(x.drunk, y.drunk, z.drunk)
        totals[OVERFLOWED] += dt * weighed(x.overflow, y.overflow, z.overflow)
        totals[EVAPORATED] += dt * weighed(x.evaporated, y.evaporated, z.evaporated)
        totals[ASKED] += dt * drinking[k]


@compiled
def _crossed(before: float, after: float, point: float, end: float, dt: float) -> float:
    """When a value passed a point [s], if it ran straight through a step that ended at `end`."""
    share = (point - before) / (after - before) if after != before else 1.0
    return end - dt * (1.0 - min(max(share, 0.0), 1.0))


@compiled
def _reached(before: float, rate: float, point: float, end: float, dt: float) -> float:
    """When a volume came to a point [s], at the rate it had before; past the point that turns."""
    share = (point - before) / (rate * dt) if rate != 0.0 else 1.0
    return end - dt * (1.0 - min(max(share, 0.0), 1.0))


@compiled
def notice(plant: Plant, memory: Memory, step: Step, events: Floats, dt: float) -> None:
    """Write down what happened at the troughs during a step, and suction; nothing acts on it.

    `memory` still holds heads and volumes at the step's start, and the time of its end.
    """
    now = memory.real[TIME]
    for k in range(memory.V_trough.size):
        bits, trough = memory.seen[k], plant.troughs[k]
        before, x = step.start.troughs[k].opening, step.finish.troughs[k].opening
        point = SHUT_UNDER if bits & OPEN else OPEN_OVER
        if (x < point) if bits & OPEN else (x > point):
            kind = FLOAT_SHUTS if bits & OPEN else FLOAT_OPENS
            note(memory, events, kind, k, _crossed(before, x, point, now, dt))
            bits ^= OPEN
        V_before, V, rate = memory.V_trough[k], step.V_trough[k], step.start.troughs[k].net
        if trough.V_low > V and not bits & EMPTY:
            note(memory, events, TROUGH_EMPTY, k, _reached(V_before, rate, trough.V_low, now, dt))
        if trough.V_rim < V and not bits & OVER:
            note(memory, events, OVERFLOW, k, _reached(V_before, rate, trough.V_rim, now, dt))
        bits &= OPEN | AIR
        if trough.V_low > V:
            bits |= EMPTY
        if trough.V_rim < V:
            bits |= OVER
        memory.seen[k] = bits
    for i in range(memory.h.size):
        low = plant.nodes[i].h_least
        is_airtight = low < plant.nodes[i].z
        if is_airtight and step.h[i] < low <= memory.h[i] and memory.whole[SUCTION] == 0:
            memory.whole[SUCTION] = 1
            when = _crossed(memory.h[i], step.h[i], low, now, dt)
            note(memory, events, SUCTION_SEEN, -1, when)


@compiled
def keep(door: Door, place: int) -> None:
    """Keep the row at a place, be it that something happened there: `thin` goes on from it."""
    door.at[0] = place
    for j in range(door.least.size):
        door.least[j], door.most[j] = -inf, inf


@compiled
def thin(memory: Memory, door: Door, rows: Floats) -> None:
    """Leave out the row before the last where all since the row kept lie on a straight line.

    A leap is a wave's way through a piece of pipe: most rows of a line that leaps tell nothing
    new. All columns count, the head of every node among them. Each row left out narrows the slopes
    that a line from the row kept may have (Bristol 1990, "Swinging door trending", from memory).
    """
    last = memory.whole[ROWS] - 1
    if last == door.at[0] + 2 and _passes(door, rows, last):
        put(rows[last], rows[last - 1], 0)
        memory.whole[ROWS], last = last, last - 1
        door.left_out[0] += 1
    elif last == door.at[0] + 2:
        keep(door, last - 1)
    kept, row = rows[door.at[0]], rows[last]
    dt = row[0] - kept[0]
    for j in range(1, row.size):
        gone, allowed = row[j] - kept[j], door.allowed[j]
        door.least[j] = max(door.least[j], (gone - allowed) / dt)
        door.most[j] = min(door.most[j], (gone + allowed) / dt)


@compiled
def _passes(door: Door, rows: Floats, last: int) -> bool:
    """Whether the line from the row kept to the last passes all that were left out between."""
    kept, row = rows[door.at[0]], rows[last]
    dt = row[0] - kept[0]
    for j in range(1, row.size):
        if not door.least[j] * dt <= row[j] - kept[j] <= door.most[j] * dt:
            return False
    return True


@compiled
def record(plant: Plant, memory: Memory, flows: Flows, power: float, rows: Floats) -> None:
    """Write one row of the present moment."""
    r = memory.whole[ROWS]
    memory.whole[ROWS] = r + 1
    n, m = plant.own.size, memory.V_trough.size
    g = plant.gauge
    row = rows[r]
    row[0], row[1], row[2] = memory.real[TIME], power, flows.source[SPEED]
    row[3], row[4], row[5] = flows.source[PUMP], flows.source[BACK], flows.source[RELIEF]
    row[6] = 0.0
    for j in range(flows.leaks.size):
        row[6] += flows.leaks[j]
    row[7] = tank_water(plant, memory.h[g])[0]
    row[8], row[9], row[10] = memory.whole[SWITCHED], memory.whole[STATE], memory.whole[CONTACT]
    at = _LEADING + n
    for j in range(n):
        row[_LEADING + j] = memory.h[plant.own[j]]
    for k in range(m):
        if memory.seen[k] & AIR:  # above the water the pressure is the air's
            for j in range(n):
                if plant.own[j] == plant.troughs[k].node:
                    row[_LEADING + j] = max(row[_LEADING + j], plant.nodes[plant.own[j]].z)
    put(memory.V_trough, row, at)
    for k in range(m):
        trough = flows.troughs[k]
        row[at + m + k], row[at + 2 * m + k] = trough.inflow, trough.opening
        row[at + 3 * m + k] = trough.drunk
