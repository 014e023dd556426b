"""A displacement pump against a shut line: its torque limit, or a relief valve, ends the climb."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from labkit import simulate, steady, surge
from labkit.advice.judge import judge
from labkit.advice.proving import with_floats
from labkit.engine.plant import make_plant
from labkit.engine.standing import go_on, standing
from labkit.engine.stopping import hardest_stop
from tests.customary import FOOT, GPM, PSI
from tests.engine.lines import DISPLACEMENT, line, plant_of, power_at

if TYPE_CHECKING:
    from labkit import Site

SUN = "1000 W/m^2"


@pytest.mark.parametrize("slip", [0.0, 0.05, 0.2])
def test_a_shut_line_stands_at_the_torque_limit(slip: float) -> None:
    """Torque is in proportion to friction plus the head's load; with the efficiency at 0.55 the
    friction's share at the rated point follows by hand, and with it the head of the limit."""
    site = line(pump=DISPLACEMENT | {"slip": slip})
    swept = 4.0 * GPM / (1.0 - slip)
    weight = plant_of(site).weight
    load = weight * swept * 150.0 * FOOT
    friction = weight * 4.0 * GPM * 150.0 * FOOT / 0.55 - load
    limit = (1.5 * (load + friction) - friction) / (weight * swept)

    settled = steady(site, sun=SUN, open_troughs=())

    assert settled.stopped_by == "torque limit"
    assert settled.pump_flow == pytest.approx(0.0, abs=1e-9)
    pressure = weight * (limit - 70.0 * FOOT)
    assert settled.pressure["manifold"] == pytest.approx(pressure, rel=1e-4)


def test_the_run_locks_where_steady_says() -> None:
    """The pressure of a bare line climbs too fast to see but the last of it."""
    site = line(pump=DISPLACEMENT, pressure_switch={"cut_in": "20 psi", "cut_out": "150 psi"})

    trace = simulate(site, "10 min", sun=SUN, levels={"lane": "21.5 in"})

    assert trace.verdict == "safety stop"
    locked = steady(site, sun=SUN, open_troughs=()).pressure["manifold"]
    assert trace.pressure.max() == pytest.approx(locked, rel=5e-3)


def test_an_open_trough_keeps_the_pump_off_its_limit() -> None:
    settled = steady(line(pump=DISPLACEMENT), sun=SUN)

    assert settled.stopped_by == ""
    assert settled.inflow["lane"] == pytest.approx(settled.pump_flow, rel=1e-6)


def test_a_valve_too_small_for_the_pump_stands_at_the_limit_and_passes_what_it_can() -> None:
    """An orifice: flow by the root of the pressure."""
    site = line(pump=DISPLACEMENT, trough__lane__float_valve__flow="0.5 gpm at 20 psi")

    settled = steady(site, sun=SUN)

    assert settled.stopped_by == "torque limit"
    through = 0.5 * GPM * (settled.pressure["lane"] / (20.0 * PSI)) ** 0.5
    assert settled.inflow["lane"] == pytest.approx(through, rel=1e-6)


def test_a_relief_valve_ends_the_climb_first() -> None:
    """All that the pump moves goes out of the valve, in proportion to the pressure over 60 psi."""
    valve = {"opens_at": "60 psi", "capacity": "8 gpm at 80 psi"}
    site = line(pump=DISPLACEMENT | {"torque_limit": 3.0}, relief_valve=valve)

    settled = steady(site, sun=SUN, open_troughs=())

    assert settled.stopped_by == ""
    over = settled.pump_flow / (8.0 * GPM) * 20.0 * PSI
    assert settled.pressure["manifold"] == pytest.approx(60.0 * PSI + over, rel=1e-6)


@pytest.mark.parametrize("watts", [200, 500, 677, 900])
def test_a_float_forced_open_keeps_a_slipless_pump_off_its_limit(watts: int) -> None:
    """At 40 psi the float gives way, and from 44 psi it passes all that the pump moves: far under
    the limit, which the solver may not take for the answer when it does not come there at once."""
    site = line(pump=DISPLACEMENT | {"slip": 0.0, "torque_limit": 3.0},
                array__rated_power="500 W", trough__lane__pipe__rise="-24 ft",
                trough__lane__float_valve__holding_pressure="40 psi")  # fmt: skip

    settled = steady(site, sun=f"{watts} W/m^2", open_troughs=())

    assert settled.stopped_by == ""
    assert 40.0 * PSI < settled.pressure["lane"] < 44.0 * PSI
    assert settled.inflow["lane"] == pytest.approx(settled.pump_flow, rel=1e-6)
    assert settled.pump_flow > 0.3 * GPM


def test_a_well_drawn_down_to_the_intake_is_said() -> None:
    site = line(well={"static_level": "70 ft", "intake_depth": "80 ft", "drawdown": "3 ft/gpm"})

    assert steady(site, sun=SUN).stopped_by == "low water"
    assert steady(site, sun=SUN, open_troughs=()).stopped_by == ""


def _ramping(volume: str) -> dict[str, object]:
    return {
        "pump": DISPLACEMENT | {"slip": 0.0, "torque_limit": 4.0},
        "pressure_tank": {"volume": volume, "precharge": "28 psi"},
        "trough__lane__pipe__wave_speed": "300 m/s",
    }


