"""What swings past the switch's points: the climb as the pump stops, the dip as a float opens."""

from collections.abc import Iterable, Iterator
from math import floor, inf, log
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

_GLANCE: Final = 64
"""Rows between two looks at whether the switch has tripped."""
_TOLERANCE: Final = 2e-4
_WAVES: Final = 10.0
"""Most error allowed in waves, in tolerances. A run allows five times as much where a tank hides
it; a peak is a wave's own."""
_REACHES: Final = 0.05
"""How far past the cut-out a pump must reach for a climb to count, in differentials. One that
hardly gets there moves hardly any water by then, and takes very long."""
_FILLS: Final = 300.0
"""Seconds in which a line that fills a trough comes to flow as it will."""


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
    """A line made ready to be stopped at its cut-out by a sound switch, from a pressure `low` [Pa].

    Its runs are in one piece, or as they are in time.
    """

    plant: Plant
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
    plant, low = _set_to(plant, cut_out)
    return _stop(plant, layout, [_from_level(_sound(plant, low), layout, power)])


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
    plant, low = _set_to(plant, cut_out)
    lumped, moving = _sound(plant, low), _sound(in_pieces(plant), low)
    taken = [_from_level(lumped, layout, powers[1])]
    if moving.plant.waves > 0.0:
        taken.append(_over_rungs(lumped, moving, layout, *powers))
    stop = _stop(plant, layout, taken)
    if stop.is_locked or not (plant.is_displacement and moving.plant.waves > 0.0):
        return stop
    return attrs.evolve(stop, is_locked=_locks_as_lifted(moving, layout, powers[1]))


def _set_to(plant: Plant, cut_out: float) -> tuple[Plant, float]:
    """Set a switch to a cut-out [Pa], its differential kept as far as the pressure allows."""
    low = max(cut_out - (plant.p_cut_out - plant.p_cut_in), 0.5 * cut_out)
    return plant._replace(p_cut_in=low, p_cut_out=cut_out), low


def _sound(plant: Plant, low: float) -> _Trip:
    """Take the switch and the drive's way of hearing it as sound."""
    plant = plant._replace(
        p_cut_in=-plant.p_air,  # no wave of the stop itself may start the pump again
        closes_on_rise=plant.stops_when_closed,
        listens=LISTENS["pressure switch"],
        switch_fixed=-1,
        is_plugged=False,
        sensors=records(0, SENSOR),
        waves=min(plant.waves, _WAVES),
    )
    cut_out = plant.p_cut_out
    return _Trip(plant, low, _TOLERANCE * (cut_out - low) / (cut_out + plant.p_air))


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
    memory = _at_rest(trip.plant, trip.plant.p_cut_out)
    memory.whole[places.STATE], memory.whole[SWITCHED] = RUNNING, 1
    memory.real[places.CAP] = 1.0
    return _highest(trip, layout, memory, power)


def _from_cut_in(trip: _Trip, layout: Layout, power: float) -> _Taken | None:
    """Stop a line with inertia that fills from its cut-in; nothing where it does not stop."""
    memory = _at_rest(trip.plant, trip.low)
    memory.whole[places.STATE] = HELD
    climbed = _highest(trip, layout, memory, power)
    return climbed if _has_stopped(memory) else None


def _locks_as_lifted(trip: _Trip, layout: Layout, power: float) -> bool:
    """Whether a safety acts where the one open float of a line is lifted at once as it fills."""
    found = (_from_full_flow(trip, layout, power, k) for k in range(trip.plant.troughs.size))
    return any(taken is not None and taken.is_locked for taken in found)


def _from_full_flow(trip: _Trip, layout: Layout, power: float, trough: int) -> _Taken | None:
    """Stop a line with inertia as a float shuts at once; nothing where it stops while it fills."""
    troughs = trip.plant.troughs.copy()
    troughs.kept[trough] = 1.0
    filling = trip.plant._replace(troughs=troughs)
    memory = _at_rest(trip.plant, trip.low)
    memory.whole[places.STATE] = HELD
    for _ in _watched(filling, layout, memory, _steady(filling, power), _FILLS, trip.tolerance):
        pass
    if _has_stopped(memory):
        return None
    memory.V_trough[:] = troughs.V_shut
    return _highest(trip, layout, memory, power)


