"""Exercise 7: a pressure tank for a line that leaks, with numbers drawn for each learner."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.rules import TANK_SIZES
from labkit.engine.run import simulate
from labkit.questions.bank import fixed, story
from labkit.questions.keys import holding, sheet, tank
from labkit.questions.marking import NumberQuestion
from labkit.site import Site
from labkit.sitefile import demo_site

SUN: Final = "800 W/m^2"
_VERDICTS: Final = ("enough", "too small")
_LIMITS: Final = (6, 10, 15)
"""Starts that a made-up maker allows in an hour; fifteen is usual for small motors (common
practice; the maker's figure rules)."""
_CLEAR_BY: Final = 0.2  # how far, as a share, the starts must lie from the limit


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line with a leak and a tank, how it swings [s], and another table's share and wish [m3]."""

    site: Site
    off: float
    on: float
    limit: int
    wanted: float
    share: float


def exercise(learner: int | str) -> sheet.Exercise:
    """Return the exercise for a learner's own number."""
    number, wanted, drawn = sheet.drawn_for(
        learner,
        7,
        _VERDICTS,
        lambda rng, _: _thrown(rng),
        lambda one, to: _verdict(one) == to and sheet.are_clear(_numbers(one)),
    )
    charge, gives, size, starts = _numbers(drawn)
    enough = tank.enough("within the limit", limit=drawn.limit, verdict=wanted)
    beliefs = {"cures": "what the tank cures", "tighter": "closer points"}
    belief = "cures" if number % 4 < 2 else "tighter"
    return sheet.Exercise(
        learner=number,
        site=drawn.site,
        story=story("exercise_7", **sheet.told(drawn.site)),
        verdict=wanted,
        questions=(charge, gives, starts, enough, size, fixed(f"tank.{belief}", beliefs[belief])),
    )


def _numbers(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for charge, drawdown, another tank and the starts in an hour."""
    site, line = drawn.site, sheet.told(drawn.site)
    points = {"cut_in": line["cut_in"], "cut_out": line["cut_out"]}
    given = {"site": site, "volume": line["tank"], "is_charge_told": False}
    return (
        tank.precharge("precharge", **points),
        tank.drawdown("water the tank gives", **given, **points),
        tank.size_for("size of another tank", wanted=drawn.wanted, share=drawn.share),
        holding.starts("starts in an hour", hours=1.0, off=drawn.off, on=drawn.on),
    )


def _verdict(drawn: _Drawn) -> str:
    """Say whether the line keeps within the limit, or nothing where it is a near thing."""
    if drawn.on <= 0.0:
        return ""
    starts = 3600.0 / (drawn.off + drawn.on)
    if abs(starts - drawn.limit) < _CLEAR_BY * drawn.limit:
        return ""
    return _VERDICTS[int(starts > drawn.limit)]


def _thrown(rng: np.random.Generator) -> _Drawn:
    """Draw the first demo line with another height, switch and tank, and a leak in it."""
    cut_in, cut_out = ((20, 40), (25, 45), (30, 50), (40, 60))[rng.integers(4)]
    leak = {
        "at": "elm",
        "distance": "700 ft",
        "size": f"{rng.integers(4, 16) / 20} gpm at 30 psi",
    }
    site = demo_site("first_line").changed(
        {
            "place.elevation": f"{500 * int(rng.integers(2, 15))} ft",
            "trough.elm.herd": None,
            **sheet.set_at(cut_in, cut_out),
            "pressure_tank.volume": f"{TANK_SIZES[rng.integers(0, 4)]} gal",
            "leaks": [leak],
        }
    )
    off, on = sheet.cycle(simulate(site, "1 hour", sun=SUN, start="12:00"))
    return _Drawn(
        site=site,
        off=off,
        on=on,
        limit=_LIMITS[rng.integers(len(_LIMITS))],
        wanted=sheet.to_si(rng.integers(6, 20) / 4.0, "gal"),
        share=int(rng.integers(20, 36)) / 100.0,
    )
