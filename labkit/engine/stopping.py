"""What swings past the switch's points: the climb as the pump stops, the dip as a float opens."""

from collections.abc import Iterable, Iterator
from math import floor, log
from typing import Final, NamedTuple

import attrs
import numpy as np

from labkit.engine import memory as places
from labkit.engine.layout import Layout
from labkit.engine.loop import DONE, STUCK, advance, begin, most_events
from labkit.engine.memory import HELD, LOCKED, ROW, RUNNING, SWITCHED, Inputs, Memory, fresh_memory
from labkit.engine.network import Floats, Plant, pump_duty, records
from labkit.engine.pieces import in_pieces
from labkit.engine.plant import level_heads
from labkit.engine.sensing import LISTENS
from labkit.engine.steady import TORQUE_LIMIT, settled
from labkit.engine.step import make_step
from labkit.engine.wiring import SENSOR
from labkit.errors import RunError
from labkit.parts import MANIFOLD

AFTERWARDS: Final = 20.0
"""Seconds watched after the ramp, for pressures to even out along the line."""
LONGEST_CLIMB: Final = 900.0
"""Seconds that a line is given to climb from its cut-in to its cut-out."""
RUNG: Final = 1.15
"""Ratio of two neighbors among the powers at which a range of them is looked through. A climb of
some few waves meets the cut-out a good part of a wave later at the next."""

_GLANCE: Final = 10.0
"""Seconds between two looks at whether the switch has tripped."""
_TOLERANCE: Final = 2e-4
_WAVES: Final = 10.0
"""Most error allowed in waves, in tolerances. A run allows five times as much where a tank hides
it; a peak is a wave's own."""
_REACHES: Final = 0.05
"""How far past the cut-out a pump must reach for a climb to count, in differentials. One that
hardly gets there moves hardly any water by then, and takes very long."""
_FILLS: Final = 300.0
"""Seconds in which a line that fills a trough comes to flow as it will."""
_ROOM: Final = 512


@attrs.frozen(kw_only=True)
class Stop:
    """How a line takes a stop."""

    peak: dict[str, float]  # highest gauge pressure at each node [Pa]
    # whether the drive's torque limit, or low water, cut in before the ramp was over
    is_locked: bool


class _Taken(NamedTuple):
    """Highest heads at the nodes with a name (n,) [m], and whether a safety stopped the pump."""

    heads: Floats
    is_locked: bool


class _Trip(NamedTuple):
    """A line made ready to be stopped at its cut-out by a sound switch.

    `moving` is in pieces where its water has inertia; else it is as `lumped`. It climbs from the
    pressure `low` [Pa].
    """

    lumped: Plant
    moving: Plant
    low: float
    tolerance: float


def level_stop(plant: Plant, layout: Layout, *, power: float, cut_out: float) -> Stop:
    """Trip the switch of a running pump at a `cut_out` [Pa gauge] with every float shut.

    The hardest stop that a lumped line can see: the whole line stands at the cut-out, the pump
    turns as fast as its `power` [W] allows, no valve takes any of what it pumps on the ramp. In a
    run the floats still pass some water, or the far end stands lower, and the pressure climbs less.
    The steep wave of a valve is another matter. The switch is taken as sound and wired right.
    How moving water swings is left out: more power, or a higher cut-out, never takes any off its
    peak.
    """
    return _stop(plant, layout, [_from_level(_ready(plant, cut_out), layout, power)])


def hardest_stop(
    plant: Plant, layout: Layout, *, powers: tuple[float, float], cut_out: float
) -> Stop:
    """Take the hardest stop in a range of `powers` [W], the least first.

    Without inertia that is the level one with the most power. What moves at the cut-out climbs on:
    with inertia the pump also starts at the cut-in and fills the line, as it does in a cycle of the
    line's own, and whichever stop climbs higher counts, for the far end may still stand low as the
    switch trips. Waves that the start has left over stand by chance where the cut-out is met, and
    less power may climb higher. So it is stopped at fixed rungs of power all over the range. In
    between the peak is drawn straight from one rung's highest yet to the next's: more power never
    takes any off.

    A hand that lifts the float of a filling trough sends a wave ahead of the stop. What parts bear
    leaves room for such a wave; a displacement pump's torque limit does not, and is held to it too.
    """
    trip = _ready(plant, cut_out)
    taken = [_from_level(trip, layout, powers[1])]
    if trip.moving.waves > 0.0:
        taken.append(_over_rungs(trip, layout, *powers))
    stop = _stop(plant, layout, taken)
    if stop.is_locked or not (plant.is_displacement and trip.moving.waves > 0.0):
        return stop
    return attrs.evolve(stop, is_locked=_locks_as_lifted(trip, layout, powers[1]))


