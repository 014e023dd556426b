"""Water of any temperature against printed tables."""

from __future__ import annotations

from math import sqrt

import pytest

from labkit.physics.water import bulk_modulus, density, kinematic_viscosity, vapour_pressure
from tests.customary import FOOT, POUND, PSI

STEAM_TABLE = {
    1.0: (999.90, 1.7310, 0.657, 1.980),
    5.0: (999.97, 1.5182, 0.873, 2.034),
    10.0: (999.70, 1.3059, 1.228, 2.094),
    15.0: (999.10, 1.1376, 1.706, 2.147),
    20.0: (998.21, 1.0016, 2.339, 2.193),
    25.0: (997.05, 0.8900, 3.170, 2.234),
}
"""degC -> density kg/m3, viscosity mPa s, vapour pressure kPa, adiabatic bulk modulus GPa.

IAPWS formulations (IAPWS-95, 2008 viscosity), two libraries that agree to five digits."""


@pytest.mark.parametrize("T", STEAM_TABLE)
def test_the_international_formulations(T: float) -> None:
    """Source: see `STEAM_TABLE`; tolerance: its digits, and 0.1 % for the three fits that we use."""
    rho, mu, p, K = STEAM_TABLE[T]

    assert density(T) == pytest.approx(rho, abs=0.02)
    assert kinematic_viscosity(T) * density(T) * 1e3 == pytest.approx(mu, rel=1e-3)
    assert vapour_pressure(T) / 1e3 == pytest.approx(p, rel=1.5e-3)
    assert bulk_modulus(T) / 1e9 == pytest.approx(K, abs=0.001)


@pytest.mark.parametrize(
    ("T", "rho", "mu", "p", "c"),
    [
        (0.0, 999.8, 1.792, 0.611, 1402),
        (10.0, 999.7, 1.307, 1.228, 1448),
        (20.0, 998.2, 1.002, 2.339, 1483),
        (30.0, 995.7, 0.797, 4.247, 1510),
    ],
)
def test_a_table_of_water_data(T: float, rho: float, mu: float, p: float, c: float) -> None:
    """Source: London South Bank University, water data (M. Chaplin); c is the speed of sound."""
    assert density(T) == pytest.approx(rho, abs=0.06)
    assert kinematic_viscosity(T) * density(T) * 1e3 == pytest.approx(mu, rel=1.5e-3)
    assert vapour_pressure(T) / 1e3 == pytest.approx(p, rel=1.5e-3)
    assert sqrt(bulk_modulus(T) / density(T)) == pytest.approx(c, abs=1.1)


def test_slow_and_quick_squeezing_differ() -> None:
    """Source: the same site: compressibility .4589 / GPa at 20 degC, that is 2.18 GPa. It is taken
    at constant temperature; a pressure wave is too quick for that, so ours is 0.7 % stiffer (the
    ratio of the heat capacities of water at 20 degC is 1.007)."""
    assert bulk_modulus(20.0) / (1e9 / 0.4589) == pytest.approx(1.0066, abs=0.001)


def test_water_of_60_degrees_fahrenheit() -> None:
    """Source: Crane Technical Paper 410: 0.256 psi, 62.364 lb in a cubic foot (an older table, 0.01 %)."""
    T = (60.0 - 32.0) / 1.8

    assert density(T) / (POUND / FOOT**3) == pytest.approx(62.364, abs=0.01)
    assert vapour_pressure(T) / PSI == pytest.approx(0.256, abs=0.0006)
