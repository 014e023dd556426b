"""Numbers with their units, and one plain sentence for a run.

This is the only place where a number becomes text for people.
"""

from functools import cache
from math import floor, isfinite, log10
from typing import Final

import numpy as np

from labkit.text.shared import WORDS
from labkit.trace import Event, Flag, Moment, Trace
from labkit.trace.measures import SHUT
from labkit.units import displayed, unit_label
from labkit.units.customary import DAY, HOUR, MINUTE

_DECIMALS: Final = {
    "pressure": {"US": (1, 1), "metric": (0, 0)},
    "flow": {"US": (2, 1), "metric": (2, 1)},
    "length": {"US": (1, 0), "metric": (1, 1)},
    "small length": {"US": (1, 1), "metric": (0, 0)},
    "volume": {"US": (1, 0), "metric": (1, 0)},
    "turns": {"US": (2, 2), "metric": (2, 2)},
    "resistance": {"US": (1, 0), "metric": (1, 0)},
    "velocity": {"US": (1, 1), "metric": (2, 1)},
}
"""Decimals shown for a dimension: below the size in `_SMALL`, and from there on."""

LEAST_DRIP: Final = 4e-7
"""Flow past a shut float that is worth a word [m3/s]: less would be told as nothing."""

NO_FLOW: Final = 1e-8  # a flow that no one would see: half a milliliter a minute [m3/s]
_SMALL: Final = {"flow": 1.0, "velocity": 1.0}
_SMALL_OTHERWISE: Final = 10.0


def say(value: float, kind: str, system: str) -> str:
    """Write a value [SI] with its unit, such as ``"28.4 psi"``; the kind ``"time"`` gives words."""
    if not isfinite(value):
        return WORDS["not known"]
    if kind == "time":
        return say_time(value)
    return f"{number(value, kind, system)} {unit_word(kind, system)}"


def say_under(value: float, kind: str, system: str) -> str:
    """Say a value of more than nothing [SI] to two digits, rounded down."""
    shown = float(displayed(value, kind, system))
    place = 10.0 ** (floor(log10(shown)) - 1)
    return f"{floor(shown / place + 1e-9) * place:,.0f} {unit_word(kind, system)}"


@cache
def unit_word(kind: str, system: str) -> str:
    """Return the unit of a kind of thing as it stands in print, such as ``"W/m²"``."""
    return unit_label(kind, system).replace("^2", "²").replace("deg", "°")


def number(value: float, kind: str, system: str) -> str:
    """Write a value [SI] in its display unit, without the unit, for a place that names it."""
    if not isfinite(value):
        return WORDS["not known"]
    shown = displayed(value, kind, system)
    small, large, below = decimals_of(kind, system)
    decimals = small if abs(shown) < below else large
    rounded = round(shown, decimals) + 0.0  # the sum turns -0.0 into 0.0
    return f"{rounded:,.{decimals}f}".replace("-", "\N{MINUS SIGN}") if rounded else "0"


@cache
def decimals_of(kind: str, system: str) -> tuple[int, int, float]:
    """Return the decimals of small and of large numbers of a kind, and what is small."""
    decimals = _DECIMALS[kind][system] if kind in _DECIMALS else (0, 0)
    return *decimals, _SMALL.get(kind, _SMALL_OTHERWISE)


def say_time(seconds: float) -> str:
    """Write a time span [s] as ``"1 min 22 s"``."""
    if not isfinite(seconds):
        return WORDS["not known"]
    if seconds < 9.95:
        return f"{round(seconds, 1):g} s"
    units = (("day", DAY), ("h", HOUR), ("min", MINUTE), ("s", 1.0))
    step = HOUR if seconds >= DAY else MINUTE if seconds >= HOUR else 1.0
    left = round(seconds / step) * step
    parts = []
    for name, size in units:
        count, left = divmod(left, size)
        if count:
            plural = "s" if name == "day" and count > 1 else ""
            parts.append(f"{count:.0f} {name}{plural}")
    return " ".join(parts)


