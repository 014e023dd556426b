"""A line in black on white, for paper: on a card with two grade lines, on a rig's sheet without."""

from typing import Any, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from labkit.advice.card import Card
from labkit.figures import style
from labkit.figures.axes import HALO
from labkit.figures.image import drawn_png, image_tag
from labkit.figures.profile import Profile
from labkit.figures.scene import shortened
from labkit.figures.ticks import nice_step, plain_tick
from labkit.language import say, unit_word
from labkit.parts import MANIFOLD, Trough
from labkit.site import Site
from labkit.text.shared import PAPER_WORDS
from labkit.units import displayed, si
from labkit.view.card_told import CARD_WORDS, card_phrase
from labkit.view.field_numbers import gauge

WIDE: Final = 7.6
TALL: Final = 1.6
"""Size on paper [in]."""
DPI: Final = 220

_BLACK: Final = "#000000"
_SOIL: Final = "#E3E3E3"
_FAR_SOIL: Final = "#F1F1F1"
_LETTERS: Final[dict[str, Any]] = {
    "fontsize": 7.6, "fontfamily": style.FONT, "color": _BLACK, "path_effects": HALO,
    "annotation_clip": False, "textcoords": "offset points", "ha": "center",
}  # fmt: skip
_LEFT: Final = 0.15
_LINE_TALL: Final = 2.1  # of a line without water [in]; it is as wide as any picture
_LINE_LETTERS: Final[dict[str, Any]] = {"fontsize": 8.0, "fontfamily": style.FONT, "color": _BLACK}
_OVER: Final[dict[str, Any]] = {"textcoords": "offset points", "ha": "center", "va": "bottom"}
_MOST_NAMES: Final = 8


def sketch_png(card: Card, system: str) -> bytes:
    """Draw the sketch and give it as a PNG of few colours."""
    return drawn_png(sketch(card, system))


def sketch(card: Card, system: str) -> Figure:
    """Draw the sketch in the units of a system."""
    figure = Figure(figsize=(WIDE, TALL), dpi=DPI, layout=None)
    axes = figure.add_axes((0.065, 0.185, 0.925, 0.795))
    lies = card.lies
    profile = Profile.lying(lies.distance, lies.height, lies.parent, system)
    heads = {n: displayed(head, "length", system) for n, head in lies.head.items()}
    points = {p: displayed(pressure / card.weight, "length", system) for p, pressure in
              (("trip", card.setting.cut_out), ("reset", card.setting.cut_in))}  # fmt: skip
    far = max(profile.distance.values())
    top = 1.3 * max(*points.values(), *heads.values(), *profile.height.values())
    low = min(profile.height.values()) - 0.3 * top
    axes.set_ylim(low, top)
    _land(axes, profile, (-_LEFT * far, 1.09 * far), low, wide=1.2, mark=5)
    _grade_lines(axes, card, profile, heads, system)
    _points(axes, card, points, far, system)
    _troughs(axes, card, profile)
    _frame(axes, far, top, low, system)
    corner = _LETTERS | {"xycoords": "axes fraction", "ha": "right", "va": "top"}
    axes.annotate(CARD_WORDS["sketch"], (1.0, 1.0), (-2, -2), **corner)
    return figure


def sketch_words(card: Card, system: str) -> str:
    """Say what the sketch shows, for one who does not see it."""

    def up(height: float) -> str:
        return say(height, "length", system)

    head, height = card.lies.head, card.lies.height
    names = [
        CARD_WORDS["trough at"].format(name=t.name, height=up(height[t.name]))
        for t in card.site.troughs
    ]
    return card_phrase(card, "sketch alt").format(
        troughs=", ".join(names), name=card.trough, high=up(head[MANIFOLD]),
        low=up(head[card.trough]), static=up(height[card.trough]),
    )  # fmt: skip


def _grade_lines(
    axes: Axes, card: Card, profile: Profile, heads: dict[str, float], system: str
) -> None:
    """Draw the grade line at noon, solid, and the one at rest, dashed, each with its name."""
    for piece in profile.pieces(heads):
        axes.plot(*piece.T, color=_BLACK, linewidth=1.9, zorder=3)
    name = card.trough
    x, y = profile.distance[name], profile.height[name]
    axes.plot([x, x], [y, heads[name]], color=_BLACK, linewidth=0.9, linestyle=(0, (1, 1.6)))
    axes.plot([0.0, x], [y, y], color=_BLACK, linewidth=1.3, linestyle=(0, (6, 2)), zorder=2)
    shown = shortened(name)
    said = card_phrase(card, "running line").format(name=shown)
    running = gauge(card.noon.gauge[name], system)
    middle = 0.5 * (heads[MANIFOLD] + heads[name])
    over = _LETTERS | {"va": "bottom"}
    axes.annotate(f"{said}: {running}", (0.5 * x, middle), (0, 6), **over)
    said = CARD_WORDS["static line"].format(name=shown)
    static = next(t.static for t in card.window.troughs if t.name == name)
    axes.annotate(f"{said}: {gauge(static, system)}", (0.3 * x, y), (0, 3), **over)


def _points(axes: Axes, card: Card, points: dict[str, float], far: float, system: str) -> None:
    """Mark how high cut-out and cut-in would lift the water, left of the well."""
    pressures = {"trip": card.setting.cut_out, "reset": card.setting.cut_in}
    for key, height in points.items():
        axes.plot([-_LEFT * far, 0.0], [height] * 2, color=_BLACK, linewidth=1.2,
                  linestyle=(0, (2, 1.4)))  # fmt: skip
        words = CARD_WORDS[key].format(p=gauge(pressures[key], system))
        look = _LETTERS | {"ha": "left", "va": "bottom", "fontweight": "bold"}
        axes.annotate(words, (-_LEFT * far, height), (3, 2), **look)
    depth = say(si(card.site.well.static_level), "length", system)
    words = CARD_WORDS["well"].format(depth=depth)
    axes.annotate(words, (0.0, 0.0), (0, -6), va="top", **_LETTERS)


