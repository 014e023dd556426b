"""From a drawn canvas to a small PNG, and from there to an element of the page."""

import base64
import html
import io
from typing import Final

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from labkit.figures import style

PHONE: Final = 600
"""Width of a page up to a phone's [px]."""
PALETTE: Final = 64
"""Colours in a picture that is sent; enough for flat colours with soft edges."""


def png_of(canvas: FigureCanvasAgg, rows: slice = slice(None)) -> bytes:
    """Return what a canvas shows, or some of its rows of dots, as a PNG of few colours."""
    dots = np.asarray(canvas.buffer_rgba())[rows]  # type: ignore[no-untyped-call]
    image = Image.fromarray(dots).convert("RGB")
    few = image.quantize(PALETTE, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    out = io.BytesIO()
    few.save(out, "png", compress_level=1)
    return out.getvalue()


def drawn_png(figure: Figure) -> bytes:
    """Draw a figure that was put together and give it as a PNG of few colours."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    return png_of(canvas)


def image_tag(png: bytes, alt: str, size: tuple[int, int]) -> str:
    """Return a picture of a size [dots] as an element of HTML with its own data and words."""
    width, height = size
    return (
        f'<img alt="{html.escape(alt)}" width="{width}" height="{height}" '
        f'style="width:100%;max-width:{width}px;height:auto" '
        f'src="{png_data(png)}">'
    )


def picture_tag(wide: str, narrow: bytes) -> str:
    """Return an element of HTML that shows another picture on a page as narrow as a phone's."""
    source = f'<source media="(max-width: {PHONE}px)" srcset="{png_data(narrow)}">'
    return f"<picture>{source}{wide}</picture>"


def png_data(png: bytes) -> str:
    """Return a picture as an address that carries its own data."""
    return f"data:image/png;base64,{base64.b64encode(png).decode()}"


def image_element(png: bytes, alt: str) -> str:
    """Return a picture of the usual size as an element of HTML, with words that stand for it."""
    return image_tag(png, alt, (round(style.WIDTH * style.DPI), round(style.HEIGHT * style.DPI)))


class StillImage:
    """A picture that stays as it is, with the words that stand for it, as a page shows it.

    `narrow` is the picture for a phone; empty where the wide one must do.
    """

    def __init__(self, png: bytes, alt: str, narrow: bytes = b"") -> None:
        self.png, self.alt, self.narrow = png, alt, narrow

    def html(self) -> str:
        """Return it as an element of HTML."""
        wide = image_element(self.png, self.alt)
        return picture_tag(wide, self.narrow) if self.narrow else wide

    def _repr_html_(self) -> str:
        return self.html()
