"""The one judge: what a line comes to as it is set, in a range of sun.

The window, the map, the card, the ways to stop and the rig all ask `judge`, so that none of them
can contradict another. Two kinds of evidence count:

* settled states of the line: what a setting must keep to whatever the floats do (`labkit.advice.
  bounds` lists the same limits). A setting that breaks one is refused without a run;
* trial runs with the line's own floats, tank and leaks (`labkit.advice.trial`): each trough fills,
  its float shuts, stock drink, and it fills again, in weak, middling and strong sun.

The settled limits are stricter than a run where a float shuts fast: a setting may not lean on that.
"""

from collections.abc import Iterator, Sequence
from typing import Final

import attrs
import numpy as np

from labkit.advice.bounds import (
    DEAD_HEAD,
    FAILURES,
    OVER_PRESSURE,
    RUNNING,
    STATIC,
    TORQUE,
    limits,
    peaks,
    worst,
)
from labkit.advice.line import Line, SunRange, find_range
from labkit.advice.trial import trial
from labkit.engine.steady import TORQUE_LIMIT
from labkit.engine.strain import COUNTED, starts_limit
from labkit.site import Site
from labkit.units import ureg

GOOD: Final = "sound stop"
SUCKED: Final = "sucked empty"

VERDICTS: Final = ("at rest", *FAILURES, "cycling", "still filling", SUCKED, GOOD)
"""Every verdict, the gravest first."""

_ENOUGH: Final = 4.0
"""Times as many starts as a motor stands at which no further run is needed to refuse a line."""

RUN: Final = "run"  # the cause of a reason that a trial run showed


@attrs.frozen(kw_only=True)
class Reason:
    """One thing that speaks against a line as it is set."""

    verdict: str  # what comes of it, one of `VERDICTS`
    cause: str  # the settled limit that is broken, by its name in `labkit.advice.bounds`; or "run"
    # the trough, or the node where the run of pipe ends; None for the whole line
    where: str | None = None
    sun: float | None = None  # the sun in which it shows [W/m2]; None where the sun has no say


@attrs.frozen(kw_only=True)
class Judgement:
    """What a line comes to as it is set."""

    site: Site
    sun: SunRange | None  # the range of sun; None where the drive never starts in it
    # all that speaks against it, the gravest first; one that no setting of the switch can mend is
    # told too
    reasons: tuple[Reason, ...]
    # most starts of the pump within an hour, over all runs, not counted past
    # `labkit.engine.strain.COUNTED`; None where a settled limit spoke before any run
    starts: int | None
    most_starts: float  # starts an hour that count as too many, when they are more than this

    @property
    def verdict(self) -> str:
        """The gravest of its reasons' verdicts; "sound stop" without any."""
        return self.reasons[0].verdict if self.reasons else GOOD

    @property
    def works(self) -> bool:
        """Whether the line fills, stops and starts again, though it may be sucked empty."""
        return self.verdict in {GOOD, SUCKED}


def judge(
    site: Site,
    low: float = 250.0,
    high: float = 1000.0,
    *,
    troughs: Sequence[str] | None = None,
    gives_up_past: float | None = None,
    counts: bool = True,
) -> Judgement:
    """Judge a line as it is set.

    Parameters
    ----------
    site : Site
        The line; its herds are sent away.
    low, high : float
        The weakest sun in which it must work, and the strongest [W/m2].
    troughs : sequence of str, optional
        Those that are filled, each by itself; left out, all.
    gives_up_past : float, optional
        Starts within an hour past which no more is run, nor once anything keeps the line from
        working: for who only asks whether it does. Left out, all that speaks against it is found.
    counts : bool
        Whether starts are counted on once they are too many; for who only asks for the verdict
        they need not be, nor where `gives_up_past` is given.

    Returns
    -------
    Judgement
        The same for the same line and sun, whoever asks.
    """
    line = Line.of(site)
    names = line.troughs if troughs is None else tuple(troughs)
    sun, limit = find_range(line, low, high), starts_limit(site)
    if sun is None:
        at_rest = Reason(verdict="at rest", cause=RUN)
        return Judgement(site=site, sun=None, reasons=(at_rest,), starts=None, most_starts=limit)
    starts, reasons = None, list(_settled(line, sun, names))
    if not reasons:
        until = COUNTED if counts and gives_up_past is None else int(limit) + 1
        starts, reasons = _tried(line, sun, names, until, gives_up_past)
    reasons.sort(key=lambda reason: VERDICTS.index(reason.verdict))
    return Judgement(site=site, sun=sun, reasons=tuple(reasons), starts=starts, most_starts=limit)


def _settled(line: Line, sun: SunRange, troughs: Sequence[str]) -> Iterator[Reason]:
    """Hold the switch's points to the settled limits."""
    site = line.site
    listens = site.drive.listens_to
    if listens == "level sensor":
        return
    cut_in, cut_out = site.pressure_switch.points
    most, least = (sun.most, sun.least) if line.is_solar else (None, None)
    for name in troughs:
        if cut_in <= line.rest(name).pressure:
            yield Reason(verdict="stuck off", cause=STATIC, where=name)
        if cut_out <= line.running(sun.most, name):
            yield Reason(verdict="false stop", cause=RUNNING, where=name, sun=most)
    shut = line.dead_head(sun.least)
    has_sensors = {sensor.trough for sensor in site.level_sensors} >= set(line.troughs)
    if shut.stopped_by != TORQUE_LIMIT and cut_out >= line.reach(sun.least):
        if listens == "pressure switch" or not has_sensors:
            yield Reason(verdict="no stop", cause=DEAD_HEAD, sun=least)
        return
    stop = line.hardest_stop(sun, cut_out)
    if stop.is_locked and line.dead_head(sun.most).stopped_by == TORQUE_LIMIT:
        yield Reason(verdict="safety stop", cause=TORQUE, sun=most)
        return
    past, limit = worst(stop.peak, list(limits(line)))
    if past > 0.0:
        yield Reason(verdict=OVER_PRESSURE, cause=limit.name, where=limit.where or None, sun=most)


def _tried(
    line: Line, sun: SunRange, troughs: Sequence[str], until: int, gives_up_past: float | None
) -> tuple[int, list[Reason]]:
    """Run the trials; give the most starts within an hour, and what speaks against the line.

    A run is left once it has started `until` times within an hour.
    """
    starts, reasons, bearable = 0, [], list(limits(line))
    enough = _ENOUGH * starts_limit(line.site)
    for name in troughs:
        script = trial(line.site, name)
        for light in _suns(line, sun):
            trace = script.run(ureg.Quantity(light, "W/m^2"), enough=until)
            here = script.starts(trace)
            starts = max(starts, here)
            seen = light if line.is_solar else None
            if trace.verdict != GOOD:
                reasons.append(Reason(verdict=trace.verdict, cause=RUN, where=name, sun=seen))
            past, limit = worst(peaks(trace, line), bearable)
            if past > 0.0:
                over = limit.where or None
                reasons.append(
                    Reason(verdict=OVER_PRESSURE, cause=limit.name, where=over, sun=seen)
                )
            if here > enough:
                return starts, reasons
            if gives_up_past is not None and (
                starts > gives_up_past or any(reason.verdict != SUCKED for reason in reasons)
            ):
                return starts, reasons
    return starts, reasons


def _suns(line: Line, sun: SunRange) -> tuple[float, ...]:
    """Strong, middling and weak sun [W/m2]; a pump starts most often in the strongest."""
    if not line.is_solar:
        return (sun.most,)
    return tuple(dict.fromkeys(np.linspace(sun.most, sun.least, 3).tolist()))
