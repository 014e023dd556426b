"""What sets the drive going and what stops it: sun, water in the well, night."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.optimize import brentq

from labkit import simulate
from labkit.engine.demand import shaft_power
from labkit.sun import Sun
from labkit.trace import DriveState
from tests.customary import FOOT, GALLON, GPM, PSI
from tests.engine.lines import DISPLACEMENT, line, plant_of

if TYPE_CHECKING:
    from labkit import Site


def rising_and_setting(peak: float = 500.0) -> Sun:
    """A sun that climbs for an hour, stays for an hour and sinks for an hour."""
    return Sun(
        time=[0.0, 3600.0, 7200.0, 10_800.0],
        irradiance=[0.0, peak, peak, 0.0],
        air_temperature=[20.0] * 4,
        clock=6 * 3600.0,
        source="made for this test",
    )


def moment_of(site: Site, sun: Sun, watts: float, low: float, high: float) -> float:
    """When the shaft power on offer, straight between the sun's points, is so many watts."""
    power = shaft_power(site, sun)
    return float(
        brentq(lambda t: float(np.interp(t, sun.time, power)) - watts, low, high, xtol=1e-9)
    )


def test_it_wakes_with_the_sun_and_rests_with_it() -> None:
    """Source: it needs its start power to begin, and gives up under half of that."""
    site = line(drive={"kind": "solar", "start_power": "200 W"})
    sun = rising_and_setting()

    trace = simulate(site, "3 hour", sun=sun, levels={"lane": "1 in"})

    (wakes,), (rests,) = trace.times("drive wakes"), trace.times("drive rests")
    assert wakes == pytest.approx(moment_of(site, sun, 200.0, 0.0, 3600.0), abs=1e-3)
    assert rests == pytest.approx(moment_of(site, sun, 100.0, 7200.0, 10_800.0), abs=1e-3)
    assert trace.times("pump starts")[0] == wakes
    assert trace.drive_state[0] == trace.drive_state[-1] == DriveState.RESTING
    assert trace.pump_flow[-1] == 0.0


def test_no_sun_no_pump() -> None:
    trace = simulate(line(), "1 hour", sun="0 W/m^2", levels={"lane": "1 in"})

    assert trace.verdict == "at rest"
    assert trace.measures().pumped == 0.0
    assert set(trace.drive_state) == {DriveState.RESTING}


def test_the_pump_stops_when_the_well_is_drawn_down_to_its_intake() -> None:
    """Source: pumping level = static level + drawdown x flow; 70 + 5 q ft reaches 90 ft at 4 gpm."""
    site = line(
        well={"static_level": "70 ft", "intake_depth": "90 ft", "drawdown": "5 ft/gpm"},
        drive={"kind": "solar", "soft_start": "60 s"},
    )

    trace = simulate(site, "25 min", sun="1000 W/m^2", levels={"lane": "1 in"})

    (low,) = trace.times("low water")
    assert trace.pump_flow.max() / GPM == pytest.approx(4.0, rel=1e-4)
    assert trace.verdict == "safety stop"
    assert trace.drive_state[-1] == DriveState.LOCKED
    assert trace.times("pump stops") == [low]


def test_low_water_is_tried_again_after_a_wait() -> None:
    """Source: the drive waits so long after each low-water stop, then starts if nothing holds it."""
    site = line(
        well={"static_level": "70 ft", "intake_depth": "90 ft", "drawdown": "5 ft/gpm"},
        drive={"kind": "solar", "low_water_wait": "12 min"},
    )

    trace = simulate(site, "1 hour", sun="1000 W/m^2", levels={"lane": "1 in"})

    low, starts = trace.times("low water"), trace.times("pump starts")
    assert len(low) == 5
    for stopped, again in zip(low, starts[1:], strict=False):
        assert again - stopped == pytest.approx(12 * 60.0, abs=1e-9)
    assert trace.at(low[0] + 719.0).drive_state == DriveState.LOCKED


