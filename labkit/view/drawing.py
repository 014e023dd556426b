"""The line: ground, pipe, troughs and, over them, the hydraulic grade line at one moment.

Its heights share their scale with the pressure panel beside it, so a pressure there and the height
to which it would lift water here stand level with each other.
"""

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import Polygon
from matplotlib.text import Text
from numpy.typing import NDArray

from labkit.trace.calling import says_full
from labkit.trace.measures import SHUT
from labkit.units import displayed, si
from labkit.view import style
from labkit.view.axes import add_axes, nice_step, plain_tick, title
from labkit.view.glyphs import (
    TROUGH_HEIGHT,
    TROUGH_WIDTH,
    Drip,
    SensorSign,
    TroughSign,
    WellSign,
    stroke,
)
from labkit.view.labels import HALO, PATCH, Box, free_place, note, place, shortened
from labkit.view.language import NO_FLOW, say, unit_word
from labkit.view.profile import Profile
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.trace import Moment, Trace
    from labkit.view.limits import Limits

LEFT, MANIFOLD, FAR, RIGHT = 706, 768, 1046, 1098
TOP, GROUND, BOTTOM = 34, 352, 470
"""The box of the drawing, and where manifold and farthest trough stand [dots]."""

MOST_DRIPS: Final = 8
_WELL: Final = 735 / style.DPI
_BURIED: Final = 9.0
_LETTER: Final = 0.062
_NEAR: Final = 0.07
_TALL: Final = 0.24
_FAR_OFF: Final = 0.2
_AROUND: Final = (-0.34, 0.28, -0.62, 0.54, -0.9, 0.8, -1.1, 1.06)
_CENTERED: Final[dict[str, Any]] = {"ha": "center", "va": "center_baseline"}


