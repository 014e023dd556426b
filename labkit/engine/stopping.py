"""What swings past the switch's points: the climb as the pump stops, the dip as a float opens."""

from collections.abc import Iterator
from typing import Final

import attrs
import numpy as np

from labkit.engine import memory as places
from labkit.engine.layout import Layout
from labkit.engine.loop import DONE, STUCK, advance, begin, most_events
from labkit.engine.memory import HELD, LOCKED, ROW, RUNNING, SWITCHED, Inputs, Memory, fresh_memory
from labkit.engine.network import Floats, Plant, records
from labkit.engine.pieces import in_pieces
from labkit.engine.plant import level_heads
from labkit.engine.sensing import LISTENS
from labkit.engine.step import make_step
from labkit.engine.wiring import SENSOR
from labkit.errors import RunError

AFTERWARDS: Final = 20.0
"""Seconds watched after the ramp, for pressures to even out along the line."""
LONGEST_CLIMB: Final = 900.0
"""Seconds that a line is given to climb from its cut-in to its cut-out."""

_GLANCE: Final = 10.0
"""Seconds between two looks at whether the switch has tripped."""
_TOLERANCE: Final = 2e-4
_ROOM: Final = 512


@attrs.frozen(kw_only=True)
class Stop:
    """How a line takes a stop."""

    peak: dict[str, float]  # highest gauge pressure at each node [Pa]
    # whether the drive's torque limit, or low water, cut in before the ramp was over
    is_locked: bool


def stop(plant: Plant, layout: Layout, *, power: float, cut_out: float) -> Stop:
    """Trip the switch of a running pump at a `cut_out` [Pa gauge] with every float shut.

    The hardest stop that a lumped line can see: the whole line stands at the cut-out, the pump
    turns as fast as its `power` [W] allows, no valve takes any of what it pumps on the ramp. In a
    run the floats still pass some water, or the far end stands lower, and the pressure climbs less.
    Where water has inertia, what moves at the cut-out climbs on: there the pump starts at the
    cut-in and fills the line, as it does in a cycle of the line's own. A short bare line may be
    full before that start is over; it takes whichever of both stops climbs higher. The steep wave
    of a valve is another matter. The switch is taken as sound and wired right.
    """
    low = max(cut_out - (plant.p_cut_out - plant.p_cut_in), 0.5 * cut_out)
    plant = plant._replace(p_cut_in=low, p_cut_out=cut_out)
    tolerance = _TOLERANCE * (cut_out - low) / (cut_out + plant.p_air)
    lumped, moving = (
        each._replace(
            p_cut_in=-plant.p_air,  # no wave of the stop itself may start the pump again
            closes_on_rise=plant.stops_when_closed,
            listens=LISTENS["pressure switch"],
            switch_fixed=-1,
            is_plugged=False,
            sensors=records(0, SENSOR),
        )
        for each in (plant, in_pieces(plant))
    )
    taken = []
    if moving.waves > 0.0:
        memory = _at_rest(moving, low)
        memory.whole[places.STATE] = HELD
        climbed = _highest(moving, layout, memory, power, tolerance)
        if _has_stopped(memory):
            taken.append((climbed, memory))
    if moving.beat > 0.0 or not taken:
        whole = lumped if moving.beat > 0.0 else moving
        memory = _at_rest(whole, cut_out)
        memory.whole[places.STATE], memory.whole[SWITCHED] = RUNNING, 1
        memory.real[places.CAP] = 1.0
        taken.append((_highest(whole, layout, memory, power, tolerance), memory))
    highest = np.max([heads for heads, _ in taken], axis=0)
    is_locked = any(memory.whole[places.STATE] == LOCKED for _, memory in taken)
    peaks = plant.weight * (highest - plant.nodes.z)
    return Stop(peak=dict(zip(layout.names, peaks.tolist(), strict=True)), is_locked=is_locked)


def highest_climb(plant: Plant, layout: Layout, *, power: float, pressure: float) -> float:
    """Return the highest gauge [Pa] as a pump fills a shut line that nothing tells to stop.

    From a pressure [Pa gauge]: moving water swings past the dead-head that it comes to rest at.
    """
    plant = in_pieces(plant)._replace(
        listens=LISTENS["pressure switch"], switch_fixed=0 if plant.stops_when_closed else 1
    )
    inputs = Inputs(
        np.array([0.0, LONGEST_CLIMB, LONGEST_CLIMB + 1.0]),
        np.full(3, power),
        np.zeros((3, plant.troughs.size)),
    )
    column = int(np.flatnonzero(plant.own == plant.gauge)[0])
    memory = _at_rest(plant, pressure)
    seen = _watched(plant, layout, memory, inputs, LONGEST_CLIMB, _TOLERANCE)
    most = max(heads[:, column].max() for heads in seen)
    return float(plant.weight * (most - plant.nodes.z[plant.gauge]))


def lowest_as_it_opens(
    plant: Plant, layout: Layout, trough: str, *, pressure: float, drinking: float, seconds: float
) -> float:
    """Return the lowest gauge [Pa] as stock drink from a full trough beside a line that stands.

    The line stands at a pressure [Pa gauge], its pump off. They drink so fast [m3/s] for some
    seconds, and the gauge is watched as long again: moving water dips under what it comes to rest
    at.
    """
    plant = in_pieces(plant)
    rates = np.zeros((3, plant.troughs.size))
    rates[0, layout.troughs.index(trough)] = drinking
    end = 2.0 * seconds
    inputs = Inputs(np.array([0.0, seconds, end + 1.0]), np.zeros(3), rates)
    column = int(np.flatnonzero(plant.own == plant.gauge)[0])
    memory = _at_rest(plant, pressure)
    least = min(
        heads[:, column].min() for heads in _watched(plant, layout, memory, inputs, end, _TOLERANCE)
    )
    return float(plant.weight * (least - plant.nodes.z[plant.gauge]))


def _at_rest(plant: Plant, pressure: float) -> Memory:
    """Let the line stand at one pressure at the gauge [Pa], every trough full."""
    h = level_heads(plant, pressure / plant.weight)
    memory = fresh_memory(h, np.array(plant.troughs.V_shut), plant.sensors.size)
    begin(plant, memory)
    return memory


def _highest(
    plant: Plant, layout: Layout, memory: Memory, power: float, tolerance: float
) -> Floats:
    """Run the pump until it has stopped and the line come to rest; give the highest heads [m]."""
    last = plant.ramp_down + AFTERWARDS
    end = LONGEST_CLIMB + _GLANCE + last
    inputs = Inputs(
        np.array([0.0, end, end + 1.0]), np.full(3, power), np.zeros((3, plant.troughs.size))
    )
    highest, now = memory.h[plant.own], 0.0
    while now < end:
        now = min(now + (last if _has_stopped(memory) else _GLANCE), end)
        is_over = _has_stopped(memory)
        for heads in _watched(plant, layout, memory, inputs, now, tolerance):
            highest = np.maximum(highest, heads.max(axis=0))
        if is_over:
            break
    return highest


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
