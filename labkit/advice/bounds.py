"""The bounds of a pressure switch's two points with what sets them, and what no setting mends."""

from __future__ import annotations

from functools import cache, partial
from math import floor, inf
from typing import TYPE_CHECKING, Final, NamedTuple

import attrs

from labkit.advice.bisect import crossing, turning_point
from labkit.advice.rules import RATING_SHARE
from labkit.advice.setting import Room
from labkit.catalogue import derated_rating
from labkit.engine.signals import TO_LEVEL, rest_tells_to_stop, trip_tells_to_stop
from labkit.engine.steady import LOW_WATER, TORQUE_LIMIT
from labkit.parts import MANIFOLD
from labkit.units import si
from labkit.units.customary import PSI

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from labkit.advice.line import Line, SunRange
    from labkit.advice.window import TroughPressures
    from labkit.engine.stopping import Stop
    from labkit.trace import Trace

STATIC: Final = "static"
RUNNING: Final = "running"
DEAD_HEAD: Final = "dead head"
TORQUE: Final = "torque limit"
PIPE: Final = "pipe rating"
FLOAT: Final = "float holds"
RELIEF: Final = "relief valve"
"""Names of bounds."""

OVER_PRESSURE: Final = "over pressure"
FAILURES: Final = ("safety stop", "no stop", "stuck off", "false stop", OVER_PRESSURE)
"""What comes of a broken bound, the gravest first."""

LOWEST: Final = 0.1 * PSI
"""Cut-out from which bounds are looked for [Pa]; one that comes out here leaves no room at all."""

LATE: Final = 1200.0
"""How late a stop may come after the float shuts before people think that something is wrong [s] (a
judgement)."""

_CLOSE: Final = 2.0
"""How closely the highest cut-outs are found [Pa]: a fiftieth of the last digit that is told."""

_RUNG: Final = 2.0 * PSI
"""Step of the pressures at which the stop of a line whose water swings is asked for [Pa]: what its
peak is known to."""
_FEW: Final = 3
"""Pressures one under the other at which a stop must pass no limit."""
_HALVES: Final = 4
"""How often the last step is halved, down to an eighth of a psi."""


@attrs.frozen(kw_only=True)
class Bound:
    """One limit on one of the switch's two points."""

    # what sets it: "static", "running", "dead head", "torque limit", "pipe rating", "float holds"
    # or "relief valve"
    name: str
    limits: str  # the point that it limits: "cut-in", "cut-out"
    side: str  # where that point must lie: "above", "below"
    pressure: float  # the limit [Pa gauge], at the switch
    # Past this the failure is sure [Pa gauge]; between the two it hangs on how fast a float shuts,
    # or on how far moving water swings past its rest. Mostly the same as `pressure`. A leak low on
    # the line may yet draw the gauge under a static one.
    sure: float
    failure: str  # what comes of a point on the wrong side: one of the verdicts, or "over pressure"
    # the trough that sets it, or the node where the run of pipe ends; None for the whole line
    where: str | None = None
    sun: float | None = None  # the sun that sets it [W/m2]; None where the sun has no say
    crest: str | None = None  # the ground that sets it, where that is higher than the trough

    def holds(self, cut_in: float, cut_out: float) -> bool:
        """Whether the two points [Pa] keep to it."""
        point = cut_in if self.limits == "cut-in" else cut_out
        return point > self.pressure if self.side == "above" else point < self.pressure


class Limit(NamedTuple):
    """A pressure that a node of the line must not pass while the pump stops."""

    name: str
    node: str
    where: str
    pressure: float


def lower_bounds(line: Line, sun: SunRange) -> Iterator[Bound]:
    """Return what keeps cut-in and cut-out up: the water's weight, and the running pressure.

    By their limits alone: `in_full` finds the rest.
    """
    for trough in line.troughs:
        found = line.rest(trough)
        yield Bound(
            name=STATIC, limits="cut-in", side="above", pressure=found.pressure,
            sure=found.pressure, failure="stuck off", where=trough,
            crest=None if found.where == trough else found.where,
        )  # fmt: skip
    for trough in line.troughs:
        p = line.running(sun.most, trough)
        yield Bound(
            name=RUNNING, limits="cut-out", side="above", pressure=p, sure=p,
            failure="false stop", where=trough,
        )  # fmt: skip


def in_full(line: Line, sun: SunRange, bound: Bound) -> Bound:
    """Complete a bound with where its failure is sure, and the sun that sets it."""
    if bound.name == STATIC:
        return attrs.evolve(bound, sure=line.lowest(str(bound.where), line.reach(sun.most)))
    if bound.name == DEAD_HEAD:
        return attrs.evolve(bound, sure=line.climbs(sun.least))
    if bound.name == RUNNING:
        trough = str(bound.where)
        return attrs.evolve(
            bound,
            sure=line.running(sun.most, trough, opening=1.0),
            sun=reached_from(line, sun, trough, bound.pressure),
        )
    return bound


