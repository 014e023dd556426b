"""The painter for paper: the scene of a run as one still picture by matplotlib.

Everything is placed on one sheet, in points from its top left corner. The Figure is built by hand,
never by pyplot, since that keeps global state that other threads may touch.
"""

import html
from collections.abc import Iterator, Sequence
from math import cos, pi, sin
from textwrap import wrap
from typing import Any, Final, NamedTuple

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon, Rectangle

from labkit.arrays import Floats
from labkit.figures import looks, style
from labkit.figures.axes import HALO
from labkit.figures.image import drawn_png, image_tag
from labkit.figures.scene import Scene, Verdict, scene_of
from labkit.figures.ticks import spread
from labkit.text.shared import WORDS
from labkit.trace import Trace

Place = tuple[float, float]

WIDE, HIGH = 576.0, 403.0  # the sheet in points: 8 by 5.6 inches
_MOST_EVENTS, _MOST_ROWS, _EVENT_ROW = 3, 4, 40
"""Events that are told, the rows that they may take, and the letters of a row."""
_SIGN, _SIGN_TALL = 20.0, 9.0  # width and height of a trough's sign
_WRAP: Final = 50
_LETTERS: Final = 8.25
"""Least letters [points]: more than seven and a half on a page within its margins."""


class Box(NamedTuple):
    """A part of the sheet [points]."""

    left: float
    top: float
    right: float
    bottom: float


PRESSURE: Final = Box(40.0, 18.0, 256.0, 176.0)
FLOW: Final = Box(40.0, 198.0, 256.0, 244.0)
LEVEL: Final = Box(40.0, 266.0, 256.0, 310.0)
STRIPS: Final = tuple(Box(40.0, top, 256.0, top + 12.0) for top in (320.0, 336.0, 352.0))
LAND: Final = Box(386.0, 18.0, 540.0, 238.0)
_WELL: Final = 366.0
DIAL: Final = (374.0, 316.0, 31.0)


def scene_png(scene: Scene, *, judged: bool = True) -> bytes:
    """Return a scene as a PNG, with its verdict or without."""
    return drawn_png(Paper(scene, judged=judged).figure)


def scene_html(scene: Scene, *, judged: bool = True) -> str:
    """Return the picture with its sentences below, for a handout.

    Left unjudged, neither the sentences nor the words for the picture say what the run amounts to,
    so that a question asked later on the sheet stays a question.
    """
    text = scene.text if judged else scene.counted
    said = f"{text} {scene.so_far}".strip()
    alt = scene.alt.replace(scene.text, text)
    image = image_tag(scene_png(scene, judged=judged), alt)
    return f"<figure>{image}<figcaption>{html.escape(said)}</figcaption></figure>"


def picture_png(trace: Trace, units: str = "US") -> bytes:
    """Draw a trace at its most telling moment and return it as a PNG."""
    return scene_png(scene_of(trace, units))


