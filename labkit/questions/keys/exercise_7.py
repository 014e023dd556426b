"""Exercise 7: a pressure tank for a line that leaks, with numbers drawn for each learner."""

from itertools import product
from typing import Final

import numpy as np

from labkit.advice.rules import TANK_SIZES
from labkit.engine.run import simulate
from labkit.questions import Question
from labkit.questions.bank import fixed
from labkit.questions.keys import holding, sheet, tank
from labkit.sitefile import demo_site

SUN: Final = "800 W/m^2"
_OUTCOMES: Final = tuple(product(("cures", "tighter"), ("enough", "too small")))
"""What is asked about belief in a tank, and what the line shows."""
_BELIEFS: Final = {"cures": "what the tank cures", "tighter": "closer points"}
_LIMITS: Final = (6, 10, 15)
"""Starts that a made-up maker allows in an hour; fifteen is usual for small motors (common
practice; the maker's figure rules)."""
_CLEAR_BY: Final = 0.2  # how far, as a share, the starts must lie from the limit


def _verdict(limit: int, off: float, on: float) -> str:
    """Say whether a line keeps within the limit, or nothing where it is a near thing."""
    if on <= 0.0 or abs(3600.0 / (off + on) - limit) < _CLEAR_BY * limit:
        return ""
    return "too small" if 3600.0 / (off + on) > limit else "enough"


def _thrown(rng: np.random.Generator, wanted: tuple[str, str]) -> sheet.Draft:
    """Draw the first demo line with another height, switch and tank, and a leak in it."""
    cut_in, cut_out = ((20, 40), (25, 45), (30, 50), (40, 60))[rng.integers(4)]
    leak = {"at": "elm", "distance": "700 ft", "size": f"{rng.integers(4, 16) / 20} gpm at 30 psi"}
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
    belief, verdict = wanted
    limit = _LIMITS[rng.integers(len(_LIMITS))]
    other = {
        "wanted": sheet.to_si(rng.integers(6, 20) / 4.0, "gal"),
        "share": int(rng.integers(20, 36)) / 100.0,
    }

    def asks() -> tuple[Question, ...]:
        line = sheet.told(site)
        points = {"cut_in": line["cut_in"], "cut_out": line["cut_out"]}
        given = {"site": site, "volume": line["tank"], "is_charge_told": False}
        return (
            tank.precharge("precharge", **points),
            tank.drawdown("water the tank gives", **given, **points),
            holding.starts("starts in an hour", hours=1.0, off=off, on=on),
            tank.enough("within the limit", limit=limit, verdict=verdict),
            tank.size_for("size of another tank", **other),
            fixed(f"tank.{belief}", _BELIEFS[belief]),
        )

    return sheet.Draft(
        site=site, verdict=verdict, does=lambda: _verdict(limit, off, on) == verdict, asks=asks
    )


exercise = sheet.exercise(7, _OUTCOMES, _thrown)
