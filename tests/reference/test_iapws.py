"""Water from 0 to 40 degC against `iapws`, a general library of the international formulations.

IAPWS-95 for density, speed of sound and bulk modulus, its 2008 formulation for viscosity, the saturation
curve for vapour pressure; all at the pressure of the air, as a line has it within a few bar. Our fits
are older and simpler; each tolerance is the worst of the range and says what it is worth.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from iapws import IAPWS95

from labkit.physics.pipe import wave_speed
from labkit.physics.water import bulk_modulus, density, kinematic_viscosity, vapour_pressure

AIR = 0.101325
"""Pressure of the air [MPa]."""
WARMTH = [0.5, *np.arange(5.0, 41.0, 5.0).tolist()]
"""Half a degree above ice, for the library stops at 0.00 degC."""


@pytest.mark.parametrize("T", WARMTH)
def test_density(T: float) -> None:
    """To 2 g in a cubic metre: two standards of metrology."""
    assert density(T) == pytest.approx(IAPWS95(T=T + 273.15, P=AIR).rho, abs=2e-3)


@pytest.mark.parametrize("T", WARMTH)
def test_viscosity(T: float) -> None:
    """To 0.01 %."""
    water = IAPWS95(T=T + 273.15, P=AIR)

    assert kinematic_viscosity(T) == pytest.approx(water.nu, rel=1e-4)


@pytest.mark.parametrize("T", WARMTH)
def test_vapour_pressure(T: float) -> None:
    """To 0.05 %: a pascal or two, where a line at the vapour limit is out of its model anyway."""
    assert vapour_pressure(T) == pytest.approx(IAPWS95(T=T + 273.15, x=0.0).P * 1e6, rel=5e-4)


@pytest.mark.parametrize("T", WARMTH)
def test_sound_and_bulk_modulus(T: float) -> None:
    """Sound to 0.005 %, its square times density to 0.01 %."""
    water = IAPWS95(T=T + 273.15, P=AIR)

    assert sqrt(bulk_modulus(T) / density(T)) == pytest.approx(water.w, rel=5e-5)
    assert bulk_modulus(T) == pytest.approx(water.rho * water.w**2, rel=1e-4)


@pytest.mark.parametrize("bar", [1.0, 3.5, 7.0, 14.0])
def test_the_pressure_of_a_line_changes_water_little(bar: float) -> None:
    """What a model with one density and one viscosity leaves out: up to 200 psi water is denser by
    under 0.07 %, its viscosity changes by under 0.2 %, its modulus by under 0.4 %."""
    still, pressed = (IAPWS95(T=288.15, P=p) for p in (AIR, AIR + bar / 10.0))

    assert 1.0 < pressed.rho / still.rho < 1.0007
    assert abs(pressed.nu / still.nu - 1.0) < 2e-3
    assert 1.0 < pressed.rho * pressed.w**2 / (still.rho * still.w**2) < 1.004


def test_a_stiff_pipe_carries_sound_as_open_water_does() -> None:
    """Korteweg's speed in a wall without give is the speed of sound."""
    T = 12.0
    a = wave_speed(0.035, wall=1.0, E=1e15, bulk=bulk_modulus(T), rho=density(T))

    assert a == pytest.approx(IAPWS95(T=T + 273.15, P=AIR).w, rel=2e-4)
