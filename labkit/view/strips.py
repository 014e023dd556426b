"""Strips over the time axis: how strong the sun is, what the drive does, how the contact stands."""

from typing import TYPE_CHECKING, Final

import attrs
import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from numpy.typing import ArrayLike

from labkit.view import style
from labkit.view.thin import MIXED, Floats, envelope, spans
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.text import Text

MOST_WORDS: Final = 16
"""Words at most in one strip."""

_LETTER: Final = 9.0
"""Dots that one letter in a strip takes, with a little air."""

SUN_TOP: Final = 1200.0
"""Top of the sun's strip [W/m2]: a little more than the strongest sun on a tilted array."""


@attrs.frozen
class Look:
    """How a state is filled: the fill, the hatch over it, the word in it and the word's colour."""

    fill: str
    hatch: str
    word: str
    ink: str = style.INK


CONTACT: Final = {
    0: Look(style.PAPER, "", WORDS["open"]),
    1: Look(style.INK, "", WORDS["closed"], style.PAPER),
    MIXED: Look("#B8C0C8", "||||", WORDS["mixed"]),
}
"""How the contact's strip looks by its state."""


def drive_looks(words: dict[int, str]) -> dict[int, Look]:
    """Give the looks of a drive's strip.

    Parameters
    ----------
    words : dict
        The word of each drive state by its number: resting, starting, running, stopping, held,
        locked out.
    """
    fills = (
        ("#EEF1F4", ""),
        ("#CDE7F8", "////"),
        (style.BLUE, ""),
        ("#CDE7F8", "\\\\\\\\"),
        ("#F7E0B0", "..."),
        (style.VERMILION, "xxxx"),
    )
    looks = {
        number: Look(fill, hatch, words[number], style.PAPER if fill == style.BLUE else style.INK)
        for number, (fill, hatch) in enumerate(fills)
    }
    return looks | {MIXED: Look("#B8D9EE", "||||", WORDS["mixed"])}


class StateStrip:
    """A strip of boxes, one for each stretch of time in a state, with the word where it fits."""

    def __init__(self, axes: Axes, words: str, looks: dict[int, Look], *, columns: int):
        self.axes, self.looks, self.columns = axes, looks, columns
        bare(axes, words)
        self.boxes = {code: _boxes(axes, look) for code, look in looks.items()}
        self.words: list[Text] = [
            axes.text(
                0.0,
                0.47,
                "",
                ha="center",
                va="center_baseline",
                fontsize=style.SMALL,
                fontfamily=style.FONT,
                animated=True,
                clip_on=True,
            )
            for _ in range(MOST_WORDS)
        ]
        self.spans: list[tuple[float, float, int]] = []
        self.moving: list[Artist] = [*self.boxes.values(), *self.words]

    def show(self, time: Floats, code: ArrayLike) -> None:
        """Lay the states of a trace into the strip.

        Parameters
        ----------
        time : ndarray, shape (n,)
            Times in the units of the axis.
        code : array_like of int, shape (n,)
            The state from each time to the next.
        """
        self.spans = spans(time, code, columns=self.columns)
        for code_shown, boxes in self.boxes.items():
            boxes.set_verts(
                [
                    [(start, 0.0), (start, 1.0), (end, 1.0), (end, 0.0)]
                    for start, end, kind in self.spans
                    if kind == code_shown
                ]
            )
        self._write()

    def _write(self) -> None:
        """Put the words into the widest boxes that hold them."""
        left, right = self.axes.get_xlim()
        dots = self.columns / (right - left)
        fitting = [
            (start, end, self.looks[kind])
            for start, end, kind in self.spans
            if (end - start) * dots > _LETTER * (len(self.looks[kind].word) + 0.6)
        ]
        fitting.sort(key=lambda span: span[0] - span[1])
        for text in self.words:
            text.set_text("")
        for text, (start, end, look) in zip(self.words, fitting, strict=False):
            text.set(x=(start + end) / 2.0, text=look.word, color=look.ink)
            text.set_bbox(
                {"facecolor": look.fill, "edgecolor": "none", "pad": 1.5} if look.hatch else None
            )


class SunStrip:
    """A strip in which the sun's strength stands as a filled curve."""

    def __init__(self, axes: Axes, words: str, *, columns: int):
        self.axes, self.columns = axes, columns
        bare(axes, words)
        axes.set_ylim(0.0, SUN_TOP)
        self.area = PolyCollection(
            [], facecolor=style.YELLOW, edgecolor=style.ORANGE, linewidth=0.9, animated=True
        )
        axes.add_collection(self.area, autolim=False)
        self.moving: list[Artist] = [self.area]

    def show(self, time: Floats, irradiance: Floats) -> None:
        """Lay the irradiance [W/m2] over time, in the units of the axis, into the strip."""
        x, y = envelope(time, irradiance, columns=self.columns)
        curve = np.column_stack([x, y])
        self.area.set_verts([np.vstack([[x[0], 0.0], curve, [x[-1], 0.0]])])


def bare(axes: Axes, words: str) -> None:
    """Turn axes into a strip with its name at the left."""
    axes.set_ylim(0.0, 1.0)
    axes.set_yticks([])
    axes.grid(visible=False)
    axes.spines["left"].set_visible(False)
    axes.tick_params(bottom=False, labelbottom=False)
    axes.annotate(
        words,
        (0.0, 0.5),
        (-5.0, 0.0),
        xycoords="axes fraction",
        textcoords="offset points",
        ha="right",
        va="center",
        fontsize=style.TEXT,
        fontfamily=style.FONT,
        color=style.INK,
    )


def _boxes(axes: Axes, look: Look) -> PolyCollection:
    """Make the boxes of one state, still none."""
    boxes = PolyCollection(
        [],
        facecolor=look.fill,
        edgecolor=style.QUIET,
        linewidth=0.6,
        hatch=look.hatch or None,
        animated=True,
    )
    axes.add_collection(boxes, autolim=False)
    return boxes
