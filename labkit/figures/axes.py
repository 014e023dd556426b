"""Axes laid out in dots, and the small helpers that every panel needs."""

from math import ceil
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.axis import Axis
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from labkit.figures import style
from labkit.figures.ticks import nice_step, plain_tick

HALO: Final = [withStroke(linewidth=2.6, foreground=style.PAPER)]
"""A white rim around letters; slow, so only where lines cross."""


def inches(left: float, top: float) -> tuple[float, float]:
    """Turn a place in dots from the top left corner into inches from the bottom left."""
    return left / style.DPI, style.HEIGHT - top / style.DPI


def add_axes(figure: Figure, left: float, top: float, right: float, bottom: float) -> Axes:
    """Add bare axes that fill a box given in dots from the top left corner."""
    x, y = inches(left, bottom)
    width, height = (right - left) / style.DPI, (bottom - top) / style.DPI
    box = (x / style.WIDTH, y / style.HEIGHT, width / style.WIDTH, height / style.HEIGHT)
    axes = figure.add_axes(box, facecolor="none")
    bare(axes)
    return axes


def bare(axes: Axes) -> None:
    """Give axes the look of every picture: two quiet spines, small ticks, a faint grid."""
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set(color=style.FAINT, linewidth=0.8)
    axes.tick_params(
        colors=style.QUIET, labelsize=style.SMALL, labelfontfamily=style.FONT, length=2.5, width=0.8
    )
    axes.grid(visible=True, color=style.GRID, linewidth=0.7)
    axes.set_axisbelow(True)


def title(axes: Axes, words: str, *, over: float = 4.0) -> None:
    """Write what a panel shows above its top left corner, some points over it."""
    axes.annotate(
        words,
        (0.0, 1.0),
        (0.0, over),
        xycoords="axes fraction",
        textcoords="offset points",
        color=style.INK,
        fontsize=style.TITLE,
        fontfamily=style.FONT,
        fontweight="bold",
        annotation_clip=False,
    )


def name_axis(axis: Axis, words: str) -> None:
    """Write what an axis measures, its ticks without useless zeros."""
    axis.set_label_text(words, color=style.QUIET, fontsize=style.TEXT, fontfamily=style.FONT)
    axis.set_major_formatter(plain_tick)


def scale_up(axes: Axes, top: float, *, count: int) -> float:
    """Put round ticks on a vertical axis from nothing to just above `top`; give its new top."""
    step = nice_step(top, count=count)
    end = step * ceil(top / step - 1e-9)
    axes.set_ylim(0.0, end)
    axes.set_yticks(np.arange(0.0, end + 0.5 * step, step))
    axes.yaxis.set_major_formatter(plain_tick)
    return end
