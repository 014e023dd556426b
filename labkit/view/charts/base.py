"""Pictures that stand in a lesson beside the bench: a sheet of panels with curves.

A chart is given numbers and draws them; it works nothing out. It is drawn anew for each system of
units and comes with words for one who does not see it.
"""

from textwrap import fill
from typing import Any, Final, Protocol

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text
from numpy.typing import ArrayLike, NDArray

from labkit.figures.ticks import nice_step, plain_tick
from labkit.units import displayed
from labkit.view import style
from labkit.view.axes import bare, title
from labkit.view.chart_words import CHARTS
from labkit.view.image import drawn_png, image_tag, png_data
from labkit.view.labels import HALO
from labkit.view.language import say, unit_word

Floats = NDArray[np.float64]
_NARROW, _NARROW_TALL, _NARROW_ABOVE, _NARROW_TEXT = 2.9, 3.0, 0.42, 7.0
_PHONE, _BAR = 600, 0.05
"""Width of a page up to a telephone's [px]; share of a sheet up to which axes are a bar."""
_NARROW_ROW, _NARROW_LINE, _NARROW_LABEL = 0.15, 42, 9
"""Width of a chart on a telephone, height of each of its panels and what stands free above it [in];
least letters [points]: twelve pixels where the chart is 360 pixels wide; height of a line over the
panels [in], and letters in it and in the name of a row."""
TALL: Final = 3.7
"""Height of a chart [in]; it is as wide as the picture of a bench."""


class Chart(Protocol):
    """What a lesson can show with `Lesson.chart`."""

    def draw(self, system: str) -> Figure:
        """Draw it in the units of a system."""
        ...

    def words(self, system: str) -> str:
        """Say what it shows, with its numbers, for one who does not see it."""
        ...


def chart_html(chart: Chart, system: str, *, is_narrow: bool = False) -> str:
    """Return a chart as an element of HTML, for a narrow page one panel above the other."""
    figure = chart.draw(system)
    if is_narrow:
        make_narrow(figure)
    width, height = figure.get_size_inches()
    size = round(width * style.DPI), round(height * style.DPI)
    return image_tag(drawn_png(figure), chart.words(system), size)


def chart_figure(chart: Chart, system: str, *, is_narrow: bool | None = None) -> str:
    """Return a chart as a figure of HTML; left open, the page takes the one that fits its width."""
    image = chart_html(chart, system, is_narrow=bool(is_narrow))
    if is_narrow is None:
        figure = chart.draw(system)
        make_narrow(figure)
        data = png_data(drawn_png(figure))
        image = (
            f'<picture><source media="(max-width: {_PHONE}px)" srcset="{data}">{image}</picture>'
        )
    return f'<figure style="margin:0.5em 0">{image}</figure>'


def make_narrow(figure: Figure) -> None:
    """Set the panels of a figure one above the other, as a telephone shows them, letters as large.

    A bar of colors stays beside its panel. Words keep their places by the panels' own units and by
    points; what would stand beyond the sheet is broken into lines and moved onto it.
    """
    stacked: list[list[Axes]] = []
    for axes in figure.axes:
        if stacked and axes.get_position().width < _BAR:
            stacked[-1].append(axes)
        elif axes.get_visible():
            stacked.append([axes])
    lines = [fill(" ".join(text.get_text().split()), _NARROW_LINE) for text in figure.texts]
    head = _NARROW_ROW * (sum(words.count("\n") + 1 for words in lines) + 5 * bool(lines))
    tall = _NARROW_TALL * len(stacked) + head
    figure.set_size_inches(_NARROW, tall)
    above = 0.05
    for text, words in zip(figure.texts, lines, strict=True):
        size = max(text.get_fontsize(), _NARROW_TEXT)
        text.set(text=words, x=0.02, y=1.0 - above / tall, va="top", ha="left", fontsize=size)
        text.set_linespacing(1.2)
        above += _NARROW_ROW * (words.count("\n") + 1)
    for place, (axes, *bars) in enumerate(stacked):
        high = (_NARROW_TALL - _NARROW_ABOVE - 0.42) / tall
        low = 1.0 - (head + place * _NARROW_TALL + _NARROW_ABOVE) / tall - high
        left, right = _margins(axes, has_bar=bool(bars))
        axes.set_position((left / _NARROW, low, 1.0 - (left + right) / _NARROW, high))
        for bar in bars:
            bar.set_position((1.0 - 0.84 / _NARROW, low + 0.1 * high, 0.1 / _NARROW, 0.8 * high))
        for one in (axes, *bars):
            _enlarge(figure, one)


def _margins(axes: Axes, *, has_bar: bool) -> tuple[float, float]:
    """Return what a panel leaves free at its left and its right [in]; long names of rows break."""
    names = [label.get_text() for label in axes.get_yticklabels()]
    if any(len(name) > _NARROW_LABEL for name in names):
        axes.set_yticks(axes.get_yticks(), [fill(name, _NARROW_LABEL) for name in names])
        return 0.75, 0.26
    if not axes.axison or not len(axes.get_yticks()):
        return 0.08, 0.08
    return 0.52, 0.98 if has_bar else 0.26


