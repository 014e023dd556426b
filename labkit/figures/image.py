"""From a drawn canvas to a small PNG, and from there to an element of the page."""

import base64
import html
import io
import struct
from typing import Final

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

# width of a page from which on a picture of the usual size has letters that can be read [px]
ROOMY: Final = 1000
PALETTE: Final = 64  # colours in a picture that is sent; enough for flat colours with soft edges


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


def image_tag(png: bytes, alt: str, *, style: str = "max-width:100%") -> str:
    """Return a picture as an element of HTML with its own data and words.

    One without words goes with another that has them, and is for eyes alone.
    """
    look = f'{_of(png)} style="{style};height:auto"'
    words = f'alt="{html.escape(alt)}"' if alt else 'alt="" aria-hidden="true"'
    return f'<img {words} {look} src="{png_data(png)}">'


def picture_tag(wide: str, narrow: bytes, *, up_to: int = ROOMY) -> str:
    """Return an element of HTML that shows another picture on a page up to a width [px]."""
    fits = f"(max-width: {up_to}px)"
    source = f'<source media="{fits}" {_of(narrow)} srcset="{png_data(narrow)}">'
    return f'<picture style="display:contents">{source}{wide}</picture>'


def _of(png: bytes) -> str:
    """Return how large a picture is, as attributes of HTML."""
    width, height = struct.unpack(">II", png[16:24])
    return f'width="{width}" height="{height}"'


def png_data(png: bytes) -> str:
    """Return a picture as an address that carries its own data."""
    return f"data:image/png;base64,{base64.b64encode(png).decode()}"
