"""Exercise 10: a herd, its trough and the sun, through three cloudy days, one for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.days import DayWater, day_water, days
from labkit.questions.bank import story
from labkit.questions.keys import budget, pump
from labkit.questions.keys.sheet import Exercise, are_clear, drawn_for, to_si, told
from labkit.questions.marking import NumberQuestion
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si
from labkit.units.customary import DAY

_DULL: Final = 3
_CLEAR_BY: Final = 0.15
"""How far, as a share, what the spell lacks must lie from what the trough holds."""
_LASTS: Final = "lasts"
_TROUGHS: Final = {_LASTS: (20, 31), "runs dry": (5, 14)}
"""From where to where troughs are drawn for each outcome [100 gal]."""
_OUTCOMES: Final = tuple(_TROUGHS)


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line and its spell; and numbers of other ranches."""

    site: Site
    clouds: float
    flow: float
    hours: int
    rated: float
    sun: float
    kept: float
    need: float
    comes: float


def exercise(learner: int | str) -> Exercise:
    """Return the exercise for a learner's own number."""
    number, wanted, drawn = drawn_for(
        learner, 10, _OUTCOMES, _thrown, lambda one, to: are_clear(_asked(one)) and _ends(one, to)
    )
    spell = lived(drawn)
    through = budget.through_the_spell(
        "through the spell",
        lasts=wanted == _LASTS,
        holds=spell.holds,
        need=spell.wanted[0] / DAY,
        comes=float(np.mean(spell.came[1:])) / DAY,
    )
    return Exercise(
        learner=number,
        site=drawn.site,
        story=story("exercise_10", **told(drawn.site)),
        verdict=wanted,
        questions=(*_asked(drawn), through),
    )


def lived(drawn: _Drawn) -> DayWater:
    """Run a clear day and three cloudy ones."""
    return day_water(drawn.site, days(drawn.site, month=7, dull=_DULL, clouds=drawn.clouds))


def _ends(drawn: _Drawn, wanted: str) -> bool:
    """Whether the spell ends as wanted, and a sum on paper says so as well."""
    spell, lasts = lived(drawn), wanted == _LASTS
    lacks = sum(spell.wanted[1:]) - _DULL * float(np.mean(spell.came[1:]))
    if abs(lacks - spell.holds) < _CLEAR_BY * spell.holds or spell.came[1] < 0.05 * spell.wanted[1]:
        return False
    return (not spell.dry) is lasts and (lacks < spell.holds) is lasts


def _asked(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for a need, a delivery, a power, a time and a store."""
    trough = drawn.site.troughs[0]
    herd = trough.herd
    each = si(herd.need(drawn.site.place.air_temperature)) if herd is not None else 0.0
    head = herd.head if herd is not None else 0
    holds = si(trough.volume) * (1.0 - si(trough.freeboard) / si(trough.depth))
    return (
        budget.herd_need("what the herd needs", head=head, each=each),
        budget.sun_brings("what the sun brings", flow=drawn.flow, hours=drawn.hours),
        pump.delivered("power on a dull day", rated=drawn.rated, sun=drawn.sun, kept=drawn.kept),
        budget.lasts("how long it lasts", holds=holds, need=drawn.need),
        budget.store_for("what to store", need=drawn.need, comes=drawn.comes, days=_DULL),
    )


def _thrown(rng: np.random.Generator, wanted: str) -> _Drawn:
    """Draw a line: the flat one with a deep well and another trough and herd; and a sky."""
    site = demo_site("one_trough").changed(
        {
            "array.rated_power": "400 W",
            "well.static_level": "90 ft",
            "well.intake_depth": "160 ft",
            "pump.shut_off_head": "240 ft",
            "pump.rated_head": "160 ft",
            "pressure_tank.volume": "10 gal",
            "trough.lane.float_valve.band": "0.2 in",
            "trough.lane.volume": f"{100 * int(rng.integers(*_TROUGHS[wanted]))} gal",
            "trough.lane.herd.head": int(rng.integers(30, 51)),
            "trough.lane.herd.daily_need": f"{int(rng.integers(12, 19))} gal/day",
        }
    )
    need = 50 * int(rng.integers(10, 25))
    return _Drawn(
        site=site,
        clouds=int(rng.integers(68, 80)) / 100.0,
        flow=to_si(int(rng.integers(8, 21)) / 2.0, "gpm"),
        hours=int(rng.integers(4, 8)),
        rated=50.0 * int(rng.integers(8, 25)),
        sun=10.0 * int(rng.integers(15, 41)),
        kept=int(rng.integers(60, 81)) / 100.0,
        need=to_si(need, "gal/day"),
        comes=to_si(10 * int(need * rng.uniform(0.02, 0.04)), "gal/day"),
    )
