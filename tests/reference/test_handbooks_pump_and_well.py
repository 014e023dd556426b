"""Lift, pump power, likeness of pumps, wave speed and plain units against printed figures."""

from __future__ import annotations

import numpy as np
import pytest

from labkit.engine.curves import rated_power
from labkit.engine.demand import shaft_power
from labkit.engine.fluid import water_at
from labkit.engine.plant import make_plant
from labkit.engine.steady import steady
from labkit.physics import GRAVITY, STANDARD_ATMOSPHERE
from labkit.physics.pipe import storage, wave_speed
from labkit.physics.pump import Centrifugal, centrifugal
from labkit.physics.water import air_pressure
from labkit.sitefile import demo_site
from labkit.sun import as_sun
from labkit.units import quantity, si
from tests.customary import FOOT, GALLON, GPM, HORSEPOWER, INCH, PSI

# --- the well


def test_water_level_by_air_line() -> None:
    """Source: MIL-HDBK-1164 (UFC 3-230-02), 2001, appendix A: a line 150 ft long shows 25 psi at
    rest, 18 psi pumping: static 92.3 ft, pumping level 108.4 ft, drawdown 16.1 ft. The handbook cuts
    the tenths, with 2.31 ft a psi."""
    weight = water_at(demo_site("one_trough").place).weight
    static, pumping = (150.0 - psi * PSI / weight / FOOT for psi in (25.0, 18.0))

    assert static == pytest.approx(92.3, abs=0.1)
    assert pumping == pytest.approx(108.4, abs=0.1)
    assert pumping - static == pytest.approx(16.1, abs=0.1)


def test_a_line_on_that_well_sees_the_pumping_level() -> None:
    """Source: as above: 92.3 ft at rest and 16.1 ft of drawdown at the pump's rated flow. A pump
    that makes 208.4 ft at 7 gpm has 100 ft left at the manifold, which just feeds a valve rated so."""
    site = demo_site("one_trough").changed(
        {
            "well": {"static_level": "92.3 ft", "drawdown": "2.3 ft/gpm", "intake_depth": "150 ft"},
            "array.rated_power": "3000 W",
            "pump": {"kind": "centrifugal", "shut_off_head": "290 ft", "rated_flow": "7 gpm",
                     "rated_head": "208.4 ft"},
            "trough.lane.pipe.length": "1 ft",
            "trough.lane.pipe.size": "2 in PE SIDR 15",
        }
    )  # fmt: skip
    weight = water_at(site.place).weight
    psi = 100.0 * FOOT * weight / PSI
    site = site.changed({"trough.lane.float_valve.flow": f"7 gpm at {psi:.6f} psi"})

    line = steady(site, sun="1000 W/m^2")

    assert line.speed == 1.0
    assert line.pump_flow / GPM == pytest.approx(7.0, rel=2e-4)
    assert line.head["manifold"] / FOOT == pytest.approx(100.0, abs=0.02)


def test_feet_in_a_psi() -> None:
    """Source: any handbook: 2.31 ft a psi; a training sheet on total dynamic head: 50 psi are
    115.5 ft. At 55 degF it is 2.3080."""
    weight = water_at(demo_site("one_trough").place).weight

    assert 50.0 * PSI / weight / FOOT == pytest.approx(115.5, rel=1.5e-3)


# --- power


@pytest.mark.parametrize(
    ("gpm", "feet", "efficiency", "horsepower"), [(100, 421, 0.70, 15.2), (70, 428, 0.707, 10.706)]
)
def test_shaft_power(gpm: float, feet: float, efficiency: float, horsepower: float) -> None:
    """Source: Crane Technical Paper 410, problems 7.15 and 7.34 (a tenth of its 700 gpm)."""
    site = demo_site("one_trough").changed(
        {
            "pump": {
                "kind": "centrifugal",
                "shut_off_head": "900 ft",
                "rated_flow": f"{gpm} gpm",
                "rated_head": f"{feet} ft",
                "efficiency": efficiency,
            }
        }
    )

    assert rated_power(site) / HORSEPOWER == pytest.approx(horsepower, rel=5e-3)


def test_pump_power_of_a_government_note() -> None:
    """Source: NRCS North Dakota, Technical Note 1, 2017, eq. 7.3 (quoted second-hand):
    P(W) = 0.1885 TDH(ft) Q(gpm) / efficiency, with water of 8.34 lb a gallon; and TI 814-01,
    US Army 1998, eq. 5-6: hp = H Q / (3960 e)."""
    site = demo_site("one_trough").changed(
        {
            "pump": {"kind": "centrifugal", "shut_off_head": "300 ft", "rated_flow": "5 gpm", "rated_head": "200 ft",
                     "efficiency": 0.40}
        }
    )  # fmt: skip

    assert rated_power(site) == pytest.approx(0.1885 * 200 * 5 / 0.40, rel=2e-3)
    assert rated_power(site) / HORSEPOWER == pytest.approx(200 * 5 / (3960 * 0.40), rel=2e-3)


# --- likeness

