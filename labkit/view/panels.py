"""The trace: pressure, flows, levels, sun, drive and contact over one time axis."""

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from labkit.trace import DriveState
from labkit.units import displayed
from labkit.view import style
from labkit.view.axes import add_axes, scale_up, time_ticks, title
from labkit.view.labels import HALO, SideLabels, note, place, shortened
from labkit.view.language import MINUTE, say, unit_word
from labkit.view.strips import CONTACT, StateStrip, SunStrip, drive_looks
from labkit.view.thin import Floats, envelope
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.trace import Moment, Trace
    from labkit.view.limits import Limits

LEFT, RIGHT = 74, 530
COLUMNS: Final = RIGHT - LEFT
"""Columns of dots in the panels of the trace."""

PRESSURE_TOP, PRESSURE_BOTTOM = 34, 352
_FLOW_TOP, _FLOW_BOTTOM = 394, 488
_LEVEL_TOP, _LEVEL_BOTTOM = 530, 620
_STRIPS: Final = ((642, 665), (675, 698), (708, 731))

FLOWS: Final = ("pump", "into troughs", "leak")
_FLOW_LOOKS: Final[dict[str, dict[str, Any]]] = {
    "pump": {"color": style.BLUE, "linestyle": "solid"},
    "into troughs": {"color": style.GREEN, "linestyle": (0, (5, 1.8))},
    "leak": {"color": style.VERMILION, "linestyle": (0, (1.2, 1.4))},
}