class LinePanel:
    """The right half of the picture.

    Attributes
    ----------
    axes : Axes
        Heights over distances, in display units.
    far_soil, soil : Polygon
        The ground under the highest and under the lowest branch, drawn before all else.
    grade : LineCollection
        The grade line, a piece for each run.
    """

    def __init__(
        self,
        figure: Figure,
        limits: "Limits",
        *,
        system: str,
        troughs: tuple[str, ...],
        top: float,
    ) -> None:
        self.figure, self.limits, self.system, self.troughs = figure, limits, system, troughs
        self.axes = add_axes(figure, LEFT, TOP, RIGHT, BOTTOM)
        self._scale(top=top)
        self.profile: Profile | None = None
        self.far_soil, self.soil = self._soil(style.FAR_SOIL), self._soil(style.SOIL)
        self.ground = self._pieces(color=style.GROUND, linewidth=1.6)
        self.pipe = self._pieces(color=style.INK, linewidth=1.0, linestyle=(0, (4, 1.5)))
        self.grade = self._pieces(color=style.BLUE, linewidth=2.0, path_effects=HALO)
        self.drops = self._pieces(color=style.BLUE, linewidth=0.9, linestyle=(0, (1, 1.6)))
        colors = {n: str(style.trough_look(i)["color"]) for i, n in enumerate(troughs)}
        self.signs = {name: TroughSign(figure, color) for name, color in colors.items()}
        self.sensors = {name: SensorSign(figure) for name in troughs}
        self.names = {name: self._name(name, color) for name, color in colors.items()}
        self.leaders = {
            n: stroke(figure, color=color, linewidth=0.8) for n, color in colors.items()
        }
        small: dict[str, Any] = {"fontsize": style.SMALL}
        self.states = {name: note(figure, bbox=PATCH, **(small | _CENTERED)) for name in troughs}
        self.drips = [Drip(figure) for _ in range(MOST_DRIPS)]
        self.well = WellSign(figure)
        self.depth = note(figure, **small, color=style.QUIET, va="center_baseline")
        x, y = place(self.axes, 0.0, self.axes.get_ylim()[0])
        self.depth.set_position((x - 0.1, y + 0.09))
        self.grade_name = note(figure, color=style.BLUE, va="bottom", path_effects=HALO)

    @property
    def moving(self) -> list[Artist]:
        """What is drawn anew for every trace and moment, in order."""
        signs = [artist for sign in self.signs.values() for artist in sign.moving]
        drips = [artist for drip in self.drips for artist in drip.moving]
        return [
            self.pipe,
            self.ground,
            self.drops,
            *self.well.moving,
            *signs,
            *(artist for sign in self.sensors.values() for artist in sign.moving),
            *drips,
            self.grade,
            self.grade_name,
            self.depth,
            *self.leaders.values(),
            *self.names.values(),
            *self.states.values(),
        ]

    def show(self, trace: "Trace") -> None:
        """Lay the ground, the pipe and the signs of a trace's site into the drawing."""
        self.profile = profile = Profile.of(trace, system=self.system)
        (left, right), (floor, top) = self.axes.get_xlim(), self.axes.get_ylim()
        self.far_soil.set_xy(profile.under(np.max, left=left, right=right, floor=floor))
        self.soil.set_xy(profile.under(np.min, left=left, right=right, floor=floor))
        self.ground.set_segments(profile.ground)
        buried = np.array([0.0, _BURIED / (BOTTOM - TOP) * (top - floor)])
        self.pipe.set_segments([piece - buried for piece in profile.ground])
        for drip in self.drips:
            drip.hide()
        for drip, leak in zip(self.drips, profile.leaks, strict=False):
            drip.show(place(self.axes, *(leak - buried)))
        depth = say(si(trace.site.well.static_level), "length", self.system)
        self.depth.set_text(WORDS["well"].format(depth=depth))

    def point(self, trace: "Trace", moment: "Moment") -> None:
        """Draw the grade line, the floats and the pump as they stand at a moment."""
        heads = {n: displayed(head, "length", self.system) for n, head in moment.heads.items()}
        profile = self.profile
        if profile is None:
            return
        self.grade.set_segments(profile.pieces(heads))
        self.drops.set_segments([self._drop(profile, name, heads[name]) for name in self.troughs])
        self.well.show(
            place(self.axes, 0.0, 0.0),
            well=_WELL,
            floor=place(self.axes, 0.0, self.axes.get_ylim()[0])[1],
            flowing=moment.pump_flow > NO_FLOW,
            share=moment.pressure / self.limits.pressure,
        )
        self._name_grade(heads["manifold"])
        boxes = _along(self.axes, profile.pieces(heads))
        for trough in trace.site.troughs:
            opening = moment.openings[trough.name]
            spot = self._spot(trough.name)
            share = moment.levels[trough.name] / si(trough.depth)
            self.signs[trough.name].show(spot, share=share, opening=opening)
            flow = say(moment.inflows[trough.name], "flow", self.system)
            state = WORDS["taking"].format(flow=flow) if opening >= SHUT else WORDS["float shut"]
            self.states[trough.name].set_text(state)
            boxes.append(_sign_box(spot))
        self._point_sensors(trace, moment)
        self._name_troughs(boxes)

    def _point_sensors(self, trace: "Trace", moment: "Moment") -> None:
        """Draw the level sensors as they stand at a moment."""
        for sign in self.sensors.values():
            sign.hide()
        row = max(int(np.searchsorted(trace.time, moment.time, side="right")) - 1, 0)
        depths = {trough.name: si(trough.depth) for trough in trace.site.troughs}
        for sensor in trace.site.level_sensors:
            self.sensors[sensor.trough].show(
                self._spot(sensor.trough),
                mark=si(sensor.stops_at) / depths[sensor.trough],
                full=bool(says_full(trace, sensor)[row]),
                by_radio=sensor.radio is not None,
            )

    def _spot(self, name: str) -> tuple[float, float]:
        """Give the middle of a trough's floor [in]; the trough stands just past the pipe's end."""
        profile = self.profile
        if profile is None:
            return (0.0, 0.0)
        x, y = place(self.axes, profile.distance[name], profile.height[name])
        return x + TROUGH_WIDTH / 2.0, y

    def _name_grade(self, head: float) -> None:
        """Write the name of the grade line over its start."""
        x, y = place(self.axes, 0.0, head)
        self.grade_name.set(x=x + 0.12, y=y + 0.05, text=WORDS["grade line"])

    def _name_troughs(self, taken: list[Box]) -> None:
        """Write each trough's name and state where nothing hides them."""
        left, right = LEFT / style.DPI, RIGHT / style.DPI
        room = Box(left, style.HEIGHT - BOTTOM / style.DPI, right, style.HEIGHT - TOP / style.DPI)
        for name in self.troughs:
            x, y = self._spot(name)
            words = (self.names[name].get_text(), self.states[name].get_text())
            width = _LETTER * max(len(word) for word in words)
            x = min(max(x, left + width / 2.0), right - width / 2.0)
            box = free_place(x, [y + dy for dy in _AROUND], (width, _TALL), taken=taken, room=room)
            taken.append(box)
            self.names[name].set_position((x, box.top - 0.065))
            self.states[name].set_position((x, box.bottom + 0.055))
            self.leaders[name].set_data(*_leader(self._spot(name), box))

    def _scale(self, *, top: float) -> None:
        """Fix the axes: heights level with the pressures beside them, distances with room."""
        above = (GROUND - TOP) / (BOTTOM - TOP)
        high = displayed(top, "length", self.system)
        low = high * (1.0 - 1.0 / above)
        step = nice_step(high - low, count=8)
        self.axes.set_yticks(np.arange(np.ceil(low / step), high / step) * step)
        self.axes.set_ylim(low, high)
        far = displayed(self.limits.distance, "length", self.system)
        dots = far / (FAR - MANIFOLD)
        self.axes.set_xticks(np.arange(0.0, far * 1.02, nice_step(far, count=4)))
        self.axes.set_xlim((LEFT - MANIFOLD) * dots, (RIGHT - MANIFOLD) * dots)
        for axis in (self.axes.xaxis, self.axes.yaxis):
            axis.set_major_formatter(plain_tick)
        self.axes.yaxis.tick_right()
        self.axes.spines["left"].set_visible(False)
        self.axes.spines["right"].set(visible=True, color=style.FAINT, linewidth=0.8)
        unit = unit_word("length", self.system)
        title(self.axes, WORDS["line title"].format(unit=unit))
        self.axes.set_xlabel(
            WORDS["distance title"].format(unit=unit),
            color=style.QUIET,
            fontsize=style.TEXT,
            fontfamily=style.FONT,
        )

    def _soil(self, color: str) -> Polygon:
        soil = Polygon(np.zeros((3, 2)), closed=True, facecolor=color, animated=True)
        self.axes.add_patch(soil)
        return soil

    def _pieces(self, **look: Any) -> LineCollection:
        pieces = LineCollection([], animated=True, capstyle="round", **look)
        self.axes.add_collection(pieces, autolim=False)
        return pieces

    def _name(self, name: str, color: str) -> Text:
        text = note(self.figure, color=color, fontweight="bold", bbox=PATCH, **_CENTERED)
        text.set_text(shortened(name))
        return text

    @staticmethod
    def _drop(profile: Profile, name: str, head: float) -> NDArray[np.float64]:
        """Give the drop from the grade line to a trough, through its float valve."""
        x = profile.distance[name]
        return np.array([[x, profile.height[name]], [x, head]])


