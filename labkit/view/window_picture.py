"""The operating window as a picture: what the switch sees, and what room that leaves it.

Pressure runs to the right. A row for each trough shows the pressure at rest and while it fills;
rows below show what bounds cut-out from above. The room that is left is shaded through all rows.
"""

from textwrap import fill
from typing import Any, Final, Self

import attrs
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from typing_extensions import override

from labkit.advice.bounds import Bound
from labkit.advice.window import TroughPressures, Window, bare_window
from labkit.figures import style
from labkit.figures.limits import WATER_COLUMN
from labkit.language import say, unit_word
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WINDOW_WORDS
from labkit.units import displayed
from labkit.view.field_numbers import at_least, at_most, gauge, size
from labkit.view.narrow import StillImage, narrow_png
from labkit.view.window_told import own_words, setting_lines, trough_lines

FULL_SUN: Final = 1000.0  # the strongest sun that a switch is set for [W/m2]
MOST_TROUGHS: Final = 8
"""Rows of troughs that a picture holds; those with the highest running pressure are kept."""

_ROW: Final = 0.44
_AROUND: Final = 1.85
_THICK: Final = 0.42
_TITLE_SIGNS: Final = 96
"""Letters of the bold title that fit in the width; a longer one takes two lines."""


def window_figure(window: "Window", system: str = "US", *, own: bool = False) -> Figure:
    """Draw a window.

    With `own`, cut-in and cut-out of the site's own switch, and what they come to, stand in place
    of those that are recommended.
    """
    switch, best = window.site.pressure_switch, window.recommended
    points = None if best is None else (best.cut_in, best.cut_out)
    if own:
        points = switch.points
    highest = sorted(window.troughs, key=lambda trough: trough.most)[-MOST_TROUGHS:]
    troughs = [trough for trough in window.troughs if trough in highest]
    lowest_first = sorted(window.bounds, key=lambda bound: bound.pressure)
    limits = [one for one in lowest_first if one.side == "below" and one.name != "dead head"]
    rows = len(troughs) + 1 + len(limits)
    height = _AROUND + _ROW * rows
    figure = Figure(figsize=(style.WIDTH, height), dpi=style.DPI, facecolor=style.PAPER)
    axes = figure.add_axes(
        (0.2, 0.62 / height, 0.77, (height - _AROUND) / height), facecolor=style.PAPER
    )
    left, right = _reach(window, points)
    axes.set_xlim(displayed(left, "pressure", system), displayed(right, "pressure", system))
    axes.set_ylim(rows - 0.4, -0.6)
    _room(axes, window, system)
    labels = []
    for row, trough in enumerate(troughs):
        _trough_row(axes, row, trough, system)
        if row == 0 and window.sun.low < window.sun.high:
            _name_ends(axes, row, (trough.least, trough.most), system)
        labels.append(WINDOW_WORDS["row filling"].format(name=trough.name))
    _shut_row(axes, len(troughs), window, system)
    labels.append(WINDOW_WORDS["row shut"])
    for row, bound in enumerate(limits, len(troughs) + 1):
        _limit_row(axes, row, bound, right, system)
        labels.append(WINDOW_WORDS[f"row {bound.name}"].format(where=bound.where))
    _points(axes, points, system)
    _frame(figure, axes, labels, window, system, own=own)
    return figure


@attrs.frozen(kw_only=True)
class SwitchWindow:
    """Where the switch may stand so that it works in every sun from the present one to full sun."""

    sun: float  # the weakest sun, that of the bench [W/m2]
    window: Window  # the room for the two points

    @classmethod
    def of(cls, site: Site, sun: Sun) -> Self:
        """Work out the room of a site, from a sun up to full sun."""
        weakest = float(sun.irradiance.max())
        return cls(sun=weakest, window=bare_window(site, min(weakest, FULL_SUN), FULL_SUN))

    def words(self, system: str) -> str:
        """Say what the switch sees, what room that leaves, and what its setting comes to."""
        room = self.window.room
        low, high = (size(point, "pressure", system) for point in (room.floor, room.ceiling))
        key = "window chart" if room.floor < room.ceiling else "window chart closed"
        said = CHARTS[key].format(
            sun=size(self.sun, "irradiance", system),
            cut_in=size(room.cut_in_above, "pressure", system),
            low=low,
            high=high,
        )
        return " ".join([said, *trough_lines(self.window, system), own_words(self.window, system)])

    def draw(self, system: str) -> Figure:
        """Draw the room with the switch's own two points."""
        return window_figure(self.window, system, own=True)


