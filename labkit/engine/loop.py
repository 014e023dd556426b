"""Time: steps that land on every switching, and rows of what happened."""

from math import inf, isfinite, nan
from typing import Final

from labkit.compiled import compiled
from labkit.engine.drive import CHECK, SWITCH, WATCHED, next_change, note, settle, signal
from labkit.engine.memory import (
    ASKED,
    CAP,
    CAP_SLOPE,
    DELIVERED,
    DRUNK,
    EMPTY,
    EVENTS,
    FLOAT_OPENS,
    FLOAT_SHUTS,
    FRESH,
    LEAKED,
    LIFTED,
    OPEN,
    OVER,
    OVERFLOW,
    OVERFLOWED,
    PUMPED,
    RELIEVED,
    RETURNED,
    ROWS,
    SEGMENT,
    STATE,
    STEP,
    SUCTION,
    SUCTION_SEEN,
    SWITCHED,
    TIME,
    TROUGH_EMPTY,
    Inputs,
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
    evaluate,
    held_water,
)
from labkit.engine.step import Drive, Step, inputs_at, take_step, weighed

DONE: Final = 0
"""The run has reached its end."""
FULL: Final = 1
"""The room for rows or events is used up; call again."""
STUCK: Final = 2
"""No step, however short, could be solved."""

SHUT_UNDER: Final = 0.01
"""Opening under which a float counts as shut."""
OPEN_OVER: Final = 0.03
"""Opening over which a shut float counts as open again."""

_SHORTEST: Final = 1e-9
_AFTER_A_CHANGE: Final = 1.0
_CLOSE: Final = 1e-6
_LEADING: Final = 10
_EVENTS_A_STEP: Final = 24


@compiled
def begin(plant: Plant, memory: Memory) -> None:
    """Take stock of a line at rest: the water held, and whether the switch stands tripped."""
    for i in range(memory.h.size):
        memory.held[i], _ = held_water(plant, i, memory.h[i])
    g = plant.gauge
    p = plant.weight * (memory.h[g] - plant.nodes[g].z)
    memory.whole[SWITCHED] = 1 if p >= plant.p_cut_out else 0
    memory.whole[FRESH] = 1
    for k in range(memory.V_trough.size):
        if memory.V_trough[k] < plant.troughs[k].V_shut - SHUT_UNDER * plant.troughs[k].V_band:
            memory.seen[k] = OPEN


@compiled
def _put(values: Floats, into: Floats, at: int) -> None:
    """Copy `values` into an array, from place `at` on."""
    for i in range(values.size):
        into[at + i] = values[i]


@compiled
def _copy(source: Flows, target: Flows) -> None:
    """Carry the flows at the end of a step to the start of the next."""
    for i in range(source.nodes.size):
        target.nodes[i].net = source.nodes[i].net
    for k in range(source.troughs.size):
        there, here = target.troughs[k], source.troughs[k]
        there.net, there.inflow, there.opening = here.net, here.inflow, here.opening
        there.drunk, there.overflow = here.drunk, here.overflow
    _put(source.leaks, target.leaks, 0)
    _put(source.source, target.source, 0)


@compiled
def _start_flows(plant: Plant, memory: Memory, step: Step, drive: Drive, drinking: Floats) -> None:
    """Leave in ``step.start`` the flows at this moment."""
    if memory.whole[FRESH] == 0:
        _copy(step.finish, step.start)
        return
    inputs = inputs_at(drive, drinking, 0.0)
    evaluate(plant, memory.h, inputs, memory.held, memory.V_trough, 1.0, 0.0, 0.0, step.start)
    memory.whole[FRESH] = 0


@compiled
def _signal_slope(plant: Plant, which: int, memory: Memory, h: Floats, flows: Flows) -> float:
    """How fast the switch's signal changes [m/s]; nan for the others, which have no storage."""
    if which != SWITCH:
        return nan
    g = plant.gauge
    rate = flows.nodes[g].net / held_water(plant, g, h[g])[1]
    return float(-rate if memory.whole[SWITCHED] == 1 else rate)


