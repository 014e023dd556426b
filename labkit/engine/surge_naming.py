"""From rows of numbers to a `Surge`: every column gets its name."""

from __future__ import annotations

from math import inf, nan
from typing import TYPE_CHECKING, Any, Final

import attrs
import numpy as np

from labkit.engine.layout import FAR_SIDE, PUMP_NODE
from labkit.engine.network import BACK, PUMP, RELIEF, SPEED
from labkit.engine.surge_options import VALVE
from labkit.engine.surge_record import Balance, RunSurge, Surge
from labkit.engine.waves import HEADS, LEAKS, LOCKED, TANK, TRIPPED
from labkit.physics import pipe
from labkit.text import speaker
from labkit.units import si

if TYPE_CHECKING:
    from labkit.engine.layout import Layout
    from labkit.engine.network import Floats, Plant
    from labkit.engine.reaches import Cut
    from labkit.engine.waves import Net
    from labkit.site import Site

_say = speaker("surge")

_TOO_MUCH: Final = 0.05
"""Change of a wave speed that is worth a flag."""


@attrs.frozen(kw_only=True, eq=False)
class History:
    """What was kept: `time` (n,) [s], `rows` (n, ..), and `frames` (m, k) every `stride` rows."""

    time: Floats
    rows: Floats
    frames: Floats
    stride: int


@attrs.frozen(kw_only=True)
class SurgeSetup:
    """What set off the wave, at which trough, and how its valve closed, within which time [s].

    `settled` is the pressure at the switch once the waves are gone, nan where nobody knows, and
    `shut_in` what it would be with all float valves shut [Pa].
    """

    event: str
    closing: str
    trough: str
    closing_time: float
    settled: float
    shut_in: float


def record(
    site: Site,
    plant: Plant,
    layout: Layout,
    pieces: Cut,
    net: Net,
    history: History,
    told: SurgeSetup,
) -> Surge:
    """Name the columns."""
    n = plant.nodes.size
    columns = history.rows.T
    heads = columns[HEADS : HEADS + n]
    resting = min(told.shut_in, plant.p_cut_out)
    runs = _runs(plant, layout, pieces, net, history, resting)
    origin = layout.names.index(told.trough) if told.event == VALVE else 0
    return Surge(
        site=site,
        event=told.event,
        closing=told.closing,
        trough=told.trough,
        closing_time=told.closing_time,
        dt=pieces.dt,
        time=history.time,
        head=dict(zip(layout.names, heads, strict=True)),
        pressure=dict(
            zip(layout.names, plant.weight * (heads - plant.nodes.z[:, None]), strict=True)
        ),
        inflow=dict(zip(layout.troughs, columns[HEADS + n :], strict=True)),
        pump_flow=columns[PUMP],
        speed=columns[SPEED],
        returned_flow=columns[BACK],
        relief_flow=columns[RELIEF],
        leak_flow=columns[LEAKS],
        tank_water=columns[TANK],
        frames=history.time[:: history.stride][: history.frames.shape[0]],
        runs=runs,
        elevations=dict(zip(layout.names, plant.nodes.z.tolist(), strict=True)),
        distance=distances(plant, layout),
        parents={
            name: layout.names[plant.nodes[i].parent]
            for i, name in enumerate(layout.names)
            if i > 0
        },
        weight=plant.weight,
        vapour_pressure=plant.weight * float(plant.nodes[0].h_least - plant.nodes[0].z),
        arrival=pieces.dt * _reaches_between(plant, pieces, origin),
        trip_time=_or_nan(net.state[TRIPPED]),
        settled_pressure=told.settled,
        lock_time=_or_nan(net.state[LOCKED]),
        balance=_balance(plant, pieces, net, history),
        flags=_flags(layout, pieces, net, runs),
    )


def distances(plant: Plant, layout: Layout) -> dict[str, float]:
    """Way of each node from the manifold along the pipe [m]; the pump's counts as negative."""
    found = dict(layout.distance)
    if layout.names[0] == PUMP_NODE:
        found[PUMP_NODE] = -float(plant.nodes[plant.gauge].L)
    return found


