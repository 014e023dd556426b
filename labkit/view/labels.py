"""Words placed in the picture: beside a panel, or at a point, where nothing hides them."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patheffects import withStroke
from matplotlib.text import Text

from labkit.view import style
from labkit.view.axes import spread

if TYPE_CHECKING:
    from matplotlib.artist import Artist

HALO: Final = [withStroke(linewidth=2.6, foreground=style.PAPER)]
"""A white rim that keeps letters legible on top of a line; slow, so only where lines cross."""

PATCH: Final = {"facecolor": style.PAPER, "edgecolor": "none", "alpha": 0.6, "pad": 0.8}
"""A pale patch behind letters, quicker than a rim."""

GAP: Final = 19.0
"""Dots between labels that stand one above the other."""

LONGEST_NAME: Final = 12

_SIZE: Final = 7.0
_ROOM: Final = 8.0
_SAMPLE: Final = (9.0, 28.0)
_WORDS: Final = 33.0


class Box(NamedTuple):
    """Room taken by something [in]."""

    left: float
    bottom: float
    right: float
    top: float

    def meets(self, other: "Box") -> bool:
        """Say whether two boxes overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def within(self, other: "Box") -> bool:
        """Say whether the box keeps between the top and the bottom of another."""
        return other.bottom <= self.bottom and self.top <= other.top


def free_place(
    x: float,
    bottoms: Sequence[float],
    size: tuple[float, float],
    *,
    taken: Sequence[Box],
    room: Box,
) -> Box:
    """Choose the first place for a box where it meets no other; the very first if there is none.

    Parameters
    ----------
    x : float
        Its middle [in].
    bottoms : sequence of float
        Where its bottom may lie, the best first [in].
    size : tuple of float
        Its width and height [in].
    taken : sequence of Box
        What is there already.
    room : Box
        What it must keep within.
    """
    boxes = [Box(x - size[0] / 2.0, y, x + size[0] / 2.0, y + size[1]) for y in bottoms]
    free = (box for box in boxes if box.within(room) and not any(map(box.meets, taken)))
    return next(free, boxes[0])


def shortened(name: str) -> str:
    """Give a name, cut where it is too long for the picture."""
    return name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"


def note(figure: Figure, **look: Any) -> Text:
    """Make an empty text that is placed in inches from the bottom left corner of the figure."""
    settings: dict[str, Any] = {
        "color": style.INK,
        "fontsize": style.TEXT,
        "fontfamily": style.FONT,
        "animated": True,
        "transform": figure.dpi_scale_trans,
    }
    return figure.text(0.0, 0.0, "", **(settings | look))


def place(axes: Axes, x: float, y: float) -> tuple[float, float]:
    """Turn a place in a panel's own units into inches from the bottom left corner."""
    dots = axes.transData.transform((x, y))
    return float(dots[0]) / style.DPI, float(dots[1]) / style.DPI


class SideLabels:
    """The name of each line, with a sample of it, beside the panel where the line ends."""

    def __init__(self, figure: Figure, axes: Axes, lines: Mapping[str, Line2D]):
        self.axes, self.lines = axes, dict(lines)
        self.texts = {
            name: note(figure, color=line.get_color(), fontsize=_SIZE, va="center_baseline")
            for name, line in lines.items()
        }
        self.samples = {name: _sample(figure, line) for name, line in lines.items()}
        self.moving: list[Artist] = [*self.samples.values(), *self.texts.values()]

    def show(self, words: Mapping[str, str]) -> None:
        """Write the labels, each as close to the end of its line as the others let it."""
        x = place(self.axes, self.axes.get_xlim()[1], 0.0)[0]
        low, high = (place(self.axes, 0.0, y)[1] * style.DPI for y in self.axes.get_ylim())
        ends = [place(self.axes, 0.0, _end(line))[1] * style.DPI for line in self.lines.values()]
        heights = spread(ends, gap=GAP, low=low + _ROOM, high=high)
        for (name, text), height in zip(self.texts.items(), heights, strict=True):
            text.set_text(words[name])
            text.set_position((x + _WORDS / style.DPI, height / style.DPI))
            sample = [x + dots / style.DPI for dots in _SAMPLE]
            self.samples[name].set_data(sample, [height / style.DPI] * 2)


def _end(line: Line2D) -> float:
    """Give the last value of a line, in its panel's units."""
    values = np.asarray(line.get_ydata(), dtype=float)
    return float(values[-1]) if values.size else 0.0


def _sample(figure: Figure, line: Line2D) -> Line2D:
    """Draw a short piece in the style of a line."""
    sample = Line2D([], [])
    sample.update_from(line)
    sample.set(transform=figure.dpi_scale_trans, clip_on=False, animated=True)
    figure.add_artist(sample)
    return sample
