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
line. Of few pieces a bare line's wave comes out too coarse and trips the switch
where it should not: worse than no inertia at all.
"""

from math import inf, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from labkit.engine.layout import surface
from labkit.engine.network import NODE, Floats, Integers, Plant, records
from labkit.physics import tank
from labkit.physics.pipe import inertance

STORES: Final = 0.5
"""What the line stores over what its tank gives, cut-out to cut-in, from where inertia shows."""
ALL_BUT_BARE: Final = 6.0
"""The same share from where a line counts as bare, whatever tank it has."""
HEARS_AFTER: Final = 0.35
"""Time [s] for a wave to the far end and back from where inertia shows beside a tank."""
BARE_HEARS_AFTER: Final = 8.0
"""The same on a bare line, a mile or so of soft pipe. Shorter bare lines would want it too: their
water swings past the cut-out by up to 11 psi where one piece without inertia reaches 1 to 2 psi,
and their period is off by up to 8 % (1,500 ft)."""
WITH_TANK: Final = (8, 50.0)
"""Pieces on the longest way of a line with a tank; error allowed in waves, in tolerances."""
BARE: Final = (16, 5.0)
"""The same for a bare line, whose wave meets the switch itself."""
_SHORT: Final = 0.25
"""Share of a piece under which a run is too short for inertia: its wave would be a mere shiver."""


def in_pieces(plant: Plant) -> Plant:
    """Give the plant with its runs in pieces, or as it is where their inertia does not show.

    Nodes between the pieces have no name; ``plant.own`` tells where the others went.
    """
    pieces, waves = _wanted(plant)
    if pieces == 0:
        return plant
    travel = travel_times(plant)
    each = float(_arrival(plant, travel).max()) / pieces
    counts = np.maximum(np.rint(travel / each), 1).astype(np.int64)
    return cut_runs(plant, counts, travel >= _SHORT * each)._replace(waves=waves)


def travel_times(plant: Plant) -> Floats:
    """Give the time that a wave takes along the run that ends at each node [s]: ``L / a``.

    The drop pipe has none: it is short, and the check valve parts it from the line.
    """
    nodes = plant.nodes
    found = np.zeros(nodes.size)
    for i in range(plant.gauge + 1, nodes.size):
        found[i] = sqrt(2.0 * nodes[i].half * inertance(nodes[i].L, nodes[i].D))
    return found


def _arrival(plant: Plant, travel: Floats) -> Floats:
    """When a wave from the manifold arrives at each node [s]."""
    found = np.zeros(travel.size)
    for i in range(1, travel.size):
        found[i] = found[plant.nodes[i].parent] + travel[i]
    return found


def _wanted(plant: Plant) -> tuple[int, float]:
    """Say how many pieces the longest way wants, 0 for no inertia, and the error of waves."""
    share, hears = _share_and_wait(plant)
    is_bare = share >= ALL_BUT_BARE
    if share <= STORES or hears <= (BARE_HEARS_AFTER if is_bare else HEARS_AFTER):
        return 0, 0.0
    return BARE if is_bare else WITH_TANK


def _share_and_wait(plant: Plant) -> tuple[float, float]:
    """Give what the line stores over what its tank gives, and a wave's way out and back [s]."""
    hears = 2.0 * float(_arrival(plant, travel_times(plant)).max())
    low, high = plant.p_cut_in, plant.p_cut_out
    line = float(plant.nodes.C.sum()) * (high - low) / plant.weight
    given = _tank_water(plant, high) - _tank_water(plant, low)
    return (line / given if given > 0.0 else inf), hears


def unseen_swing(plant: Plant, q: float) -> float:
    """Give how far past its cut-out a bare line may swing though no run has its inertia [Pa].

    Joukowsky's ``rho a v`` of the flow `q` that the pump gives there [m3/s], shared out among the
    runs that begin at the manifold; 0 where runs have pieces, or the line is too short to swing.

    References
    ----------
    Joukowsky 1898, translated in Proc. AWWA 1904:341.
    """
    share, hears = _share_and_wait(plant)
    if share < ALL_BUT_BARE or not HEARS_AFTER < hears <= BARE_HEARS_AFTER:
        return 0.0
    travel, nodes = travel_times(plant), plant.nodes
    begins = [i for i in range(plant.gauge + 1, nodes.size) if nodes[i].parent == plant.gauge]
    gives = sum(travel[i] / inertance(nodes[i].L, nodes[i].D) for i in begins)
    return float(plant.weight * q / gives)


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
    nodes = records(int(counts.sum()), NODE)
    for i, node in enumerate(plant.nodes):
        parts, before = int(counts[i]), int(own[node.parent]) if i else -1
        start = plant.nodes[node.parent].z if i else node.z
        for j in range(1, parts + 1):
            at = int(own[i]) - parts + j
            piece = nodes[at]
            piece.parent, before = before, at
            piece.z = start + (node.z - start) * j / parts if j < parts else node.z
            piece.h_least = piece.z + node.h_least - node.z
            piece.free, piece.S = node.free, node.S if j == parts else surface(node, node.z - start)
            piece.L, piece.D, piece.K = node.L / parts, node.D, node.K / parts
            piece.half = node.half / parts
            if heavy[i] and i:
                piece.inertance = inertance(piece.L, piece.D)
    for at in range(1, nodes.size):
        nodes[at].C += nodes[at].half
        nodes[nodes[at].parent].C += nodes[at].half
    troughs, leaks = plant.troughs.copy(), plant.leaks.copy()
    troughs.node, leaks.node = own[plant.troughs.node], own[plant.leaks.node]
    return plant._replace(
        nodes=nodes, own=own, gauge=int(own[plant.gauge]), troughs=troughs, leaks=leaks
    )
