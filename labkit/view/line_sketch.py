"""A line in black and white, for paper: the well, the ground, the pipe, the troughs; no water."""

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.figure import Figure

from labkit.figures import style
from labkit.figures.image import drawn_png, image_tag
from labkit.figures.profile import Profile
from labkit.figures.scene import shortened
from labkit.figures.ticks import plain_tick
from labkit.language import say, unit_word
from labkit.text.shared import PAPER_WORDS
from labkit.units import si

if TYPE_CHECKING:
    from labkit.parts import Trough
    from labkit.site import Site

_TALL: Final = 2.1
_BLACK: Final = "black"
_SOIL: Final = "0.9"
_LETTERS: Final[dict[str, Any]] = {"fontsize": 8.0, "fontfamily": style.FONT, "color": _BLACK}
_OVER: Final[dict[str, Any]] = {"textcoords": "offset points", "ha": "center", "va": "bottom"}


def line_sketch(site: "Site", system: str) -> str:
    """Draw a site's line and give it as an element of HTML."""
    figure = Figure(figsize=(style.WIDTH, _TALL), dpi=style.DPI, facecolor="white", layout=None)
    axes = figure.add_axes((0.06, 0.2, 0.92, 0.68), facecolor="none")
    heights = {node: site.elevation(node) for node in site.distances()}
    before = {run.end: run.start for run in site.runs()}
    profile = Profile.lying(site.distances(), heights, before, system)
    far, ups = max(profile.distance.values()), profile.height.values()
    span = max(max(ups) - min(ups), 0.02 * far)
    left, right = -0.14 * far, 1.14 * far
    floor, top = min(ups) - 0.6 * span, max(ups) + 0.75 * span
    axes.set_xlim(left, right)
    axes.set_ylim(floor, top)
    soil = profile.under(np.max, left=left, right=right, floor=floor)
    axes.fill(*soil.T, facecolor=_SOIL, edgecolor="none", zorder=0)
    for piece in profile.ground:
        axes.plot(*piece.T, color=_BLACK, linewidth=1.6, zorder=1)
    axes.plot([0.0, 0.0], [0.0, floor], color=_BLACK, linewidth=3.0, zorder=1)
    axes.plot([0.0], [0.0], marker="o", markersize=8, markerfacecolor="white",
              markeredgecolor=_BLACK, zorder=3)  # fmt: skip
    depth = say(si(site.well.static_level), "length", system)
    words = PAPER_WORDS["sketch gauge"].format(depth=depth)
    axes.annotate(words, (0.0, 0.0), (0, 9), **_OVER, **_LETTERS)
    for trough in site.troughs:
        spot = (profile.distance[trough.name], profile.height[trough.name])
        axes.plot(*spot, marker="s", markersize=8, color=_BLACK, zorder=3)
        axes.annotate(_named(site, trough, system), spot, (0, 9), **_OVER, **_LETTERS)
    unit = unit_word("length", system)
    axes.set_xlabel(PAPER_WORDS["sketch distance"].format(unit=unit), labelpad=2, **_LETTERS)
    axes.set_title(PAPER_WORDS["sketch"].format(unit=unit), loc="left", pad=6, **_LETTERS)
    axes.tick_params(colors=_BLACK, labelsize=8.0, labelfontfamily=style.FONT)
    axes.set_xticks([tick for tick in axes.get_xticks() if 0.0 <= tick <= 1.02 * far])
    axes.xaxis.set_major_formatter(plain_tick)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    troughs = "; ".join(_named(site, one, system).replace("\n", " ") for one in site.troughs)
    return image_tag(drawn_png(figure), PAPER_WORDS["sketch alt"].format(troughs=troughs))


def _named(site: "Site", trough: "Trough", system: str) -> str:
    """Say how high a trough stands, and how far away."""
    rise = site.elevation(trough.name)
    key = "sketch trough" if rise >= 0.0 else "sketch trough below"
    return PAPER_WORDS[key].format(
        name=shortened(trough.name),
        rise=say(abs(rise), "length", system),
        way=say(site.distances()[trough.name], "length", system),
    )
