"""What switch, pump, tank and check valve make of a pressure wave."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

import labkit as lab
from labkit.engine.surge import surge
from labkit.parts import CentrifugalPump
from labkit.physics import GRAVITY
from labkit.physics.pipe import area
from labkit.units import si
from tests.customary import GPM, INCH, PSI

if TYPE_CHECKING:
    from labkit.engine.surge_record import Surge
    from labkit.site import Site

FULL_SUN = "1000 W/m^2"


# --- the switch, the pump, the tank


def test_the_switch_hears_of_it_after_one_travel_time(one: Site) -> None:
    """Source: L / a, with a by Korteweg's formula for the pipe."""
    found = surge(one, closing_time="0 s", duration="10 s", reaches=40)
    run = found.runs[0]
    before = found.time < found.arrival - 1.5 * found.dt

    assert found.arrival == pytest.approx(457.2 / run.wave_speed, rel=1e-6)
    assert np.ptp(found.pressure["manifold"][before]) < 1.0
    assert found.pressure["manifold"][np.argmin(before) + 3] > found.pressure["manifold"][0] + 1e4


def test_slow_closure_ends_at_the_dead_head(one: Site, slowly: Surge) -> None:
    """The lumped line before and after: steady with the valve open, and with it shut. On the way
    the column swings past it: 67.2 psi for 64.0 psi, 5 %, in another program's case."""
    before, after = (lab.steady(one, sun=FULL_SUN, open_troughs=t) for t in (["lane"], []))
    found = slowly

    for name in ("manifold", "lane"):
        assert found.pressure[name][0] == pytest.approx(before.pressure[name], rel=1e-6)
        assert found.pressure[name][-1] == pytest.approx(after.pressure[name], rel=0.02)
    assert 1.0 <= found.highest.pressure / after.pressure["lane"] <= 1.05
    assert found.pump_flow[0] == pytest.approx(before.pump_flow, rel=1e-6)


def test_a_slow_stop_overshoots_as_in_the_lumped_line() -> None:
    """The float shuts in a minute, the switch trips, the drive ramps down: the lumped line knows
    the peak too, when a tank at the switch is softer than the pipe."""
    site = lab.demo_site("one_trough").changed({"pressure_tank.volume": "10 gal"})
    lumped = lab.simulate(site, "20 min", sun=FULL_SUN, levels={"lane": "21.5 in"})

    found = surge(site, closing_time="60 s", drive="heeds the switch", duration="100 s", reaches=40)

    assert lumped.verdict == "sound stop"
    assert found.switch_peak == pytest.approx(lumped.measures().peak_pressure, abs=0.5 * PSI)


def test_a_tank_softens_the_blow_and_delays_the_trip(one: Site) -> None:
    found = [surge(one, closing_time="0 s", duration="40 s", reaches=20)]
    for gallons in (1, 3, 9):
        tank = {"volume": f"{gallons} gal", "precharge": "13 psi"}
        with_tank = one.changed({"pressure_tank": tank})
        found.append(surge(with_tank, closing_time="0 s", duration="40 s", reaches=20))

    trips = [each.trip_time for each in found]
    assert trips == sorted(trips)
    assert trips[-1] > 3.0 * trips[0]
    assert all(each.tank_water[-1] > each.tank_water[0] for each in found[1:])
    slopes = [np.diff(each.pressure["manifold"]).max() for each in found]
    assert slopes[0] > 10.0 * slopes[1]


def test_a_drive_that_heeds_the_switch_spares_the_pipe(one: Site) -> None:
    stubborn = surge(one, closing_time="5 s", drive="runs on", reaches=40)
    heedful = surge(one, closing_time="5 s", drive="heeds the switch", reaches=40)

    assert heedful.trip_time == stubborn.trip_time
    assert heedful.pump_flow[-1] == 0.0
    assert heedful.speed[heedful.time > heedful.trip_time + 3.01].max() == 0.0
    assert heedful.highest.pressure < stubborn.highest.pressure


def test_a_switch_wired_the_wrong_way_is_no_help(one: Site) -> None:
    """It opens on rise where the drive wants it closed: the drive hears nothing."""
    wrong = one.changed({"switch.action": "opens on rise"})
    found = surge(wrong, drive="heeds the switch", duration="15 s", reaches=40)

    assert found.trips_switch
    assert found.speed[-1] > 0.0


