"""Several troughs at different heights: which one takes how much at which sun."""

from typing import TYPE_CHECKING, Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.curves import HeadProfile, lay, shares
from labkit.figures import style
from labkit.figures.ticks import spread
from labkit.language import NO_FLOW
from labkit.text.shared import CHARTS, WORDS
from labkit.units import displayed, typed
from labkit.view.charts.base import (
    Floats,
    curve,
    dot,
    panels,
    reach,
    scale,
    short,
    sun_mark,
    write,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from labkit.site import Site
    from labkit.sun import Sun

_CLEAR: Final = 1000.0
_SUNS: Final = np.arange(50.0, 1001.0, 25.0)
_WEAK: Final[dict[str, Any]] = {"linestyle": (0, (5, 1.8)), "linewidth": 1.4}
_NOW: Final[dict[str, Any]] = {"linestyle": "solid", "linewidth": 2.2}


@attrs.frozen(kw_only=True)
class TroughShares:
    """Left, the troughs at their heights with the grade line; right, what each takes in a sun."""

    sun: float  # sun on the array now [W/m2]
    open: tuple[str, ...]  # troughs whose float is open
    now: HeadProfile  # the line as it settles under that sun
    taken: dict[str, Floats]  # flow into each trough at each sun [m3/s]

    @classmethod
    def of(cls, site: "Site", sun: "Sun") -> Self:
        """Gather a site's flows under every sun, the floats open where stock drink."""
        drinking = [one.name for one in site.troughs if one.herd is not None and one.herd.head > 0]
        names = tuple(drinking or (one.name for one in site.troughs))
        strongest = float(sun.irradiance.max())
        return cls(
            sun=strongest,
            open=names,
            now=lay(site, typed(strongest, "irradiance"), names),
            taken=shares(site, _SUNS, names),
        )

    def words(self, system: str) -> str:
        """Say how high each trough stands and what it takes now."""
        troughs = "; ".join(
            CHARTS["trough takes"].format(
                name=name,
                height=short(self.now.height[name], "length", system),
                flow=self._said(name, system),
            )
            for name in self.taken
        )
        return CHARTS["troughs chart"].format(
            sun=short(self.sun, "irradiance", system),
            gauge=short(self.now.gauge, "pressure", system),
            troughs=troughs,
        )

    def draw(self, system: str) -> Figure:
        """Draw heights and flows."""
        figure, (left, right) = panels(1.1, 1.0)
        self._heights(left, system)
        self._flows(right, system)
        return figure

    def _said(self, name: str, system: str) -> str:
        if name not in self.open:
            return WORDS["float shut"]
        flow = self.now.inflow[name]
        return CHARTS["nothing"] if flow < NO_FLOW else short(flow, "flow", system)

    def _heights(self, axes: "Axes", system: str) -> None:
        now, kinds = self.now, ("length", "length")
        far = displayed(max(now.distance.values()), "length", system)
        heights = displayed(np.array([*now.height.values(), *now.head.values()]), "length", system)
        low, high = min(0.0, float(heights.min())), float(heights.max())
        room = high - low
        reach(axes, right=1.3 * far, top=high + 0.2 * room, bottom=low - 0.12 * room)
        scale(
            axes, system,
            across=(CHARTS["way along"], "length"), up=(CHARTS["height up"], "length"),
            words=CHARTS["heights title"],
        )  # fmt: skip
        for node, before in now.parent.items():
            ends = [now.distance[before], now.distance[node]]
            curve(
                axes, ends, [now.height[before], now.height[node]], kinds=kinds, system=system,
                color=style.GROUND, linewidth=1.6,
            )  # fmt: skip
            curve(
                axes, ends, [now.head[before], now.head[node]], kinds=kinds, system=system,
                color=style.BLUE, **_NOW,
            )  # fmt: skip
        at_well = displayed(now.head["manifold"], "length", system)
        write(axes, 0.0, at_well, WORDS["grade line"], shift=(3, 5), color=style.BLUE)
        for place, name in enumerate(self.taken):
            color = style.trough_look(place)["color"]
            x = displayed(now.distance[name], "length", system)
            y = displayed(now.height[name], "length", system)
            filled = color if name in self.open else style.PAPER
            dot(axes, x, y, marker="s", markersize=9, color=color, markerfacecolor=filled)
            said = f"{name}\n{self._said(name, system)}"
            write(axes, x, y, said, shift=(8, -5), color=color, va="center")

    def _flows(self, axes: "Axes", system: str) -> None:
        most = max(float(flow.max()) for flow in self.taken.values())
        top = displayed(1.12 * max(most, 1e-5), "flow", system)
        reach(axes, right=_CLEAR, top=top)
        across, up = (WORDS["irradiance"], "irradiance"), (CHARTS["flow"], "flow")
        scale(axes, system, across=across, up=up, words=CHARTS["shares title"])
        for place, flows in enumerate(self.taken.values()):
            look = style.trough_look(place) | {"linewidth": 2.0, "clip_on": False}
            curve(axes, _SUNS, flows, kinds=("irradiance", "flow"), system=system, **look)
        sun_mark(axes, self.sun, 0.94 * top)
        ends = [displayed(float(flows[-1]), "flow", system) for flows in self.taken.values()]
        places = spread(ends, gap=0.065 * top, low=0.0, high=top)
        for place, (name, y) in enumerate(zip(self.taken, places, strict=True)):
            color = style.trough_look(place)["color"]
            write(axes, _CLEAR, y, name, shift=(4, -3), color=color)
