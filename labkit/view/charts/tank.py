"""A pressure tank at three moments, and how long a leaking line rests with tanks of any size."""

from typing import Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import FancyBboxPatch, Rectangle

from labkit.advice.rules import UNDER_CUT_IN
from labkit.advice.tank_size import TankCycle
from labkit.figures import style
from labkit.figures.axes import title
from labkit.questions import Amount
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WORDS
from labkit.units.customary import MINUTE
from labkit.view.charts.base import Panel, panels, short
from labkit.view.telling import format_amount

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
    def of(cls, site: Site, sun: Sun) -> Self:
        """Gather what a site's tank does."""
        return cls(tank=TankCycle.of(site, sun, np.linspace(0.0, LARGEST, 31)))

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
        self._tanks(Panel(left, system))
        self._curve(Panel(right, system, "volume"))
        return figure

    def _tanks(self, panel: Panel) -> None:
        """Draw the tank at three moments, with its pressure [Pa] and its water [m3]."""
        one, axes, system = self.tank, panel.axes, panel.system
        title(axes, CHARTS["tank title"].format(volume=short(one.volume, "volume", system)))
        axes.set(xlim=(0.0, 3.0), ylim=(0.0, 1.0))
        axes.set_axis_off()
        moments = (
            ("tank empty", one.precharge, 0.0),
            ("tank at cut-in", one.cut_in, one.at_cut_in),
            ("tank at cut-out", one.cut_out, one.at_cut_out),
        )
        for place, (name, pressure, water) in enumerate(moments):
            middle = place + 0.5
            _shell(panel, middle, water / one.volume if one.volume > 0.0 else 0.0)
            said = f"{CHARTS[name]}\n{short(pressure, 'pressure', system)}"
            panel.write(middle, _TOP + 0.035, said, ha="center", va="bottom")
            held = CHARTS["tank water"].format(water=_fine(water, system))
            panel.write(middle, _BOTTOM - 0.03, held, ha="center", va="top", color=style.BLUE)
        given = CHARTS["tank gives"].format(water=_fine(one.drawdown, system))
        panel.write(2.0, 0.0, given, ha="center", va="bottom", fontweight="bold")

    def _curve(self, panel: Panel) -> None:
        one, system = self.tank, panel.system
        cycles = np.concatenate([one.usual, one.own])
        known = np.isfinite(cycles)
        longest = float(cycles[known].max()) / MINUTE if known.any() else _LONGEST
        top = 1.28 * longest
        panel.reach(right=LARGEST, top=top)
        across, up = WORDS["tank volume"], CHARTS["minutes of a cycle"]
        panel.scale(CHARTS["cycle title"], across=across, up=up)
        if not known.any():
            panel.write(0.5 * LARGEST, 0.5 * top, self._cycle(system), ha="center")
            return
        for spans, look in ((one.own, _OWN), (one.usual, _USUAL)):
            panel.curve(one.volumes, spans / MINUTE, **look)
        panel.dot(one.volume, one.cycle / MINUTE)
        is_same = np.allclose(one.own, one.usual, rtol=0.01)
        key = "usual charge, as yours" if is_same else "usual charge"
        under = CHARTS[key].format(under=short(UNDER_CUT_IN, "pressure", system))
        own = CHARTS["own charge"].format(cycle=self._cycle(system))
        panel.write(0.03 * LARGEST, 0.95 * top, under)
        panel.write(0.03 * LARGEST, 0.88 * top, own, color=style.BLUE)


def _fine(water: float, system: str) -> str:
    kind = "small volume" if 0.0 < water < _FINE else "volume"
    return format_amount(Amount(water, kind), system)


def _shell(panel: Panel, middle: float, share: float) -> None:
    """Draw one tank: water below in its share of the height, air above."""
    left, tall = middle - 0.5 * _WIDE, _TOP - _BOTTOM
    shell = FancyBboxPatch(
        (left, _BOTTOM), _WIDE, tall, boxstyle="round,pad=0,rounding_size=0.09",
        facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.6, zorder=3,
    )  # fmt: skip
    panel.axes.add_patch(shell)
    water = Rectangle(
        (left, _BOTTOM), _WIDE, share * tall, facecolor=style.WATER, edgecolor=style.BLUE,
        hatch="...", linewidth=1.2, zorder=4,
    )  # fmt: skip
    panel.axes.add_patch(water)
    water.set_clip_path(shell)
    look: dict[str, Any] = {"ha": "center", "va": "center", "zorder": 6}
    if share < 0.85:
        height = _BOTTOM + 0.5 * (1.0 + share) * tall
        panel.write(middle, height, CHARTS["tank air"], color=style.QUIET, **look)
    if share > 0.12:
        height = _BOTTOM + 0.5 * share * tall
        panel.write(middle, height, CHARTS["tank holds"], fontweight="bold", **look)
