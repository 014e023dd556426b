"""A whole visit as one run, to be played again with what was done marked on it.

Of a night between two days of a visit only its beginning and its end are kept.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

import attrs
import numpy as np

from labkit.rigs.entry import Entry
from labkit.rigs.rig import Rig
from labkit.trace import Trace
from labkit.trace.record import Event, Totals

_SERIES: Final = (
    "pressure", "pump_flow", "returned_flow", "relief_flow", "leak_flow", "speed", "power",
    "irradiance", "tank_water", "contact", "tripped", "drive_state",
)  # fmt: skip
NIGHT: Final = 900.0
"""Time of the run that stands for a night, whatever it took [s]."""
_EACH: Final = ("head", "level", "inflow", "opening", "drinking")


class _Part(NamedTuple):
    """What happened while one thing was done, and when that is on the run of the visit [s]."""

    trace: Trace
    begins: float
    ends: float
    longer: float  # how much longer a night was than it is drawn; 0 for all else [s]


def visit(rig: Rig) -> Trace:
    """Join everything that happened on a visit into one run, from coming to the line."""
    laid = _parts(rig)
    parts = [_ends(part.trace) if part.longer else part.trace for part in laid]
    starts = [part.begins for part in laid]
    first, last = parts[0], parts[-1]
    surfaces = {name for part in parts for name in part.surface}
    joined: dict[str, Any] = {name: _one([getattr(p, name) for p in parts]) for name in _SERIES}
    for name in _EACH:
        joined[name] = _each([getattr(part, name) for part in parts])
    joined["surface"] = {
        name: _one([p.surface.get(name, np.full(p.time.size, p.elevations[name])) for p in parts])
        for name in surfaces
    }
    events = tuple(
        Event(event.time + start, event.kind, event.where)
        for part, start in zip(parts, starts, strict=True)
        for event in part.events
    )
    totals = {
        field.name: sum(getattr(part.totals, field.name) for part in parts)
        for field in attrs.fields(Totals)
    }
    return attrs.evolve(
        last,
        clock=first.clock,
        sun=first.sun,
        time=_one([part.time + start for part, start in zip(parts, starts, strict=True)]),
        events=events,
        totals=Totals(**totals),
        flags=(),
        **joined,
    )


def marks(rig: Rig) -> list[tuple[float, Entry]]:
    """List what was done, each with its moment on the run [s]."""
    starts, done = (part.begins for part in _parts(rig)), []
    at = 0.0
    for entry in rig.log:
        if entry.truth is not None:
            at = next(starts)
        done.append((at, entry))
    return done


def folds(rig: Rig) -> list[tuple[float, float, float]]:
    """List the nights: beginning and end on the run, and how much longer each was [s]."""
    return [(part.begins, part.ends, part.longer) for part in _parts(rig) if part.longer]


def _parts(rig: Rig) -> list[_Part]:
    """Lay the parts of a visit one after the other; of a night only so much is drawn."""
    keys = (entry.key for entry in rig.log if entry.truth is not None)
    parts, at = [], 0.0
    for key, trace in zip(keys, rig.traces, strict=True):
        lasts = float(trace.time[-1])
        drawn = min(lasts, NIGHT) if key == "day" else lasts
        parts.append(_Part(trace, at, at + drawn, lasts - drawn))
        at = parts[-1].ends
    return parts


def _ends(night: Trace) -> Trace:
    ends = [0, -1]
    kept: dict[str, Any] = {name: getattr(night, name)[ends] for name in _SERIES}
    for name in (*_EACH, "surface"):
        kept[name] = {where: values[ends] for where, values in getattr(night, name).items()}
    return attrs.evolve(night, time=np.array([0.0, NIGHT]), events=(), **kept)


def _one(arrays: Sequence[Any]) -> Any:
    return np.concatenate(arrays)


def _each(found: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    return {name: _one([part[name] for part in found]) for name in found[0]}
