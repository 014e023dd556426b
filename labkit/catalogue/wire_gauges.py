"""Resistance of copper wire, by gauge and temperature."""

import re
from functools import cache
from typing import Final

from labkit.catalogue.table import rows
from labkit.errors import UnitError
from labkit.units import Quantity, quantity, si

_GAUGE: Final = re.compile(r"(?:no\.? ?|# ?)?(?P<number>[0-9]{1,2}) ?-?(?:awg|ga\.?|gauge)?")

WARMING: Final = 0.00393
"""Rise of copper's resistance with each kelvin, as a share of that at 20 degC [1/K] (National
Bureau of Standards, Circular 31, Copper Wire Tables; also IEC 60028; from memory)."""

TABLE_TEMPERATURE: Final = 293.15  # temperature for which the table holds [K]


@cache
def wire_gauges() -> dict[str, float]:
    """Return every gauge of the table with the resistance of one wire at 20 degC [ohm/m]."""
    thousand_feet = si(quantity("1000 ft", "ft"))
    return {
        row["gauge"]: float(row["ohm_per_1000_ft_at_20_degC"]) / thousand_feet
        for row in rows("wire_gauges.csv")
    }


def wire_gauge(typed: object) -> object:
    """Read a gauge as people write it: ``18``, ``#18``, ``18 ga`` or ``18 gauge`` is ``18 AWG``."""
    match = _GAUGE.fullmatch(str(typed)[:20].strip().lower())
    return f"{match['number']} AWG" if match and not isinstance(typed, bool) else typed


def wire_resistance(gauge: str, temperature: Quantity) -> float:
    """Return the resistance of one copper wire for each meter of it [ohm/m], as warm as its soil.

    Solid, bare copper, direct current. Stranded wire of the same gauge has some 2 % more, for its
    strands run in a spiral (NEC Chapter 9 Table 8 gives 3.07 and 3.14 for 14 AWG, from memory).
    """
    table = wire_gauges()
    known = str(wire_gauge(gauge))
    if known not in table:
        raise UnitError(f"write a wire gauge from {next(iter(table))} to {list(table)[-1]}")
    return table[known] * (1.0 + WARMING * (si(temperature) - TABLE_TEMPERATURE))
