"""A drawn figure as a phone shows it: its panels one above the other, letters as large."""

import re
from textwrap import fill
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text

from labkit.view import style
from labkit.view.image import drawn_png

_NARROW, _NARROW_TALL, _NARROW_ABOVE, _NARROW_TEXT = 2.9, 3.0, 0.42, 7.0
_BAR = 0.05
"""Share of a sheet up to which axes are a bar."""
_NARROW_OVER = 5
"""Lines of a text that still stands over the panels."""
_NARROW_ROW, _NARROW_LINE, _NARROW_BOLD, _NARROW_LABEL = 0.15, 42, 34, 9
"""Width of a chart on a telephone, height of each of its panels and what stands free above it [in];
least letters [points]: twelve pixels where the chart is 360 pixels wide; height of a line over the
panels [in], and letters in it, in a bold one and in the name of a row."""


def narrow_png(figure: Figure) -> bytes:
    """Return a figure as a phone shows it; the figure itself is changed."""
    make_narrow(figure)
    return drawn_png(figure)


def make_narrow(figure: Figure) -> None:
    """Set the panels of a figure one above the other, as a telephone shows them, letters as large.

    A bar of colors stays beside its panel. Words keep their places by the panels' own units and by
    points; what would stand beyond the sheet is broken into lines and moved onto it. Free words
    stand over the panels, a longer text under them: first comes what is moved.
    """
    stacked: list[list[Axes]] = []
    for axes in figure.axes:
        if stacked and axes.get_position().width < _BAR:
            stacked[-1].append(axes)
        elif axes.get_visible():
            stacked.append([axes])
    lines = [_broken(text) for text in figure.texts]
    over = 5 if any(axes.get_legend() for axes in figure.axes) else 1
    rows = [words.count("\n") + 1 for words in lines]
    short = [count for count in rows if count <= _NARROW_OVER]
    head = _NARROW_ROW * (sum(short) + over * bool(short))
    panels = _NARROW_TALL * len(stacked)
    tall = head + panels + _NARROW_ROW * (sum(rows) - sum(short))
    figure.set_size_inches(_NARROW, tall)
    down = {True: 0.05, False: head + panels}  # where the next one stands, over the panels or under
    for text, words, count in zip(figure.texts, lines, rows, strict=True):
        size = max(text.get_fontsize(), _NARROW_TEXT)
        is_over = count <= _NARROW_OVER
        y = 1.0 - down[is_over] / tall
        text.set(text=words, x=0.02, y=y, va="top", ha="left", fontsize=size)
        text.set_linespacing(1.2)
        down[is_over] += _NARROW_ROW * count
    for place, (axes, *bars) in enumerate(stacked):
        high = (_NARROW_TALL - _NARROW_ABOVE - 0.42) / tall
        low = 1.0 - (head + place * _NARROW_TALL + _NARROW_ABOVE) / tall - high
        left, right = _margins(axes, has_bar=bool(bars))
        axes.set_position((left / _NARROW, low, 1.0 - (left + right) / _NARROW, high))
        for bar in bars:
            bar.set_position((1.0 - 0.84 / _NARROW, low + 0.1 * high, 0.1 / _NARROW, 0.8 * high))
        for one in (axes, *bars):
            _enlarge(figure, one)


def _broken(text: Text) -> str:
    """Break words over the panels into lines; what stands apart by more than a space begins one."""
    room = _NARROW_BOLD if text.get_fontweight() == "bold" else _NARROW_LINE
    whole = re.sub(r"\n {3}", " ", text.get_text().strip())  # what is set in goes on
    parts = re.split(r"\n\s*| {2,}", whole)
    return "\n".join(fill(part, room) for part in parts)


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
    said = text.get_text()
    room = int(len(said) * wide / max(box.width, 1.0))
    while box.width > wide and room > _NARROW_LABEL:
        text.set_text(fill(said, room))
        box, room = text.get_window_extent(), room - 1
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
