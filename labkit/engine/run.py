"""Simulate: a Site, a sun and a while become a Trace."""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np

from labkit.engine import memory as places
from labkit.engine.demand import make_inputs
from labkit.engine.layout import Layout
from labkit.engine.logbook import SHUT_UNDER
from labkit.engine.loop import DONE, FULL, STUCK, advance, begin, most_events
from labkit.engine.memory import EVENT_WORDS, ROW, Inputs, Memory, fresh_memory
from labkit.engine.network import Floats, Plant
from labkit.engine.plant import level_heads, running_plant_of, shut_volume
from labkit.engine.rest import rest
from labkit.engine.step import make_step
from labkit.engine.strain import COUNTED, design_flags, has_started
from labkit.errors import RunError, SiteError
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.sun import Sun, as_sun, clock_seconds
from labkit.trace import DriveState, Event, Trace
from labkit.trace.record import Flag, Totals
from labkit.units import Quantity, plain_number, quantity, read_argument, si

_HIGHEST: Final = "500 psi"
"""Gauge pressure with which a run may begin: over any switch and relief valve there may be."""

TOLERANCE: Final = 2e-4
"""Error allowed in a step, as a share of the switch's differential."""

_ROOM: Final = 1024
_MOST_ROWS: Final = 3_000_000
"""Rows that are kept of a run: about a gigabyte, a month of a hundred starts an hour."""
_MOST_CHATTERED: Final = 250_000
"""Steps that are taken while a line chatters: each of its starts is like the last, and whoever
moved a slider waits some five seconds for them. There the run ends, and a flag says so."""

_CREEPS: Final = 1e-3
_MOST_CREPT: Final = 50_000
"""Time a step [s] under which a run creeps, and how many such steps it may take. No line is known
that does: those that did had a trough that Newton left too much water in (`labkit.engine.step`).
Honest steps are tens of times as long, water to and fro or not."""


def _asked(typed: str | Quantity, like: str, what: str) -> float:
    """Read a quantity handed to `simulate` as an SI number."""
    return si(read_argument(typed, like, part="run", field=what))


def _volumes(site: Site, levels: Mapping[str, str | Quantity]) -> Floats:
    """Water in the troughs at the start [m3]: full to the float unless said otherwise."""
    names = [trough.name for trough in site.troughs]
    for name in levels:
        if name not in names:
            raise SiteError("run", "levels", name, f"the troughs are {', '.join(names)}")
    volumes = []
    for trough in site.troughs:
        if trough.name not in levels:
            volumes.append(shut_volume(trough))
            continue
        level = _asked(levels[trough.name], "in", f"level of {trough.name}")
        if not 0.0 <= level <= si(trough.depth):
            rule = f"it must lie between 0 in and the depth {trough.depth}"
            raise SiteError("run", f"level of {trough.name}", levels[trough.name], rule)
        volumes.append(si(trough.volume) * level / si(trough.depth))
    return np.array(volumes)


def _pressure(typed: str | Quantity) -> float:
    """Read a gauge pressure to begin with [Pa]."""
    asked, most = _asked(typed, "psi", "pressure"), si(quantity(_HIGHEST, "psi"))
    if not 0.0 <= asked <= most:
        raise SiteError("run", "pressure", typed, f"it must lie between 0 psi and {_HIGHEST}")
    return asked


def _standing(plant: Plant, layout: Layout, volumes: Floats) -> float:
    """Pressure at the manifold of a line left alone [Pa]: no higher than an open end leaves it.

    Where water has inertia an open float counts as such an end: at cut-in it would begin with the
    wave of a valve that slams open.
    """
    left = [plant.p_cut_in]
    for trough, name, volume in zip(plant.troughs, layout.troughs, volumes, strict=True):
        floats_open = trough.kept < 0.0 and volume < trough.V_shut - SHUT_UNDER * trough.V_band
        if trough.kept == 1.0 or (floats_open and plant.waves > 0.0):
            left.append(max(rest(plant, layout, name).least, 0.0))
    return min(left)


