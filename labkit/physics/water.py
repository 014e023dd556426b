"""Properties of fresh water, and the air above it."""

from math import exp

from labkit.compiled import compiled
from labkit.physics import STANDARD_ATMOSPHERE


@compiled
def density(T: float) -> float:
    """Density of air-free water [kg/m3] at temperature `T` [degC], 0 to 40.

    References
    ----------
    Tanaka, Girard, Davis, Peuto & Bignell 2001, Metrologia 38:301, equation 1.
    """
    return 999.97495 * (1.0 - (T - 3.983035) ** 2 * (T + 301.797) / (522528.9 * (T + 69.34881)))


@compiled
def kinematic_viscosity(T: float) -> float:
    """Kinematic viscosity of water [m2/s] at temperature `T` [degC], 0 to 100.

    References
    ----------
    Patek, Hruby, Klomfar, Souckova & Harvey 2009, J. Phys. Chem. Ref. Data 38:21, equation 8
    (dynamic viscosity at 0.1 MPa; coefficients from memory, checked against tables in the tests).
    """
    x = (T + 273.15) / 300.0
    dynamic = 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40.0)
    return float(dynamic / density(T))


@compiled
def vapour_pressure(T: float) -> float:
    """Pressure at which water of temperature `T` [degC] boils [Pa absolute], 0 to 60 degC.

    References
    ----------
    Buck 1981, J. Appl. Meteorol. 20:1527, in the form the author revised in 1996.
    """
    return 611.21 * exp((18.678 - T / 234.5) * T / (257.14 + T))


@compiled
def bulk_modulus(T: float) -> float:
    """Resistance of water to being squeezed [Pa] at temperature `T` [degC], 0 to 95.

    Notes
    -----
    Density times the square of the speed of sound, hence for quick changes.

    References
    ----------
    Marczak 1997, J. Acoust. Soc. Am. 102:2776, fifth-degree fit of the speed of sound.
    """
    c = 1402.385 + T * (
        5.038813 + T * (-5.799136e-2 + T * (3.287156e-4 + T * (-1.398845e-6 + T * 2.787860e-9)))
    )
    return density(T) * c * c


@compiled
def air_pressure(elevation: float) -> float:
    """Pressure of the air [Pa absolute] at `elevation` above the sea [m], up to 11 000.

    References
    ----------
    ISO 2533:1975, standard atmosphere, troposphere.
    """
    return float(STANDARD_ATMOSPHERE * (1.0 - 2.25577e-5 * elevation) ** 5.25588)
