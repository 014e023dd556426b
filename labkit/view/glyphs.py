"""Small signs in the drawing of the line: trough with float, drip, pump, manifold.

Each is told apart by its shape. Places are in inches from the figure's bottom left corner.
"""

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, Polygon

from labkit.trace.measures import SHUT
from labkit.view import style

if TYPE_CHECKING:
    from matplotlib.artist import Artist

Place = tuple[float, float]

TROUGH_WIDTH: Final = 0.27
TROUGH_HEIGHT: Final = 0.125
"""Size of a trough in the drawing [in]; not to scale, for a true one would be too flat to see."""

_VALVE: Final = 0.05
_BALL: Final = 0.026


class TroughSign:
    """A trough with its water, its float and its valve.

    Shut: the arm lies level and the valve is filled. Open: the arm hangs, the valve is hollow and
    water runs from it.
    """

    def __init__(self, figure: Figure, color: str) -> None:
        self.water = _shape(figure, facecolor=style.WATER, edgecolor="none")
        self.wall = stroke(figure, color=style.INK, linewidth=1.5, solid_capstyle="butt")
        self.arm = stroke(figure, color=style.INK, linewidth=1.1)
        self.stream = stroke(figure, color=style.BLUE, linewidth=1.6, linestyle=(0, (1.5, 0.8)))
        self.valve = _shape(figure, facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.1)
        self.ball = Circle(
            (0.0, 0.0),
            _BALL,
            facecolor=color,
            edgecolor=style.INK,
            linewidth=0.8,
            transform=figure.dpi_scale_trans,
            animated=True,
        )
        figure.add_artist(self.ball)
        self.moving: list[Artist] = [
            self.water,
            self.stream,
            self.wall,
            self.arm,
            self.valve,
            self.ball,
        ]

    def show(self, at: Place, *, share: float, opening: float) -> None:
        """Draw it standing at a place.

        Parameters
        ----------
        at : tuple of float
            Middle of its floor.
        share : float
            How much of its depth the water takes, 0 to 1.
        opening : float
            How far the float valve is open, 0 to 1.
        """
        x, y = at
        left, right = x - TROUGH_WIDTH / 2.0, x + TROUGH_WIDTH / 2.0
        top = y + TROUGH_HEIGHT
        surface = y + TROUGH_HEIGHT * min(max(share, 0.0), 1.0)
        self.wall.set_data([left, left, right, right], [top, y, y, top])
        self.water.set_xy([(left, y), (left, surface), (right, surface), (right, y)])
        pivot = (left, top + 0.045)
        is_open = opening >= SHUT
        drop = 0.075 if is_open else 0.0
        ball = (pivot[0] + 0.12, pivot[1] - drop)
        self.arm.set_data([pivot[0], ball[0]], [pivot[1], ball[1]])
        self.ball.set_center(ball)
        half = _VALVE / 2.0
        corners = [(-half, -half), (-half, half), (half, half), (half, -half)]
        self.valve.set_xy([(pivot[0] + dx, pivot[1] + dy) for dx, dy in corners])
        self.valve.set_facecolor(style.PAPER if is_open else style.INK)
        self.stream.set_data([pivot[0] + 0.035] * 2, [pivot[1] - half, max(surface, y)])
        self.stream.set_visible(is_open)


class SensorSign:
    """A level sensor on the wall of a trough: a wedge at the water at which it says full.

    Hollow while it says room, filled while it says full; one with a radio carries a mast.
    """

    def __init__(self, figure: Figure) -> None:
        self.wedge = _shape(figure, facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.0)
        self.mast = stroke(figure, color=style.INK, linewidth=1.0)
        self.moving: list[Artist] = [self.mast, self.wedge]

    def show(self, at: Place, *, mark: float, full: bool, by_radio: bool) -> None:
        """Draw it at a trough.

        Parameters
        ----------
        at : tuple of float
            Middle of the trough's floor.
        mark : float
            Share of the trough's depth at which it says full.
        full, by_radio : bool
            Whether it says full, and whether it speaks by radio.
        """
        x, y = at[0] + TROUGH_WIDTH / 2.0, at[1] + TROUGH_HEIGHT * mark
        self.wedge.set_xy([(x - 0.08, y), (x, y + 0.036), (x, y - 0.036)])
        self.wedge.set_facecolor(style.INK if full else style.PAPER)
        foot = at[1] + TROUGH_HEIGHT
        top = foot + 0.09
        self.mast.set_data([x, x, x - 0.03, x, x + 0.03], [foot, top, top + 0.03, top, top + 0.03])
        self.wedge.set_visible(True)
        self.mast.set_visible(by_radio)

    def hide(self) -> None:
        """Show none."""
        self.wedge.set_visible(False)
        self.mast.set_visible(False)


