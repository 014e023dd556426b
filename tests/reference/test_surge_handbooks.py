"""Water hammer against printed examples, closed forms, and other programs on the same case."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from labkit.catalogue import pipe_sizes
from labkit.engine.steady import steady
from labkit.engine.surge import surge
from labkit.physics import GRAVITY
from labkit.physics.pipe import wave_speed
from labkit.sitefile import loads
from labkit.units import si
from tests.column import Column, column
from tests.customary import FOOT, INCH, PSI

if TYPE_CHECKING:
    from labkit.engine.network import Floats
    from labkit.site import Site

HIGH = 1500.0
"""Head [m] under which no wave of these examples reaches the vapour limit."""


def held_for(run: Column) -> float:
    """How long the first rise at the valve lasts [s]."""
    risen = run.head > run.head[0] + 0.5 * run.rise
    return float(run.time[1:][~risen[1:]][0] - run.time[1])


# --- printed examples


def test_a_force_main() -> None:
    """Source: US Army TM 5-813-9, October 1992, Fig. 4-5: a 2,690 ft/s, V 6.48 ft/s, L 3,400 ft:
    critical interval 2.53 s, rise 544.7 ft with g = 32 ft/s2, taken here at its true value."""
    run = column(L=3400 * FOOT, a=2690 * FOOT, v=6.48 * FOOT, h0=HIGH, duration=5.0, reaches=100)

    assert run.rise / FOOT == pytest.approx(544.7 * 32.0 * FOOT / GRAVITY, rel=2e-4)
    assert held_for(run) == pytest.approx(2.53, abs=0.03)


@pytest.mark.parametrize(
    ("bulk", "E", "diameter", "wall", "v", "printed"),
    [
        (2.2e9, 1e30, 1.0, 1.0, 3.0, 4.445),
        (2.1e9, 1e30, 0.6, 0.012, 2.1, 3.040),
        (2.1e9, 210e9, 0.6, 0.012, 2.1, 2.482),
    ],
    ids=["14.13", "14.15 rigid", "14.15 elastic"],
)
def test_sudden_closure_in_a_textbook(
    bulk: float, E: float, diameter: float, wall: float, v: float, printed: float
) -> None:
    """Source: worked examples 14.13 and 14.15 of a hydraulics textbook whose title is not known,
    density 998 kg/m3: MPa."""
    a = wave_speed(diameter, wall=wall, E=E, bulk=bulk, rho=998.0)

    run = column(a=a, v=v, h0=HIGH, duration=1.0)

    assert 998.0 * GRAVITY * run.rise / 1e6 == pytest.approx(printed, abs=1.1e-3)


@pytest.mark.parametrize(
    ("ratio", "modulus", "surge_psi"),
    [(26.0, 400_000, 14.4), (21.0, 400_000, 16.0), (11.0, 115_000, 12.7), (7.3, 115_000, 16.3)],
    ids=["PVC DR 26", "PVC DR 21", "HDPE DR 11", "HDPE DR 7.3"],
)
def test_surge_of_a_foot_a_second(ratio: float, modulus: float, surge_psi: float) -> None:
    """Source: a PVC pipe association's surge table: water 300,000 psi and 4,660 ft/s without a
    pipe; psi for each ft/s, at 2.31 ft a psi."""
    bulk = 300_000 * PSI
    a = wave_speed(
        (ratio - 2.0) * INCH, wall=INCH, E=modulus * PSI, bulk=bulk, rho=bulk / (4660 * FOOT) ** 2
    )

    run = column(a=a, v=FOOT, h0=HIGH, duration=1.0)

    assert run.rise / FOOT / 2.31 == pytest.approx(surge_psi, abs=0.06)


def test_design_of_a_main() -> None:
    """Source: Moser & Folkman, Buried Pipe Design, example 4.2, p. 220: 7 ft/s in 8 in DR 18 PVC,
    a 1,311 ft/s: 122 psi (exact: 122.7, the book cuts off) on top of 160 psi: 282 psi."""
    run = column(a=1311 * FOOT, v=7 * FOOT, h0=HIGH, duration=1.0)
    rise = 0.43 * run.rise / FOOT  # the book's psi a foot

    assert 122.0 <= rise < 123.0
    assert 160.0 + rise < 1.60 * 235.0


# --- closed forms on one case: 600 m, 400 m/s, 35.05 mm, 1 m/s, 120 m

JOUKOWSKY = 40.789
"""a v / g [m]."""


def test_sudden_closure_holds_until_the_wave_is_back() -> None:
    """Source: Joukowsky 1898, a v / g = 40.789 m, for 2 L / a = 3 s; then as far below."""
    run = column()

    assert run.head[1] - 120.0 == pytest.approx(JOUKOWSKY, abs=5e-4)
    assert run.head[1:41] - 120.0 == pytest.approx(JOUKOWSKY, abs=1e-3)
    assert held_for(run) == pytest.approx(3.0, abs=1e-9)
    assert run.head.min() == pytest.approx(79.211, abs=1e-3)


@pytest.mark.parametrize(
    ("closing_time", "rise"),
    [(0.0, 40.789), (1.5, 40.789), (3.0, 40.789), (6.0, 20.394), (12.0, 10.197), (30.0, 4.079),
     (60.0, 2.039)],
)  # fmt: skip
def test_flow_that_falls_evenly(closing_time: float, rise: float) -> None:
    """Source: Michaud 1878: 2 L v / (g t) for a closing time t over the critical 2 L / a = 3 s,
    and Joukowsky's up to there."""
    run = column(closing_time=closing_time, duration=closing_time + 10.0)

    assert run.rise == pytest.approx(rise, abs=1e-3)


