"""Exercise 6: a line that loses water, and a technician's readings, drawn for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.leak_down import PLACES, with_single_leak
from labkit.engine.run import simulate
from labkit.questions.bank import story
from labkit.questions.keys import holding, leaking, sheet
from labkit.questions.marking import NumberQuestion
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "800 W/m^2"
_SMALLEST_FALL: Final = 3.0
"""Least fall of the gauge that a reading shows beyond doubt [psi]."""
_WATCHED: Final = 1.0  # how long the gauge is watched [min]: these leaks are not small


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line with a leak, as a watch and a gauge find it, and numbers of other ranches."""

    site: Site
    place: str
    size: str
    off: float
    on: float
    given_up: str
    wait: str
    rise: float
    leak: float
    hours: int


def exercise(learner: int | str) -> sheet.Exercise:
    """Return the exercise for a learner's own number."""
    number, _, drawn = sheet.drawn_for(
        learner, 6, PLACES, _thrown, lambda one, _: _shows(one) and sheet.are_clear(_numbers(one))
    )
    seen = _seen(drawn)
    return sheet.Exercise(
        learner=number,
        site=drawn.site,
        story=story("exercise_6", **sheet.told(drawn.site)),
        verdict=seen.place,
        questions=(holding.which_part("which part", seen), *_numbers(drawn)),
    )


def _seen(drawn: _Drawn) -> holding.Readings:
    """Return what a technician reads on the drawn line."""
    return holding.Readings.of(drawn.site, drawn.place, drawn.size, sun=SUN, minutes=_WATCHED)


def _numbers(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for starts on the drawn line, and for leaks of other ranches."""
    site, cut_in = drawn.site, si(drawn.site.pressure_switch.cut_in)
    morning = "gauge in the morning"
    return (
        holding.starts("starts in a day", hours=drawn.hours, off=drawn.off, on=drawn.on),
        leaking.size_of_leak("size of a leak", given_up=drawn.given_up, wait=drawn.wait),
        holding.lost_in_a_day("lost in a day", leak=drawn.leak),
        holding.where_it_ends(morning, site=site, rise=drawn.rise, cut_in=cut_in),
    )


def _shows(drawn: _Drawn) -> bool:
    """Whether the readings point to the part that leaks, and to no other."""
    if drawn.on <= 0.0:
        return False
    seen = _seen(drawn)
    return seen.place == drawn.place and seen.opened > sheet.to_si(_SMALLEST_FALL, "psi")


def _thrown(rng: np.random.Generator, place: str) -> _Drawn:
    """Draw the first demo line with another tank, switch and trough, and a leak in it."""
    cut_in, cut_out = ((20, 40), (25, 45), (30, 50))[rng.integers(3)]
    size = f"{rng.integers(5, 21) / 50.0} gpm at 30 psi"
    site = demo_site("first_line").changed(
        {
            "trough.elm.pipe.rise": f"{5 * int(rng.integers(1, 6))} ft",
            "trough.elm.pipe.length": f"{100 * int(rng.integers(8, 25))} ft",
            "trough.elm.herd": None,
            **sheet.set_at(cut_in, cut_out),
            "pressure_tank.volume": f"{int(rng.integers(2, 6))} gal",
        }
    )
    off, on = sheet.cycle(
        simulate(with_single_leak(site, place, size), "40 min", sun=SUN, start="12:00")
    )
    return _Drawn(
        site=site,
        place=place,
        size=size,
        off=off,
        on=on,
        given_up=f"{rng.integers(12, 40) / 20.0} gal",
        wait=f"{int(rng.integers(5, 15))} min",
        rise=sheet.to_si(5 * int(rng.integers(3, 10)), "ft"),
        leak=sheet.to_si(rng.integers(4, 20) / 50.0, "gpm"),
        hours=int(rng.integers(5, 10)),
    )
