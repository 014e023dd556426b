"""What each fault would read in each task, over its sizes and places, and what tells two apart."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from itertools import pairwise
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

import attrs
import numpy as np

from labkit.drills.doing import Task, cycling, lowered, thinned
from labkit.drills.mending import CYCLE
from labkit.drills.scene import Scene, Value, read_together
from labkit.drills.tasks import TASKS, choices
from labkit.errors import RunError
from labkit.faults import FAULTS, Fault, Price, morning
from labkit.site import Site
from labkit.trace import Trace
from labkit.units import quantity, si

Done: TypeAlias = tuple[str, str]  # a task and where it is done
Channel: TypeAlias = tuple[str, str, str]
"""A task, where it is done, and the name of one thing read."""

Spell: TypeAlias = tuple[float, float]  # when it begins and when it ends [s]

Read: TypeAlias = Callable[[Scene, float], dict[Channel, Value]]
"""Something that reads a scene, some minutes waited before each task but the first."""

PHASES: Final = (1.3, 3.1, 5.7, 9.2)
"""How much later [min] a line is met as well whose pump comes or goes without a whole cycle."""

FLEETING: Final = frozenset(("starting", "stopping"))
"""States that any drive passes through in seconds: to meet it there says nothing."""

WINDOW: Final = 15.0  # over how long [min] what can be seen without turning anything is looked at
SETTLES: Final = 1.0  # how long [min] a line takes to stand once its float shuts
LATE: Final = (0.99, 0.9, 0.8)
"""How late in a rest a float may shut: where the pump is about to start, it comes all the same."""

SHARES: Final = (0.0, 0.5, 1.0)
MIDDLING: Final = (0.5,)
MANY: Final = (0.0, 0.15, 0.3, 0.45, 0.6, 0.8, 1.0)
"""How bad, from slight to bad, a fault is tried out."""


@attrs.frozen(kw_only=True)
class Placed:
    """A fault with its size, in its place."""

    key: str
    size: str
    where: str

    @property
    def fault(self) -> Fault:
        """The fault."""
        return FAULTS[self.key]


def scene_of(site: Site, placed: Iterable[Placed]) -> Scene:
    """Return a stocked site with faults as a technician meets it, at the end of its morning."""
    stopped = None
    for one in placed:
        site = one.fault.apply(site, one.size, one.where)
        if one.fault.stops_gauge:
            stopped = si(quantity(one.size, "psi"))
    _, standing = morning(site)
    return Scene(site=site, standing=standing, stopped_gauge=stopped)


@attrs.frozen(kw_only=True, eq=False)
class Met:
    """A faulty line at the moments at which a technician may come upon it.

    Nobody knows which point of its cycle that is.
    """

    # the line as it is, and as it would be some minutes earlier or later in its cycle; with the
    # minutes to wait before each further task, for a task that turns something sets it going anew
    moments: tuple[tuple[Scene, float], ...]
    trace: Trace  # what it does while nothing is turned


def _met(scene: Scene) -> Met:
    trace, _ = scene.pass_time(WINDOW)
    when = phases(trace)
    others = [(scene.later(minutes), minutes) for minutes in when]
    if not when:
        others = [(other, 0.0) for other in _rests(scene)]
    moments = tuple((one.afresh(), wait) for one, wait in ((scene, 0.0), *others))
    return Met(moments=moments, trace=trace)


def _readings_over_cycle(met: Met, read: Read) -> Iterator[dict[Channel, Value]]:
    scenes = [(scene.afresh(), wait) for scene, wait in met.moments]
    first = read(*scenes[0])
    yield first
    scene, trace = scenes[0][0], met.trace
    passive = [channel for channel in first if TASKS[channel[0]].see is not None]
    for row in thinned(0, trace.time.size):
        seen = _named(
            (key, where, _seen(key, where, scene, trace, row))
            for key, where in dict.fromkeys((key, where) for key, where, _ in passive)
        )
        yield {
            (key, where, name): seen[key, where, name.rpartition(" ")[2]]
            for key, where, name in passive
        }
    for one in scenes[1:]:
        yield read(*one)


def _rests(scene: Scene) -> Iterator[Scene]:
    """Return a line that stands still as it stands as well if its filling comes and goes.

    It came to rest wherever its float shut, between a start and a stop: nobody knows where. A
    choked line cycles all the while, one whose tank gives little as its float closes.
    """
    for trough in scene.site.troughs:
        turned = lowered(scene, trough.name)
        trace, _ = scene.pass_time(WINDOW, turned=turned)
        if found := _rest_and_run(trace, -1):
            (stop, again), (start, end) = found
            late = [stop + share * (again - stop) for share in LATE]
            for moments in ([0.5 * (start + end)], late):
                for moment in moments:
                    after = scene.pass_time(moment / 60.0, turned=turned)[1]
                    shut, other = after.pass_time(SETTLES)
                    if not shut.times("pump starts"):
                        yield other
                        break


def _swung(scene: Scene, task: Task) -> list[Scene]:
    """Return a line at the ends of the swing that it is in after a task, or was left in by it.

    What lets water out sets a short cycle going, and seconds tell where in it the next task begins.
    """
    trace, _ = scene.pass_time(WINDOW)
    rows, _ = cycling(trace)
    if rows.stop == 0:
        return list(_rests(scene)) if task.is_at_trough and task.turn is not None else []
    when, pressure = trace.time[rows] / 60.0, trace.pressure[rows]
    ends = [float(when[at(pressure)]) for at in (np.argmin, np.argmax)]
    return [scene.later(minutes) if minutes else scene for minutes in ends]


def in_turn(scene: Scene, wait: float, tests: Sequence[Done]) -> Iterator[tuple[Value, ...]]:
    """Do tests one after the other, some minutes waited before each but the first: what is read.

    On a line as it is met it is read with what it might be elsewhere in the line's swing.
    """
    is_first = wait == scene.minutes == 0.0
    elsewhere: list[Scene] = []
    for number, (key, where) in enumerate(tests):
        task = TASKS[key]
        if wait and number:
            _, scene = scene.pass_time(wait)
        values, scene = task.do(scene, where)
        others = [task.do(other, where) for other in elsewhere]
        yield tuple(_swinging(value, [read for read, _ in others]) for value in values)
        if is_first and number + 1 < len(tests):
            elsewhere = _swung(scene, task) or [after for _, after in others]


def _swinging(value: Value, others: Iterable[tuple[Value, ...]]) -> Value:
    """Return what is read with what was read under its name elsewhere."""
    same = [one for read in others for one in read if one.name == value.name]
    swings = [swing for one in same for swing in (one, *one.swings)]
    return attrs.evolve(value, swings=(*value.swings, *swings))


def _rest_and_run(trace: Trace, which: int) -> tuple[Spell, Spell] | None:
    """Return from when to when [s] a pump first (0) or last (-1) rests, and runs.

    None if not both are seen from end to end.
    """
    starts, stops = trace.times("pump starts"), trace.times("pump stops")
    rests, runs = _spells(stops, starts), _spells(starts, stops)
    return (rests[which], runs[which]) if rests and runs else None


def _spells(begins: Sequence[float], ends: Sequence[float]) -> list[Spell]:
    return [(begin, end) for begin in begins for end in [e for e in ends if e > begin][:1]]


def phases(trace: Trace) -> list[float]:
    """Choose how much later [min] to meet a line as well: its cycle's ends, and some way between.

    Just after a stop the line holds the most it ever will, just before a start the least. Where no
    whole cycle is seen, fixed times serve; where the pump neither comes nor goes, none are needed.
    """
    found = _rest_and_run(trace, 0)
    if found is None:
        moves = trace.times("pump starts") or trace.times("pump stops")
        return list(PHASES) if moves else []
    (stop, again), (start, end) = found
    rest = again - stop
    low, high = (float(trace.time[at(trace.pressure)]) for at in (np.argmin, np.argmax))
    held = (high, stop + rest / 3.0, stop + rest / 1.5, again - 0.01 * rest)
    run = (low, 0.5 * (start + end), end - 1.0)  # starting, running, stopping
    return [moment / 60.0 for moment in (*held, *run) if moment > 0.0]


def _seen(key: str, where: str, scene: Scene, trace: Trace, row: int) -> tuple[Value, ...]:
    see = TASKS[key].see
    return () if see is None else see(scene, trace, row, where)


def _named(read: Iterable[tuple[str, str, tuple[Value, ...]]]) -> dict[Channel, Value]:
    return {(key, where, value.name): value for key, where, values in read for value in values}


def readings(scene: Scene, done: Iterable[Done]) -> dict[Channel, Value]:
    """Return what each task would show if it were done first, exact."""
    return _named((key, where, TASKS[key].do(scene, where)[0]) for key, where in done)


@attrs.frozen(kw_only=True)
class Span:
    """What one thing read can come to for a fault in one place, over its sizes."""

    words: frozenset[str]
    least: float
    most: float
    error: float

    def excludes(self, value: Value) -> bool:
        """Whether no reading of a value can be one of these, errors on both sides counted."""
        if isinstance(value.value, str):
            return value.value not in self.words | FLEETING
        off = self.error + value.error
        return not self.least - off <= value.value <= self.most + off


def span(values: Iterable[Value]) -> Span:
    """Span what one thing read comes to."""
    read = list(values)
    numbers = [one.value for one in read if not isinstance(one.value, str)]
    return Span(
        words=frozenset(one.value for one in read if isinstance(one.value, str)),
        least=min(numbers, default=0.0),
        most=max(numbers, default=0.0),
        error=max((one.error for one in read), default=0.0),
    )


Piece: TypeAlias = dict[Channel, Span]  # what a suspect can read, from one of its sizes to the next


At: TypeAlias = Mapping[str, str]  # for faults whose place is named: the place
ANYWHERE: Final[At] = MappingProxyType({})


def variants(
    site: Site, keys: Sequence[str], shares: Sequence[float] = SHARES, at: At = ANYWHERE
) -> Iterator[list[tuple[Placed, ...]]]:
    """Return the ways in which faults can be on a site together: their sizes, for each place."""
    first, *others = keys
    fault = FAULTS[first]
    if not fault.fits(site):
        return
    for where in fault.places(site):
        if at.get(first, where) != where:
            continue
        sizes = dict.fromkeys(fault.size_at(site, where, share) for share in shares)
        placed = [Placed(key=first, size=size, where=where) for size in sizes]
        if not others:
            yield [(one,) for one in placed]
            continue
        faulty = fault.apply(site, placed[len(placed) // 2].size, where)
        for rest in variants(faulty, others, shares, at):
            yield [(one, *more) for one in placed for more in rest]


def pieces(site: Site, keys: Sequence[str], read: Read, at: At = ANYWHERE) -> list[Piece]:
    """Span what faults can read on a stocked site, for each of their places or for those named.

    A single fault gives a piece for each two neighboring sizes; several together give one piece a
    place, for their middling sizes.
    """
    if len(keys) > 1:
        return [_spanned(tried) for tried in _tries(_lines(site, keys, MIDDLING, at), read)]
    found = []
    for tried in _tries(_lines(site, keys, SHARES, at), read):
        for near, far in pairwise(tried) if len(tried) > 1 else [(tried[0], tried[0])]:
            ends = [[near], [far]] if _differ(near, far) else [[near, far]]
            found += [_spanned(end) for end in ends]
    return found


def reading_ranges(site: Site, keys: Sequence[str], read: Read, at: At = ANYWHERE) -> list[Piece]:
    """Span what faults can read at all, over many sizes, one piece for each place."""
    shares = MANY if len(keys) == 1 else SHARES
    lines = _kept_lines(site, tuple(keys), shares, tuple(at.items()))
    return [_spanned(tried) for tried in _tries(lines, read)]


def _tries(
    lines: Iterable[Iterable[Met]], read: Read
) -> Iterator[list[dict[Channel, list[Value]]]]:
    """Try lines out: what is read for each size of a fault, for each place."""
    for sizes in lines:
        tried = []
        for met in sizes:
            with suppress(RunError):
                tried.append(_together(_readings_over_cycle(met, read)))
        if tried:
            yield tried


def _lines(
    site: Site, keys: Sequence[str], shares: Sequence[float], at: At
) -> Iterator[Iterator[Met]]:
    """Return the lines that have some faults: by size, for each place."""
    for ways in variants(site, keys, shares, at):
        yield _runnable(site, ways)


def _runnable(site: Site, ways: Iterable[tuple[Placed, ...]]) -> Iterator[Met]:
    for way in ways:
        with suppress(RunError):  # a size that cannot be run cannot be met with either
            yield _met(scene_of(site, way))


@lru_cache(maxsize=64)
def _kept_lines(
    site: Site, keys: tuple[str, ...], shares: Sequence[float], at: tuple[tuple[str, str], ...]
) -> tuple[tuple[Met, ...], ...]:
    """Return `_lines`, kept: each log that is checked against a fault asks for them again."""
    return tuple(map(tuple, _lines(site, keys, shares, dict(at))))


def _together(met: Iterable[dict[Channel, Value]]) -> dict[Channel, list[Value]]:
    """Gather the readings of one case, met at several moments."""
    found: dict[Channel, list[Value]] = {}
    for one in met:
        for channel, value in one.items():
            found.setdefault(channel, []).extend((value, *value.swings))
    return found


def _differ(near: Mapping[Channel, list[Value]], far: Mapping[Channel, list[Value]]) -> bool:
    """Whether two sizes differ in kind, so that sizes between are like the one or the other."""
    return any(
        {value.value for value in values}.isdisjoint(value.value for value in far[channel])
        for channel, values in near.items()
        if channel in far and isinstance(values[0].value, str)
    )


def _spanned(tried: Sequence[Mapping[Channel, Sequence[Value]]]) -> Piece:
    """Span the readings of several tries, channel by channel."""
    channels = {channel for one in tried for channel in one}
    return {
        channel: span([value for one in tried for value in one.get(channel, ())])
        for channel in channels
    }


def distinguishing_tests(values: Mapping[Channel, Value], piece: Piece) -> frozenset[Done]:
    """Return the tasks whose readings rule a suspect out."""
    return frozenset(
        (key, where)
        for (key, where, name), value in values.items()
        if (key, where, name) in piece and piece[key, where, name].excludes(value)
    )


RECORDED: Final = (
    "work", "bucket", "lift", "shut in", "open line", "power", "well at rest", "well pumping",
    "tank",
)  # fmt: skip
"""Tests that a careful installer writes down at the hand-over, in the order of the sheet."""


class Recorded(NamedTuple):
    """A test of the commissioning sheet, where it was done, and what was read."""

    key: str
    where: str
    values: tuple[Value, ...]


def commissioning_record(site: Site) -> tuple[Recorded, ...]:
    """Return what a stocked, sound line reads in each test of the sheet, each done first.

    Read by one who makes no error: to the divisions of each instrument.
    """
    scene = scene_of(site, ())
    tests = [(TASKS[key], at) for wanted in RECORDED for key, at in choices(site) if key == wanted]
    cycles = [(CYCLE, trough.name) for trough in site.troughs]
    return tuple(
        Recorded(task.key, where, read_together(task.do(scene, where)[0]))
        for task, where in (*tests, *cycles)
    )


CALLED_BACK: Final = Price(120, 90)
"""What a second trip takes to a line that was handed back with its fault (a judgement)."""

PRICES: Final[dict[str, Price]] = {key: fault.price for key, fault in FAULTS.items()}
"""What acting on each diagnosis takes."""
