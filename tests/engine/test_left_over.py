"""What Newton's method leaves over must be little where a float minds it, and may be more elsewhere.

None of these lines would be built. Each stood still in steps of microseconds before that was so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from labkit import simulate
from labkit.sitefile import loads
from tests.engine.lines import line

if TYPE_CHECKING:
    from labkit import Site

FORCED = line(
    array__rated_power="4500 W",
    pressure_switch={"cut_in": "6 psi", "cut_out": "290 psi"},
    pump={
        "kind": "centrifugal", "shut_off_head": "64.9 ft", "rated_flow": "150 gpm",
        "rated_head": "57 ft",
    },
    trough__lane__volume="5 gal",
    trough__lane__depth="238 in",
    trough__lane__float_valve={
        "flow": "99 gpm at 0.5 psi", "band": "0.05 in", "holding_pressure": "2.1 psi",
    },
    trough__lane__pipe={
        "from": "manifold", "length": "69135 ft", "size": "2 in PE DR 11 IPS", "rise": "-3000 ft",
        "profile": [["4700 ft", "-2939 ft"]], "vents": ["4700 ft"],
    },
)  # fmt: skip
"""Water stands at the pressure that forces a float open, over a band that a cup of it fills."""

SUNK = loads("""
title = "Wide open over sunk water"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "15000 ft" }
well = { static_level = "2400 ft", intake_depth = "2500 ft" }
array = { rated_power = "9000 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "314 psi", cut_out = "335 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "1467 ft"
rated_flow = "76 gpm"
rated_head = "328 ft"
[[pipe]]
from = "manifold"
to = "top"
length = "78131 ft"
size = "1 1/4 in PE DR 9 IPS"
rise = "3000 ft"
[[pipe]]
from = "top"
to = "on"
length = "85494 ft"
size = "1 1/2 in PVC SDR 21"
rise = "0 ft"
inside_diameter = "7.3 in"
wave_speed = "102 m/s"
[[trough]]
name = "lane"
volume = "5 gal"
depth = "87 in"
pipe = { from = "on", length = "1 ft", size = "3/4 in PE SIDR 7", rise = "0 ft" }
float_valve = { flow = "168 gpm at 0.5 psi", band = "0.05 in" }
""")
"""Under an open float water stands at the limit of vapor: next to no head there counts."""

HAIR = line(
    pressure_tank={"volume": "2 gal", "precharge": "18 psi"},
    trough__lane__volume="5 gal",
    trough__lane__float_valve={"flow": "168 gpm at 0.5 psi", "band": "0.05 in"},
    trough__lane__pipe__length="8000 ft",
)
"""A wide open valve over a tiny trough turns a hair of head into a band of water."""


@pytest.mark.parametrize(
    ("site", "watts", "share", "most"),
    [(FORCED, 0, 0.9, 4000), (SUNK, 0, 0.9, 50), (HAIR, 700, 0.08, 1000)],
    ids=["forced", "sunk", "hair"],
)
def test_a_line_that_hardly_moves_takes_few_steps(
    site: Site, watts: int, share: float, most: int
) -> None:
    (trough,) = site.troughs
    trace = simulate(
        site, "20 min", sun=f"{watts} W/m^2", levels={trough.name: share * trough.depth}
    )

    assert trace.time[-1] == pytest.approx(1200.0)
    assert trace.time.size < most
    assert trace.measures().balance_error < 1e-6
    assert np.all(np.diff(trace.time) >= 0.0)
