"""The tree of runs as nodes: how a plant's line is laid out, and where its nodes are."""

from typing import Any, Final, Self

import attrs
import numpy as np

from labkit.engine.fluid import Water, water_at
from labkit.engine.network import FREE_END, FREE_START, NODE, Records, records
from labkit.parts import MANIFOLD, Leak, Pipe
from labkit.physics import pipe
from labkit.site import Site
from labkit.units import Quantity, si

PUMP_NODE: Final = "(pump)"
"""The node at the pump, if there is a drop pipe; no typed name can be like it."""


PUMP: Final = "pump"
WELLHEAD: Final = "manifold"
TEE: Final = "tee"
TROUGH: Final = "trough"
LEAK: Final = "leak"
GROUND: Final = "ground"
FAR_SIDE: Final = "far side"
"""Kinds of nodes. A `GROUND` node is a corner of a profile or a vent within a run; a `FAR_SIDE`
stands beside a high node, at the top of another leg that falls away from it."""

WEIR: Final = 0.3
"""Length of pipe taken for the very top of a crest, between the two legs that fall from it [m]; of
a short leg a quarter."""

_FLATTEST: Final = 1e-4
"""Slope that a leg has at least where its water's surface is looked for [-]."""


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
    """Where the nodes of a plant are, in the plant's order."""

    names: tuple[str, ...]  # nodes from the root to the leaves
    # the node before each node but the manifold, for nodes from the manifold on
    parents: dict[str, str]
    # height above the manifold and way along the pipe from it [m]
    elevations: dict[str, float]
    distance: dict[str, float]
    # what each node is: "pump", "manifold", "tee", "trough", "leak", "ground" or "far side"
    kinds: dict[str, str]
    vents: frozenset[str]  # nodes where an air vent sits
    # lowest head that each node can have [m]: of vapour, or of the air where it is let in
    h_least: dict[str, float]
    # the lower end of the leg in which the water of a node sinks once a pocket opens at the node,
    # for nodes that have such a leg
    legs: dict[str, str]
    troughs: tuple[str, ...]  # troughs in the plant's order


def stretches(site: Site) -> list[Stretch]:
    """Return every run from the root to the leaves, split at leaks, corners and vents within it.

    The first is the drop pipe, if the site says its size. Over high ground each leg that falls away
    begins at a node of its own, behind a `WEIR`.
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
    return _over_crests(found, _Ground.of(site, found))


def _back(out: Quantity, length: float) -> float:
    """Return the way back from the end of a run of some `length` to a place on it [m], as a leak's.

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
    """Heights of nodes [m], the lowest head that each can have [m], and which are high ground."""

    z: dict[str, float]
    h_least: dict[str, float]
    vents: frozenset[str]
    lowest: float

    @classmethod
    def of(cls, site: Site, runs: list[Stretch]) -> Self:
        """Survey the nodes of a line.

        No pressure falls under the vapour limit. With a vent anywhere none falls under the air's:
        what air is let in goes on with the water from crest to crest, and rises to the one before.
        """
        z = _heights(runs)
        vents = {run.end for run in runs if run.has_vent} | _at_the_start(site)
        limit = 0.0 if vents else water_at(site.place).h_vapour
        return cls(
            z=z,
            h_least={node: height + limit for node, height in z.items()},
            vents=frozenset(vents),
            lowest=min(height for node, height in z.items() if node != PUMP_NODE),
        )

    def is_high(self, node: str) -> bool:
        """Whether the line can be drained at a node by what runs out lower down."""
        return self.h_least[node] > self.lowest + 1e-9


def _at_the_start(site: Site) -> set[str]:
    """Return the nodes at which a vent sits at the near end of a run."""
    return {
        start
        for start, _, run in site.runs()
        if any(_back(out, si(run.length)) == si(run.length) for out in run.vents)
    }


def _heights(runs: list[Stretch]) -> dict[str, float]:
    """Return the height of each node above the manifold [m]."""
    z = {MANIFOLD: 0.0}
    for run in runs:
        if run.start == PUMP_NODE:
            z[PUMP_NODE] = -run.rise
        else:
            z[run.end] = z[run.start] + run.rise
    return z