def reached_from(line: Line, sun: SunRange, trough: str, p: float) -> float | None:
    """Return the weakest sun in which the running pressure comes within a tenth of a psi of `p`.

    A pump at full speed takes no notice of more sun, so this may lie far under the strongest.
    """
    if not line.is_solar:
        return None

    def is_there(light: float) -> bool:
        return line.running(light, trough) >= p - 0.1 * PSI

    if is_there(sun.least):
        return sun.least
    return turning_point(is_there, sun.least, sun.most, rounds=12)[1]


def upper_bounds(line: Line, sun: SunRange, *, decide: bool = False) -> Iterator[Bound]:
    """Return what keeps cut-out down: the pump's reach, then what the line and the floats stand.

    What lies over one given before does not `decide`: to see that takes a few stops, to find where
    it is takes tens.
    """
    ceiling = inf
    if line.dead_head(sun.least).stopped_by != TORQUE_LIMIT:
        ceiling = line.reach(sun.least)
        yield Bound(
            name=DEAD_HEAD, limits="cut-out", side="below", pressure=ceiling, sure=ceiling,
            failure="no stop", sun=sun.least if line.is_solar else None,
        )  # fmt: skip
    yield from _peak_bounds(line, sun, ceiling, decide=decide)


def room_of(bounds: Sequence[Bound]) -> Room:
    """Return the room that some bounds leave."""

    def edge(limits: str, side: str) -> list[float]:
        return [b.pressure for b in bounds if b.limits == limits and b.side == side]

    return Room(
        cut_in_above=max(0.0, *edge("cut-in", "above")),
        floor=max(0.0, *edge("cut-out", "above")),
        ceiling=min(edge("cut-out", "below")),
    )


def _peak_bounds(line: Line, sun: SunRange, ceiling: float, *, decide: bool) -> Iterator[Bound]:
    """Find the cut-outs at which the stop itself would pass a limit, in the sun that is worst.

    Looked for from a `ceiling` down, or the last one found; over that only if they need not decide.
    """
    light = sun.most if line.is_solar else None
    shut = line.dead_head(sun.most)
    reach = shut.pressure[MANIFOLD]

    stop, level = partial(line.hardest_stop, sun), cache(partial(line.level_stop, sun.most))

    if shut.stopped_by == TORQUE_LIMIT:
        found = _highest(partial(_locks, level), partial(_locks, stop), reach)
        p = reach if found is None else found
        yield Bound(
            name=TORQUE, limits="cut-out", side="below", pressure=p, sure=reach,
            failure="safety stop", sun=light,
        )  # fmt: skip
        ceiling = min(ceiling, p)
    groups: dict[str, list[Limit]] = {}
    for limit in limits(line):
        groups.setdefault(limit.name, []).append(limit)
    for name, group in groups.items():
        if decide and ceiling <= LOWEST:
            return
        past, steady = partial(_past, stop, group), partial(_past, level, group)
        top = reach if ceiling <= LOWEST else min((floor(ceiling / _RUNG) + 1) * _RUNG, reach)
        found = _highest(steady, past, top)
        if found is None and not decide:
            found = _highest(steady, past, reach)
        if found is None:
            continue
        ceiling = min(ceiling, found)
        tightest = worst(stop(found).peak, group)[1]
        yield Bound(
            name=name, limits="cut-out", side="below", pressure=found, sure=found,
            failure=OVER_PRESSURE, where=tightest.where or None, sun=light,
        )  # fmt: skip


def _locks(stop: Callable[[float], Stop], cut_out: float) -> float:
    """Return above zero where a safety acts before the stop from a cut-out is over."""
    return 1.0 if stop(cut_out).is_locked else -1.0


def _past(stop: Callable[[float], Stop], group: list[Limit], cut_out: float) -> float:
    """Return by how much the stop from a cut-out passes some limits [Pa]."""
    return worst(stop(cut_out).peak, group)[0]


def peaks(
    trace: Trace, line: Line, rows: slice | NDArray[np.bool_] = slice(None)
) -> dict[str, float]:
    """Return the highest pressure at each node over a run, or over some of its rows [Pa gauge]."""
    weight, heights = line.plant.weight, line.layout.elevations
    return {
        node: weight * (float(head[rows].max()) - heights[node])
        for node, head in trace.head.items()
    }


def worst(peak: Mapping[str, float], limits: list[Limit]) -> tuple[float, Limit]:
    """Return by how much [Pa] the peaks at the nodes pass the limit that is passed most."""
    return max(
        ((peak[limit.node] - limit.pressure, limit) for limit in limits), key=lambda found: found[0]
    )


