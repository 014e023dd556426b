"""From what is seen on a line to what to check: computed from the fault box, so that it stays true.

Each fault is put into a demo line and run. What the run shows decides to which symptom the fault
belongs, and what each field test would read decides in which order to test. A fault that is added
to the box is found here without a word written.
"""

import contextlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from pathlib import Path
from typing import Any, Final, TypeAlias

import attrs
import numpy as np

from labkit.drills.doing import seen
from labkit.drills.scene import Value
from labkit.drills.signature import Channel, Placed, readings, scene_of
from labkit.drills.tasks import TASKS, choices
from labkit.engine.run import simulate
from labkit.faults import FAULTS, Fault, morning, signs, stocked
from labkit.language import say
from labkit.pages.home import kept_checks
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.text import speaker
from labkit.trace import Trace
from labkit.trace.measures import SHUT
from labkit.units import si
from labkit.units.customary import PSI

words = speaker("home")

LINES: Final = ("first_line", "one_trough_uphill", "deep_well")
"""Demo lines on which each fault is tried; the tests are told of the first that can have it."""

EXPLAINED: Final = {
    "float and trough": 9,
    "pipe in the ground": 6,
    "tank": 7,
    "gauge and switch": 4,
    "signal wires": 5,
    "pump and well": 6,
    "sun and panels": 2,
}
"""The lesson that explains a part of the line."""

MOST_CHECKS: Final = 6
SIZES: Final = (0.1, 0.5, 0.9)
"""How bad a fault is tried, from slight to bad."""

_HAZE: Final = "450 W/m^2"
_FALLS: Final = 3.0 * PSI / 600.0
"""A fall of the gauge at rest that anybody sees: 3 psi in ten minutes [Pa/s]."""
_SETTLES: Final = 60.0  # how long a line takes to come to rest after the pump [s]
_DRIPS: Final = 2e-6


@attrs.frozen(kw_only=True)
class Seen:
    """A line's morning and an hour of haze, beside the same without the fault."""

    trace: Trace
    usual: Trace
    haze: Trace
    usual_haze: Trace
    is_gauge_stopped: bool


Test: TypeAlias = tuple[str, str]  # a field test, and the trough where it is done or an empty name
Sign: TypeAlias = Callable[[Seen], bool]


def _wont_start(seen: Seen) -> bool:
    """Whether the pump stands though a trough lacks water that it would have by now."""
    trace, usual = seen.trace, seen.usual
    lacks = any(signs.lacks_water(trace, usual, name) for name in trace.level)
    return lacks and trace.speed[-1] == 0.0 and not signs.shuts_itself_off(trace)


def _runs_over(seen: Seen) -> bool:
    return any(signs.runs_over(seen.trace, seen.usual, one) for one in seen.trace.site.troughs)


def _drips(seen: Seen) -> bool:
    """Whether water still comes into a trough whose float is up."""

    def drips(trace: Trace) -> bool:
        return any(
            float(np.median(trace.inflow[name][shut])) > _DRIPS
            for name in trace.inflow
            if (shut := trace.opening[name] < SHUT).any()
        )

    return drips(seen.trace) and not drips(seen.usual)


def _falls_at_rest(seen: Seen) -> bool:
    """Whether the gauge falls while the pump is off and every float is up."""

    def fastest(trace: Trace) -> float:
        rest = (trace.speed <= 0.0) & np.all(
            [trace.opening[name] < SHUT for name in trace.opening], axis=0
        )
        edges = np.flatnonzero(np.diff(np.concatenate(([0], rest.astype(int), [0]))))
        found = 0.0
        for first, last in zip(edges[::2], edges[1::2] - 1, strict=True):
            begin = trace.time[first] + _SETTLES
            if trace.time[last] > begin:
                fall = np.interp(begin, trace.time, trace.pressure) - trace.pressure[last]
                found = max(found, float(fall / (trace.time[last] - begin)))
        return found

    return not seen.is_gauge_stopped and fastest(seen.trace) > _FALLS > fastest(seen.usual)


