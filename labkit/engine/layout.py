"""The tree of runs as nodes: how a plant's line is laid out, and where its nodes are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from labkit.engine.network import NODE, Records, records
from labkit.parts import MANIFOLD, Pipe
from labkit.physics import pipe
from labkit.units import si

if TYPE_CHECKING:
    from labkit.engine.fluid import Water
    from labkit.parts import Leak
    from labkit.site import Site

PUMP_NODE: Final = "pump (in the well)"
"""The node at the pump, if there is a drop pipe; no typed name can be like it."""


@attrs.frozen(kw_only=True)
class Stretch:
    """A run of pipe between two nodes of the plant [m], with the leaks at its end."""

    start: str
    end: str
    pipe: Pipe
    length: float
    rise: float


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
    troughs : tuple of str
        Troughs in the plant's order.
    """

    names: tuple[str, ...]
    parents: dict[str, str]
    elevations: dict[str, float]
    distance: dict[str, float]
    troughs: tuple[str, ...]


def stretches(site: Site) -> list[Stretch]:
    """Give every run from the root to the leaves, split where a leak sits within it.

    The first is the drop pipe, if the site says its size.
    """
    drop = _drop_pipe(site)
    found = [] if drop is None else [drop]
    for start, end, run in site.runs():
        length, rise = si(run.length), si(run.rise)
        places = {leak_distance(leak, length) for leak in site.leaks if leak.at == end}
        cuts = sorted(places - {0.0}, reverse=True)
        before, gone = start, 0.0
        for cut in cuts:
            name = leak_node(end, cut)
            piece = (length - cut) - gone
            found.append(
                Stretch(start=before, end=name, pipe=run, length=piece, rise=rise * piece / length)
            )
            before, gone = name, length - cut
        rest = length - gone
        found.append(
            Stretch(start=before, end=end, pipe=run, length=rest, rise=rise * rest / length)
        )
    return found


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
    return Stretch(start=PUMP_NODE, end=MANIFOLD, pipe=run, length=depth, rise=depth)


def lay_out(site: Site, fluid: Water) -> tuple[Records, Layout]:
    """Lay out the nodes with their runs, and where they are."""
    runs = stretches(site)
    root = runs[0].start
    names = [root, *(stretch.end for stretch in runs)]
    place = {name: i for i, name in enumerate(names)}
    nodes = records(len(names), NODE)
    elevations = {MANIFOLD: 0.0}
    if root == PUMP_NODE:
        elevations[root] = -runs[0].rise
    distance = {MANIFOLD: 0.0}
    parents: dict[str, str] = {}
    nodes[0].parent, nodes[0].z = -1, elevations[root]
    for stretch in runs:
        i, up = place[stretch.end], place[stretch.start]
        bore = si(stretch.pipe.bore)
        if stretch.start != PUMP_NODE:
            elevations[stretch.end] = elevations[stretch.start] + stretch.rise
            distance[stretch.end] = distance[stretch.start] + stretch.length
            parents[stretch.end] = stretch.start
        node = nodes[i]
        node.parent, node.z = up, elevations[stretch.end]
        node.L, node.D = stretch.length, bore
        node.K = stretch.pipe.fittings * stretch.length / si(stretch.pipe.length)
        half = 0.5 * pipe.storage(stretch.length, bore, wave_speed(stretch.pipe, fluid))
        node.C += half
        nodes[up].C += half
    nodes.h_vapour = nodes.z + fluid.h_vapour
    layout = Layout(
        names=tuple(names),
        parents=parents,
        elevations=elevations,
        distance=distance,
        troughs=tuple(trough.name for trough in site.troughs),
    )
    return nodes, layout
