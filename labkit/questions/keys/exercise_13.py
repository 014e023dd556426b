"""Exercise 13: which way to say stop on a line, drawn for each learner."""

from functools import cache
from itertools import pairwise
from typing import Final

import numpy as np

from labkit.advice.method_sites import METHODS
from labkit.advice.stop_methods import StopCase, StopMethods
from labkit.engine.steady import steady
from labkit.questions import Question
from labkit.questions.bank import Value
from labkit.questions.keys import saying_stop, sheet
from labkit.sitefile import demo_site

_THICK, _THIN = "1 1/4 in PE SIDR 9", "3/4 in PE SIDR 9"
_GAUGES: Final = ("16 AWG", "18 AWG", "20 AWG", "22 AWG")
_CLEAR_BY: Final = 1.05
"""How far apart, as a ratio, the prices and pressures of a line must lie that are compared."""
_SURE: Final = 2.0  # how far from what is wanted the decibels of a line must lie [dB]


def _readings(case: StopCase) -> tuple[float, float]:
    """Return the gauge as the trough fills in strong sun, and with its float shut in haze [Pa]."""
    line = case.line
    filling = steady(line, sun="1000 W/m^2").pressure["manifold"]
    return filling, steady(line, sun="250 W/m^2", open_troughs=()).pressure["manifold"]


def _behaves(case: StopCase, wanted: str) -> bool:
    """Whether the wanted way is the cheapest that works, with nothing close."""
    found = case.compared()
    works = {method.name: method.feasible for method in found.methods}
    margin = next(iter(found["radio"].paths.values())).margin
    if abs(margin - found["radio"].paths[_far(found)].gear.wanted_margin) < _SURE:
        return False
    filling, shut = _readings(case)
    if works["pressure"] is not (filling * _CLEAR_BY < shut) or not works["wire"]:
        return False
    costs = sorted(method.cost for method in found.methods if method.feasible)
    clear = all(one * _CLEAR_BY < other for one, other in pairwise(costs))
    return clear and min(
        (m for m in found.methods if m.feasible), key=lambda m: m.cost
    ).name == wanted  # fmt: skip


def _far(found: StopMethods) -> str:
    return found.site.troughs[-1].name


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
    """Draw a line for which one way may be the best, and numbers for the sums."""
    opens = bool(rng.integers(2))
    start = demo_site("first_line").changed(
        {
            "trough.elm.pipe.size": _THICK if wanted == "pressure" else _THIN,
            "trough.elm.pipe.rise": f"{int(rng.integers(5, 26))} ft",
            "drive.stop_when": "open" if opens else "closed",
            "switch.action": "opens on rise" if opens else "closes on rise",
        }
    )
    low, high = {"pressure": (8, 40), "wire": (15, 26), "radio": (28, 60)}[wanted]
    ridge = wanted == "wire" or (wanted == "pressure" and bool(rng.integers(2)))
    case = StopCase(
        start=start,
        way=sheet.to_si(100 * int(rng.integers(low, high)), "ft"),
        between="a ridge" if ridge else "open ground",
        own_trench=bool(rng.integers(2)),
    )
    pair = {
        "gauge": _GAUGES[rng.integers(len(_GAUGES))],
        "distance": sheet.to_si(100 * int(rng.integers(8, 40)), "ft"),
    }
    prices = {
        "wire": 20 * int(rng.integers(9, 16)),
        "roll": 50 * int(rng.integers(4, 19)),
        "radio": 50 * int(rng.integers(16, 25)),
    }
    left = {
        "left": 4 * int(rng.integers(5, 9)),
        "near": sheet.to_si(100 * int(rng.integers(5, 16)), "ft"),
    }

    @cache
    def found() -> StopMethods:
        return case.compared(with_failures=True)

    def asks() -> tuple[Question, ...]:
        cut = found()["wire"].failure("wire cut")
        after = "as before" if cut is None else cut.outcome
        works = {method.name: method.feasible for method in found().methods}
        costs = {method.name: method.cost for method in found().methods}
        kind = start.drive.stop_when
        return (
            saying_stop.cheapest("which way", works=works, costs=costs),
            saying_stop.loop_ohms("ohms of the pair", **pair),
            saying_stop.same_price("wire or radio", **prices),
            saying_stop.decibels_left("decibels left", **left),
            saying_stop.wire_cut("a cut pair", stop_when=kind, outcome=after),
        )

    return sheet.Draft(
        site=case.line,
        verdict=wanted,
        does=lambda: _behaves(case, wanted),
        asks=asks,
        tells=lambda: _told(case, found()),
    )


def _told(case: StopCase, found: StopMethods) -> dict[str, Value]:
    """Return what the story tells of a line: all that the choice needs."""
    filling, shut = _readings(case)
    path = found["radio"].paths[_far(found)]
    costs = {method.name: f"${round(method.cost, -1):,.0f}" for method in found.methods}
    return {
        "way": case.way,
        "filling": filling,
        "shut": shut,
        "ohms": found["wire"].loops[_far(found)].loop_resistance,
        "limit": found["wire"].loops[_far(found)].stop_input.limit,
        "between": case.between,
        "left": f"{path.margin:.0f}".replace("-", "\N{MINUS SIGN}"),
        "wanted": f"{path.gear.wanted_margin:.0f}",
        **costs,
    }


exercise = sheet.exercise(13, METHODS, _thrown)
