"""The lie of the land along the pipe: where each node stands, and what is above and below it."""

from collections.abc import Callable, Mapping
from typing import Final, Self

import attrs
import numpy as np

from labkit.arrays import Floats
from labkit.site import Site
from labkit.trace import Trace
from labkit.units import FlowAt, LeakSize, displayed, si

Point = tuple[float, float]

ROOT: Final = "manifold"


@attrs.frozen(kw_only=True)
class Profile:
    """A site's tree of pipes laid out by distance from the manifold."""

    # distance along the pipe and height above the manifold of each node [display unit]
    distance: dict[str, float]
    height: dict[str, float]
    parent: dict[str, str]  # the node before each node, the manifold left out
    leaks: tuple[Floats, ...]  # where the line leaks, as distance and height [display unit]
    vents: tuple[Floats, ...] = ()  # where an air vent sits, as distance and height [display unit]

    @classmethod
    def lying(
        cls,
        distance: Mapping[str, float],
        height: Mapping[str, float],
        parent: Mapping[str, str],
        system: str,
    ) -> Self:
        """Lay out nodes of which distance and height are known [m], from the manifold out."""
        return cls(
            distance={n: displayed(d, "length", system) for n, d in distance.items()},
            height={n: displayed(z, "length", system) for n, z in height.items()},
            parent={
                node: before
                for node, before in parent.items()
                if node != ROOT and before in distance and node in distance
            },
            leaks=(),
        )

    @classmethod
    def of(cls, trace: Trace, *, system: str) -> Self:
        """Lay out the site of a trace."""
        bare = cls.lying(trace.distance, trace.elevations, trace.parents, system)
        leaks = [
            bare.before(node, displayed(back, "length", system)) for node, back in holes(trace.site)
        ]
        vents = [np.array([bare.distance[n], bare.height[n]]) for n in sorted(trace.vents)]
        return attrs.evolve(bare, leaks=tuple(leaks), vents=tuple(vents))

    @property
    def ground(self) -> list[Floats]:
        """The ground over each run, as pieces to draw."""
        return self.pieces(self.height)

    def pieces(self, values: Mapping[str, float]) -> list[Floats]:
        """Return a piece over each run from a value at each node."""
        return [
            np.array([[self.distance[a], values[a]], [self.distance[b], values[b]]])
            for b, a in self.parent.items()
        ]

    def before(self, node: str, back: float) -> Floats:
        """Return the place some way back from a node towards the well."""
        before = self.parent.get(node, node)
        length = self.distance[node] - self.distance[before]
        share = min(back / length, 1.0) if length > 0.0 else 0.0
        rise = self.height[node] - self.height[before]
        return np.array([self.distance[node] - share * length, self.height[node] - share * rise])

    def under(
        self, lowest_or_highest: Callable[..., Floats], *, left: float, right: float, floor: float
    ) -> Floats:
        """Return the outline of the soil under highest or lowest branch (`numpy.max`, `min`)."""
        grid = np.unique([left, right, *np.linspace(0.0, right, 160), *self.distance.values()])
        surfaces = [np.interp(grid, *np.transpose(path)) for path in self._paths()]
        surface = lowest_or_highest(surfaces, axis=0)
        top = np.column_stack([grid, surface])
        return np.vstack([[left, floor], top, [right, floor]])

    def _paths(self) -> list[list[Point]]:
        """Return the way from the manifold to each leaf."""
        leaves = set(self.parent) - set(self.parent.values())
        return [self._path(leaf) for leaf in sorted(leaves)] or [self._path(ROOT)]

    def _path(self, node: str) -> list[Point]:
        point = (self.distance[node], self.height[node])
        return [point] if node not in self.parent else [*self._path(self.parent[node]), point]


def holes(site: Site) -> list[tuple[str, float]]:
    """List where a site leaks: the node, and how far back from it [m]."""
    found = [(leak.at, si(leak.distance)) for leak in site.leaks if _leaks(leak.size)]
    found += [(t.name, 0.0) for t in site.troughs if _leaks(t.float_valve.seat_leak)]
    if _leaks(site.check_valve.leak):
        found.append((ROOT, 0.0))
    return found


def _leaks(size: LeakSize) -> bool:
    """Whether any water passes an opening."""
    return si(size.flow if isinstance(size, FlowAt) else size.diameter) > 0.0
