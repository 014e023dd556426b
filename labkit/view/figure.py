"""Both pictures in one Figure that lives as long as its bench.

What stays is drawn once and kept; only what moves is drawn for each new run or moment. The Figure
is built by hand, never by pyplot, since that keeps global state that other threads may touch.
"""

from typing import TYPE_CHECKING

from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from labkit.view import style
from labkit.view.drawing import LinePanel
from labkit.view.image import png_of
from labkit.view.language import happened_by, moment_lines
from labkit.view.letters import Letters
from labkit.view.limits import WATER_COLUMN, Limits
from labkit.view.moment import MOST_EVENTS, MomentCard, telling_moment
from labkit.view.panels import TracePanels
from labkit.view.setpoints import SetPoints

if TYPE_CHECKING:
    from labkit.trace import Trace


class Picture:
    """The trace and the line, linked at one moment.

    Parameters
    ----------
    limits : Limits
        How far the axes reach; they grow when a trace goes beyond.
    system : {"US", "metric"}
        Whose units.
    troughs : tuple of str
        Names of the troughs.
    """

    def __init__(self, limits: Limits, *, system: str, troughs: tuple[str, ...]) -> None:
        self.limits, self.system, self.troughs = limits, system, troughs
        self._build()

    def show(self, trace: "Trace", time: float | None = None) -> None:
        """Take in a trace, and mark a moment of it [s]; without one, the most telling moment."""
        wanted = self.limits.holding(Limits.of_trace(trace))
        if wanted != self.limits:
            self.limits = wanted.with_room(self.limits)
            self._build()
        self.trace_panels.show(trace)
        self.set_points.show(trace)
        self.line_panel.show(trace)
        self.point(trace, telling_moment(trace) if time is None else time)

    def point(self, trace: "Trace", time: float) -> None:
        """Mark another moment [s] of the trace that was taken in."""
        moment = trace.at(time)
        self.trace_panels.point(trace, moment)
        self.set_points.point(moment)
        self.line_panel.point(trace, moment)
        self.card.show(
            moment_lines(trace, moment, self.system),
            happened_by(trace, time, self.system, most=MOST_EVENTS),
        )

    def png(self) -> bytes:
        """Draw what moves over what stays, and give the picture."""
        canvas = self.canvas
        canvas.restore_region(self._background)  # type: ignore[no-untyped-call]
        renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
        for artist in self.moving:
            if isinstance(artist, Text):
                self._letters.draw(artist, renderer)
            else:
                artist.draw(renderer)
        return png_of(canvas)

    @property
    def moving(self) -> list[Artist]:
        """What is drawn for each new run or moment, from the back to the front."""
        line = self.line_panel
        return [
            *self.set_points.behind,
            line.far_soil,
            line.soil,
            *line.moving,
            *self.trace_panels.moving,
            *self.set_points.moving,
            *self.card.moving,
        ]

    def _build(self) -> None:
        """Make the Figure anew for the limits, and keep what stays."""
        self.figure = Figure(figsize=(style.WIDTH, style.HEIGHT), dpi=style.DPI, layout=None)
        self.canvas = FigureCanvasAgg(self.figure)
        self._letters = Letters(style.DPI)
        self.trace_panels = TracePanels(
            self.figure, self.limits, system=self.system, troughs=self.troughs
        )
        self.line_panel = LinePanel(
            self.figure,
            self.limits,
            system=self.system,
            troughs=self.troughs,
            top=self.trace_panels.top / WATER_COLUMN,
        )
        self.set_points = SetPoints(
            self.figure, self.trace_panels.pressure, self.line_panel.axes, self.system
        )
        self.card = MomentCard(self.figure)
        self.canvas.draw()  # type: ignore[no-untyped-call]
        self._background = self.canvas.copy_from_bbox(self.figure.bbox)  # type: ignore[no-untyped-call]


def picture_png(trace: "Trace", units: str = "US", *, moment: float | None = None) -> bytes:
    """Draw a trace and give it as a PNG.

    Parameters
    ----------
    trace : Trace
        The run.
    units : {"US", "metric"}
        Whose units.
    moment : float, optional
        Where the cursor stands [s from the start]; left out, at the most telling moment.
    """
    names = tuple(trough.name for trough in trace.site.troughs)
    picture = Picture(Limits.of_trace(trace), system=units, troughs=names)
    picture.show(trace, moment)
    return picture.png()
