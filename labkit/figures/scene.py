"""The scene of a run: all that is drawn of it, in the reader's units and words, as plain data.

Two painters take the same scene, `labkit.pages.live` in a page and `labkit.figures.paper` on paper.
They work out no physics and make no sentence: a number that they write has its unit and decimals
from `say`, and a word comes from here.
"""

from collections.abc import Mapping, Sequence
from functools import cache, cached_property, partial
from typing import Any, Final

import attrs
import numpy as np
from numpy.typing import ArrayLike

from labkit.arrays import Floats
from labkit.figures import looks
from labkit.figures.limits import BELOW, WATER_COLUMN, Limits
from labkit.figures.profile import Profile
from labkit.figures.thin import envelope, spans
from labkit.figures.ticks import nice_step, round_ticks, round_top, time_ticks
from labkit.language import (
    NO_FLOW,
    alt_text,
    counted,
    decimals_of,
    event_words,
    flag_words,
    say,
    say_time,
    unit_word,
    verdict_words,
)
from labkit.site import Site
from labkit.text import template
from labkit.text.shared import WORDS
from labkit.trace import Trace
from labkit.trace.calling import says_full
from labkit.trace.measures import SHUT, false_stop_times
from labkit.units import displayed, si
from labkit.units.customary import HOUR, MINUTE


def telling_moment(trace: Trace) -> float:
    """Return the moment [s] that tells most: when what the drive goes by last spoke, or the end.

    Of false stops it is the first, while the trough is still far from full.
    """
    if trace.verdict == "false stop":
        return float(false_stop_times(trace)[0])
    listens = trace.site.drive.listens_to
    kind = "switch trips" if listens == "pressure switch" else "drive told to stop"
    words = trace.times(kind)
    return float(words[-1] if words else trace.time[-1])


VERSION: Final = 1
COLUMNS: Final = 460
"""Columns of dots for which a long record is thinned."""
SUN_TOP: Final = 1200.0
"""Top of the sun's strip [W/m2]: a little more than the strongest sun on a tilted array."""
MOST_EVENTS: Final = 60
LONGEST_NAME: Final = 12

_SPOKEN: Final = ("pressure", "flow", "small length", "irradiance", "length", "share")


@attrs.frozen(kw_only=True)
class Grip:
    """A thing in the picture that can be taken hold of: another handle of a control."""

    control: str  # the control that it turns
    per: float  # how much the control's number changes as the mark goes up by one


@attrs.frozen(kw_only=True)
class Verdict:
    """What a run amounts to: a word in a color and a shape, and a sentence of cause."""

    word: str
    cause: str
    color: str
    corners: int
    is_good: bool


@attrs.frozen(kw_only=True, eq=False)
class Scene:
    """What is drawn of a run."""

    system: str  # whose units: "US", "metric"
    # numbers over time or along the line, in display units; other parts name them by place
    arrays: tuple[Floats, ...]
    moment: float  # the moment that tells most [s]
    # everything else, ready to be sent: ``x``, ``panels``, ``strips``, ``line``, ``dial``
    parts: Mapping[str, Any]
    verdict: Verdict | None  # none for a run that is only begun
    cautions: tuple[str, ...]  # what the run strained
    # what happened and what it amounts to, and what happened alone
    text: str
    counted: str
    # that there is more to come, and the words that stand for the picture
    so_far: str
    alt: str

    @cached_property
    def data(self) -> bytes:
        """The arrays one after the other, as 4-byte floats, the low byte first."""
        return np.concatenate(self.arrays).astype("<f4").tobytes()

    def message(self) -> dict[str, Any]:
        """Return all of it for a page: plain values, and the numbers as bytes."""
        return {
            "v": VERSION,
            "system": self.system,
            "moment": self.moment,
            "lengths": [array.size for array in self.arrays],
            "data": self.data,
            "words": {
                "verdict": None if self.verdict is None else attrs.asdict(self.verdict),
                "cautions": list(self.cautions),
                "counted": self.counted,
                "so_far": self.so_far,
                "alt": self.alt,
            },
            **self.parts,
        }

    def series(self, name: str) -> tuple[Floats, Floats]:
        """Return times [s] and values of a line by its name."""
        found = next(s for p in self.parts["panels"] for s in p["series"] if s["id"] == name)
        return self.arrays[found["t"]], self.arrays[found["y"]]


