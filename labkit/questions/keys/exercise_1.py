"""Exercise 1: one line, its switch and its trough, with numbers drawn for each learner."""

from functools import cache
from typing import Final

import numpy as np

from labkit.engine.steady import steady
from labkit.physics.tank import water_volume
from labkit.physics.water import air_pressure
from labkit.questions import NumberQuestion, Question
from labkit.questions.draw import draw
from labkit.questions.keys import filling, line, outcome, sheet, water
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "900 W/m^2"
_CLEAR_BY: Final = 0.12
"""How far, as a share, a set point must lie from what it is compared with."""
_SWITCHES: Final = ((20, 40), (25, 45), (30, 50), (40, 60))
"""Cut-in and cut-out [psi]; 20/40, 30/50 and 40/60 are the usual ones (common practice)."""


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
    """Draw a line; and once it does what is wanted, a herd and a leak."""
    site = _drawn_site(rng)

    @cache
    def asks() -> tuple[Question, ...]:
        what_happens = outcome.what_happens("what happens", verdict=wanted)
        about_water = draw(lambda rng: _about_water(rng, site), rng, is_good=sheet.are_clear)
        return (*_about_pressure(site), what_happens, *about_water)

    return sheet.Draft(
        site=site,
        verdict=wanted,
        does=lambda: _behaves(site, wanted) and sheet.are_clear(_about_pressure(site)),
        asks=asks,
        tells=lambda: {"shut_off": sheet.shut_off_head(site)},
    )


def _about_pressure(site: Site) -> tuple[NumberQuestion, ...]:
    """Ask for the three pressures of a line: at rest, shut, and filling."""
    _, friction, valve = sheet.losses(site, steady(site, sun=SUN))
    rise, lift = si(site.troughs[0].pipe.rise), si(site.well.static_level)
    head = {"shut_off": sheet.shut_off_head(site), "lift": lift, "rise": rise}
    taken = {"rise": rise, "friction": friction, "valve": valve}
    return (
        line.at_rest("at rest", site=site, rise=rise, friction=friction),
        line.dead_head("dead head", site=site, **head),
        filling.while_filling("while filling", site=site, **taken),
    )


def _about_water(rng: np.random.Generator, site: Site) -> tuple[NumberQuestion, ...]:
    """Ask for two times, with a herd and a leak that are drawn."""
    herd, each = int(rng.integers(8, 21)), rng.integers(8, 17) / 2.0
    leak, flow = rng.integers(4, 16) / 20.0, steady(site, sun=SUN).pump_flow
    return (
        water.refill("refill", head=herd, each=sheet.to_si(each, "gal"), flow=flow),
        water.time_off("time off", given_up=_given_up(site), leak=sheet.to_si(leak, "gpm")),
    )


def _behaves(site: Site, wanted: str) -> bool:
    """Whether a line does what is wanted, with no pressure close to a set point."""
    weight, (cut_in, cut_out) = sheet.weight_of_water(site), site.pressure_switch.points
    at_rest = weight * si(site.troughs[0].pipe.rise)
    dead_head = weight * (sheet.shut_off_head(site) - si(site.well.static_level))
    is_clear_of = (
        abs(at_rest - cut_in) > _CLEAR_BY * cut_in
        and abs(dead_head - cut_out) > _CLEAR_BY * cut_out
        and dead_head > (1.0 + _CLEAR_BY) * at_rest
    )
    if not is_clear_of or steady(site, sun=SUN).pressure["manifold"] > (1 - _CLEAR_BY) * cut_out:
        return False
    return sheet.an_hour(site, SUN, "14 in").verdict == wanted


def _drawn_site(rng: np.random.Generator) -> Site:
    """Draw a line: the first demo line with another pump, well, trough and switch."""
    cut_in, cut_out = _SWITCHES[rng.integers(len(_SWITCHES))]
    shut_off, lift = 10 * int(rng.integers(14, 27)), 5 * int(rng.integers(8, 19))
    return demo_site("first_line").changed(
        {
            "well.static_level": f"{lift} ft",
            "well.intake_depth": f"{lift + 60} ft",
            **sheet.pump_of(shut_off),
            "trough.elm.pipe.rise": f"{5 * int(rng.integers(3, 21))} ft",
            "trough.elm.pipe.length": f"{100 * int(rng.integers(8, 19))} ft",
            **sheet.set_at(cut_in, cut_out),
        }
    )


def _given_up(site: Site) -> float:
    """Return the water that the tank gives up between cut-out and cut-in [m3]."""
    tank, switch = site.pressure_tank, site.pressure_switch
    if tank is None:
        return 0.0
    held = [
        water_volume(
            si(point),
            V=si(tank.volume),
            p_precharge=si(tank.precharge),
            p_air=air_pressure(si(site.place.elevation)),
            n=tank.air_exponent,
        )[0]
        for point in (switch.cut_out, switch.cut_in)
    ]
    return held[0] - held[1]


exercise = sheet.exercise(1, outcome.OUTCOMES, _thrown)
