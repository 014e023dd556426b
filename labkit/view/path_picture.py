"""The radio path over the ground, with the room that the wave needs around the straight line."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from typing_extensions import override

from labkit.advice.radio_link import ENOUGH_CLEARANCE, RadioCheck
from labkit.figures import style
from labkit.figures.axes import add_axes, name_axis, title
from labkit.figures.ticks import nice_step, plain_tick
from labkit.language import unit_word
from labkit.text.shared import ADVICE
from labkit.units import displayed
from labkit.view.advice_told import path_lines
from labkit.view.narrow import StillImage


class PathImage(StillImage["RadioCheck"]):
    """A radio path over its ground."""

    @override
    def words(self, system: str) -> str:
        words = ADVICE["path title"].format(unit=unit_word("length", system))
        return " ".join([f"{words}.", *path_lines(self.found, system)])

    @override
    def draw(self, system: str) -> Figure:
        figure = Figure(figsize=(style.WIDTH, 0.75 * style.HEIGHT), dpi=style.DPI, layout=None)
        axes = add_axes(figure, 84.0, 128.0, 1132.0, 742.0)
        axes.set_position((84.0 / 1152.0, 0.13, 1048.0 / 1152.0, 0.66))
        title(axes, ADVICE["path title"].format(unit=unit_word("length", system)))
        _ground(axes, self.found, system)
        axes.legend(
            loc="lower left", bbox_to_anchor=(0.0, 1.08), ncols=2, frameon=False, borderaxespad=0.0,
            prop={"family": style.FONT, "size": style.TEXT}, labelcolor=style.INK, handlelength=2.4,
        )  # fmt: skip
        words = ADVICE["path distance"].format(unit=unit_word("length", system))
        name_axis(axes.xaxis, words)
        axes.figure.text(
            84.0 / 1152.0, 0.955, ADVICE[f"path {self.found.sight}"],
            fontsize=style.TITLE, fontfamily=style.FONT, color=style.INK,
        )  # fmt: skip
        return figure


def _ground(axes: Axes, check: RadioCheck, units: str) -> None:
    """Draw soil, masts, the straight line, the zone around it and the tightest place."""
    x, ground, ray, radius = (
        displayed(values, "length", units)
        for values in (check.distance, check.ground, check.ray, check.fresnel)
    )
    kept = ENOUGH_CLEARANCE * radius
    low, high = (
        float(min(ground.min(), (ray - radius).min())),
        float(max(ground.max(), (ray + radius).max())),
    )
    room = 0.08 * (high - low)
    axes.fill_between(
        x, ray - radius, ray + radius, facecolor="none", edgecolor=style.SKY, hatch="....",
        linewidth=0.9, label=ADVICE["fresnel"],
    )  # fmt: skip
    axes.fill_between(
        x, ray - kept, ray + kept, facecolor=style.WATER, alpha=0.75, linewidth=0.0,
        label=ADVICE["fresnel kept"],
    )  # fmt: skip
    axes.fill_between(x, ground, low - room, facecolor=style.SOIL, edgecolor="none", zorder=2.5)
    axes.plot(x, ground, color=style.GROUND, linewidth=1.6, zorder=3.0)
    axes.plot(
        x, ray, color=style.BLUE, linewidth=1.4, linestyle=(0, (6, 2)), zorder=3.5,
        label=ADVICE["ray"],
    )  # fmt: skip
    for end, (name, side) in ((0, ("well", "left")), (-1, ("trough", "right"))):
        axes.annotate(
            ADVICE[f"path {name}"], (x[end], ground[end]), (6 if end == 0 else -6, -12),
            textcoords="offset points", ha=side, va="top", color=style.INK, zorder=4.0,
            fontsize=style.TEXT, fontfamily=style.FONT,
        )  # fmt: skip
        axes.plot(
            [x[end]] * 2, [ground[end], ray[end]], color=style.INK, linewidth=2.4, zorder=4.0,
            clip_on=False,
        )  # fmt: skip
    worst = check.worst
    axes.plot(
        [x[worst]] * 2, [ground[worst], ray[worst]], color=style.VERMILION, linewidth=1.8,
        marker="_", markersize=9.0, zorder=5.0, label=ADVICE["path worst"],
    )  # fmt: skip
    axes.set_xlim(0.0, float(x[-1]))
    axes.set_ylim(low - room, high + room)
    step = nice_step(high - low + 2.0 * room, count=5)
    first = np.ceil((low - room) / step) * step
    axes.set_yticks(np.arange(first, high + room, step))
    axes.yaxis.set_major_formatter(plain_tick)