@pytest.mark.parametrize(("event", "ramp"), [("pump trips", 3.0), ("power fails", 0.0)])
def test_a_stopping_pump_lets_nothing_back(one: Site, event: str, ramp: float) -> None:
    found = surge(one, event=event, duration="8 s", reaches=40)  # type: ignore[arg-type]

    start = float(found.speed[0])
    expected = np.maximum(start - found.time / ramp, 0.0) if ramp else np.zeros(found.time.size)
    turning = found.speed[1:] > 0.0
    assert np.all(found.speed[1:][turning] <= expected[1:][turning] + 1e-9)
    assert turning.any() == bool(ramp)
    assert found.pump_flow.min() >= 0.0
    assert found.pump_flow[-1] == 0.0
    assert not found.returned_flow.any()
    assert found.pressure["manifold"].min() < found.pressure["manifold"][0]
    assert found.arrival == 0.0


def test_a_bad_check_valve_lets_water_back(one: Site) -> None:
    leaky = one.changed({"check_valve.leak": "4 gpm at 20 psi"})
    sound, bad = (
        surge(site, event="pump trips", duration="20 s", reaches=40) for site in (one, leaky)
    )

    assert sound.balance.returned == 0.0
    assert bad.balance.returned > 1e-4
    assert bad.balance.error < 2e-3 * bad.balance.returned


DISPLACING: dict[str, Any] = {
    "pump": {
        "kind": "positive displacement",
        "rated_flow": "7 gpm",
        "rated_head": "130 ft",
        "torque_limit": 1.8,
    }
}


def test_the_torque_limit_stops_a_displacement_pump(one: Site) -> None:
    site = one.changed(DISPLACING)
    found = surge(site, duration="60 s", reaches=40)

    assert found.lock_time < 60.0
    assert found.pump_flow[-1] == 0.0
    assert any("torque limit" in flag for flag in found.flags)


def test_a_relief_valve_takes_what_a_displacement_pump_pushes(one: Site) -> None:
    """Once the waves are gone all of the pump's flow leaves there."""
    site = one.changed(
        DISPLACING
        | {"pump": DISPLACING["pump"] | {"torque_limit": 5.0}}
        | {"relief_valve": {"opens_at": "40 psi", "capacity": "10 gpm at 50 psi"}}
    )
    found = surge(site, duration="90 s", reaches=40)

    assert found.relief_flow[-1] == pytest.approx(found.pump_flow[-1], rel=0.02)
    assert found.pressure["manifold"][-1] == pytest.approx(
        (40.0 + 10.0 * found.relief_flow[-1] / (10.0 * GPM)) * PSI, rel=1e-3
    )
    assert found.balance.relieved > 0.0


# --- the float, and the pump without power


def test_a_float_that_closes_as_its_trough_fills_makes_no_wave(one: Site) -> None:
    """The lumped line from the moment on when the water reaches the float's band: the same within
    0.3 psi at the switch and 0.7 psi at the trough of a rise of 35 and 41 psi. The lumped line has
    half of the pipe's give at either end, and the wave takes 2 s from one to the other. A measured
    speed gives both the same pipe: poly pipe stretches more in minutes than within a wave."""
    site = one.changed(
        {
            "switch.cut_in": "60 psi",
            "switch.cut_out": "90 psi",
            "trough.lane.pipe.wave_speed": "228 m/s",
        }
    )
    trough = site.troughs[0]
    begins = si(trough.depth) - si(trough.freeboard) - si(trough.float_valve.band)
    low = f"{begins / INCH - 1.5} in"
    lumped = lab.simulate(site, "20 min", sun=FULL_SUN, levels={"lane": low}, pressure="10 psi")
    level = lumped.level["lane"]
    rising = slice(0, int(np.argmax(level > begins)) + 1)
    begun = float(np.interp(begins, level[rising], lumped.time[rising]))

    found = surge(site, closing="as the trough fills", duration="300 s", reaches=100)

    for node, rise, close in (("manifold", 34.0, 0.3), ("lane", 41.0, 0.7)):
        head = np.interp(begun + found.time, lumped.time, lumped.head[node])
        lumped_pressure = found.weight * (head - lumped.elevations[node])
        assert np.ptp(found.pressure[node]) > rise * PSI
        assert found.pressure[node] == pytest.approx(lumped_pressure, abs=close * PSI)