def _or_nan(moment: float) -> float:
    return float(moment) if moment < inf else nan


def _reaches_between(plant: Plant, pieces: Cut, origin: int) -> int:
    """Count the reaches between a node and the manifold."""
    node, end = max(origin, plant.gauge), min(origin, plant.gauge)
    count = 0
    while node != end:
        count += int(pieces.reaches[node])
        node = int(plant.nodes[node].parent)
    return count


def _runs(
    plant: Plant, layout: Layout, pieces: Cut, net: Net, history: History, resting: float
) -> tuple[RunSurge, ...]:
    """Read each run off the grid; `resting` is the most at the switch while no water moves [Pa]."""
    way = distances(plant, layout)
    found = []
    for i in range(1, plant.nodes.size):
        run, size = net.runs[i], pieces.pipes[i - 1].row
        if run.reaches == 0:
            continue
        here = slice(int(run.first), int(run.first + run.reaches + 1))
        start, end = layout.names[plant.nodes[i].parent], layout.names[i]
        share = np.linspace(0.0, 1.0, int(run.reaches) + 1)
        z = plant.nodes[plant.nodes[i].parent].z * (1.0 - share) + plant.nodes[i].z * share
        points: Any = net.points[here]
        heads = history.frames[:, here]
        found.append(
            RunSurge(
                start=start,
                end=end,
                size=size.size,
                distance=way[start] * (1.0 - share) + way[end] * share,
                elevation=z,
                steady=heads[0],
                lowest=np.array(points.lowest),
                highest=np.array(points.highest),
                head=heads,
                wave_speed=float(pieces.wave_speed[i]),
                wave_speed_used=float(pieces.used[i]),
                reaches=int(run.reaches),
                rating=si(size.rating),
                working_pressure=max(
                    plant.weight * float(np.max(heads[0] - z)), resting - plant.weight * min(z)
                ),
                peak_pressure=plant.weight * float(np.max(points.highest - z)),
                low_pressure=plant.weight * float(np.min(points.lowest - z)),
                boils=bool(np.any(points.lowest <= points.h_vapour + 1e-9)),
            )
        )
    return tuple(found)


def _balance(plant: Plant, pieces: Cut, net: Net, history: History) -> Balance:
    """Add up the water: flows by the trapezoid rule, as the characteristics take them."""
    dt = pieces.dt
    n = plant.nodes.size

    def volume(column: int) -> float:
        return float(np.trapezoid(history.rows[:, column], dx=dt))

    gain = -float(net.points.pocket.sum() + net.nodes.pocket.sum())
    for i in range(1, n):
        run = net.runs[i]
        if run.reaches > 0:
            here = slice(int(run.first), int(run.first + run.reaches + 1))
            rise = net.points.h[here] - history.frames[0, here]
            each = pipe.storage(run.L, run.D, pieces.used[i]) / run.reaches
            gain += each * float(np.trapezoid(rise))
    return Balance(
        pumped=volume(PUMP),
        returned=volume(BACK),
        delivered=sum(volume(HEADS + n + k) for k in range(plant.troughs.size)),
        leaked=volume(LEAKS),
        relieved=volume(RELIEF),
        line_gain=gain,
        tank_gain=float(history.rows[-1, TANK] - history.rows[0, TANK]),
    )


def _flags(layout: Layout, pieces: Cut, net: Net, runs: tuple[RunSurge, ...]) -> tuple[str, ...]:
    """Say what the numbers cannot be trusted with."""
    flags = [
        _say("flag-uncut", where=layout.names[i])
        for i in range(1, pieces.reaches.size)
        if pieces.reaches[i] == 0 and layout.kinds[layout.names[i]] != FAR_SIDE
    ]
    flags += [
        _say("flag-stretched", share=f"{abs(run.adjustment):.0%}", where=run.end)
        for run in runs
        if abs(run.adjustment) > _TOO_MUCH
    ]
    if any(run.boils for run in runs):
        flags.append(_say("flag-aired" if layout.vents else "flag-boiled"))
    if net.state[LOCKED] < inf:
        flags.append(_say("flag-stopped"))
    return tuple(flags)
