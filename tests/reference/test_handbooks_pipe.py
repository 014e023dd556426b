"""Pipe sizes, ratings, fittings and quick surges in the pipe against printed figures."""

from __future__ import annotations

from math import pi

import pytest

from labkit.catalogue import pipe_size, pipe_sizes
from labkit.engine.plant import ROUGHNESS
from labkit.physics import GRAVITY
from labkit.physics.pipe import DARCY_WEISBACH, area, run_flow, storage, wave_speed
from labkit.units import si
from tests.customary import FOOT, INCH, PSI

# --- sizes

IRON_PIPE = {
    "Sch 40": {"3/4": 20.96, "1": 26.64, "1 1/4": 35.08, "1 1/2": 40.94, "2": 52.48},
    "Sch 80": {"3/4": 18.88, "1": 24.30, "1 1/4": 32.50, "1 1/2": 38.14, "2": 49.22},
}
"""ASME B36.10 inside diameters [mm], by the data of a general fluids library."""
OUTSIDE = {"3/4": 1.050, "1": 1.315, "1 1/4": 1.660, "1 1/2": 1.900, "2": 2.375}
"""The same, outside diameters [in]."""


@pytest.mark.parametrize(
    ("series", "size", "mm"), [(s, n, mm) for s, row in IRON_PIPE.items() for n, mm in row.items()]
)
def test_plastic_schedules_are_those_of_iron_pipe(series: str, size: str, mm: float) -> None:
    """Source: ASME B36.10. Plastic of the same schedule (ASTM D1785) is listed to 0.001 in, iron to
    0.02 mm: to 0.07 mm."""
    row = pipe_size(f"{size} in PVC {series}")

    assert si(row.inside_diameter) * 1000.0 == pytest.approx(mm, abs=0.07)
    outside = si(row.inside_diameter) + 2.0 * si(row.wall)
    assert outside / INCH == pytest.approx(OUTSIDE[size], abs=0.0025)


COURSE = {"1 in PVC SDR 26": 1.195, "2 in PVC SDR 26": 2.193}
AVERAGE = {
    "3/4 in PVC SDR 21": 0.926, "1 in PVC SDR 21": 1.189, "1 1/4 in PVC SDR 21": 1.502,
    "1 1/2 in PVC SDR 21": 1.720, "2 in PVC SDR 21": 2.149,
}  # fmt: skip


@pytest.mark.parametrize(("size", "inches"), [*COURSE.items(), *AVERAGE.items()])
def test_class_pipe(size: str, inches: float) -> None:
    """Source: SDR 26 by table Tbl-IR-BH-1 of a university irrigation course, SDR 21 by the averages
    of ASTM D2241. Tables part by up to two hundredths of an inch, as they take least or mean walls."""
    assert si(pipe_size(size).inside_diameter) / INCH == pytest.approx(inches, abs=0.02)


# --- ratings


@pytest.mark.parametrize(
    ("series", "psi"), [("SDR 21", 200.0), ("SDR 26", 160.0)]
)  # fmt: skip
def test_ratings_by_ratio(series: str, psi: float) -> None:
    """Source: Moser & Folkman, Buried Pipe Design, pp. 204-206: PVC 1120, 2 S / (SDR - 1) with
    S = 2000 psi: 200 and 160 psi in every size."""
    found = [si(row.rating) / PSI for name, row in pipe_sizes().items() if name.endswith(series)]

    assert len(found) >= 4
    assert found == pytest.approx([psi] * len(found), rel=1e-9)
    assert 2.0 * 2000.0 / (float(series.split()[1]) - 1.0) == pytest.approx(psi, rel=1e-9)


@pytest.mark.parametrize(
    ("size", "psi"), [("3/4", 480), ("1", 450), ("1 1/4", 370), ("1 1/2", 330), ("2", 280)]
)
def test_ratings_of_schedule_40(size: str, psi: float) -> None:
    """Source: ASTM D1785, from memory; by 2 S t / (D - t) they are 482, 450, 368, 330 and 277."""
    assert si(pipe_size(f"{size} in PVC Sch 40").rating) / PSI == pytest.approx(psi, rel=1e-9)


@pytest.mark.parametrize(
    ("sidr", "ours", "page"),
    [("7", 157.5, 250), ("9", 126.0, 200), ("11.5", 100.8, 160), ("15", 78.75, 100), ("19", 63.0, 80)],
)  # fmt: skip
def test_polyethylene_is_rated_for_the_weaker_resin(sidr: str, ours: float, page: float) -> None:
    """Sources: 2 S / (SIDR + 1), S = 630 psi for PE3406 (Moser & Folkman); and an industry page that
    names no resin. The page's first three rows are S = 1000 psi, its last two 800: another resin, and
    no contradiction. Who knows no better must take the lower, and the catalogue does."""
    rating = si(pipe_size(f"1 in PE SIDR {sidr}").rating) / PSI
    newer = {"7": 1000, "9": 1000, "11.5": 1000, "15": 800, "19": 800}[sidr]

    assert rating == pytest.approx(ours, abs=0.051)  # the table has tenths
    assert 2.0 * newer / (float(sidr) + 1.0) == pytest.approx(page, rel=0.005)
    assert rating < page


