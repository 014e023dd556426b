"""Radio links: reports, delays, losses and silence."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, norm

from labkit import simulate
from labkit.engine.demand import quiet_breaks
from labkit.engine.sensing import make_sensors
from labkit.engine.wiring import is_lost
from labkit.trace import DriveState
from tests.engine.level_lines import (
    SENSOR,
    by_radio,
    level_line,
    table_of_trough,
)


def crossing_and_word(every: float, delay: float, depth: float) -> tuple[float, float]:
    """When the sensor says full and when the drive is told, by a radio that loses nothing."""
    site = level_line(by_radio(report_every=f"{every} s", delay=f"{delay} s"))
    trace = simulate(site, "20 min", sun="1000 W/m^2", levels={"lane": f"{depth} in"})
    return trace.times("sensor says full")[0], trace.times("drive told to stop")[0]


@given(every=st.floats(5.0, 120.0), share=st.floats(0.0, 0.9), depth=st.floats(12.0, 14.5))
def test_a_radio_brings_the_word_with_the_next_report(
    every: float, share: float, depth: float
) -> None:
    """Source: reports go out every so often from the start of the run and take their delay."""
    delay = share * every

    full, told = crossing_and_word(every, delay, depth)

    assert told == pytest.approx(np.ceil(full / every) * every + delay, abs=1e-6)
    assert delay - 1e-9 <= told - full <= every + delay + 1e-9


@pytest.mark.parametrize("when_silent", ["stop", "run"])
def test_a_link_that_loses_everything_falls_silent(when_silent: str) -> None:
    """Heard at the start, then never: silent after five minutes, and then as it was told to be."""
    radio = by_radio(loss=1.0, silent_after="5 min", when_silent=when_silent)
    site = level_line(radio)

    trace = simulate(site, "15 min", sun="1000 W/m^2", levels={"lane": "13.5 in"})

    assert trace.times("radio falls silent") == [300.0]
    assert not trace.times("radio is heard again")
    assert trace.times("drive told to stop") == ([300.0] if when_silent == "stop" else [])
    expected = DriveState.HELD if when_silent == "stop" else DriveState.RUNNING
    assert trace.at(899.0).drive_state == expected


@pytest.mark.parametrize(
    ("when_silent", "state"), [("stop", DriveState.HELD), ("run", DriveState.RUNNING)]
)
def test_a_dead_radio_has_been_silent_all_along(when_silent: str, state: DriveState) -> None:
    radio = by_radio(condition="dead", when_silent=when_silent)

    trace = simulate(level_line(radio), "5 min", sun="1000 W/m^2", levels={"lane": "13 in"})

    assert trace.at(200.0).drive_state == state
    assert not trace.times("radio falls silent")


@given(loss=st.floats(0.3, 0.9), seed=st.integers(0, 1000))
def test_silence_follows_from_the_reports_that_got_through(loss: float, seed: int) -> None:
    """Source: walk along the reports one by one, as a receiver with a watch would."""
    radio = by_radio(loss=loss, seed=seed, report_every="20 s", delay="3 s", silent_after="50 s")
    site = level_line(radio, trough__lane__float_valve__flow="0.1 gpm at 20 psi")
    trace = simulate(site, "30 min", sun="1000 W/m^2", levels={"lane": "13 in"})

    sensor = make_sensors(site)[0]
    heard, silent, again = 0.0, [], []
    for number in range(1, 91):
        arrives = 20.0 * number + 3.0
        if is_lost(sensor, number):
            continue
        if arrives - heard > 50.0:
            silent.append(heard + 50.0)
            again.append(arrives)
        heard = arrives
    if 1800.0 - heard > 50.0:
        silent.append(heard + 50.0)

    assert trace.times("radio falls silent") == [time for time in silent if time <= 1800.0]
    assert trace.times("radio is heard again") == [time for time in again if time <= 1800.0]
    between = sorted(time for time in (*silent, *again) if 0.0 < time < 1800.0)
    assert sorted(set(quiet_breaks(make_sensors(site), 1800.0))) == between


def test_a_report_under_way_says_what_was_so_when_it_went_out() -> None:
    """Full at some moment, sent at the next report, told its delay later: thirst meanwhile is not
    heard of, and the drive stops although the sensor says room again."""
    herd = {"head": 400, "kind": "cow with calf", "daily_need": "15 gal/day", "visits": ["12:01"],
            "visit_time": "10 min"}  # fmt: skip
    radio = by_radio(report_every="60 s", delay="50 s")
    site = level_line(
        radio | {"stops_at": "13 in", "starts_at": "12.9 in"}, trough__lane__herd=herd
    )

    trace = simulate(site, "4 min", sun="1000 W/m^2", start="12:00", levels={"lane": "12 in"})

    full, room = trace.times("sensor says full")[0], trace.times("sensor says room")[0]
    assert full < 60.0 < room < 61.0  # 600 gal/min drunk
    assert trace.times("drive told to stop")[0] == 110.0
    assert trace.times("pump starts")[1] == 170.0


@pytest.mark.parametrize("loss", [0.02, 0.2, 0.5, 0.97])
@pytest.mark.parametrize("seed", [0, 1, 2, 999_999])
def test_reports_get_lost_by_the_binomial_law(loss: float, seed: int) -> None:
    """Share lost, and share of neighbours lost together: both within what chance allows."""
    sensor = make_sensors(level_line(by_radio(loss=loss, seed=seed)))[0]
    lost = np.array([is_lost(sensor, number) for number in range(1, 20_001)])

    assert binomtest(int(lost.sum()), lost.size, loss).pvalue > 1e-4
    pairs = int((lost[::2] & lost[1::2]).sum())
    assert binomtest(pairs, lost.size // 2, loss**2).pvalue > 1e-4
    ahead = float(np.corrcoef(lost[:-1], lost[1:])[0, 1])
    assert abs(ahead) < norm.isf(1e-5) / sqrt(lost.size)


def test_no_two_radios_and_no_two_seeds_lose_the_same_reports() -> None:
    def lost(seed: int, number: int = 0) -> np.ndarray:
        two = level_line().changed(
            {
                "troughs": [{**table_of_trough(), "name": name} for name in ("lane", "far")],
                "level_sensors": [
                    SENSOR | by_radio(loss=0.5, seed=seed) | {"trough": name}
                    for name in ("lane", "far")
                ],
            }
        )
        sensor = make_sensors(two)[number]
        return np.array([is_lost(sensor, k) for k in range(1, 4001)])

    same, other, beside = lost(1), lost(2), lost(1, 1)
    assert np.array_equal(same, lost(1))
    for found in (other, beside):
        assert abs(float(np.mean(same == found)) - 0.5) < norm.isf(1e-5) * 0.5 / sqrt(same.size)


def test_the_same_seed_gives_the_same_run_to_the_last_bit() -> None:
    site = level_line(by_radio(loss=0.4, seed=7, report_every="10 s", silent_after="30 s"))

    one, two = (
        simulate(site, "30 min", sun="1000 W/m^2", levels={"lane": "13 in"}) for _ in range(2)
    )

    assert one.events == two.events
    assert one.pressure.tobytes() == two.pressure.tobytes()
    other = simulate(
        site.changed({"sensor.lane.radio.seed": 8}), "30 min", sun="1000 W/m^2",
        levels={"lane": "13 in"},
    )  # fmt: skip
    assert other.times("radio falls silent") != one.times("radio falls silent")