def _troughs(axes: Axes, card: Card, profile: Profile) -> None:
    """Mark the troughs; their names stand in the soil, turn about on two lines."""
    order = sorted(card.site.troughs, key=lambda trough: profile.distance[trough.name])
    for place, trough in enumerate(order):
        spot = (profile.distance[trough.name], profile.height[trough.name])
        axes.plot(*spot, marker="s", markersize=5, color=_BLACK, zorder=4)
        if place < _MOST_NAMES or trough.name == card.trough:
            look = _LETTERS | {"va": "top", "fontweight": "bold"}
            axes.annotate(shortened(trough.name), spot, (0, -6 - 9 * (place % 2)), **look)


def _frame(axes: Axes, far: float, top: float, low: float, system: str) -> None:
    unit = unit_word("length", system)
    look: dict[str, Any] = {"fontsize": 7.6, "fontfamily": style.FONT, "color": _BLACK}
    axes.set_xlabel(CARD_WORDS["distance axis"].format(unit=unit), labelpad=1.5, **look)
    upright = look | {"fontsize": 6.6}  # the sheet is no taller
    axes.set_ylabel(CARD_WORDS["height axis"].format(unit=unit), labelpad=2.0, **upright)
    axes.set_xticks(np.arange(0.0, 1.05 * far, nice_step(far, count=6)))
    step = nice_step(top - low, count=5)
    axes.set_yticks(np.arange(np.ceil(low / step), top / step) * step)
    axes.tick_params(colors=_BLACK, labelsize=7.4, labelfontfamily=style.FONT, length=2.0, pad=2)
    axes.yaxis.set_major_formatter(plain_tick)


def _land(
    axes: Axes,
    profile: Profile,
    ends: tuple[float, float],
    floor: float,
    *,
    wide: float,
    mark: int,
    shades: tuple[str, ...] = (_FAR_SOIL, _SOIL),
) -> None:
    """Draw soil and ground between two ends, the well and the troughs, and bare their axes."""
    axes.set_xlim(*ends)
    for lowest_or_highest, shade in zip((np.max, np.min), shades, strict=False):
        soil = profile.under(lowest_or_highest, left=ends[0], right=ends[1], floor=floor)
        axes.fill(*soil.T, facecolor=shade, edgecolor="none", zorder=0)
    for piece in profile.ground:
        axes.plot(*piece.T, color=_BLACK, linewidth=wide, zorder=1)
    axes.plot([0.0], [0.0], marker="o", markersize=mark, markerfacecolor="white",
              markeredgecolor=_BLACK, zorder=4)  # fmt: skip
    axes.xaxis.set_major_formatter(plain_tick)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def line_sketch(site: Site, system: str) -> str:
    """Draw a site's line and give it as an element of HTML."""
    figure = Figure(figsize=(style.WIDTH, _LINE_TALL), dpi=style.DPI, layout=None)
    axes = figure.add_axes((0.06, 0.2, 0.92, 0.68), facecolor="none")
    heights = {node: site.elevation(node) for node in site.distances()}
    before = {run.end: run.start for run in site.runs()}
    profile = Profile.lying(site.distances(), heights, before, system)
    far, ups = max(profile.distance.values()), profile.height.values()
    span = max(max(ups) - min(ups), 0.02 * far)
    left, right = -0.14 * far, 1.14 * far
    floor, top = min(ups) - 0.6 * span, max(ups) + 0.75 * span
    axes.set_ylim(floor, top)
    _land(axes, profile, (left, right), floor, wide=1.6, mark=8, shades=("0.9",))
    axes.plot([0.0, 0.0], [0.0, floor], color=_BLACK, linewidth=3.0, zorder=1)
    depth = say(si(site.well.static_level), "length", system)
    words = PAPER_WORDS["sketch gauge"].format(depth=depth)
    axes.annotate(words, (0.0, 0.0), (0, 9), **_OVER, **_LINE_LETTERS)
    for trough in site.troughs:
        spot = (profile.distance[trough.name], profile.height[trough.name])
        axes.plot(*spot, marker="s", markersize=8, color=_BLACK, zorder=3)
        axes.annotate(_named(site, trough, system), spot, (0, 9), **_OVER, **_LINE_LETTERS)
    unit = unit_word("length", system)
    axes.set_xlabel(PAPER_WORDS["sketch distance"].format(unit=unit), labelpad=2, **_LINE_LETTERS)
    axes.set_title(PAPER_WORDS["sketch"].format(unit=unit), loc="left", pad=6, **_LINE_LETTERS)
    axes.tick_params(colors=_BLACK, labelsize=8.0, labelfontfamily=style.FONT)
    axes.set_xticks([tick for tick in axes.get_xticks() if 0.0 <= tick <= 1.02 * far])
    troughs = "; ".join(_named(site, one, system).replace("\n", " ") for one in site.troughs)
    return image_tag(drawn_png(figure), PAPER_WORDS["sketch alt"].format(troughs=troughs))


def _named(site: Site, trough: Trough, system: str) -> str:
    """Say how high a trough stands, and how far away."""
    rise = site.elevation(trough.name)
    key = "sketch trough" if rise >= 0.0 else "sketch trough below"
    return PAPER_WORDS[key].format(
        name=shortened(trough.name),
        rise=say(abs(rise), "length", system),
        way=say(site.distances()[trough.name], "length", system),
    )
