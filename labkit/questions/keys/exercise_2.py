"""Exercise 2: one pump, a clear day and a hazy one, with numbers drawn for each learner."""

from typing import Final

import numpy as np

from labkit.advice.curves import dead_head_pressure
from labkit.engine.demand import steady_power
from labkit.engine.steady import steady
from labkit.questions import Question
from labkit.questions.keys import haze, line, pump, sheet
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.sun import Sun, constant
from labkit.units import si, typed

CLEAR: Final = "900 W/m^2"
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


def _behaves(site: Site, sun: Sun, wanted: tuple[bool, bool]) -> bool:
    """Whether a line does what is wanted on both days, nothing close to the cut-out."""
    cut_out = si(site.pressure_switch.cut_out)
    reached = [dead_head_pressure(site, one) for one in (CLEAR, sun)]
    if any(abs(one - cut_out) < _CLEAR_BY * cut_out for one in reached):
        return False
    if reached[1] > (1.0 - _CLEAR_BY) * reached[0] or reached[1] < 0.2 * reached[0]:
        return False
    if steady(site, sun=CLEAR).pressure["manifold"] > (1.0 - _CLEAR_BY) * cut_out:
        return False
    if tuple(one > cut_out for one in reached) != wanted:
        return False
    found = (sheet.an_hour(site, one, "21 in").verdict for one in (CLEAR, sun))
    return tuple(verdict == "sound stop" for verdict in found) == wanted


def _thrown(rng: np.random.Generator, wanted: tuple[bool, bool]) -> sheet.Draft:
    """Draw a line: the first demo line with another pump, well, array and switch; and a haze."""
    shut_off, lift = 10 * int(rng.integers(*_PUMPS[wanted])), 5 * int(rng.integers(8, 17))
    cut_in, cut_out = _SWITCHES[wanted][rng.integers(len(_SWITCHES[wanted]))]
    site = demo_site("first_line").changed(
        {
            "well.static_level": f"{lift} ft",
            "well.intake_depth": f"{lift + 60} ft",
            **sheet.pump_of(shut_off),
            "array.rated_power": f"{100 * int(rng.integers(7, 13))} W",
            "trough.elm.pipe.rise": f"{5 * int(rng.integers(2, 9))} ft",
            "trough.elm.herd": None,
            **sheet.set_at(cut_in, cut_out),
        }
    )
    strength = typed(10.0 * int(rng.integers(15, 41)), "irradiance")
    sun = constant(strength, site.place.air_temperature)
    # a neighbor's highest gauge, clear and hazy, and how his well sinks
    clear = int(rng.integers(50, 86))
    hazy = round(clear * rng.integers(50, 81) / 100)
    reached = {"in_haze": sheet.to_si(hazy, "psi"), "in_clear": sheet.to_si(clear, "psi")}
    drop = sheet.to_si(5 * int(rng.integers(2, 9)), "ft")

    def asks() -> tuple[Question, ...]:
        strength, rated = float(sun.irradiance[0]), si(site.array.rated_power)
        kept = round(steady_power(site, sun) / (rated * strength / 1000.0), 2)
        speed = round(steady(site, sun=sun, open_troughs=[]).speed, 2)
        head = {"shut_off": sheet.shut_off_head(site), "lift": si(site.well.static_level)}
        sinks = {"dead_head": reached["in_clear"], "drop": drop, "lift": head["lift"]}
        stops = {"clear_stops": wanted[0], "hazy_stops": wanted[1]}
        rise = si(site.troughs[0].pipe.rise)
        return (
            pump.delivered("power in the haze", rated=rated, sun=strength, kept=kept),
            line.dead_head("dead head in clear sun", site=site, rise=rise, **head),
            pump.at_speed("dead head in the haze", site=site, speed=speed, **head),
            haze.in_haze("clear day and hazy day", **stops),
            pump.after_drop("dead head in a dry summer", site=site, **sinks),
            pump.with_margin("cut-out for both days", margin=_MARGIN, **reached),
        )

    return sheet.Draft(
        site=site,
        verdict=f"clear {wanted[0]}, haze {wanted[1]}",
        does=lambda: _behaves(site, sun, wanted),
        asks=asks,
        tells=lambda: {"shut_off": sheet.shut_off_head(site), "sun": float(sun.irradiance[0])},
    )


exercise = sheet.exercise(2, _OUTCOMES, _thrown)
