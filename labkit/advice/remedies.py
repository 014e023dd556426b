"""Changes that open an empty or a narrow window, alone or beside a tank, tried by the one judge."""

from collections.abc import Callable, Iterable, Iterator
from math import ceil, floor, inf
from typing import Any, Final

import attrs

from labkit.advice.bisect import turning_point
from labkit.advice.bounds import DEAD_HEAD, PIPE, lower_bounds, room_of, upper_bounds
from labkit.advice.judge import RUN, Judgement, judge
from labkit.advice.line import Line, SunRange, sun_range
from labkit.advice.method_sites import with_stop_method
from labkit.advice.rules import BANDS, LEAST_CUT_IN, LEAST_DIFFERENTIAL, QUIET, ROOM, TANK_SIZES
from labkit.advice.setting import Room, best_in, right_air
from labkit.advice.window import Window, bare_window, choose
from labkit.catalogue import PipeSize, pipe_sizes
from labkit.errors import LabkitError
from labkit.parts import MANIFOLD
from labkit.parts.tree import Run
from labkit.site import Site
from labkit.units import NO_LEAK, displayed, si
from labkit.units.customary import GALLON, INCH, PSI

WEAK_SUN: Final = "weak sun left out"
TIGHT: Final = "leaks repaired"
DIFFERENTIAL: Final = "smaller differential"
CRISPER: Final = "crisper float valve"
FLOAT_VALVE: Final = "bigger float valve"
TANK: Final = "tank"
ARRAY: Final = "more array"
STRONGER: Final = "stronger pipe"
PIPE_UP: Final = "bigger pipe"
SIGNAL: Final = "another stop signal"
"""Kinds of remedies."""

EASIEST_FIRST: Final = (
    WEAK_SUN, TIGHT, DIFFERENTIAL, CRISPER, FLOAT_VALVE, TANK, ARRAY, STRONGER, PIPE_UP, SIGNAL,
)  # fmt: skip
"""The rule by which remedies are ranked. First what takes no work, though it gives something up:
sun in which the pump is not stopped. Then what is due anyhow, and the least work: a nut is turned,
a valve or a tank screwed on, a panel set up, pipe dug in. Last comes what gives up the pressure
switch itself."""

_ROUNDS: Final = 8
_LARGEST_ARRAY: Final = 20_000.0
_LARGEST_VALVE: Final = 4.0
_PAIR: Final = "18 AWG"

Changes = dict[str, Any]


@attrs.frozen(kw_only=True)
class Remedy:
    """One change, and the window that it gives."""

    kind: str  # one of `EASIEST_FIRST`
    # the trough, or the node where the run of pipe ends; None for the whole site
    where: str | None = None
    # What is changed, and into what: differential [Pa], band of the float [m], valve flow at its
    # rated pressure [m3/s], tank volume [m3], array power [W], weakest sun [W/m2], or a pipe size.
    # A size that is bought is the least that will do. Empty for leaks and another signal.
    before: float | str = ""
    after: float | str = ""
    # what to hand to `Site.changed`; empty where the site stays as it is
    changes: Changes = attrs.field(factory=dict)
    window: Window | None = None  # of the changed site; None for another signal, which needs none
    tank: float = 0.0  # volume of the pressure tank that it takes beside this change [m3]


@attrs.frozen(kw_only=True)
class NoTank:
    """What it costs to have no pressure tank."""

    starts: int  # most starts within an hour without one
    # whether that is well under what the motor stands, so that no tank is wanted for it
    is_quiet: bool
    # the smallest round volume that brings the starts well under what the motor stands [m3], and
    # the starts with it; None where none does
    volume: float | None = None
    starts_with: int | None = None


def remedies(window: Window) -> tuple[Remedy, ...]:
    """Look for every single change that leaves two psi either way and works, the easiest first."""
    found = [remedy for look in (*_on_the_line(), _tank, _signal) if (remedy := look(window))]
    return tuple(sorted(found, key=_ease))


def beside_a_tank(window: Window) -> tuple[Remedy, ...]:
    """Look for changes that do on a line without a tank if it gets one, too, the easiest first.

    The largest tank shows which they are; the smallest that will do with each of them is told.
    """
    *_, (_, largest) = tanks = list(round_tanks(si(window.site.pressure_switch.cut_in)))
    with_tank = bare_window(window.site.changed(largest), window.sun.low, window.sun.high)
    found = [remedy for look in _on_the_line() if (remedy := look(with_tank))]
    smallest = (_with_least_tank(window, remedy, tanks) for remedy in sorted(found, key=_ease))
    return tuple(remedy for remedy in smallest if remedy is not None)