def test_the_torque_limit_locks_until_the_sun_has_gone() -> None:
    """Against a shut line the pump gives up; the wait after low water is none of its business."""
    day = rising_and_setting()
    two_days = Sun(
        time=np.concatenate([day.time, day.time + 14_400.0]),
        irradiance=np.concatenate([day.irradiance, day.irradiance]),
        air_temperature=[20.0] * 8,
        clock=6 * 3600.0,
        source="made for this test",
    )
    site = line(
        pump=DISPLACEMENT,
        pressure_switch={"cut_in": "150 psi", "cut_out": "300 psi"},
        drive={"kind": "solar", "low_water_wait": "60 s"},
    )

    trace = simulate(site, "7 hour", sun=two_days)

    first, second = trace.times("torque limit")
    assert first < 10_800.0
    assert second > 14_400.0
    assert trace.at(10_000.0).drive_state == DriveState.LOCKED


def test_a_safety_stop_lasts_until_the_sun_has_gone() -> None:
    site = line(
        well={"static_level": "70 ft", "intake_depth": "90 ft", "drawdown": "5 ft/gpm"},
        drive={"kind": "solar", "low_water_wait": "24 h"},
    )
    day = rising_and_setting()
    two_days = Sun(
        time=np.concatenate([day.time, day.time + 14_400.0]),
        irradiance=np.concatenate([day.irradiance, day.irradiance]),
        air_temperature=[20.0] * 8,
        clock=6 * 3600.0,
        source="made for this test",
    )

    trace = simulate(site, "7 hour", sun=two_days, levels={"lane": "1 in"})

    first, second = trace.times("low water")
    assert first < 10_800.0
    assert 14_400.0 < second
    assert trace.at(7000.0).drive_state == DriveState.LOCKED
    assert trace.at(12_600.0).drive_state == DriveState.RESTING


def test_power_that_is_short_sets_the_speed() -> None:
    """Source: shaft power P_r s**3 (share + (1 - share) Q / (s Q_r)) is all that the sun gives."""
    site = line(pressure_switch={"cut_in": "20 psi", "cut_out": "150 psi"})
    plant = plant_of(site)
    curve = plant.centrifugal

    trace = simulate(site, "10 min", sun="70 W/m^2", levels={"lane": "1 in"})

    s, Q = trace.speed[-1], trace.pump_flow[-1]
    assert 0.0 < s < 1.0
    taken = curve.rated_power * s**3 * (
        curve.idle_share + (1.0 - curve.idle_share) * Q / (s * curve.rated_flow)
    )  # fmt: skip
    assert taken == pytest.approx(trace.power[-1], rel=1e-6)
    made = s**2 * curve.shut_off_head - curve.bend * Q**2
    assert made == pytest.approx(trace.head["manifold"][-1] + plant.lift, rel=1e-6)


# --- float valves and troughs


def test_an_open_trough_fills_at_the_valves_flow() -> None:
    """Source: A dL/dt = k sqrt(h), from 2 in on, and the head at the trough is the trace's own."""
    site = line(trough__lane__freeboard="6 in")
    trace = simulate(site, "10 min", sun="1000 W/m^2", levels={"lane": "2 in"})
    plant = plant_of(site)

    rows = trace.time > 60.0
    flow = float(plant.troughs[0].valve_k) * np.sqrt(trace.head["lane"][rows])
    assert trace.inflow["lane"][rows] == pytest.approx(flow, rel=1e-9)
    area = 200.0 * GALLON / (24.0 * FOOT / 12.0)
    rate = np.diff(trace.level["lane"][rows]) / np.diff(trace.time[rows])
    assert rate == pytest.approx(flow[:-1] / area, rel=1e-3)


