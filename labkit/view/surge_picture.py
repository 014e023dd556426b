"""A surge in one picture: over place and time, its envelope along the line, and at two gauges.

Every line has its own dashes and stands beside its name. Colours of the map grow lighter from low
to high in steps, and where the pressure is lower than before there are dots: all can be read in
black and white.
"""

import io
from textwrap import wrap
from typing import Any, Final, NamedTuple

import numpy as np
from matplotlib import colormaps
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from PIL import Image
from typing_extensions import override

from labkit.arrays import Floats
from labkit.engine.surge_options import VALVE
from labkit.engine.surge_record import Surge
from labkit.figures import style
from labkit.figures.axes import add_axes, name_axis, title
from labkit.figures.scene import shortened
from labkit.figures.ticks import nice_step, plain_tick
from labkit.language import say, say_time, unit_word
from labkit.parts import MANIFOLD
from labkit.units import displayed, si
from labkit.view.narrow import StillImage
from labkit.view.surge_words import WORDS, surge_alt, surge_lines

COLOURS: Final = "cividis"
"""Colours of the map, even to colour-blind eyes (Nunez, Anderton & Renslow 2018, PLoS ONE 13:
e0199239)."""

AS_BEFORE: Final = 0.3  # where in the colours no change stands, whatever else a map spans

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


def draw_map(figure: Figure, surge: Surge, system: str) -> Axes:
    """Draw the map with its bar of colours into a surge's picture; give its axes."""
    axes, runs = add_axes(figure, *_MAP), surge.path()
    # until a wave has run a few times to and fro on the way shown
    acting = surge.closing_time if surge.event == VALVE else 0.0
    shown = surge.frames <= acting + _CROSSINGS * sum(run.reaches for run in runs) * surge.dt
    way = _joined([run.distance for run in runs])
    change = surge.weight * _joined([run.head - run.steady for run in runs])[shown]
    x, y = displayed(way, "length", system), surge.frames[shown]
    _colour(figure, axes, (x, y), displayed(change, "pressure", system))
    axes.set(xlim=(x[0], x[-1]), ylim=(y[0], y[-1]))
    axes.grid(visible=False)
    axes.xaxis.set_major_formatter(plain_tick)
    name_axis(axes.yaxis, WORDS["time title"].format(unit="s"))
    words = WORDS["map title"].format(unit=unit_word("pressure", system))
    title(axes, words, over=_TITLE_OVER)
    _name_places(axes, surge, system)
    _follow(axes, surge, system)
    return axes


def first_wave(surge: Surge) -> list[Stop]:
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


def _name_places(axes: Axes, surge: Surge, system: str) -> None:
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


def _follow(axes: Axes, surge: Surge, system: str) -> None:
    """Draw the way of the first wave and name what it comes to."""
    stops, (low, high) = first_wave(surge), axes.get_ylim()
    way = [displayed(stop.distance, "length", system) for stop in stops]
    times = [stop.time for stop in stops]
    axes.plot(way, times, color=style.PAPER, linewidth=3.0, scalex=False, scaley=False)
    axes.plot(
        way, times, color=style.INK, linewidth=1.2, linestyle=(0, (4, 2)), scalex=False,
        scaley=False,
    )  # fmt: skip
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


LOOKS: Final[dict[str, dict[str, Any]]] = {
    "steady": {"color": style.BLUE, "linestyle": "solid", "linewidth": 1.8},
    "highest line": {"color": style.VERMILION, "linestyle": (0, (5, 1.8)), "linewidth": 1.6},
    "lowest line": {"color": style.PLUM, "linestyle": (0, (1.2, 1.4)), "linewidth": 1.6},
    "ground": {"color": style.GROUND, "linestyle": "solid", "linewidth": 1.2},
    "rating": {"color": style.INK, "linestyle": (0, (6, 1.6, 1.2, 1.6)), "linewidth": 1.0},
    "vapour": {"color": style.INK, "linestyle": (0, (2, 2)), "linewidth": 1.5},
}

_ENVELOPE: Final = (78, 462, 590, 742)
_HISTORY: Final = (740, 34, 1060, 372)
_WORDS: Final = (700, 444)
_WRAP: Final = 56
_SPACED: Final = 1.45
_MOST_LINES: Final = 16
"""Distance of lines of text; more lines than so many stand closer."""
_ROOM: Final = 0.06
_NAMES: Final = 4.0
_SEEN: Final = 0.25
"""Room kept around the lines, as a share of their reach, how often over it for their names, and the
share of a line in sight from which it has one."""