def _fills_slowly(seen: Seen) -> bool:
    trace, usual = seen.trace, seen.usual
    slow = any(signs.fills_slowly(trace, usual, name) for name in trace.opening)
    return slow and not _runs_over(seen) and signs.ran(trace) > 0.9 * signs.ran(usual)


def _haze_alone(seen: Seen) -> bool:
    """Whether it goes on running in haze, though it stops in full sun."""
    stops = not signs.keeps_running(seen.trace, seen.usual)
    return stops and signs.runs_on(seen.haze) and not signs.runs_on(seen.usual_haze)


SYMPTOMS: Final[dict[str, Sign]] = {
    "stop": lambda seen: signs.keeps_running(seen.trace, seen.usual),
    "start": _wont_start,
    "cycles": lambda seen: signs.starts_more(seen.trace, seen.usual),
    "soon": lambda seen: signs.stops_too_soon(seen.trace, seen.usual),
    "drip": _drips,
    "falls": _falls_at_rest,
    "over": _runs_over,
    "haze": _haze_alone,
    "slow": _fills_slowly,
    "off": lambda seen: signs.shuts_itself_off(seen.trace),
    "gauge": lambda seen: signs.gauge_stands(seen.trace, is_gauge_stopped=seen.is_gauge_stopped),
}
"""What people see, and how a run shows it."""


@attrs.frozen(kw_only=True)
class Case:
    """A fault in a line: what it makes people see, and what each field test would read."""

    fault: Fault
    site: str
    symptoms: frozenset[str]
    read: Mapping[Test, tuple[Value, ...]]


def _haze_of(site: Site) -> Trace:
    full = {trough.name: si(trough.depth) - si(trough.freeboard) - 0.02 for trough in site.troughs}
    levels = {name: f"{level} m" for name, level in full.items()}
    alone = site.changed({f"trough.{trough.name}.herd": None for trough in site.troughs})
    return simulate(alone, "1 hour", sun=_HAZE, levels=levels)


def case(key: str) -> Case | None:
    """Run a fault on every line that can have it; None if none can."""
    fault = FAULTS[key]
    sites = {name: site for name in LINES if fault.fits(site := demo_site(name))}
    if not sites:
        return None
    symptoms = {sign for site in sites.values() for sign in _signs(fault, site)}
    first, site = next(iter(sites.items()))
    where = fault.places(site)[0]
    placed = Placed(key=key, size=fault.size_at(site, where, SIZES[-1]), where=where)
    return Case(fault=fault, site=first, symptoms=frozenset(symptoms), read=_read(site, [placed]))


def _signs(fault: Fault, site: Site) -> Iterator[str]:
    """Name what people see of a fault on a line, in one size or another."""
    sound, where = stocked(site), fault.places(site)[0]
    usual, _ = morning(sound)
    usual_haze = _haze_of(sound)
    for share in SIZES:
        broken = fault.apply(sound, fault.size_at(site, where, share), where)
        trace, _ = morning(broken)
        seen = Seen(
            trace=trace,
            usual=usual,
            haze=_haze_of(broken),
            usual_haze=usual_haze,
            is_gauge_stopped=fault.stops_gauge,
        )
        yield from (sign for sign, shows in SYMPTOMS.items() if shows(seen))


def _read(site: Site, placed: Iterable[Placed]) -> dict[Test, tuple[Value, ...]]:
    """Return what each field test reads, each done first."""
    found: dict[Test, tuple[Value, ...]] = {}
    scene = scene_of(stocked(site), placed)
    for one in choices(site):
        read: dict[Channel, Value] = readings(scene, [one])
        found[one] = tuple(read.values())
    return found