class WindowImage(StillImage[Window]):
    """A window in picture and words."""

    @override
    def draw(self, system: str) -> Figure:
        return window_figure(self.found, system)

    @override
    def words(self, system: str) -> str:
        return WINDOW_WORDS["alt"] + " ".join(setting_lines(self.found, system))

    @property
    @override
    def narrow(self) -> bytes:
        """Without the second axis, and with room for numbers at the left."""
        figure = self.draw(self.units)
        (axes,) = figure.axes
        for height_axis in [*axes.child_axes]:
            height_axis.remove()
        left, right = axes.get_xlim()
        axes.set_xlim(left - 0.16 * (right - left), right)
        return narrow_png(figure)


def _reach(window: "Window", points: tuple[float, float] | None) -> tuple[float, float]:
    """Return the ends of the pressure axis [Pa]."""
    room = window.room
    low = min(0.0, *(trough.static for trough in window.troughs))
    high = max(room.floor, 1.35 * min(room.ceiling, window.dead_head[1]), window.dead_head[0])
    high = min(max(high, window.dead_head[1]), 2.2 * max(room.floor, room.ceiling))
    if points is not None:
        high = max(high, 1.15 * points[1])
    return low - 0.11 * (high - low), high + 0.09 * (high - low)


def _room(axes: Axes, window: "Window", system: str) -> None:
    """Shade where cut-out may lie; where it may not, show the two bounds that cross."""
    room = window.room
    low, high = (displayed(p, "pressure", system) for p in (room.floor, room.ceiling))
    if low < high:
        axes.axvspan(low, high, facecolor=style.ROOM, edgecolor="none", zorder=0)
    else:
        axes.axvspan(high, low, facecolor="none", edgecolor=style.FAINT, hatch="xx", zorder=0)
    for edge in (low, high):
        axes.axvline(edge, color=style.QUIET, linewidth=0.8, zorder=1)


def _trough_row(axes: Axes, row: int, trough: TroughPressures, system: str) -> None:
    """Draw a trough: a diamond at rest, a bar while it fills."""
    static, least, most = (
        displayed(p, "pressure", system) for p in (trough.static, trough.least, trough.most)
    )
    axes.barh(row, most - least, left=least, height=_THICK, facecolor=style.SKY,
              edgecolor=style.BLUE, hatch="////", linewidth=0.9, zorder=2)  # fmt: skip
    axes.plot([static], [row], marker="D", color=style.INK, markersize=5.0, zorder=4)
    _note(axes, most, row, gauge(trough.most, system))
    _note(axes, static, row, gauge(trough.static, system), side="left")


def _shut_row(axes: Axes, row: int, window: "Window", system: str) -> None:
    """Draw how far the pump pushes against the shut line, from the weakest sun to the strongest."""
    low, high = (displayed(p, "pressure", system) for p in window.dead_head)
    right = axes.get_xlim()[1]
    if low >= right:
        return
    axes.barh(row, max(high - low, 0.004 * right), left=low, height=_THICK, linewidth=0.9,
              facecolor=style.ORANGE, edgecolor=style.INK, hatch=4 * "\\", zorder=2)  # fmt: skip
    _note(axes, low, row, gauge(window.dead_head[0], system), side="left")
    if low < high <= right:
        _note(axes, high, row, gauge(window.dead_head[1], system))
        _name_ends(axes, row, window.dead_head, system, is_low_told=True)


def _name_ends(
    axes: Axes, row: int, ends: tuple[float, float], system: str, *, is_low_told: bool = False
) -> None:
    """Write over the ends of a bar in which sun it begins and ends, and at what if not yet told."""
    low = WINDOW_WORDS["weakest sun" if is_low_told else "weakest sun at"]
    names = (low.format(p=gauge(ends[0], system)), WINDOW_WORDS["strongest sun"])
    for pressure, words, side in zip(ends, names, ("right", "left"), strict=True):
        at = (displayed(pressure, "pressure", system), row - 0.5 * _THICK)
        _write(axes, at, words, (0.0, 1.5), pad=0.4, alpha=0.7, ha=side, va="bottom")


def _limit_row(axes: Axes, row: int, bound: Bound, right: float, system: str) -> None:
    """Draw a limit from above: what lies to the right of it is out of bounds."""
    p, end = (displayed(each, "pressure", system) for each in (bound.pressure, right))
    axes.barh(row, max(end - p, 0.0), left=p, height=_THICK, facecolor=style.GRID,
              edgecolor=style.QUIET, hatch="xxx", linewidth=0.9, zorder=2)  # fmt: skip
    _note(axes, min(p, end), row, gauge(bound.pressure, system), side="left")


