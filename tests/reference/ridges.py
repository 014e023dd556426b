"""A settled line over high ground, worked out from the far end: shooting, and no network at all.

With the pump's flow given, the head at the trough's valve is known, and every run before it adds
its friction; where that leaves a crest under the least pressure it can have, the crest has that
pressure and the leg beyond falls as it may. Friction, pump and water as in `tests.reference.hand`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from scipy.optimize import brentq

from tests.customary import FOOT, GPM, PSI
from tests.reference.hand import WEIGHT, lost, on_the_shaft, pumped, settled, site, through

if TYPE_CHECKING:
    import labkit as lab

AIR, VAPOUR = 14.696 * PSI, 0.2141 * PSI
"""Of the air at the sea (standard atmosphere), and of water of 55 degF (steam tables)."""
SUCTION = (VAPOUR - AIR) / WEIGHT
"""Head of the vapour limit over a place [m]."""


class Point(NamedTuple):
    """A place on the line: feet out, feet up, and whether a vent sits there."""

    out: float
    up: float
    vent: bool = False


def limits(points: list[Point]) -> list[float]:
    """Give the lowest head at each point [m]: the air's, if it is let in anywhere."""
    least = 0.0 if any(point.vent for point in points) else SUCTION
    return [point.up * FOOT + least for point in points]


def heads(points: list[Point], Q: float, end: float) -> list[float]:
    """Give the head at every point for a flow [m3/s] that needs a head `end` at the last [m]."""
    found = [end]
    least = limits(points)
    for i in range(len(points) - 1, 0, -1):
        found[0] = max(found[0], least[i])
        length = (points[i].out - points[i - 1].out) * FOOT
        found.insert(0, found[0] + lost(Q, length))
    return found


def over(points: list[Point]) -> lab.Site:
    """Make the site of `hand.TEXT` with its line laid over points; the first is the manifold."""
    *inner, last = points[1:]
    return site(
        trough__lane__pipe__length=f"{last.out} ft",
        trough__lane__pipe__rise=f"{last.up} ft",
        trough__lane__pipe__profile=[[f"{p.out} ft", f"{p.up} ft"] for p in inner],
        trough__lane__pipe__vents=[f"{p.out} ft" for p in points[1:] if p.vent],
    )


def running(points: list[Point], sun: float) -> tuple[float, list[float]]:
    """Give flow [m3/s] and heads [m] with the pump of `hand.TEXT`; no flow where it does not lift.

    Without flow the heads are those of an empty line filled as far as the pump reaches, up to the
    first place that it does not reach.
    """
    z_end = points[-1].up * FOOT
    watts = on_the_shaft(sun, 5000.0)

    def needed(Q: float) -> float:
        return heads(points, Q, z_end + through(Q, 9.0, 20.0))[0]

    if needed(1e-9) >= pumped(1e-9, shut_off=190.0, gpm=7.0, rated=130.0, watts=watts) - 60 * FOOT:
        return 0.0, []
    Q = settled(needed, watts=watts)
    return Q, heads(points, Q, z_end + through(Q, 9.0, 20.0))


def shared(
    trunk: list[Point], branches: list[list[Point]], sun: float
) -> tuple[float, list[float], float]:
    """Give flows [m3/s] of pump and branches, and the head at the manifold [m].

    Each branch begins at the trunk's last point and ends at a trough with the same valve; the tee
    itself must not be at its limit.
    """
    watts = on_the_shaft(sun, 5000.0)

    def needs(branch: list[Point], Q: float) -> float:
        return heads(branch, Q, branch[-1].up * FOOT + through(Q, 9.0, 20.0))[0]

    def takes(branch: list[Point], h: float) -> float:
        if needs(branch, 1e-12) >= h:
            return 0.0
        return float(brentq(lambda Q: needs(branch, Q) - h, 1e-12, 40.0 * GPM, xtol=1e-13))

    def tee(Q: float) -> float:
        low = min(needs(branch, 1e-12) for branch in branches)
        return float(brentq(lambda h: sum(takes(b, h) for b in branches) - Q, low, low + 200.0))

    def needed(Q: float) -> float:
        return heads(trunk, Q, tee(Q))[0]

    Q = settled(needed, watts=watts)
    h = tee(Q)
    return Q, [takes(branch, h) for branch in branches], heads(trunk, Q, h)[0]
