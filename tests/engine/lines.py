"""Lines that the tests of the engine share: simple enough to be worked out by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from labkit.engine.demand import shaft_power
from labkit.engine.memory import PUMP_STARTS
from labkit.engine.plant import make_plant
from labkit.sitefile import loads
from labkit.sun import as_sun

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from labkit import Site
    from labkit.engine.network import Plant

BARE = """
title = "A bare line"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "3000 ft" }
well = { static_level = "70 ft", intake_depth = "160 ft" }
array = { rated_power = "4000 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "20 psi", cut_out = "40 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "230 ft"
rated_flow = "8 gpm"
rated_head = "170 ft"
[[trough]]
name = "lane"
volume = "200 gal"
depth = "24 in"
pipe = { from = "manifold", length = "400 ft", size = "2 in PE SIDR 15", rise = "0 ft" }
float_valve = { flow = "8 gpm at 20 psi" }
"""
"""No tank, no leak, one trough on the flat, and more sun than the pump can use."""

SHORT: Final[dict[str, Any]] = {"trough__lane__pipe__length": "100 ft"}
"""So short that its water does not swing: with no leak, a check valve holds the top of a swing."""


def line(**changes: Any) -> Site:
    """The bare line with changes; two underscores stand for a dot."""
    return loads(BARE).changed({name.replace("__", "."): new for name, new in changes.items()})


def plant_of(site: Site) -> Plant:
    return make_plant(site)[0]


def power_at(site: Site, sun: str) -> float:
    """Shaft power [W] under a constant sun."""
    return float(shaft_power(site, as_sun(sun, site))[0])


def after_starts(count: int) -> Callable[[NDArray[np.float64]], bool]:
    """For a run that is to end once its pump has started so often."""
    return lambda events: bool(np.sum(events[:, 1] == PUMP_STARTS) >= count)


DISPLACEMENT = {
    "kind": "positive displacement", "rated_flow": "4 gpm", "rated_head": "150 ft", "slip": 0.05,
    "torque_limit": 1.5,
}  # fmt: skip
"""A displacement pump for the same line."""
