"""The map of a surge: how far the pressure has changed, over place and time, with names on it.

Colours grow lighter from low to high in steps, and where the pressure is lower than before there
are dots, so that it can be read in black and white. Words name what stands along the pipe and what
the first wave comes to.
"""

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
from matplotlib import colormaps
from matplotlib.axes import Axes
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from numpy.typing import NDArray

from labkit.engine.surge_options import VALVE
from labkit.figures import style
from labkit.figures.axes import add_axes, title
from labkit.figures.scene import shortened
from labkit.figures.ticks import nice_step, plain_tick
from labkit.language import say_time, unit_word
from labkit.parts import MANIFOLD
from labkit.units import displayed
from labkit.view.surge_words import WORDS

if TYPE_CHECKING:
    from labkit.engine.surge_record import Surge

Floats = NDArray[np.float64]

COLOURS: Final = "cividis"
"""Colours of the map, even to colour-blind eyes (Nunez, Anderton & Renslow 2018, PLoS ONE 13:
e0199239)."""

AS_BEFORE: Final = 0.3
"""Where in the colours no change stands, whatever else a map spans."""

_MAP: Final = (78, 52, 590, 372)
_BAR: Final = (606, 70, 620, 352)
_TITLE_OVER: Final = 17.0
"""The title stands over the names along the pipe [points]."""
_STEPS: Final = 9
_CROSSINGS: Final = 6.0
_APART: Final = 0.07
"""Names closer than this share of the time shown would lie on each other."""
_DOTS: Final = "..."
_UNDER: Final = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 0.9, "alpha": 0.88}


class Stop(NamedTuple):
    """A place that the first wave comes to: how far along [m], when [s], and what to say of it."""

    distance: float
    time: float
    words: str


def draw_map(figure: Figure, surge: "Surge", system: str) -> Axes:
    """Draw the map with its bar of colours into a surge's picture; give its axes."""
    axes, runs = add_axes(figure, *_MAP), surge.path()
    way, shown = _joined([run.distance for run in runs]), surge.frames <= _telling_time(surge)
    change = surge.weight * _joined([run.head - run.steady for run in runs])[shown]
    x, y = displayed(way, "length", system), surge.frames[shown]
    _colour(figure, axes, (x, y), displayed(change, "pressure", system))
    axes.set(xlim=(x[0], x[-1]), ylim=(y[0], y[-1]))
    axes.grid(visible=False)
    axes.xaxis.set_major_formatter(plain_tick)
    axes.yaxis.set_major_formatter(plain_tick)
    words = WORDS["map title"].format(unit=unit_word("pressure", system))
    title(axes, words, over=_TITLE_OVER)
    axes.set_ylabel(
        WORDS["time title"].format(unit="s"), color=style.QUIET, fontsize=style.TEXT,
        fontfamily=style.FONT,
    )  # fmt: skip
    _name_places(axes, surge, system)
    _follow(axes, surge, system)
    return axes


def first_wave(surge: "Surge") -> list[Stop]:
    """Return where the first wave goes: out from where it is made, to the other end, and back."""
    way, time = [surge.distance[MANIFOLD]], [0.0]
    for run in surge.path():
        if run.distance[0] >= surge.distance[MANIFOLD]:
            way.append(float(run.distance[-1]))
            time.append(time[-1] + run.reaches * surge.dt)
    travel = time[-1]
    out = list(zip(way, time, strict=True))
    back = [(where, 2.0 * travel - when) for where, when in reversed(out[:-1])]
    keys = ("wave at trough", "wave back at switch")
    if surge.event == VALVE:
        out = [(where, travel - when) for where, when in reversed(out)]
        back = [(where, 2.0 * travel - when) for where, when in reversed(out[:-1])]
        keys = ("wave at switch", "wave back at valve")
    names = [""] * len(out + back)
    for place, key in zip((len(out) - 1, -1), keys, strict=True):
        when = (out + back)[place][1]
        names[place] = WORDS[key].format(time=say_time(when), trough=shortened(surge.trough))
    if surge.event == VALVE and surge.closing_time > 0.0:
        names[0] = WORDS["valve is shut"].format(time=say_time(surge.closing_time))
    return [Stop(*at, words) for at, words in zip(out + back, names, strict=True)]


def _joined(pieces: list[Floats]) -> Floats:
    return np.concatenate(pieces, axis=-1)


def _telling_time(surge: "Surge") -> float:
    """Return the time [s] until a wave has run a few times to and fro on the way shown."""
    travel = sum(run.reaches for run in surge.path()) * surge.dt
    acting = surge.closing_time if surge.event == VALVE else 0.0
    return acting + _CROSSINGS * travel


