"""A whole visit as one run, to be played again with what was done marked on it.

Of a night between two days of a visit only its beginning and its end are kept.
"""

from collections.abc import Mapping, Sequence
from itertools import accumulate, pairwise
from typing import Any, Final

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


def visit(rig: Rig) -> Trace:
    """Join everything that happened on a visit into one run, from coming to the line."""
    parts = [
        _ends(part) if is_night else part
        for part, is_night in zip(rig.traces, _nights(rig), strict=True)
    ]
    starts = [begins for begins, _ in _moments(rig)]
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
    starts, done = (one for one, _ in _moments(rig)), []
    at = 0.0
    for entry in rig.log:
        if entry.truth is not None:
            at = next(starts)
        done.append((at, entry))
    return done


def folds(rig: Rig) -> list[tuple[float, float, float]]:
    """List the nights: beginning and end on the run, and how much longer each was [s]."""
    nights = zip(rig.traces, _nights(rig), _moments(rig), strict=True)
    return [
        (*moments, float(part.time[-1]) - NIGHT) for part, is_night, moments in nights if is_night
    ]


def _nights(rig: Rig) -> list[bool]:
    """Say of each part of a visit whether it is a night that takes longer than it is drawn."""
    keys = [entry.key for entry in rig.log if entry.truth is not None]
    return [
        key == "day" and part.time[-1] > NIGHT for key, part in zip(keys, rig.traces, strict=True)
    ]


def _ends(night: Trace) -> Trace:
    """Keep the two ends of a night."""
    ends = [0, -1]
    kept: dict[str, Any] = {name: getattr(night, name)[ends] for name in _SERIES}
    for name in (*_EACH, "surface"):
        kept[name] = {where: values[ends] for where, values in getattr(night, name).items()}
    return attrs.evolve(night, time=np.array([0.0, NIGHT]), events=(), **kept)


def _moments(rig: Rig) -> list[tuple[float, float]]:
    """Return when each part of a visit begins and ends on its run [s]."""
    lasts = [
        NIGHT if is_night else float(part.time[-1])
        for part, is_night in zip(rig.traces, _nights(rig), strict=True)
    ]
    return list(pairwise([0.0, *accumulate(lasts)]))


def _one(arrays: Sequence[Any]) -> Any:
    return np.concatenate(arrays)


def _each(found: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    return {name: _one([part[name] for part in found]) for name in found[0]}