def _enlarge(figure: Figure, axes: Axes) -> None:
    """Make letters of a panel large enough, its legend narrow, and keep its notes on the sheet."""
    legend = axes.get_legend()
    if legend is not None:
        names = [fill(text.get_text(), _NARROW_LINE - 8) for text in legend.get_texts()]
        is_over = legend.get_window_extent().y0 > axes.get_window_extent().y1
        place = {"loc": "lower left", "bbox_to_anchor": (-0.15, 1.08)} if is_over else {}
        look: dict[str, Any] = {"loc": "upper left", "edgecolor": "none", "framealpha": 0.85}
        prop = {"family": style.FONT, "size": _NARROW_TEXT}
        handles = [handle for handle in legend.legend_handles if handle is not None]
        axes.legend(handles, names, prop=prop, labelspacing=0.25, **(look | place))
    for text in axes.findobj(Text):
        text.set_fontsize(max(text.get_fontsize(), _NARROW_TEXT))
    for note in axes.texts:
        _keep_on_sheet(figure, note)


def _keep_on_sheet(figure: Figure, text: Text) -> None:
    """Break and move words that would stand beyond the left or the right edge of a figure."""
    wide = figure.bbox.width - 8.0
    box = text.get_window_extent()
    if box.width > wide:
        said = text.get_text()
        text.set_text(fill(said, int(len(said) * wide / box.width)))
        box = text.get_window_extent()
    beyond = max(box.x1 - figure.bbox.width + 4.0, 0.0) or min(box.x0 - 4.0, 0.0)
    if not beyond:
        return
    if isinstance(text, Annotation):
        x, y = text.xyann
        text.xyann = (x - beyond * 72.0 / figure.dpi, y)
    else:
        x, y = text.get_transform().transform(text.get_position())
        x, y = text.get_transform().inverted().transform((x - beyond, y))
        text.set_position((float(x), float(y)))


def panels(*widths: float, tall: float = TALL) -> tuple[Figure, list[Axes]]:
    """Make a figure with bare panels side by side, in shares of its width."""
    figure = Figure(figsize=(style.WIDTH, tall), dpi=style.DPI, layout=None)
    made = figure.subplots(
        1, len(widths), width_ratios=list(widths), squeeze=False,
        gridspec_kw={"left": 0.072, "right": 0.93, "bottom": 0.15, "top": 0.9, "wspace": 0.22},
    )[0]  # fmt: skip
    for axes in made:
        axes.set_facecolor("none")
        bare(axes)
    return figure, list(made)


def scale(
    axes: Axes, system: str, *, across: tuple[str, str], up: tuple[str, str], words: str
) -> None:
    """Name a panel and its axes, each as (what, kind); the kind gives the unit."""
    title(axes, words)
    look: dict[str, Any] = {
        "color": style.QUIET, "fontsize": style.TEXT, "fontfamily": style.FONT,
    }  # fmt: skip
    axes.set_xlabel(f"{across[0]} ({unit_word(across[1], system)})", **look)
    axes.set_ylabel(f"{up[0]} ({unit_word(up[1], system)})", **look)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_formatter(plain_tick)


def reach(axes: Axes, *, right: float, top: float, bottom: float = 0.0) -> None:
    """Fix the ends of a panel in display units, with round ticks."""
    axes.set_xlim(0.0, right)
    axes.set_ylim(bottom, top)
    step = nice_step(right, count=5)
    axes.set_xticks(np.arange(0.0, right * 1.001, step))
    step = nice_step(top - bottom, count=6)
    axes.set_yticks(np.arange(np.ceil(bottom / step) * step, top * 1.001, step))


def short(value: float, kind: str, system: str) -> str:
    """Write an amount as in prose: ``"50 psi"``, not ``"50.0 psi"``."""
    return say(value, kind, system).replace(".0 ", " ")


def sun_mark(axes: Axes, sun: float, height: float) -> None:
    """Mark the sun that shines now in a panel over sun [W/m2], its name at a height."""
    axes.axvline(sun, color=style.FAINT, linewidth=0.9, linestyle=(0, (1, 2)))
    near_end = sun > 0.8 * axes.get_xlim()[1]
    look = {"shift": (-3, 0), "ha": "right"} if near_end else {"shift": (3, 0)}
    write(axes, sun, height, CHARTS["sun now"], color=style.QUIET, **look)


def curve(
    axes: Axes, x: ArrayLike, y: ArrayLike, *, kinds: tuple[str, str], system: str, **look: Any
) -> None:
    """Draw SI values in display units."""
    settings: dict[str, Any] = {"linewidth": 1.8}
    axes.plot(
        displayed(np.asarray(x, dtype=float), kinds[0], system),
        displayed(np.asarray(y, dtype=float), kinds[1], system),
        **(settings | look),
    )


def write(
    axes: Axes,
    x: float,
    y: float,
    words: str,
    *,
    shift: tuple[float, float] = (0.0, 0.0),
    **look: Any,
) -> Annotation:
    """Write words at a place in display units, shifted by points, legible over lines."""
    settings: dict[str, Any] = {
        "color": style.INK, "fontsize": style.TEXT, "fontfamily": style.FONT,
        "path_effects": HALO, "annotation_clip": False,
    }  # fmt: skip
    return axes.annotate(words, (x, y), shift, textcoords="offset points", **(settings | look))


def level(axes: Axes, y: float, words: str, *, color: str = style.AMBER, **look: Any) -> None:
    """Draw a dashed line right across at a height in display units, with its name at the right."""
    axes.axhline(y, color=color, linewidth=1.2, linestyle=(0, (5, 2)))
    right = axes.get_xlim()[1]
    write(axes, right, y, words, shift=(-2, 3), ha="right", **({"color": color} | look))


def dot(axes: Axes, x: float, y: float, **look: Any) -> None:
    """Mark a point in display units."""
    settings: dict[str, Any] = {"marker": "o", "markersize": 5.5, "color": style.INK}
    axes.plot([x], [y], **(settings | look))