def _colour(figure: Figure, axes: Axes, at: tuple[Any, Any], change: Any) -> None:
    """Colour the change [display units] in steps that stand out in grey; dot what is lower."""
    low, high = float(change.min()), float(change.max())
    step = nice_step(max(high - low, 1e-3), count=_STEPS)
    middles = np.arange(np.rint(low / step), np.rint(high / step) + 1.5) + 0.0
    levels = (np.append(middles, middles[-1] + 1.0) - 0.5) * step
    colours = axes.pcolormesh(
        *np.meshgrid(*at), change, cmap=_steps_of_colour(middles), shading="nearest",
        norm=BoundaryNorm(levels.tolist(), middles.size), rasterized=True,
    )  # fmt: skip
    if low < -0.5 * step:
        dots = axes.contourf(
            *at, change, levels=[low - step, -0.5 * step], colors="none", hatches=[_DOTS]
        )
        dots.set(edgecolor=style.PAPER, linewidth=0.0)
    bar = add_axes(figure, *_BAR)
    bar_of = figure.colorbar(colours, cax=bar, ticks=(middles * step).tolist())
    bar_of.ax.set_yticklabels(
        [WORDS["bar as before"] if tick == 0.0 else plain_tick(tick) for tick in middles * step]
    )
    _dress(bar, levels[0], min(-0.5 * step, levels[-1]))


def _steps_of_colour(middles: Floats) -> ListedColormap:
    """Return a colour for each step: lighter upward, darker downward, and the same one for none."""
    low, high = max(-float(middles[0]), 1.0), max(float(middles[-1]), 1.0)
    under, over = AS_BEFORE / low, (1.0 - AS_BEFORE) / high
    at = AS_BEFORE + np.where(middles < 0.0, under, over) * middles
    return ListedColormap(colormaps[COLOURS](at))


def _dress(bar: Axes, low: float, before: float) -> None:
    """Say at the bar's ends which way is up, and dot it as the map is dotted."""
    bar.grid(visible=False)
    bar.minorticks_off()
    bar.tick_params(colors=style.QUIET, labelsize=style.SMALL, length=2.5, width=0.8)
    for spine in bar.spines.values():
        spine.set(color=style.FAINT, linewidth=0.8)
    if low < before:
        dotted = Rectangle((0.0, low), 1.0, before - low, hatch=_DOTS, facecolor="none")
        dotted.set(edgecolor=style.PAPER, linewidth=0.0)
        bar.add_patch(dotted)
    look = {"xycoords": "axes fraction", "ha": "left"}
    _name(bar, (-0.4, 1.0), WORDS["bar higher"], shift=(0, 4), **look)
    lower = WORDS["bar lower"] if low < before else WORDS["bar not lower"]
    _name(bar, (-0.4, 0.0), lower, shift=(0, -4), va="top", **look)


def _name_places(axes: Axes, surge: "Surge", system: str) -> None:
    """Name pump, switch and trough over the map, where they stand."""
    left, right = axes.get_xlim()
    key = "place valve" if surge.event == VALVE else "place trough"
    switch = displayed(surge.distance[MANIFOLD], "length", system)
    names = [(switch, WORDS["place switch"], "left"),
             (right, WORDS[key].format(trough=shortened(surge.trough)), "right")]  # fmt: skip
    if left < switch:
        names.append((left, WORDS["place pump"], "right"))
        axes.axvline(switch, color=style.PAPER, linewidth=1.6)
        axes.axvline(switch, color=style.INK, linewidth=0.8, linestyle=(0, (2, 2)))
    top = axes.get_ylim()[1]
    for x, words, side in names:
        _name(axes, (x, top), words, shift=(0, 3), ha=side, fontweight="bold")


def _follow(axes: Axes, surge: "Surge", system: str) -> None:
    """Draw the way of the first wave and name what it comes to."""
    stops, (low, high) = first_wave(surge), axes.get_ylim()
    way = [displayed(stop.distance, "length", system) for stop in stops]
    times = [stop.time for stop in stops]
    axes.plot(way, times, color=style.PAPER, linewidth=3.0, scalex=False, scaley=False)
    axes.plot(
        way,
        times,
        color=style.INK,
        linewidth=1.2,
        linestyle=(0, (4, 2)),
        scalex=False,
        scaley=False,
    )
    middle = 0.5 * sum(axes.get_xlim())
    for x, stop in sorted(zip(way, stops, strict=True), key=lambda each: each[1].time):
        when = surge.closing_time if stop is stops[0] and stop.words else stop.time
        if not stop.words or when > high:
            continue
        if stop is stops[0] and abs(when - stops[-1].time) < _APART * (high - low):
            continue
        side, away = ("right", -5.0) if x > middle else ("left", 5.0)
        axes.plot([x], [when], "o", color=style.INK, markersize=4.0, clip_on=False, zorder=5)
        _name(axes, (x, when), stop.words, shift=(away, 2.0), ha=side, bbox=_UNDER)


def _name(
    axes: Axes, at: tuple[float, float], words: str, *, shift: tuple[float, float], **look: Any
) -> None:
    """Write small words beside a place, shifted by points."""
    axes.annotate(
        words, at, shift, textcoords="offset points", color=style.INK, fontsize=style.SMALL,
        fontfamily=style.FONT, annotation_clip=False, zorder=6, **look,
    )  # fmt: skip
