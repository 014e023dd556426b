"""Troughs: floats that do not float, air that drinks, and when a trough runs dry or over."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from labkit import simulate
from labkit.engine.run import TOLERANCE
from tests.customary import GALLON, INCH
from tests.engine.level_lines import (
    AREA,
    steady_inflow,
)
from tests.engine.lines import line, plant_of


def test_an_open_pipe_end_fills_its_trough_and_runs_over() -> None:
    """Source: the valve stays at its full opening; past the rim all that comes in runs over."""
    site = line(trough__lane__float_valve={"flow": "8 gpm at 20 psi", "position": "always open"})
    plant = plant_of(site)

    trace = simulate(site, "30 min", sun="1000 W/m^2", levels={"lane": "20 in"})

    assert set(trace.opening["lane"]) == {1.0}
    flow = float(plant.troughs[0].valve_k) * np.sqrt(np.maximum(trace.head["lane"], 0.0))
    rows = trace.head["lane"] > 0.01  # under a millimetre the square root has a chord
    assert trace.inflow["lane"][rows] == pytest.approx(flow[rows], rel=1e-9)
    over = trace.times("trough overflows")[0]
    assert over == pytest.approx(
        60.0 + (24.0 * INCH - np.interp(60.0, trace.time, trace.level["lane"])) * AREA / steady_inflow(trace),
        abs=0.5,
    )  # fmt: skip
    assert trace.verdict == "no stop"


@pytest.mark.parametrize("length", ["400 ft", "20000 ft"])
def test_an_open_end_over_a_barrel_is_followed_in_honest_steps(length: str) -> None:
    """Source: two steps a second would do; Newton's leftover made thousands of the short line, and
    of the long one 36 microseconds a step. What the barrel does not hold runs over, by hand."""
    barrel: dict[str, Any] = {
        "trough__lane__volume": "5 gal",
        "trough__lane__depth": "181 in",
        "trough__lane__float_valve": {
            "flow": "200 gpm at 0.5 psi", "position": "always open", "band": "0.05 in",
        },
    }  # fmt: skip

    trace = simulate(
        line(**barrel, trough__lane__pipe__length=length), "30 min", sun="900 W/m^2",
        levels={"lane": "10 in"},
    )  # fmt: skip

    assert trace.time.size < 1800
    held = 5.0 * GALLON * (trace.level["lane"][-1] - 10.0 * INCH) / (181.0 * INCH)
    assert trace.totals.overflowed == pytest.approx(trace.totals.delivered - held, rel=1e-6)


def test_a_float_held_shut_lets_only_its_seat_leak() -> None:
    """Source: k sqrt(h) of the seat; neither an empty trough nor pressure opens the valve."""
    site = line(
        trough__lane__float_valve={
            "flow": "8 gpm at 20 psi", "position": "always shut", "seat_leak": "0.1 gpm at 20 psi",
            "holding_pressure": "5 psi",
        }
    )  # fmt: skip
    seat = float(plant_of(site).troughs[0].seat_k)

    trace = simulate(site, "10 min", sun="1000 W/m^2", levels={"lane": "2 in"})

    assert set(trace.opening["lane"]) == {0.0}
    expected = seat * np.sqrt(trace.head["lane"])
    assert trace.inflow["lane"] == pytest.approx(expected, rel=1e-9)


def test_evaporation_lowers_the_water_by_its_depth_a_day() -> None:
    """Source: 0.5 in/day from a float valve that is shut off, for eight days: 4 in of 200 gal/24 in."""
    site = line(place__evaporation="0.5 in/day", trough__lane__float_valve__position="always shut")

    trace = simulate(site, "8 day", sun="0 W/m^2", levels={"lane": "20 in"})

    measures = trace.measures()
    assert trace.level["lane"][-1] == pytest.approx(16.0 * INCH, rel=1e-9)
    assert measures.evaporated == pytest.approx(4.0 / 24.0 * 200.0 * GALLON, rel=1e-9)
    assert measures.balance_error < 1e-9


def test_evaporation_never_lowers_the_water_below_the_floor() -> None:
    site = line(place__evaporation="3 in/day", trough__lane__float_valve__position="always shut")

    trace = simulate(site, "4 day", sun="0 W/m^2", levels={"lane": "4 in"})

    assert trace.level["lane"].min() >= 0.0
    slack = 10.0 * TOLERANCE * 0.5 * INCH * AREA  # what one step's error may take too much
    assert trace.measures().evaporated == pytest.approx(4.0 / 24.0 * 200.0 * GALLON, abs=slack)
    assert trace.measures().balance_error < 1e-9
    dry = trace.times("trough empty")[0]
    assert dry == pytest.approx(86_400.0 * (4.0 - 0.24) / 3.0, rel=1e-6)


@pytest.mark.parametrize("tolerance", [2e-4, 2e-3])
def test_a_trough_runs_dry_and_over_when_it_does(tolerance: float) -> None:
    """Source: straight lines: 20 gal/min drunk from 12 in, and a hundredth of the depth is dry."""
    herd = {"head": 100, "kind": "cow with calf", "daily_need": "4 gal/day", "visits": ["12:00"],
            "visit_time": "20 min"}  # fmt: skip
    site = line(trough__lane__herd=herd, trough__lane__float_valve__position="always shut")

    trace = simulate(
        site, "15 min", sun="0 W/m^2", start="12:00", levels={"lane": "12 in"}, tolerance=tolerance
    )

    (dry,) = trace.times("trough empty")
    assert dry == pytest.approx(60.0 * (12.0 - 0.24) / 24.0 * 200.0 / 20.0, abs=0.05)
