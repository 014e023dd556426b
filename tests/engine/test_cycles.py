"""Whole runs against integrals done by hand: leaking down, cycling, dead-heading, ramping."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from labkit import simulate, steady
from labkit.engine import run as engine_run
from labkit.engine.run import TOLERANCE
from labkit.errors import RunError
from labkit.language import flag_words, say_time
from labkit.trace import DriveState
from tests.customary import GPM, PSI
from tests.engine.lines import DISPLACEMENT, SHORT, after_starts, line, plant_of, power_at

if TYPE_CHECKING:
    from labkit.engine.network import Plant

LEAK = {"at": "manifold", "size": "0.4 gpm at 30 psi"}
TANK = {"volume": "2 gal", "precharge": "18 psi"}


def stored(plant: Plant, h: float) -> float:
    """Water per metre of head [m2]: pipe, and tank by Boyle's law."""
    C = float(plant.nodes.C.sum())
    p = plant.weight * h
    if plant.tank_volume > 0.0 and p > plant.tank_precharge:
        air = (plant.tank_precharge + plant.p_air) * plant.tank_volume
        C += air / (p + plant.p_air) ** 2 * plant.weight
    return C


def time_until(plant: Plant, h0: float, h1: float, s0: float, slope: float) -> tuple[float, float]:
    """Time [s] to get from one head to another with the speed running on a ramp, and the speed then.

    The pump by its curve, no drawdown; the leak by its square root. A ramp that ends holds.
    """
    curve = plant.centrifugal
    k = float(plant.leaks[0].k)

    def speed(t: float) -> float:
        return min(max(s0 + slope * t, 0.0), 1.0)

    def rate(t: float, h: np.ndarray) -> list[float]:
        head = speed(t) ** 2 * curve.shut_off_head - plant.lift - h[0]
        pumped = sqrt(max(head, 0.0) / curve.bend)
        return [(pumped - k * sqrt(h[0])) / stored(plant, h[0])]

    def reached(_t: float, h: np.ndarray) -> float:
        return float(h[0] - h1)

    reached.terminal = True  # type: ignore[attr-defined]
    reached.direction = np.sign(h1 - h0) if slope == 0.0 else 1.0  # type: ignore[attr-defined]
    found = solve_ivp(rate, (0.0, 1e5), [h0], "LSODA", events=reached, rtol=1e-9, atol=1e-9, max_step=0.1)  # fmt: skip
    return float(found.t[-1]), speed(float(found.t[-1]))


def after_ramping_down(plant: Plant, h0: float, s0: float) -> tuple[float, float, float]:
    """How long [s] the pump goes on once told to stop, the highest head on the way and the last."""
    curve, k, length = plant.centrifugal, float(plant.leaks[0].k), s0 * plant.ramp_down

    def rate(t: float, h: np.ndarray) -> list[float]:
        s = max(s0 - t / plant.ramp_down, 0.0)
        head = s * s * curve.shut_off_head - plant.lift - h[0]
        pumped = sqrt(max(head, 0.0) / curve.bend)
        return [(pumped - k * sqrt(h[0])) / stored(plant, h[0])]

    found = solve_ivp(rate, (0.0, length), [h0], "LSODA", rtol=1e-9, atol=1e-9, max_step=0.05)
    return length, float(found.y[0].max()), float(found.y[0, -1])


@pytest.mark.parametrize(("tolerance", "rel"), [(TOLERANCE, 1e-3), (2e-6, 1e-4)])
@pytest.mark.parametrize("tank", [None, TANK], ids=["bare", "tank"])
def test_the_period_of_a_cycling_line(
    tank: dict[str, str] | None, tolerance: float, rel: float
) -> None:
    """Source: C dh/dt = Q(h, s(t)) - k sqrt(h) integrated by hand over one cycle: soft start from
    cut-in (the head falls on until the pump lifts its valve), run to cut-out, ramp down (the head
    overshoots), leak down to cut-in. Within 0.1 % as people run it, and ten times nearer with a
    hundredth of the tolerance."""
    site = line(
        pressure_tank=tank,
        leaks=(LEAK,),
        trough__lane__pipe__length="40 ft",  # so short that friction along it is nothing
        trough__lane__pipe__wave_speed="100 m/s",
    )
    plant = plant_of(site)
    h_in, h_out = 20.0 * PSI / plant.weight, 40.0 * PSI / plant.weight

    up, s = time_until(plant, h_in, h_out, 0.0, 1.0 / plant.soft_start)
    ramp, h_peak, h_stop = after_ramping_down(plant, h_out, s)
    down, _ = time_until(plant, h_stop, h_in, 0.0, 0.0)

    trace = simulate(site, "20 min", sun="1000 W/m^2", tolerance=tolerance)
    starts, stops = np.array(trace.times("pump starts")), np.array(trace.times("pump stops"))
    assert starts.size > 4
    assert np.diff(starts)[2:] == pytest.approx(up + ramp + down, rel=rel)
    assert (stops - starts[: stops.size])[2:] == pytest.approx(up + ramp, rel=rel)
    assert trace.measures().peak_pressure == pytest.approx(h_peak * plant.weight, rel=rel)
    assert trace.verdict == "cycling"


