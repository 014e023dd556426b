"""What each way to say stop costs, against the distance of the far trough."""

from typing import TYPE_CHECKING, Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.method_sites import METHODS
from labkit.arrays import Floats
from labkit.figures import style
from labkit.figures.ticks import nice_step, spread
from labkit.text.shared import ADVICE
from labkit.view.advice_told import dollars
from labkit.view.charts.base import Panel, panels, short

if TYPE_CHECKING:
    from labkit.advice.stop_methods import StopCase, StopMethods

_LOOKS: Final[dict[str, dict[str, Any]]] = {
    "pressure": {"color": style.BLUE, "linestyle": "solid", "linewidth": 2.2},
    "wire": {"color": style.PLUM, "linestyle": (0, (5, 1.8)), "linewidth": 2.2},
    "radio": {"color": style.GREEN, "linestyle": (0, (6, 1.6, 1.2, 1.6)), "linewidth": 2.2},
}
_PLACES: Final = 61


@attrs.frozen(kw_only=True)
class StopPrices:
    """Three prices over distance, with the line's own distance marked on each."""

    # pipe to the far trough, and the longest that is drawn [m]
    way: float
    reach: float
    money: float  # what may be spent [US dollars]
    ways: Floats  # distances [m]
    costs: dict[str, Floats]  # what each way costs there [US dollars]
    here: dict[str, float]  # what each costs on the line [US dollars]
    works: dict[str, bool]  # whether it works on the line

    @classmethod
    def of(cls, case: "StopCase", found: "StopMethods", *, reach: float) -> Self:
        """Gather the prices of a case, up to a distance [m]."""
        ways = np.linspace(reach / (_PLACES - 1), reach, _PLACES)
        return cls(
            way=case.way,
            reach=reach,
            money=case.money,
            ways=ways,
            costs=case.costs(list(ways)),
            here={method.name: method.cost for method in found.methods},
            works={method.name: method.feasible for method in found.methods},
        )

    def words(self, system: str) -> str:
        """Say what each way costs here, and whether it works."""
        ways = "; ".join(
            ADVICE["stop price"].format(
                method=ADVICE[name],
                price=dollars(self.here[name]),
                works=ADVICE["works" if self.works[name] else "does not work"],
            )
            for name in METHODS
        )
        return ADVICE["stop chart"].format(
            way=short(self.way, "length", system), ways=ways, money=dollars(self.money)
        )

    def draw(self, system: str) -> Figure:
        """Draw the prices."""
        figure, (axes,) = panels(1.0)
        panel = Panel(axes, system, "length")
        most = [self.money, *self.here.values(), float(self.costs["radio"].max())]
        top = 1.3 * max(most)  # a pair that costs far more runs off the top
        panel.reach(right=1.12 * self.reach, top=top)
        across, up = ADVICE["way to far trough"], ADVICE["dollars"]
        panel.scale(ADVICE["stop prices title"], across=across, up=up)
        axes.set_yticks(np.arange(0.0, top, nice_step(top, count=5)))
        here = float(panel.shown(self.way, "length"))
        axes.axvline(here, color=style.FAINT, linewidth=0.9, linestyle=(0, (1, 2)))
        panel.write(self.way, 0.97 * top, ADVICE["your line"], (4, -8), color=style.QUIET)
        axes.axhline(self.money, color=style.AMBER, linewidth=1.2, linestyle=(0, (2, 2)))
        said = ADVICE["money to spend"].format(money=dollars(self.money))
        panel.write(0.0, self.money, said, (4, 3), color=style.AMBER)
        self._lines(panel, top)
        return figure

    def _lines(self, panel: Panel, top: float) -> None:
        """Draw the price of each way, its name, and the line's own place on it."""
        ends = {name: int(np.searchsorted(self.costs[name], 0.95 * top)) - 1 for name in METHODS}
        heights = [float(self.costs[name][end]) for name, end in ends.items()]
        places = spread(heights, gap=0.075 * top, low=0.0, high=top)
        for (name, end), y in zip(ends.items(), places, strict=True):
            look, works = _LOOKS[name], self.works[name]
            panel.curve(self.ways, self.costs[name], **look)
            panel.write(self.ways[end], y, ADVICE[name], (7, -3), color=look["color"])
            panel.dot(
                self.way, self.here[name], marker="o" if works else "X", markersize=9,
                color=look["color"], markerfacecolor=look["color"] if works else style.PAPER,
                clip_on=False,
            )  # fmt: skip
