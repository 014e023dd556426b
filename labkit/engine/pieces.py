"""Long runs cut into pieces whose water has inertia, where that shows.

Water in a long pipe takes seconds to hear of a stop, as long as the pump runs to refill the line.
There a run is a chain of pieces, each with ``inertance dq/dt = dh - friction`` beside the balance
of its nodes. Where the line answers within a moment, or a tank holds most of what comes and goes,
one piece without inertia says the same at a fraction of the cost, and the plant stays as it is.

Notes
-----
Limits and counts were measured against the method of characteristics on level lines of 100 ft to
15,000 ft. With a tank that gives twice what the line does, period and peak are the same within
1.7 % and 0.8 psi without inertia; the error grows to 8 % and more where it gives less than the
line. A bare line in leaps is within 1 % where its period repeats, its peak at most 1.8 psi low. On
some lines one dip of the wave more or less moves a period by 5 %, in these pieces as in any other.
"""

from math import inf, sqrt
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from labkit.engine.layout import surface
from labkit.engine.leap import COURANT
from labkit.engine.network import NODE, Floats, Integers, Plant, records
from labkit.physics import tank
from labkit.physics.pipe import area, inertance

STORES: Final = 0.5
"""What the line stores over what its tank gives, cut-out to cut-in, from where inertia shows."""
ALL_BUT_BARE: Final = 6.0
"""The same share from where a line counts as bare, whatever tank it has."""
HEARS_AFTER: Final = 0.35
"""Time [s] for a wave to the far end and back from where inertia shows: 150 ft of soft pipe."""
LEAPS_TO: Final = 12.0
"""The same time up to which a bare line is followed in leaps. Longer ones, whose cycles repeat by
no scheme, trip falsely in leaps (15,000 ft: each 12 s for 63)."""
WITH_TANK: Final = (8, 50.0)
"""Pieces on the longest way of a line with a tank; error allowed in waves, in tolerances."""
BARE: Final = (10, 5.0)
"""The same for a bare line, whose wave meets the switch itself."""
SHORT_AND_BARE: Final = (6, 5.0)
"""The same for one whose leaps would be so short that an hour of ten pieces took half a second."""
FEW_TO: Final = 1.5
"""Time out and back [s] up to which six pieces do: some 600 ft of soft pipe."""
LONG_AND_BARE: Final = (16, 5.0)
"""The same for one that is too long for leaps."""
_SHORT: Final = 0.25
"""Share of a piece under which a run is too short for inertia: its wave would be a mere shiver."""
_SHORT_TO_LEAP: Final = 0.5
"""The same where one short piece would shorten all leaps. A line of such runs alone, a trough every
few yards, keeps its one piece each: no leap would be long enough."""


def in_pieces(plant: Plant) -> Plant:
    """Return the plant with its runs in pieces, or as it is where their inertia does not show.

    Nodes between the pieces have no name; ``plant.own`` tells where the others went.
    """
    pieces, waves, leaps = _wanted(plant)
    if pieces == 0:
        return plant
    travel = travel_times(plant)
    each = float(_arrival(plant, travel).max()) / pieces
    counts = np.maximum(np.rint(travel / each), 1).astype(np.int64)
    heavy = travel >= (_SHORT_TO_LEAP if leaps else _SHORT) * each
    if leaps and not heavy.any():
        return plant
    cut = cut_runs(plant, counts, heavy)._replace(waves=waves)
    if not leaps:
        return cut
    return cut._replace(beat=COURANT * float(travel_times(cut)[cut.nodes.inertance > 0.0].min()))


def travel_times(plant: Plant) -> Floats:
    """Return the time that a wave takes along the run that ends at each node [s]: ``L / a``.

    The drop pipe has none: it is short, and the check valve parts it from the line.
    """
    runs: Any = plant.nodes[plant.gauge + 1 :]
    found = np.zeros(plant.nodes.size)
    found[plant.gauge + 1 :] = [
        sqrt(2.0 * half * inertance(L, D))
        for half, L, D in zip(runs.half, runs.L, runs.D, strict=True)
    ]
    return found


