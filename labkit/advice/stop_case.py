"""A line that wants a way to say stop: how far, how many troughs, what stands between."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.advice.method_bill import Installation, bill, prices
from labkit.advice.method_sites import METHODS
from labkit.advice.stop_methods import stop_methods
from labkit.errors import SiteError
from labkit.units import quantity, si, typed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from labkit.advice.stop_methods import StopMethods
    from labkit.site import Site

BETWEEN: Final = {"open ground": 0.0, "a knoll": 9.0, "a ridge": 36.0}
"""What can stand between well and trough, and how high above the straight ground [m]."""

_WHERE: Final = (0.15, 0.25, 0.32)
"""Begin, top and end of it, as shares of the way to the far trough; the pipe goes around it."""

_BRANCH: Final = "20 ft"
"""From the line to a trough that stands beside it."""

GAUGE: Final = "18 AWG"
MAST: Final = ("10 ft", "6 ft")
"""Of the pairs; of the antennas at the well and at each trough."""


@attrs.frozen(kw_only=True)
class StopCase:
    """A line with its far trough, others on the way, and the ground that a radio must cross."""

    start: Site  # a line with one trough; pump, switch and size of pipe are its own
    way: float  # pipe from the well to the far trough [m]
    troughs: int = 1  # how many, evenly along the pipe, the far one last
    between: str = "open ground"  # one of `BETWEEN`
    # whether the pipe lies in the ground already, so that pairs need a trench of their own
    own_trench: bool = False
    money: float = 1000.0  # what may be spent [US dollars]

    def __attrs_post_init__(self) -> None:
        """Hold to a known ground."""
        if self.between not in BETWEEN:
            rule = f"write one of {', '.join(BETWEEN)}"
            raise SiteError("stop case", "between", self.between, rule)

    @property
    def line(self) -> Site:
        """The line: one pipe with its troughs, at the slope that it starts with."""
        (far,) = self.start.troughs
        count = self.troughs
        rise = si(far.pipe.rise) / count
        run = {"length": f"{self.way / count:.3f} m", "size": far.pipe.row.size}
        stops = ["manifold", *(f"tee {n}" for n in range(1, count))]
        pipes = [
            {"from": before, "to": after, "rise": f"{rise:.3f} m", **run}
            for before, after in pairwise(stops)
        ]
        last = attrs.evolve(
            far.pipe, from_=stops[-1], length=run["length"], rise=typed(rise, "length")
        )
        herd = None if far.herd is None else attrs.evolve(far.herd, head=far.herd.head // count)
        side = attrs.evolve(far.pipe, length=_BRANCH, rise="0 ft")
        near = [
            attrs.evolve(
                far,
                name=f"trough {n}",
                pipe=attrs.evolve(side, from_=f"tee {n}"),
                herd=herd,
            )
            for n in range(1, count)
        ]
        troughs = (*near, attrs.evolve(far, pipe=last, herd=herd))
        return self.start.changed({"pipes": pipes, "troughs": troughs})

    @property
    def ground(self) -> dict[str, list[tuple[str, str]]]:
        """The straight ground to each trough, with what stands on it."""
        line, (far,) = self.line, self.start.troughs
        slope = si(far.pipe.rise) / self.way
        names = [trough.name for trough in line.troughs]
        shares = [(n + 1) / self.troughs for n in range(self.troughs)]
        found = {}
        for name, share in zip(names, shares, strict=True):
            points = [(0.0, 0.0), (share * self.way, slope * share * self.way)]
            if BETWEEN[self.between]:
                begin, top, end = (part * self.way for part in _WHERE)
                points[1:1] = [
                    (begin, slope * begin),
                    (top, slope * top + BETWEEN[self.between]),
                    (end, slope * end),
                ]
            found[name] = [(f"{x:.3f} m", f"{y:.3f} m") for x, y in points]
        return found

    def compared(self, *, with_failures: bool = False) -> StopMethods:
        """Put the three ways side by side."""
        well, trough = MAST
        return stop_methods(
            self.line,
            ground=self.ground,
            gauge=GAUGE,
            own_trench=self.own_trench,
            well_antenna=well,
            trough_antenna=trough,
            with_failures=with_failures,
        )

    def costs(self, ways: Sequence[float]) -> dict[str, NDArray[np.float64]]:
        """Return what each way to say stop costs [US dollars], were the far trough that far [m]."""
        known = prices()
        well, trough = (si(quantity(mast, "ft")) for mast in MAST)
        found = {name: np.zeros(len(ways)) for name in METHODS}
        for place, way in enumerate(ways):
            laid = Installation(
                distances=tuple(way * (n + 1) / self.troughs for n in range(self.troughs)),
                gauge=GAUGE,
                trench=way if self.own_trench else 0.0,
                masts=well + self.troughs * trough,
                new_floats=0,
            )
            for name in METHODS:
                found[name][place] = sum(line.cost for line in bill(name, known, laid))
        return found
