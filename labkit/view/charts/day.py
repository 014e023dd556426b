"""Days on the range: the sun, and the water in the trough."""

from typing import Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.days import DayWater, day_water
from labkit.figures import style
from labkit.figures.axes import title
from labkit.language import unit_word
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WORDS
from labkit.units.customary import DAY
from labkit.view.charts.base import Panel, note, panels, short

_TOP: Final = 1.25


@attrs.frozen(kw_only=True)
class SunAndLevel:
    """Left, the sun of some days; right, the water in the trough over the same days."""

    days: DayWater

    @classmethod
    def of(cls, site: Site, sun: Sun) -> Self:
        """Run a site through all the days of a sun."""
        return cls(days=day_water(site, sun))

    def words(self, system: str) -> str:
        """Say what came in and what was drunk on each day, and when the trough ran dry."""
        told = [
            CHARTS["day line"].format(
                number=number + 1,
                came=short(self.days.came[number], "volume", system),
                drunk=short(self.days.drunk[number], "volume", system),
                wanted=short(wanted, "volume", system),
            )
            for number, wanted in enumerate(self.days.wanted)
        ]
        dry = [int(time // DAY) + 1 for time in self.days.dry]
        end = CHARTS["dry on"].format(number=dry[0]) if dry else CHARTS["never dry"]
        return " ".join([CHARTS["day chart"].format(trough=self.days.trough), *told, end])

    def draw(self, system: str) -> Figure:
        """Draw both panels over the same days."""
        figure, (left, right) = panels(1.0, 1.0)
        self._sun(Panel(left, system, up="irradiance"))
        self._water(Panel(right, system, up="volume"))
        return figure

    def _sun(self, panel: Panel) -> None:
        days, axes = self.days, panel.axes
        sun = panel.shown(days.irradiance, "irradiance")
        self._frame(panel, "sun title", max(float(sun.max()), 100.0))
        axes.fill_between(days.time / DAY, sun, color=style.BAND, linewidth=0.0)
        panel.curve(days.time / DAY, days.irradiance, color=style.AMBER)
        for number, came in enumerate(days.came):
            said = CHARTS["came in"].format(volume=short(came, "volume", panel.system))
            at = number + 0.5, 0.9 * axes.get_ylim()[1]
            note(axes, at, said, (0.0, 0.0), ha="center", color=style.BLUE)

    def _water(self, panel: Panel) -> None:
        days, axes = self.days, panel.axes
        water = panel.shown(days.water, "volume")
        full = float(panel.shown(days.holds, "volume"))
        self._frame(panel, "water title", max(float(water.max()), full))
        panel.curve(days.time / DAY, days.water, color=style.GREEN)
        panel.level(days.holds, WORDS["full"], color=style.QUIET)
        top = axes.get_ylim()[1]
        axes.fill_between(
            days.time / DAY, 0.0, 0.08 * top, where=water < 1e-3 * full, facecolor="none",
            edgecolor=style.VERMILION, hatch="////", linewidth=0.0,
        )  # fmt: skip
        for number, (drunk, wanted) in enumerate(zip(days.drunk, days.wanted, strict=True)):
            if wanted - drunk > 0.01 * max(wanted, 1e-9):
                volume = short(wanted - drunk, "volume", panel.system)
                said, at = CHARTS["short by"].format(volume=volume), (number + 0.5, 0.11 * top)
                note(axes, at, said, (0.0, 0.0), ha="center", color=style.VERMILION)

    def _frame(self, panel: Panel, words: str, most: float) -> None:
        """Write what a panel shows, give it room over the most, and name the days below it."""
        count, axes = len(self.days.wanted), panel.axes
        title(axes, CHARTS[words].format(unit=unit_word(panel.up, panel.system)))
        axes.set(xlim=(0.0, float(count)), ylim=(0.0, _TOP * most))
        axes.set_xticks(np.arange(count) + 0.5)
        names = [CHARTS["day name"].format(number=number + 1) for number in range(count)]
        axes.set_xticklabels(names, fontsize=style.TEXT, fontfamily=style.FONT)
        for number in range(1, count):
            axes.axvline(number, color=style.GRID, linewidth=0.9)
