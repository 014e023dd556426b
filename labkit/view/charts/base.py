"""Pictures that stand in a lesson beside the bench: a sheet of panels with curves.

A chart is given numbers and draws them; it works nothing out. It is drawn anew for each system of
units and comes with words for one who does not see it.
"""

from typing import Any, Final, Protocol

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from numpy.typing import ArrayLike

from labkit.figures import style
from labkit.figures.axes import HALO, bare, name_axis, title
from labkit.figures.image import drawn_png, image_tag, picture_tag, png_of
from labkit.figures.ticks import nice_step
from labkit.language import say, unit_word
from labkit.text.shared import CHARTS
from labkit.units import displayed
from labkit.view.narrow import make_narrow, narrow_png

TALL: Final = 3.7
"""Height of a chart [in]; it is as wide as the picture of a bench."""
_LEAST: Final = 330  # width of a panel from which on its letters are large enough [px]
_ALONE: Final = 5.0  # width of a chart of a single panel, where there is room [in]
_PHONE: Final = 600  # width of a page up to a phone's [px]


class Chart(Protocol):
    """What a lesson can show with `Lesson.chart`."""

    def draw(self, system: str) -> Figure:
        """Draw it in the units of a system."""
        ...

    def words(self, system: str) -> str:
        """Say what it shows, with its numbers, for one who does not see it."""
        ...


