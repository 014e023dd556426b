"""A pressure tank at three moments, and how long a leaking line rests with tanks of any size."""

from typing import TYPE_CHECKING, Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import FancyBboxPatch, Rectangle

from labkit.advice.rules import UNDER_CUT_IN
from labkit.advice.tank_size import TankCycle
from labkit.figures import style
from labkit.figures.axes import title
from labkit.questions import Amount
from labkit.text.shared import CHARTS, WORDS
from labkit.units import displayed
from labkit.units.customary import MINUTE
from labkit.view.charts.base import dot, panels, reach, scale, short, write
from labkit.view.telling import format_amount

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from labkit.site import Site
    from labkit.sun import Sun

LARGEST: Final = 0.15  # largest tank of the curve [m3]: 40 gal
_FINE: Final = 0.03785  # water that is told to a hundredth [m3]: less than 10 gal
_LONGEST: Final = 240.0  # the clock's end where nothing leaks [min]
_OWN: Final[dict[str, Any]] = {"color": style.SKY, "linestyle": "solid", "linewidth": 5.0}
_USUAL: Final[dict[str, Any]] = {
    "color": style.INK, "linestyle": (0, (5, 2.5)), "linewidth": 1.8,
}  # fmt: skip
"""Dashes on a broad band, so that both are seen where they are the same."""
_WIDE, _GAP = 0.72, 0.28
_BOTTOM, _TOP = 0.16, 0.80


@attrs.frozen(kw_only=True)
class TankMoments:
    """Left, the tank empty, at cut-in and at cut-out; right, the cycle against its size."""

    tank: TankCycle

    @classmethod
    def of(cls, site: "Site", sun: "Sun") -> Self:
        """Gather what a site's tank does."""
        return cls(tank=TankCycle.of(site, sun, np.linspace(0.0, LARGEST, 31)))

    def _moments(self) -> tuple[tuple[str, float, float], ...]:
        """Return what the moments are called, with pressure [Pa] and water [m3]."""
        one = self.tank
        return (
            ("tank empty", one.precharge, 0.0),
            ("tank at cut-in", one.cut_in, one.at_cut_in),
            ("tank at cut-out", one.cut_out, one.at_cut_out),
        )

    def words(self, system: str) -> str:
        """Say what the tank holds and how long a cycle lasts."""
        one = self.tank
        return CHARTS["tank chart"].format(
            volume=short(one.volume, "volume", system),
            precharge=short(one.precharge, "pressure", system),
            low=_fine(one.at_cut_in, system),
            cut_in=short(one.cut_in, "pressure", system),
            high=_fine(one.at_cut_out, system),
            cut_out=short(one.cut_out, "pressure", system),
            drawdown=_fine(one.drawdown, system),
            cycle=self._cycle(system),
        )

    def _cycle(self, system: str) -> str:
        if np.isnan(self.tank.cycle):
            return CHARTS["no cut-out"]
        if np.isinf(self.tank.cycle):
            return CHARTS["no cycle"]
        return CHARTS["one cycle"].format(
            volume=short(self.tank.volume, "volume", system),
            time=short(self.tank.cycle, "time", system),
        )

    def draw(self, system: str) -> Figure:
        """Draw tanks and curve."""
        figure, (left, right) = panels(1.15, 1.0)
        self._tanks(left, system)
        self._curve(right, system)
        return figure

    def _tanks(self, axes: "Axes", system: str) -> None:
        title(axes, CHARTS["tank title"].format(volume=short(self.tank.volume, "volume", system)))
        axes.set_xlim(0.0, 3.0)
        axes.set_ylim(0.0, 1.0)
        axes.set_axis_off()
        for place, (name, pressure, water) in enumerate(self._moments()):
            share = water / self.tank.volume if self.tank.volume > 0.0 else 0.0
            middle = place + 0.5
            _shell(axes, middle, share)
            said = f"{CHARTS[name]}\n{short(pressure, 'pressure', system)}"
            write(axes, middle, _TOP + 0.035, said, ha="center", va="bottom")
            held = CHARTS["tank water"].format(water=_fine(water, system))
            write(axes, middle, _BOTTOM - 0.03, held, ha="center", va="top", color=style.BLUE)
        given = CHARTS["tank gives"].format(water=_fine(self.tank.drawdown, system))
        write(axes, 2.0, 0.0, given, ha="center", va="bottom", fontweight="bold")

    def _curve(self, axes: "Axes", system: str) -> None:
        one = self.tank
        cycles = np.concatenate([one.usual, one.own])
        known = np.isfinite(cycles)
        longest = float(cycles[known].max()) / MINUTE if known.any() else _LONGEST
        right, top = displayed(LARGEST, "volume", system), 1.28 * longest
        reach(axes, right=right, top=top)
        across = (WORDS["tank volume"], "volume")
        scale(axes, system, across=across, up=("", "time"), words=CHARTS["cycle title"])
        axes.set_ylabel(CHARTS["minutes of a cycle"])
        if not known.any():
            write(axes, 0.5 * right, 0.5 * top, self._cycle(system), ha="center")
            return
        sizes = displayed(one.volumes, "volume", system)
        for spans, look in ((one.own, _OWN), (one.usual, _USUAL)):
            axes.plot(sizes, spans / MINUTE, **look)
        x, y = displayed(one.volume, "volume", system), one.cycle / MINUTE
        dot(axes, x, y)
        is_same = np.allclose(one.own, one.usual, rtol=0.01)
        key = "usual charge, as yours" if is_same else "usual charge"
        under = CHARTS[key].format(under=short(UNDER_CUT_IN, "pressure", system))
        own = CHARTS["own charge"].format(cycle=self._cycle(system))
        write(axes, 0.03 * right, 0.95 * top, under)
        write(axes, 0.03 * right, 0.88 * top, own, color=style.BLUE)


def _fine(water: float, system: str) -> str:
    kind = "small volume" if 0.0 < water < _FINE else "volume"
    return format_amount(Amount(water, kind), system)


def _shell(axes: "Axes", middle: float, share: float) -> None:
    """Draw one tank: water below in its share of the height, air above."""
    left, tall = middle - 0.5 * _WIDE, _TOP - _BOTTOM
    shell = FancyBboxPatch(
        (left, _BOTTOM), _WIDE, tall, boxstyle="round,pad=0,rounding_size=0.09",
        facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.6, zorder=3,
    )  # fmt: skip
    axes.add_patch(shell)
    water = Rectangle(
        (left, _BOTTOM), _WIDE, share * tall, facecolor=style.WATER, edgecolor=style.BLUE,
        hatch="...", linewidth=1.2, zorder=4,
    )  # fmt: skip
    axes.add_patch(water)
    water.set_clip_path(shell)
    if share < 0.85:
        write(axes, middle, _BOTTOM + 0.5 * (1.0 + share) * tall, CHARTS["tank air"],
              ha="center", va="center", color=style.QUIET, zorder=6)  # fmt: skip
    if share > 0.12:
        write(axes, middle, _BOTTOM + 0.5 * share * tall, CHARTS["tank holds"],
              ha="center", va="center", fontweight="bold", zorder=6)  # fmt: skip
