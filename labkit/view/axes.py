"""Axes laid out in dots, and the small helpers that every panel needs."""

from collections.abc import Sequence
from math import ceil, floor, log10
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from labkit.view import style
from labkit.view.language import HOUR, MINUTE, say_hour
from labkit.view.words import WORDS

_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
_TIME_STEPS: Final = (1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0)
_HOURS: Final = (1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 168.0, 720.0, 2400.0)
_MOST_HOURS: Final = 6
_MOST_TICKS: Final = 8
_CLOCK_FROM: Final = 4.0 * HOUR


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


def nice_step(span: float, *, count: int) -> float:
    """Give the round step that cuts a span into about `count` parts."""
    rough = span / count
    power = 10.0 ** floor(log10(rough))
    return next(step * power for step in _STEPS if step * power >= 0.999 * rough)


def scale_up(axes: Axes, top: float, *, count: int) -> float:
    """Put round ticks on a vertical axis from nothing to just above `top`; give its new top."""
    step = nice_step(top, count=count)
    end = step * ceil(top / step - 1e-9)
    axes.set_ylim(0.0, end)
    axes.set_yticks(np.arange(0.0, end + 0.5 * step, step))
    axes.yaxis.set_major_formatter(plain_tick)
    return end


def plain_tick(value: float, _: float = 0.0) -> str:
    """Write a tick without useless zeros and with a true minus sign."""
    return f"{round(value, 9) + 0.0:,.10g}".replace("-", "\N{MINUS SIGN}")


def spread(wanted: Sequence[float], *, gap: float, low: float, high: float) -> list[float]:
    """Move labels apart as little as needed.

    Parameters
    ----------
    wanted : sequence of float
        Where each label would stand best [dots].
    gap : float
        Least distance between two [dots].
    low, high : float
        Ends of the room they have [dots].
    """
    order = np.argsort(wanted, kind="stable")
    places = np.clip(np.asarray(wanted, dtype=float)[order], low, high)
    for _ in range(60):
        for i in range(1, len(places)):
            short = gap - (places[i] - places[i - 1])
            if short > 0.0:
                places[i - 1] -= short / 2.0
                places[i] += short / 2.0
        places = np.clip(places, low, high)
    placed = np.empty_like(places)
    placed[order] = places
    return [float(place) for place in placed]


def time_ticks(duration: float, clock: float, system: str) -> tuple[list[float], list[str], str]:
    """Give round ticks for a time axis in minutes.

    Parameters
    ----------
    duration : float
        Length of the axis [s].
    clock : float
        Time of day at its start [s after midnight].
    system : {"US", "metric"}
        How a time of day is written.

    Returns
    -------
    tuple
        Where the ticks stand [min], what they say, and what the axis is called. A run longer than
        four hours is ticked by the time of day.
    """
    if duration <= _CLOCK_FROM:
        size, unit = (1.0, "s") if duration < 3.0 * MINUTE else (MINUTE, "min")
        step = nice_time_step(duration / size)
        counts = np.arange(0.0, duration / size + 1e-6, step)
        name = WORDS["time title"].format(unit=unit)
        return [float(n) * size / MINUTE for n in counts], [f"{n:g}" for n in counts], name
    step = next(hours for hours in _HOURS if hours * HOUR * _MOST_HOURS >= duration) * HOUR
    first = -(-clock // step) * step
    times = np.arange(first, clock + duration + 1.0, step)
    places = [(float(time) - clock) / MINUTE for time in times]
    return places, [say_hour(float(time), system) for time in times], WORDS["clock title"]


def nice_time_step(span: float) -> float:
    """Give the round step in seconds or minutes for an axis of that length."""
    return next(step for step in _TIME_STEPS if step * _MOST_TICKS >= span)