@compiled
def _cubic_root(low: float, high: float, low_slope: float, high_slope: float, dt: float) -> float:
    """Where, as a share of a step of `dt`, the cubic through both ends and slopes crosses zero.

    `low` < 0 <= `high`; a straight line serves where the slopes are not numbers.
    """
    share = -low / (high - low)
    a, b = dt * low_slope, dt * high_slope
    if not (isfinite(a) and isfinite(b)):
        return share
    lower, upper = 0.0, 1.0
    for _ in range(30):
        u = share
        value = low + u * (
            a + u * (3.0 * (high - low) - 2.0 * a - b + u * (a + b - 2.0 * (high - low)))
        )
        slope = a + u * (
            2.0 * (3.0 * (high - low) - 2.0 * a - b) + u * 3.0 * (a + b - 2.0 * (high - low))
        )
        if value >= 0.0:
            upper = u
        else:
            lower = u
        share = u - value / slope if slope != 0.0 else 0.5 * (lower + upper)
        if not lower < share < upper:
            share = 0.5 * (lower + upper)
        if abs(share - u) < 1e-9:
            break
    return share


@compiled
def _land(
    plant: Plant,
    memory: Memory,
    step: Step,
    drive: Drive,
    drinking: Floats,
    dt: float,
    tolerance: float,
    which: int,
) -> tuple[float, float]:
    """Shorten a step so that it ends just past the point where signal `which` crosses zero.

    The step is taken again at each try, so the point found is the step's own and not an
    interpolant's: first where a cubic crosses, then by the secant, kept in its bracket. Gives
    the step's length and its error; the step itself is left in `step`.
    """
    near, far, at = 0.0, dt, dt
    low = signal(plant, which, memory, memory.h, step.start.source)
    value = signal(plant, which, memory, step.h, step.finish.source)
    close = _CLOSE * (value - low)
    aim = 0.5 * close
    trial = dt * _cubic_root(
        low - aim,
        value,
        _signal_slope(plant, which, memory, memory.h, step.start),
        _signal_slope(plant, which, memory, step.h, step.finish),
        dt,
    )
    error = inf
    for tries in range(80):
        if not near < trial < far or tries % 8 == 7:  # now and then a safe half
            trial = 0.5 * (near + far)
        if far - near <= 1e-12 * dt:
            trial = far
        before, value_before, at = at, value, trial
        error = take_step(
            plant, step, memory.h, memory.held, memory.V_trough, drive, drinking, at, tolerance
        )
        value = signal(plant, which, memory, step.h, step.finish.source)
        if at == far or 0.0 <= value <= close:
            break
        if value >= 0.0:
            far = at
        else:
            near = at
        trial = at - (value - aim) * (at - before) / (value - value_before)
    return at, error


@compiled
def _add_up(memory: Memory, step: Step, drinking: Floats, dt: float) -> None:
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
        totals[ASKED] += dt * drinking[k]


@compiled
def _notice(plant: Plant, memory: Memory, step: Step, events: Floats, dt: float) -> None:
    """Write down what happened at the troughs during a step, and suction; nothing acts on it."""
    now = memory.real[TIME]
    for k in range(memory.V_trough.size):
        x, before, bits = (
            step.finish.troughs[k].opening,
            step.start.troughs[k].opening,
            memory.seen[k],
        )
        point = SHUT_UNDER if bits & OPEN else OPEN_OVER
        if (x < point) if bits & OPEN else (x > point):
            share = (point - before) / (x - before) if x != before else 1.0
            kind = FLOAT_SHUTS if bits & OPEN else FLOAT_OPENS
            note(memory, events, kind, k, now - dt * (1.0 - min(max(share, 0.0), 1.0)))
            bits ^= OPEN
        is_empty = memory.V_trough[k] < plant.troughs[k].V_low
        if is_empty and not bits & EMPTY:
            note(memory, events, TROUGH_EMPTY, k, now)
        is_over = step.finish.troughs[k].overflow > 0.0
        if is_over and not bits & OVER:
            note(memory, events, OVERFLOW, k, now)
        memory.seen[k] = (bits & OPEN) | (EMPTY if is_empty else 0) | (OVER if is_over else 0)
    for i in range(memory.h.size):
        if memory.h[i] < plant.nodes[i].h_vapour and memory.whole[SUCTION] == 0:
            memory.whole[SUCTION] = 1
            note(memory, events, SUCTION_SEEN, -1, now)


