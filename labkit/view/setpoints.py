"""Cut-in and cut-out, drawn through both pictures at once.

Beside the trace they are pressures; behind the line they are the heights to which such pressures
would lift water. One scale serves both.
"""

from typing import TYPE_CHECKING, Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from labkit.units import displayed, si
from labkit.view import style
from labkit.view.labels import PATCH, note, place
from labkit.view.language import say
from labkit.view.limits import WATER_COLUMN
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from matplotlib.artist import Artist

    from labkit.trace import Moment, Trace


class SetPoints:
    """The band between cut-in and cut-out, its two edges with their words, and the moment's level.

    Attributes
    ----------
    behind, moving : list of Artist
        What is drawn before, and what after, the lines of the panels.
    """

    def __init__(self, figure: Figure, pressure: Axes, line: Axes, system: str) -> None:
        self.pressure, self.system = pressure, system
        self.left = place(pressure, 0.0, 0.0)[0]
        self.words_at = place(pressure, pressure.get_xlim()[1], 0.0)[0]
        self.manifold = place(line, 0.0, 0.0)[0]
        self.right = place(line, line.get_xlim()[1], 0.0)[0]
        self.band = Rectangle(
            (self.left, 0.0),
            self.right - self.left,
            0.0,
            facecolor=style.BAND,
            edgecolor="none",
            transform=figure.dpi_scale_trans,
            animated=True,
        )
        figure.add_artist(self.band)
        self.edges = {
            "cut-out": _edge(figure, color=style.INK, linestyle=(0, (7, 2))),
            "cut-in": _edge(figure, color=style.INK, linestyle=(0, (2, 2))),
        }
        patch = PATCH | {"alpha": 0.9}
        self.words = {
            name: note(figure, va=va, fontsize=style.SMALL, linespacing=1.25, bbox=patch)
            for name, va in (("cut-out", "bottom"), ("cut-in", "top"))
        }
        self.level = _edge(figure, color=style.BLUE, linestyle=(0, (1, 1.6)))
        self.behind: list[Artist] = [self.band, *self.edges.values()]
        self.moving: list[Artist] = [self.level, *self.words.values()]

    def show(self, trace: "Trace") -> None:
        """Lay the switch of a trace's site into both pictures."""
        switch = trace.site.pressure_switch
        points = {"cut-out": si(switch.cut_out), "cut-in": si(switch.cut_in)}
        heights = {name: self._height(pressure) for name, pressure in points.items()}
        self.band.set_y(heights["cut-in"])
        self.band.set_height(heights["cut-out"] - heights["cut-in"])
        for name, pressure in points.items():
            self.edges[name].set_data([self.left, self.right], [heights[name]] * 2)
            side = 0.03 if name == "cut-out" else -0.03
            self.words[name].set(
                x=self.words_at + 0.07,
                y=heights[name] + side,
                text=WORDS[name].format(
                    pressure=say(pressure, "pressure", self.system),
                    height=say(pressure / WATER_COLUMN, "length", self.system),
                ),
            )

    def point(self, moment: "Moment") -> None:
        """Carry the pressure of the moment across to the manifold."""
        x = place(self.pressure, moment.time / 60.0, 0.0)[0]
        self.level.set_data([x, self.manifold], [self._height(moment.pressure)] * 2)

    def _height(self, pressure: float) -> float:
        """Give how high a pressure [Pa] stands in the picture [in]."""
        return place(self.pressure, 0.0, displayed(pressure, "pressure", self.system))[1]


def _edge(figure: Figure, **look: Any) -> Line2D:
    line = Line2D([], [], linewidth=1.0, transform=figure.dpi_scale_trans, animated=True, **look)
    figure.add_artist(line)
    return line
