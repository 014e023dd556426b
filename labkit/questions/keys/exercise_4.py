"""Exercise 4: a new switch on one line, and its screw, with numbers drawn for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.rules import PER_TURN, PRESET
from labkit.advice.window import bare_window
from labkit.engine.steady import steady
from labkit.questions.bank import story
from labkit.questions.keys import filling, line, outcome, screw, sheet
from labkit.questions.marking import NumberQuestion
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "900 W/m^2"
_CLEAR_BY: Final = 0.08
"""How far, as a share, each pressure must lie from the point it is compared with."""
_OUTCOMES: Final = ("no stop", "stuck off", "sound stop", "false stop")
_LINES: Final[dict[str, tuple[tuple[int, int], tuple[int, int], tuple[int, int], str]]] = {
    "no stop": ((14, 17), (3, 8), (10, 19), "1 1/4 in PE SIDR 9"),
    "stuck off": ((23, 28), (15, 20), (3, 11), "1 1/4 in PE SIDR 9"),
    "sound stop": ((20, 25), (4, 12), (8, 16), "1 1/4 in PE SIDR 9"),
    "false stop": ((24, 28), (5, 12), (24, 40), "1 in PE SIDR 9"),
}
"""What is drawn for each outcome: shut-off head [10 ft], rise [5 ft], length [100 ft], pipe."""


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line; turns of a helper; a neighbor's cut-in; rest, filling and gap of a third [Pa]."""

    site: Site
    turns: float
    cut_in: float
    static: float
    running: float
    gap: float


def exercise(learner: int | str) -> sheet.Exercise:
    """Return the exercise for a learner's own number."""
    number, wanted, drawn = sheet.drawn_for(
        learner,
        4,
        _OUTCOMES,
        _thrown,
        lambda one, to: sheet.are_clear(_numbers(one)) and _behaves(one.site, to),
    )
    at_rest, gauge, after, turns, lowest = _numbers(drawn)
    behaviour = outcome.what_happens("what the new switch does", verdict=wanted)
    site = drawn.site
    reached = bare_window(site, 900.0, 900.0).dead_head[1]
    return sheet.Exercise(
        learner=number,
        site=site,
        story=story("exercise_4", dead_head=reached, **sheet.told(site)),
        verdict=wanted,
        questions=(at_rest, gauge, behaviour, after, turns, lowest),
    )


def _numbers(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for the two limits from below, for two turnings of the screw, and for a third line."""
    site = drawn.site
    _, friction, valve = sheet.losses(site, steady(site, sun=SUN))
    there = {"site": site, "rise": si(site.troughs[0].pipe.rise), "friction": friction}
    third = {"static": drawn.static, "running": drawn.running, "differential": drawn.gap}
    return (
        line.at_rest("limit for cut-in", **there),
        filling.while_filling("limit for cut-out", valve=valve, **there),
        screw.cut_out_after("cut-out after some turns", turns=drawn.turns),
        screw.turns_for("turns", cut_in=drawn.cut_in),
        screw.lowest_cut_out("lowest cut-out", **third),
    )


def _behaves(site: Site, wanted: str) -> bool:
    """Whether a line does what is wanted, with no pressure close to either point."""
    (seen,) = (window := bare_window(site, 900.0, 900.0)).troughs
    cut_in, cut_out = PRESET  # as the switch of the drawn line is set
    gauge = steady(site, sun=SUN).pressure["manifold"]
    for pressure, point in (
        (seen.static, cut_in), (gauge, cut_out), (seen.most, cut_out),
        (window.dead_head[1], cut_out),
    ):  # fmt: skip
        if abs(pressure - point) < _CLEAR_BY * point:
            return False
    if window.own.verdict != wanted:
        return False
    return sheet.an_hour(site, SUN, "16 in").verdict == wanted


def _thrown(rng: np.random.Generator, wanted: str) -> _Drawn:
    """Draw a line: the first demo line with another pump, trough and pipe; its switch is new."""
    heads, rises, lengths, size = _LINES[wanted]
    shut_off = 10 * int(rng.integers(*heads))
    site = demo_site("first_line").changed(
        {
            **sheet.pump_of(shut_off),
            "trough.elm.pipe.rise": f"{5 * int(rng.integers(*rises))} ft",
            "trough.elm.pipe.length": f"{100 * int(rng.integers(*lengths))} ft",
            "trough.elm.pipe.size": size,
        }
    )
    static = int(rng.integers(14, 29))
    running = static + int(rng.integers(5, 12))
    return _Drawn(
        site=site,
        turns=int(rng.integers(8, 23)) / 4.0,
        cut_in=PRESET[0] - PER_TURN[0] * int(rng.integers(4, 17)) / 4.0,
        static=sheet.to_si(static, "psi"),
        running=sheet.to_si(running, "psi"),
        gap=sheet.to_si(running - static + int(rng.integers(4, 11)), "psi"),
    )