class _Arrays:
    """The arrays of a scene while it is made; one that stands there already is not kept twice."""

    def __init__(self) -> None:
        self.kept: list[Floats] = []
        self._places: dict[int, int] = {}

    def place(self, array: Floats) -> int:
        """Keep an array and return its place."""
        if id(array) not in self._places:
            self._places[id(array)] = len(self.kept)
            self.kept.append(array)
        return self._places[id(array)]


def scene_of(
    trace: Trace,
    system: str = "US",
    *,
    limits: Limits | None = None,
    grips: Mapping[str, Grip] | None = None,
    settings: str = "",
    whole: float = 0.0,
    rest: str = "so far",
    moment: float | None = None,
) -> Scene:
    """Make the scene of a run.

    The axes reach at least to the `limits`. `grips` are what can be taken hold of, by the mark's
    name: ``"cut-out"``, ``"cut-in"``, ``"sun"`` or a trough's. `settings` are how the sliders
    stand, in words. A run shorter than the `whole` [s] is only begun, and not judged; `rest` says
    when, or where, the rest of it is seen: "so far" or "so far predicted". The cursor stands at a
    `moment` [s]; left out, at the one that tells most.
    """
    made = _Made(trace, system, limits, grips or {})
    time = telling_moment(trace) if moment is None else moment
    so_far = _beginning(trace, whole, rest)
    verdict = None if so_far else verdict_of(trace)
    told = counted(trace, system)
    text = told if verdict is None else f"{verdict_words(trace)} {told}"
    return Scene(
        system=system,
        moment=time,
        parts=made.parts(),
        arrays=tuple(made.arrays.kept),
        verdict=verdict,
        cautions=() if so_far else tuple(flag_words(flag, system) for flag in trace.flags),
        text=text,
        counted=told,
        so_far=so_far,
        alt=alt_text(trace, trace.at(time), settings, system, said=f"{text} {so_far}".strip()),
    )


def verdict_of(trace: Trace) -> Verdict:
    """Return a run's verdict; its word is the head of its sentence."""
    word, _, cause = verdict_words(trace).partition(": ")
    color, corners = looks.VERDICTS[trace.verdict]
    return Verdict(
        word=word,
        cause=cause[:1].upper() + cause[1:],
        color=color,
        corners=corners,
        is_good=trace.verdict == "sound stop",
    )


def _beginning(trace: Trace, whole: float, rest: str) -> str:
    """Say that there is more to come, where the run ends before its whole time [s]."""
    seen = float(trace.time[-1])
    if seen > whole - 1.0:
        return ""
    return WORDS[rest].format(seen=say_time(seen), whole=say_time(whole))


def shortened(name: str) -> str:
    """Return a name, cut where it is too long for the picture."""
    return name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"


