"""Words that stay legible on top of lines."""

from typing import Final

from matplotlib.patheffects import withStroke

from labkit.view import style

HALO: Final = [withStroke(linewidth=2.6, foreground=style.PAPER)]
"""A white rim around letters; slow, so only where lines cross."""
