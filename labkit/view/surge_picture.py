"""A surge in one picture: over place and time, its envelope along the line, and at two gauges.

Every line has its own dashes and stands beside its name, so that it can be read in black and white;
of the map see `labkit.view.surge_map`.
"""

import io
from textwrap import wrap
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from numpy.typing import NDArray
from PIL import Image

from labkit.figures import style
from labkit.figures.axes import add_axes, title
from labkit.figures.image import StillImage
from labkit.figures.scene import shortened
from labkit.figures.ticks import plain_tick
from labkit.language import say, unit_word
from labkit.parts import MANIFOLD
from labkit.units import displayed, si
from labkit.view.narrow import narrow_png
from labkit.view.surge_map import draw_map
from labkit.view.surge_words import WORDS, surge_alt, surge_lines

if TYPE_CHECKING:
    from labkit.engine.surge_record import Surge

Floats = NDArray[np.float64]

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

    def __init__(self, surge: "Surge", *, system: str) -> None:
        self.surge, self.system = surge, system
        self.runs = surge.path()
        self.figure = Figure(figsize=(style.WIDTH, style.HEIGHT), dpi=style.DPI, layout=None)
        self.canvas = FigureCanvasAgg(self.figure)
        # the lines of the envelope and the history by what they show
        self.lines: dict[str, Any] = {}
        self.way = self._along([run.distance for run in self.runs], "length")
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

    def _along(self, pieces: list[Floats], kind: str) -> Floats:
        """Join values of the runs along the way, in display units."""
        return np.asarray(displayed(np.concatenate(pieces, axis=-1), kind, self.system))

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
        drawn = {name: self._along(pieces, "length") for name, pieces in heights.items()}
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
        self._name_axis(self.envelope.xaxis, words)

    def _draw_history(self) -> None:
        """Draw the pressure at the switch and at the trough."""
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
        self._name_axis(axes.xaxis, WORDS["time title"].format(unit="s"))

    def _name_lines(self, axes: Axes, words: dict[str, str], *, columns: int) -> None:
        """List the lines that can be seen, each with a sample, in the room above them."""
        low, high = axes.get_ylim()
        seen = [
            name
            for name in words
            if np.mean((np.asarray(self.lines[name].get_ydata()) >= low)
                       & (np.asarray(self.lines[name].get_ydata()) <= high)) >= _SEEN
        ]  # fmt: skip
        legend = axes.legend(
            [self.lines[name] for name in seen],
            [words[name] for name in seen],
            prop={"family": style.FONT, "size": style.SMALL},
            loc="upper left",
            framealpha=0.85,
            edgecolor="none",
            handlelength=2.6,
            labelspacing=0.25,
            ncols=columns,
        )
        legend.set_zorder(5)

    def _write(self) -> None:
        """Write what it comes to."""
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

    @staticmethod
    def _name_axis(axis: Any, words: str) -> None:
        axis.set_major_formatter(plain_tick)
        axis.set_label_text(words, color=style.QUIET, fontsize=style.TEXT, fontfamily=style.FONT)


class SurgeImage(StillImage):
    """A surge in picture and words, as a page shows it."""

    def __init__(self, surge: "Surge", units: str = "US") -> None:
        picture = SurgePicture(surge, system=units)
        png = picture.png()  # before its figure becomes a narrow one
        super().__init__(png, surge_alt(surge, units), narrow_png(picture.figure))