def _on_the_line() -> tuple[Callable[[Window], Remedy | None], ...]:
    """List the looks for all single changes but a tank and another signal."""
    return (_tight, _differential, _crisper, _valve, _array, _stronger, _bigger, _weak_sun)


def _ease(remedy: Remedy) -> int:
    return EASIEST_FIRST.index(remedy.kind)


def _with_least_tank(
    window: Window, remedy: Remedy, tanks: Iterable[tuple[float, Changes]]
) -> Remedy | None:
    """Return a remedy with the smallest tank that will do beside it."""
    low = None if remedy.window is None else remedy.window.sun.low
    for volume, tank in tanks:
        changes = tank | remedy.changes
        after = wide(window, changes, low=low)
        if after is not None and after.judged is not None and _is_quiet(after.judged):
            return attrs.evolve(remedy, changes=changes, window=after, tank=volume)
    return None


def no_tank(window: Window) -> NoTank | None:
    """Say what a line without a tank costs in starts, at its best setting or else its own."""
    judged = window.judged or window.own
    if judged.starts is None:
        return None
    bare = NoTank(starts=judged.starts, is_quiet=judged.works and _is_quiet(judged))
    if bare.is_quiet:
        return bare
    for volume, changes in round_tanks(si(judged.site.pressure_switch.cut_in)):
        after = judge(
            judged.site.changed(changes), window.sun.low, window.sun.high,
            gives_up_past=_quiet(judged.most_starts),
        )  # fmt: skip
        if after.works and _is_quiet(after):
            return attrs.evolve(bare, volume=volume, starts_with=after.starts)
    return bare


def _is_quiet(judged: Judgement) -> bool:
    """Whether a line starts so seldom that no tank is wanted for it."""
    return judged.starts is not None and judged.starts <= _quiet(judged.most_starts)


def _quiet(most_starts: float) -> float:
    """Return the starts an hour that are well under what a motor stands."""
    return max(QUIET * most_starts, 1.0)


def round_tanks(cut_in: float, *, over: float = 0.0) -> Iterator[tuple[float, Changes]]:
    """List the round volumes over a size [m3], each with the changes that put it in."""
    for gallons in TANK_SIZES:
        if gallons * GALLON > 1.01 * over:
            table = {"volume": f"{gallons} gal", "precharge": _psi(right_air(cut_in))}
            yield gallons * GALLON, {"pressure_tank": table}


def has_room(window: Window, changes: Changes, *, low: float | None = None) -> bool:
    """Whether the limits alone leave two psi either way on a changed site."""
    return _room_with(window, changes, low) is not None


def _room_with(
    window: Window, changes: Changes, low: float | None
) -> tuple[Site, SunRange, Room] | None:
    """Return a changed site, its sun, and its room if the limits leave two psi either way.

    Each further limit only narrows the room, so the first that leaves too little is the last asked.
    """
    try:
        site = window.site.changed(changes)
        line = Line.of(site)
        sun = sun_range(line, window.sun.low if low is None else low, window.sun.high)
        found, best = list(lower_bounds(line, sun)), None
        for bound in upper_bounds(line, sun, decide=True):
            found.append(bound)
            best = best_in(room_of(found), site.pressure_switch)
            if best is None or best.is_narrow:
                return None
    except LabkitError:
        return None
    return None if best is None else (site, sun, room_of(found))


def wide(window: Window, changes: Changes, *, low: float | None = None) -> Window | None:
    """Return the window of a changed site if it is wide enough, and its setting works.

    The runs are asked before all that a window tells is worked out: most changes fail there.
    """
    found = _room_with(window, changes, low)
    try:
        chosen = None if found is None else choose(*found)[0]
        if found is None or chosen is None or chosen.is_narrow:
            return None
        site, sun, _ = found
        return bare_window(site, sun.low, sun.high)
    except LabkitError:
        return None


def _first(
    window: Window, kind: str, tries: Iterable[tuple[float | str, Changes]], **about: Any
) -> Remedy | None:
    """Return the first of some changes that will do."""
    for value, changes in tries:
        after = wide(window, changes)
        if after is not None:
            return Remedy(kind=kind, after=value, changes=changes, window=after, **about)
    return None