def test_leaking_down_to_cut_in() -> None:
    """Source: t = 2 C (sqrt(h1) - sqrt(h2)) / k."""
    site = line(leaks=(LEAK,), **SHORT)
    plant = plant_of(site)
    trace = simulate(site, "10 min", sun="1000 W/m^2")

    stop = trace.times("pump stops")[1]
    reset = next(time for time in trace.times("switch resets") if time > stop)

    heads = [trace.at(time).pressure / plant.weight for time in (stop, reset)]
    C, k = float(plant.nodes.C.sum()), float(plant.leaks[0].k)
    assert heads[1] == pytest.approx(20.0 * PSI / plant.weight, rel=1e-6)
    assert reset - stop == pytest.approx(2.0 * C * (sqrt(heads[0]) - sqrt(heads[1])) / k, rel=2e-4)


def test_a_check_valve_that_leaks_lets_the_line_down() -> None:
    """Source: as above with the head counted from the well's water: C dh/dt = -k sqrt(h + lift)."""
    site = line(check_valve={"leak": "0.2 gpm at 60 psi"}, **SHORT)
    plant = plant_of(site)
    trace = simulate(site, "30 min", sun="1000 W/m^2")

    stop, reset = trace.times("pump stops")[1], trace.times("switch resets")[1]
    h1, h2 = (trace.at(time).pressure / plant.weight + plant.lift for time in (stop, reset))

    C = float(plant.nodes.C.sum())
    assert reset - stop == pytest.approx(2.0 * C * (sqrt(h1) - sqrt(h2)) / plant.check_k, rel=2e-4)
    assert trace.measures().returned > 0.0
    assert trace.verdict == "cycling"


# --- dead head


@pytest.mark.parametrize(("sun", "full_speed"), [("60 W/m^2", False), ("90 W/m^2", False), ("900 W/m^2", True)])  # fmt: skip
def test_dead_head_by_the_power_there_is(sun: str, full_speed: bool) -> None:
    """Source: s0 = (P / (P_rated share))**(1/3), at most 1; p = rho g (s0**2 H0 - lift)."""
    site = line(pressure_switch={"cut_in": "20 psi", "cut_out": "150 psi"}, **SHORT)
    plant = plant_of(site)
    curve = plant.centrifugal
    s0 = (power_at(site, sun) / (curve.rated_power * curve.idle_share)) ** (1.0 / 3.0)
    assert (s0 >= 1.0) == full_speed
    s0 = min(s0, 1.0)
    wanted = plant.weight * (s0**2 * curve.shut_off_head - plant.lift)

    settled = steady(site, sun=sun, open_troughs=())
    trace = simulate(site, "20 min", sun=sun)

    assert settled.speed == pytest.approx(s0, rel=1e-9)
    assert settled.pressure["manifold"] == pytest.approx(wanted, abs=1.0)
    assert settled.pressure["lane"] == pytest.approx(wanted, abs=1.0)
    assert trace.pressure[-1] == pytest.approx(wanted, rel=1e-3)
    assert trace.speed[-1] == pytest.approx(s0, rel=1e-4)
    assert trace.measures().dead_head_time > 1000.0


