"""Invented lines that have settled, held against what is worked out by hand."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

import labkit as lab
from labkit.parts import MANIFOLD
from tests.customary import FOOT, GPM, INCH, PSI
from tests.reference.hand import (
    FULL,
    WEIGHT,
    lost,
    on_the_shaft,
    settled,
    site,
    through,
)


@pytest.mark.parametrize(
    ("rise", "feet"), [(0.0, 1500.0), (40.0, 1500.0), (-120.0, 4000.0), (-30.0, 20_000.0)]
)
def test_a_line_up_and_down_hill(rise: float, feet: float) -> None:
    """At the third the static head at the trough, 52 psi, is far over the switch's cut-out."""
    line = site(trough__lane__pipe__rise=f"{rise} ft", trough__lane__pipe__length=f"{feet} ft")

    def needed(Q: float) -> float:
        return rise * FOOT + lost(Q, feet * FOOT) + through(Q, 9.0, 20.0)

    Q = settled(needed)
    running, shut = lab.steady(line, sun=FULL), lab.steady(line, sun=FULL, open_troughs=[])

    assert running.pump_flow == pytest.approx(Q, rel=1e-3)
    assert running.pressure[MANIFOLD] == pytest.approx(WEIGHT * needed(Q), abs=0.02 * PSI)
    assert shut.pressure[MANIFOLD] == pytest.approx(WEIGHT * 130.0 * FOOT, rel=1e-4)
    assert shut.pressure["lane"] == pytest.approx(WEIGHT * (130.0 - rise) * FOOT, rel=1e-4)


def test_twice_the_flow_on_a_thin_pipe() -> None:
    line = site(
        trough__lane__pipe__size="3/4 in PE SIDR 9", pump__rated_flow="14 gpm",
        trough__lane__float_valve__flow="18 gpm at 20 psi",
    )  # fmt: skip

    def needed(Q: float) -> float:
        return lost(Q, 1500.0 * FOOT, 0.824 * INCH) + through(Q, 18.0, 20.0)

    Q = settled(needed, gpm=14.0)
    running = lab.steady(line, sun=FULL)

    assert running.pump_flow == pytest.approx(Q, rel=1e-3)
    assert running.pressure[MANIFOLD] == pytest.approx(WEIGHT * needed(Q), rel=1e-3)


@pytest.mark.parametrize("sun", [500.0, 800.0, 1000.0])
def test_a_deep_well_and_a_weak_array(sun: float) -> None:
    """400 ft down, through 500 ft of 1 in Sch 80 drop pipe (0.957 in), a trough 20 ft up."""
    line = site(
        place__elevation="6000 ft", array__rated_power="700 W", well__static_level="400 ft",
        well__intake_depth="500 ft", trough__lane__pipe__rise="20 ft",
        pump={"kind": "centrifugal", "shut_off_head": "620 ft", "rated_flow": "4 gpm",
              "rated_head": "470 ft", "drop_pipe": "1 in PVC Sch 80"},
    )  # fmt: skip
    watts = on_the_shaft(sun, 700.0)
    full = WEIGHT * 4.0 * GPM * 470.0 * FOOT / 0.45
    shut_in = min((watts / (0.55 * full)) ** (1.0 / 3.0), 1.0) ** 2 * 620.0 - 400.0

    def needed(Q: float) -> float:
        return 20.0 * FOOT + lost(Q, 1500.0 * FOOT) + through(Q, 9.0, 20.0)

    Q = settled(
        lambda Q: needed(Q) + lost(Q, 500.0 * FOOT, 0.957 * INCH),
        lift=400.0, shut_off=620.0, gpm=4.0, rated=470.0, watts=watts,
    )  # fmt: skip
    running, shut = (
        lab.steady(line, sun=f"{sun} W/m^2", open_troughs=floats) for floats in (["lane"], [])
    )

    assert running.pump_flow == pytest.approx(Q, rel=2e-3)
    assert running.pressure[MANIFOLD] == pytest.approx(WEIGHT * needed(Q), rel=1e-3)
    assert shut.pressure[MANIFOLD] == pytest.approx(WEIGHT * shut_in * FOOT, rel=1e-3)


