"""Exercise 2: one pump, a clear day and a hazy one, with numbers drawn for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.curves import dead_head_pressure
from labkit.engine.demand import shaft_power
from labkit.engine.run import simulate
from labkit.engine.steady import steady
from labkit.questions.bank import story
from labkit.questions.draw import dice_of, draw, learner_number
from labkit.questions.keys import haze, line, pump
from labkit.questions.keys.sheet import (
    Exercise,
    are_clear,
    plain_si,
    set_at,
    shut_off_head,
    weight_of_water,
)
from labkit.questions.number import NumberQuestion
from labkit.questions.phrase import Phrase
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.sun import Sun, constant
from labkit.units import si, typed

CLEAR: Final = "900 W/m^2"
_NUMBER: Final = 2
_CLEAR_BY: Final = 0.1
"""How far, as a share, the cut-out must lie from what the gauge can reach."""
_MARGIN: Final = 0.1
_OUTCOMES: Final = ((True, True), (True, False), (False, False))
"""Whether the line stops on the clear day and in the haze."""
_PUMPS: Final = {(True, True): (22, 29), (True, False): (18, 26), (False, False): (14, 19)}
"""From where to where shut-off heads are drawn for each outcome [10 ft]."""
_SWITCHES: Final = {
    (True, True): ((20, 40), (30, 50)),
    (True, False): ((20, 40), (30, 50), (40, 60)),
    (False, False): ((40, 60),),
}
"""Cut-in and cut-out that are drawn for each outcome [psi]."""


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line and a haze; a neighbor's highest gauge, clear and hazy, and how his well sinks."""

    site: Site
    sun: Sun
    clear: float
    hazy: float
    drop: float


def exercise(learner: int | str) -> Exercise:
    """Give the exercise for a learner's own number."""
    number = learner_number(learner)
    wanted = _OUTCOMES[number % len(_OUTCOMES)]  # neighbors get different ones
    drawn = draw(
        lambda dice: _thrown(dice, wanted),
        dice_of(number, exercise=_NUMBER),
        is_good=lambda one: _behaves(one, wanted) and are_clear(_asked(one)),
    )
    power, full, slow, deeper, margin = _asked(drawn)
    days = haze.in_haze("clear day and hazy day", clear_stops=wanted[0], hazy_stops=wanted[1])
    return Exercise(
        learner=number,
        site=drawn.site,
        story=_story(drawn),
        verdict=f"clear {wanted[0]}, haze {wanted[1]}",
        questions=(power, full, slow, days, deeper, margin),
    )


def _asked(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for the power, three pressures, and a cut-out."""
    site, sun = drawn.site, drawn.sun
    weight, lift = weight_of_water(site), si(site.well.static_level)
    strength, rated = float(sun.irradiance[0]), si(site.array.rated_power)
    kept = float(shaft_power(site, sun)[0]) / (rated * strength / 1000.0)
    speed = round(steady(site, sun=sun, open_troughs=[]).speed, 2)
    return (
        pump.delivered("power in the haze", rated=rated, sun=strength, kept=round(kept, 2)),
        line.dead_head(
            "dead head in clear sun",
            shut_off=shut_off_head(site),
            lift=lift,
            rise=si(site.troughs[0].pipe.rise),
            weight=weight,
        ),
        pump.at_speed(
            "dead head in the haze",
            shut_off=shut_off_head(site),
            lift=lift,
            speed=speed,
            weight=weight,
        ),
        pump.after_drop(
            "dead head in a dry summer",
            dead_head=drawn.clear,
            drop=drawn.drop,
            weight=weight,
            lift=lift,
        ),
        pump.with_margin(
            "cut-out for both days", in_haze=drawn.hazy, in_clear=drawn.clear, margin=_MARGIN
        ),
    )


def _behaves(drawn: _Drawn, wanted: tuple[bool, bool]) -> bool:
    """Say whether a line does what is wanted on both days, nothing close to the cut-out."""
    site, cut_out = drawn.site, si(drawn.site.pressure_switch.cut_out)
    reached = [dead_head_pressure(site, sun) for sun in (CLEAR, drawn.sun)]
    if any(abs(one - cut_out) < _CLEAR_BY * cut_out for one in reached):
        return False
    if reached[1] > (1.0 - _CLEAR_BY) * reached[0] or reached[1] < 0.2 * reached[0]:
        return False
    if steady(site, sun=CLEAR).pressure["manifold"] > (1.0 - _CLEAR_BY) * cut_out:
        return False
    if tuple(one > cut_out for one in reached) != wanted:
        return False
    return tuple(stops(site, sun) for sun in (CLEAR, drawn.sun)) == wanted


def stops(site: Site, sun: Sun | str) -> bool:
    """Say whether the pump stops soundly once the float has shut, as the simulation finds."""
    levels = {site.troughs[0].name: "21 in"}
    return simulate(site, "1 hour", sun=sun, start="12:00", levels=levels).verdict == "sound stop"


def _thrown(dice: np.random.Generator, wanted: tuple[bool, bool]) -> _Drawn:
    """Draw a line: the first demo line with another pump, well, array and switch; and a haze."""
    shut_off, lift = 10 * int(dice.integers(*_PUMPS[wanted])), 5 * int(dice.integers(8, 17))
    cut_in, cut_out = _SWITCHES[wanted][dice.integers(len(_SWITCHES[wanted]))]
    site = demo_site("first_line").changed(
        {
            "well.static_level": f"{lift} ft",
            "well.intake_depth": f"{lift + 60} ft",
            "pump.shut_off_head": f"{shut_off} ft",
            "pump.rated_head": f"{round(0.66 * shut_off)} ft",
            "array.rated_power": f"{100 * int(dice.integers(7, 13))} W",
            "trough.elm.pipe.rise": f"{5 * int(dice.integers(2, 9))} ft",
            "trough.elm.herd": None,
            **set_at(cut_in, cut_out),
        }
    )
    strength = typed(10.0 * int(dice.integers(15, 41)), "irradiance")
    clear = int(dice.integers(50, 86))
    return _Drawn(
        site=site,
        sun=constant(strength, site.place.air_temperature),
        clear=plain_si(clear, "psi"),
        hazy=plain_si(round(clear * dice.integers(50, 81) / 100), "psi"),
        drop=plain_si(5 * int(dice.integers(2, 9)), "ft"),
    )


def _story(drawn: _Drawn) -> Phrase:
    """Tell the line and its two days in words."""
    site = drawn.site
    return story(
        "exercise_2",
        lift=si(site.well.static_level),
        shut_off=shut_off_head(site),
        cut_out=si(site.pressure_switch.cut_out),
        sun=float(drawn.sun.irradiance[0]),
    )
