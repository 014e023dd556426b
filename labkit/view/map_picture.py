"""A map of settings as one picture: every verdict has a colour, a hatch and a letter.

The bounds of the operating window may run over it, each line with dashes of its own.
"""

from collections.abc import Iterable
from textwrap import fill, wrap
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib import patheffects
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path
from numpy.typing import NDArray
from scipy import ndimage
from typing_extensions import override

from labkit.arrays import Floats
from labkit.figures import style
from labkit.figures.axes import add_axes, name_axis
from labkit.figures.image import drawn_png
from labkit.figures.looks import CELLS, Cell
from labkit.units import displayed
from labkit.view.map_words import (
    MAP_WORDS,
    axis_title,
    legend_words,
    map_alt,
    map_lines,
    map_title,
    trial_words,
)
from labkit.view.narrow import StillImage

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D

    from labkit.advice.axes import Scale
    from labkit.advice.settings_map import Curve, SettingsMap

LINES: Final[dict[str, style.Dash]] = {
    "static": (0, (1.2, 1.3)),
    "running": (0, (6, 2)),
    "dead head": (0, (7, 1.6, 1.2, 1.6)),
    "ceiling": "solid",
    "recommended": (0, (10, 1.5)),
}
"""Dashes of the window's bounds, and of the cut-out that is recommended."""

MARKS: Final = {"recommended": "D"}  # a mark amid a line
HATCH: Final = 0.55  # width of the hatch's strokes [points]

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


_MAP: Final = (92, 96, 736, 724)
_LEGEND: Final = (762, 96)
_NARROW, _NARROW_MAP, _BELOW = 418, (92, 168, 402, 470), 74
"""Places in dots: of the map and its legend on a wide sheet; the width of a phone's sheet, the map
on it, and how far under the map its legend begins."""
_LEAST: Final = 7.0  # letters that are twelve pixels tall where that sheet is 360 wide [points]
_LETTERED: Final = 0.012  # share of the map from which a patch of one verdict bears its letter