class Paper:
    """A scene on a sheet."""

    def __init__(self, scene: Scene, *, judged: bool = True) -> None:
        self.scene, self.t = scene, scene.moment
        self.figure = Figure(figsize=(style.WIDTH, style.HEIGHT), dpi=style.DPI, layout=None)
        # in points from the top left corner
        self.axes = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.axes.set_axis_off()
        self.axes.set_xlim(0.0, WIDE)
        self.axes.set_ylim(HIGH, 0.0)
        self._band()
        self._land()
        for panel, box in zip(scene.parts["panels"], (PRESSURE, FLOW, LEVEL), strict=True):
            self._panel(panel, box)
        self._strips()
        self._marks()
        self._moment()
        self._troughs()
        self._dial()
        self._events()
        if judged and scene.verdict is not None:
            self._verdict(scene.verdict)

    # where things stand

    def x_of(self, time: float | Floats) -> Any:
        """Return where a time [s] stands."""
        return (
            PRESSURE.left + (PRESSURE.right - PRESSURE.left) * time / self.scene.parts["x"]["end"]
        )

    def y_of(self, pressure: float) -> float:
        """Return where a pressure stands."""
        hi = self.scene.parts["panels"][0]["hi"]
        return PRESSURE.bottom - (PRESSURE.bottom - PRESSURE.top) * pressure / float(hi)

    def along(self, distance: float) -> float:
        """Return where a distance along the pipe stands."""
        far = float(self.scene.parts["line"]["far"])
        return LAND.left + (LAND.right - LAND.left) * distance / far

    def up(self, height: float) -> float:
        """Return where a height stands: level with the pressure of as much water."""
        high = float(self.scene.parts["line"]["high"])
        return PRESSURE.bottom - (PRESSURE.bottom - PRESSURE.top) * height / high

    def now(self, place: int, times: int | None = None) -> float:
        """Return a number at the moment."""
        where = self.scene.parts["line"]["t"] if times is None else times
        return float(np.interp(self.t, self.scene.arrays[where], self.scene.arrays[place]))

    def state(self, spans: Sequence[Sequence[float]]) -> int:
        """Return the state at the moment."""
        return int(next((c for a, _, c in reversed(spans) if a <= self.t), spans[0][2]))

    # what it is drawn with

    def _line(self, points: Sequence[Place] | Floats, **look: Any) -> None:
        x, y = np.transpose(np.asarray(points, dtype=float))
        self.axes.plot(x, y, **({"linewidth": 1.0, "clip_on": False} | look))

    def _shape(self, points: Sequence[Place], **look: Any) -> None:
        self.axes.add_patch(Polygon(np.asarray(points), closed=True, **({"zorder": 2.0} | look)))

    def _rect(self, box: Box, **look: Any) -> None:
        width, height = box.right - box.left, box.bottom - box.top
        self.axes.add_patch(
            Rectangle((box.left, box.top), width, height, **({"zorder": 2.0} | look))
        )

    def _text(self, x: float, y: float, words: str, **look: Any) -> None:
        usual: dict[str, Any] = {
            "color": style.INK, "fontsize": _LETTERS, "fontfamily": style.FONT, "va": "center",
            "path_effects": HALO, "zorder": 6.0, "parse_math": False,
        }  # fmt: skip
        self.axes.text(x, y, words, **(usual | look))

    @staticmethod
    def _look(name: str) -> dict[str, Any]:
        look = looks.LINES[name]
        dash = "solid" if not look["dash"] else (0, tuple(part / 1.8 for part in look["dash"]))
        return {"color": look["color"], "linestyle": dash, "linewidth": 0.8 * look["width"]}

    # the trace

    def _panel(self, panel: dict[str, Any], box: Box) -> None:
        def y_of(value: Any) -> Any:
            return box.bottom - (box.bottom - box.top) * value / panel["hi"]

        for value, words in panel["ticks"]:
            self._line([(box.left, y_of(value)), (box.right, y_of(value))], color=style.GRID,
                       linewidth=0.7, zorder=1.6)  # fmt: skip
            self._text(box.left - 3.0, y_of(value), words, ha="right", color=style.QUIET,
                       fontsize=_LETTERS)  # fmt: skip
        self._text(box.left, box.top - 8.0, panel["title"], fontsize=style.TITLE, fontweight="bold")
        ends = []
        for series in panel["series"]:
            times, values = self.scene.arrays[series["t"]], self.scene.arrays[series["y"]]
            self._line(np.column_stack([self.x_of(times), y_of(values)]), zorder=4.0,
                       **self._look(series["look"]))  # fmt: skip
            ends.append(y_of(self.now(series["y"], series["t"])))
        if panel["id"] == "pressure":
            return
        low = box.bottom + (8.0 if len(ends) > 3 else 2.0)
        for series, place in zip(
            panel["series"], spread(ends, gap=10.0, low=box.top, high=low), strict=True
        ):
            look = self._look(series["look"])
            self._line([(box.right + 5.0, place), (box.right + 16.0, place)], **look)
            said = f"{series['label']} {self._written(series)}"
            self._text(box.right + 19.0, place, said, color=look["color"])

    def _written(self, series: dict[str, Any]) -> str:
        """Write a line's number at the moment as the page writes it."""
        spec = self.scene.parts["say"][series["kind"]]
        value = self.now(series["y"], series["t"])
        decimals = spec["small"] if abs(value) < spec["below"] else spec["large"]
        rounded = round(value, decimals) + 0.0
        words = f"{rounded:,.{decimals}f}".replace("-", "\N{MINUS SIGN}") if rounded else "0"
        return f"{words}{'' if spec['unit'] == '%' else ' '}{spec['unit']}"

    def _strips(self) -> None:
        sun, *states, speed = self.scene.parts["strips"]
        area = STRIPS[0]
        times, values = self.scene.arrays[sun["t"]], self.scene.arrays[sun["y"]]
        top = area.bottom - (area.bottom - area.top) * values / sun["hi"]
        x = self.x_of(times)
        curve = [(x[0], area.bottom), *zip(x, top, strict=True), (x[-1], area.bottom)]
        self._shape(curve, facecolor=style.YELLOW, edgecolor=style.ORANGE, linewidth=0.8)
        beside = [self._written(sun)]
        for strip, box in zip(states, STRIPS[1:], strict=True):
            beside.append(looks.STATES[strip["id"]][self.state(strip["spans"])]["word"])
            self._states(strip, box)
        beside[1] += f" {self._written(speed)}" if self.now(speed["y"], speed["t"]) > 0.5 else ""
        for strip, box, words in zip((sun, *states), STRIPS, beside, strict=True):
            self._text(box.left - 3.0, (box.top + box.bottom) / 2.0, strip["label"], ha="right")
            self._line([(box.left, box.bottom), (box.right, box.bottom)], color=style.FAINT)
            self._text(box.right + 5.0, (box.top + box.bottom) / 2.0, words)
        axis, last = self.scene.parts["x"], STRIPS[-1].bottom
        for at, words in axis["ticks"]:
            self._line([(self.x_of(at), last), (self.x_of(at), last + 3.0)], color=style.FAINT)
            self._text(self.x_of(at), last + 9.0, words, ha="center", color=style.QUIET,
                       fontsize=_LETTERS)  # fmt: skip
        self._text((PRESSURE.left + PRESSURE.right) / 2.0, last + 20.0, axis["label"], ha="center",
                   color=style.QUIET)  # fmt: skip

    def _states(self, strip: dict[str, Any], box: Box) -> None:
        for start, end, code in strip["spans"]:
            look = looks.STATES[strip["id"]][code]
            left, right = self.x_of(start), self.x_of(end)
            piece = Box(left, box.top, right, box.bottom)
            self._rect(piece, facecolor=look["fill"], edgecolor=style.QUIET, linewidth=0.5,
                       hatch=3 * look["hatch"] or None)  # fmt: skip
            if right - left > 4.4 * len(look["word"]) + 4.0:
                patch = {"facecolor": look["fill"], "edgecolor": "none", "pad": 1.0}
                self._text((left + right) / 2.0, (box.top + box.bottom) / 2.0, look["word"],
                           ha="center", color=look["ink"], fontsize=_LETTERS, path_effects=[],
                           bbox=patch if look["hatch"] else None)  # fmt: skip

    def _band(self) -> None:
        """Draw cut-in and cut-out through both pictures."""
        high, low = (self.y_of(mark["y"]) for mark in self.scene.parts["panels"][0]["marks"])
        band = Box(PRESSURE.left, high, LAND.right, low)
        self._rect(band, facecolor=style.BAND, edgecolor="none", zorder=0.5)
        for name, y in (("cut-out", high), ("cut-in", low)):
            self._line([(PRESSURE.left, y), (LAND.right, y)], zorder=0.6, **self._look(name))

    def _marks(self) -> None:
        marks = self.scene.parts["panels"][0]["marks"]
        places = spread([self.y_of(mark["y"]) for mark in marks], gap=21.0, low=PRESSURE.top,
                        high=PRESSURE.bottom - 8.0)  # fmt: skip
        for mark, y in zip(marks, places, strict=True):
            self._text(PRESSURE.right + 5.0, y, "\n".join(mark["words"]), fontsize=_LETTERS,
                       linespacing=1.2)  # fmt: skip

    # the line

    def _land(self) -> None:
        land = self.scene.parts["line"]
        nodes = {node["id"]: node for node in land["nodes"]}
        parents = {node["parent"] for node in land["nodes"]}
        ways = [list(_way(nodes, name)) for name in nodes if name not in parents]
        right, start = LAND.right + 8.0, (_WELL - 14.0, self.up(0.0))
        for number, way in enumerate(ways):
            top = [start, *((self.along(x), self.up(y)) for x, y in way)]
            top.append((right, top[-1][1]))
            color = style.SOIL if number else style.FAR_SOIL
            self._shape([*top, (right, LAND.bottom), (start[0], LAND.bottom)], facecolor=color,
                        edgecolor="none", zorder=0.8)  # fmt: skip
        for way in ways:
            top = [start, *((self.along(x), self.up(y)) for x, y in way)]
            self._line([*top, (right, top[-1][1])], color=style.GROUND, linewidth=1.4, zorder=2.1)
            buried = [(self.along(x), self.up(y) + 5.0) for x, y in way]
            self._line(buried, color=style.INK, linewidth=0.9, linestyle=(0, (4, 1.5)))
        for x, y in land["vents"]:
            x, y = self.along(x), self.up(y)  # noqa: PLW2901 - the same place in dots
            self._line([(x, y + 4.0), (x, y - 7.0)], color=style.INK)
            self._line([(x - 3.0, y - 7.0), (x + 3.0, y - 7.0)], color=style.INK)
        for x, y in land["leaks"]:
            self._drip(self.along(x), self.up(y) + 6.0)
        for y, words in land["up"]:
            if self.up(y) < LAND.bottom:  # beside the trough, which stands out a little
                self._text(right + 6.0, self.up(y), words, color=style.QUIET, fontsize=_LETTERS)
        for x, words in land["across"]:
            self._text(self.along(x), LAND.bottom + 8.0, words, ha="center", color=style.QUIET,
                       fontsize=_LETTERS)  # fmt: skip
        self._text(_WELL - 14.0, LAND.top - 8.0, land["title"], fontsize=style.TITLE,
                   fontweight="bold")  # fmt: skip
        self._text((LAND.left + LAND.right) / 2.0, LAND.bottom + 19.0, land["label"], ha="center",
                   color=style.QUIET)  # fmt: skip
        self._well()

    def _well(self) -> None:
        """Draw the well with its pump, filled while it delivers."""
        land, ground = self.scene.parts["line"], self.up(0.0)
        surface, foot = ground + 0.5 * (LAND.bottom - ground), LAND.bottom
        self._rect(Box(_WELL - 4.5, surface, _WELL + 4.5, foot), facecolor=style.WATER)
        for side in (-5.0, 5.0):
            self._line([(_WELL + side, ground - 3.0), (_WELL + side, foot)], color=style.GROUND)
        self._line([(_WELL, foot - 12.0), (_WELL, ground + 5.0), (LAND.left, ground + 5.0)],
                   color=style.INK)  # fmt: skip
        runs = self.now(land["flow"]) > land["least"]
        self._rect(Box(_WELL - 2.5, foot - 13.0, _WELL + 2.5, foot - 1.0), edgecolor=style.INK,
                   facecolor=style.BLUE if runs else style.PAPER, zorder=3.0)  # fmt: skip
        self._text(_WELL + 9.0, foot - 5.0, land["well"], color=style.QUIET, fontsize=_LETTERS)

    def _drip(self, x: float, y: float) -> None:
        angle = np.linspace(0.25 * pi, -1.25 * pi, 24)
        drop = [(x + 2.6 * cos(a), y + 6.5 - 2.6 * sin(a)) for a in angle]
        self._shape([(x, y), *drop], facecolor=style.VERMILION, edgecolor=style.PAPER, zorder=5.0)

    def _moment(self) -> None:
        """Draw the cursor, the pressure there, and the grade line over the pipe."""
        x, land = self.x_of(self.t), self.scene.parts["line"]
        for box in (PRESSURE, FLOW, LEVEL, *STRIPS):
            self._line([(x, box.top), (x, box.bottom)], color=style.INK, linewidth=0.8, zorder=4.2)
        series = self.scene.parts["panels"][0]["series"][0]
        y = self.y_of(self.now(series["y"], series["t"]))
        self.axes.plot([x], [y], marker="o", color=style.BLUE, markeredgecolor=style.PAPER,
                       markersize=6.0, clip_on=False, zorder=5.0)  # fmt: skip
        left = x > PRESSURE.left + 0.75 * (PRESSURE.right - PRESSURE.left)
        self._text(x + (-5.0 if left else 5.0), y - 7.0, self._written(series),
                   ha="right" if left else "left", color=style.BLUE, fontweight="bold",
                   fontsize=style.TITLE)  # fmt: skip
        nodes = {node["id"]: node for node in land["nodes"]}
        spots = {n: (self.along(o["x"]), self.up(self.now(o["head"]))) for n, o in nodes.items()}
        for name, node in nodes.items():
            if node["parent"] in nodes:
                before = nodes[node["parent"]]
                ends = [self._shore(before, node), self._shore(node, before)]
                both = zip(ends, (before["id"], name), strict=True)
                self._line([spots[n] if end is None else end for end, n in both],
                           color=style.BLUE, linewidth=1.9, path_effects=HALO,
                           zorder=4.5)  # fmt: skip
        first = spots["manifold"]
        self._line([(x, y), first], color=style.BLUE, linewidth=0.8, linestyle=(0, (1, 1.6)))
        self._text(first[0] + 8.0, first[1] - 6.0, WORDS["grade line"], color=style.BLUE)

    def _shore(self, node: dict[str, Any], foot: dict[str, Any]) -> tuple[float, float] | None:
        """Draw the empty part of a leg and return where the grade line begins in it.

        None for a leg that is full, or not this node's own.
        """
        if node.get("foot") != foot["id"] or (wet := self.now(node["wet"])) > 0.995:
            return None
        x, y = (foot[a] + wet * (node[a] - foot[a]) for a in ("x", "y"))
        ends = [(self.along(a), self.up(b) + 5.0) for a, b in ((node["x"], node["y"]), (x, y))]
        self._line(ends, color=style.PAPER, linewidth=2.4, zorder=2.2)
        beyond = x > node["x"]  # two legs of one crest have their words at two heights
        middle = [(a + b) / 2.0 for a, b in zip(*ends, strict=True)]
        self._text(middle[0] - (0.0 if beyond else 8.0), middle[1] + (20.0 if beyond else 8.0),
                   WORDS["dry"], ha="center" if beyond else "right",
                   color=style.QUIET, fontsize=_LETTERS)  # fmt: skip
        return self.along(x), self.up(y + self.now(node["head"]) - node["y"])

    def _troughs(self) -> None:
        land = self.scene.parts["line"]
        nodes = {node["id"]: node for node in land["nodes"]}
        taken: list[Place] = []
        for trough in sorted(land["troughs"], key=lambda one: -float(nodes[one["id"]]["y"])):
            node = nodes[trough["id"]]
            x, y = self.along(node["x"]), self.up(node["y"])
            self._line([(x, self.up(self.now(node["head"]))), (x, y)], color=style.BLUE,
                       linewidth=0.8, linestyle=(0, (1, 1.6)))  # fmt: skip
            self._sign(trough, x, y)
            self._name(trough, x, y, taken)

    def _sign(self, trough: dict[str, Any], x: float, y: float) -> None:
        """Draw a trough: open, the arm hangs, the valve is hollow and water runs from it."""
        left, right, top = x - _SIGN / 2.0, x + _SIGN / 2.0, y - _SIGN_TALL
        surface = y - _SIGN_TALL * min(max(self.now(trough["share"]), 0.0), 1.0)
        is_open = self.now(trough["opening"]) >= trough["shut"]
        drop = 5.0 if is_open else 0.0
        self._rect(Box(left, top, right, y), facecolor=style.PAPER, edgecolor="none", zorder=4.6)
        self._rect(Box(left, surface, right, y), facecolor=style.WATER, edgecolor="none",
                   zorder=4.7)  # fmt: skip
        self._line([(left, top), (left, y), (right, y), (right, top)], color=style.INK,
                   linewidth=1.4, zorder=4.8)  # fmt: skip
        pivot, ball = (left, top - 3.0), (left + 9.0, top - 3.0 + drop)
        if is_open:
            self._line([(left + 3.0, pivot[1]), (left + 3.0, surface)], color=style.BLUE,
                       linewidth=1.4, linestyle=(0, (1.5, 0.8)), zorder=4.8)  # fmt: skip
        self._line([pivot, ball], color=style.INK, zorder=4.9)
        fill = style.PAPER if is_open else style.INK
        valve = Box(left - 2.0, pivot[1] - 2.0, left + 2.0, pivot[1] + 2.0)
        self._rect(valve, facecolor=fill, edgecolor=style.INK, zorder=5.0)
        color = looks.LINES[trough["look"]]["color"]
        self.axes.add_patch(Circle(ball, 2.0, facecolor=color, edgecolor=style.INK, zorder=5.1))
        for sensor in trough["sensors"]:
            at, fill = y - _SIGN_TALL * sensor["at"], style.PAPER
            if self.state(sensor["full"]) == 1:
                fill = style.INK
            wedge = [(right - 6.0, at), (right, at - 2.6), (right, at + 2.6)]
            self._shape(wedge, facecolor=fill, edgecolor=style.INK, zorder=5.2)
            if sensor["radio"]:
                mast = top - 8.0
                self._line([(right, top), (right, mast), (right - 2.0, mast - 2.0), (right, mast),
                            (right + 2.0, mast - 2.0)], color=style.INK, zorder=5.2)  # fmt: skip

    def _name(self, trough: dict[str, Any], x: float, y: float, taken: list[Place]) -> None:
        """Write a trough's name and state where no other stands."""
        labels, is_open = self.scene.parts["labels"], self.now(trough["opening"]) >= trough["shut"]
        flow = {"y": trough["inflow"], "t": self.scene.parts["line"]["t"], "kind": "flow"}
        state = labels["taking"].format(flow=self._written(flow)) if is_open else labels["shut"]
        wide = 2.4 * max(len(state), len(trough["name"]))
        middle = min(
            max(x, LAND.left + wide - 10.0), LAND.right + 12.0 - wide
        )  # short of the scale
        at, shift = y, 0.0
        for shift in (-24.0, 14.0, -46.0, 36.0, -68.0, 58.0, 80.0):
            at = y + shift
            if all(abs(at - b) > 20.0 or abs(middle - a) > 2.2 * wide for a, b in taken):
                break
        taken.append((middle, at))
        color = looks.LINES[trough["look"]]["color"]
        if not -30.0 < shift < 20.0:
            self._line([(x, y - _SIGN_TALL if shift < 0.0 else y), (middle, at + 5.0)], color=color,
                       linewidth=0.8)  # fmt: skip
        self._text(middle, at - 4.5, trough["name"], ha="center", color=color, fontweight="bold")
        self._text(middle, at + 4.5, state, ha="center", fontsize=_LETTERS)

    # the gauge, and the words

    def _dial(self) -> None:
        """Draw the gauge at the well, with the two points on its rim."""
        (x, y, r), dial = DIAL, self.scene.parts["dial"]

        def spot(value: float, radius: float, shift: float = 0.0) -> Place:
            angle = pi * (1.25 - 1.5 * min(max(value / dial["hi"], 0.0), 1.0)) + shift
            return x + radius * cos(angle), y - radius * sin(angle)

        self.axes.add_patch(Circle((x, y), r, facecolor=style.PAPER, edgecolor=style.INK,
                                   linewidth=1.4, zorder=3.0))  # fmt: skip
        for value, words in dial["ticks"]:
            self._line([spot(value, r - 1.0), spot(value, r - 5.0)], color=style.INK, zorder=3.1)
            self._text(*spot(value, r - 11.5), words, ha="center", fontsize=6.5, color=style.QUIET)
        marks = self.scene.parts["panels"][0]["marks"]
        for mark in marks:
            tips = [spot(mark["y"], r - 5.0), spot(mark["y"], r + 4.0, 0.1),
                    spot(mark["y"], r + 4.0, -0.1)]  # fmt: skip
            self._shape(tips, facecolor=style.INK if mark["id"] == "cut-out" else style.PAPER,
                        edgecolor=style.INK, zorder=3.2)  # fmt: skip
        series = self.scene.parts["panels"][0]["series"][0]
        pressure = self.now(series["y"], series["t"])
        self._line([spot(pressure, -6.0), spot(pressure, r - 6.0)], color=style.VERMILION,
                   linewidth=2.0, zorder=3.4)  # fmt: skip
        self._text(x, y + r + 10.0, self._written(series), ha="center", fontweight="bold")

    def _events(self) -> None:
        """Write what happened last up to the moment."""
        past = [words for time, words in self.scene.parts["events"] if time <= self.t + 1e-6]
        rows: list[tuple[str, str]] = []
        for words in reversed(past[-_MOST_EVENTS:]):
            color = style.QUIET if rows else style.INK
            broken = wrap(words, _EVENT_ROW, subsequent_indent="   ")
            if len(rows) + len(broken) > _MOST_ROWS:
                break
            rows = [*((row, color) for row in broken), *rows]
        for place, (row, color) in enumerate(rows):
            self._text(413.0, 292.0 + 13.0 * place, row, color=color, fontsize=8.0)

    def _verdict(self, verdict: Verdict) -> None:
        x, y, look = 427.0, 350.0, {"facecolor": verdict.color, "edgecolor": "none"}
        if verdict.corners:
            turned = {4: 0.25, 8: 0.125}.get(verdict.corners, 0.5)
            angles = [pi * turned + 2.0 * pi * n / verdict.corners for n in range(verdict.corners)]
            self._shape([(x + 7.0 * cos(a), y - 7.0 * sin(a)) for a in angles], **look)
        else:
            self.axes.add_patch(Circle((x, y), 6.0, **look))
        self._text(x + 11.0, y, verdict.word, color=verdict.color, fontsize=10.0,
                   fontweight="bold")  # fmt: skip


def _way(nodes: dict[str, Any], name: str) -> Iterator[Place]:
    node = nodes[name]
    if node["parent"] in nodes:
        yield from _way(nodes, node["parent"])
    yield node["x"], node["y"]
