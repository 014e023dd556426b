"""Days on the range: the sun, and the water in the trough."""

from typing import TYPE_CHECKING, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.days import DayWater, day_water
from labkit.figures import style
from labkit.figures.axes import title
from labkit.language import unit_word
from labkit.text.shared import CHARTS, WORDS
from labkit.units import displayed
from labkit.units.customary import DAY
from labkit.view.budget_picture import budget_alt, budget_figure
from labkit.view.charts.base import level, panels, short, write

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from labkit.advice.water_budget import WaterBudget
    from labkit.site import Site
    from labkit.sun import Sun

_TOP: Final = 1.25


@attrs.frozen(kw_only=True)
class SunAndLevel:
    """Left, the sun of some days; right, the water in the trough over the same days."""

    days: DayWater

    @classmethod
    def of(cls, site: "Site", sun: "Sun") -> Self:
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
        self._sun(left, system)
        self._water(right, system)
        return figure

    def _sun(self, axes: "Axes", system: str) -> None:
        days = self.days
        self._across(axes)
        sun = displayed(days.irradiance, "irradiance", system)
        axes.set_ylim(0.0, _TOP * max(float(sun.max()), 100.0))
        axes.fill_between(days.time / DAY, sun, color=style.BAND, linewidth=0.0)
        axes.plot(days.time / DAY, sun, color=style.AMBER, linewidth=1.8)
        title(axes, CHARTS["sun title"].format(unit=unit_word("irradiance", system)))
        for number, came in enumerate(days.came):
            said = CHARTS["came in"].format(volume=short(came, "volume", system))
            write(axes, number + 0.5, 0.9 * axes.get_ylim()[1], said, ha="center", color=style.BLUE)

    def _water(self, axes: "Axes", system: str) -> None:
        days = self.days
        self._across(axes)
        water = displayed(days.water, "volume", system)
        full = displayed(days.holds, "volume", system)
        axes.set_ylim(0.0, _TOP * max(float(water.max()), full))
        axes.plot(days.time / DAY, water, color=style.GREEN, linewidth=1.8)
        level(axes, full, WORDS["full"], color=style.QUIET)
        empty = water < 1e-3 * full
        axes.fill_between(
            days.time / DAY, 0.0, 0.08 * axes.get_ylim()[1], where=empty, facecolor="none",
            edgecolor=style.VERMILION, hatch="////", linewidth=0.0,
        )  # fmt: skip
        title(axes, CHARTS["water title"].format(unit=unit_word("volume", system)))
        for number, (drunk, wanted) in enumerate(zip(days.drunk, days.wanted, strict=True)):
            if wanted - drunk > 0.01 * max(wanted, 1e-9):
                said = CHARTS["short by"].format(volume=short(wanted - drunk, "volume", system))
                y = 0.11 * axes.get_ylim()[1]
                write(axes, number + 0.5, y, said, ha="center", color=style.VERMILION)

    def _across(self, axes: "Axes") -> None:
        """Name the days below a panel."""
        count = len(self.days.wanted)
        axes.set_xlim(0.0, float(count))
        axes.set_xticks(np.arange(count) + 0.5)
        names = [CHARTS["day name"].format(number=number + 1) for number in range(count)]
        axes.set_xticklabels(names, fontsize=style.TEXT, fontfamily=style.FONT)
        for number in range(1, count):
            axes.axvline(number, color=style.GRID, linewidth=0.9)


@attrs.frozen
class BudgetChart:
    """A year's water as bars, month by month."""

    budget: "WaterBudget"

    def draw(self, system: str) -> Figure:
        """Draw it in the units of a system."""
        return budget_figure(self.budget, system)

    def words(self, system: str) -> str:
        """Say what it shows."""
        return budget_alt(self.budget, system)