def simulate(
    site: Site,
    duration: str | Quantity,
    *,
    sun: Sun | str | Quantity,
    start: str | float | None = None,
    levels: Mapping[str, str | Quantity] | None = None,
    pressure: str | Quantity | None = None,
    tolerance: float = TOLERANCE,
    progress: Callable[[float], None] | None = None,
    until: Callable[[Floats], bool] | None = None,
    to_the_end: bool = False,
) -> Trace:
    """Run a line for a while and record what happens.

    Parameters
    ----------
    site : Site
        The line.
    duration : str or Quantity
        How long, such as ``"2 hour"``.
    sun : Sun, str or Quantity
        A sun, or a constant irradiance on the array such as ``"620 W/m^2"``.
    start : str or float, optional
        Time of day at which to begin, a number in seconds; left out, noon for a constant sun, else
        the sun's own.
    levels : dict, optional
        Depth of water in troughs at the start; the others are full to the float.
    pressure : str or Quantity, optional
        Pressure at the manifold at the start, the pump at rest; left out, the cut-in point, or what
        an open pipe end has left of it (of a line whose water's inertia shows, an open float too).
    tolerance : float
        Error allowed in a step, as a share of the switch's differential.
    progress : callable, optional
        Told the share of the run that is done, now and then.
    until : callable, optional
        Shown all events so far now and then, shape (any, 3): time [s], kind by its number in
        `labkit.engine.memory`, trough. Where it says yes the run ends early: a line that chatters
        makes thousands of starts of which each is like the last.
    to_the_end : bool
        Refuse a line that chatters so long that its run would end early: for who adds up a day.

    Returns
    -------
    Trace
        What happened. It ends early, with a flag, if the line chatters for long.

    Raises
    ------
    SiteError
        If something handed in is wrong.
    RunError
        If the numbers fail; it names the part, the time and the drive's state.

    Notes
    -----
    Quasi-steady friction: right for seconds to days. A line long enough for its water's inertia to
    show is cut into pieces that have it (`labkit.engine.pieces`); the steep wave of a valve slammed
    shut is another model. The switch is taken as tripped at the start only if the line stands at or
    above its cut-out, a level sensor as full only if the water stands at its mark; a radio's
    receiver begins with what its sensor says then.
    """
    seconds = _asked(duration, "s", "duration")
    if not 0.0 < seconds <= 400 * 86_400.0:
        raise SiteError("run", "duration", duration, "it must be more than 0 s and at most 400 day")
    light = as_sun(sun, site)
    clock = clock_seconds(start if start is not None else light.clock if sun is light else "12:00")
    light = light.between(clock, seconds)
    plant, layout = running_plant_of(site)
    volumes = _volumes(site, levels or {})
    p = _standing(plant, layout, volumes) if pressure is None else _pressure(pressure)
    if not 0.0 < plain_number(tolerance) <= 1.0:
        raise SiteError("run", "tolerance", tolerance, "it must be more than 0 and at most 1")
    memory = fresh_memory(level_heads(plant, p / plant.weight), volumes, plant.sensors.size)
    inputs = make_inputs(site, light, clock=clock, duration=seconds)
    begin(plant, memory)
    held, volume = memory.held.sum(), memory.V_trough.sum()
    rows, events = _go(plant, layout, inputs, memory, seconds, tolerance, progress, until)
    if to_the_end and rows[-1, 0] < seconds:
        raise _failed(layout, memory, f"the pump starts more than {COUNTED:,} times an hour")
    gains = (float(memory.held.sum() - held), float(memory.V_trough.sum() - volume))
    return _trace(site, light, clock, seconds, plant, layout, rows, events, memory, gains)


def _go(
    plant: Plant,
    layout: Layout,
    inputs: Inputs,
    memory: Memory,
    end: float,
    tolerance: float,
    progress: Callable[[float], None] | None,
    until: Callable[[Floats], bool] | None = None,
) -> tuple[Floats, Floats]:
    """Advance to the end, a room full of rows at a time; or until that is enough.

    Rows that end before `end` are those of a line that starts too often.
    """
    step = make_step(plant)
    width = len(ROW) + plant.own.size + 4 * plant.troughs.size
    pages, happened, written, kept = [], [], 0, np.empty((0, width))
    starts: list[float] = []
    chattered, crept, now, status = 0, 0, 0.0, -1
    while status != DONE:
        rows, events = np.empty((_ROOM, width)), np.empty((_ROOM + most_events(plant), 3))
        rows[: kept.shape[0]] = kept
        memory.whole[places.ROWS], memory.whole[places.EVENTS] = kept.shape[0], 0
        status = advance(plant, inputs, memory, step, rows, events, end, tolerance)
        page = rows[: memory.whole[places.ROWS]]
        goes_on = step.door.at[0] if status == FULL and plant.beat > 0.0 else page.shape[0]
        pages.append(page[:goes_on].copy())
        kept, step.door.at[0] = page[goes_on:].copy(), 0
        taken = pages[-1].shape[0] + int(step.door.left_out[0])
        happened.append(events[: memory.whole[places.EVENTS]].copy())
        written += pages[-1].shape[0]
        before, now = now, float(memory.real[places.TIME])
        if now - before < _CREEPS * taken and now < end:
            crept += taken
        starts += happened[-1][happened[-1][:, 1] == places.PUMP_STARTS, 0].tolist()
        if has_started(starts, COUNTED, now):
            chattered += taken
        if status == STUCK:
            raise _failed(layout, memory, "no step could be solved")
        if written > _MOST_ROWS:
            rule = "more happened than can be kept (ask for a shorter run)"
            raise _failed(layout, memory, rule)
        if crept > _MOST_CREPT:
            rule = "the water swings too fast to be followed (use a shorter or plainer line)"
            raise _failed(layout, memory, rule)
        if progress is not None:
            progress(now / end)
        is_enough = until is not None and until(np.vstack(happened))
        if is_enough or chattered > _MOST_CHATTERED:
            break
    return np.vstack((*pages, kept)), np.vstack(happened)


