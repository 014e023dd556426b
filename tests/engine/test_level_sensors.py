"""Level sensors on a wire: full and room fall on their marks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit import simulate
from tests.customary import INCH
from tests.engine.level_lines import (
    AREA,
    level_line,
    steady_inflow,
)


def test_a_wired_level_stops_the_pump_when_the_water_is_there() -> None:
    """Source: A dL/dt = inflow, which is constant once the line is filled: from the level at
    60 s on, (15 in - level) A / inflow."""
    trace = simulate(level_line(), "20 min", sun="1000 W/m^2", levels={"lane": "6 in"})

    full, told = trace.times("sensor says full")[0], trace.times("drive told to stop")[0]
    at = float(np.interp(60.0, trace.time, trace.level["lane"]))
    inflow = steady_inflow(trace)
    assert full == told
    assert full - 60.0 == pytest.approx((15.0 * INCH - at) * AREA / inflow, abs=0.1)
    landed = trace.level["lane"][np.searchsorted(trace.time, full)]
    assert 0.0 <= landed - 15.0 * INCH < 1e-6
    assert trace.verdict == "sound stop"
    assert trace.measures().time_to_stop == 0.0


def test_a_wired_level_starts_the_pump_when_stock_have_drunk() -> None:
    """Source: 60 head of 15 gal in one visit of an hour: 15 gal/min lower 8.33 gal/in."""
    herd = {"head": 60, "kind": "cow with calf", "daily_need": "15 gal/day", "visits": ["12:00"],
            "visit_time": "1 h"}  # fmt: skip
    site = level_line(trough__lane__herd=herd)

    trace = simulate(
        site, "30 min", sun="1000 W/m^2", start="12:00", levels={"lane": "16 in"}, pressure="1 psi"
    )

    room, start = trace.times("sensor says room")[0], trace.times("pump starts")[0]
    assert room == start
    drained = trace.inflow["lane"][trace.time < room].max() * room / AREA  # what still ran in
    assert room / 60.0 == pytest.approx(4.0 * 200.0 / 24.0 / 15.0, rel=0.01, abs=60 * drained)
    assert trace.level["lane"].min() < 12.0 * INCH


@given(stops=st.floats(8.0, 20.0), gap=st.floats(0.2, 4.0), speed=st.floats(2.0, 12.0))
def test_a_level_is_landed_on_from_both_sides(stops: float, gap: float, speed: float) -> None:
    """Never before the mark, and past it by no more than a millionth of the way between the marks."""
    site = level_line(
        {"stops_at": f"{stops} in", "starts_at": f"{stops - gap} in"},
        trough__lane__float_valve__flow=f"{speed} gpm at 20 psi",
        trough__lane__herd={"head": 40, "kind": "cow with calf", "visits": ["12:00"],
                            "visit_time": "2 h"},
    )  # fmt: skip
    trace = simulate(site, "1 h", sun="1000 W/m^2", start="12:00", levels={"lane": f"{stops - gap / 2} in"})  # fmt: skip

    for event in trace.events:
        if not event.kind.startswith("sensor says"):
            continue
        level = trace.level["lane"][np.searchsorted(trace.time, event.time)]
        mark = (stops if event.kind == "sensor says full" else stops - gap) * INCH
        past = level - mark if event.kind == "sensor says full" else mark - level
        assert -1e-12 <= past < 1e-6 * gap * INCH