PUMP = Centrifugal(60.0, 3.4e8, 2.0, 400.0, 4e-4, 0.55)
"""Any pump: 60 m shut off, 5.6 m at its rated 0.4 L/s."""


def test_twice_the_speed_takes_eight_times_the_power() -> None:
    """Source: Cengel & Cimbala, Fluid Mechanics, example 14-9 (similarity): flow with the speed,
    head with its square, power with its cube."""
    slow = centrifugal(4.0, 0.0, 12.0, 1.0, PUMP)
    fast = centrifugal(16.0, 0.0, 96.0, 1.0, PUMP)

    assert 0.2 < slow.speed < fast.speed < 1.0
    assert fast.speed == pytest.approx(2.0 * slow.speed, rel=1e-9)
    assert fast.flow == pytest.approx(2.0 * slow.flow, rel=1e-9)
    assert fast.shut_in_head == pytest.approx(4.0 * slow.shut_in_head, rel=1e-9)


@pytest.mark.parametrize(
    ("speed", "flow", "head", "power"), [(0.8, 0.80, 0.64, 0.512), (0.5, 0.50, 0.25, 0.125), (0.9, 0.90, 0.81, 0.729)]
)  # fmt: skip
def test_a_slower_pump(speed: float, flow: float, head: float, power: float) -> None:
    """Source: the affinity laws as energy agencies print them (from memory: a fifth off the speed
    leaves 80 % of the flow, 64 % of the head, 51 % of the power)."""
    full = centrifugal(20.0, 0.0, 1e5, 1.0, PUMP)
    watts = PUMP.rated_power * (0.55 + 0.45 * full.flow / PUMP.rated_flow)

    slow = centrifugal(20.0 * head, 0.0, watts * power, 1.0, PUMP)

    assert slow.speed == pytest.approx(speed, rel=1e-9)
    assert slow.flow == pytest.approx(flow * full.flow, rel=1e-9)


def test_field_head_of_a_handbook() -> None:
    """Source: MIL-HDBK-1164, 2001, appendix A: 0.9 ft of friction, 60 ft of lift and 35 psi at the
    outlet, 80.9 ft, make 141.8 ft."""
    weight = water_at(demo_site("one_trough").place).weight

    assert 35.0 * PSI / weight / FOOT == pytest.approx(80.9, abs=0.15)
    assert 0.9 + 60.0 + 35.0 * PSI / weight / FOOT == pytest.approx(141.8, abs=0.2)


def test_water_power_in_kilowatts() -> None:
    """Source: Merkley & Allen, irrigation course: kW = Q(L/s) H(m) / 102."""
    site = demo_site("one_trough").changed(
        {
            "pump": {"kind": "centrifugal", "shut_off_head": "300 ft", "rated_flow": "1 L/s",
                     "rated_head": "51 m", "efficiency": 0.5}
        }
    )  # fmt: skip

    assert rated_power(site) * 0.5 == pytest.approx(1000.0 * 51.0 / 102.0, rel=2e-3)


def test_array_for_a_pump() -> None:
    """Source: NRCS North Dakota, Technical Note 1, eq. 7.2 to 7.5 (quoted second-hand), with numbers of
    our own: 1500 gal in 5 sun hours are 5 gpm; 200 ft at 40 % take 471 W, and 554 W of panel with a
    derate of 0.85. Our drive, taken as perfect, then just turns the pump at full speed."""
    site = demo_site("one_trough").changed(
        {
            "pump": {"kind": "centrifugal", "shut_off_head": "290 ft", "rated_flow": "5 gpm", "rated_head": "200 ft",
                     "efficiency": 0.40},
            "array.rated_power": "554 W", "array.derate": 0.85, "array.temperature_coefficient": 0.0,
            "drive.efficiency": 1.0,
        }
    )  # fmt: skip
    plant, _ = make_plant(site)
    watts = float(shaft_power(site, as_sun("1000 W/m^2", site))[0])

    duty = centrifugal(200.0 * FOOT, 0.0, watts, 1.0, plant.centrifugal)

    assert watts == pytest.approx(471.0, rel=1e-3)
    assert duty.speed == pytest.approx(1.0, abs=2e-3)
    assert duty.flow / GPM == pytest.approx(5.0, rel=5e-3)


def test_a_curve_from_one_point() -> None:
    """Source: EPANET 2.2 User Manual, US EPA 2020: a pump known at one point makes a third more
    head shut off and twice the flow without head."""
    site = demo_site("one_trough").changed(
        {
            "pump": {
                "kind": "centrifugal",
                "shut_off_head": "160 ft",
                "rated_flow": "7 gpm",
                "rated_head": "120 ft",
            },
        }
    )
    plant, _ = make_plant(site)

    wide_open = centrifugal(0.0, 0.0, 1e5, 1.0, plant.centrifugal)

    assert wide_open.flow / GPM == pytest.approx(14.0, rel=1e-6)


# --- what the line stores

WATER_ALONE = 4660.0 * FOOT
"""Wave speed of the sources' water, without a pipe around it [m/s]."""
BULK = 300_000.0 * PSI