def _over_crests(runs: list[Stretch], ground: _Ground) -> list[Stretch]:
    """Return each leg that falls away from a high node a node of its own at its top.

    For the surfaces of the water in two legs stand at two heights. The leg towards the well has the
    high node itself; where there is none, a single leg that leads on has it.
    """
    falling: dict[str, list[Stretch]] = {}
    for run in runs:
        if ground.is_high(run.start) and ground.z[run.end] < ground.z[run.start]:
            falling.setdefault(run.start, []).append(run)
    above = {run.end: run.start for run in runs}
    split = {
        node
        for node, legs in falling.items()
        if len(legs) > 1 or node not in above or ground.z[above[node]] < ground.z[node]
    }
    found: list[Stretch] = []
    for run in runs:
        if run.start not in split or run not in falling[run.start]:
            found.append(run)
            continue
        top = f"{FAR_SIDE}: {run.start} to {run.end}"
        weir = min(WEIR, 0.25 * run.length)
        found.append(
            attrs.evolve(run, end=top, length=weir, rise=0.0, end_kind=FAR_SIDE, has_vent=False)
        )
        found.append(attrs.evolve(run, start=top, length=run.length - weir))
    return found


def leak_distance(leak: Leak, length: float) -> float:
    """How far back along a run of some `length` a leak sits [m].

    To the decimetre, and as far from the run's other end, for no stretch may be all but nothing.
    """
    return min(round(si(leak.distance), 1), round(length - 0.15, 1))


def leak_node(end: str, distance: float) -> str:
    """Name the node of a leak some distance [m] before the `end` of a run."""
    return end if distance == 0.0 else f"leak: {distance:.6g} m before {end}"


def wave_speed(run: Pipe, fluid: Water, modulus: Quantity) -> float:
    """Speed of a pressure wave in a run of pipe [m/s]: as measured, or else by Korteweg."""
    if run.wave_speed is not None:
        return si(run.wave_speed)
    return pipe.wave_speed(
        si(run.bore), wall=si(run.row.wall), E=si(modulus), bulk=fluid.bulk, rho=fluid.rho
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
        gives = stretch.pipe.row.modulus
        node.half = 0.5 * pipe.storage(stretch.length, bore, wave_speed(stretch.pipe, fluid, gives))
        node.C += node.half
        nodes[up].C += node.half
    nodes.z = np.array([ground.z[name] for name in names])
    nodes.h_least = np.array([ground.h_least[name] for name in names])
    _lay_legs(nodes)
    kinds = {root: WELLHEAD if root == MANIFOLD else PUMP}
    layout = Layout(
        names=tuple(names),
        parents=parents,
        elevations=ground.z,
        distance=distance,
        kinds=kinds | {stretch.end: stretch.end_kind for stretch in runs},
        vents=ground.vents,
        h_least=ground.h_least,
        legs=_legs(nodes, names),
        troughs=tuple(trough.name for trough in site.troughs),
    )
    return nodes, layout


def _lay_legs(nodes: Records) -> None:
    """Say in which leg the water of each node sinks once its pressure is at the limit.

    In the leg under it that leads towards the well, else in the one that leads on, if there is one
    alone. The root's is the well itself, a pipe upright.
    """
    root, first = nodes[0], nodes[1]
    root.S = pipe.area(first.D)
    for i in range(1, nodes.size):
        node, up = nodes[i], nodes[nodes[i].parent]
        if up.z < node.z:
            node.free = FREE_END
            node.S = surface(node, node.z - up.z)
    for i in range(nodes.size):
        on = [j for j in range(1, nodes.size) if nodes[j].parent == i and nodes[j].z < nodes[i].z]
        if len(on) == 1 and i > 0 and nodes[i].free != FREE_END:
            leg = nodes[on[0]]
            leg.free = FREE_START
            nodes[i].S = surface(leg, nodes[i].z - leg.z)
    nodes.S = np.where(nodes.S > 0.0, nodes.S, pipe.area(first.D))


def _legs(nodes: Records, names: list[str]) -> dict[str, str]:
    """Name the lower end of each node's own leg, nodes without one left out."""
    legs = {}
    for i in range(1, nodes.size):
        start, end = names[nodes[i].parent], names[i]
        if nodes[i].free == FREE_END:
            legs[end] = start
        elif nodes[i].free == FREE_START:
            legs[start] = end
    return legs


def surface(run: Any, rise: float) -> float:
    """Area of the water's surface in a leg, for each metre that it sinks [m2]."""
    return float(pipe.area(run.D) / max(abs(rise) / run.L, _FLATTEST))
