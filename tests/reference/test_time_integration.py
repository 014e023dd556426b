"""The engine's clock against a high-accuracy integration of the same equations.

Source: scipy.integrate.solve_ivp (LSODA, rtol 1e-9, its own event location) on the equations as
written down afresh in `hybrid.py`.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pytest

from labkit import Site, Trace, simulate
from labkit.engine.pieces import in_pieces
from labkit.engine.plant import make_plant, shut_volume
from labkit.sitefile import loads
from labkit.sun import Sun, array_power
from labkit.units import si, ureg
from tests.customary import GALLON
from tests.reference.hybrid import Run, integrate

if TYPE_CHECKING:
    from collections.abc import Mapping

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

DISPLACEMENT = {
    "kind": "positive displacement", "rated_flow": "5 gpm", "rated_head": "200 ft", "slip": 0.05,
    "torque_limit": 1.6,
}  # fmt: skip
LEAK = {"trough.north.float_valve.seat_leak": "0.8 gpm at 40 psi"}
DRINKERS = {"head": 60, "kind": "cow with calf", "visits": ["12:04"], "visit_time": "6 min"}


def steps(*points: tuple[float, float]) -> Sun:
    """A sun by (minute, W/m2), straight in between, from noon."""
    time, watts = np.array(points).T
    return Sun(
        time=60.0 * time, irradiance=watts, air_temperature=[20.0] * time.size, clock=43_200.0,
        source="made for this test",
    )  # fmt: skip


@attrs.frozen(kw_only=True)
class Scenario:
    """A line, where it starts, under which sun; and what must happen on it at least."""

    changes: Mapping[str, object]
    levels: dict[str, str] = attrs.field(factory=dict)
    minutes: float = 12.0
    sun: Sun | float = 800.0
    sees: tuple[str, ...] = ("pump starts", "pump stops", "switch trips")
    waves: bool = False
    """Whether the line is so long for its tank that its runs are cut into pieces with inertia. Their
    waves are allowed a larger error than the line as a whole, so this too is for a tight tolerance."""
    share: float = 1e-3
    """How far a moment may be off: more where a float or the pressure creeps up to its point, for
    there a small error of level is a long time. With a tight tolerance it is 0.03 % everywhere."""


SCENARIOS = {
    "bare line, leaking float": Scenario(changes=LEAK),
    "small tank, leak at the tee": Scenario(
        changes={
            "pressure_tank": {"volume": "2 gal", "precharge": "28 psi"},
            "leak": [{"at": "tee", "size": "0.5 gpm at 40 psi"}],
        },
        minutes=25.0,
        waves=True,
    ),
    "large tank of quick air, leak at the manifold": Scenario(
        changes={
            "pressure_tank": {"volume": "10 gal", "precharge": "20 psi", "air_exponent": 1.3},
            "leak": [{"at": "manifold", "size": "2 mm hole"}],
        },
        minutes=40.0,
    ),
    "drip in mid-run, widening hole": Scenario(
        changes={
            "leak": [
                {"at": "north", "distance": "400 ft", "size": "0.2 gpm at 40 psi", "exponent": 1.1}
            ]
        },
        minutes=20.0,
    ),
    "two troughs closing, one after the other": Scenario(
        changes={},
        levels={"north": "20 in", "south": "16.5 in"},
        minutes=20.0,
        sees=("float shuts", "pump stops"),
    ),
    "two troughs a hill apart, in weak sun": Scenario(
        changes={"trough.north.pipe.rise": "30 ft", "trough.south.pipe.rise": "-18 ft"},
        levels={"north": "20.5 in", "south": "16.5 in"},
        minutes=30.0,
        sun=400.0,
        sees=("float shuts", "pump starts"),
        share=5e-3,
    ),
    "the sun comes up, and goes down": Scenario(
        changes=LEAK,
        minutes=16.0,
        sun=steps((0, 0), (1, 10), (6, 800), (10, 700), (15, 0), (17, 0)),
        sees=("drive wakes", "drive rests", "pump starts", "pump stops"),
    ),
    "clouds that stop the pump": Scenario(
        changes=LEAK,
        minutes=12.0,
        sun=steps((0, 900), (3, 880), (3.2, 20), (5, 15), (5.3, 850), (8, 300), (8.5, 950), (13, 700)),
        sees=("drive wakes", "drive rests", "switch trips"),
    ),
    "a herd comes to drink": Scenario(
        changes={"trough.south.herd": DRINKERS, "pressure_tank": {"volume": "2 gal", "precharge": "28 psi"}},
        minutes=40.0,
        waves=True,
        sees=("float shuts", "switch trips", "switch resets", "pump starts"),
    ),
    "a displacement pump and its relief valve": Scenario(
        changes={
            "pump": DISPLACEMENT, "drive.ramp_down": "6 s", **LEAK,
            "relief_valve": {"opens_at": "51 psi", "capacity": "8 gpm at 65 psi"},
        },
    ),
    "a displacement pump at its torque limit": Scenario(
        changes={"pump": DISPLACEMENT, "pressure_switch.cut_out": "390 psi", **LEAK},
        minutes=5.0,
        sees=("torque limit", "pump stops"),
    ),
    "on the mains": Scenario(
        changes={
            "drive": {"kind": "mains"}, "pressure_switch.action": "opens on rise", **LEAK,
            "pressure_tank": {"volume": "5 gal", "precharge": "28 psi"},
        },
        minutes=30.0,
    ),
    "a check valve that lets water back": Scenario(
        changes={"check_valve.leak": "0.7 gpm at 40 psi"},
        sees=("pump starts", "pump stops", "switch resets"),
    ),
    "a delay before each restart": Scenario(
        changes={"drive.restart_delay": "45 s", "drive.soft_start": "4 s", **LEAK},
    ),
    "the well runs low": Scenario(
        changes={"well": {"static_level": "70 ft", "drawdown": "4 ft/gpm", "intake_depth": "95 ft"}},
        levels={"north": "4 in", "south": "4 in"},
        minutes=5.0,
        sees=("low water", "pump stops"),
    ),
    "a bent pump curve, a drop pipe, fittings": Scenario(
        changes={
            "pump.high_flow": "14 gpm", "pump.high_head": "90 ft",
            "pump.drop_pipe": "1 in PE DR 9 IPS", "pipe.tee.fittings": 30.0,
            "trough.north.pipe.fittings": 12.0, **LEAK,
        },
    ),
    "Hazen-Williams": Scenario(
        changes={"friction": "Hazen-Williams", "hazen_williams_c": 140.0},
        levels={"north": "20.5 in", "south": "16.5 in"},
        minutes=20.0,
        sees=("float shuts", "pump stops"),
    ),
    "pressure forces a float open": Scenario(
        changes={"trough.south.float_valve.holding_pressure": "40 psi"},
        levels={"north": "20.5 in"},
        minutes=15.0,
        sees=("pump starts", "float shuts"),
        share=5e-3,
    ),
}  # fmt: skip

ENGINE_WORDS = ("pump starts", "pump stops", "switch trips", "switch resets", "drive wakes",
                "drive rests", "torque limit", "low water")  # fmt: skip


@pytest.fixture(autouse=True)
def unheard(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave bare lines in one piece: followed here is how the equations are integrated.

    In pieces `solve_ivp` takes minutes for an hour, and a dip of a wave more or less decides when
    the switch acts: those runs are held against characteristics (`test_long_lines`).
    """
    case = getattr(request.node, "callspec", None)
    if case is None or not SCENARIOS[case.params["name"]].waves:
        monkeypatch.setattr("labkit.engine.pieces.HEARS_AFTER", inf)


