"""What each measure means, on a trace written by hand."""

from __future__ import annotations

from math import isnan
from typing import Any

import numpy as np
import pytest

from labkit.sun import Sun
from labkit.trace import DriveState, Event, Trace
from labkit.trace.record import Totals
from tests.customary import PSI
from tests.engine.lines import line

TIME = np.array([0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0])
S, R, P, H = DriveState.STARTING, DriveState.RUNNING, DriveState.STOPPING, DriveState.HELD

NO_WATER = dict.fromkeys(
    (
        "pumped", "returned", "delivered", "leaked", "relieved", "drunk", "asked", "overflowed",
        "line_gain", "trough_gain", "evaporated",
    ),
    0.0,
)  # fmt: skip


def written(**changes: Any) -> Trace:
    """A hundred seconds: start at 10, float shuts at 25, told to stop at 50, stopped at 55; start
    again at 80 by itself, told at 90 while the float stands wide open, stopped at 96."""
    flat = np.zeros(TIME.size)
    opening = np.array([1.0, 1.0, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0])
    fields: dict[str, Any] = {
        "site": line(),
        "sun": Sun(time=0.0, irradiance=800.0, air_temperature=20.0, source="by hand"),
        "clock": 0.0,
        "time": TIME,
        "pressure": np.array([20, 20, 30, 35, 39, 40, 42, 30, 20, 40, 41.0]) * PSI,
        "pump_flow": flat, "returned_flow": flat, "relief_flow": flat, "leak_flow": flat,
        "speed": flat, "power": flat, "irradiance": flat + 800.0,
        "head": {"manifold": flat, "lane": flat},
        "level": {"lane": flat}, "inflow": {"lane": flat}, "opening": {"lane": opening},
        "drinking": {"lane": flat}, "tank_water": flat,
        "contact": flat > 1.0, "tripped": flat > 1.0,
        "drive_state": np.array([H, S, R, R, R, P, H, H, S, P, H], dtype=np.int8),
        "events": (
            Event(10.0, "pump starts", "wellhead"), Event(25.0, "float shuts", "lane"),
            Event(50.0, "drive told to stop", "wellhead"), Event(55.0, "pump stops", "wellhead"),
            Event(75.0, "float opens", "lane"), Event(80.0, "pump starts", "wellhead"),
            Event(90.0, "drive told to stop", "wellhead"), Event(96.0, "pump stops", "wellhead"),
        ),
        "totals": Totals(**NO_WATER),
        "elevations": {"manifold": 0.0, "lane": 0.0}, "distance": {"manifold": 0.0, "lane": 120.0},
        "parents": {"lane": "manifold"},
    }  # fmt: skip
    return Trace(**{**fields, **changes})


def test_counts_and_times() -> None:
    measures = written().measures()

    assert (measures.starts, measures.stops, measures.false_stops) == (2, 2, 1)
    assert measures.cycles_per_hour == pytest.approx(2.0 * 36.0)
    assert measures.shortest_run == pytest.approx(16.0)  # 80 to 96, the other is 45
    assert measures.time_to_stop == pytest.approx(25.0)  # 25 to 50; the second had no shutting


def test_the_longest_wait_for_a_stop_counts() -> None:
    """25 s at first, then 8 s; and a float that opened again is not waited for."""
    events = (
        *written().events[:5],  # up to the float's opening at 75
        Event(76.0, "float shuts", "lane"), Event(84.0, "drive told to stop", "wellhead"),
        Event(86.0, "float shuts", "lane"), Event(88.0, "float opens", "lane"),
        Event(99.0, "drive told to stop", "wellhead"),
    )  # fmt: skip

    assert written(events=events).measures().time_to_stop == pytest.approx(25.0)


def test_pressures() -> None:
    measures = written().measures()

    assert measures.peak_pressure == pytest.approx(42.0 * PSI)
    assert measures.overshoot == pytest.approx(2.0 * PSI)


def test_time_against_a_shut_line() -> None:
    """Rows at 30 and 40 turn with all floats shut; the state holds until the row at 50."""
    assert written().measures().dead_head_time == pytest.approx(20.0)


def test_nothing_that_happened_is_not_a_number() -> None:
    quiet = written(
        events=(), pressure=np.full(TIME.size, 20.0 * PSI),
        drive_state=np.full(TIME.size, H, dtype=np.int8),
    ).measures()  # fmt: skip

    assert (quiet.starts, quiet.stops, quiet.false_stops, quiet.cycles_per_hour) == (0, 0, 0, 0.0)
    assert quiet.dead_head_time == 0.0
    assert all(map(isnan, (quiet.shortest_run, quiet.time_to_stop, quiet.overshoot)))


def test_water() -> None:
    """100 pumped = 3 back + 60 into troughs + 10 leaked + 20 relieved + 7 held in the line; of the
    60, 40 were drunk of 45 wanted, 5 ran over, 3 went into the air, 12 stayed."""
    water = {
        "pumped": 100.0, "returned": 3.0, "delivered": 60.0, "leaked": 10.0, "relieved": 20.0,
        "drunk": 40.0, "asked": 45.0, "overflowed": 5.0, "evaporated": 3.0, "line_gain": 7.0,
        "trough_gain": 12.0,
    }  # fmt: skip
    measures = written(totals=Totals(**water)).measures()

    assert measures.balance_error == pytest.approx(0.0, abs=1e-12)
    assert measures.unmet == pytest.approx(5.0)
    assert measures.stored == pytest.approx(7.0)
    for name in water.keys() - {"asked", "line_gain", "trough_gain"}:
        assert getattr(measures, name) == water[name]


@pytest.mark.parametrize("name", [name for name in NO_WATER if name != "asked"])
def test_any_water_that_goes_missing_shows(name: str) -> None:
    lost = written(totals=Totals(**{**NO_WATER, name: 0.25})).measures().balance_error

    assert lost == pytest.approx(0.5 if name == "delivered" else 0.25)


def test_a_moment_between_rows() -> None:
    """Straight between rows; what stands holds until the next row."""
    trace = written()

    moment = trace.at(24.0)

    assert moment.pressure == pytest.approx(32.0 * PSI)
    assert moment.openings["lane"] == pytest.approx(0.3)
    assert moment.drive_state == DriveState.RUNNING
    assert trace.at(19.999).drive_state == DriveState.STARTING
    assert trace.at(-5.0).time == 0.0
    assert trace.at(1e9).pressure == pytest.approx(41.0 * PSI)


def test_the_table_has_every_row_and_units(tmp_path: Any) -> None:
    written().to_csv(tmp_path / "run.csv")

    heading, *rows = (tmp_path / "run.csv").read_text().splitlines()
    assert len(rows) == TIME.size
    assert heading.startswith("time [s],")
    assert "pressure at the manifold [Pa]" in heading
    column = heading.split(",").index("pressure at the manifold [Pa]")
    assert [float(row.split(",")[column]) for row in rows] == pytest.approx(
        list(written().pressure)
    )
