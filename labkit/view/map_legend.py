"""The legend of a map of settings: its verdicts, and the lines of the window."""

from textwrap import fill, wrap
from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib import patheffects
from matplotlib.patches import Rectangle

from labkit.figures import style
from labkit.figures.looks import CELLS, Cell
from labkit.view.map_words import MAP_WORDS, legend_words, map_lines

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from labkit.advice.settings_map import SettingsMap


LINES: Final[dict[str, style.Dash]] = {
    "static": (0, (1.2, 1.3)),
    "running": (0, (6, 2)),
    "dead head": (0, (7, 1.6, 1.2, 1.6)),
    "ceiling": "solid",
    "recommended": (0, (10, 1.5)),
}
"""Dashes of the window's bounds, and of the cut-out that is recommended."""

MARKS: Final = {"recommended": "D"}
"""A mark amid a line."""

HATCH: Final = 0.55
"""Width of the hatch's strokes [points]."""

_ENTRY: Final = 46
_BOX: Final = 36
_LINE: Final = 24
"""Height of an entry, of its box, and of a line's entry [dots]."""
_WORDS: Final = 36
_TOLD: Final = 44
"""Characters of a line beside a box, and of one under them all."""
_TOLD_LINE: Final = 21
"""Height of a line under them all [dots]; those that find no room are left to the other words."""
_HALO: Final = [patheffects.withStroke(linewidth=2.6, foreground=style.PAPER)]


def set_letter(axes: "Axes", x: float, y: float, letter: str, *, size: float) -> None:
    """Set a bold letter with a rim of paper, so that it can be read on any hatch."""
    axes.text(
        x, y, letter, ha="center", va="center", fontsize=size, fontweight="bold",
        fontfamily=style.FONT, color=style.INK, path_effects=_HALO, zorder=6.0,
    )  # fmt: skip


def draw_legend(
    figure: "Figure",
    found: "SettingsMap",
    verdicts: tuple[str, ...],
    lines: tuple[str, ...],
    system: str,
    *,
    at: tuple[float, float],
) -> None:
    """List verdicts and lines that occur with their looks, then what it all comes to.

    `at` is the upper left corner [dots from the figure's].
    """
    (left, top), side, counts = at, _sheet(figure), found.counts()
    for verdict in verdicts:
        _box(side, left, top, CELLS[verdict])
        words = fill(legend_words(found, verdict, counts[verdict]), _WORDS)
        _write(side, left + _BOX + 12, top - 1, words)
        top += _ENTRY
    top += 6
    for name in lines:
        side.plot(
            left + _BOX * np.array([0.0, 0.75, 1.5]), [top + 9] * 3, color=style.INK, linewidth=2.2,
            linestyle=LINES[name], marker=MARKS.get(name, ""), markevery=[1],
        )  # fmt: skip
        _write(side, left + 1.5 * _BOX + 12, top, MAP_WORDS[name])
        top += _LINE
    rows = _told(found, lines, system)
    room = int((side.get_ylim()[0] - top - 10) // _TOLD_LINE)
    _write(side, left, top + 10, "\n".join(rows[:room]))


def legend_height(
    found: "SettingsMap", verdicts: tuple[str, ...], lines: tuple[str, ...], system: str
) -> float:
    """Return the height of a legend that leaves no words out [dots]."""
    told = _TOLD_LINE * (1 + len(_told(found, lines, system)))
    return _ENTRY * len(verdicts) + _LINE * len(lines) + told + 16.0


def _told(found: "SettingsMap", lines: tuple[str, ...], system: str) -> list[str]:
    """Return the lines that say what it all comes to."""
    told = [MAP_WORDS["bounds"]] if lines else []
    told += map_lines(found, system)[1:]
    return [row for line in told for row in wrap(line, _TOLD, subsequent_indent="  ")]


def _sheet(figure: "Figure") -> "Axes":
    """Return bare axes over the whole figure, in dots from its top left corner."""
    sheet = figure.add_axes((0.0, 0.0, 1.0, 1.0), facecolor="none")
    sheet.set_axis_off()
    wide, tall = figure.get_size_inches() * style.DPI
    sheet.set(xlim=(0.0, wide), ylim=(tall, 0.0), autoscale_on=False)
    return sheet


def _box(side: "Axes", left: float, top: float, look: Cell) -> None:
    """Draw a sample of a look."""
    box = Rectangle(
        (left, top), _BOX, _BOX, facecolor=look.colour, edgecolor=style.INK,
        hatch=look.hatch or None, linewidth=0.8,
    )  # fmt: skip
    box.set_hatch_linewidth(HATCH)
    side.add_patch(box)
    set_letter(side, left + 0.5 * _BOX, top + 0.5 * _BOX, look.letter, size=10.0)


def _write(sheet: "Axes", x: float, y: float, words: str) -> None:
    sheet.text(
        x, y, words, ha="left", va="top", fontsize=style.TEXT, fontfamily=style.FONT,
        color=style.INK, linespacing=1.3,
    )  # fmt: skip
