"""Exercise 8: three troughs at different heights on one switch, drawn for each learner."""

from typing import Final

import numpy as np

from labkit.engine.run import simulate
from labkit.engine.steady import steady
from labkit.parts import Herd
from labkit.questions import Question
from labkit.questions.keys import filling, heights, outcome, sheet
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "900 W/m^2"
_CLEAR_BY: Final = 0.1
"""How far, as a share, a pressure must lie from what it is compared with."""
_OUTCOMES: Final = ("sound stop", "stuck off")
_LOW, _MIDDLE, _HIGH = "creek", "corral", "lookout"


def _behaves(site: Site, wanted: str, gauge: float) -> bool:
    """Whether a line does what is wanted when the highest trough calls, nothing close."""
    weight, (cut_in, cut_out) = sheet.weight_of_water(site), site.pressure_switch.points
    columns = [weight * site.elevation(one.name) for one in site.troughs]
    if any(abs(column - gauge) < _CLEAR_BY * gauge for column in columns):
        return False
    if abs(columns[-1] - cut_in) < _CLEAR_BY * cut_in:
        return False
    alone = steady(site, sun=SUN, open_troughs=[_HIGH]).pressure["manifold"]
    shut = steady(site, sun=SUN, open_troughs=[]).pressure["manifold"]
    if not (alone < (1.0 - _CLEAR_BY) * cut_out and cut_out < (1.0 - _CLEAR_BY) * shut):
        return False
    return simulate(site, "2 hour", sun=SUN, start="12:00").verdict == wanted


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
    """Draw a line: the ranch of three draws with other heights, pump and switch."""
    cut_in, cut_out = ((20, 40), (25, 45), (30, 50))[rng.integers(3)]
    low, middle, high = (
        -int(rng.integers(8, 31)),
        int(rng.integers(12, 31)),
        int(rng.integers(36, 81)),
    )
    visits = Herd(head=20, kind="cow with calf", visits=("12:20",), visit_time="10 min",
                  daily_need="6 gal/day")  # fmt: skip
    site = demo_site("three_troughs").changed(
        {
            f"trough.{_LOW}.pipe.rise": f"{low - 5} ft",
            f"trough.{_MIDDLE}.pipe.rise": f"{middle - 17} ft",
            f"trough.{_HIGH}.pipe.rise": f"{high - 17} ft",
            f"trough.{_LOW}.herd": None,
            f"trough.{_MIDDLE}.herd": None,
            f"trough.{_HIGH}.herd": visits,
            f"trough.{_HIGH}.float_valve.flow": f"{int(rng.integers(9, 17))} gpm at 20 psi",
            "pump.rated_flow": "6 gpm",
            "pump.shut_off_head": f"{10 * int(rng.integers(21, 27))} ft",
            **sheet.set_at(cut_in, cut_out),
        }
    )
    gauge = sheet.to_si(int(rng.integers(3, 30)), "psi")
    comes = {
        "missing": sheet.to_si(10 * int(rng.integers(8, 31)), "gal"),
        "flow": sheet.to_si(int(rng.integers(10, 17)) / 2.0, "gpm"),
    }
    levels = {one.name: site.elevation(one.name) for one in site.troughs}

    def asks() -> tuple[Question, ...]:
        settled = steady(site, sun=SUN, open_troughs=[_HIGH])
        rise, valve = levels[_HIGH], settled.pressure[_HIGH]
        rub = settled.pressure["manifold"] - sheet.weight_of_water(site) * rise - valve
        taken = {"rise": rise, "friction": rub, "valve": valve}
        below = {"drop": -levels[_LOW], "cut_out": si(site.pressure_switch.cut_out)}
        return (
            heights.lowest_cut_in("lowest reading", site=site, heights=levels),
            filling.while_filling("filling the highest", site=site, **taken),
            outcome.what_happens("what happens", verdict=wanted),
            heights.low_float_holds("what the low float holds", site=site, **below),
            heights.how_many("troughs reached", site=site, heights=levels, gauge=gauge),
            heights.first_water("first water", low=_LOW, high=_HIGH, **comes),
        )

    return sheet.Draft(
        site=site,
        verdict=wanted,
        does=lambda: _behaves(site, wanted, gauge),
        asks=asks,
        tells=lambda: {"low": -levels[_LOW], "middle": levels[_MIDDLE], "high": levels[_HIGH]},
    )


exercise = sheet.exercise(8, _OUTCOMES, _thrown)