def surge_table_speed(dimension_ratio: float, modulus_psi: float) -> float:
    """Wave speed in a pipe by its dimension ratio (outside diameter over wall)."""
    wall = 1.0 * INCH
    return wave_speed(
        (dimension_ratio - 2.0) * wall,
        wall=wall,
        E=modulus_psi * PSI,
        bulk=BULK,
        rho=BULK / WATER_ALONE**2,
    )


@pytest.mark.parametrize(("ratio", "speed"), [(18.0, 1292), (21.0, 1193), (26.0, 1069)])
def test_wave_speed_in_pvc(ratio: float, speed: float) -> None:
    """Source: a PVC pipe association's surge table: E 400,000 psi, water 300,000 psi, ft/s."""
    assert surge_table_speed(ratio, 400_000.0) / FOOT == pytest.approx(speed, abs=1.0)


@pytest.mark.parametrize(
    ("ratio", "modulus", "surge"),
    [
        (41.0, 400_000, 11.4), (32.5, 400_000, 12.8), (26.0, 400_000, 14.4), (25.0, 400_000, 14.7),
        (21.0, 400_000, 16.0), (18.0, 400_000, 17.4), (14.0, 400_000, 19.8),
        (21.0, 115_000, 8.8), (17.0, 115_000, 9.9), (13.5, 115_000, 11.3), (11.0, 115_000, 12.7),
        (9.0, 115_000, 14.3), (7.3, 115_000, 16.3),
    ],
)  # fmt: skip
def test_surge_a_foot_a_second(ratio: float, modulus: float, surge: float) -> None:
    """Source: the same table, PVC and HDPE: psi for each ft/s, that is a / g / 2.31."""
    psi = surge_table_speed(ratio, modulus) / GRAVITY / 2.31

    assert psi == pytest.approx(surge, abs=0.06)


@pytest.mark.parametrize(("a", "per_metre"), [(242.0, 9.69e-5), (400.0, 3.55e-5)])
def test_what_600_metres_of_pipe_take_up(a: float, per_metre: float) -> None:
    """Source: C = L A g / a**2 by hand, 600 m of 35.05 mm pipe, three figures."""
    assert storage(600.0, 0.03505, a) == pytest.approx(per_metre, rel=2e-3)


# --- units and air


def test_ten_metres_of_water() -> None:
    """Source: a general fluids library: 98,066.5 Pa at 1000 kg/m3."""
    assert 1000.0 * GRAVITY * 10.0 == pytest.approx(98_066.5, abs=1e-6)


@pytest.mark.parametrize(
    ("typed", "like", "value"),
    [
        ("1 psi", "psi", PSI), ("1 gpm", "gpm", GPM), ("1 gal", "gal", GALLON), ("1 ft", "ft", FOOT),
        ("1 hp", "W", HORSEPOWER), ("0.002228 gpm", "gpm", 0.002228 * GPM),
    ],
)  # fmt: skip
def test_units_at_the_door(typed: str, like: str, value: float) -> None:
    """Source: NIST Special Publication 811, appendix B: exact."""
    assert si(quantity(typed, like)) == pytest.approx(value, rel=1e-12)


def test_constants_of_the_trade() -> None:
    """Source: several handbooks: 448.83 to 448.86 gpm a cubic foot a second, 3.7854 L a gallon."""
    assert 448.82 < FOOT**3 / si(quantity("1 gpm", "gpm")) < 448.87
    assert si(quantity("1 gal", "gal")) == pytest.approx(3.7854e-3, abs=5e-8)


@pytest.mark.parametrize(
    ("metres", "pascal", "digit"), [(0.0, 101_325.0, 1e-6), (1000.0, 89_874.75, 6.0), (5000.0, 54_048.3, 30.0)]
)  # fmt: skip
def test_standard_atmosphere(metres: float, pascal: float, digit: float) -> None:
    """Source: US Standard Atmosphere 1976 by general libraries; the formula is the rounded one of
    ISO 2533, which differs by up to 0.05 %, for the table counts geopotential metres."""
    assert air_pressure(metres) == pytest.approx(pascal, abs=digit)


@pytest.mark.parametrize(
    ("feet", "psia"),
    [(0, 14.7), (1000, 14.2), (2000, 13.7), (3000, 13.2), (4000, 12.7), (5000, 12.2), (6000, 11.8),
     (7000, 11.3), (8000, 10.9), (10_000, 10.1)],
)  # fmt: skip
def test_air_pressure_of_a_pump_trade_table(feet: float, psia: float) -> None:
    """Source: a pump-trade table, psia; tenths."""
    assert air_pressure(feet * FOOT) / PSI == pytest.approx(psia, abs=0.055)


def test_the_atmosphere_is_the_standard_one() -> None:
    """Source: ISO 2533:1975: 101,325 Pa; 9.80665 m/s2 (ISO 80000-3)."""
    assert np.array([STANDARD_ATMOSPHERE, GRAVITY]).tolist() == [101_325.0, 9.80665]