def _cut_short(rows: Floats, duration: float) -> tuple[Flag, ...]:
    """Flag a run that ended before its time."""
    last = float(rows[-1, 0])
    return (Flag("cut short", value=last, limit=duration),) if last < duration else ()


def _failed(layout: Layout, memory: Memory, rule: str) -> RunError:
    """Return the error of a run whose numbers fail now."""
    now, doing = float(memory.real[places.TIME]), DriveState(int(memory.whole[places.STATE])).words
    return RunError(f"line to {layout.troughs[0]}", now, doing, now, rule)


def _events(found: Floats, layout: Layout) -> tuple[Event, ...]:
    """Return events their words, in order of time."""
    ordered = found[np.argsort(found[:, 0], kind="stable")]
    return tuple(
        [
            Event(
                float(time),
                EVENT_WORDS[int(kind)],
                layout.troughs[int(where)] if where >= 0 else "wellhead",
            )
            for time, kind, where in ordered
        ]
    )


def _trace(
    site: Site,
    sun: Sun,
    clock: float,
    duration: float,
    plant: Plant,
    layout: Layout,
    rows: Floats,
    found: Floats,
    memory: Memory,
    gains: tuple[float, float],
) -> Trace:
    """Name the columns of a run that was to last a `duration` [s].

    Where a pocket is open the engine's unknown is the head of the water's surface in the leg under
    the node; the head at the node itself is at its limit then.
    """
    leading = dict(zip(ROW, rows.T, strict=False))
    n, m = plant.own.size, plant.troughs.size
    totals, surfaces = memory.totals, rows[:, len(ROW) : len(ROW) + n]
    heads = np.maximum(surfaces, plant.nodes.h_least[plant.own])
    blocks = rows.T[len(ROW) + n :].reshape(4, m, -1)
    head = dict(zip(layout.names, heads.T, strict=True))
    volume, inflow, opening, drunk = (
        dict(zip(layout.troughs, block, strict=True)) for block in blocks
    )
    tripped = leading["tripped"] == 1.0
    g = plant.gauge
    events = _events(found, layout)
    return Trace(
        site=site,
        sun=sun,
        clock=clock,
        time=leading["time"],
        pressure=plant.weight * (head[MANIFOLD] - plant.nodes[g].z),
        pump_flow=leading["pump_flow"],
        returned_flow=leading["returned_flow"],
        relief_flow=leading["relief_flow"],
        leak_flow=leading["leak_flow"],
        speed=leading["speed"],
        power=leading["power"],
        irradiance=sun.at(leading["time"]),
        head=head,
        level={  # a step's error may leave a dry trough some micrometres under
            name: np.maximum(volume[name], 0.0) / plant.troughs[k].area
            for k, name in enumerate(layout.troughs)
        },
        inflow=inflow,
        opening=opening,
        drinking=drunk,
        tank_water=leading["tank_water"],
        contact=leading["contact"] == 1.0,
        tripped=tripped,
        drive_state=leading["drive_state"].astype(np.int8),
        events=events,
        totals=Totals(
            pumped=totals[places.PUMPED],
            returned=totals[places.RETURNED],
            delivered=totals[places.DELIVERED],
            leaked=totals[places.LEAKED],
            relieved=totals[places.RELIEVED],
            drunk=totals[places.DRUNK],
            asked=totals[places.ASKED],
            overflowed=totals[places.OVERFLOWED],
            evaporated=totals[places.EVAPORATED],
            line_gain=gains[0],
            trough_gain=gains[1],
        ),
        elevations=layout.elevations,
        distance=layout.distance,
        parents=layout.parents,
        flags=(
            *design_flags(site, plant, layout, heads, memory.fastest, events),
            *_cut_short(rows, duration),
        ),
        kinds=layout.kinds,
        vents=layout.vents,
        surface={
            name: layout.elevations[name] + surfaces[:, i] - heads[:, i]
            for i, name in enumerate(layout.names)
            if name in layout.legs and np.any(surfaces[:, i] < heads[:, i])
        },
        legs=layout.legs,
    )
