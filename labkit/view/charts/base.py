"""Pictures that stand in a lesson beside the bench: a sheet of panels with curves.

A chart is given numbers and draws them; it works nothing out. It is drawn anew for each system of
units and comes with words for one who does not see it.
"""

from typing import Any, Final, Protocol

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Annotation
from numpy.typing import ArrayLike, NDArray

from labkit.figures import style
from labkit.figures.axes import HALO, bare, title
from labkit.figures.image import drawn_png, image_tag, picture_tag, png_of
from labkit.figures.ticks import nice_step, plain_tick
from labkit.language import say, unit_word
from labkit.text.shared import CHARTS
from labkit.units import displayed
from labkit.view.narrow import make_narrow, narrow_png

Floats = NDArray[np.float64]
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


def scale(
    axes: Axes, system: str, *, across: tuple[str, str], up: tuple[str, str], words: str
) -> None:
    """Name a panel and its axes, each as (what, kind); the kind gives the unit."""
    title(axes, words)
    look: dict[str, Any] = {
        "color": style.QUIET, "fontsize": style.TEXT, "fontfamily": style.FONT,
    }  # fmt: skip
    axes.set_xlabel(f"{across[0]} ({unit_word(across[1], system)})", **look)
    axes.set_ylabel(f"{up[0]} ({unit_word(up[1], system)})", **look)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_formatter(plain_tick)


def reach(axes: Axes, *, right: float, top: float, bottom: float = 0.0) -> None:
    """Fix the ends of a panel in display units, with round ticks."""
    axes.set_xlim(0.0, right)
    axes.set_ylim(bottom, top)
    step = nice_step(right, count=5)
    axes.set_xticks(np.arange(0.0, right * 1.001, step))
    step = nice_step(top - bottom, count=6)
    axes.set_yticks(np.arange(np.ceil(bottom / step) * step, top * 1.001, step))


def short(value: float, kind: str, system: str) -> str:
    """Write an amount as in prose: ``"50 psi"``, not ``"50.0 psi"``."""
    return say(value, kind, system).replace(".0 ", " ")


def sun_mark(axes: Axes, sun: float, height: float) -> None:
    """Mark the sun that shines now in a panel over sun [W/m2], its name at a height."""
    axes.axvline(sun, color=style.FAINT, linewidth=0.9, linestyle=(0, (1, 2)))
    near_end = sun > 0.8 * axes.get_xlim()[1]
    look = {"shift": (-3, 0), "ha": "right"} if near_end else {"shift": (3, 0)}
    write(axes, sun, height, CHARTS["sun now"], color=style.QUIET, **look)


def curve(
    axes: Axes, x: ArrayLike, y: ArrayLike, *, kinds: tuple[str, str], system: str, **look: Any
) -> None:
    """Draw SI values in display units."""
    settings: dict[str, Any] = {"linewidth": 1.8}
    axes.plot(
        displayed(np.asarray(x, dtype=float), kinds[0], system),
        displayed(np.asarray(y, dtype=float), kinds[1], system),
        **(settings | look),
    )


def write(
    axes: Axes,
    x: float,
    y: float,
    words: str,
    *,
    shift: tuple[float, float] = (0.0, 0.0),
    **look: Any,
) -> Annotation:
    """Write words at a place in display units, shifted by points, legible over lines."""
    settings: dict[str, Any] = {
        "color": style.INK, "fontsize": style.TEXT, "fontfamily": style.FONT,
        "path_effects": HALO, "annotation_clip": False,
    }  # fmt: skip
    return axes.annotate(words, (x, y), shift, textcoords="offset points", **(settings | look))


def level(axes: Axes, y: float, words: str, *, color: str = style.AMBER, **look: Any) -> None:
    """Draw a dashed line right across at a height in display units, with its name at the right."""
    axes.axhline(y, color=color, linewidth=1.2, linestyle=(0, (5, 2)))
    right = axes.get_xlim()[1]
    write(axes, right, y, words, shift=(-2, 3), ha="right", **({"color": color} | look))


def dot(axes: Axes, x: float, y: float, **look: Any) -> None:
    """Mark a point in display units."""
    settings: dict[str, Any] = {"marker": "o", "markersize": 5.5, "color": style.INK}
    axes.plot([x], [y], **(settings | look))
