"""Several troughs at different heights: which one takes how much at which sun."""

from typing import Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.curves import HeadProfile, lay, shares
from labkit.arrays import Floats
from labkit.figures import style
from labkit.figures.ticks import spread
from labkit.language import NO_FLOW
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WORDS
from labkit.units import typed
from labkit.view.charts.base import Panel, panels, short

_CLEAR: Final = 1000.0
_SUNS: Final = np.arange(50.0, 1001.0, 25.0)
_NOW: Final[dict[str, Any]] = {"color": style.BLUE, "linestyle": "solid", "linewidth": 2.2}


@attrs.frozen(kw_only=True)
class TroughShares:
    """Left, the troughs at their heights with the grade line; right, what each takes in a sun."""

    sun: float  # sun on the array now [W/m2]
    open: tuple[str, ...]  # troughs whose float is open
    now: HeadProfile  # the line as it settles under that sun
    taken: dict[str, Floats]  # flow into each trough at each sun [m3/s]

    @classmethod
    def of(cls, site: Site, sun: Sun) -> Self:
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
        self._heights(Panel(left, system, "length", "length"))
        self._flows(Panel(right, system, "irradiance", "flow"))
        return figure

    def _said(self, name: str, system: str) -> str:
        if name not in self.open:
            return WORDS["float shut"]
        flow = self.now.inflow[name]
        return CHARTS["nothing"] if flow < NO_FLOW else short(flow, "flow", system)

    def _heights(self, panel: Panel) -> None:
        now = self.now
        heights = [*now.height.values(), *now.head.values()]
        low, high = min(0.0, *heights), max(heights)
        right, room = 1.3 * max(now.distance.values()), high - low
        panel.reach(right=right, top=high + 0.2 * room, bottom=low - 0.12 * room)
        panel.scale(CHARTS["heights title"], across=CHARTS["way along"], up=CHARTS["height up"])
        for node, before in now.parent.items():
            ends = [now.distance[before], now.distance[node]]
            ground = [now.height[before], now.height[node]]
            panel.curve(ends, ground, color=style.GROUND, linewidth=1.6)
            panel.curve(ends, [now.head[before], now.head[node]], **_NOW)
        panel.write(0.0, now.head["manifold"], WORDS["grade line"], (3, 5), color=style.BLUE)
        for place, name in enumerate(self.taken):
            color = style.trough_look(place)["color"]
            x, y = now.distance[name], now.height[name]
            filled = color if name in self.open else style.PAPER
            panel.dot(x, y, marker="s", markersize=9, color=color, markerfacecolor=filled)
            said = f"{name}\n{self._said(name, panel.system)}"
            panel.write(x, y, said, (8, -5), color=color, va="center")

    def _flows(self, panel: Panel) -> None:
        top = 1.12 * max(1e-5, *(float(flow.max()) for flow in self.taken.values()))
        panel.reach(right=_CLEAR, top=top)
        across, up = WORDS["irradiance"], CHARTS["flow"]
        panel.scale(CHARTS["shares title"], across=across, up=up)
        for place, flows in enumerate(self.taken.values()):
            look = style.trough_look(place) | {"linewidth": 2.0, "clip_on": False}
            panel.curve(_SUNS, flows, **look)
        panel.sun_mark(self.sun, 0.94 * top)
        ends = [float(flows[-1]) for flows in self.taken.values()]
        places = spread(ends, gap=0.065 * top, low=0.0, high=top)
        for place, (name, y) in enumerate(zip(self.taken, places, strict=True)):
            panel.write(_CLEAR, y, name, (4, -3), color=style.trough_look(place)["color"])