@pytest.mark.parametrize(
    ("closing", "exponent"), [("even area", 1.0), ("quick at the end", 0.5), ("slow at the end", 2)]
)
def test_how_the_valve_closes(one: Site, closing: Any, exponent: float) -> None:
    """Source: the law, ``(1 - t / T)**E``; the opening read off the orifice law, q over sqrt(p)."""
    found = surge(one, closing=closing, closing_time="4 s", duration="5 s", reaches=40)
    flow, pressure = found.inflow["lane"], found.pressure["lane"]

    opening = flow / flow[0] * np.sqrt(pressure[0] / pressure)

    expected = np.maximum(1.0 - found.time / 4.0, 0.0) ** exponent
    assert opening[1:] == pytest.approx(expected[1:], abs=1e-9)


def test_a_pump_without_power_coasts(one: Site) -> None:
    """Source: torque goes with the square of the speed (affinity laws), so ``ds/dt = -s**2 / T``
    and ``s = s0 / (1 + s0 t / T)``."""
    found = surge(one, event="power fails", coast="0.5 s", duration="4 s", reaches=400)
    at_once = surge(one, event="power fails", duration="4 s", reaches=40)

    start = float(found.speed[0])
    assert found.speed == pytest.approx(start / (1.0 + start * found.time / 0.5), rel=1e-12)
    assert found.pump_flow[0] == pytest.approx(at_once.pump_flow[0], rel=1e-6)
    assert found.pump_flow[1] > 0.9 * found.pump_flow[0]
    drops = [
        each.pressure["manifold"][0] - each.pressure["manifold"][1] for each in (found, at_once)
    ]
    assert 0.0 < drops[0] < 0.3 * drops[1]


def test_a_check_valve_that_hangs_slams(one: Site) -> None:
    """Source: characteristics by hand. After the pump stops the head h at its foot and the flow q
    back through it obey ``h = h0 - B (q0 + q)`` and ``q = k sqrt(h + lift)``, k from the pump's curve
    at standstill; as the valve shuts at last, the head jumps by B q, Joukowsky's a v / g."""
    found = surge(
        one, event="power fails", check_valve_delay="0.7 s", duration="1.5 s", reaches=400
    )
    run, pump = found.runs[0], one.pump
    assert isinstance(pump, CentrifugalPump)
    B = run.wave_speed_used / (GRAVITY * area(si(one.troughs[0].pipe.bore)))
    k = si(pump.rated_flow) / np.sqrt(si(pump.shut_off_head) - si(pump.rated_head))
    h0, q0 = float(found.head["manifold"][0]), float(found.pump_flow[0])
    spare = h0 - B * q0 + si(one.well.static_level)
    back = 0.5 * k * k * (np.sqrt(B * B + 4.0 * spare / (k * k)) - B)

    shut = int(np.argmax(found.time > 0.7 + 1e-9))
    assert found.returned_flow[1] == pytest.approx(back, rel=2e-3)
    assert found.returned_flow[shut] == 0.0
    jump = found.head["manifold"][shut] - found.head["manifold"][shut - 1]
    assert jump == pytest.approx(B * found.returned_flow[shut - 1], rel=5e-3)
    assert jump > 5.0
    assert found.balance.returned == pytest.approx(0.7 * back, rel=0.1)


def test_a_pump_that_seals_lets_nothing_slam(one: Site) -> None:
    found = surge(
        one.changed(DISPLACING), event="power fails", check_valve_delay="1 s", duration="2 s",
        reaches=40,
    )  # fmt: skip

    assert found.balance.returned == 0.0


def test_a_wave_can_trip_the_switch_early(three: Site) -> None:
    """Corral and lookout still fill, and the line would settle under cut-out: only the wave of the
    creek's valve goes over it, and not if it shuts slowly."""
    site = three.changed(
        {"pressure_tank": None, "switch.cut_in": "20 psi", "switch.cut_out": "33 psi"}
    )
    settled = lab.steady(site, sun=FULL_SUN, open_troughs=["corral", "lookout"]).pressure[
        "manifold"
    ]
    slow, fast = (surge(site, trough="creek", closing_time=t, reaches=60) for t in ("120 s", "0 s"))

    assert settled < 33.0 * PSI
    assert fast.settled_pressure == settled
    assert fast.trips_switch
    assert fast.trips_early
    assert not slow.trips_early
    assert not surge(three, event="power fails", duration="1 s", reaches=20).trips_early
