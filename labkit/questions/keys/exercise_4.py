"""Exercise 4: a new switch on one line, and its screw, with numbers drawn for each learner."""

from typing import Final

import numpy as np

from labkit.advice.rules import PER_TURN, PRESET
from labkit.advice.window import bare_window
from labkit.engine.steady import steady
from labkit.questions import Question
from labkit.questions.keys import filling, line, outcome, screw, sheet
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


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
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
    turns = int(rng.integers(8, 23)) / 4.0
    cut_in = PRESET[0] - PER_TURN[0] * int(rng.integers(4, 17)) / 4.0
    third = {
        "static": sheet.to_si(static, "psi"),
        "running": sheet.to_si(running, "psi"),
        "differential": sheet.to_si(running - static + int(rng.integers(4, 11)), "psi"),
    }

    def asks() -> tuple[Question, ...]:
        _, friction, valve = sheet.losses(site, steady(site, sun=SUN))
        there = {"site": site, "rise": si(site.troughs[0].pipe.rise), "friction": friction}
        return (
            line.at_rest("limit for cut-in", **there),
            filling.while_filling("limit for cut-out", valve=valve, **there),
            outcome.what_happens("what the new switch does", verdict=wanted),
            screw.cut_out_after("cut-out after some turns", turns=turns),
            screw.turns_for("turns", cut_in=cut_in),
            screw.lowest_cut_out("lowest cut-out", **third),
        )

    return sheet.Draft(
        site=site,
        verdict=wanted,
        does=lambda: _behaves(site, wanted),
        asks=asks,
        tells=lambda: {"dead_head": bare_window(site, 900.0, 900.0).dead_head[1]},
    )


exercise = sheet.exercise(4, _OUTCOMES, _thrown)