@pytest.mark.parametrize("exponent", [0.5, 1.0, 2.0])
def test_flow_that_falls_unevenly(exponent: float) -> None:
    """Source: d'Alembert by hand: each 2 L / a the wave comes back turned round, so with the flow
    stopped so far, D, the rise is ``a v / g (D(t) - 2 D(t - 3) + 2 D(t - 6) - ..)``."""
    run = column(closing_time=12.0, exponent=exponent, duration=20.0)

    def stopped(t: Floats) -> Floats:
        return np.where(t > 0.0, 1.0 - np.clip(1.0 - t / 12.0, 0.0, 1.0) ** exponent, 0.0)

    echoes = sum(2.0 * (-1.0) ** n * stopped(run.time - 3.0 * n) for n in range(1, 7))
    rise = JOUKOWSKY * (stopped(run.time) + echoes)
    assert run.head - 120.0 == pytest.approx(rise, abs=2e-3)


@pytest.mark.parametrize(
    ("closing_time", "rise"),
    [(1.5, 40.789), (3.0, 40.789), (6.0, 18.851), (12.0, 9.063), (30.0, 3.541), (60.0, 1.757)],
)
def test_area_that_falls_evenly(closing_time: float, rise: float) -> None:
    """Source: another program for the method of characteristics on the same case."""
    run = column(closing_time=closing_time, by_flow=False, duration=closing_time + 10.0)

    assert run.rise == pytest.approx(rise, abs=1e-3)


def test_area_that_falls_evenly_by_hand() -> None:
    """Source: Allievi's interlocking equations (Wylie & Streeter, chapter 4), worked here at whole
    periods: with B = a v / (g h0), x the opening and y**2 the head over h0 at the valve,
    ``y_n**2 + y_(n-1)**2 - 2 = B (x_(n-1) y_(n-1) - x_n y_n)``."""
    closing_time, period = 12.0, 3.0
    B = JOUKOWSKY / 120.0
    y, heads = 1.0, []
    for n in range(1, 5):
        x_old, x = 1.0 - (n - 1) * period / closing_time, 1.0 - n * period / closing_time
        right = 2.0 - y * y + B * x_old * y
        y = -0.5 * B * x + sqrt(0.25 * B * B * x * x + right)
        heads.append(120.0 * y * y)
    run = column(closing_time=closing_time, by_flow=False)

    found = np.interp(period * np.arange(1.0, 5.0), run.time, run.head)
    assert found == pytest.approx(heads, abs=2e-3)


# --- with friction: f 0.0218, 19.03 m lost

FRICTION = 0.0218


def test_rise_with_friction_converges() -> None:
    """Source: another program for the same case with 10, 20, .., 400 reaches: 57.63, 58.56, 59.12,
    59.30, 59.39, 59.44 m, first order, hence 59.49 m in the end. A third (tsnet 0.3.1, g 9.8) gives
    59.36 m with 100."""
    rises = [column(factor=FRICTION, reaches=n).rise for n in (10, 20, 50, 100)]

    errors = np.abs(np.array(rises) - 59.49)
    assert np.all(np.diff(errors) < 0.0)
    assert errors[-1] < 0.06
    assert rises[-1] == pytest.approx(59.36, abs=0.12)


@pytest.mark.parametrize(
    ("closing_time", "rise"),
    [(0.0, 59.30), (1.5, 55.68), (3.0, 52.31), (6.0, 31.57), (12.0, 24.56), (30.0, 21.10),
     (60.0, 20.06)],
)  # fmt: skip
def test_rise_with_friction(closing_time: float, rise: float) -> None:
    """Source: the same program with 100 reaches, which falls short by up to one reach's friction,
    0.19 m; at the far end of slowness it must give back the 19.03 m that friction took."""
    run = column(
        factor=FRICTION, closing_time=closing_time, duration=closing_time + 5.0, reaches=40
    )

    assert rise - 0.03 <= run.rise <= rise + 0.19


# --- a pump: 0.53 L/s from 39.0 psi to 8 m up; 63.95 psi with no flow

