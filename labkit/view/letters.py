"""Words of the picture, drawn once and kept as small images.

Matplotlib sets and draws each letter anew whenever a text is drawn, which takes longer than
everything else in the picture together. Most words stay the same from one picture to the next.
"""

from collections import OrderedDict
from collections.abc import Hashable
from typing import Final, NamedTuple

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.text import Text
from numpy.typing import NDArray

KEPT: Final = 600
"""How many texts are kept; those unused longest go first."""

_MARGIN: Final = 6
"""Dots around the letters for a patch or a rim behind them."""


class _Stamp(NamedTuple):
    """A drawn text: RGBA dots, and where their lower left corner lies from the text's anchor."""

    dots: NDArray[np.uint8]
    right: int
    up: int


class Letters:
    """Draws texts on one canvas, keeping what was drawn.

    Parameters
    ----------
    width, height : int
        Size of the canvas [dots].
    dpi : float
        Its dots per inch.
    """

    def __init__(self, width: int, height: int, dpi: float) -> None:
        self._sheet = RendererAgg(width, height, dpi)  # type: ignore[no-untyped-call]
        self._stamps: OrderedDict[Hashable, _Stamp | None] = OrderedDict()

    def draw(self, text: Text, renderer: RendererAgg) -> None:
        """Draw a text where it stands."""
        if not text.get_visible() or not text.get_text():
            return
        x, y = text.get_transform().transform(text.get_unitless_position())
        key = _look(text)
        if key not in self._stamps:
            self._stamps[key] = self._stamp(text, round(x), round(y))
            if len(self._stamps) > KEPT:
                self._stamps.popitem(last=False)
        self._stamps.move_to_end(key)
        stamp = self._stamps[key]
        if stamp is None:
            text.draw(renderer)
            return
        graphics = renderer.new_gc()
        renderer.draw_image(graphics, round(x) + stamp.right, round(y) + stamp.up, stamp.dots)
        graphics.restore()

    def _stamp(self, text: Text, x: int, y: int) -> _Stamp | None:
        """Draw a text by itself and cut it out; none if it hangs over the edge of the canvas."""
        self._sheet.clear()  # type: ignore[no-untyped-call]
        text.draw(self._sheet)
        dots = np.asarray(self._sheet.buffer_rgba())  # type: ignore[no-untyped-call]
        box = text.get_window_extent(self._sheet)
        left, bottom = int(box.x0) - _MARGIN, int(box.y0) - _MARGIN
        right, top = int(box.x1) + _MARGIN + 1, int(box.y1) + _MARGIN + 1
        height, width, _ = dots.shape
        if left < 0 or bottom < 0 or right > width or top > height:
            return None
        cut = dots[height - top : height - bottom, left:right][::-1].copy()  # its rows from below
        return _Stamp(cut, left - x, bottom - y)


def _look(text: Text) -> Hashable:
    """Give all that decides how a text looks, but for its place."""
    patch = text.get_bbox_patch()
    return (
        text.get_text(),
        text.get_fontproperties(),
        text.get_color(),
        text.get_alpha(),
        text.get_rotation(),
        text.get_horizontalalignment(),
        text.get_verticalalignment(),
        bool(text.get_path_effects()),
        patch is not None and patch.get_facecolor(),
    )
