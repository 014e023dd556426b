"""The engine's clock against a high-accuracy integration of the same equations.

Source: scipy.integrate.solve_ivp (LSODA, rtol 1e-9, its own event location) on the equations as
written down afresh in `hybrid.py`.
"""

from __future__ import annotations

import numpy as np
import pytest

from labkit import Site, simulate
from labkit.engine.plant import make_plant, shut_volume
from labkit.sitefile import loads
from labkit.sun import Sun, array_power
from tests.reference.hybrid import Run, integrate

LINE = """
title = "A line to check"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "3000 ft" }
well = { static_level = "70 ft", drawdown = "0.8 ft/gpm", intake_depth = "160 ft" }
array = { rated_power = "900 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "30 psi", cut_out = "50 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "300 ft"
rated_flow = "9 gpm"
rated_head = "220 ft"
[[pipe]]
from = "manifold"
to = "tee"
length = "1000 ft"
size = "1 1/4 in PE SIDR 15"
rise = "8 ft"
[[trough]]
name = "north"
volume = "200 gal"
depth = "24 in"
pipe = { from = "tee", length = "1000 ft", size = "1 1/4 in PE SIDR 15", rise = "6 ft" }
float_valve = { flow = "6 gpm at 20 psi" }
[[trough]]
name = "south"
volume = "150 gal"
depth = "20 in"
pipe = { from = "tee", length = "400 ft", size = "1 in PE SIDR 15", rise = "-10 ft" }
float_valve = { flow = "5 gpm at 20 psi", band = "2 in" }
"""

SCENARIOS: dict[str, tuple[dict[str, object], dict[str, str]]] = {
    "bare line, leaking float": ({"trough.north.float_valve.seat_leak": "0.8 gpm at 40 psi"}, {}),
    "small tank, leak at the tee": (
        {
            "pressure_tank": {"volume": "2 gal", "precharge": "28 psi"},
            "leak": [{"at": "tee", "size": "0.5 gpm at 40 psi"}],
        },
        {},
    ),
    "drip in mid-run, widening hole": (
        {
            "leak": [
                {
                    "at": "north",
                    "distance": "400 ft",
                    "size": "0.2 gpm at 40 psi",
                    "exponent": 1.1,
                }
            ]
        },
        {},
    ),
    "two troughs closing, one after the other": ({}, {"north": "20 in", "south": "16.5 in"}),
}  # fmt: skip


def site_with(changes: dict[str, object]) -> Site:
    return loads(LINE).changed(changes)


def reference(site: Site, *, minutes: float, levels: dict[str, str], sun: Sun | None = None) -> Run:
    plant, _ = make_plant(site)
    V = [
        shut_volume(trough)
        if trough.name not in levels
        else float(levels[trough.name].split()[0]) * 0.0254 * plant.troughs[k].area
        for k, trough in enumerate(site.troughs)
    ]
    light = sun or Sun(time=0.0, irradiance=800.0, air_temperature=(70 - 32) / 1.8, source="test")
    watts = array_power(light, site.array) * site.drive.efficiency
    return integrate(
        plant,
        h=plant.p_cut_in / plant.weight,
        V=V,
        power=lambda t: float(np.interp(t, light.time, watts)),
        drinking=np.zeros(len(V)),
        end=60.0 * minutes,
        breaks=tuple(light.time[1:-1]),
    )


@pytest.mark.parametrize("name", SCENARIOS)
def test_starts_and_periods_agree_with_a_careful_integration(name: str) -> None:
    changes, levels = SCENARIOS[name]
    site = site_with(changes)
    minutes = 20.0

    expected = reference(site, minutes=minutes, levels=levels)
    trace = simulate(site, f"{minutes:g} min", sun="800 W/m^2", levels=levels)

    starts, stops = trace.times("pump starts"), trace.times("pump stops")
    assert len(starts) == len(expected.starts)
    assert len(stops) == len(expected.stops)
    assert np.allclose(starts, expected.starts, rtol=1e-3, atol=0.02)
    assert np.allclose(stops, expected.stops, rtol=1e-3, atol=0.02)
    assert trace.totals.pumped == pytest.approx(expected.pumped, rel=2e-3)


def test_an_hour_of_about_a_hundred_cycles_keeps_count_and_period() -> None:
    site = site_with({"trough.north.float_valve.seat_leak": "0.9 gpm at 40 psi"})

    expected = reference(site, minutes=60.0, levels={})
    trace = simulate(site, "1 hour", sun="800 W/m^2")

    starts = np.array(trace.times("pump starts"))
    assert 80 <= len(expected.starts) <= 130
    assert starts.size == len(expected.starts)
    period, wanted = np.diff(starts)[-1], np.diff(expected.starts)[-1]
    assert period == pytest.approx(wanted, rel=5e-4)


def test_a_run_under_passing_clouds_agrees() -> None:
    sun = Sun(
        time=[0.0, 300.0, 330.0, 600.0, 640.0, 1200.0],
        irradiance=[900.0, 880.0, 320.0, 300.0, 850.0, 700.0],
        air_temperature=[20.0] * 6,
        clock=43_200.0,
        source="made for this test",
    )
    site = site_with({"trough.north.float_valve.seat_leak": "0.8 gpm at 40 psi"})

    expected = reference(site, minutes=20.0, levels={}, sun=sun)
    trace = simulate(site, "20 min", sun=sun)

    assert len(trace.times("pump starts")) == len(expected.starts)
    assert np.allclose(trace.times("pump starts"), expected.starts, rtol=1e-3, atol=0.03)


def test_periods_converge_as_the_tolerance_tightens() -> None:
    site = site_with({"trough.north.float_valve.seat_leak": "0.8 gpm at 40 psi"})
    wanted = np.diff(reference(site, minutes=3.0, levels={}).starts)[-1]

    errors = []
    for tolerance in (1e-3, 1e-4, 1e-5):
        trace = simulate(site, "3 min", sun="800 W/m^2", tolerance=tolerance)
        errors.append(abs(np.diff(trace.times("pump starts"))[-1] / wanted - 1.0))

    assert errors[-1] < 2e-5
    assert errors[-1] < errors[0]