# --- fittings


@pytest.mark.parametrize(
    ("K", "bore", "Q", "pascal", "share"),
    [
        (26.3, 0.0779, 300.0 / 60_000.0, 14_450.0, 0.01),
        (3.6, 0.1541, 500.0 / 3600.0, 1e5, 0.01),
        (10.0, 0.05, 3.0 * 0.25 * pi * 0.05**2, 45_000.0, 1e-3),
    ],
    ids=["lift check valve", "valve of Kv 500", "K 10 at 3 m/s"],
)  # fmt: skip
def test_pressure_lost_in_a_fitting(
    K: float, bore: float, Q: float, pascal: float, share: float
) -> None:
    """Sources: Crane Technical Paper 410, problems 7.5 (300 L/min, 80 mm) and 7.2 (6 in, Kv 500 is
    K 3.6); a general fluids library's K 10, 3 m/s: 45,000 Pa. In a millimetre of pipe, whose own
    friction does not count."""
    q, _ = run_flow(pascal / (1000.0 * GRAVITY), 1e-3, bore, K, ROUGHNESS, 1e-6, DARCY_WEISBACH)

    assert q == pytest.approx(Q, rel=share)


def test_velocity_head() -> None:
    """Source: a general fluids library: K 10 at 1.5 m/s loses 1.14718 m."""
    q, _ = run_flow(1.14718, 1e-4, 0.05, 10.0, ROUGHNESS, 1e-6, DARCY_WEISBACH)

    assert q / area(0.05) == pytest.approx(1.5, rel=5e-5)


# --- the quick surge that belongs to a wave speed


def joukowsky(a: float, dv: float) -> float:
    """Head [m] at which a run takes up what a stopped column brings while the wave runs its length.

    ``A L dv / a`` of water over what the run holds a metre of head: ``a dv / g`` by our `storage`.
    """
    L, D = 500.0, 0.1
    return area(D) * L * dv / a / storage(L, D, a)


def test_surge_of_an_army_manual() -> None:
    """Source: US Army TM 5-813-9, 1992, figure 4-5: 2690 ft/s, 6.48 ft/s: 544.7 ft, 236.1 psi. It
    takes g for 32, so 0.54 % over ours, and a foot for 1 / 2.307 psi."""
    rise = joukowsky(2690.0 * FOOT, 6.48 * FOOT) / FOOT

    assert rise * GRAVITY / FOOT / 32.0 == pytest.approx(544.7, rel=5e-4)
    assert rise / 2.307 == pytest.approx(236.1, rel=6e-3)


def test_surge_of_a_design_example() -> None:
    """Source: Moser & Folkman, example 4.2: DR 18, 1311 ft/s, 7 ft/s: 122 psi."""
    assert joukowsky(1311.0 * FOOT, 7.0 * FOOT) / 2.31 / FOOT == pytest.approx(122.0, rel=0.015)


def test_surge_in_open_water() -> None:
    """Source: Choudhary & Prakash, example 14.13: K 2.2 GPa, 998 kg/m3, 3 m/s: 4.445 MPa."""
    a = wave_speed(0.1, wall=1.0, E=1e20, bulk=2.2e9, rho=998.0)

    assert 998.0 * GRAVITY * joukowsky(a, 3.0) == pytest.approx(4.445e6, rel=1e-3)


@pytest.mark.parametrize(("modulus", "megapascal"), [(1e20, 3.040), (210e9, 2.482)])
def test_a_rigid_and_an_elastic_pipe(modulus: float, megapascal: float) -> None:
    """Source: Choudhary & Prakash, example 14.15: 0.6 m, 12 mm of steel, K 2.1 GPa, 2.1 m/s."""
    a = wave_speed(0.6, wall=0.012, E=modulus, bulk=2.1e9, rho=1000.0)

    assert 1000.0 * GRAVITY * joukowsky(a, 2.1) == pytest.approx(megapascal * 1e6, rel=3e-3)


def test_waves_in_open_water() -> None:
    """Source: a textbook: 4716 ft/s (1438 m/s), water of K 300,000 psi and 62.4 lb a cubic foot.

    That is sound in water at 7 degC; the handbook's bulk modulus fits it to 1.5 %.
    """
    a = wave_speed(0.1, wall=1.0, E=1e20, bulk=300_000.0 * PSI, rho=999.5)

    assert a / FOOT == pytest.approx(4716.0, rel=0.015)
