"""Words of the picture, drawn once and kept as small images.

Matplotlib sets and draws each letter anew whenever a text is drawn, which takes longer than
everything else in the picture together. Most words stay the same from one picture to the next, and
Pillow draws the others thirty times faster from the same font file.
"""

from collections import OrderedDict
from collections.abc import Hashable
from functools import cache
from typing import Any, Final, NamedTuple

import numpy as np
from matplotlib.colors import to_rgba
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.text import Text
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

KEPT: Final = 600
"""How many texts are kept; those unused longest go first."""

_USUAL: Final = "lp"
"""Letters that reach as high and as low as any: they set the height of a line."""

_SPACING: Final = 1.25
"""Of the lines of a text, in the reach of its letters above their line."""

_ACROSS: Final = {"left": 0.0, "center": 0.5, "right": 1.0}


class _Stamp(NamedTuple):
    """A drawn text: RGBA dots from below, and its lower left corner, seen from the anchor."""

    dots: NDArray[np.uint8]
    right: int
    up: int


class Letters:
    """Draws texts on one canvas, keeping what was drawn.

    Parameters
    ----------
    dpi : float
        Dots per inch of the canvas.
    """

    def __init__(self, dpi: float) -> None:
        self._dpi = dpi
        self._stamps: OrderedDict[Hashable, _Stamp] = OrderedDict()

    def draw(self, text: Text, renderer: Any) -> None:
        """Draw a text where it stands; a turned one is left to Matplotlib."""
        if not text.get_visible() or not text.get_text():
            return
        if text.get_rotation() != 0.0:
            text.draw(renderer)
            return
        key = _look(text)
        if key not in self._stamps:
            self._stamps[key] = _stamped(text, self._dpi)
            if len(self._stamps) > KEPT:
                self._stamps.popitem(last=False)
        self._stamps.move_to_end(key)
        stamp = self._stamps[key]
        x, y = text.get_transform().transform(text.get_unitless_position())
        graphics = renderer.new_gc()
        renderer.draw_image(graphics, round(x) + stamp.right, round(y) + stamp.up, stamp.dots)
        graphics.restore()


def _look(text: Text) -> Hashable:
    """Give all that decides how a text looks, but for its place."""
    return (
        text.get_text(),
        text.get_fontproperties(),
        text.get_color(),
        text.get_alpha(),
        text.get_horizontalalignment(),
        text.get_verticalalignment(),
        bool(text.get_path_effects()),
        text.get_bbox_patch() is not None,
    )


@cache
def _font(prop: FontProperties, dpi: float) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(findfont(prop), prop.get_size_in_points() * dpi / 72.0)


def _stamped(text: Text, dpi: float) -> _Stamp:
    """Draw a text by itself, set as Matplotlib would set it."""
    font = _font(text.get_fontproperties(), dpi)
    lines = text.get_text().split("\n")
    _, top, _, fall = font.getbbox(_USUAL, anchor="ls")
    rise = -top
    step = round(_SPACING * rise + fall)
    width = max(font.getlength(line) for line in lines)
    height = rise + fall + step * (len(lines) - 1)
    rim = round(1.3 * dpi / 72.0) if text.get_path_effects() else 0
    margin = rim + round(dpi / 72.0) + 3
    sheet = Image.new(
        "RGBA", (round(width) + 2 * margin, round(height) + 2 * margin), _ground(text)
    )
    pen = ImageDraw.Draw(sheet)
    if text.get_bbox_patch() is not None:
        _lay_patch(pen, text, (margin, margin, margin + round(width), margin + round(height)), dpi)
    share = _ACROSS[text.get_horizontalalignment()]
    for row, line in enumerate(lines):
        at = (margin + share * (width - font.getlength(line)), margin + rise + row * step)
        pen.text(
            at, line, font=font, fill=_dots(text.get_color(), text.get_alpha()), anchor="ls",
            stroke_width=rim, stroke_fill=(255, 255, 255, 255) if rim else None,
        )  # fmt: skip
    return _Stamp(
        np.asarray(sheet)[::-1].copy(),
        round(-share * width) - margin,
        round(_lowest(text.get_verticalalignment(), height, rise, fall)) - margin,
    )


def _lowest(alignment: str, height: float, rise: float, fall: float) -> float:
    """Where the bottom of the letters lies, seen from the anchor, as Matplotlib aligns them.

    `rise` and `fall` are what letters reach above and below their line.
    """
    alone = height <= rise + fall
    return {
        "top": -height,
        "center": -0.5 * height,
        "baseline": -fall,
        "center_baseline": -0.5 * rise - fall if alone else -0.5 * height,
    }.get(alignment, 0.0)


def _ground(text: Text) -> tuple[int, int, int, int]:
    """Choose the colour that soft edges fade into, fully clear."""
    if text.get_path_effects():
        return 255, 255, 255, 0
    red, green, blue, _ = _dots(text.get_color(), None)
    return red, green, blue, 0


def _dots(color: Any, alpha: float | None) -> tuple[int, int, int, int]:
    red, green, blue, opacity = (round(255.0 * part) for part in to_rgba(color, alpha))
    return red, green, blue, opacity


def _lay_patch(
    pen: ImageDraw.ImageDraw, text: Text, box: tuple[int, int, int, int], dpi: float
) -> None:
    """Lay the pale patch behind the letters."""
    patch = text.get_bbox_patch()
    if patch is None:
        return
    pad = round(dpi / 72.0)
    left, top, right, bottom = box
    pen.rectangle(
        (left - pad, top - pad, right + pad, bottom + pad), fill=_dots(patch.get_facecolor(), None)
    )