def _tight(window: Window) -> Remedy | None:
    """Repair every leak, float seat and check valve."""
    site = window.site
    changes: Changes = {"leaks": (), "check_valve.leak": NO_LEAK}
    changes |= {f"trough.{t.name}.float_valve.seat_leak": NO_LEAK for t in site.troughs}
    return _first(window, TIGHT, [("", changes)] if site.changed(changes) != site else [])


def _differential(window: Window) -> Remedy | None:
    """Bring the two points closer together."""
    room = window.room
    most = room.ceiling - ROOM - max(room.cut_in_above, LEAST_CUT_IN)
    smaller = floor(most / PSI) * PSI
    if not LEAST_DIFFERENTIAL <= smaller < window.differential:
        return None
    cut_out = room.ceiling - 0.5 * ROOM
    changes = {
        "pressure_switch.cut_in": _psi(cut_out - smaller),
        "pressure_switch.cut_out": _psi(cut_out),
    }
    return _first(window, DIFFERENTIAL, [(smaller, changes)], before=window.differential)


def _crisper(window: Window) -> Remedy | None:
    """Fit float valves that close more crisply, where the pump starts too often as they close."""
    slow = _start_too_often(window)
    if not slow:
        return None
    bands = {t.name: si(t.float_valve.band) for t in window.site.troughs if t.name in slow}
    widest = max(bands.values())
    tries = [
        (
            inches * INCH,
            {
                f"trough.{name}.float_valve.band": f"{inches} in"
                for name, band in bands.items()
                if band > inches * INCH
            },
        )
        for inches in BANDS
        if inches * INCH < widest
    ]
    where = next(iter(bands)) if len(bands) == 1 else None
    return _first(window, CRISPER, tries, where=where, before=widest)


def _start_too_often(window: Window) -> set[str]:
    """Name the troughs at which the refused setting starts the pump too often."""
    judged = None if window.recommended is not None else window.judged
    if judged is None:
        return set()
    return {
        str(reason.where)
        for reason in judged.reasons
        if reason.cause == RUN and reason.verdict == "cycling"
    }


def _valve(window: Window) -> Remedy | None:
    """Fit a float valve that holds the water up less, at the trough that sets the floor."""
    bound = window.tightest("cut-out", "above")
    if bound is None:
        return None
    trough = window.site.trough(str(bound.where))
    rating = trough.float_valve.flow
    flow = displayed(si(rating.flow), "flow")

    def changes(gpm: float) -> Changes:
        at = displayed(si(rating.pressure), "pressure")
        return {f"trough.{trough.name}.float_valve.flow": f"{gpm:.1f} gpm at {at:.6g} psi"}

    found = least_change(window, changes, flow, _LARGEST_VALVE * flow, step=0.5)
    if found is None:
        return None
    return Remedy(
        kind=FLOAT_VALVE,
        where=trough.name,
        before=si(rating.flow),
        after=found[0] * GALLON / 60.0,
        changes=changes(found[0]),
        window=found[1],
    )


def _tank(window: Window) -> Remedy | None:
    """Fit a bigger tank, where the peak of the stop is in the way or the pump starts too often."""
    bound, tank = window.tightest("cut-out", "below"), window.site.pressure_tank
    peak = bound is not None and bound.name != DEAD_HEAD
    is_often = bool(_start_too_often(window))
    if not peak and not is_often:
        return None
    before = 0.0 if tank is None else si(tank.volume)
    for volume, changes in round_tanks(si(window.site.pressure_switch.cut_in), over=before):
        after = wide(window, changes)
        judged = None if after is None else after.judged
        if judged is not None and (not is_often or _is_quiet(judged)):
            return Remedy(kind=TANK, before=before, after=volume, changes=changes, window=after)
    return None


def _array(window: Window) -> Remedy | None:
    """Set up more panels."""
    if window.site.drive.kind != "solar":
        return None
    before = si(window.site.array.rated_power)

    def changes(watts: float) -> Changes:
        return {"array.rated_power": f"{watts:.0f} W"}

    found = least_change(window, changes, before, _LARGEST_ARRAY, step=10.0)
    if found is None:
        return None
    return Remedy(
        kind=ARRAY, before=before, after=found[0], changes=changes(found[0]), window=found[1]
    )


def _stronger(window: Window) -> Remedy | None:
    """Lay pipe of a higher rating, where the rating is in the way."""
    bound = window.tightest("cut-out", "below")
    if bound is None or bound.name != PIPE:
        return None
    run = next(run for run in window.site.runs() if run.end == bound.where)
    old = run.pipe.row
    nominal = old.size.split(" in ")[0]
    tries = [
        (row.size, _laid(run, row))
        for row in sorted(pipe_sizes().values(), key=lambda row: si(row.rating))
        if row.size.split(" in ")[0] == nominal and si(row.rating) > si(old.rating)
    ]
    return _first(window, STRONGER, tries, where=run.end, before=old.size)


