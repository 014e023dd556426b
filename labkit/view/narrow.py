"""A drawn figure as a page shows it: on a phone its panels one above the other, as legible."""

import re
from textwrap import fill, wrap
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from matplotlib.axes import Axes
from matplotlib.axes._secondary_axes import SecondaryAxis
from matplotlib.figure import Figure
from matplotlib.legend import Legend
from matplotlib.text import Annotation, Text

from labkit.figures import style
from labkit.figures.image import drawn_png, image_tag, picture_tag

if TYPE_CHECKING:
    from matplotlib.transforms import Bbox

_NARROW, _NARROW_TALL, _NARROW_ABOVE, _NARROW_TEXT = 2.9, 3.0, 0.42, 7.0
_BAR = 0.05
"""Share of a sheet up to which axes are a bar."""
_NARROW_OVER = 5  # lines of a text that still stands over the panels
_NARROW_ROW, _NARROW_LINE, _NARROW_BOLD, _NARROW_LABEL = 0.15, 42, 34, 9
"""Width of a chart on a telephone, height of each of its panels and what stands free above it [in];
least letters [points]: twelve pixels where the chart is 360 pixels wide; height of a line over the
panels [in], and letters in it, in a bold one and in the name of a row."""
_UNDER, _SECOND, _SECOND_UP, _MOST = 0.42, 0.5, 0.3, 0.6
"""What is free under a panel, what a second scale takes over it, how far up that is [in]; the share
of a sheet that is enough for a line."""


Drawn = TypeVar("Drawn")


class StillImage(Generic[Drawn]):
    """A picture of something in one system of units, with the words that stand for it."""

    def __init__(self, found: Drawn, units: str = "US") -> None:
        self.found, self.units = found, units

    def draw(self, system: str) -> Figure:
        """Draw it in the units of a system, as a chart is drawn."""
        raise NotImplementedError

    def words(self, system: str) -> str:
        """Say what it shows, for one who does not see it."""
        raise NotImplementedError

    @property
    def png(self) -> bytes:
        """The picture."""
        return drawn_png(self.draw(self.units))

    @property
    def narrow(self) -> bytes:
        """The picture for a phone."""
        return narrow_png(self.draw(self.units))

    @property
    def alt(self) -> str:
        """The words that stand for it."""
        return self.words(self.units)

    def html(self) -> str:
        """Return it as an element of HTML."""
        return picture_tag(image_tag(self.png, self.alt), self.narrow)

    def _repr_html_(self) -> str:
        return self.html()


def narrow_png(figure: Figure) -> bytes:
    """Return a figure as a phone shows it; the figure itself is changed."""
    make_narrow(figure)
    return drawn_png(figure)


def make_narrow(figure: Figure, wide: float = _NARROW) -> list[float]:
    """Set the panels of a figure one above the other, as a telephone shows them, letters as large.

    A single panel may be wider [in], where a page has the room.

    A bar of colors stays beside its panel. Words keep their places by the panels' own units and by
    points; what would stand beyond the sheet is broken into lines and moved onto it. Free words
    stand over the panels, a longer text under them: first comes what is moved.

    Returns where the figure may be cut [in from its top]: under each panel, and at its end.
    """
    stacked: list[list[Axes]] = []
    for axes in figure.axes:
        if stacked and axes.get_position().width < _BAR:
            stacked[-1].append(axes)
        elif axes.get_visible():
            stacked.append([axes])
    lines = [_broken(text, wide / _NARROW) for text in figure.texts]
    legends = [legend for axes in figure.axes if (legend := axes.get_legend())]
    named = [sum(map(len, map(_legend_lines, one.get_texts()))) for one in legends]
    over = max([_NARROW_OVER, *named]) if legends else 1
    rows = [words.count("\n") + 1 for words in lines]
    short = [count for count in rows if count <= _NARROW_OVER]
    head = _NARROW_ROW * (sum(short) + over * bool(short))
    over_panel = [_NARROW_ABOVE + _SECOND * bool(axes.child_axes) for axes, *_ in stacked]
    under = [_NARROW_TALL - _NARROW_ABOVE + above for above in over_panel]
    panels = sum(under)
    tall = head + panels + _NARROW_ROW * (sum(rows) - sum(short))
    figure.set_size_inches(wide, tall)
    down = {True: 0.05, False: head + panels}  # where the next one stands, over the panels or under
    for text, words, count in zip(figure.texts, lines, rows, strict=True):
        size = max(text.get_fontsize(), _NARROW_TEXT)
        is_over = count <= _NARROW_OVER
        y = 1.0 - down[is_over] / tall
        text.set(text=words, x=0.02, y=y, va="top", ha="left", fontsize=size)
        text.set_linespacing(1.2)
        down[is_over] += _NARROW_ROW * count
    cuts = [head + sum(under[: place + 1]) for place in range(len(stacked))]
    for cut, (axes, *bars) in zip(cuts, stacked, strict=True):
        high = (_NARROW_TALL - _NARROW_ABOVE - _UNDER) / tall
        low = 1.0 - (cut - _UNDER) / tall
        left, right = _margins(axes, has_bar=bool(bars))
        axes.set_position((left / wide, low, 1.0 - (left + right) / wide, high))
        for bar in bars:
            bar.set_position((1.0 - 0.84 / wide, low + 0.1 * high, 0.1 / wide, 0.8 * high))
        for second in axes.child_axes:
            if isinstance(second, SecondaryAxis):
                second.set_location(1.0 + _SECOND_UP / (high * tall))
        right_end = bars[0].get_position().x0 if bars else 1.0
        for one in (axes, *bars):
            _enlarge(figure, one, right_end if one is axes else 1.0)
    return [*cuts, tall] if tall > cuts[-1] + 0.01 else cuts