@pytest.mark.parametrize("distance", [0.0, 750.0])
@pytest.mark.parametrize("exponent", [0.5, 1.5])
def test_a_leak_far_out_feeds_on_what_friction_leaves(distance: float, exponent: float) -> None:
    line = site(
        trough__lane__pipe__rise="40 ft", drive={"kind": "mains"},
        leaks=[{"at": "lane", "distance": f"{distance} ft", "size": "2 gpm at 30 psi",
                "exponent": exponent}],
    )  # fmt: skip
    way = 1500.0 - distance

    def needed(Q: float) -> float:
        opening = 30.0 * PSI / WEIGHT * (Q / (2.0 * GPM)) ** (1.0 / exponent)
        return float(40.0 * FOOT * way / 1500.0 + lost(Q, way * FOOT) + opening)

    Q = settled(needed)
    shut = lab.steady(line, sun="0 W/m^2", open_troughs=[])

    assert shut.leak_flow == pytest.approx(Q, rel=2e-3)
    assert shut.pressure[MANIFOLD] == pytest.approx(WEIGHT * needed(Q), rel=1e-3)


HELICAL = {"kind": "positive displacement", "rated_flow": "3 gpm", "rated_head": "350 ft",
           "slip": 0.08, "efficiency": 0.5, "torque_limit": 2.0}  # fmt: skip
DEEP = {"static_level": "300 ft", "drawdown": "2 ft/gpm", "intake_depth": "400 ft"}


def test_a_relief_valve_takes_what_a_shut_in_helical_pump_gives() -> None:
    """It opens in proportion: 6 gpm at 20 psi over its point. The pump slips 8 % at 350 ft."""
    swept = 3.0 * GPM / 0.92

    def over(p: float) -> float:
        Q = 6.0 * GPM * (p - 60.0 * PSI) / (20.0 * PSI)
        head = (300.0 + 2.0 * Q / GPM) * FOOT + p / WEIGHT
        return float(swept * (1.0 - 0.08 * head / (350.0 * FOOT)) - Q)

    p = brentq(over, 60.0 * PSI, 100.0 * PSI)
    line = site(
        well=DEEP, pump=HELICAL, pressure_switch={"cut_in": "20 psi", "cut_out": "55 psi"},
        relief_valve={"opens_at": "60 psi", "capacity": "6 gpm at 80 psi"},
    )  # fmt: skip

    assert lab.steady(line, sun=FULL, open_troughs=[]).pressure[MANIFOLD] == pytest.approx(p)


def test_without_one_its_torque_limit_ends_the_climb() -> None:
    """Torque goes with friction and head; efficiency and slip leave 0.43 of the rated power for
    friction: 2 (0.43 + 0.587) - 0.43 = 0.5435 H, all in shares of the rated shaft power."""
    water, friction = 0.5 / 0.92, 1.0 - 0.5 / 0.92
    head = (2.0 - friction) / water * 350.0
    line = site(well=DEEP, pump=HELICAL, pressure_switch={"cut_in": "20 psi", "cut_out": "55 psi"})

    shut = lab.steady(line, sun=FULL, open_troughs=[])

    assert shut.stopped_by == "torque limit"
    assert shut.pressure[MANIFOLD] == pytest.approx(WEIGHT * (head - 300.0) * FOOT, rel=2e-4)


@pytest.mark.parametrize("size", ["1 1/4 in PE SIDR 15", "1 in PVC Sch 80"])
@pytest.mark.parametrize("feet", [1.0, 2.0, 3.0, 10.0])
def test_a_trough_beside_the_well(size: str, feet: float) -> None:
    """So little pipe takes up next to nothing, yet the pump's shut-off head less the lift stands on
    the gauge: 130 ft of water."""
    line = site(trough__lane__pipe__length=f"{feet} ft", trough__lane__pipe__size=size)

    for sun in ("250 W/m^2", FULL):
        shut = lab.steady(line, sun=sun, open_troughs=[])
        assert shut.pressure[MANIFOLD] == pytest.approx(WEIGHT * 130.0 * FOOT, rel=1e-4)
    bare = lab.operating_window(line).judged
    assert bare is not None
    assert bare.verdict == "cycling"  # a few feet of pipe hold nothing while the float throttles
    tank = {"volume": "80 gal", "precharge": "13 psi"}
    assert lab.operating_window(line.changed({"pressure_tank": tank})).is_open
