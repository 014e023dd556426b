"""Drawings of our own for the form: where each number is found, and the line as it is typed."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Final

from labkit.parts import MANIFOLD
from labkit.text import speaker
from labkit.units import si

if TYPE_CHECKING:
    from labkit.site import Site

_say = speaker("plan")

_INK: Final = 'fill="none" stroke="#1F2933" stroke-width="1.6"'
_WORDS: Final = 'font-family="sans-serif" font-size="13" fill="#1F2933"'


def _svg(inside: str, *, label: str, width: int = 300, height: int = 130) -> str:
    return (
        f'<svg viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img" '
        f'aria-label="{html.escape(label)}">{inside}</svg>'
    )


def _text(x: int, y: int, key: str) -> str:
    """Write a word into a drawing."""
    return f'<text x="{x}" y="{y}" {_WORDS}>{html.escape(_say(f"figure-{key}"))}</text>'


def _curve(mark: str) -> str:
    """Draw a pump curve with one place of it marked."""
    marks = {
        "shut-off-head": '<circle cx="50" cy="22" r="6" fill="#D55E00"/>',
        "rated-flow": '<path d="M150 110V62" stroke="#D55E00" stroke-width="3"/>',
        "rated-head": '<path d="M50 62H150" stroke="#D55E00" stroke-width="3"/>',
    }
    return _svg(
        f'<path d="M50 12V110H280" {_INK}/><path d="M50 22C130 24 190 50 250 110" {_INK}/>'
        f"{marks[mark]}{_text(8, 60, 'head')}{_text(235, 126, 'flow')}",
        label=_say("figure-curve"),
    )


def _well(mark: str) -> str:
    """Draw a well with one depth marked."""
    deep = {"static-level": 60, "intake-depth": 108}[mark]
    return _svg(
        f'<path d="M30 20H270" {_INK}/><path d="M130 20V122M170 20V122" {_INK}/>'
        '<path d="M131 60H169" stroke="#0072B2" stroke-width="3"/>'
        '<rect x="143" y="98" width="14" height="20" fill="#52606D"/>'
        f'<path d="M110 20V{deep}" stroke="#D55E00" stroke-width="3"/>'
        f"{_text(178, 64, 'water')}{_text(178, 112, 'pump')}{_text(34, 15, 'gauge')}",
        label=_say("figure-well"),
    )


def _label() -> str:
    return _svg(
        f'<rect x="60" y="20" width="180" height="90" rx="4" {_INK}/>'
        f"{_text(74, 46, 'rated')}"
        '<rect x="72" y="54" width="80" height="22" fill="#FBEBC8"/>'
        f"{_text(84, 70, 'watts')}{_text(74, 98, 'times')}",
        label=_say("figure-label"),
    )


def _print() -> str:
    return _svg(
        f'<path d="M10 40H290M10 84H290" {_INK}/>{_text(24, 68, "printed")}',
        label=_say("figure-print"),
    )


def _switch() -> str:
    """Draw the two nuts of a pressure switch."""
    return _svg(
        f'<rect x="70" y="30" width="160" height="80" rx="6" {_INK}/>'
        f'<rect x="100" y="48" width="26" height="44" {_INK}/>'
        f'<rect x="180" y="58" width="16" height="28" {_INK}/>'
        f"{_text(62, 22, 'range')}{_text(160, 126, 'differential')}",
        label=_say("figure-switch"),
    )


def _crest() -> str:
    """Draw high ground between well and trough."""
    return _svg(
        f'<path d="M10 110L140 30L280 96" {_INK}/>'
        '<path d="M10 120H140" stroke="#D55E00" stroke-width="3"/>'
        '<path d="M140 110V34" stroke="#D55E00" stroke-width="3"/>'
        f"{_text(150, 28, 'high')}{_text(226, 90, 'trough')}",
        label=_say("figure-crest"),
    )


FIGURES: Final[dict[str, str]] = {
    "static-level": _well("static-level"),
    "intake-depth": _well("intake-depth"),
    "rated-power": _label(),
    "shut-off-head": _curve("shut-off-head"),
    "rated-flow": _curve("rated-flow"),
    "rated-head": _curve("rated-head"),
    "size": _print(),
    "cut-in": _switch(),
    "cut-out": _switch(),
    "crest-out": _crest(),
    "crest-up": _crest(),
}
"""Box -> a drawing of where its number is found."""

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
    return _svg("".join(parts), label=label, width=340, height=190) + f"<p>{html.escape(label)}</p>"


def _path(site: Site, name: str) -> list[tuple[float, float]]:
    """Return the way to a trough as points: distance out, and height above the gauge [m]."""
    runs = {run.end: run for run in site.runs()}
    way = []
    end = name
    while end in runs:
        way.append(runs[end])
        end = runs[end].start
    points, out, height = [(0.0, 0.0)], 0.0, 0.0
    for run in reversed(way):
        points += [(out + si(d), height + si(h)) for d, h in run.pipe.profile]
        out, height = out + si(run.pipe.length), height + si(run.pipe.rise)
        points.append((out, height))
    assert end == MANIFOLD  # noqa: S101 - a site's tree hangs on its manifold
    return points
