"""What two days of a line come to, and what the pump does beside a run with nothing wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, TypeAlias

import attrs
import numpy as np

from labkit.engine.run import simulate
from labkit.trace import DriveState

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.trace import Trace

Outcome: TypeAlias = Literal[
    "as before",
    "stays off",
    "herd short",
    "spills",
    "pushes on",
    "cycles",
    "locks out",
]

DAYS: Final = 2
"""Days that each failure is watched for, from full troughs."""

_WATER: Final = 0.02
"""Water that counts as spilled or missing [m3]: five gallons in the two days."""

_LONG: Final = 600.0
"""Time of pushing against shut floats that counts [s]."""

_SHARE: Final = 0.02
"""Share of what the herds ask for that counts as going short, where nothing is wrong [-]."""

_MORE_STARTS: Final = 3.0
"""Times as many starts as before that count as cycling."""


@attrs.frozen(kw_only=True)
class Watched:
    """What two days of a line came to."""

    name: str  # what was wrong
    # what the pump then does: "as before"; "stays off"; "herd short" (it runs too little); "spills"
    # (it runs on over the rim); "pushes on" against shut floats; "cycles"; "locks out"
    outcome: Outcome
    verdict: str  # the run's verdict
    starts: int  # of the pump
    running: float  # how long the pump turned [s]
    dead_head: float  # how long it turned against shut floats without being told to stop [s]
    # water over the rims; what the herds asked for in vain, and in all [m3]
    spilled: float
    short: float
    asked: float


def two_days(line: Site, sun: Sun) -> Trace:
    """Run a line for two days from midnight, its troughs full."""
    return simulate(line, f"{DAYS} day", sun=sun, start="00:00")


def watched(name: str, trace: Trace, before: Watched | None) -> Watched:
    """Read what a run came to, beside the run with nothing wrong."""
    measures = trace.measures()
    turning = np.isin(
        trace.drive_state[:-1], (DriveState.STARTING, DriveState.RUNNING, DriveState.STOPPING)
    )
    row = Watched(
        name=name,
        outcome="as before",
        verdict=trace.verdict,
        starts=measures.starts,
        running=float(np.diff(trace.time)[turning].sum()),
        dead_head=measures.dead_head_time,
        spilled=measures.overflowed,
        short=max(measures.unmet, 0.0),
        asked=trace.totals.asked,
    )
    return attrs.evolve(row, outcome=_outcome(row, before))


def _outcome(row: Watched, before: Watched | None) -> Outcome:
    """Name what the pump does, the gravest first."""
    tests: dict[Outcome, bool] = {
        "stays off": row.starts == 0,
        "locks out": row.verdict == "safety stop",
        **(_alone(row) if before is None else _beside(row, before)),
    }
    return next((outcome for outcome, holds in tests.items() if holds), "as before")


def _alone(row: Watched) -> dict[Outcome, bool]:
    """Judge a run for itself."""
    return {
        "cycles": row.verdict == "cycling",
        "spills": row.spilled > _WATER,
        "pushes on": row.verdict == "no stop",
        "herd short": row.short > _SHARE * row.asked,
    }


def _beside(row: Watched, before: Watched) -> dict[Outcome, bool]:
    """Judge a run beside the one with nothing wrong."""
    return {
        "cycles": row.verdict == "cycling" or row.starts > _MORE_STARTS * max(before.starts, 2),
        "spills": row.spilled > before.spilled + _WATER,
        "pushes on": row.dead_head > before.dead_head + _LONG,
        "herd short": row.short > before.short + _WATER,
    }