def _ready(plant: Plant, cut_out: float) -> _Trip:
    """Make a line ready to be stopped at a cut-out [Pa]."""
    low = max(cut_out - (plant.p_cut_out - plant.p_cut_in), 0.5 * cut_out)
    plant = plant._replace(p_cut_in=low, p_cut_out=cut_out)
    lumped, moving = (
        each._replace(
            p_cut_in=-plant.p_air,  # no wave of the stop itself may start the pump again
            closes_on_rise=plant.stops_when_closed,
            listens=LISTENS["pressure switch"],
            switch_fixed=-1,
            is_plugged=False,
            sensors=records(0, SENSOR),
            waves=min(each.waves, _WAVES),
        )
        for each in (plant, in_pieces(plant))
    )
    return _Trip(lumped, moving, low, _TOLERANCE * (cut_out - low) / (cut_out + plant.p_air))


def _stop(plant: Plant, layout: Layout, taken: list[_Taken]) -> Stop:
    """Tell what comes of some stops together."""
    highest = np.max([each.heads for each in taken], axis=0)
    peaks = plant.weight * (highest - plant.nodes.z)
    return Stop(
        peak=dict(zip(layout.names, peaks.tolist(), strict=True)),
        is_locked=any(each.is_locked for each in taken),
    )


def _from_level(trip: _Trip, layout: Layout, power: float) -> _Taken:
    """Stop a line that stands at its cut-out all over, the pump at full speed."""
    memory = _at_rest(trip.lumped, trip.lumped.p_cut_out)
    memory.whole[places.STATE], memory.whole[SWITCHED] = RUNNING, 1
    memory.real[places.CAP] = 1.0
    return _highest(trip.lumped, layout, memory, power, trip.tolerance)


def _from_cut_in(trip: _Trip, layout: Layout, power: float) -> _Taken | None:
    """Stop a line with inertia that fills from its cut-in; nothing where it does not stop."""
    memory = _at_rest(trip.moving, trip.low)
    memory.whole[places.STATE] = HELD
    climbed = _highest(trip.moving, layout, memory, power, trip.tolerance)
    return climbed if _has_stopped(memory) else None


def _locks_as_lifted(trip: _Trip, layout: Layout, power: float) -> bool:
    """Whether a safety acts where the one open float of a line is lifted at once as it fills."""
    found = (_from_full_flow(trip, layout, power, k) for k in range(trip.moving.troughs.size))
    return any(taken is not None and taken.is_locked for taken in found)


def _from_full_flow(trip: _Trip, layout: Layout, power: float, trough: int) -> _Taken | None:
    """Stop a line with inertia as a float shuts at once; nothing where it stops while it fills."""
    troughs = trip.moving.troughs.copy()
    troughs.kept[trough] = 1.0
    filling = trip.moving._replace(troughs=troughs)
    memory = _at_rest(trip.moving, trip.low)
    memory.whole[places.STATE] = HELD
    for _ in _watched(filling, layout, memory, _steady(filling, power), _FILLS, trip.tolerance):
        pass
    if _has_stopped(memory):
        return None
    memory.V_trough[:] = troughs.V_shut
    return _highest(trip.moving, layout, memory, power, trip.tolerance)


def _over_rungs(trip: _Trip, layout: Layout, least: float, most: float) -> _Taken:
    """Stop a line that fills from its cut-in at each rung of power; go straight in between."""
    rung, top = floor(log(least, RUNG)), log(most, RUNG)
    level = level_heads(trip.lumped, trip.lumped.p_cut_out / trip.lumped.weight)
    taken = _Taken(level, is_locked=False)
    while rung <= top:
        taken = _higher(trip, layout, taken, RUNG**rung)
        if _is_all_the_same(trip, RUNG**rung):
            return taken
        rung += 1
    above = _higher(trip, layout, taken, RUNG**rung)
    share = top - floor(top)
    return taken._replace(heads=taken.heads + share * (above.heads - taken.heads))


def _higher(trip: _Trip, layout: Layout, taken: _Taken, power: float) -> _Taken:
    """Return the higher of what was taken and the stop of a climb at a `power` [W]."""
    shut = settled(trip.lumped, layout, power=power, openings={})
    cut_out = trip.lumped.p_cut_out
    enough = cut_out + _REACHES * (cut_out - trip.low)
    if shut.stopped_by != TORQUE_LIMIT and shut.pressure[MANIFOLD] < enough:
        return taken
    climbed = _from_cut_in(trip, layout, power)
    if climbed is None:
        return taken
    heads = np.maximum(taken.heads, climbed.heads)
    return _Taken(heads, is_locked=taken.is_locked or climbed.is_locked)


