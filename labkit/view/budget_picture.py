"""The year's water as bars: what is needed, what is delivered, and what the handbook says."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure
from typing_extensions import override

from labkit.figures import style
from labkit.figures.axes import add_axes, scale_up, title
from labkit.language import unit_word
from labkit.text.shared import ADVICE
from labkit.units import displayed
from labkit.units.customary import DAY
from labkit.view.advice_told import budget_lines
from labkit.view.narrow import StillImage

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from labkit.advice.water_budget import WaterBudget

_KIND = "daily volume"
_WIDE = 0.36


class BudgetImage(StillImage["WaterBudget"]):
    """The bars of a year's water."""

    @override
    def draw(self, system: str) -> Figure:
        figure = Figure(figsize=(style.WIDTH, style.HEIGHT), dpi=style.DPI, layout=None)
        axes = add_axes(figure, 84.0, 128.0, 1132.0, 742.0)
        title(axes, ADVICE["budget title"].format(unit=unit_word(_KIND, system)))
        _bars(axes, self.found, system)
        _legend(axes, self.found)
        return figure

    @override
    def words(self, system: str) -> str:
        words = ADVICE["budget title"].format(unit=unit_word(_KIND, system))
        lines = budget_lines(self.found, system)
        return " ".join([f"{self.found.site.title}. {words}.", *lines])


def _bars(axes: Axes, budget: WaterBudget, units: str) -> None:
    """Draw the bars of each month, the span of skies, and the handbook's marks."""
    needed, able, handbook, low, high = (
        displayed(np.array([getattr(month, field) for month in budget.months]) / DAY, _KIND, units)
        for field in ("needed", "able", "handbook", "overcast", "clear")
    )
    place = np.arange(len(budget.months), dtype=float)
    axes.bar(
        place - 0.5 * _WIDE, needed, _WIDE,
        facecolor=style.PAPER, edgecolor=style.INK, hatch="////", linewidth=1.0,
        label=ADVICE["needed and air" if budget.months[0].evaporation else "needed"],
    )  # fmt: skip
    axes.bar(
        place + 0.5 * _WIDE, able, _WIDE,
        facecolor=style.SKY, edgecolor=style.BLUE, linewidth=1.0, label=ADVICE["able"],
    )  # fmt: skip
    axes.errorbar(
        place + 0.5 * _WIDE, able, yerr=np.abs([able - low, high - able]),
        fmt="none", ecolor=style.BLUE, elinewidth=1.2, capsize=3.5, label=ADVICE["skies"],
    )  # fmt: skip
    axes.plot(
        place + 0.5 * _WIDE, handbook,
        linestyle="none", marker="D", markersize=5.5, markerfacecolor=style.PAPER,
        markeredgecolor=style.INK, markeredgewidth=1.3, label=ADVICE["handbook"],
    )  # fmt: skip
    top = scale_up(axes, 1.04 * max(needed.max(), high.max(), handbook.max()), count=5)
    for x, month, height in zip(place, budget.months, np.maximum(needed, high), strict=True):
        if not month.enough:
            axes.text(
                x, height + 0.012 * top, ADVICE[f"short of {month.lacks}"],
                ha="center", va="bottom", color=style.VERMILION,
                fontsize=style.SMALL, fontfamily=style.FONT, fontweight="bold",
            )  # fmt: skip
    axes.set_xlim(-0.6, place[-1] + 0.6)
    axes.set_xticks(place, [month.name[:3] for month in budget.months])
    axes.grid(visible=False, axis="x")


def _legend(axes: Axes, budget: WaterBudget) -> None:
    """Say what the bars and marks are, above them, in two columns."""
    axes.legend(
        loc="lower left", bbox_to_anchor=(0.0, 1.055), ncols=2, frameon=False, borderaxespad=0.0,
        prop={"family": style.FONT, "size": style.TEXT}, labelcolor=style.INK,
        handlelength=1.8, columnspacing=2.4,
    )  # fmt: skip
    axes.figure.text(
        84.0 / (style.WIDTH * style.DPI), 1.0 - 28.0 / (style.HEIGHT * style.DPI),
        budget.site.title,
        fontsize=style.TITLE + 1.0, fontfamily=style.FONT, fontweight="bold", color=style.INK,
        parse_math=False,
    )  # fmt: skip
