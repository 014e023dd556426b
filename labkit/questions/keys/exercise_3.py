"""Exercise 3: one line, its friction and its stop, with numbers drawn for each learner."""

from typing import Final

import numpy as np

from labkit.catalogue import sizes_like
from labkit.engine.steady import steady
from labkit.questions import Question
from labkit.questions.keys import filling, friction, outcome, sheet
from labkit.questions.marking import ChoiceQuestion
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import displayed, si

SUN: Final = "900 W/m^2"
_CLEAR_BY: Final = 0.08
"""How far, as a share, the gauge while filling must lie from the cut-out."""
_SIZES: Final = ("1 in PE SIDR 9", "1 1/4 in PE SIDR 9")
_OUTCOMES: Final = ("false stop", "sound stop")


def _smallest(site: Site) -> ChoiceQuestion:
    """Ask for the smallest pipe with which this line fills its trough."""
    climb, _, valve = sheet.losses(site, steady(site, sun=SUN))
    gauges = {
        size: sheet.losses(_with(site, size), steady(_with(site, size), sun=SUN))[1]
        for size in _all()
    }
    return friction.smallest_pipe(
        "smallest pipe",
        gauges=gauges,
        found=site.troughs[0].pipe.size,
        rest=climb + valve,
        cut_out=si(site.pressure_switch.cut_out),
    )


def _all() -> tuple[str, ...]:
    return sizes_like(_SIZES[0])[:4]


def _with(site: Site, size: str) -> Site:
    return site.changed({f"trough.{site.troughs[0].name}.pipe.size": size})


def _behaves(site: Site, wanted: str) -> bool:
    """Whether a line does what is wanted, no size of pipe close to the cut-out."""
    cut_out, switch = si(site.pressure_switch.cut_out), site.pressure_switch
    climb, _, valve = sheet.losses(site, steady(site, sun=SUN))
    for size in _all():
        settled = steady(_with(site, size), sun=SUN)
        on_paper = climb + valve + sheet.losses(_with(site, size), settled)[1]
        for gauge in (settled.pressure["manifold"], on_paper):
            if abs(gauge - cut_out) < _CLEAR_BY * cut_out:
                return False
        if (on_paper < cut_out) != (settled.pressure["manifold"] < cut_out):
            return False
    stops_early = steady(site, sun=SUN).pressure["manifold"] > cut_out
    biggest = steady(_with(site, _all()[-1]), sun=SUN).pressure["manifold"]
    if (
        stops_early != (wanted == "false stop")
        or biggest > cut_out
        or climb > 0.9 * si(switch.cut_in)
    ):
        return False
    return sheet.an_hour(site, SUN, "18 in").verdict == wanted


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
    """Draw a line: the first demo line with another pipe and switch; and numbers of others."""
    cut_in, cut_out = ((20, 40), (25, 45), (30, 50))[rng.integers(3)]
    site = demo_site("first_line").changed(
        {
            "trough.elm.pipe.size": _SIZES[rng.integers(2)],
            "trough.elm.pipe.length": f"{100 * int(rng.integers(12, 36))} ft",
            "trough.elm.pipe.rise": f"{5 * int(rng.integers(2, 10))} ft",
            "trough.elm.herd": None,
            **sheet.set_at(cut_in, cut_out),
        }
    )
    bucket = {
        "volume": sheet.to_si(int(rng.integers(4, 7)), "gal"),
        "seconds": float(rng.integers(30, 56)),
    }
    flow = sheet.to_si(int(rng.integers(2, 6)), "gpm")
    lost_there = sheet.to_si(int(rng.integers(3, 9)), "psi")

    def asks() -> tuple[Question, ...]:
        pipe = site.troughs[0].pipe
        rise, length = si(pipe.rise), si(pipe.length)
        _, lost, valve = sheet.losses(site, steady(site, sun=SUN))
        loss = displayed(lost * friction.HUNDRED_FEET / length, "pressure", "US")
        per_hundred = sheet.to_si(round(loss, 2), "psi")
        run = {"per_hundred": per_hundred, "length": length, "size": pipe.size}
        taken = {"friction": per_hundred * length / friction.HUNDRED_FEET, "valve": valve}
        return (
            friction.along("friction all along", **run),
            filling.while_filling("while filling", site=site, rise=rise, is_told=False, **taken),
            outcome.what_happens("what happens", verdict=wanted),
            _smallest(site),
            friction.bucket("bucket and watch", **bucket),
            friction.doubled("twice the flow", friction=lost_there, flow=flow),
        )

    return sheet.Draft(
        site=site,
        verdict=wanted,
        does=lambda: _behaves(site, wanted),
        asks=asks,
        tells=lambda: {"valve": sheet.losses(site, steady(site, sun=SUN))[2]},
    )


exercise = sheet.exercise(3, _OUTCOMES, _thrown)