class MapPicture:
    """The picture of a map of settings."""

    def __init__(
        self,
        found: "SettingsMap",
        *,
        system: str,
        curves: Iterable["Curve"] = (),
        is_narrow: bool = False,
    ) -> None:
        self.found, self.system, self._is_narrow = found, system, is_narrow
        self.figure = Figure(figsize=(style.WIDTH, style.HEIGHT), dpi=style.DPI, layout=None)
        self.map = add_axes(self.figure, *_MAP)  # the map itself, its axes in display units
        self.across = self._edges(found.across)
        self.up = self._edges(found.up)
        counts = found.counts()
        # verdicts that occur, in the legend's order
        self.shown = tuple(verdict for verdict in CELLS if verdict in counts)
        self._draw_cells()
        self._draw_borders()
        self._draw_letters()
        self.lines = self._draw_curves(curves)  # the bounds that can be seen, by name
        left, _, _, bottom = self._lay() if is_narrow else _MAP
        at = (10, bottom + _BELOW) if is_narrow else _LEGEND
        draw_legend(self.figure, found, self.shown, tuple(self.lines), system, at=at)
        self._name(10 if is_narrow else left)

    def _lay(self) -> tuple[int, int, int, int]:
        """Lay the sheet out for a phone, as tall as its legend asks."""
        left, top, right, bottom = _NARROW_MAP
        tall = (
            bottom + _BELOW + legend_height(self.found, self.shown, tuple(self.lines), self.system)
        )
        self.figure.set_size_inches(_NARROW / style.DPI, tall / style.DPI)
        low, high = 1.0 - bottom / tall, 1.0 - top / tall
        self.map.set_position((left / _NARROW, low, (right - left) / _NARROW, high - low))
        self.map.tick_params(labelsize=_LEAST)
        return _NARROW_MAP

    def png(self) -> bytes:
        """Return the picture."""
        return drawn_png(self.figure)

    def cells(self, verdict: str) -> NDArray[np.bool_]:
        """Say which cells came to a verdict, shape (up, across)."""
        rows, columns = self.found.codes.shape
        return np.array(
            [[self.found.verdict(i, j) == verdict for j in range(columns)] for i in range(rows)]
        )

    def _edges(self, axis: "Scale") -> Floats:
        """Return the edges of the cells along an axis, in display units."""
        values = displayed(np.asarray(axis.values), axis.kind, self.system)
        half = 0.5 * np.diff(values)
        return np.concatenate(([values[0] - half[0]], values[:-1] + half, [values[-1] + half[-1]]))

    def _draw_cells(self) -> None:
        """Fill the cells, those of one verdict in one patch, so that its hatch runs through."""
        for verdict in self.shown:
            look = CELLS[verdict]
            patch = PathPatch(
                self._outline(self.cells(verdict)),
                facecolor=look.colour, edgecolor=style.INK, linewidth=0.0, hatch=look.hatch or None,
                label=verdict, zorder=1.0,
            )  # fmt: skip
            patch.set_hatch_linewidth(HATCH)
            self.map.add_patch(patch)
        self.map.set(xlim=(self.across[0], self.across[-1]), ylim=(self.up[0], self.up[-1]))
        self.map.grid(visible=False)

    def _outline(self, where: NDArray[np.bool_]) -> Path:
        """Make one path of the rows' unbroken stretches."""
        boxes = []
        for row, line in enumerate(where):
            edges = np.flatnonzero(np.diff(np.concatenate(([False], line, [False])).astype(int)))
            for first, past in zip(edges[::2], edges[1::2], strict=True):
                x0, x1 = self.across[first], self.across[past]
                y0, y1 = self.up[row], self.up[row + 1]
                boxes.append(Path([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], closed=True))
        return Path.make_compound_path(*boxes)

    def _draw_borders(self) -> None:
        """Draw a line wherever one verdict meets another."""
        codes, x, y = self.found.codes, self.across, self.up
        beside = [
            ((x[j + 1], y[i]), (x[j + 1], y[i + 1]))
            for i, j in np.argwhere(codes[:, 1:] != codes[:, :-1])
        ]
        above = [
            ((x[j], y[i + 1]), (x[j + 1], y[i + 1]))
            for i, j in np.argwhere(codes[1:] != codes[:-1])
        ]
        lines = LineCollection([*beside, *above], colors=style.INK, linewidths=1.1, zorder=2.0)
        self.map.add_collection(lines, autolim=False)

    def _draw_letters(self) -> None:
        """Set each verdict's letter amid its larger patches."""
        x, y = 0.5 * (self.across[1:] + self.across[:-1]), 0.5 * (self.up[1:] + self.up[:-1])
        for verdict in self.shown:
            patches, count = ndimage.label(self.cells(verdict))
            for number in range(1, count + 1):
                patch = patches == number
                if patch.sum() < _LETTERED * patch.size or not CELLS[verdict].letter:
                    continue
                depth = ndimage.distance_transform_edt(np.pad(patch, 1))[1:-1, 1:-1]
                row, column = _middle(depth)
                set_letter(self.map, x[column], y[row], CELLS[verdict].letter, size=12.0)

    def _draw_curves(self, curves: Iterable["Curve"]) -> dict[str, "Line2D"]:
        """Draw the window's bounds, white under black, as far as they cross the map."""
        lines = {}
        for curve in curves:
            x = displayed(curve.across, self.found.across.kind, self.system)
            y = displayed(curve.up, self.found.up.kind, self.system)
            inside = (x > self.across[0]) & (x < self.across[-1])
            inside &= (y > self.up[0]) & (y < self.up[-1])
            if not inside.any():
                continue
            self.map.plot(x, y, color=style.PAPER, linewidth=4.2, zorder=3.0)
            (lines[curve.name],) = self.map.plot(
                x, y, color=style.INK, linewidth=2.2, linestyle=LINES[curve.name], zorder=3.1,
                marker=MARKS.get(curve.name, ""), markevery=[len(x) // 2],
            )  # fmt: skip
        return lines

    def _name(self, left: float) -> None:
        """Name the axes and the whole, its words from `left` on [dots]."""
        look: dict[str, Any] = {"color": style.QUIET, "fontsize": style.TEXT,
                                "fontfamily": style.FONT}  # fmt: skip
        for axis, scale in ((self.map.xaxis, self.found.across), (self.map.yaxis, self.found.up)):
            name_axis(axis, axis_title(scale, self.found, self.system))
        wide, tall = self.figure.get_size_inches() * style.DPI
        letters, row, under = (30, 46, 62) if self._is_narrow else (100, 120, 46)
        self.figure.text(
            left / wide, 1.0 - 12.0 / tall, fill(map_title(self.found), letters), va="top",
            fontsize=style.TITLE + 1.0, fontweight="bold", fontfamily=style.FONT, color=style.INK,
            parse_math=False,
        )  # fmt: skip
        words = fill(trial_words(self.found, self.system), row)
        self.figure.text(left / wide, 1.0 - under / tall, words, va="top", linespacing=1.3, **look)


def _middle(depth: Floats) -> tuple[int, int]:
    """Return the cell deepest within a patch; of several, the one amid them."""
    deepest = np.argwhere(depth >= depth.max() - 1e-9)
    amid = deepest.mean(axis=0)
    row, column = deepest[np.argmin(((deepest - amid) ** 2).sum(axis=1))]
    return int(row), int(column)


class MapImage(StillImage["SettingsMap"]):
    """A map of settings in picture and words, for a page, a file, or as a chart of a lesson."""

    def __init__(
        self, found: "SettingsMap", units: str = "US", curves: Iterable["Curve"] = ()
    ) -> None:
        super().__init__(found, units)
        self.curves = tuple(curves)

    @override
    def draw(self, system: str) -> Figure:
        return MapPicture(self.found, system=system, curves=self.curves).figure

    @override
    def words(self, system: str) -> str:
        return map_alt(self.found, system)

    @property
    @override
    def narrow(self) -> bytes:
        curves = self.curves
        return MapPicture(self.found, system=self.units, curves=curves, is_narrow=True).png()
