"""What stock drink in a day, by kind and air temperature."""

from functools import cache

import numpy as np

from labkit.catalogue.table import rows
from labkit.units import UNITS, Quantity, ureg


@cache
def _needs() -> dict[str, tuple[list[float], list[float]]]:
    """Give, for each kind, air temperatures [degF] and needs [gal/day]."""
    table: dict[str, tuple[list[float], list[float]]] = {}
    for row in rows("stock_water.csv"):
        temperatures, needs = table.setdefault(row["kind"], ([], []))
        temperatures.append(float(row["air_temperature_degF"]))
        needs.append(float(row["need_gal_per_day"]))
    return table


def stock_kinds() -> tuple[str, ...]:
    """Name the kinds of stock in the table."""
    return tuple(_needs())


def daily_need(kind: str, air_temperature: Quantity) -> Quantity:
    """Give the water that one head drinks, as a flow in gallons a day.

    Notes
    -----
    Straight lines between the table's temperatures; beyond its first and last the need is held,
    which is too little on days hotter than the table.
    """
    temperatures, needs = _needs()[kind]
    warmth = float(air_temperature.to("degF").magnitude)
    return ureg.Quantity(float(np.interp(warmth, temperatures, needs)), UNITS["gal/day"])
