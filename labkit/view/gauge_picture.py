"""A pressure gauge as a small picture: a dial, its divisions, and the needle where it was read.

It shows nothing but the reading; where the switch trips is for the learner to find.
"""

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from labkit.figures import style
from labkit.figures.image import drawn_png, image_tag
from labkit.language import unit_word
from labkit.units import displayed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SIZE: Final = 2.3  # width and height of the picture [in]

DIALS: Final = {"US": (60, 100, 160, 200, 300, 400), "metric": (400, 700, 1000, 1600, 2500, 4000)}
"""Ends of the scales that gauges are sold with, in psi and in kPa (common practice)."""

_LEAST, _SWEEP = 225.0, 270.0
_PARTS: Final = {60: 6, 100: 10, 160: 8, 200: 10, 300: 6, 400: 8, 700: 7, 1000: 10, 1600: 8,
                 2500: 10, 4000: 8}  # fmt: skip
_FINER: Final = 5


def dial_for(highest: float, system: str) -> int:
    """Choose a gauge on which a pressure [Pa] stays on the scale, in the system's unit."""
    wanted = displayed(highest, "pressure", system)
    return next((end for end in DIALS[system] if end >= wanted), DIALS[system][-1])


def angle_of(reading: float, dial: int) -> float:
    """Where the needle points at a reading [rad], counterclockwise from three o'clock."""
    share = min(max(reading / dial, 0.0), 1.0)
    return float(np.radians(_LEAST - _SWEEP * share))


def gauge_figure(pressure: float, highest: float, system: str = "US") -> Figure:
    """Draw a gauge that shows a pressure [Pa] on a line that may reach `highest` [Pa]."""
    dial = dial_for(highest, system)
    figure = Figure(figsize=(SIZE, SIZE), dpi=style.DPI, facecolor=style.PAPER)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(-1.15, 1.15)
    axes.set_ylim(-1.15, 1.15)
    axes.set_axis_off()
    axes.add_patch(Circle((0.0, 0.0), 1.1, facecolor=style.PAPER, edgecolor=style.INK, linewidth=3))
    _scale(axes, dial)
    words: dict[str, Any] = {"ha": "center", "va": "center", "family": style.FONT}
    axes.text(0.0, -0.62, unit_word("pressure", system), fontsize=11, color=style.INK, **words)
    _needle(axes, angle_of(displayed(pressure, "pressure", system), dial))
    return figure


def gauge_tag(pressure: float, highest: float, words: str, system: str = "US") -> str:
    """Return the gauge as an element of HTML, with the words that stand for it."""
    png = drawn_png(gauge_figure(pressure, highest, system))
    wide = round(SIZE * style.DPI) // 2 + 40
    return image_tag(png, words, style=f"width:100%;max-width:{wide}px")


def _scale(axes: "Axes", dial: int) -> None:
    """Draw the divisions, the long ones with their numbers."""
    parts = _PARTS[dial]
    for mark in range(parts * _FINER + 1):
        reading = dial * mark / (parts * _FINER)
        angle, is_long = angle_of(reading, dial), mark % _FINER == 0
        inner = 0.86 if is_long else 0.94
        axes.plot(
            [inner * np.cos(angle), 1.0 * np.cos(angle)],
            [inner * np.sin(angle), 1.0 * np.sin(angle)],
            color=style.INK, linewidth=1.6 if is_long else 0.8,
        )  # fmt: skip
        if is_long:
            axes.text(
                0.7 * np.cos(angle), 0.7 * np.sin(angle), f"{reading:.0f}", ha="center",
                va="center", fontsize=8.5, color=style.INK, family=style.FONT,
            )  # fmt: skip


def _needle(axes: "Axes", angle: float) -> None:
    axes.plot(
        [-0.22 * np.cos(angle), 0.83 * np.cos(angle)],
        [-0.22 * np.sin(angle), 0.83 * np.sin(angle)],
        color=style.VERMILION, linewidth=2.6, solid_capstyle="round", zorder=5,
    )  # fmt: skip
    axes.add_patch(Circle((0.0, 0.0), 0.07, facecolor=style.INK, edgecolor="none", zorder=6))