PUMPED = """
title = "One run"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "0 ft" }
well = { static_level = "30 m", intake_depth = "60 m" }
array = { rated_power = "600 W" }
drive = { kind = "mains" }
pressure_switch = { cut_in = "28 psi", cut_out = "50 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "75 m"
rated_flow = "0.53 L/s"
rated_head = "57.43 m"
[[trough]]
name = "end"
volume = "300 gal"
depth = "24 in"
pipe = { from = "manifold", length = "600 m", size = "1 1/4 in PE SIDR 15", rise = "8 m", inside_diameter = "35.05 mm" }
float_valve = { flow = "0.53 L/s at 120 kPa" }
"""


@pytest.fixture(scope="module")
def pumped() -> Site:
    """Size the float valve so that the case's flow comes."""
    site, low, high = loads(PUMPED), 20.0, 400.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        site = site.changed({"trough.end.float_valve.flow": f"0.53 L/s at {middle} kPa"})
        if steady(site, sun="1000 W/m^2").pump_flow > 0.53e-3:
            low = middle
        else:
            high = middle
    assert steady(site, sun="1000 W/m^2").pressure["manifold"] / PSI == pytest.approx(39.0, abs=0.1)
    return site


@pytest.mark.parametrize(
    ("a", "closing_time", "peak", "trip"),
    [
        (242, "0 s", 67.3, 2.50),
        (400, "0 s", 70.6, 1.5),
        (242, "10 s", 67.4, 8.38),
        (400, "10 s", 72.7, None),
        (242, "30 s", 67.2, 17.9),
        (400, "30 s", 67.2, None),
    ],
)
def test_a_valve_shuts_on_a_pump(
    pumped: Site, a: int, closing_time: str, peak: float, trip: float | None
) -> None:
    """Source: another program on the same case, psi at the wellhead and seconds to 50 psi there
    (1.5 s: L / a). Its pump's curve is known at two points only, hence half a psi."""
    line = pumped.changed({"trough.end.pipe.wave_speed": f"{a} m/s"})
    found = surge(line, closing_time=closing_time, duration="40 s", reaches=40)

    assert found.switch_peak / PSI == pytest.approx(peak, abs=0.5)
    if trip is not None:
        assert found.trip_time == pytest.approx(trip, abs=0.015 * trip + found.dt)


@pytest.mark.parametrize(("a", "peak"), [(242, 65.5), (400, 65.6)])
def test_a_five_gallon_tank(pumped: Site, a: int, peak: float) -> None:
    """Source: the same program with a tank at the switch; a charge of 26 psi is assumed."""
    line = pumped.changed(
        {
            "trough.end.pipe.wave_speed": f"{a} m/s",
            "pressure_tank": {"volume": "5 gal", "precharge": "26 psi"},
        }
    )
    found = surge(line, closing_time="0 s", duration="40 s", reaches=40)

    assert found.switch_peak / PSI == pytest.approx(peak, abs=0.5)


@pytest.mark.parametrize(
    ("a", "event", "low"),
    [
        (242, "power fails", 7.4),
        (400, "power fails", -2.8),
        (242, "pump trips", 6.6),
        (400, "pump trips", -2.3),
    ],
)
def test_a_pump_stops_with_the_valve_open(pumped: Site, a: int, event: str, low: float) -> None:
    """Source: the same program, at once and within 3 s: least psi at the wellhead."""
    line = pumped.changed({"trough.end.pipe.wave_speed": f"{a} m/s", "drive.ramp_down": "3 s"})
    found = surge(line, event=event, duration="40 s", reaches=40)  # type: ignore[arg-type]

    assert found.pressure["manifold"].min() / PSI == pytest.approx(low, abs=0.4)


def test_a_ramp_of_less_than_a_second_is_not_a_stop_at_once(pumped: Site) -> None:
    """By the affinity laws a pump at more than half its speed a third of a second on still pushes:
    the gauge has not yet fallen as far as behind one that stands."""

    def soon(ramp: str) -> float:
        found = surge(pumped.changed({"drive.ramp_down": ramp}), event="pump trips", reaches=40)
        return float(found.pressure["manifold"][found.time <= 0.35].min()) / PSI

    assert soon("0.1 s") < soon("0.9 s") < soon("3 s")


@pytest.mark.parametrize(
    ("size", "surge_psi", "sudden"), [("DR 11", 80.0, 5.6), ("DR 9", 100.0, 6.2)]
)
def test_the_sudden_stop_that_a_poly_pipe_is_allowed(
    size: str, surge_psi: float, sudden: float
) -> None:
    """Source: Handbook of Polyethylene Pipe, 2nd ed., chapter 6 (from memory): half its pressure
    class in recurring surge, 80 and 100 psi, is what a sudden change of 5.6 and 6.2 ft/s makes."""
    row = next(row for name, row in pipe_sizes().items() if f"PE {size} " in name)
    ratio, bulk = float(size.split()[1]), 300_000 * PSI
    a = wave_speed(
        (ratio - 2.0) * INCH, wall=INCH, E=si(row.wave_modulus), bulk=bulk,
        rho=bulk / (4660 * FOOT) ** 2,
    )  # fmt: skip

    assert surge_psi * 2.31 * 32.2 / (a / FOOT) == pytest.approx(sudden, abs=0.06)
