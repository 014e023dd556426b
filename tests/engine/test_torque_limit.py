"""A displacement pump against a shut line: its torque limit, or a relief valve, ends the climb."""

from __future__ import annotations

import pytest

from labkit import simulate, steady
from labkit.engine.plant import make_plant
from labkit.engine.stopping import hardest_stop
from tests.customary import FOOT, GPM, PSI
from tests.engine.lines import DISPLACEMENT, line, plant_of, power_at

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
