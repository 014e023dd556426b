"""Exercise 9: a float that closes, the rounds of the pump and the wave, drawn for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.questions.bank import story
from labkit.questions.keys import closing, sheet
from labkit.questions.marking import NumberQuestion
from labkit.site import Site
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


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line, and numbers of other lines: velocity, wave speed and length, and three pressures."""

    site: Site
    velocity: float
    wave_speed: float
    length: float
    before: float
    jumped: float
    rating: float


def exercise(learner: int | str) -> sheet.Exercise:
    """Return the exercise for a learner's own number."""
    number, wanted, drawn = sheet.drawn_for(
        learner,
        9,
        (_QUIET, "comes back"),
        _thrown,
        lambda one, to: sheet.are_clear(_asked(one)) and _behaves(one.site, is_quiet=to == _QUIET),
    )
    trace = sheet.an_hour(drawn.site, SUN, _LEVEL)
    stops, back = len(trace.times("pump stops")), _back(trace)
    rounds = closing.rounds(
        "the rounds", stops=stops, quiet_after=wanted == _QUIET, since_shut=back
    )
    return sheet.Exercise(
        learner=number,
        site=drawn.site,
        story=story("exercise_9", **sheet.told(drawn.site)),
        verdict=wanted,
        questions=(*_asked(drawn), rounds),
    )


def _back(trace: Trace) -> int:
    """Count how often the pump came back after the float had shut."""
    shut = trace.times("float shuts")
    return sum(time > shut[-1] for time in trace.times("pump starts")) if shut else 0


def _behaves(site: Site, *, is_quiet: bool) -> bool:
    """Whether a line does what is wanted once its trough is full."""
    trace = sheet.an_hour(site, SUN, _LEVEL)
    if not trace.times("float shuts"):
        return False
    if is_quiet:
        stops = trace.times("pump stops")
        return len(stops) in _NORMAL and stops[-1] < 0.5 * float(trace.time[-1])
    return _back(trace) >= _FEWEST and trace.verdict == "cycling"


def _asked(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for a volume, a jump, a time and a margin."""
    site, trough = drawn.site, drawn.site.troughs[0]
    band = {"depth": si(trough.depth), "band": si(trough.float_valve.band)}
    speed = {"wave_speed": drawn.wave_speed}
    peak = {"before": drawn.before, "jumped": drawn.jumped, "rating": drawn.rating}
    return (
        closing.water_in_band("water in the band", volume=si(trough.volume), **band),
        closing.jump("the jump", site=site, velocity=drawn.velocity, **speed),
        closing.one_round_trip("out and back", length=drawn.length, **speed),
        closing.margin("left of the rating", **peak),
    )


def _thrown(rng: np.random.Generator, wanted: str) -> _Drawn:
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
    return _Drawn(
        site=site,
        velocity=sheet.to_si(rng.integers(15, 41) / 10.0, "ft/s"),
        wave_speed=sheet.to_si(50 * int(rng.integers(16, 33)), "ft/s"),
        length=sheet.to_si(100 * int(rng.integers(10, 41)), "ft"),
        before=sheet.to_si(int(rng.integers(25, 51)), "psi"),
        jumped=sheet.to_si(int(rng.integers(15, 41)), "psi"),
        rating=sheet.to_si((100, 126, 160)[rng.integers(3)], "psi"),
    )