def test_dead_head_with_a_relief_valve() -> None:
    """Source: pump curve and relief line meet: H0 - R q**2 - lift = h, q = k (h - h_opens)."""
    site = line(
        pressure_switch={"cut_in": "20 psi", "cut_out": "40 psi"},
        relief_valve={"opens_at": "45 psi", "capacity": "10 gpm at 60 psi"},
    )
    plant = plant_of(site)
    curve = plant.centrifugal
    k = 10.0 * GPM / (15.0 * PSI / plant.weight)
    low, high, h, q = plant.relief_h, curve.shut_off_head, 0.0, 0.0
    for _ in range(100):
        h = 0.5 * (low + high)
        q = k * (h - plant.relief_h)
        if curve.shut_off_head - curve.bend * q * q - plant.lift > h:
            low = h
        else:
            high = h

    settled = steady(site, sun="1000 W/m^2", open_troughs=())

    assert settled.head["manifold"] == pytest.approx(h, abs=1e-6)
    assert settled.pump_flow == pytest.approx(q, rel=1e-7)


# --- ramps


def test_soft_start_and_ramp_down_are_straight() -> None:
    """Source: a full turn in `soft_start`, a full stop in `ramp_down`, whatever the line does."""
    site = line(drive={"kind": "solar", "soft_start": "8 s", "ramp_down": "4 s"}, leaks=(LEAK,))
    trace = simulate(site, "5 min", sun="1000 W/m^2")

    start = trace.times("pump starts")[1]
    told = next(time for time in trace.times("drive told to stop") if time > start)
    stop = next(time for time in trace.times("pump stops") if time > told)
    starting = trace.drive_state == DriveState.STARTING
    rows = starting & (trace.time >= start) & (trace.time <= min(told, start + 8.0))
    assert rows.sum() > 5
    assert trace.speed[rows] == pytest.approx((trace.time[rows] - start) / 8.0, abs=1e-9)
    s = trace.at(told).speed
    assert stop - told == pytest.approx(4.0 * s, rel=1e-6)
    assert trace.at(told + 2.0 * s).speed == pytest.approx(s / 2.0, abs=0.01)


def test_mains_jump_to_full_speed() -> None:
    """Source: unlimited power; two tenths of a second from rest to full speed."""
    site = line(drive={"kind": "mains", "stop_when": "closed"}, leaks=(LEAK,))

    trace = simulate(site, "2 min", sun="0 W/m^2")

    start = trace.times("pump starts")[0]
    assert trace.at(start + 0.21).speed == 1.0
    assert trace.at(start + 0.1).speed == pytest.approx(0.5, abs=0.02)
    assert trace.measures().starts > 1


def test_a_restart_delay_is_waited_out() -> None:
    site = line(drive={"kind": "solar", "restart_delay": "100 s"}, leaks=(LEAK,))

    trace = simulate(site, "20 min", sun="1000 W/m^2")

    stops, starts = trace.times("pump stops"), trace.times("pump starts")
    resets = trace.times("switch resets")
    assert len(starts) > 3
    for stop, start, reset in zip(stops, starts[1:], resets, strict=False):
        assert reset < stop + 100.0  # this line leaks down faster than that
        assert start - stop == pytest.approx(100.0, abs=1e-6)


# --- the displacement pump


def test_a_displacement_pump_trips_on_torque_against_a_shut_line() -> None:
    """Source: torque is power over speed, Pf + rho g Qd H: 1.5 times that of the rated head. With
    Pf = rho g Hr (Qr / eff - Qd), so H = 1.5 Hr Qr / (eff Qd) - (Qr / eff - Qd) Hr / Qd."""
    site = line(pump=DISPLACEMENT, pressure_switch={"cut_in": "20 psi", "cut_out": "300 psi"})
    plant = plant_of(site)
    Hr, Qr = 150.0 * 0.3048, 4.0 * GPM
    Qd, efficiency = Qr / 0.95, 0.55
    wanted = 1.5 * Hr * Qr / (efficiency * Qd) - (Qr / efficiency - Qd) * Hr / Qd

    trace = simulate(site, "20 min", sun="1000 W/m^2")

    (tripped,) = trace.times("torque limit")
    assert trace.at(tripped).pressure / plant.weight + plant.lift == pytest.approx(wanted, rel=1e-5)
    assert trace.verdict == "safety stop"
    assert trace.drive_state[-1] == DriveState.LOCKED
    assert trace.pump_flow[-1] == 0.0
    assert trace.measures().starts == 1


