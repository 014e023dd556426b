"""What a run strained: water too fast, pressure over a pipe's rating, a motor started too often."""

from collections.abc import Sequence
from math import inf, pi
from typing import Final, NamedTuple

import numpy as np

from labkit.catalogue import derated_rating
from labkit.engine.curves import rated_power
from labkit.engine.layout import PUMP_NODE, Layout
from labkit.engine.network import Floats, Plant
from labkit.engine.plant import plant_of
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.trace import Event
from labkit.trace.record import Flag
from labkit.units import si
from labkit.units.customary import HOUR

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


class _Limits(NamedTuple):
    """What a line stands, under any sun."""

    runs: list[tuple[str, list[str], float]]  # end, nodes from start to end, rating of pipe [Pa]
    drop_pipe: float  # its rating [Pa], without end where there is none
    starts: float  # starts an hour


def _limits(site: Site) -> _Limits:
    """Look up what a line stands."""
    _, layout = plant_of(site)

    def rating(size: str) -> float:
        return si(derated_rating(size, site.place.water_temperature))

    drop_pipe = site.pump.drop_pipe if layout.names[0] == PUMP_NODE else None
    return _Limits(
        [(end, _along(layout, start, end), rating(run.size)) for start, end, run in site.runs()],
        inf if drop_pipe is None else rating(drop_pipe),
        starts_limit(site),
    )


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
    limits = site.once(_limits)
    flags = [Flag("suction")] if any(event.kind == "suction" for event in events) else []
    speeds = dict(zip(layout.names, _velocities(plant, fastest).tolist(), strict=True))
    reach = plant.weight * (head.max(axis=0) - plant.nodes.z[plant.own])
    highest = dict(zip(layout.names, reach.tolist(), strict=True))
    for end, nodes, rating in limits.runs:
        speed = max([speeds[node] for node in nodes[1:]])
        if speed > FASTEST:
            flags.append(Flag("velocity", end, speed, FASTEST))
        pressure = max([highest[node] for node in nodes])
        if pressure > rating:
            flags.append(Flag("pressure", end, pressure, rating))
    foot = plant.weight * (float(head[:, 0].max()) + plant.lift)  # the water in the well helps it
    if foot > limits.drop_pipe:
        flags.append(Flag("drop pipe", MANIFOLD, foot, limits.drop_pipe))
    most = most_starts([event.time for event in events if event.kind == "pump starts"])
    if most > limits.starts:
        flags.append(Flag("starts", "wellhead", float(most), limits.starts))
    return tuple(flags)


def _velocities(plant: Plant, fastest: Floats) -> Floats:
    """Highest velocity in the run that ends at each node with a name [m/s], its pieces included."""
    speeds = np.zeros(fastest.size)
    speeds[1:] = fastest[1:] / (0.25 * pi * plant.nodes.D[1:] ** 2)
    first = np.concatenate(([0], plant.own[:-1] + 1))
    return np.asarray(np.maximum.reduceat(speeds, first))


def _along(layout: Layout, start: str, end: str) -> list[str]:
    """Name the nodes of a run: its start, leaks within it, its end."""
    nodes = [end]
    while nodes[0] != start:
        nodes.insert(0, layout.parents[nodes[0]])
    return nodes


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