class _Made:
    """A scene while it is made from a trace."""

    def __init__(
        self, trace: Trace, system: str, limits: Limits | None, grips: Mapping[str, Grip]
    ) -> None:
        reach = Limits.of_trace(trace)
        self.trace, self.system, self.grips = trace, system, grips
        self.shown = partial(displayed, system=system)
        self.limits = reach if limits is None else limits.holding(reach)
        self.arrays = _Arrays()
        self.names = [trough.name for trough in trace.site.troughs]
        self.top, self.pressure_ticks = round_top(
            self.shown(self.limits.pressure, "pressure"), count=6
        )
        moving = trace.time
        if moving.size > 4 * COLUMNS:
            events = [event.time for event in trace.events[:COLUMNS]]
            ends = np.linspace(0.0, float(moving[-1]), 2 * COLUMNS)
            moving = np.unique(np.concatenate([ends, events]))
        self.moving = moving

    def parts(self) -> dict[str, Any]:
        """Return all parts but the words."""
        return {
            "x": self._time_axis(),
            "say": _spoken(self.system),
            "panels": [self._pressure(), self._flows(), self._levels()],
            "strips": self._strips(),
            "line": self._line(),
            "dial": self._dial(),
            "events": self._events(),
            "labels": {
                "closed": WORDS["closed"], "open": WORDS["open"], "shut": WORDS["float shut"],
                "taking": WORDS["taking"], "grade": WORDS["grade line"], "dry": WORDS["dry"],
                "contact": WORDS["contact"],
            },
        }  # fmt: skip

    def _time_axis(self) -> dict[str, Any]:
        ticks, labels, name = time_ticks(self.limits.duration, self.trace.clock, self.system)
        halves = ("am", "pm") if self.system == "US" else ()
        return {
            "end": self.limits.duration, "seen": float(self.trace.time[-1]), "label": name,
            "ticks": [[MINUTE * at, words] for at, words in zip(ticks, labels, strict=True)],
            "clock": self.trace.clock, "later_day": template("bench", "later-day"),
            "halves": [template("bench", half) for half in halves],
            "by_clock": self.limits.duration > 4.0 * HOUR,
        }  # fmt: skip

    def _series(
        self, name: str, value: Floats, kind: str, label: str, look: str | None = None
    ) -> dict[str, Any]:
        time, shown = envelope(self.trace.time, self.shown(value, kind), columns=COLUMNS)
        return {
            "id": name, "t": self.arrays.place(time), "y": self.arrays.place(shown), "kind": kind,
            "label": label, "look": look or name,
        }  # fmt: skip

    def _panel(
        self, name: str, kind: str, top: float, series: list[dict[str, Any]]
    ) -> dict[str, Any]:
        end, ticks = round_top(self.shown(top, kind), count=3)
        title = WORDS[f"{name} title"].format(unit=unit_word(kind, self.system))
        return {"id": name, "title": title, "hi": end, "ticks": ticks, "series": series}

    def _pressure(self) -> dict[str, Any]:
        """Return the panel of the pressure, with the switch's two points as its marks."""
        trace, (cut_in, cut_out) = self.trace, self.trace.site.pressure_switch.points
        panel = self._panel(
            "pressure", "pressure", self.limits.pressure,
            [self._series("pressure", trace.pressure, "pressure", "")],
        )  # fmt: skip
        panel |= {"hi": self.top, "ticks": self.pressure_ticks}
        panel["marks"] = [
            self._mark(name, point) for name, point in (("cut-out", cut_out), ("cut-in", cut_in))
        ]
        return panel

    def _mark(self, name: str, point: float) -> dict[str, Any]:
        """Return one point of the switch [Pa]: where it stands, its words, what turns it."""
        words = WORDS[name].format(
            pressure=say(point, "pressure", self.system),
            height=say(point / WATER_COLUMN, "length", self.system),
        )
        return {
            "id": name, "y": self.shown(point, "pressure"), "words": words.split("\n"),
            **self._grip(name),
        }  # fmt: skip

    def _grip(self, name: str) -> dict[str, Any]:
        return {"grip": attrs.asdict(self.grips[name])} if name in self.grips else {}

    def _flows(self) -> dict[str, Any]:
        trace = self.trace
        into = np.sum([*trace.inflow.values(), np.zeros_like(trace.time)], axis=0)
        lost = trace.leak_flow + trace.returned_flow
        flows = {"pump": trace.pump_flow, "into troughs": into, "leak": lost}
        series = [self._series(name, flow, "flow", WORDS[name]) for name, flow in flows.items()]
        return self._panel("flow", "flow", self.limits.flow, series)

    def _levels(self) -> dict[str, Any]:
        series = [
            self._series(
                f"level {name}",
                self.trace.level[name],
                "small length",
                shortened(name),
                _look(place),
            )
            for place, name in enumerate(self.names)
        ]
        return self._panel("level", "small length", self.limits.level, series)

    def _strips(self) -> list[dict[str, Any]]:
        """Return the strips: how strong the sun is, what the drive does, how the contact stands."""
        trace = self.trace
        sun = self._series("sun", trace.irradiance, "irradiance", WORDS["sun"])
        codes = {"drive": trace.drive_state, "contact": trace.contact}
        speed = {"id": "speed", "t": self.arrays.place(self.moving), "kind": "share"}
        speed["y"] = self._moving(100.0 * trace.speed)
        return [
            {**sun, "hi": SUN_TOP, **self._grip("sun")},
            *(
                {"id": name, "label": WORDS[name], "spans": _spans(trace, code)}
                for name, code in codes.items()
            ),
            speed,
        ]

    def _moving(self, values: Floats, kind: str | None = None) -> int:
        """Keep what moves at the times of `moving`, in display units, and return its place."""
        shown = values if kind is None else self.shown(values, kind)
        return self.arrays.place(np.interp(self.moving, self.trace.time, shown))

    def _line(self) -> dict[str, Any]:
        """Return the ground, its nodes with their heads, and its troughs."""
        trace, system = self.trace, self.system
        profile = Profile.of(trace, system=system)
        high = self.shown(self.top_si / WATER_COLUMN, "length")
        far = self.shown(self.limits.distance, "length")
        step, up = nice_step(far, count=4), nice_step((1.0 + BELOW) * high, count=8)
        return {
            "title": WORDS["line title"].format(unit=unit_word("length", system)),
            "label": WORDS["distance title"].format(unit=unit_word("length", system)),
            "far": far, "high": high, "low": -BELOW * high,
            "across": round_ticks(0.0, far * 1.02, step=step),
            "up": round_ticks(-BELOW * high, high, step=up),
            "t": self.arrays.place(self.moving),
            "nodes": [
                {
                    "id": name, "x": x, "y": profile.height[name],
                    "parent": profile.parent.get(name),
                    "head": self._moving(trace.head[name], "length"),
                    **self._leg(name),
                }
                for name, x in profile.distance.items()
            ],
            "flow": self._moving(trace.pump_flow, "flow"),
            "least": self.shown(NO_FLOW, "flow"),
            "troughs": [self._trough(place) for place in range(len(self.names))],
            "leaks": [leak.tolist() for leak in profile.leaks],
            "vents": [vent.tolist() for vent in profile.vents],
            "well": WORDS["well"].format(
                depth=say(si(trace.site.well.static_level), "length", system)
            ),
            "sun": {"hi": SUN_TOP, "now": self._moving(trace.irradiance), **self._grip("sun")},
        }  # fmt: skip

    def _leg(self, name: str) -> dict[str, Any]:
        """Return the lower end of a leg that drained, and how much of it is full."""
        trace, foot = self.trace, self.trace.legs.get(name, "")
        if name not in trace.surface or foot not in trace.distance:
            return {}
        low, high = trace.elevations[foot], trace.elevations[name]
        wet = np.clip((trace.surface[name] - low) / (high - low), 0.0, 1.0)
        return {"foot": foot, "wet": self._moving(wet)}

    @property
    def top_si(self) -> float:
        """The top of the pressure axis [Pa]."""
        return self.top / self.shown(1.0, "pressure")

    def _trough(self, place: int) -> dict[str, Any]:
        """Return a trough: where it stands is its node; its water, valve and sensor over time."""
        trace, name = self.trace, self.names[place]
        trough = trace.site.troughs[place]
        sensors = [
            {
                "at": si(sensor.stops_at) / si(trough.depth),
                "full": _spans(trace, says_full(trace, sensor)),
                "radio": sensor.radio is not None,
            }
            for sensor in trace.site.level_sensors
            if sensor.trough == name
        ]
        return {
            "id": name, "name": shortened(name), "look": _look(place), "shut": SHUT,
            "share": self._moving(trace.level[name] / si(trough.depth)),
            "full": 1.0 - si(trough.freeboard) / si(trough.depth),
            "opening": self._moving(trace.opening[name]),
            "inflow": self._moving(trace.inflow[name], "flow"),
            "sensors": sensors, **self._grip(name),
        }  # fmt: skip

    def _dial(self) -> dict[str, Any]:
        """Return the gauge at the well: its end, its ticks, its unit."""
        end, ticks = round_top(self.top, count=4)
        return {"hi": end, "ticks": ticks, "unit": unit_word("pressure", self.system)}

    def _events(self) -> list[list[Any]]:
        trace = self.trace
        some: Sequence[Any] = trace.events[:MOST_EVENTS]
        return [[event.time, event_words(event, trace.clock, self.system)] for event in some]


@cache
def _spoken(system: str) -> dict[str, dict[str, Any]]:
    """Return how a number of each kind is written: unit, decimals of small and of large ones."""
    names = ("unit", "small", "large", "below")
    return {
        kind: dict(zip(names, (unit_word(kind, system), *decimals_of(kind, system)), strict=True))
        for kind in _SPOKEN
    }


def _spans(trace: Trace, code: ArrayLike) -> list[list[float]]:
    """Return from when to when a run is in which state."""
    return [list(span) for span in spans(trace.time, code, columns=COLUMNS)]


def _look(place: int) -> str:
    return looks.TROUGHS[place % len(looks.TROUGHS)]


def grip_heights(site: Site, system: str) -> dict[str, float]:
    """Return how high each thing that can be held stands, in the units of the picture."""
    switch = site.pressure_switch
    return {
        "cut-out": float(displayed(si(switch.cut_out), "pressure", system)),
        "cut-in": float(displayed(si(switch.cut_in), "pressure", system)),
        **{
            trough.name: float(displayed(site.elevation(trough.name), "length", system))
            for trough in site.troughs
        },
    }