class TracePanels:
    """The left half of the picture.

    Attributes
    ----------
    pressure, flow, level : Axes
        The three panels, in display units over minutes from the start.
    lines : dict of Line2D
        The drawn lines by what they show: ``"pressure"``, the flows, the troughs' names.
    moving : list of Artist
        What is drawn anew for every trace and moment, in order.
    """

    def __init__(
        self, figure: Figure, limits: "Limits", *, system: str, troughs: tuple[str, ...]
    ) -> None:
        self.figure, self.limits, self.system, self.troughs = figure, limits, system, troughs
        self.pressure = add_axes(figure, LEFT, PRESSURE_TOP, RIGHT, PRESSURE_BOTTOM)
        self.flow = add_axes(figure, LEFT, _FLOW_TOP, RIGHT, _FLOW_BOTTOM)
        self.level = add_axes(figure, LEFT, _LEVEL_TOP, RIGHT, _LEVEL_BOTTOM)
        sun, drive, contact = (add_axes(figure, LEFT, top, RIGHT, low) for top, low in _STRIPS)
        self.sun = SunStrip(sun, WORDS["sun"], columns=COLUMNS)
        looks = drive_looks({int(state): state.words for state in DriveState})
        self.drive = StateStrip(drive, WORDS["drive"], looks, columns=COLUMNS)
        self.contact = StateStrip(contact, WORDS["contact"], CONTACT, columns=COLUMNS)
        self._scale()
        self.lines = self._new_lines()
        self.flow_labels = SideLabels(figure, self.flow, {name: self.lines[name] for name in FLOWS})
        self.level_labels = SideLabels(
            figure, self.level, {name: self.lines[name] for name in troughs}
        )
        self.cursors = [
            axes.axvline(0.0, color=style.INK, linewidth=0.9, animated=True) for axes in self._all()
        ]
        self.dot = _dot(self.pressure)
        self.reading = note(
            figure, color=style.BLUE, fontweight="bold", fontsize=style.TITLE, path_effects=HALO
        )
        self.beside = [note(figure, va="center_baseline") for _ in _STRIPS]
        self.moving = self._moving()

    def show(self, trace: "Trace") -> None:
        """Lay a trace into the panels."""
        time = trace.time / MINUTE
        into = np.sum([*trace.inflow.values(), np.zeros_like(time)], axis=0)
        self._set("pressure", time, trace.pressure, kind="pressure")
        self._set("pump", time, trace.pump_flow, kind="flow")
        self._set("into troughs", time, into, kind="flow")
        self._set("leak", time, _lost(trace), kind="flow")
        for name in self.troughs:
            self._set(name, time, trace.level[name], kind="small length")
        self.sun.show(time, trace.irradiance)
        self.drive.show(time, trace.drive_state)
        self.contact.show(time, trace.contact)

    def point(self, trace: "Trace", moment: "Moment") -> None:
        """Move the cursor, and the readings beside the panels, to a moment."""
        minute = moment.time / MINUTE
        for cursor in self.cursors:
            cursor.set_xdata([minute, minute])
        self.dot.set_data([minute], [displayed(moment.pressure, "pressure", self.system)])
        self._place_reading(minute, moment.pressure)
        flows = {
            "pump": moment.pump_flow,
            "into troughs": sum(moment.inflows.values()),
            "leak": float(np.interp(moment.time, trace.time, _lost(trace))),
        }
        self.flow_labels.show(
            {
                name: f"{WORDS[name]} {say(flow, 'flow', self.system)}"
                for name, flow in flows.items()
            }
        )
        self.level_labels.show(
            {
                name: f"{shortened(name)} {say(moment.levels[name], 'small length', self.system)}"
                for name in self.troughs
            }
        )
        sun = float(np.interp(moment.time, trace.time, trace.irradiance))
        self._say_beside(
            say(sun, "irradiance", self.system),
            moment.drive_state.words,
            WORDS["closed" if moment.contact else "open"],
        )

    @property
    def top(self) -> float:
        """The top of the pressure axis [Pa]."""
        return self.pressure.get_ylim()[1] / displayed(1.0, "pressure", self.system)

    def _moving(self) -> list[Artist]:
        return [
            *self.sun.moving,
            *self.drive.moving,
            *self.contact.moving,
            *self.lines.values(),
            *self.flow_labels.moving,
            *self.level_labels.moving,
            *self.cursors,
            self.dot,
            self.reading,
            *self.beside,
        ]

    def _all(self) -> tuple[Axes, ...]:
        strips = (self.sun.axes, self.drive.axes, self.contact.axes)
        return (self.pressure, self.flow, self.level, *strips)

    def _scale(self) -> None:
        """Fix every axis to the limits, with round ticks."""
        for axes, kind, top, words in (
            (self.pressure, "pressure", self.limits.pressure, "pressure title"),
            (self.flow, "flow", self.limits.flow, "flow title"),
            (self.level, "small length", self.limits.level, "level title"),
        ):
            shown = displayed(top, kind, self.system)
            scale_up(axes, shown, count=6 if kind == "pressure" else 3)
            title(axes, WORDS[words].format(unit=unit_word(kind, self.system)))
        ticks, labels, words = time_ticks(self.limits.duration, self.limits.clock, self.system)
        for axes in self._all():
            axes.set_xlim(0.0, self.limits.duration / MINUTE)
            axes.set_xticks(ticks, labels)
            axes.tick_params(labelbottom=False)
        last = self.contact.axes
        last.tick_params(bottom=True, labelbottom=True)
        last.set_xlabel(words, color=style.QUIET, fontsize=style.TEXT, fontfamily=style.FONT)

    def _new_lines(self) -> dict[str, Line2D]:
        """Make the lines, still empty."""
        lines = {"pressure": _line(self.pressure, color=style.BLUE, linewidth=1.7)}
        lines |= {name: _line(self.flow, **_FLOW_LOOKS[name]) for name in FLOWS}
        return lines | {
            name: _line(self.level, **style.trough_look(number))
            for number, name in enumerate(self.troughs)
        }

    def _set(self, name: str, time: Floats, value: Floats, *, kind: str) -> None:
        shown = displayed(value, kind, self.system)
        self.lines[name].set_data(*envelope(time, shown, columns=COLUMNS))

    def _place_reading(self, minute: float, pressure: float) -> None:
        """Write the pressure beside the dot, on the side that has room."""
        x, y = place(self.pressure, minute, displayed(pressure, "pressure", self.system))
        left = minute > 0.8 * self.pressure.get_xlim()[1]
        self.reading.set(
            x=x + (-0.07 if left else 0.07),
            y=y + 0.07,
            ha="right" if left else "left",
            text=say(pressure, "pressure", self.system),
        )

    def _say_beside(self, *words: str) -> None:
        """Write how sun, drive and contact stand beside their strips."""
        for text, word, axes in zip(self.beside, words, self._all()[3:], strict=True):
            low, high = axes.get_ylim()
            x, y = place(axes, axes.get_xlim()[1], (low + high) / 2.0)
            text.set(x=x + 0.07, y=y, text=word)


def _lost(trace: "Trace") -> Floats:
    """Give what leaks away, out of the line and back through the check valve [m3/s]."""
    return trace.leak_flow + trace.returned_flow


def _line(axes: Axes, **look: Any) -> Line2D:
    """Make an empty line."""
    line = Line2D([], [], animated=True, solid_joinstyle="round", **({"linewidth": 1.5} | look))
    axes.add_line(line)
    return line


def _dot(axes: Axes) -> Line2D:
    """Make the mark of the moment."""
    dot = Line2D(
        [0.0],
        [0.0],
        marker="o",
        markersize=6.5,
        color=style.BLUE,
        markeredgecolor=style.PAPER,
        animated=True,
        clip_on=False,
    )
    axes.add_line(dot)
    return dot
