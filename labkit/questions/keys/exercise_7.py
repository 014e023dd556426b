"""Exercise 7: a pressure tank for a line that leaks, with numbers drawn for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.rules import TANK_SIZES
from labkit.engine.run import simulate
from labkit.physics.water import air_pressure
from labkit.questions.bank import fixed, story
from labkit.questions.draw import dice_of, draw, learner_number
from labkit.questions.keys import holding, tank
from labkit.questions.keys.sheet import Exercise, are_clear, plain_si, set_at
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import Phrase
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.trace import Trace
from labkit.units import si

SUN: Final = "800 W/m^2"
_NUMBER: Final = 7
_VERDICTS: Final = ("enough", "too small")
_LIMITS: Final = (6, 10, 15)
"""Starts that a made-up maker allows in an hour; fifteen is usual for small motors (common
practice; the maker's figure rules)."""
_CLEAR_BY: Final = 0.2
"""How far, as a share, the starts must lie from the limit."""


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line with a leak and a tank, how it swings [s], and another table's share and wish [m3]."""

    site: Site
    off: float
    on: float
    limit: int
    wanted: float
    share: float


def exercise(learner: int | str) -> Exercise:
    """Give the exercise for a learner's own number."""
    number = learner_number(learner)
    wanted = _VERDICTS[number % len(_VERDICTS)]  # neighbors get different ones
    drawn = draw(
        _thrown,
        dice_of(number, exercise=_NUMBER),
        is_good=lambda one: _verdict(one) == wanted and are_clear(_numbers(one)),
    )
    charge, gives, size, starts = _numbers(drawn)
    enough = tank.enough("within the limit", limit=drawn.limit, verdict=wanted)
    beliefs = {"cures": "what the tank cures", "tighter": "closer points"}
    belief = "cures" if number % 4 < 2 else "tighter"
    return Exercise(
        learner=number,
        site=drawn.site,
        story=_story(drawn.site),
        verdict=wanted,
        questions=(charge, gives, starts, enough, size, fixed(f"tank.{belief}", beliefs[belief])),
    )


def _numbers(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for charge, drawdown, another tank and the starts in an hour."""
    switch, volume = drawn.site.pressure_switch, _volume(drawn.site)
    cut_in, cut_out = si(switch.cut_in), si(switch.cut_out)
    return (
        tank.precharge("precharge", cut_in=cut_in, cut_out=cut_out),
        tank.drawdown(
            "water the tank gives",
            volume=volume,
            cut_in=cut_in,
            cut_out=cut_out,
            air=air_pressure(si(drawn.site.place.elevation)),
            is_charge_told=False,
        ),
        tank.size_for("size of another tank", wanted=drawn.wanted, share=drawn.share),
        holding.starts("starts in an hour", hours=1.0, off=drawn.off, on=drawn.on),
    )


def _volume(site: Site) -> float:
    return 0.0 if site.pressure_tank is None else si(site.pressure_tank.volume)


def _verdict(drawn: _Drawn) -> str:
    """Say whether the line keeps within the limit, or nothing where it is a near thing."""
    if drawn.on <= 0.0:
        return ""
    starts = 3600.0 / (drawn.off + drawn.on)
    if abs(starts - drawn.limit) < _CLEAR_BY * drawn.limit:
        return ""
    return _VERDICTS[int(starts > drawn.limit)]


def _cycle(trace: Trace) -> tuple[float, float]:
    """Give how long the pump rests and runs once the line swings [s]."""
    starts, stops = trace.times("pump starts"), trace.times("pump stops")
    if len(starts) < 3 or len(stops) < 2:
        return 0.0, 0.0
    return round(starts[1] - stops[0]), round(stops[1] - starts[1])


def _thrown(dice: np.random.Generator) -> _Drawn:
    """Draw the first demo line with another height, switch and tank, and a leak in it."""
    cut_in, cut_out = ((20, 40), (25, 45), (30, 50), (40, 60))[dice.integers(4)]
    leak = {
        "at": "elm",
        "distance": "700 ft",
        "size": f"{dice.integers(4, 16) / 20} gpm at 30 psi",
    }
    site = demo_site("first_line").changed(
        {
            "place.elevation": f"{500 * int(dice.integers(2, 15))} ft",
            "trough.elm.herd": None,
            **set_at(cut_in, cut_out),
            "pressure_tank.volume": f"{TANK_SIZES[dice.integers(0, 4)]} gal",
            "leaks": [leak],
        }
    )
    off, on = _cycle(simulate(site, "1 hour", sun=SUN, start="12:00"))
    return _Drawn(
        site=site,
        off=off,
        on=on,
        limit=_LIMITS[dice.integers(len(_LIMITS))],
        wanted=plain_si(dice.integers(6, 20) / 4.0, "gal"),
        share=int(dice.integers(20, 36)) / 100.0,
    )


def _story(site: Site) -> Phrase:
    """Tell the line in words."""
    return story(
        "exercise_7",
        elevation=si(site.place.elevation),
        cut_in=si(site.pressure_switch.cut_in),
        cut_out=si(site.pressure_switch.cut_out),
        tank=_volume(site),
    )
