"""The tree of runs as nodes: how a plant's line is laid out, and where its nodes are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Self

import attrs
import numpy as np

from labkit.engine.fluid import water_at
from labkit.engine.network import NODE, Records, records
from labkit.parts import MANIFOLD, Pipe
from labkit.physics import pipe
from labkit.units import si

if TYPE_CHECKING:
    from labkit.engine.fluid import Water
    from labkit.parts import Leak
    from labkit.site import Site
    from labkit.units import Quantity

PUMP_NODE: Final = "pump (in the well)"
"""The node at the pump, if there is a drop pipe; no typed name can be like it."""


PUMP: Final = "pump"
WELLHEAD: Final = "manifold"
TEE: Final = "tee"
TROUGH: Final = "trough"
LEAK: Final = "leak"
GROUND: Final = "ground"
"""Kinds of nodes. A `GROUND` node is a corner of a profile or a vent within a run."""


@attrs.frozen(kw_only=True)
class Stretch:
    """A run of pipe between two nodes of the plant [m].

    `end_kind` is the kind of the node at its end, `has_vent` whether a vent sits there.
    """

    start: str
    end: str
    pipe: Pipe
    length: float
    rise: float
    end_kind: str
    has_vent: bool = False


@attrs.frozen(kw_only=True)
class Layout:
    """Where the nodes of a plant are, in the plant's order.

    Attributes
    ----------
    names : tuple of str
        Nodes from the root to the leaves.
    parents : dict of str
        The node before each node but the manifold, for nodes from the manifold on.
    elevations, distance : dict of float
        Height above the manifold and way along the pipe from it [m].
    kinds : dict of str
        What each node is: "pump", "manifold", "tee", "trough", "leak" or "ground".
    vents : frozenset of str
        Nodes where an air vent sits.
    h_least : dict of float
        Lowest head that each node can have [m]: of vapour, or of the air where it is let in.
    troughs : tuple of str
        Troughs in the plant's order.
    """

    names: tuple[str, ...]
    parents: dict[str, str]
    elevations: dict[str, float]
    distance: dict[str, float]
    kinds: dict[str, str]
    vents: frozenset[str]
    h_least: dict[str, float]
    troughs: tuple[str, ...]


def stretches(site: Site) -> list[Stretch]:
    """Give every run from the root to the leaves, split at leaks, corners and vents within it.

    The first is the drop pipe, if the site says its size.
    """
    drop = _drop_pipe(site)
    found = [] if drop is None else [drop]
    troughs = {trough.name for trough in site.troughs}
    for start, end, run in site.runs():
        length, rise = si(run.length), si(run.rise)
        leaks = {leak_distance(leak, length) for leak in site.leaks if leak.at == end} - {0.0}
        corners = {_back(out, length): si(high) for out, high in run.profile}
        vents = {_back(out, length) for out in run.vents}
        cuts = sorted({*leaks, *corners, *(vents - {0.0, length})}, reverse=True)
        ahead = sorted(corners, reverse=True)
        before, gone, near, z = start, 0.0, length, 0.0  # the last corner: way back, and height
        for cut in (*cuts, 0.0):
            far = next((back for back in ahead if back <= cut), 0.0)
            z_far, piece = corners.get(far, rise), (length - cut) - gone
            climb = (z_far - z) * piece / (near - far)
            kind = LEAK if cut in leaks else GROUND
            name = leak_node(end, cut) if kind == LEAK else ground_node(end, cut)
            if cut == 0.0:
                kind, name = TROUGH if end in troughs else TEE, end
            found.append(
                Stretch(
                    start=before, end=name, pipe=run, length=piece, rise=climb, end_kind=kind,
                    has_vent=cut in vents,
                )
            )  # fmt: skip
            before, gone = name, length - cut
            if cut in corners:
                near, z = cut, corners[cut]
    return found


def _back(out: Quantity, length: float) -> float:
    """Give the way back from the end of a run of some `length` to a place on it [m], as a leak's.

    Nearer to an end than a stretch may be short, the place is that end.
    """
    at = si(out)
    if at < 0.15:
        return length
    if length - at < 0.15:
        return 0.0
    return min(round(length - at, 1), round(length - 0.15, 1))


def ground_node(end: str, distance: float) -> str:
    """Name the node of a corner or a vent some distance [m] before the `end` of a run."""
    return f"ground: {distance:.6g} m before {end}"


@attrs.frozen(kw_only=True)
class _Ground:
    """Heights of nodes [m], and the lowest head that each can have [m]."""

    z: dict[str, float]
    h_least: dict[str, float]
    vents: frozenset[str]

    @classmethod
    def of(cls, site: Site, runs: list[Stretch]) -> Self:
        """Survey the nodes of a line.

        No pressure falls under the vapour limit, nor under the air's where a vent sits. Air that a
        vent lets in goes with the water down the leg: every node that lies lower, as far as the
        ground falls on, counts as open to the air as well.
        """
        z = _heights(runs)
        beside: dict[str, list[str]] = {}
        for run in runs:
            beside.setdefault(run.start, []).append(run.end)
            beside.setdefault(run.end, []).append(run.start)
        vents = {run.end for run in runs if run.has_vent} | _at_the_start(site)
        airy, waiting = set(vents), list(vents)
        while waiting:
            node = waiting.pop()
            lower = {next_ for next_ in beside[node] if z[next_] <= z[node]} - airy
            airy |= lower
            waiting += lower
        limit = water_at(site.place).h_vapour
        return cls(
            z=z,
            h_least={node: z[node] + (0.0 if node in airy else limit) for node in z},
            vents=frozenset(vents),
        )


def _at_the_start(site: Site) -> set[str]:
    """Give the nodes at which a vent sits at the near end of a run."""
    return {
        start
        for start, _, run in site.runs()
        if any(_back(out, si(run.length)) == si(run.length) for out in run.vents)
    }


def _heights(runs: list[Stretch]) -> dict[str, float]:
    """Give the height of each node above the manifold [m]."""
    z = {MANIFOLD: 0.0}
    for run in runs:
        if run.start == PUMP_NODE:
            z[PUMP_NODE] = -run.rise
        else:
            z[run.end] = z[run.start] + run.rise
    return z


def leak_distance(leak: Leak, length: float) -> float:
    """How far back along a run of some `length` a leak sits [m].

    To the decimetre, and as far from the run's other end, for no stretch may be all but nothing.
    """
    return min(round(si(leak.distance), 1), round(length - 0.15, 1))


def leak_node(end: str, distance: float) -> str:
    """Name the node of a leak some distance [m] before the `end` of a run."""
    return end if distance == 0.0 else f"leak: {distance:.6g} m before {end}"


def wave_speed(run: Pipe, fluid: Water) -> float:
    """Speed of a pressure wave in a run of pipe [m/s]: as measured, or else by Korteweg."""
    if run.wave_speed is not None:
        return si(run.wave_speed)
    row = run.row
    return pipe.wave_speed(
        si(run.bore), wall=si(row.wall), E=si(row.modulus), bulk=fluid.bulk, rho=fluid.rho
    )


def _drop_pipe(site: Site) -> Stretch | None:
    """Make the pipe from the pump up to the manifold, if the site says its size."""
    if site.pump.drop_pipe is None:
        return None
    depth = si(site.well.intake_depth)
    run = Pipe(
        from_=MANIFOLD,
        length=site.well.intake_depth,
        size=site.pump.drop_pipe,
        rise=site.well.intake_depth,
    )
    return Stretch(
        start=PUMP_NODE, end=MANIFOLD, pipe=run, length=depth, rise=depth, end_kind=WELLHEAD
    )


def lay_out(site: Site, fluid: Water) -> tuple[Records, Layout]:
    """Lay out the nodes with their runs, and where they are."""
    runs = stretches(site)
    root = runs[0].start
    names = [root, *(stretch.end for stretch in runs)]
    place = {name: i for i, name in enumerate(names)}
    nodes = records(len(names), NODE)
    ground = _Ground.of(site, runs)
    distance = {MANIFOLD: 0.0}
    parents: dict[str, str] = {}
    nodes[0].parent = -1
    for stretch in runs:
        i, up = place[stretch.end], place[stretch.start]
        bore = si(stretch.pipe.bore)
        if stretch.start != PUMP_NODE:
            distance[stretch.end] = distance[stretch.start] + stretch.length
            parents[stretch.end] = stretch.start
        node = nodes[i]
        node.parent = up
        node.L, node.D = stretch.length, bore
        node.K = stretch.pipe.fittings * stretch.length / si(stretch.pipe.length)
        node.half = 0.5 * pipe.storage(stretch.length, bore, wave_speed(stretch.pipe, fluid))
        node.C += node.half
        nodes[up].C += node.half
    heights = np.array([ground.z[name] for name in names])
    nodes.z, nodes.h_vapour = heights, heights + fluid.h_vapour
    kinds = {root: WELLHEAD if root == MANIFOLD else PUMP}
    layout = Layout(
        names=tuple(names),
        parents=parents,
        elevations=ground.z,
        distance=distance,
        kinds=kinds | {stretch.end: stretch.end_kind for stretch in runs},
        vents=ground.vents,
        h_least=ground.h_least,
        troughs=tuple(trough.name for trough in site.troughs),
    )
    return nodes, layout