def test_pressure_over_its_holding_pressure_forces_a_float_open() -> None:
    """Source: shut below, fully open a tenth above: x = (p - hold) / (0.1 hold)."""
    site = line(
        trough__lane__float_valve={"flow": "8 gpm at 20 psi", "holding_pressure": "30 psi"},
        pressure_switch={"cut_in": "20 psi", "cut_out": "150 psi"},
        trough__lane__freeboard="10 in",
    )
    plant = plant_of(site)

    trace = simulate(site, "5 min", sun="1000 W/m^2")

    p = trace.head["lane"][-1] * plant.weight
    assert 30.0 < p / PSI < 33.0
    assert trace.opening["lane"][-1] == pytest.approx((p / PSI - 30.0) / 3.0, rel=1e-6)
    low = trace.head["lane"] * plant.weight < 29.9 * PSI
    assert np.all(trace.inflow["lane"][low] == 0.0)
    assert trace.level["lane"][-1] > 14.0 * FOOT / 12.0


def test_a_worn_seat_runs_the_trough_over() -> None:
    """Source: once brim-full, what the seat lets through runs over the rim: k sqrt(h)."""
    site = line(
        trough__lane__float_valve={"flow": "8 gpm at 20 psi", "seat_leak": "0.8 gpm at 20 psi"},
        trough__lane__freeboard="0.2 in",
    )

    trace = simulate(site, "4 hour", sun="1000 W/m^2")

    assert trace.times("trough overflows")
    measures = trace.measures()
    before = (200.0 * GALLON) * 0.2 / 24.0
    assert measures.overflowed == pytest.approx(measures.delivered - before, rel=1e-2)


def test_a_herd_drinks_what_it_needs() -> None:
    """Source: 30 head of 15 gal a day in three visits; one of them falls in the hour from noon."""
    site = line(
        trough__lane__herd={
            "head": 30, "kind": "cow with calf", "daily_need": "15 gal/day",
            "visits": ["07:00", "12:30", "18:00"], "visit_time": "20 min",
        }
    )  # fmt: skip

    noon = simulate(site, "1 hour", sun="1000 W/m^2", start="12:00").measures()
    whole = simulate(site, "24 hour", sun="1000 W/m^2", start="00:00").measures()

    assert noon.drunk == pytest.approx(150.0 * GALLON, rel=1e-9)
    assert whole.drunk == pytest.approx(450.0 * GALLON, rel=1e-9)
    assert whole.unmet == pytest.approx(0.0, abs=1e-9)


def test_a_dry_trough_leaves_stock_thirsty() -> None:
    """Source: 100 head want 500 gal in a visit; there are 200 gal to the float, and no sun."""
    site = line(
        trough__lane__herd={"head": 100, "kind": "cow with calf", "daily_need": "15 gal/day"}
    )

    measures = simulate(site, "1 hour", sun="0 W/m^2", start="12:30").measures()

    there = 200.0 * GALLON * 22.0 / 24.0
    assert measures.drunk == pytest.approx(there, rel=0.01)
    assert measures.drunk + measures.unmet == pytest.approx(500.0 * GALLON, rel=1e-9)


def test_the_head_at_a_running_trough_is_the_manifolds_less_friction() -> None:
    """Source: Darcy and Colebrook by `fluids`, at the flow that the trace shows."""
    fluids = pytest.importorskip("fluids")
    site = line(trough__lane__pipe__size="1 in PE SIDR 15", trough__lane__freeboard="6 in")
    plant = plant_of(site)
    D, L = 1.049 * 0.0254, 400 * FOOT

    trace = simulate(site, "5 min", sun="1000 W/m^2", levels={"lane": "1 in"})

    v = trace.inflow["lane"][-1] / (np.pi / 4 * D * D)
    f = fluids.friction_factor(Re=v * D / plant.nu, eD=1.5e-6 / D)
    lost = f * L / D * v * v / (2 * 9.80665)
    assert trace.head["manifold"][-1] - trace.head["lane"][-1] == pytest.approx(lost, rel=1e-4)
    assert sqrt(trace.head["lane"][-1]) > 0.0