def _arrival(plant: Plant, travel: Floats) -> Floats:
    """When a wave from the manifold arrives at each node [s]."""
    found, parent = np.zeros(travel.size), plant.nodes.parent
    for i in range(1, travel.size):
        found[i] = found[parent[i]] + travel[i]
    return found


def _wanted(plant: Plant) -> tuple[int, float, bool]:
    """Return the pieces of the longest way, 0 for no inertia, the error of waves, if it leaps."""
    share, hears = _share(plant), _out_and_back(plant)
    if share <= STORES or hears <= HEARS_AFTER:
        return 0, 0.0, False
    if share < ALL_BUT_BARE:
        return *WITH_TANK, False
    if hears > LEAPS_TO:
        return *LONG_AND_BARE, False
    return *(SHORT_AND_BARE if hears <= FEW_TO else BARE), True


def _out_and_back(plant: Plant) -> float:
    """Return a wave's longest way out and back [s]."""
    return 2.0 * float(_arrival(plant, travel_times(plant)).max())


def _share(plant: Plant) -> float:
    """Return what the line stores over what its tank gives, cut-out to cut-in."""
    low, high = plant.p_cut_in, plant.p_cut_out
    line = float(plant.nodes.C.sum()) * (high - low) / plant.weight
    given = _tank_water(plant, high) - _tank_water(plant, low)
    return line / given if given > 0.0 else inf


def _tank_water(plant: Plant, p: float) -> float:
    """Water in the tank at a gauge pressure [m3]."""
    if plant.tank_volume == 0.0:
        return 0.0
    return tank.water_volume(
        p, V=plant.tank_volume, p_precharge=plant.tank_precharge, p_air=plant.p_air,
        n=plant.tank_exponent,
    )[0]  # fmt: skip


def cut_runs(plant: Plant, counts: Integers, heavy: NDArray[np.bool_]) -> Plant:
    """Cut the run that ends at node i into ``counts[i]`` pieces, with inertia where it is `heavy`.

    Each piece has its share of whatever the run has: length, rise, fittings, storage.
    """
    counts = counts.copy()
    counts[0] = 1
    own = np.cumsum(counts) - 1
    start, inside, heaviness = np.zeros((3, counts.size))  # of each run; its first node has none
    for i, node in enumerate(plant.nodes):
        if i:
            start[i] = plant.nodes[node.parent].z
            inside[i] = surface(node, node.z - start[i])
            heaviness[i] = inertance(node.L / counts[i], node.D) if heavy[i] else 0.0
    of = np.repeat(np.arange(counts.size), counts)
    run: Any = plant.nodes[of]
    parts, place = counts[of], np.arange(of.size)
    j = parts - own[of] + place
    parent = np.where(j > 1, place - 1, own[run.parent])
    parent[0] = run.parent[0]
    half = run.half / parts
    C = half.copy()
    C[0] = 0.0
    np.add.at(C, parent[1:], half[1:])
    nodes = records(of.size, NODE)
    nodes.parent, nodes.free, nodes.half, nodes.C = parent, run.free, half, C
    nodes.z = np.where(j < parts, start[of] + (run.z - start[of]) * j / parts, run.z)
    nodes.h_least = nodes.z + run.h_least - run.z
    nodes.S = np.where(j < parts, inside[of], run.S)
    nodes.L, nodes.D, nodes.K = run.L / parts, run.D, run.K / parts
    nodes.inertance = heaviness[of]
    troughs, leaks = plant.troughs.copy(), plant.leaks.copy()
    troughs.node, leaks.node = own[plant.troughs.node], own[plant.leaks.node]
    for trough in troughs:
        piece = nodes[trough.node]
        if piece.inertance > 0.0:
            trough.leg_S = surface(piece, max(piece.z - nodes[piece.parent].z, 0.0))
            # past the limit of vapor the node itself counts what is missing in the leg under it
            depth = area(piece.D) * piece.L / trough.leg_S
            trough.leg_depth = min(depth, piece.z - piece.h_least)
    return plant._replace(
        nodes=nodes, own=own, gauge=int(own[plant.gauge]), troughs=troughs, leaks=leaks
    )