def test_a_relief_valve_saves_the_displacement_pump() -> None:
    """Source: the pump's line and the relief valve's meet: Qd - slip (h + lift) = k (h - h_opens)."""
    site = line(
        pump=DISPLACEMENT,
        pressure_switch={"cut_in": "20 psi", "cut_out": "40 psi", "action": "closes on rise"},
        drive={"kind": "solar", "stop_when": "open"},
        relief_valve={"opens_at": "60 psi", "capacity": "10 gpm at 80 psi"},
    ).changed({"pressure_switch.action": "closes on rise"})
    plant = plant_of(site)
    k = 10.0 * GPM / (20.0 * PSI / plant.weight)
    slip, Qd = plant.displacement.slip, plant.displacement.displaced
    h = (Qd - slip * plant.lift + k * plant.relief_h) / (k + slip)

    trace = simulate(site, "20 min", sun="1000 W/m^2", pressure="41 psi")

    assert not trace.times("torque limit")
    assert trace.pressure[-1] / plant.weight == pytest.approx(h, rel=1e-4)
    assert trace.relief_flow[-1] == pytest.approx(k * (h - plant.relief_h), rel=1e-3)
    assert trace.measures().peak_pressure < 1.001 * h * plant.weight
    assert trace.measures().relieved > 0.0


CHATTERS = {
    "drive": {"kind": "mains", "soft_start": "0.2 s", "ramp_down": "0.2 s", "stop_when": "closed"},
    "trough__lane__pipe__length": "20 ft",
    "leaks": ({"at": "lane", "size": "1 gpm at 30 psi"},),
}
"""A line that starts and stops within a second."""


def test_a_line_that_chatters_may_be_left_early() -> None:
    """What was seen till then is what the whole run shows, bit by bit."""
    chatters = line(**CHATTERS)

    whole = simulate(chatters, "10 min", sun="900 W/m^2")
    brief = simulate(chatters, "10 min", sun="900 W/m^2", until=after_starts(100))
    never = simulate(chatters, "10 min", sun="900 W/m^2", until=after_starts(10_000))

    assert brief.time[-1] < 0.5 * whole.time[-1]
    assert len(brief.times("pump starts")) >= 100
    assert brief.pressure.tobytes() == whole.pressure[: brief.time.size].tobytes()
    assert brief.measures().balance_error < 1e-9
    assert never.time.tobytes() == whole.time.tobytes()


def test_a_run_of_a_line_that_chatters_for_hours_ends_and_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Eight hours of it took 47 s: fifty thousand starts, of which each is like the last."""
    trace = simulate(line(**CHATTERS), "8 hour", sun="900 W/m^2")

    assert trace.time[-1] < 4 * 3600.0
    assert trace.verdict == "cycling"
    assert trace.is_cut_short
    (flag,) = (flag for flag in trace.flags if flag.kind == "cut short")
    assert flag.value == trace.time[-1]
    said = flag_words(flag)
    assert "starts so often" in said
    assert say_time(flag.value) in said
    with pytest.raises(RunError, match="starts more than 1,000 times an hour"):
        simulate(line(**CHATTERS), "8 hour", sun="900 W/m^2", to_the_end=True)

    often = line(leaks=(LEAK,))
    before = simulate(often, "8 hour", sun="900 W/m^2")
    assert not before.is_cut_short
    assert 100 < len(before.times("pump starts")) < 8 * 1000
    monkeypatch.setattr(engine_run, "_MOST_CHATTERED", 0)
    assert simulate(often, "8 hour", sun="900 W/m^2").time.tobytes() == before.time.tobytes()


@pytest.mark.parametrize("kind", [CHATTERS, {"leaks": (LEAK,)}])
def test_a_run_that_creeps_is_refused_and_no_honest_one_does(
    kind: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At 36 microseconds a step a run takes a minute to give up; honest steps are not counted."""
    monkeypatch.setattr(engine_run, "_MOST_CREPT", 0)
    assert simulate(line(**kind), "20 min", sun="900 W/m^2").time[-1] == pytest.approx(1200.0)

    monkeypatch.setattr(engine_run, "_CREEPS", 100.0)
    monkeypatch.setattr(engine_run, "_ROOM", 40)
    with pytest.raises(RunError, match="swings too fast"):
        simulate(line(**kind), "20 min", sun="900 W/m^2")
