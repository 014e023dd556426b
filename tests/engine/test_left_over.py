"""What Newton's method leaves over must be little where a float minds it, and may be more elsewhere.

None of these lines would be built. Each stood still in steps of microseconds before that was so.
"""

from __future__ import annotations

import numpy as np
import pytest

from labkit import simulate
from labkit.sitefile import loads
from tests.engine.lines import BARE

FORCED = """
title = "Forced open over a hair of a band"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "3000 ft" }
well = { static_level = "70 ft", intake_depth = "160 ft" }
array = { rated_power = "4500 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "6 psi", cut_out = "290 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "64.9 ft"
rated_flow = "150 gpm"
rated_head = "57 ft"
[[trough]]
name = "low"
volume = "5 gal"
depth = "238 in"
float_valve = { flow = "99 gpm at 0.5 psi", band = "0.05 in", holding_pressure = "2.1 psi" }
[trough.pipe]
from = "manifold"
length = "69135 ft"
size = "2 in PE DR 11 IPS"
rise = "-3000 ft"
profile = [["4700 ft", "-2939 ft"]]
vents = ["4700 ft"]
"""
"""Water stands at the pressure that forces a float open, over a band that a cup of it fills."""

SUNK = """
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
"""
"""Under an open float water stands at the limit of vapor: next to no head there counts."""


HAIR = (
    BARE.replace('"400 ft"', '"8000 ft"')
    .replace('"200 gal"', '"5 gal"')
    .replace('{ flow = "8 gpm at 20 psi" }', '{ flow = "168 gpm at 0.5 psi", band = "0.05 in" }')
    + '[pressure_tank]\nvolume = "2 gal"\nprecharge = "18 psi"\n'
)
"""A wide open valve over a tiny trough turns a hair of head into a band of water."""


@pytest.mark.parametrize(
    ("text", "watts", "share", "most"),
    [(FORCED, 0, 0.9, 4000), (SUNK, 0, 0.9, 50), (HAIR, 700, 0.08, 1000)],
    ids=["forced", "sunk", "hair"],
)
def test_a_line_that_hardly_moves_takes_few_steps(
    text: str, watts: int, share: float, most: int
) -> None:
    site = loads(text)
    (trough,) = site.troughs
    trace = simulate(
        site, "20 min", sun=f"{watts} W/m^2", levels={trough.name: share * trough.depth}
    )

    assert trace.time[-1] == pytest.approx(1200.0)
    assert trace.time.size < most
    assert trace.measures().balance_error < 1e-6
    assert np.all(np.diff(trace.time) >= 0.0)