@pytest.mark.parametrize("gallons", [0.01, 5.0, 40.0])
def test_the_overshoot_is_that_of_the_water_pumped_on_the_ramp(gallons: float) -> None:
    """A pump that moves a set volume each turn pumps half its flow over the three seconds' ramp.
    Line (stretching, at 300 m/s) and tank (Boyle, absolute pressures) take it up between them."""
    site = line(**_ramping(f"{gallons} gal"))
    plant, layout = make_plant(site)
    bore, gallon = 2.067 * FOOT / 12.0, 60.0 * GPM
    pipe = 400.0 * FOOT * 0.785398 * bore**2 / 300.0**2 / (plant.weight / 9.80665)

    def held(p: float) -> float:
        air = (28.0 * PSI + plant.p_air) / (p + plant.p_air)
        return gallons * gallon * (1.0 - air) + pipe * p

    power = power_at(site, SUN)

    found = hardest_stop(plant, layout, powers=(power, power), cut_out=50.0 * PSI)
    peak = found.peak["manifold"]

    taken = held(peak) - held(50.0 * PSI)
    assert taken == pytest.approx(4.0 * GPM * 1.5, rel=0.01)  # the line's far end lags a little


def test_the_hardest_stop_is_the_hardest() -> None:
    """No stop of a filling line climbs as far: its float still passes water."""
    site = line(pressure_tank={"volume": "1 gal", "precharge": "18 psi"})
    plant, layout = make_plant(site)

    power = power_at(site, SUN)
    found = hardest_stop(plant, layout, powers=(power, power), cut_out=40.0 * PSI)
    hardest = found.peak["manifold"]
    real = simulate(site, "20 min", sun=SUN, levels={"lane": "21 in"})

    assert real.verdict == "sound stop"
    assert 40.0 * PSI < real.pressure.max() < hardest


def _gentle(limit: float) -> Site:
    """A line without a tank whose pump comes up gently, and locks at a `limit` [Pa] at the gauge.

    By hand as above: the torque is in proportion to friction plus the head's load.
    """
    swept, weight = 4.0 * GPM, plant_of(line()).weight
    load = weight * swept * 80.0 * FOOT
    friction = load / 0.55 - load
    torque = (swept * (limit + weight * 70.0 * FOOT) + friction) / (load + friction)
    return line(
        pump=DISPLACEMENT | {"slip": 0.0, "rated_head": "80 ft", "torque_limit": torque},
        drive={"kind": "solar", "soft_start": "30 s", "ramp_down": "1 s"},
        pressure_switch={"cut_in": "6 psi", "cut_out": "12 psi"},
        trough__lane__pipe={
            "from": "manifold", "length": "800 ft", "size": "1 in PE SIDR 9", "rise": "0 ft",
            "wave_speed": "300 m/s",
        },
        trough__lane__float_valve={"flow": "20 gpm at 20 psi"},
    )  # fmt: skip


@pytest.mark.parametrize(("share", "locks"), [(0.9, True), (1.1, False)])
def test_a_float_lifted_as_the_line_fills_may_lock_the_drive(share: float, locks: bool) -> None:
    """By hand: what flows at v stands still behind a wave of rho a v, and that wave meets a pump that
    goes on moving its water, so the gauge jumps by twice as much. A limit within the jump is met
    though the switch trips far under it. No other stop comes there: the pump's second of ramp moves
    half its flow into pipe that climbs by one jump for each way out and back at full flow."""
    v = 4.0 * GPM / (0.785398 * (1.049 * FOOT / 12.0) ** 2)
    jump = 2.0 * 999.0 * 300.0 * v
    fills = steady(_gentle(60.0 * PSI), sun=SUN).pressure["manifold"]
    others = 12.0 * PSI + 0.5 / (2.0 * 800.0 * FOOT / 300.0) * jump
    assert fills < 11.0 * PSI
    assert others < fills + 0.6 * jump
    site = _gentle(fills + share * jump)
    plant, layout = make_plant(site)
    power = power_at(site, SUN)

    begun, down = standing(site, sun=SUN, start="12:00"), with_floats(site, ["lane"])
    filling, full = go_on(begun, "5 min", site=down)
    lifted, _ = go_on(full, "1 min", site=with_floats(site))
    stop = hardest_stop(plant, layout, powers=(power, power), cut_out=12.0 * PSI)

    assert not filling.times("switch trips")
    assert bool(lifted.times("torque limit")) == locks
    assert stop.is_locked == locks
    assert (judge(site).verdict == "safety stop") == locks


@pytest.mark.parametrize(("cut_out", "locks"), [(28.0, False), (52.0, True)])
def test_so_may_one_lifted_in_a_second(cut_out: float, locks: bool) -> None:
    """By characteristics, with a pump that is never locked, how high a slower hand's wave comes."""
    site = line(
        well={"static_level": "135 ft", "intake_depth": "193 ft"},
        pump=DISPLACEMENT | {
            "rated_flow": "4.8 gpm", "rated_head": "233 ft", "slip": 0.0, "torque_limit": 1.32,
        },
        array__rated_power="1660 W",
        pressure_switch={"cut_in": f"{cut_out - 8.0} psi", "cut_out": f"{cut_out} psi"},
        trough__lane__pipe={
            "from": "manifold", "length": "506 ft", "size": "1 1/4 in PE SIDR 7", "rise": "-16 ft",
        },
        trough__lane__float_valve={"flow": "7.7 gpm at 14 psi"},
    )  # fmt: skip
    limit = steady(site, sun=SUN, open_troughs=()).pressure["manifold"]
    free = site.changed({"pump.torque_limit": 5.0})

    wave = surge(free, closing_time="1 s", sun=SUN, drive="heeds the switch", duration="12 s")

    assert (wave.pressure["manifold"].max() > limit) == locks
    assert (judge(site).verdict == "safety stop") == locks