def _highest(
    level: Callable[[float], float], swinging: Callable[[float], float], reach: float
) -> float | None:
    """Find the highest cut-out without excess [Pa]; None if all up to the `reach` have none.

    First by the excess of a `level` line's stop, which rises with the cut-out. Where the water of
    a `swinging` line climbs higher, its phase moves with the cut-out, and the excess comes and
    goes: that is asked for at fixed pressures alone, from above until it stays away for a few, and
    then at halves between them. So a range of more sun, in which the excess is nowhere less, is
    never left more room.
    """
    if reach <= 0.0:
        return None
    least, found = min(LOWEST, 0.5 * reach), None
    if level(reach) > 0.0:
        found = crossing(level, least, reach, within=_CLOSE)[0]
    top = reach if found is None else found
    rung = floor(top / _RUNG)
    low, high = max(rung * _RUNG, least), top if found is None else (rung + 1) * _RUNG
    if _stays_away(swinging, low, least) and swinging(top) <= 0.0:
        return found
    while low > least and not _stays_away(swinging, low, least):
        rung -= 1
        low, high = max(rung * _RUNG, least), low
    if swinging(low) > 0.0:
        return low
    for _ in range(_HALVES):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if swinging(middle) > 0.0 else (middle, high)
    return min(low, top)


def _stays_away(excess: Callable[[float], float], top: float, least: float) -> bool:
    """Whether there is no excess at a cut-out, nor at a few under it."""
    return all(excess(max(top - i * _RUNG, least)) <= 0.0 for i in range(_FEW))


def limits(line: Line) -> Iterator[Limit]:
    """List what the line, the floats and the relief valve stand.

    Pipe: 72 % of its rating in water as warm, at both ends of each run and at every bend of the
    ground between, so that a surge has room.
    """
    site, parents = line.site, line.layout.parents
    for start, end, pipe in site.runs():
        most = RATING_SHARE * si(derated_rating(pipe.size, site.place.water_temperature))
        node = end
        while node != start:
            yield Limit(PIPE, node, end, most)
            node = parents[node]
        yield Limit(PIPE, start, end, most)
    for trough in site.troughs:
        hold = trough.float_valve.holding_pressure
        if hold is not None:
            yield Limit(FLOAT, trough.name, trough.name, si(hold))
    if site.relief_valve is not None:
        yield Limit(RELIEF, MANIFOLD, "", si(site.relief_valve.opens_at))


@attrs.frozen(kw_only=True)
class Caution:
    """Something that no setting of the switch can mend."""

    # "low water": the pump draws the well down to its intake. "torque limit": the drive locks while
    # a trough fills. "weak sun": a trough gets no water in part of the range. "no reach": it gets
    # none in all of it. "leaks": with every float shut the line loses water. "never starts", "never
    # stops": so the pressure switch, its contact and its wires speak to the drive as they are.
    # "late stop": beyond high ground pipe drains as the trough fills, and the pump fills it first.
    name: str
    where: str | None = None  # the trough it is about
    sun: float | None = None  # the sun from which, or in which, it holds [W/m2]
    lasts: float = 0.0  # for how long [s]; for "late stop" alone


def cautions(
    line: Line, sun: SunRange, troughs: tuple[TroughPressures, ...], stopped_by: str
) -> tuple[Caution, ...]:
    """Look for what no setting can mend."""
    found = []
    light = sun.most if line.is_solar else None
    if rest_tells_to_stop(line.plant):
        found.append(Caution(name="never starts"))
    elif line.plant.listens != TO_LEVEL and not trip_tells_to_stop(line.plant):
        found.append(Caution(name="never stops"))
    if _leaks(line):
        found.append(Caution(name="leaks"))
    if stopped_by == LOW_WATER:
        found.append(Caution(name="low water", sun=light))
    for trough in troughs:
        if line.with_open(sun.most, troughs=(trough.name,)).stopped_by == TORQUE_LIMIT:
            found.append(Caution(name="torque limit", where=trough.name, sun=light))
        elif trough.reached_from is None:
            found.append(Caution(name="no reach", where=trough.name))
        elif trough.reached_from > sun.least:
            found.append(Caution(name="weak sun", where=trough.name, sun=trough.reached_from))
        lasts = line.refilling(trough.reached_from or sun.most, trough.name)
        if lasts > LATE:
            weakest = trough.reached_from if line.is_solar else None
            found.append(Caution(name="late stop", where=trough.name, sun=weakest, lasts=lasts))
    return tuple(found)


def _leaks(line: Line) -> bool:
    """Whether a shut line that stands loses water: by leaks, float seats or check valve."""
    plant = line.plant
    out = plant.check_k + plant.leaks.k.sum() + plant.troughs.seat_k.sum()
    return bool(out > 0.0)