def _bigger(window: Window) -> Remedy | None:
    """Lay bigger pipe towards the trough that sets the floor: one run, or else all of them."""
    bound = window.tightest("cut-out", "above")
    if bound is None:
        return None
    way = _way(window, str(bound.where))
    for steps in range(1, 5):
        for run in sorted(way, key=lambda run: si(run.pipe.length)):
            row = _sizes_up(run.pipe.row, steps)
            tries = [] if row is None else [(row.size, _laid(run, row))]
            found = _first(window, PIPE_UP, tries, where=run.end, before=run.pipe.row.size)
            if found is not None:
                return found
    every = dict(_all_laid(way, steps) for steps in range(1, 5))
    before = " + ".join(run.pipe.row.size for run in way)
    return _first(window, PIPE_UP, every.items(), before=before)


def _all_laid(way: list[Run], steps: int) -> tuple[str, Changes]:
    """Lay every run some sizes bigger, as far as the catalogue goes."""
    rows = [(run, [run.pipe.row, *_bigger_ones(run.pipe.row)][: steps + 1][-1]) for run in way]
    changes: Changes = {}
    for run, row in rows:
        changes |= _laid(run, row)
    return " + ".join(row.size for _, row in rows), changes


def _weak_sun(window: Window) -> Remedy | None:
    """Let the weakest sun go, in which the pump then keeps running against the shut line."""
    low, high = window.sun.low, window.sun.high
    if window.site.drive.kind != "solar" or not has_room(window, {}, low=high):
        return None
    _, far = turning_point(lambda sun: has_room(window, {}, low=sun), low, high, rounds=_ROUNDS)
    after = min(ceil(far / 10.0) * 10.0, high)
    found = wide(window, {}, low=after)
    return None if found is None else Remedy(kind=WEAK_SUN, before=low, after=after, window=found)


def _signal(window: Window) -> Remedy | None:
    """Stop the pump by level sensors, with pairs of wires or with radios."""
    for method in ("wire", "radio"):
        site = with_stop_method(window.site, method, gauge=_PAIR)
        if judge(site, window.sun.low, window.sun.high, gives_up_past=inf).works:
            return Remedy(kind=SIGNAL)
    return None


def _way(window: Window, trough: str) -> list[Run]:
    """List the runs from the manifold to a trough, the last one first."""
    by_end = {run.end: run for run in window.site.runs()}
    way, node = [], trough
    while node != MANIFOLD:
        way.append(by_end[node])
        node = by_end[node].start
    return way


def _laid(run: Run, row: PipeSize) -> Changes:
    """Return the change that lays a run in another size."""
    return {f"{run.key}.size": row.size, f"{run.key}.inside_diameter": None}


def _sizes_up(row: PipeSize, steps: int) -> PipeSize | None:
    """Return the size some steps up in the same series, if the catalogue has it."""
    return next((each for i, each in enumerate(_bigger_ones(row), 1) if i == steps), None)


def _bigger_ones(row: PipeSize) -> Iterator[PipeSize]:
    """List the bigger sizes of a series, the next one first."""
    series = row.size.split(" in ", 1)[1]
    same = [each for each in pipe_sizes().values() if each.size.split(" in ", 1)[1] == series]
    for each in sorted(same, key=lambda each: si(each.inside_diameter)):
        if si(each.inside_diameter) > si(row.inside_diameter):
            yield each


def least_change(
    window: Window, changes: Callable[[float], Changes], before: float, most: float, *, step: float
) -> tuple[float, Window] | None:
    """Find the smallest new value, in whole steps, that makes a window wide enough.

    Grown by a quarter at a time, then bisected: a window may open and close again, and the first
    that opens is wanted. The search goes by the limits alone, and the judge has the last word.
    """
    low, high = before, before
    while high < most:
        low, high = high, min(1.25 * high + step, most)
        if has_room(window, changes(high)):
            break
    else:
        return None
    while high - low > step:
        low, high = turning_point(
            lambda value: has_room(window, changes(value)), low, high, rounds=1
        )
    for value in (ceil(high / step) * step, high):
        after = wide(window, changes(value))
        if after is not None:
            return value, after
    return None


def _psi(pascals: float) -> str:
    return f"{pascals / PSI:.1f} psi"
