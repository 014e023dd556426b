"""What keeps a learner waiting, found from the line as it stands and computed, never scripted."""

from collections.abc import Iterable
from typing import Final, NamedTuple

import attrs

from labkit.advice.bounds import FLOAT, PIPE, RELIEF, TORQUE
from labkit.advice.rules import UNDER_CUT_IN
from labkit.engine.steady import steady
from labkit.parts import MANIFOLD
from labkit.rigs.rig import Rig
from labkit.trace import DriveState
from labkit.trace.measures import SHUT

SETTLED: Final = 0.5e3  # a needle within this of where it ends does not move any more [Pa]

_DUSK: Final = 40.0
"""Irradiance under which no cloud is to blame [W/m2]: the sun is down, or all but.
By Haurwitz (1945), 1098 c exp(-0.057 / c) W/m2 on level ground with c the sine of the sun's height,
a clear sky gives as much with the sun 4.4 degrees up."""

_RATINGS: Final = (PIPE, FLOAT, RELIEF, TORQUE)


class Pressure(NamedTuple):
    """A pressure [Pa gauge], under the name by which the words call it."""

    name: str
    value: float


@attrs.frozen(kw_only=True)
class Hint:
    """What is to be said to one who is stuck."""

    key: str  # which case it is
    pressures: tuple[Pressure, ...] = ()  # the pressures that the words name
    where: str = ""  # the trough or run of pipe it is about; may be empty


def _of(key: str, where: str = "", **pressures: float) -> Hint:
    return Hint(key=key, where=where, pressures=tuple(map(Pressure._make, pressures.items())))


def hint(rig: Rig) -> Hint:
    """Say what keeps the line from what the learner waits for, or what is still to be tried."""
    trace = rig.trace
    state = DriveState(int(trace.drive_state[-1]))
    is_tripped, is_shut = bool(trace.tripped[-1]), float(trace.widest_opening[-1]) < SHUT
    if over := _over_rating(rig):
        return over
    if key := _is_out(rig, state):
        return Hint(key=key)
    if lost := _comes_back(rig):
        return lost
    if is_tripped and rig.is_paired:
        return _held(rig, is_shut=is_shut)
    if state == DriveState.RESTING:
        return Hint(key=_why_weak(rig))
    return _pushes(rig) if is_shut else _fills(rig)


def _is_out(rig: Rig, state: DriveState) -> str:
    """Say what keeps the line from doing anything at all; empty for nothing."""
    if rig.is_bled:
        return "bled"
    if not rig.is_on:
        return "controller off"
    return "locked" if state == DriveState.LOCKED else ""


def _why_weak(rig: Rig) -> str:
    """Say what keeps the sun off."""
    if rig.is_shaded:
        return "under the cloth"
    return "dark" if float(rig.trace.irradiance[-1]) < _DUSK else "weak sun"


def dead_head(rig: Rig, sun: float) -> float:
    """Return where the gauge ends at a sun [W/m2] with every float shut [Pa]."""
    return running(rig, sun, ())


def running(rig: Rig, sun: float, open_floats: Iterable[str]) -> float:
    """Return where the gauge ends at a sun [W/m2] while some troughs fill [Pa]."""
    settled = steady(rig.window.site, sun=f"{sun} W/m^2", open_troughs=list(open_floats))
    return float(settled.pressure[MANIFOLD])


def _over_rating(rig: Rig) -> Hint | None:
    """Say which rating the cut-out passes."""
    for bound in rig.window.bounds:
        if bound.name in _RATINGS and not bound.holds(rig.screw.cut_in, rig.screw.cut_out):
            key = "over rating" if bound.name != TORQUE else "over torque"
            return _of(key, bound.where or "", limit=bound.pressure)
    return None


def _pushes(rig: Rig) -> Hint:
    """Every float is shut, the pump turns, and the switch has not tripped."""
    now = dead_head(rig, float(rig.trace.irradiance[-1]))
    trips = now > rig.screw.cut_out and rig.is_paired
    if trips or rig.trace.pressure[-1] < now - SETTLED:
        return _of("still climbing", now=now)
    if not rig.is_paired:
        return _of("ends here", now=now)
    most = rig.window.dead_head[1]
    key = "never trips" if most <= rig.screw.cut_out else "no stop in this sun"
    return _of(key, now=now, most=most)


def _comes_back(rig: Rig) -> Hint | None:
    """Say so if the switch has reset though no float was open: water gets away."""
    for time in rig.trace.times("switch resets"):
        moment = rig.trace.at(time)
        if max(moment.openings.values()) < SHUT:
            return _of("comes back while full", now=moment.pressure)
    return None


def _held(rig: Rig, *, is_shut: bool) -> Hint:
    """Judge a line whose switch has tripped."""
    if is_shut:
        return Hint(key=_since_when(rig))
    opened = [t.name for t in rig.site.troughs if float(rig.trace.opening[t.name][-1]) >= SHUT]
    static = [t for t in rig.window.troughs if t.name in opened]
    rests = min(static, key=lambda trough: trough.static)
    if rests.static >= rig.screw.cut_in:
        return _of("stuck off", rests.name, static=rests.static)
    if stopped := _false_stop(rig):
        return stopped
    return Hint(key="still falling", where=rests.name)


def _since_when(rig: Rig) -> str:
    """Say whether a line that holds tripped under the cloth, before the cloth hung, or without."""
    if not rig.is_shaded:
        return "holds"
    hung = max(n for n, one in enumerate(rig.log) if (one.key, one.state) == ("cloth", "on"))
    heard = [notice.kind for one in rig.log[hung:] for notice in one.heard]
    return "holds in haze" if "switch trips" in heard else "holds from before"


def _false_stop(rig: Rig) -> Hint | None:
    """Say so if the switch tripped while water ran into a trough."""
    for time in rig.trace.times("switch trips"):
        moment = rig.trace.at(time)
        where = max(moment.openings, key=lambda name: moment.openings[name])
        if moment.openings[where] >= 0.5:
            return _of("false stop", where, running=moment.pressure)
    return None


def _fills(rig: Rig) -> Hint:
    """Water runs and the pump turns: say what is still to be tried."""
    if stopped := _false_stop(rig):
        return stopped
    if rig.air is not None and rig.air > rig.screw.cut_in:
        return _of("air over cut-in", air=rig.air, under=UNDER_CUT_IN)
    several = sum(float(opening[-1]) >= SHUT for opening in rig.trace.opening.values()) > 1
    key = "fills in haze" if rig.is_shaded else "fills several" if several else "fills"
    return _of(key, running=float(rig.trace.pressure[-1]))