def _is_all_the_same(trip: _Trip, power: float) -> bool:
    """Whether the pump runs at full speed all the way, so that more power makes no difference."""
    ends = (trip.low, 2.0 * trip.lumped.p_cut_out)
    duties = [pump_duty(trip.lumped, p / trip.lumped.weight, power, 1.0) for p in ends]
    return all(duty.speed >= 1.0 for duty in duties)


def highest_climb(plant: Plant, layout: Layout, *, power: float, pressure: float) -> float:
    """Return the highest gauge [Pa] as a pump fills a shut line that nothing tells to stop.

    From a pressure [Pa gauge]: moving water swings past the dead-head that it comes to rest at.
    """
    plant = in_pieces(plant)._replace(
        listens=LISTENS["pressure switch"], switch_fixed=0 if plant.stops_when_closed else 1
    )
    return _extremes(plant, layout, _steady(plant, power), pressure, LONGEST_CLIMB)[1]


def lowest_as_it_opens(
    plant: Plant,
    layout: Layout,
    trough: str,
    *,
    pressures: Iterable[float],
    drinking: float,
    seconds: float,
) -> float:
    """Return the lowest gauge [Pa] as stock drink from a full trough beside a line that stands.

    The line stands at one of some pressures [Pa gauge], its pump off. They drink so fast [m3/s] for
    some seconds, and the gauge is watched as long again: moving water dips under what it comes to
    rest at.
    """
    plant = in_pieces(plant)
    rates = np.zeros((3, plant.troughs.size))
    rates[0, layout.troughs.index(trough)] = drinking
    end = 2.0 * seconds
    inputs = Inputs(np.array([0.0, seconds, end + 1.0]), np.zeros(3), rates)
    return min(_extremes(plant, layout, inputs, each, end)[0] for each in pressures)


def _extremes(
    plant: Plant, layout: Layout, inputs: Inputs, pressure: float, end: float
) -> tuple[float, float]:
    """Return the lowest and the highest gauge [Pa] until `end` [s], from rest at a pressure."""
    column = int(np.flatnonzero(plant.own == plant.gauge)[0])
    seen = _watched(plant, layout, _at_rest(plant, pressure), inputs, end, _TOLERANCE)
    shown = np.concatenate([heads[:, column] for heads in seen]) - plant.nodes.z[plant.gauge]
    return float(plant.weight * shown.min()), float(plant.weight * shown.max())


def _at_rest(plant: Plant, pressure: float) -> Memory:
    """Let the line stand at one pressure at the gauge [Pa], every trough full."""
    h = level_heads(plant, pressure / plant.weight)
    memory = fresh_memory(h, np.array(plant.troughs.V_shut), plant.sensors.size)
    begin(plant, memory)
    return memory


def _highest(
    plant: Plant, layout: Layout, memory: Memory, power: float, tolerance: float
) -> _Taken:
    """Run the pump until it has stopped and the line come to rest."""
    last, inputs = plant.ramp_down + AFTERWARDS, _steady(plant, power)
    highest, now = memory.h[plant.own], float(memory.real[places.TIME])
    end = now + LONGEST_CLIMB + _GLANCE + last
    while now < end:
        now = min(now + (last if _has_stopped(memory) else _GLANCE), end)
        is_over = _has_stopped(memory)
        for heads in _watched(plant, layout, memory, inputs, now, tolerance):
            highest = np.maximum(highest, heads.max(axis=0))
        if is_over:
            break
    return _Taken(highest, is_locked=bool(memory.whole[places.STATE] == LOCKED))


def _steady(plant: Plant, power: float) -> Inputs:
    """Give the pump a steady power [W], and let no stock drink."""
    return Inputs(np.array([0.0, np.inf]), np.full(2, power), np.zeros((2, plant.troughs.size)))


def _has_stopped(memory: Memory) -> bool:
    """Whether the switch has tripped, or a safety acted."""
    return bool(memory.whole[SWITCHED] == 1 or memory.whole[places.STATE] == LOCKED)


def _watched(
    plant: Plant, layout: Layout, memory: Memory, inputs: Inputs, end: float, tolerance: float
) -> Iterator[Floats]:
    """Go on until `end` [s], and give the heads (any, n) [m] on the way, a room full at a time."""
    n, m = plant.own.size, plant.troughs.size
    step, status = make_step(plant), -1
    memory.whole[places.FRESH] = 1
    while status != DONE:
        rows = np.empty((_ROOM, len(ROW) + n + 4 * m))
        events = np.empty((_ROOM + most_events(plant), 3))
        memory.whole[places.ROWS] = memory.whole[places.EVENTS] = 0
        status = advance(plant, inputs, memory, step, rows, events, end, tolerance)
        if status == STUCK:
            now = float(memory.real[places.TIME])
            what = "no step could be solved"
            raise RunError(f"line to {layout.troughs[0]}", now, "stopping", now, what)
        yield rows[: memory.whole[places.ROWS], len(ROW) : len(ROW) + n]