def _broken(text: Text, wider: float) -> str:
    """Break words over the panels into lines; what stands apart by more than a space begins one."""
    is_bold = text.get_fontweight() == "bold"
    room = int(wider * (_NARROW_BOLD if is_bold else _NARROW_LINE))
    whole = re.sub(r"\n {3}", " ", text.get_text().strip())  # what is set in goes on
    parts = [" ".join(whole.split())] if is_bold else re.split(r"\n\s*| {2,}", whole)
    return "\n".join(fill(part, room) for part in parts)


def _legend_lines(text: Text) -> list[str]:
    """Break a name in a legend into lines that stand beside their sample."""
    return wrap(text.get_text(), _NARROW_LINE - 8)


def _margins(axes: Axes, *, has_bar: bool) -> tuple[float, float]:
    """Return what a panel leaves free at its left and its right [in]; long names of rows break."""
    names = [label.get_text() for label in axes.get_yticklabels()]
    if any(len(name) > _NARROW_LABEL for name in names):
        axes.set_yticks(axes.get_yticks(), [fill(name, _NARROW_LABEL) for name in names])
        return 0.75, 0.26
    if not axes.axison or not len(axes.get_yticks()):
        return 0.08, 0.08
    return 0.52, 0.98 if has_bar else 0.26


def _enlarge(figure: Figure, axes: Axes, right_end: float) -> None:
    """Make letters of a panel large enough, its legend narrow, and keep its notes on the sheet.

    They end at a share of the sheet's width, and none stands on another one.
    """
    legend = axes.get_legend()
    if legend is not None:
        names = ["\n".join(_legend_lines(text)) for text in legend.get_texts()]
        is_over = legend.get_window_extent().y0 > axes.get_window_extent().y1
        place = {"loc": "lower left", "bbox_to_anchor": (-0.15, 1.08)} if is_over else {}
        look: dict[str, Any] = {"loc": "upper left", "edgecolor": "none", "framealpha": 0.85}
        prop = {"family": style.FONT, "size": _NARROW_TEXT}
        handles = [handle for handle in legend.legend_handles if handle is not None]
        before = _free_under(legend, axes)
        legend = axes.legend(handles, names, prop=prop, labelspacing=0.25, **(look | place))
        if not is_over:  # what was clear of the wide legend stays clear of the tall one
            low, high = axes.get_ylim()
            axes.set_ylim(low, low + (high - low) * before / _free_under(legend, axes))
    for text in axes.findobj(Text):
        text.set_fontsize(max(text.get_fontsize(), _NARROW_TEXT))
    notes = [one for one in axes.texts if one.get_visible() and one.get_text().strip()]
    top = axes.get_window_extent().y1
    over = {id(one) for one in notes if one.get_window_extent().y0 >= top}
    for note in notes:
        is_over = id(note) in over
        end = figure.bbox.width * (1.0 if is_over else right_end)
        is_inside = not is_over and axes.axison and note.get_horizontalalignment() == "center"
        start = axes.get_window_extent().x0 if is_inside else 0.0
        _keep_on_sheet(figure, note, start, end, grows_up=is_over)
    _set_apart(figure, [one for one in notes if id(one) in over], up=True)
    _set_apart(figure, [one for one in notes if id(one) not in over], up=False)


def _free_under(legend: Legend, axes: Axes) -> float:
    """Return the share of a panel's height that is under its legend."""
    panel = axes.get_window_extent()
    return float((legend.get_window_extent().y0 - panel.y0) / panel.height)


def _keep_on_sheet(figure: Figure, text: Text, start: float, end: float, *, grows_up: bool) -> None:
    """Break and move words that would stand beyond a start or an end in a figure [dots]."""
    box = text.get_window_extent()
    is_left = text.get_horizontalalignment() == "left" and not grows_up
    wide = end - 4.0 - box.x0 if is_left else 0.0
    if wide < _MOST * end:  # broken at its own place only where that leaves enough of a line
        wide = end - start - 8.0
    (bottom, top), said = box.intervaly, text.get_text()
    room = int(len(said) * wide / max(box.width, 1.0))
    while box.width > wide and room > _NARROW_LABEL:
        text.set_text(fill(said, room))
        box, room = text.get_window_extent(), room - 1
    beyond = max(box.x1 - end + 4.0, 0.0) or min(box.x0 - start - 4.0, 0.0)
    _move(figure, text, -beyond, bottom - box.y0 if grows_up else top - box.y1)


def _set_apart(figure: Figure, notes: list[Text], *, up: bool) -> None:
    """Move notes that stand on another one: over it from the lowest, or under it from the top."""
    placed: list[Bbox] = []

    def order(note: Text) -> float:
        box = note.get_window_extent()
        return float(box.y0 if up else -box.y1)

    for note in sorted(notes, key=order):
        box = note.get_window_extent()
        for other in placed:
            beside = min(box.x1, other.x1) - max(box.x0, other.x0)
            if beside > 1.0 and other.y0 < box.y1 and box.y0 < other.y1:
                away = other.y1 - box.y0 + 1.0 if up else other.y0 - box.y1 - 1.0
                _move(figure, note, 0.0, away)
                box = note.get_window_extent()
        placed.append(box)


def _move(figure: Figure, text: Text, right: float, up: float) -> None:
    if not right and not up:
        return
    if isinstance(text, Annotation):
        points = 72.0 / figure.dpi
        x, y = text.xyann
        text.xyann = (x + right * points, y + up * points)
    else:
        x, y = text.get_transform().transform(text.get_position())
        x, y = text.get_transform().inverted().transform((x + right, y + up))
        text.set_position((float(x), float(y)))