def _note(axes: Axes, x: float, row: int, words: str, *, side: str = "right") -> None:
    """Write a number beside a mark."""
    away, ha = (6.0, "left") if side == "right" else (-6.0, "right")
    _write(axes, (x, row), words, (away, 0.0), pad=0.8, alpha=0.85, ha=ha, va="center")


def _write(
    axes: Axes,
    at: tuple[float, float],
    words: str,
    shift: tuple[float, float],
    *,
    pad: float,
    alpha: float,
    **look: Any,
) -> None:
    """Write small words beside a place, shifted by points, on a patch of paper."""
    axes.annotate(
        words, at, xytext=shift, textcoords="offset points", fontsize=style.SMALL, color=style.INK,
        family=style.FONT, zorder=5, annotation_clip=False,
        bbox={"facecolor": style.PAPER, "edgecolor": "none", "pad": pad, "alpha": alpha}, **look,
    )  # fmt: skip


def _points(axes: Axes, points: tuple[float, float] | None, system: str) -> None:
    """Draw cut-in and cut-out through all rows."""
    if points is None:
        return
    looks = {"cut-in": (points[0], (0, (2, 2))), "cut-out": (points[1], (0, (7, 2)))}
    for name, (pressure, dashes) in looks.items():
        x = displayed(pressure, "pressure", system)
        axes.axvline(x, color=style.INK, linewidth=1.4, linestyle=dashes, zorder=3)
        side, away = ("right", 4.0) if name == "cut-in" else ("left", -4.0)
        words = WINDOW_WORDS[f"point {name}"].format(p=gauge(pressure, system))
        axes.annotate(
            words, (x, 1.0), xycoords=("data", "axes fraction"), xytext=(away, 3.0),
            textcoords="offset points", va="bottom", fontsize=style.TEXT,
            ha=side,
            color=style.INK, family=style.FONT, weight="bold",
        )  # fmt: skip


def _frame(
    figure: Figure, axes: Axes, labels: list[str], window: "Window", system: str, *, own: bool
) -> None:
    axes.set_yticks(range(len(labels)), labels, fontsize=style.TEXT, family=style.FONT)
    axes.tick_params(axis="y", length=0, colors=style.INK)
    axes.tick_params(axis="x", colors=style.QUIET, labelsize=style.SMALL)
    axes.grid(axis="x", color=style.GRID, linewidth=0.6, zorder=0)
    axes.set_axisbelow(True)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    label = WINDOW_WORDS["pressure axis"].format(unit=unit_word("pressure", system))
    axes.set_xlabel(label, fontsize=style.TEXT, color=style.INK, family=style.FONT)
    room, factor = window.room, displayed(1.0, "pressure", system)
    feet = displayed(1.0 / WATER_COLUMN, "length", system) / factor
    over: Any = axes.secondary_xaxis  # its type asks for functions of whole arrays
    other = over(
        1.0 + 0.3 / axes.get_position().height / figure.get_figheight(),
        functions=(lambda p: p * feet, lambda h: h / feet),
    )
    other.tick_params(colors=style.QUIET, labelsize=style.SMALL)
    other.spines["top"].set_color(style.FAINT)
    label = WINDOW_WORDS["height axis"].format(unit=unit_word("length", system))
    other.set_xlabel(label, fontsize=style.SMALL, color=style.QUIET, family=style.FONT)
    low, high = at_least(room.floor, system), at_most(room.ceiling, system)
    key = "room" if room.floor < room.ceiling else "no room"
    title = WINDOW_WORDS["picture title"].format(site=window.site.title)
    found = f"{title}. {WINDOW_WORDS[key].format(low=low, high=high)}"
    words = fill(own_words(window, system) if own else found, _TITLE_SIGNS)
    more, tall = words.count("\n"), figure.get_figheight()
    figure.text(0.02, 1.0 - (0.17 + 0.045 * more) / tall, words, fontsize=style.TITLE,
                color=style.INK, family=style.FONT, weight="bold", va="center",
                parse_math=False)  # fmt: skip
    key = "key" if room.floor < room.ceiling else "key none"
    suns = (say(sun, "irradiance", system) for sun in (window.sun.low, window.sun.high))
    bars = WINDOW_WORDS["bars"].format(**dict(zip(("low", "high"), suns, strict=True)))
    key = WINDOW_WORDS[key].format(bars=bars if window.sun.low < window.sun.high else "")
    figure.text(0.02, 1.0 - (0.37 + 0.1 * more) / tall, key, family=style.FONT,
                fontsize=style.SMALL, color=style.QUIET, va="center")  # fmt: skip