def chart_html(chart: Chart, system: str, *, lead: int = 0) -> str:
    """Return a chart as HTML: an image of each panel, as many side by side as find room.

    So letters are as large on a phone as on a desk and on paper. The leading panel comes first and
    has the words; on a phone's bench it stays in sight while the controls under it are turned. A
    single panel is drawn twice, for a phone and for more room.
    """
    figure = chart.draw(system)
    if sum(axes.get_visible() for axes in figure.axes) == 1:
        narrow = narrow_png(chart.draw(system))
        make_narrow(figure, _ALONE)
        image = image_tag(drawn_png(figure), chart.words(system))
        return _beside(picture_tag(image, narrow, up_to=_PHONE))
    cuts = [round(cut * style.DPI) for cut in make_narrow(figure)]
    canvas = FigureCanvasAgg(figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    wide = round(figure.get_figwidth() * style.DPI)
    look = f"flex:1 1 {_LEAST}px;min-width:0;max-width:min(100%,{wide}px)"
    parts = list(zip([0, *cuts], cuts, strict=False))
    parts.insert(0, parts.pop(lead))
    words = [chart.words(system)] + [""] * (len(parts) - 1)
    return _beside(
        *(
            image_tag(png_of(canvas, slice(top, end)), said, style=look)
            for said, (top, end) in zip(words, parts, strict=True)
        )
    )


def _beside(*images: str) -> str:
    beside = "display:flex;flex-wrap:wrap;align-items:flex-start;gap:4px 12px"
    return f'<div class="labkit-panels" style="{beside}">{"".join(images)}</div>'


def chart_figure(chart: Chart, system: str) -> str:
    """Return a chart as a figure of HTML."""
    return f'<figure style="margin:0.5em 0">{chart_html(chart, system)}</figure>'


def panels(*widths: float, tall: float = TALL) -> tuple[Figure, list[Axes]]:
    """Make a figure with bare panels side by side, in shares of its width."""
    figure = Figure(figsize=(style.WIDTH, tall), dpi=style.DPI, layout=None)
    made = figure.subplots(
        1, len(widths), width_ratios=list(widths), squeeze=False,
        gridspec_kw={"left": 0.072, "right": 0.93, "bottom": 0.15, "top": 0.9, "wspace": 0.22},
    )[0]  # fmt: skip
    for axes in made:
        axes.set_facecolor("none")
        bare(axes)
    return figure, list(made)


def short(value: float, kind: str, system: str) -> str:
    """Write an amount as in prose: ``"50 psi"``, not ``"50.0 psi"``."""
    return say(value, kind, system).replace(".0 ", " ")


def note(
    axes: Axes, at: tuple[float, float], words: str, shift: tuple[float, float], **look: Any
) -> None:
    """Write words at a place of some axes, shifted by points, legible over lines."""
    settings: dict[str, Any] = {
        "color": style.INK, "fontsize": style.TEXT, "fontfamily": style.FONT,
        "path_effects": HALO, "annotation_clip": False,
    }  # fmt: skip
    axes.annotate(words, at, shift, textcoords="offset points", **(settings | look))


class Panel:
    """A panel over two kinds of amounts, given in SI and drawn in the units of a system.

    An empty kind is drawn as it is given.
    """

    def __init__(self, axes: Axes, system: str, across: str = "", up: str = "") -> None:
        self.axes, self.system, self.across, self.up = axes, system, across, up

    def shown(self, value: Any, kind: str) -> Any:
        """Return amounts as they are drawn."""
        return displayed(np.asarray(value, dtype=float), kind, self.system) if kind else value

    def reach(self, *, right: float, top: float, bottom: float = 0.0) -> None:
        """Fix its ends, with round ticks."""
        right, top, bottom = (
            float(self.shown(end, kind))
            for end, kind in ((right, self.across), (top, self.up), (bottom, self.up))
        )
        self.axes.set_xlim(0.0, right)
        self.axes.set_ylim(bottom, top)
        step = nice_step(right, count=5)
        self.axes.set_xticks(np.arange(0.0, right * 1.001, step))
        step = nice_step(top - bottom, count=6)
        self.axes.set_yticks(np.arange(np.ceil(bottom / step) * step, top * 1.001, step))

    def scale(self, words: str, *, across: str, up: str) -> None:
        """Write what it shows over it, and beside its axes what they measure, in which unit."""
        title(self.axes, words)
        sides = (self.axes.xaxis, across, self.across), (self.axes.yaxis, up, self.up)
        for axis, what, kind in sides:
            unit = f" ({unit_word(kind, self.system)})" if kind else ""
            name_axis(axis, f"{what}{unit}")

    def curve(self, x: ArrayLike, y: ArrayLike, **look: Any) -> None:
        """Draw a line."""
        settings: dict[str, Any] = {"linewidth": 1.8}
        self.axes.plot(self.shown(x, self.across), self.shown(y, self.up), **(settings | look))

    def dot(self, x: float, y: float, **look: Any) -> None:
        """Mark a point."""
        settings: dict[str, Any] = {"marker": "o", "markersize": 5.5, "color": style.INK}
        self.curve([x], [y], **(settings | look))

    def write(
        self, x: float, y: float, words: str, shift: tuple[float, float] = (0.0, 0.0), **look: Any
    ) -> None:
        """Write words at a place, shifted by points, legible over lines."""
        at = float(self.shown(x, self.across)), float(self.shown(y, self.up))
        note(self.axes, at, words, shift, **look)

    def level(self, y: float, words: str, *, color: str = style.AMBER) -> None:
        """Draw a dashed line right across at a height, with its name at the right."""
        height = float(self.shown(y, self.up))
        self.axes.axhline(height, color=color, linewidth=1.2, linestyle=(0, (5, 2)))
        end = self.axes.get_xlim()[1]
        note(self.axes, (end, height), words, (-2, 3), ha="right", color=color)

    def sun_mark(self, sun: float, height: float) -> None:
        """Mark the sun that shines now in a panel over sun [W/m2], its name at a height."""
        here = float(self.shown(sun, self.across))
        self.axes.axvline(here, color=style.FAINT, linewidth=0.9, linestyle=(0, (1, 2)))
        near_end = here > 0.8 * self.axes.get_xlim()[1]
        shift, side = ((-3, 0), "right") if near_end else ((3, 0), "left")
        self.write(sun, height, CHARTS["sun now"], shift, color=style.QUIET, ha=side)
