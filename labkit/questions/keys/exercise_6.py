"""Exercise 6: a line that loses water, and a technician's readings, drawn for each learner."""

from functools import cache
from typing import Final

import numpy as np

from labkit.advice.leak_down import PLACES, with_single_leak
from labkit.engine.run import simulate
from labkit.questions.keys import holding, leaking, sheet
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "800 W/m^2"
_SMALLEST_FALL: Final = 3.0
"""Least fall of the gauge that a reading shows beyond doubt [psi]."""
_WATCHED: Final = 1.0  # how long the gauge is watched [min]: these leaks are not small


def _thrown(rng: np.random.Generator, place: str) -> sheet.Draft:
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
    elsewhere = {
        "given_up": f"{rng.integers(12, 40) / 20.0} gal",
        "wait": f"{int(rng.integers(5, 15))} min",
    }
    rise = sheet.to_si(5 * int(rng.integers(3, 10)), "ft")
    lost = sheet.to_si(rng.integers(4, 20) / 50.0, "gpm")
    hours = int(rng.integers(5, 10))
    at_night = {"site": site, "rise": rise, "cut_in": si(site.pressure_switch.cut_in)}

    @cache
    def seen() -> holding.Readings:
        return holding.Readings.of(site, place, size, sun=SUN, minutes=_WATCHED)

    def shows() -> bool:
        least = sheet.to_si(_SMALLEST_FALL, "psi")
        return on > 0.0 and seen().place == place and seen().opened > least

    return sheet.Draft(
        site=site,
        verdict=place,
        does=shows,
        asks=lambda: (
            holding.which_part("which part", seen()),
            holding.starts("starts in a day", hours=hours, off=off, on=on),
            leaking.size_of_leak("size of a leak", **elsewhere),
            holding.lost_in_a_day("lost in a day", leak=lost),
            holding.where_it_ends("gauge in the morning", **at_night),
        ),
    )


exercise = sheet.exercise(6, PLACES, _thrown)