@compiled
def _record(plant: Plant, memory: Memory, flows: Flows, power: float, rows: Floats) -> None:
    """Write one row of the present moment."""
    r = memory.whole[ROWS]
    memory.whole[ROWS] = r + 1
    n, m = memory.h.size, memory.V_trough.size
    g = plant.gauge
    row = rows[r]
    row[0], row[1], row[2] = memory.real[TIME], power, flows.source[SPEED]
    row[3], row[4], row[5] = flows.source[PUMP], flows.source[BACK], flows.source[RELIEF]
    row[6] = 0.0
    for j in range(flows.leaks.size):
        row[6] += flows.leaks[j]
    row[7] = held_water(plant, g, memory.h[g])[0] - plant.nodes[g].C * memory.h[g]
    row[8], row[9] = memory.whole[SWITCHED], memory.whole[STATE]
    at = _LEADING + n
    _put(memory.h, row, _LEADING)
    _put(memory.V_trough, row, at)
    for k in range(m):
        trough = flows.troughs[k]
        row[at + m + k], row[at + 2 * m + k] = trough.inflow, trough.opening
        row[at + 3 * m + k] = trough.drunk


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
    dt = min(memory.real[STEP], limit)
    if dt > 0.9 * limit:
        dt = limit
    while True:
        landed = False
        error = take_step(
            plant, step, memory.h, memory.held, memory.V_trough, drive, drinking, dt, tolerance
        )
        for which in range(WATCHED):
            lifts = which == CHECK and memory.whole[LIFTED] == 0 and error < inf
            if (error <= 1.0 or lifts) and (
                signal(plant, which, memory, step.h, step.finish.source) >= 0.0
            ):
                dt, error = _land(plant, memory, step, drive, drinking, dt, tolerance, which)
                landed = True
        if error <= 1.0:
            break
        if dt < _SHORTEST:
            return 0.0
        dt *= max(0.25, 0.8 * error ** (-1.0 / 3.0))
    if landed:
        memory.real[STEP] = min(memory.real[STEP], _AFTER_A_CHANGE)
    else:
        wish = dt * min(8.0, 0.9 * max(error, 1e-6) ** (-1.0 / 3.0))
        memory.real[STEP] = max(wish, memory.real[STEP]) if dt == limit else wish
    return float(dt)


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
    rows : array, shape (any, 10 + n + 4 m)
        Room for rows; the number written is left in ``memory.whole[ROWS]``.
    events : array, shape (any, 3)
        Room for events as (time, kind, where).
    tolerance : float
        Error allowed in one step, see `labkit.engine.step.take_step`.

    Returns
    -------
    int
        `DONE`, `FULL` or `STUCK`.
    """
    while memory.whole[ROWS] < rows.shape[0] - 1 and (
        memory.whole[EVENTS] < events.shape[0] - _EVENTS_A_STEP
    ):
        now = memory.real[TIME]
        while inputs.time[memory.whole[SEGMENT] + 1] <= now:
            memory.whole[SEGMENT] += 1
            memory.whole[FRESH] = 1
        i = memory.whole[SEGMENT]
        t0, t1 = inputs.time[i], inputs.time[i + 1]
        slope = (inputs.power[i + 1] - inputs.power[i]) / (t1 - t0)
        power = inputs.power[i] + slope * (now - t0)
        drinking = inputs.drinking[i]
        drive = Drive(power, slope, memory.real[CAP], memory.real[CAP_SLOPE])
        _start_flows(plant, memory, step, drive, drinking)
        state, switched = memory.whole[STATE], memory.whole[SWITCHED]
        settle(plant, memory, events, power, step.start.source)
        if memory.whole[FRESH] == 1:
            memory.real[STEP] = min(memory.real[STEP], _AFTER_A_CHANGE)
            drive = Drive(power, slope, memory.real[CAP], memory.real[CAP_SLOPE])
            _start_flows(plant, memory, step, drive, drinking)
        if memory.whole[ROWS] == 0 or (
            state != memory.whole[STATE] or switched != memory.whole[SWITCHED]
        ):
            _record(plant, memory, step.start, power, rows)
        if now >= end:
            return DONE
        until = min(t1, end, next_change(plant, memory, power, slope))
        dt = _try_step(plant, memory, step, drive, drinking, until - now, tolerance)
        if dt == 0.0:
            return STUCK
        memory.real[TIME] = now + dt if dt < until - now else until
        memory.real[CAP] = inputs_at(drive, drinking, dt).cap
        _put(step.h, memory.h, 0)
        _put(step.held, memory.held, 0)
        _put(step.V_trough, memory.V_trough, 0)
        _add_up(memory, step, drinking, dt)
        _notice(plant, memory, step, events, dt)
        _record(plant, memory, step.finish, power + slope * dt, rows)
    return FULL
