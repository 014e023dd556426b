"""The moment of the stop: how far the pressure climbs while the pump ramps down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.engine import memory as places
from labkit.engine.loop import DONE, STUCK, advance, begin
from labkit.engine.memory import LOCKED, ROW, RUNNING, Inputs, fresh_memory
from labkit.engine.network import records
from labkit.engine.pieces import in_pieces
from labkit.engine.plant import level_heads
from labkit.engine.sensing import LISTENS
from labkit.engine.step import make_step
from labkit.engine.wiring import SENSOR
from labkit.errors import RunError

if TYPE_CHECKING:
    from labkit.engine.layout import Layout
    from labkit.engine.network import Plant

AFTERWARDS: Final = 20.0
"""Seconds watched after the ramp, for pressures to even out along the line."""

_TOLERANCE: Final = 2e-4
_ROOM: Final = 512


@attrs.frozen(kw_only=True)
class Stop:
    """How a line takes a stop.

    Attributes
    ----------
    peak : dict of float
        Highest gauge pressure at each node [Pa].
    is_locked : bool
        Whether the drive's torque limit, or low water, cut in before the ramp was over.
    """

    peak: dict[str, float]
    is_locked: bool


def stop(plant: Plant, layout: Layout, *, power: float, cut_out: float) -> Stop:
    """Trip the switch of a running pump, with every float shut, and watch the pressure climb.

    Parameters
    ----------
    plant, layout : Plant, Layout
        The line.
    power : float
        Shaft power on offer [W].
    cut_out : float
        The pressure at which the switch trips [Pa gauge], in place of the plant's.

    Notes
    -----
    The hardest stop that a lumped line can see: the whole line stands at the cut-out, the pump
    turns as fast as its power allows, no valve takes any of what it pumps on the ramp. In a run
    the floats still pass some water, or the far end stands lower, and the pressure climbs less.
    A pressure wave in the line is another matter. The switch is taken as sound and wired right.
    """
    plant = plant._replace(
        p_cut_out=cut_out,
        p_cut_in=min(plant.p_cut_in, 0.5 * cut_out),
        closes_on_rise=plant.stops_when_closed,
        listens=LISTENS["pressure switch"],
        switch_fixed=-1,
        is_plugged=False,
        sensors=records(0, SENSOR),
    )
    plant = in_pieces(plant)
    n, m = plant.own.size, plant.troughs.size
    end = plant.ramp_down + AFTERWARDS
    inputs = Inputs(np.array([0.0, end, end + 1.0]), np.full(3, power), np.zeros((3, m)))
    memory = fresh_memory(
        level_heads(plant, cut_out / plant.weight), np.array(plant.troughs.V_shut)
    )
    begin(plant, memory)
    memory.whole[places.STATE], memory.whole[places.SWITCHED] = RUNNING, 1
    memory.real[places.CAP] = 1.0
    step, highest, status = make_step(plant), memory.h[plant.own], -1
    while status != DONE:
        rows = np.empty((_ROOM, len(ROW) + n + 4 * m))
        memory.whole[places.ROWS] = memory.whole[places.EVENTS] = 0
        status = advance(plant, inputs, memory, step, rows, np.empty((_ROOM, 3)), end, _TOLERANCE)
        if status == STUCK:
            now = float(memory.real[places.TIME])
            what = "no step could be solved"
            raise RunError(f"line to {layout.troughs[0]}", now, "stopping", now, what)
        heads = rows[: memory.whole[places.ROWS], len(ROW) : len(ROW) + n]
        highest = np.maximum(highest, heads.max(axis=0))
    peaks = plant.weight * (highest - plant.nodes.z[plant.own])
    return Stop(
        peak=dict(zip(layout.names, peaks.tolist(), strict=True)),
        is_locked=int(memory.whole[places.STATE]) == LOCKED,
    )