def say_clock(seconds: float, system: str, *, with_seconds: bool = False) -> str:
    """Write a time of day [s after midnight] as ``"12:22 pm"``, or as ``"12:22"`` in metric."""
    whole = int(seconds) if with_seconds else int(seconds // MINUTE * MINUTE)
    day, rest = divmod(whole, int(DAY))
    hour, minute, second = rest // 3600, rest // 60 % 60, rest % 60
    tail = f":{minute:02d}" + (f":{second:02d}" if with_seconds else "")
    clock = f"{hour:02d}{tail}"
    if system == "US":
        clock = WORDS["am" if hour < 12 else "pm"].format(time=f"{(hour - 1) % 12 + 1}{tail}")
    return WORDS["later day"].format(day=day + 1, time=clock) if day else clock


def say_hour(seconds: float, system: str) -> str:
    """Write a full hour [s after midnight] in short, as ``"6 am"``, ``"noon"`` or ``"06:00"``."""
    hour = round(seconds / HOUR) % 24
    if system != "US":
        return f"{hour:02d}:00"
    if hour % 12 == 0:
        return WORDS["noon" if hour else "midnight"]
    return WORDS["am" if hour < 12 else "pm"].format(time=f"{hour % 12}")


def sentence(trace: Trace, system: str = "US") -> str:
    """Say what happened in a run, and what it amounts to."""
    return f"{counted(trace, system)} {verdict_words(trace)}"


def verdict_words(trace: Trace) -> str:
    """Say what a run amounts to; a drive that listens to level sensors is told of otherwise."""
    by_level = f"{trace.verdict} by level"
    if trace.site.drive.listens_to != "pressure switch" and by_level in WORDS:
        return WORDS[by_level]
    if trace.verdict == "cycling" and _starts_part_open(trace):
        return WORDS["cycling open"]
    if trace.verdict == "no stop" and trace.times("trough overflows"):
        return WORDS["no stop over"]
    if _is_unheard(trace):
        return WORDS[f"{trace.verdict} unheard"]
    if trace.verdict == "still filling" and trace.widest_opening[-1] < SHUT:
        return WORDS["still climbing"]
    return WORDS[trace.verdict]


def _is_unheard(trace: Trace) -> bool:
    """Whether the switch did its part, and the drive heard otherwise."""
    if trace.verdict == "no stop":
        return bool(trace.times("switch trips")) and not trace.times("drive told to stop")
    return trace.verdict == "stuck off" and not trace.tripped[-1]


def _starts_part_open(trace: Trace) -> bool:
    """Whether most starts of the pump came while a float hung open."""
    starts = trace.times("pump starts")
    rows = np.minimum(np.searchsorted(trace.time, starts, side="left"), trace.time.size - 1)
    return bool(np.mean(trace.widest_opening[rows] >= SHUT) > 0.5)


_FLAGGED: Final = {
    "velocity": "velocity", "pressure": "pressure", "drop pipe": "pressure", "cut short": "time",
}  # fmt: skip


def flag_words(flag: Flag, system: str = "US") -> str:
    """Say what a run strained, or what its physics cannot be trusted with."""
    kind = _FLAGGED.get(flag.kind)
    value, limit = (
        f"{amount:g}" if kind is None else say(amount, kind, system)
        for amount in (flag.value, flag.limit)
    )
    return WORDS[f"flag {flag.kind}"].format(where=flag.where, value=value, limit=limit)


def counted(trace: Trace, system: str) -> str:
    """Say how often the pump started, its shortest run and the highest pressure."""
    measures = trace.measures()
    names = {0: "no start", 1: "one start", 2: "two starts"}
    key = names.get(int(measures.starts), "many starts")
    clauses = [WORDS[key].format(count=int(measures.starts))]
    if isfinite(measures.shortest_run):
        clauses.append(WORDS["shortest run"].format(time=say_time(measures.shortest_run)))
    if isfinite(measures.peak_pressure):
        peak = say(measures.peak_pressure, "pressure", system)
        clauses.append(WORDS["highest pressure"].format(pressure=peak))
    period = WORDS["period"].format(time=say_time(float(trace.time[-1] - trace.time[0])))
    return period + "; ".join(clauses) + "."


def moment_lines(trace: Trace, moment: Moment, system: str) -> list[str]:
    """Say how the line stands at one moment of a run, a line of text for each part."""
    clock = say_clock(trace.clock + moment.time, system, with_seconds=True)
    pressure = say(moment.pressure, "pressure", system)
    height = say(moment.heads["manifold"], "length", system)
    share = f"{100.0 * moment.speed:.0f}%"
    return [
        WORDS["moment"].format(clock=clock, time=say_time(moment.time)),
        WORDS["moment pressure"].format(pressure=pressure, height=height),
        WORDS["moment drive"].format(
            state=moment.drive_state.words,
            contact=WORDS["closed" if moment.contact else "open"],
            share=share,
        ),
        *(
            _trough_line(trough.name, trough.float_valve.position, moment, system)
            for trough in trace.site.troughs
        ),
    ]


def _trough_line(name: str, position: str, moment: Moment, system: str) -> str:
    opening = moment.openings[name]
    inflow = moment.inflows[name]
    key = "trough filling" if opening >= SHUT else "trough shut"
    if opening < SHUT and inflow > LEAST_DRIP:
        key = "trough closing" if opening > 0.0 else "trough dripping"
    if position != "floats":
        key = "trough held open" if position == "always open" else "trough held shut"
    return WORDS[key].format(
        name=name,
        level=say(moment.levels[name], "small length", system),
        flow=say(inflow, "flow", system),
    )


def event_words(event: Event, clock: float, system: str) -> str:
    """Say what happened and when, such as ``"12:22:10 pm: the pump stops"``.

    `clock` is the time of day at the start of the run [s after midnight].
    """
    when = say_clock(clock + event.time, system, with_seconds=True)
    words = WORDS.get(event.kind, event.kind).format(where=event.where)
    return f"{when}: {words}"


def alt_text(
    trace: Trace, moment: Moment, settings: str, system: str = "US", *, said: str = ""
) -> str:
    """Return the words that stand for the picture at a moment, to one who does not see it.

    `said` stands in place of what happened in the run and what it amounts to.
    """
    parts = [WORDS["picture"], settings, said or sentence(trace, system)]
    parts.extend(moment_lines(trace, moment, system))
    return " ".join([part if part.endswith(".") else f"{part}." for part in parts if part])