def tells_apart(one: Sequence[Value], other: Sequence[Value]) -> bool:
    """Return whether two readings of a field test differ by more than their errors."""
    if len(one) != len(other):
        return True
    for mine, its in zip(one, other, strict=True):
        if isinstance(mine.value, str) or isinstance(its.value, str):
            if mine.value != its.value:
                return True
        elif abs(mine.value - its.value) > mine.error + its.error:
            return True
    return False


def order(cases: Sequence[Mapping[Test, Sequence[Value]]]) -> list[Test]:
    """Return the field tests that tell lines apart, the one that tells most a minute first.

    Each case is what the tests read on a line; the good line is one of them.
    """
    tests = list(dict.fromkeys(test for read in cases for test in read))
    pairs = set(combinations(range(len(cases)), 2))
    told = {
        test: {
            (i, j)
            for i, j in pairs
            if test in cases[i] and test in cases[j] and tells_apart(cases[i][test], cases[j][test])
        }
        for test in tests
    }
    chosen: list[Test] = []
    while pairs and len(chosen) < MOST_CHECKS:
        best = max(tests, key=lambda test: len(told[test] & pairs) / TASKS[test[0]].minutes)
        if not told[best] & pairs:
            break
        chosen.append(best)
        pairs -= told[best]
    return chosen


def _amount(value: Value) -> str:
    if isinstance(value.value, str):
        return seen(value.value)
    if value.kind == "count":
        return f"{value.value:.0f}"
    said = say(value.value, value.kind, "US")
    return said.replace(".0 ", " ") if value.kind == "pressure" else said  # as a gauge shows it


def _words(test: Test, values: Sequence[Value]) -> str:
    key, where = test
    read = [value.seen(0.0) for value in values]
    amounts = {value.name: _amount(value) for value in read}
    return TASKS[key].words(read).format(**amounts, where=where, inch=words("one-inch"))


def _check(test: Test, cases: Sequence[Case], sound: Mapping[Any, Any]) -> dict[str, Any]:
    """Write down a field test: what a good line reads, and what each other reading means."""
    key, _ = test
    groups: list[list[Case]] = []
    for one in cases:
        if test not in one.read:
            continue
        for group in groups:
            if not tells_apart(group[0].read[test], one.read[test]):
                group.append(one)
                break
        else:
            groups.append([one])
    good = sound[cases[0].site][test]
    return {
        "do": TASKS[key].label.format(where=words("the-trough"), inch=words("one-inch")),
        "minutes": TASKS[key].minutes,
        "good": _words(test, good),
        "readings": [
            {
                "says": _words(test, group[0].read[test]),
                "is_good": not tells_apart(group[0].read[test], good),
                "means": [one.fault.name for one in group],
            }
            for group in groups
        ],
    }


def work_out() -> list[dict[str, Any]]:
    """Return every symptom with its suspects and its checks in order."""
    cases = [found for key in FAULTS if (found := case(key)) is not None]
    sound = {name: _read(demo_site(name), []) for name in {one.site for one in cases}}
    told = []
    for sign in SYMPTOMS:
        mine = [one for one in cases if sign in one.symptoms]
        told.append(
            {
                "key": sign,
                "title": words(f"symptom-{sign}"),
                "suspects": [
                    {
                        "name": one.fault.name,
                        "brief": one.fault.brief,
                        "repair": f"{one.fault.repair} {one.fault.alike_words}".strip(),
                        "cautions": one.fault.caution,
                        "lesson": EXPLAINED[one.fault.part],
                    }
                    for one in mine
                ],
                "checks": [
                    _check(test, mine, sound)
                    for test in order([sound[LINES[0]], *(one.read for one in mine)])
                ],
            }
        )
    return told


def keep(path: Path) -> list[dict[str, Any]]:
    """Return the answer, worked out unless it is kept; what cannot be kept is only worked out."""
    kept = kept_checks()
    if kept is not None:
        return kept
    told = work_out()
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(told), encoding="utf-8")
    return told