class Drip:
    """A falling drop, where water leaves the line."""

    def __init__(self, figure: Figure) -> None:
        self.drop = _shape(figure, facecolor=style.VERMILION, edgecolor=style.PAPER, linewidth=0.7)
        self.moving: list[Artist] = [self.drop]

    def show(self, at: Place) -> None:
        """Draw it hanging from a place."""
        angle = np.linspace(0.25 * np.pi, -1.25 * np.pi, 24)
        round_part = np.column_stack([0.034 * np.cos(angle), 0.034 * np.sin(angle) - 0.085])
        outline = np.vstack([[0.0, -0.012], round_part])
        self.drop.set_xy(outline + np.asarray(at))
        self.drop.set_visible(True)

    def hide(self) -> None:
        """Show none."""
        self.drop.set_visible(False)


class WellSign:
    """The well with its pump, and the manifold at its head; depths are not to scale.

    While the pump delivers, chevrons climb the drop pipe.
    """

    def __init__(self, figure: Figure) -> None:
        self.water = _shape(figure, facecolor=style.WATER, edgecolor="none")
        self.casing = [stroke(figure, color=style.GROUND, linewidth=1.3) for _ in range(2)]
        self.pipe = stroke(figure, color=style.INK, linewidth=1.6)
        self.pump = _shape(figure, facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.2)
        self.chevrons = stroke(
            figure, color=style.BLUE, linestyle="none", marker="^", markersize=4.6
        )
        self.gauge = Circle(
            (0.0, 0.0),
            0.05,
            facecolor=style.PAPER,
            edgecolor=style.INK,
            linewidth=1.2,
            transform=figure.dpi_scale_trans,
            animated=True,
        )
        self.needle = stroke(figure, color=style.INK, linewidth=1.1)
        figure.add_artist(self.gauge)
        self.moving: list[Artist] = [
            self.water,
            *self.casing,
            self.pipe,
            self.pump,
            self.chevrons,
            self.gauge,
            self.needle,
        ]

    def show(self, at: Place, *, well: float, floor: float, flowing: bool, share: float) -> None:
        """Draw it.

        Parameters
        ----------
        at : tuple of float
            The manifold, at ground level.
        well, floor : float
            Middle of the well, and the lowest point drawn.
        flowing : bool
            Whether the pump delivers.
        share : float
            Where the needle of the gauge stands, 0 to 1.
        """
        x, y = at
        depth = y - floor
        for line, side in zip(self.casing, (-0.075, 0.075), strict=True):
            line.set_data([well + side] * 2, [floor, y + 0.05])
        surface = floor + 0.42 * depth
        inner = 0.068
        self.water.set_xy(
            [
                (well - inner, floor),
                (well - inner, surface),
                (well + inner, surface),
                (well + inner, floor),
            ]
        )
        pump_top = floor + 0.3 * depth
        self.pipe.set_data([well, well, x], [pump_top, y - 0.055, y - 0.055])
        half, tall = 0.036, 0.2 * depth
        corners = [(-half, 0.0), (-half, -tall), (half, -tall), (half, 0.0)]
        self.pump.set_xy([(well + dx, pump_top + dy) for dx, dy in corners])
        self.pump.set_facecolor(style.BLUE if flowing else style.PAPER)
        self.chevrons.set_data(
            [well] * 3, [pump_top + share_up * (y - pump_top) for share_up in (0.2, 0.45, 0.7)]
        )
        self.chevrons.set_visible(flowing)
        self._gauge(x, y + 0.075, share)

    def _gauge(self, x: float, y: float, share: float) -> None:
        angle = np.pi * (1.2 - 1.4 * min(max(share, 0.0), 1.0))
        self.gauge.set_center((x, y))
        self.needle.set_data([x, x + 0.04 * np.cos(angle)], [y, y + 0.04 * np.sin(angle)])


def stroke(figure: Figure, **look: Any) -> Line2D:
    """Make an empty line that is placed in inches."""
    line = Line2D([], [], transform=figure.dpi_scale_trans, animated=True, **look)
    figure.add_artist(line)
    return line


def _shape(figure: Figure, **look: Any) -> Polygon:
    """Make a closed shape that is placed in inches."""
    shape = Polygon(
        np.zeros((3, 2)),
        closed=True,
        transform=figure.dpi_scale_trans,
        animated=True,
        **look,
    )
    figure.add_artist(shape)
    return shape
