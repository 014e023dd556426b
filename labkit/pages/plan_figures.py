"""Drawings of our own for the form: where each number is found, and the line as it is typed."""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING, Final

from labkit.pages.looks import look
from labkit.parts import MANIFOLD
from labkit.text import speaker
from labkit.units import si

if TYPE_CHECKING:
    from labkit.site import Site

_say = speaker("plan")

_INK: Final = 'fill="none" stroke="#1F2933" stroke-width="1.6"'
_WORDS: Final = 'font-family="sans-serif" font-size="13" fill="#1F2933"'


_RED: Final = 'stroke="#D55E00" stroke-width="3"/>'
DRAWN: Final = {
    "static-level": ("well", f'<path d="M110 20V60" {_RED}'),
    "intake-depth": ("well", f'<path d="M110 20V108" {_RED}'),
    "rated-power": ("label", ""),
    "shut-off-head": ("curve", '<circle cx="50" cy="22" r="6" fill="#D55E00"/>'),
    "rated-flow": ("curve", f'<path d="M150 110V62" {_RED}'),
    "rated-head": ("curve", f'<path d="M50 62H150" {_RED}'),
    "size": ("print", ""),
    "cut-in": ("switch", ""),
    "cut-out": ("switch", ""),
    "crest-out": ("crest", ""),
    "crest-up": ("crest", ""),
}
"""Box -> the drawing of where its number is found (`labkit.pages.looks`), and the mark in it."""


def figure(box: str) -> str:
    """Return the drawing of where a box's number is found; empty where there is none."""
    if box not in DRAWN:
        return ""
    name, mark = DRAWN[box]
    words = re.compile(r"\{figure-(\w+)\}")
    drawing = look(f"drawings/{name}.svg").replace("<mark/>", mark)
    return words.sub(lambda found: html.escape(_say(f"figure-{found[1]}")), drawing)


_LEFT, _RIGHT, _TOP, _FLOOR = 40.0, 300.0, 30.0, 150.0
_WIDE, _LINE = 60.0, 15.0  # of a name


def sketch(site: Site) -> str:
    """Return a site's line as a drawing: ground, high ground, troughs, to the scale of its heights.

    Each trough's run is drawn along its own pipe, from the wellhead out.
    """
    paths = {trough.name: _path(site, trough.name) for trough in site.troughs}
    far = max(points[-1][0] for points in paths.values())
    heights = [height for points in paths.values() for _, height in points]
    low, high = min(heights), max(heights)
    span = max(high - low, 0.01 * far)
    top = _TOP + _LINE * (len(paths) - 1)
    named: list[tuple[float, float]] = []

    def place(out: float, height: float) -> tuple[float, float]:
        across = _LEFT + (_RIGHT - _LEFT) * out / far
        return across, _FLOOR - (_FLOOR - top) * (height - low) / span

    parts = []
    for name, points in paths.items():
        line = " ".join(f"{x:.1f},{y:.1f}" for x, y in (place(*point) for point in points))
        x, y = place(*points[-1])
        parts.append(f'<polyline points="{line}" {_INK}/>')
        parts.append(f'<path d="M{x - 9:.1f} {y - 8:.1f}V{y:.1f}H{x + 9:.1f}V{y - 8:.1f}" {_INK}/>')
        at = (x - 20, y - 12)
        while any(abs(at[0] - x) < _WIDE and abs(at[1] - y) < _LINE for x, y in named):
            at = (at[0], at[1] - _LINE)  # troughs side by side have their names one above the other
        named.append(at)
        parts.append(
            f'<text x="{at[0]:.1f}" y="{at[1]:.1f}" {_WORDS}>{html.escape(name[:14])}</text>'
        )
        crest = max(points[1:-1], key=lambda point: point[1], default=None)
        if crest is not None and crest[1] > points[-1][1] + 0.3:
            x, y = place(*crest)
            parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="#D55E00"/>')
    x, y = place(0.0, 0.0)
    parts.append(f'<path d="M{x:.1f} {y:.1f}V{_FLOOR + 30:.0f}" {_INK}/>')
    parts.append(f'<text x="{x - 30:.1f}" y="{y - 8:.1f}" {_WORDS}>{_say("sketch-well")}</text>')
    label = _say("sketch")
    return (
        '<svg viewBox="0 0 340 190" width="340" height="190" role="img" '
        f'aria-label="{html.escape(label)}">{"".join(parts)}</svg><p>{html.escape(label)}</p>'
    )


def _path(site: Site, name: str) -> list[tuple[float, float]]:
    """Return the way to a trough as points: distance out, and height above the gauge [m]."""
    runs = {run.end: run for run in site.runs()}
    way = []
    end = name
    while end in runs:
        way.append(runs[end])
        end = runs[end].start
    assert end == MANIFOLD  # noqa: S101 - a site's tree hangs on its manifold
    points, out, height = [(0.0, 0.0)], 0.0, 0.0
    for run in reversed(way):
        points += [(out + si(d), height + si(h)) for d, h in run.pipe.profile]
        out, height = out + si(run.pipe.length), height + si(run.pipe.rise)
        points.append((out, height))
    return points