def _along(axes: Axes, pieces: list[NDArray[np.float64]]) -> list[Box]:
    """Give the room that drawn pieces take, as small boxes along each [in]."""
    boxes = []
    for piece in pieces:
        ends = np.array([place(axes, *point) for point in piece])
        count = max(int(abs(ends[1] - ends[0]).max() / _NEAR), 2)
        for x, y in np.linspace(ends[0], ends[1], count):
            boxes.append(Box(x - _NEAR / 2.0, y - _NEAR / 2.0, x + _NEAR / 2.0, y + _NEAR / 2.0))
    return boxes


def _leader(spot: tuple[float, float], box: Box) -> tuple[list[float], list[float]]:
    """Give a thin line from a trough's sign to its name, where that had to stand far off [in]."""
    (x, low), high = spot, spot[1] + TROUGH_HEIGHT
    middle = 0.5 * (box.left + box.right)
    if box.bottom - high > _FAR_OFF:
        return [x, middle], [high, box.bottom]
    if low - box.top > _FAR_OFF:
        return [x, middle], [low, box.top]
    return [], []


def _sign_box(spot: tuple[float, float]) -> Box:
    """Give the room that a trough's sign takes [in]."""
    x, y = spot
    half = TROUGH_WIDTH / 2.0 + 0.02
    return Box(x - half, y - 0.02, x + half, y + TROUGH_HEIGHT + 0.08)
