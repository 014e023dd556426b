"""Copper wire against the printed tables, and the tables against the law of the gauges."""

from __future__ import annotations

from math import pi

import pytest

from labkit.catalogue import wire_gauges, wire_resistance
from labkit.units import quantity
from tests.customary import FOOT, INCH

THOUSAND_FEET = 1000.0 * FOOT
COPPER = 1.0 / 58.0 * 1e-6
"""Resistivity of annealed copper at 20 degC [ohm m]: IEC 60028, 1/58 ohm mm2/m (from memory)."""


def diameter(number: int) -> float:
    """Source: ASTM B258, d = 0.005 in x 92^((36 - n)/39) [m]."""
    return float(0.005 * 92.0 ** ((36 - number) / 39)) * INCH


@pytest.mark.parametrize(("number", "inches"), [(10, 0.1019), (12, 0.0808), (14, 0.0641)])
def test_the_law_of_the_gauges_gives_the_printed_diameters(number: int, inches: float) -> None:
    """Source: ASTM B258-02, printed to 0.0001 in."""
    assert diameter(number) / INCH == pytest.approx(inches, abs=6e-5)


@pytest.mark.parametrize(
    ("gauge", "printed"),
    [("14 AWG", 2.53), ("16 AWG", 4.02), ("18 AWG", 6.39), ("20 AWG", 10.15), ("22 AWG", 16.14)],
)
def test_resistance_at_20_degrees_is_the_printed_one(gauge: str, printed: float) -> None:
    """Source: standard wire tables, solid annealed copper at 20 degC, ohm per 1000 ft."""
    cool = wire_resistance(gauge, quantity("20 degC", "degF"))

    assert cool * THOUSAND_FEET == pytest.approx(printed, abs=0.005)


def test_warm_wire_has_the_resistance_of_the_code_book() -> None:
    """Source: NEC Chapter 9 Table 8, 14 AWG uncoated copper at 75 degC: 3.07 ohm per 1000 ft.

    The row at 20 degC is rounded to 0.005 in 2.53, which leaves 0.2 %; the code's own rounding as
    much again.
    """
    warm = wire_resistance("14 AWG", quantity("75 degC", "degF"))

    assert warm * THOUSAND_FEET == pytest.approx(3.07, rel=0.004)


@pytest.mark.parametrize("gauge", wire_gauges())
def test_every_row_follows_from_diameter_and_resistivity(gauge: str) -> None:
    """Closed form: resistivity over the area of ASTM B258's diameter; rows have three digits."""
    area = pi / 4.0 * diameter(int(gauge.split(maxsplit=1)[0])) ** 2

    row = wire_resistance(gauge, quantity("20 degC", "degF"))

    assert row == pytest.approx(COPPER / area, rel=0.0025)


def test_three_gauges_halve_the_resistance() -> None:
    """Closed form of ASTM B258: 92^(6/39) = 2.005, the trade's rule of three gauges."""
    row = wire_gauges()

    assert row["22 AWG"] / row["19 AWG"] == pytest.approx(92.0 ** (6 / 39), rel=0.002)
    assert row["17 AWG"] / row["14 AWG"] == pytest.approx(92.0 ** (6 / 39), rel=0.003)
