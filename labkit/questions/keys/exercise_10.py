"""Exercise 10: a herd, its trough and the sun, through three cloudy days, one for each learner."""

from functools import cache
from typing import Final

import numpy as np

from labkit.advice.days import DayWater, day_water, days
from labkit.questions import Question
from labkit.questions.keys import budget, pump, sheet
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


def _ends(spell: DayWater, wanted: str) -> bool:
    """Whether the spell ends as wanted, and a sum on paper says so as well."""
    lasts = wanted == _LASTS
    lacks = sum(spell.wanted[1:]) - _DULL * float(np.mean(spell.came[1:]))
    if abs(lacks - spell.holds) < _CLEAR_BY * spell.holds or spell.came[1] < 0.05 * spell.wanted[1]:
        return False
    return (not spell.dry) is lasts and (lacks < spell.holds) is lasts


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
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
    clouds = int(rng.integers(68, 80)) / 100.0
    brings = {
        "flow": sheet.to_si(int(rng.integers(8, 21)) / 2.0, "gpm"),
        "hours": int(rng.integers(4, 8)),
    }
    power = {
        "rated": 50.0 * int(rng.integers(8, 25)),
        "sun": 10.0 * int(rng.integers(15, 41)),
        "kept": int(rng.integers(60, 81)) / 100.0,
    }
    needs = sheet.to_si(need, "gal/day")
    comes = sheet.to_si(10 * int(need * rng.uniform(0.02, 0.04)), "gal/day")

    @cache
    def spell() -> DayWater:
        return day_water(site, days(site, month=7, dull=_DULL, clouds=clouds))

    def asks() -> tuple[Question, ...]:
        trough, herd = site.troughs[0], site.troughs[0].herd
        each = si(herd.need(site.place.air_temperature)) if herd is not None else 0.0
        head = herd.head if herd is not None else 0
        holds = si(trough.volume) * (1.0 - si(trough.freeboard) / si(trough.depth))
        found = {
            "holds": spell().holds,
            "need": spell().wanted[0] / DAY,
            "comes": float(np.mean(spell().came[1:])) / DAY,
        }
        return (
            budget.herd_need("what the herd needs", head=head, each=each),
            budget.sun_brings("what the sun brings", **brings),
            pump.delivered("power on a dull day", **power),
            budget.lasts("how long it lasts", holds=holds, need=needs),
            budget.store_for("what to store", need=needs, comes=comes, days=_DULL),
            budget.through_the_spell("through the spell", lasts=wanted == _LASTS, **found),
        )

    return sheet.Draft(site=site, verdict=wanted, does=lambda: _ends(spell(), wanted), asks=asks)


exercise = sheet.exercise(10, _OUTCOMES, _thrown)
