"""A whole visit as one run, to be played again with what was done marked on it."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING, Any, Final

import attrs
import numpy as np

from labkit.trace.record import Event, Totals

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from labkit.rigs.entry import Entry
    from labkit.rigs.rig import Rig
    from labkit.trace import Trace

_SERIES: Final = (
    "pressure", "pump_flow", "returned_flow", "relief_flow", "leak_flow", "speed", "power",
    "irradiance", "tank_water", "contact", "tripped", "drive_state",
)  # fmt: skip
_EACH: Final = ("head", "level", "inflow", "opening", "drinking")


def visit(rig: Rig) -> Trace:
    """Join everything that happened on a visit into one run, from coming to the line."""
    parts = rig.traces
    starts = _starts(parts)
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
    starts, done = iter(_starts(rig.traces)), []
    at = 0.0
    for entry in rig.log:
        if entry.truth is not None:
            at = next(starts)
        done.append((at, entry))
    return done


def _starts(parts: Sequence[Trace]) -> list[float]:
    """Give when each part begins [s]."""
    return [0.0, *accumulate(float(part.time[-1]) for part in parts[:-1])]


def _one(arrays: Sequence[Any]) -> Any:
    return np.concatenate(arrays)


def _each(found: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    return {name: _one([part[name] for part in found]) for name in found[0]}
