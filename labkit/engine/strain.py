"""What a run strained: water too fast, pressure over a pipe's rating, a motor started too often."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Final

import numpy as np

from labkit.catalogue import derated_rating
from labkit.engine.curves import rated_power
from labkit.engine.layout import PUMP_NODE
from labkit.engine.pieces import misses_swing
from labkit.parts import MANIFOLD
from labkit.trace.record import Flag
from labkit.units import si
from labkit.units.customary import HOUR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labkit.engine.layout import Layout
    from labkit.engine.network import Floats, Plant
    from labkit.site import Site
    from labkit.trace import Event

FASTEST: Final = 1.5
"""Velocity [m/s] that a design should not pass: 5 ft/s (University of Florida IFAS, hydraulics
chapter 21; the same figure for rigid PVC in metric courses)."""

COUNTED: Final = 1000
"""Starts within an hour past which none is told from the next: past all that any motor stands."""
SMALL_MOTOR: Final = 560.0
"""Shaft power [W] up to which a motor counts as small: three quarters of a horsepower."""
STARTS: Final = (15.0, 7.5)
"""Starts an hour that a small motor stands, and a larger one that starts hard, on the mains (common
practice; the motor's own plate or manual rules, and `drive.most_starts` says so)."""


def design_flags(
    site: Site,
    plant: Plant,
    layout: Layout,
    head: Floats,
    fastest: Floats,
    events: tuple[Event, ...],
) -> tuple[Flag, ...]:
    """Return the flags of a run.

    `head` (rows, nodes with a name) [m]; `fastest` (nodes) [m3/s] is the most that has run along
    the pipe that ends at each.
    """
    happened = {event.kind for event in events}
    flags = [Flag("suction")] if "suction" in happened else []
    speeds = dict(zip(layout.names, _velocities(plant, fastest).tolist(), strict=True))
    reach = plant.weight * (head.max(axis=0) - plant.nodes.z[plant.own])
    highest = dict(zip(layout.names, reach.tolist(), strict=True))
    for start, end, run in site.runs():
        nodes = _between(layout, start, end)
        speed = max([speeds[node] for node in nodes])
        if speed > FASTEST:
            flags.append(Flag("velocity", end, speed, FASTEST))
        pressure = max([highest[node] for node in (start, *nodes)])
        rating = si(derated_rating(run.size, site.place.water_temperature))
        if pressure > rating:
            flags.append(Flag("pressure", end, pressure, rating))
    if "pump stops" in happened and misses_swing(plant):
        flags.append(Flag("swing"))
    return (*flags, *_drop_pipe(site, plant, layout, head), *_starts(site, events))


def _velocities(plant: Plant, fastest: Floats) -> Floats:
    """Highest velocity in the run that ends at each node with a name [m/s], its pieces included."""
    speeds = np.zeros(fastest.size)
    speeds[1:] = fastest[1:] / (0.25 * pi * plant.nodes.D[1:] ** 2)
    first = np.concatenate(([0], plant.own[:-1] + 1))
    return np.asarray(np.maximum.reduceat(speeds, first))


def _between(layout: Layout, start: str, end: str) -> list[str]:
    """Name the nodes of a run after its start: leaks within it, and its end."""
    nodes = [end]
    while layout.parents[nodes[-1]] != start:
        nodes.append(layout.parents[nodes[-1]])
    return nodes


def _drop_pipe(site: Site, plant: Plant, layout: Layout, head: Floats) -> tuple[Flag, ...]:
    """Hold the foot of the drop pipe to its rating; the water in the well helps it."""
    if site.pump.drop_pipe is None or layout.names[0] != PUMP_NODE:
        return ()
    pressure = plant.weight * (float(head[:, 0].max()) + plant.lift)
    rating = si(derated_rating(site.pump.drop_pipe, site.place.water_temperature))
    return (Flag("drop pipe", MANIFOLD, pressure, rating),) if pressure > rating else ()


def starts_limit(site: Site) -> float:
    """Return the starts an hour that a site's motor stands: its own figure, or common practice."""
    if site.drive.most_starts is not None:
        return site.drive.most_starts
    is_hard = site.drive.kind == "mains" and rated_power(site) > SMALL_MOTOR
    return STARTS[1] if is_hard else STARTS[0]


def has_started(times: Sequence[float] | Floats, count: int, now: float) -> bool:
    """Whether so many of the times [s] fall within the hour before `now`."""
    return len(times) >= count and bool(now - times[-count] <= HOUR)


def most_starts(times: Sequence[float] | Floats) -> int:
    """Return the most of some times [s], in order, that fall within any hour."""
    times = np.asarray(times)
    within = np.searchsorted(times, times + HOUR, side="right") - np.arange(times.size)
    return int(within.max(initial=0))


def _starts(site: Site, events: tuple[Event, ...]) -> tuple[Flag, ...]:
    """Flag too many starts within an hour."""
    starts = [event.time for event in events if event.kind == "pump starts"]
    most, limit = most_starts(starts), starts_limit(site)
    return (Flag("starts", "wellhead", float(most), limit),) if most > limit else ()