class SurgePicture:
    """The picture of a surge, along the way from the well to its trough."""

    def __init__(self, surge: Surge, *, system: str) -> None:
        self.surge, self.system = surge, system
        self.runs = surge.path()
        self.figure = Figure(figsize=(style.WIDTH, style.HEIGHT), dpi=style.DPI, layout=None)
        self.canvas = FigureCanvasAgg(self.figure)
        # the lines of the envelope and the history by what they show
        self.lines: dict[str, Any] = {}
        self.way = self._along([run.distance for run in self.runs])
        # pressure over distance and time; the grade line's reach; pressure at two gauges
        self.map = draw_map(self.figure, surge, system)
        self.envelope = add_axes(self.figure, *_ENVELOPE)
        self.history = add_axes(self.figure, *_HISTORY)
        self._draw_envelope()
        self._draw_history()
        self._write()

    def png(self) -> bytes:
        """Return the picture."""
        self.canvas.draw()  # type: ignore[no-untyped-call]
        dots = np.asarray(self.canvas.buffer_rgba())  # type: ignore[no-untyped-call]
        out = io.BytesIO()
        Image.fromarray(dots).convert("RGB").save(out, "png")
        return out.getvalue()

    def _along(self, pieces: list[Floats]) -> Floats:
        """Join lengths of the runs along the way, in display units."""
        return np.asarray(displayed(_joined(pieces), "length", self.system))

    def _draw_envelope(self) -> None:
        """Draw the grade line before, and how far up and down it swings."""
        runs, weight = self.runs, self.surge.weight
        heights = {
            "ground": [run.elevation for run in runs],
            "vapour": [run.elevation + self.surge.vapour_pressure / weight for run in runs],
            "rating": [run.elevation + run.rating / weight for run in runs],
            "steady": [run.steady for run in runs],
            "highest line": [run.highest for run in runs],
            "lowest line": [run.lowest for run in runs],
        }
        drawn = {name: self._along(pieces) for name, pieces in heights.items()}
        out = self.way >= 0.0  # the well itself would dwarf the rest
        deep = ("ground", "lowest line", *(("vapour",) if self.surge.boils else ()))
        low = min(float(drawn[name][out].min()) for name in deep)
        high = max(float(drawn[name][out].max()) for name in ("ground", "highest line"))
        room = _ROOM * max(high - low, 1.0)
        self.envelope.set(xlim=self.map.get_xlim(), ylim=(low - room, high + _NAMES * room))
        self.envelope.fill_between(
            self.way, drawn["lowest line"], drawn["highest line"], color=style.BAND, linewidth=0.0
        )
        for name, values in drawn.items():
            (line,) = self.envelope.plot(self.way, values, **LOOKS[name])
            self.lines[name] = line
        self._name_lines(self.envelope, {name: WORDS[name] for name in drawn}, columns=3)
        title(self.envelope, WORDS["envelope title"].format(unit=unit_word("length", self.system)))
        words = WORDS["distance title"].format(
            trough=shortened(self.surge.trough), unit=unit_word("length", self.system)
        )
        name_axis(self.envelope.xaxis, words)

    def _draw_history(self) -> None:
        surge, axes = self.surge, self.history
        looks = {"switch": LOOKS["steady"], "valve": LOOKS["highest line"]}
        for name, node in (("switch", MANIFOLD), ("valve", surge.trough)):
            values = displayed(surge.pressure[node], "pressure", self.system)
            (line,) = axes.plot(surge.time, values, **looks[name])
            self.lines[name] = line
        cut_out = displayed(si(surge.site.pressure_switch.cut_out), "pressure", self.system)
        self.lines["cut-out"] = axes.axhline(
            cut_out, color=style.INK, linewidth=1.0, linestyle=(0, (7, 2))
        )
        drawn = np.concatenate([self.lines[name].get_ydata() for name in ("switch", "valve")])
        low, high = min(0.0, float(drawn.min())), max(float(drawn.max()), float(cut_out))
        room = _ROOM * (high - low)
        axes.set(xlim=(0.0, surge.time[-1]), ylim=(low - room, high + _NAMES * room))
        words = {
            "switch": WORDS["switch"],
            "valve": WORDS["valve"].format(trough=shortened(surge.trough)),
            "cut-out": WORDS["cut-out"].format(
                pressure=say(si(surge.site.pressure_switch.cut_out), "pressure", self.system)
            ),
        }
        self._name_lines(axes, words, columns=2)
        title(axes, WORDS["history title"].format(unit=unit_word("pressure", self.system)))
        name_axis(axes.xaxis, WORDS["time title"].format(unit="s"))

    def _name_lines(self, axes: Axes, words: dict[str, str], *, columns: int) -> None:
        """List the lines that can be seen, each with a sample, in the room above them."""
        low, high = axes.get_ylim()
        heights = {name: np.asarray(self.lines[name].get_ydata()) for name in words}
        seen = [n for n, y in heights.items() if np.mean((y >= low) & (y <= high)) >= _SEEN]
        legend = axes.legend(
            [self.lines[name] for name in seen],
            [words[name] for name in seen],
            prop={"family": style.FONT, "size": style.SMALL},
            loc="upper left", framealpha=0.85, edgecolor="none", handlelength=2.6,
            labelspacing=0.25, ncols=columns,
        )  # fmt: skip
        legend.set_zorder(5)

    def _write(self) -> None:
        lines = [
            part
            for line in surge_lines(self.surge, self.system)
            for part in wrap(line, _WRAP, subsequent_indent="   ")
        ]
        x, y = _WORDS[0] / style.DPI / style.WIDTH, 1.0 - _WORDS[1] / style.DPI / style.HEIGHT
        self.figure.text(
            x, y, "\n".join(lines), color=style.INK, fontsize=style.TEXT, fontfamily=style.FONT,
            va="top", linespacing=_SPACED * min(1.0, _MOST_LINES / len(lines)),
        )  # fmt: skip


class SurgeImage(StillImage["Surge"]):
    """The head along the line over time, its reach, and the pressure at two gauges."""

    @override
    def draw(self, system: str) -> Figure:
        return SurgePicture(self.found, system=system).figure

    @override
    def words(self, system: str) -> str:
        return surge_alt(self.found, system)

    @property
    @override
    def png(self) -> bytes:
        return SurgePicture(self.found, system=self.units).png()
