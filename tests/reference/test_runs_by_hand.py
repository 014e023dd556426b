"""Runs of invented lines, and a wave, held against what is worked out by hand."""

from __future__ import annotations

from math import exp, pi
from typing import Any

import pytest
from scipy.integrate import quad

import labkit as lab
from tests.customary import FOOT, GALLON, GPM, INCH, PSI
from tests.reference.hand import (
    BORE,
    FULL,
    RHO,
    WEIGHT,
    G,
    lost,
    settled,
    site,
    through,
)


def _level_line(Q: float) -> float:
    """Head that 1,500 ft of level pipe and the open float take [m]."""
    return lost(Q, 1500.0 * FOOT) + through(Q, 9.0, 20.0)


def test_a_mains_pump_cycles_on_a_leak_at_altitude() -> None:
    """Boyle's law in absolute pressure (ISO 2533 at 6,000 ft), and a leak that goes with the root
    of the pressure. Ten feet of stiff pipe have no say."""
    air = 101_325.0 * (1.0 - 2.25577e-5 * 6000.0 * FOOT) ** 5.25588
    low, high, charge = 30.0 * PSI, 50.0 * PSI, 28.0 * PSI

    def per_pascal(p: float) -> float:
        return float(20.0 * GALLON * (charge + air) / (p + air) ** 2)

    def leak(p: float) -> float:
        return float(0.2 * GPM * (p / (30.0 * PSI)) ** 0.5)

    def gain(p: float) -> float:
        return settled(lambda _: p / WEIGHT) - leak(p)

    falls = quad(lambda p: per_pascal(p) / leak(p), low, high)[0]
    rises = quad(lambda p: per_pascal(p) / gain(p), low, high)[0]
    line = site(
        place__elevation="6000 ft", drive={"kind": "mains"},
        trough__lane__pipe__length="10 ft", trough__lane__pipe__size="1 in PVC Sch 80",
        pressure_switch={"cut_in": "30 psi", "cut_out": "50 psi", "action": "opens on rise"},
        pressure_tank={"volume": "20 gal", "precharge": "28 psi"},
        leaks=[{"at": "manifold", "size": "0.2 gpm at 30 psi"}],
    )  # fmt: skip

    starts = lab.simulate(line, "3 hour", sun="0 W/m^2").times("pump starts")

    assert starts[2] - starts[1] == pytest.approx(falls + rises, rel=2e-3)


def test_a_well_drawn_down_to_the_pump() -> None:
    """10 ft for each gpm, and 30 ft of water over the intake: 3 gpm and no more."""
    line = site(well={"static_level": "60 ft", "drawdown": "10 ft/gpm", "intake_depth": "90 ft"})

    trace = lab.simulate(line, "20 min", sun=FULL, levels={"lane": "5 in"})

    assert trace.verdict == "safety stop"
    assert trace.pump_flow.max() == pytest.approx(3.0 * GPM, rel=1e-3)
    assert lab.steady(line, sun=FULL).stopped_by == "low water"


def test_time_to_fill_a_trough() -> None:
    """From 4 in until the float begins to close, 21.5 in: 17.5/24 of 500 gal at the full flow, the
    first seconds left out, in which the pump runs up."""
    line = site(trough__lane__volume="500 gal")
    flow = settled(_level_line)

    trace = lab.simulate(line, "2 hour", sun=FULL, levels={"lane": "4 in"})

    full = min(
        time
        for time, level in zip(trace.time, trace.level["lane"], strict=True)
        if level >= 21.5 * INCH
    )
    assert full == pytest.approx(17.5 / 24.0 * 500.0 * GALLON / flow, abs=15.0)


def test_the_first_jump_of_a_slammed_float() -> None:
    """Joukowsky: a v / g with Korteweg's speed; K 2.13 GPa, a wall of 0.092 in (1.380 / 15). PE in
    a wave: 150,000 psi, the dynamic modulus of the Handbook of Polyethylene Pipe, 2nd ed., chapter 6
    (from memory). Within 2 %: the flow stops, and water packs behind the wave."""
    bulk, modulus, wall = 2.13e9, 150_000.0 * PSI, BORE / 15.0
    a = (bulk / RHO / (1.0 + bulk * BORE / (modulus * wall))) ** 0.5
    line = site()
    v = settled(_level_line) / (pi / 4.0 * BORE**2)

    run = lab.surge(line, trough="lane", closing_time="0 s").runs[-1]

    assert run.wave_speed == pytest.approx(a, rel=2e-3)
    assert run.head[1][-1] - run.steady[-1] == pytest.approx(a * v / G, rel=0.02)


@pytest.mark.parametrize(
    ("place", "changes"),
    [
        ("0 ft", {"check_valve": {"leak": "50 gpm at 1 psi"}}),
        ("6000 ft", {"trough__lane__pipe__rise": "-3000 ft", "trough__lane__pipe__length": "1 mi"}),
    ],
)
def test_no_gauge_shows_less_than_nothing(place: str, changes: dict[str, Any]) -> None:
    """A line that is sucked empty is as empty as water lets it be: less than no air pressure, its
    own vapour pressure apart (0.2 psi at 55 degF), there is not. ISO 2533 for the air."""
    feet = float(place.split(maxsplit=1)[0])
    air = 101_325.0 * exp(5.25588 * -2.25577e-5 * feet * FOOT)
    line = site(place__elevation=place, **changes)

    trace = lab.simulate(line, "1 hour", sun=FULL, levels={"lane": "20 in"})

    assert trace.times("suction")
    assert float(trace.pressure.min()) == pytest.approx(0.214 * PSI - air, rel=0.02)


def test_a_level_sound_line_is_never_sucked() -> None:
    """As the pump stands, half a gallon a minute still runs to a float: stopped at once it would
    pull by its speed times the wave's, 1.2 psi (Joukowsky: 0.033 m/s, 260 m/s)."""
    trace = lab.simulate(site(), "1 hour", sun=FULL, levels={"lane": "20 in"})

    assert not trace.times("suction")
    assert float(trace.pressure.min()) > -1.2 * PSI