def site_with(changes: Mapping[str, object]) -> Site:
    return loads(LINE).changed(changes)


def steady_sun(watts: float) -> Sun:
    return Sun(
        time=0.0, irradiance=watts, air_temperature=(70 - 32) / 1.8, clock=43_200.0, source="test"
    )  # fmt: skip


def passes(time: Any, value: Any, point: float) -> list[float]:
    """When a broken line passes a point."""
    found = []
    for t0, t1, a, b in zip(time, time[1:], value, value[1:], strict=False):
        if a != b and min(a, b) <= point <= max(a, b):
            found.append(float(t0 + (t1 - t0) * (point - a) / (b - a)))
    return found


def reference(
    site: Site, *, minutes: float, levels: dict[str, str] | None = None, sun: Sun | None = None
) -> Run:
    plant = in_pieces(make_plant(site)[0])
    V = [
        float(levels[trough.name].split()[0]) * 0.0254 * plant.troughs[k].area
        if levels and trough.name in levels
        else shut_volume(trough)
        for k, trough in enumerate(site.troughs)
    ]
    light = sun or steady_sun(800.0)
    watts = array_power(light, site.array) * site.drive.efficiency
    if site.drive.kind == "mains":
        watts = np.full_like(watts, 1e6)
    start: list[float] = []
    stop: list[float] = []
    thirst: list[float] = []
    for trough in site.troughs:
        herd = trough.herd
        drunk = 0.0 if herd is None else herd.head * 16.9 * GALLON / 86_400.0
        visit = 0.0 if herd is None else 60.0 * (float(herd.visits[0][3:]))
        last = visit if herd is None else visit + si(herd.visit_time)
        start.append(visit)
        stop.append(last)
        thirst.append(0.0 if herd is None else drunk * 86_400.0 / (last - visit))
    begins, ends, wants = np.array(start), np.array(stop), np.array(thirst)
    return integrate(
        plant,
        h=plant.p_cut_in / plant.weight,
        V=V,
        power=lambda t: float(np.interp(t, light.time, watts)),
        drinking=lambda t: wants * ((begins <= t) & (t < ends)),
        end=60.0 * minutes,
        breaks=(
            *light.time[1:-1], *begins, *ends,
            *passes(light.time, watts, plant.start_power),
            *passes(light.time, watts, 0.5 * plant.start_power),
        ),
    )  # fmt: skip


