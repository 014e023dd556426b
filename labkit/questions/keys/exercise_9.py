"""Exercise 9: a float that closes, the rounds of the pump and the wave, drawn for each learner."""

from functools import cache
from typing import Final

import numpy as np

from labkit.questions import Question
from labkit.questions.keys import closing, sheet
from labkit.sitefile import demo_site
from labkit.trace import Trace
from labkit.units import si

SUN: Final = "900 W/m^2"
_LEVEL: Final = "18 in"
_QUIET: Final = "quiet"
_NORMAL: Final = range(2, 5)
"""Stops that count as the usual rounds of a closing float."""
_FEWEST: Final = 4
"""Times that a leaking line must come back within the hour, to be told from chance."""


def _back(trace: Trace) -> int:
    """Count how often the pump came back after the float had shut."""
    shut = trace.times("float shuts")
    return sum(time > shut[-1] for time in trace.times("pump starts")) if shut else 0


def _behaves(trace: Trace, *, is_quiet: bool) -> bool:
    """Whether a line does what is wanted once its trough is full."""
    if not trace.times("float shuts"):
        return False
    if is_quiet:
        stops = trace.times("pump stops")
        return len(stops) in _NORMAL and stops[-1] < 0.5 * float(trace.time[-1])
    return _back(trace) >= _FEWEST and trace.verdict == "cycling"


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
    """Draw a line: the first demo line with another trough and float, and a leak if wanted."""
    band = rng.integers(2, 5) / 2.0
    leak = 0.0 if wanted == _QUIET else rng.integers(6, 16) / 20.0
    site = demo_site("first_line").changed(
        {
            "trough.elm.pipe.size": "1 in PE SIDR 9",
            "trough.elm.volume": f"{50 * int(rng.integers(3, 9))} gal",
            "trough.elm.float_valve.band": f"{band} in",
            "trough.elm.float_valve.seat_leak": f"{leak} gpm at 30 psi",
            "trough.elm.herd": None,
        }
    )
    velocity = sheet.to_si(rng.integers(15, 41) / 10.0, "ft/s")
    speed = {"wave_speed": sheet.to_si(50 * int(rng.integers(16, 33)), "ft/s")}
    length = sheet.to_si(100 * int(rng.integers(10, 41)), "ft")
    peak = {
        "before": sheet.to_si(int(rng.integers(25, 51)), "psi"),
        "jumped": sheet.to_si(int(rng.integers(15, 41)), "psi"),
        "rating": sheet.to_si((100, 126, 160)[rng.integers(3)], "psi"),
    }
    trough, is_quiet = site.troughs[0], wanted == _QUIET
    holds = {"volume": si(trough.volume), "depth": si(trough.depth)}

    @cache
    def trace() -> Trace:
        return sheet.an_hour(site, SUN, _LEVEL)

    def asks() -> tuple[Question, ...]:
        seen = {"stops": len(trace().times("pump stops")), "since_shut": _back(trace())}
        return (
            closing.water_in_band("water in the band", band=si(trough.float_valve.band), **holds),
            closing.jump("the jump", site=site, velocity=velocity, **speed),
            closing.one_round_trip("out and back", length=length, **speed),
            closing.margin("left of the rating", **peak),
            closing.rounds("the rounds", quiet_after=is_quiet, **seen),
        )

    return sheet.Draft(
        site=site, verdict=wanted, does=lambda: _behaves(trace(), is_quiet=is_quiet), asks=asks
    )


exercise = sheet.exercise(9, (_QUIET, "comes back"), _thrown)