def _over_rungs(lumped: _Trip, moving: _Trip, layout: Layout, least: float, most: float) -> _Taken:
    """Stop a line that fills from its cut-in at each rung of power; go straight in between."""
    rung, top = floor(log(least, RUNG)), log(most, RUNG)
    plant, low, _ = lumped
    level = level_heads(plant, plant.p_cut_out / plant.weight)
    enough = plant.p_cut_out + _REACHES * (plant.p_cut_out - low)
    below = taken = _Taken(level, is_locked=False)
    gets_there, levels_off = False, _is_all_the_same(plant, low, most)
    while rung <= floor(top) + 1:
        power, below = RUNG**rung, taken
        gets_there = gets_there or _gets_to(plant, layout, power, enough)
        if gets_there and (climbed := _from_cut_in(moving, layout, power)) is not None:
            heads = np.maximum(taken.heads, climbed.heads)
            taken = _Taken(heads, is_locked=taken.is_locked or climbed.is_locked)
        if levels_off and rung <= top and _is_all_the_same(plant, low, power):
            return taken
        rung += 1
    share = top - floor(top)
    return below._replace(heads=below.heads + share * (taken.heads - below.heads))


def _gets_to(plant: Plant, layout: Layout, power: float, pressure: float) -> bool:
    """Whether the pump reaches a pressure [Pa] with every float shut; more power then does too."""
    shut = settled(plant, layout, power=power, openings={})
    return shut.stopped_by == TORQUE_LIMIT or shut.pressure[MANIFOLD] >= pressure


def _is_all_the_same(plant: Plant, low: float, power: float) -> bool:
    """Whether the pump runs at full speed all the way, so that more power makes no difference."""
    ends = (low, 2.0 * plant.p_cut_out)
    return all(pump_duty(plant, p / plant.weight, power, 1.0).speed >= 1.0 for p in ends)


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
    least, most = inf, -inf
    for heads in _watched(plant, layout, _at_rest(plant, pressure), inputs, end, _TOLERANCE):
        least = min(least, float(heads[:, column].min()))
        most = max(most, float(heads[:, column].max()))
    z = float(plant.nodes.z[plant.gauge])
    return plant.weight * (least - z), plant.weight * (most - z)


def _at_rest(plant: Plant, pressure: float) -> Memory:
    """Let the line stand at one pressure at the gauge [Pa], every trough full."""
    h = level_heads(plant, pressure / plant.weight)
    memory = fresh_memory(h, np.array(plant.troughs.V_shut), plant.sensors.size)
    begin(plant, memory)
    return memory


def _highest(trip: _Trip, layout: Layout, memory: Memory, power: float) -> _Taken:
    """Run the pump until it has stopped and the line come to rest."""
    plant, highest = trip.plant, memory.h[trip.plant.own]
    last, inputs = plant.ramp_down + AFTERWARDS, _steady(plant, power)
    end = until = float(memory.real[places.TIME]) + LONGEST_CLIMB + last
    for heads in _watched(plant, layout, memory, inputs, end, trip.tolerance):
        highest = np.maximum(highest, heads.max(axis=0))
        now = float(memory.real[places.TIME])
        if now >= until:
            break
        if _has_stopped(memory):
            until = min(until, now + last)
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
    """Go on until `end` [s], and give the heads (any, n) [m] on the way, some rows at a time.

    Nothing but the line itself says where steps end: one cut short shifts the waves that the switch
    trips in.
    """
    n, m, step = plant.own.size, plant.troughs.size, make_step(plant)
    rows = np.empty((_GLANCE, len(ROW) + n + 4 * m))
    events = np.empty((_GLANCE + most_events(plant), 3))
    step.door.allowed[:] = 0.0  # the highest row may lie near a straight line
    memory.whole[places.FRESH], status = 1, -1
    while status != DONE:
        memory.whole[places.ROWS] = memory.whole[places.EVENTS] = step.door.at[0] = 0
        status = advance(plant, inputs, memory, step, rows, events, end, tolerance)
        if status == STUCK:
            now = float(memory.real[places.TIME])
            what = "no step could be solved"
            raise RunError(f"line to {layout.troughs[0]}", now, "stopping", now, what)
        yield rows[: memory.whole[places.ROWS], len(ROW) : len(ROW) + n]