def by_trough(trace: Trace) -> dict[str, list[float]]:
    """When each float shut; one that pressure forces open has its own count of that."""
    found: dict[str, list[float]] = {}
    for k, trough in enumerate(trace.site.troughs):
        if trough.float_valve.holding_pressure is not None:
            continue
        found[f"float shuts {k}"] = [
            e.time for e in trace.events if e.kind == "float shuts" and e.where == trough.name
        ]
    return found


def compare(trace: Trace, expected: Run, share: float) -> None:
    """Counts are equal, and each moment agrees to a share or a tenth of a second."""
    for kind in ENGINE_WORDS:
        times = trace.times(kind)
        assert len(times) == len(expected.times(kind)), kind
        assert np.allclose(times, expected.times(kind), rtol=share, atol=0.1), kind
    for kind, shut in by_trough(trace).items():
        assert len(shut) == len(expected.times(kind)), kind
        assert np.allclose(shut, expected.times(kind), rtol=share, atol=0.1), kind
    assert trace.totals.pumped == pytest.approx(expected.pumped, rel=2.0 * share)
    assert trace.totals.returned == pytest.approx(expected.returned, rel=2.0 * share, abs=1e-7)
    assert trace.totals.relieved == pytest.approx(expected.relieved, rel=1e-2, abs=1e-7)


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_happens_and_when(name: str) -> None:
    """As written in `compare` and `Scenario`."""
    case = SCENARIOS[name]
    site = site_with(case.changes)
    sun = case.sun if isinstance(case.sun, Sun) else steady_sun(case.sun)

    expected = reference(site, minutes=case.minutes, levels=case.levels, sun=sun)
    trace = simulate(site, f"{case.minutes:g} min", sun=sun, levels=case.levels)

    seen = {kind.removesuffix(" 0").removesuffix(" 1") for kind, _ in expected.events}
    assert set(case.sees) <= seen
    compare(trace, expected, 2e-2 if case.waves else case.share)
    if case.waves or case.share > 1e-3:
        tight = simulate(site, trace.time[-1] * ureg.s, sun=sun, levels=case.levels, tolerance=1e-6)
        compare(tight, expected, 1e-3 if case.waves else 3e-4)


def test_an_hour_of_about_a_hundred_cycles_keeps_count_and_period() -> None:
    site = site_with({"trough.north.float_valve.seat_leak": "0.9 gpm at 40 psi"})

    expected = reference(site, minutes=60.0).times("pump starts")
    starts = np.array(simulate(site, "1 hour", sun="800 W/m^2").times("pump starts"))

    assert 80 <= len(expected) <= 130
    assert starts.size == len(expected)
    assert np.diff(starts)[-1] == pytest.approx(np.diff(expected)[-1], rel=5e-4)


def test_periods_converge_as_the_tolerance_tightens() -> None:
    site = site_with({"trough.north.float_valve.seat_leak": "0.8 gpm at 40 psi"})
    wanted = np.diff(reference(site, minutes=3.0).times("pump starts"))[-1]

    errors = []
    for tolerance in (1e-3, 1e-4, 1e-5):
        trace = simulate(site, "3 min", sun="800 W/m^2", tolerance=tolerance)
        errors.append(abs(np.diff(trace.times("pump starts"))[-1] / wanted - 1.0))

    assert errors[-1] < 2e-5
    assert errors[-1] < errors[0]
