"""A site's runs cut into reaches that pressure waves cross in one common step."""

from math import ceil, inf
from typing import Any, Final

import attrs
import numpy as np

from labkit.engine.fluid import water_at
from labkit.engine.layout import stretches, wave_speed
from labkit.engine.network import Floats, Integers, Plant, records
from labkit.engine.waves import HEADS, JUNCTION, POINT, RUN, Net
from labkit.parts import Pipe
from labkit.physics import GRAVITY, pipe
from labkit.site import Site

FEWEST: Final = 200
MOST: Final = 600
"""Reaches of the longest run, where nothing is asked for."""
WANTED: Final = 4
"""Reaches that the shortest run should have, if `MOST` allows."""


@attrs.frozen(kw_only=True, eq=False)
class Cut:
    """Runs cut into reaches, in the plant's order; the first node has no run."""

    dt: float  # the common step, in which a wave crosses one reach [s]
    # reaches of each run; none for one that a wave crosses in less than half a step, shape (n,)
    reaches: Integers
    wave_speed: Floats  # as the pipes have it [m/s], shape (n,)
    # as adjusted to a whole number of reaches [m/s]; nan where there is none, shape (n,)
    used: Floats
    pipes: tuple[Pipe, ...]  # each run's, from the second node's on


def common_step(travel: Floats, reaches: int | None) -> float:
    """Choose the step [s] for runs that waves cross in `travel` (n,) [s].

    The longest run is cut into `reaches`, or up to a quarter more: as many as ask for the least
    adjustment of any wave speed.
    """
    longest = float(travel.max())
    least = reaches
    if least is None:
        wish = ceil(WANTED * longest / float(travel[travel > 0.0].min()))
        least = min(max(wish, FEWEST), MOST)
    steps = longest / np.arange(least, max(least + least // 4, least + 1))
    counts = np.rint(travel[None, :] / steps[:, None])
    shares = counts * steps[:, None] / np.where(travel > 0.0, travel, 1.0)
    worst = np.max(np.where(counts > 0.0, np.abs(shares - 1.0), 0.0), axis=1)
    return float(steps[int(np.argmin(np.round(worst, 9)))])  # rounding must not choose


def cut(site: Site, plant: Plant, *, reaches: int | None = None) -> Cut:
    """Cut the runs of a plant into reaches; see `common_step`."""
    pipes = tuple(stretch.pipe for stretch in stretches(site))
    fluid = water_at(site.place)
    speeds = np.array([inf, *(wave_speed(run, fluid, run.row.wave_modulus) for run in pipes)])
    travel = plant.nodes.L / speeds
    dt = common_step(travel, reaches)
    counts = np.rint(travel / dt).astype(np.int64)
    used = np.where(counts > 0, plant.nodes.L / (np.maximum(counts, 1) * dt), np.nan)
    return Cut(dt=dt, reaches=counts, wave_speed=speeds, used=used, pipes=pipes)


def lay(plant: Plant, pieces: Cut, heads: Floats) -> Net:
    """Lay the grid over a plant whose nodes stand at `heads` (n,) [m] with steady flow."""
    n, m = plant.nodes.size, plant.troughs.size
    place = np.arange(n)
    for i in range(1, n):
        if pieces.reaches[i] == 0:
            place[i] = place[plant.nodes[i].parent]
    runs, nodes = records(n, RUN), records(n, JUNCTION)
    total = int(np.sum(pieces.reaches[pieces.reaches > 0] + 1))
    points = records(total, POINT)
    nodes.h = heads
    nodes.h_vapour = -inf
    for i in range(n):
        node = nodes[place[i]]
        node.h_vapour = max(node.h_vapour, plant.nodes[i].h_least)
    first = 0
    for i in range(1, n):
        pipe_end, run = plant.nodes[i], runs[i]
        run.up, run.first, run.reaches = place[pipe_end.parent], first, pieces.reaches[i]
        run.L, run.D, run.K = pipe_end.L, pipe_end.D, pipe_end.K
        if run.reaches == 0:
            continue
        run.B = pieces.used[i] / (GRAVITY * pipe.area(run.D))
        there: Any = points[first : first + run.reaches + 1]
        there.h = np.linspace(heads[run.up], heads[i], run.reaches + 1)
        there.h_vapour = np.linspace(
            plant.nodes[pipe_end.parent].h_least, pipe_end.h_least, run.reaches + 1
        )
        q, _ = pipe.run_flow(
            heads[run.up] - heads[i], run.L, run.D, run.K, plant.wall, plant.nu, plant.law
        )
        there.q_in = there.q_out = q
        first += run.reaches + 1
    points.lowest = points.highest = points.h
    return Net(
        runs=runs,
        nodes=nodes,
        place=place,
        points=points,
        flows=np.zeros(HEADS + n + m),
        leaks=np.zeros(plant.leaks.size),
        opening=np.zeros(m),
        limit=np.full(m, inf),
        state=np.array([1.0, inf, 1.0, inf, inf, 0.0, plant.check_k]),
    )
