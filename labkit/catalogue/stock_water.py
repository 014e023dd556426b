"""What stock drink in a day, by kind and air temperature."""

import re
from functools import cache
from typing import Final

import numpy as np

from labkit.catalogue.table import curves, rows
from labkit.errors import UnitError
from labkit.units import UNITS, Quantity, ureg


def _needs() -> dict[str, tuple[list[float], list[float]]]:
    """Return, for each kind, air temperatures [degF] and needs [gal/day]."""
    return curves("stock_water.csv", "kind", "air_temperature_degF", "need_gal_per_day")


def stock_kinds() -> tuple[str, ...]:
    """Name the kinds of stock in the table."""
    return tuple(_needs())


_SINGULAR: Final = {"calves": "calf", "cows": "cow", "sheep": "sheep"}


def stock_kind(typed: object) -> object:
    """Return a kind of stock, in any case, in the plural, or by another name.

    UnitError names the several kinds that a name could be.
    """
    if not isinstance(typed, str):
        return typed
    plain = re.sub("(?<=[0-9])(?=lb)", " ", re.sub("[^a-z0-9]+", " ", typed[:60].lower())).strip()
    words = [_SINGULAR.get(word, word.removesuffix("s")) for word in plain.split()]
    name = frozenset(words)  # the order says nothing: "600 lb growing calf"
    meant = {frozenset(kind.split()): kind for kind in stock_kinds()}
    if name in meant:
        return meant[name]
    kinds = _names().get(name, ())
    if len(kinds) > 1:
        raise UnitError(f"that can be several kinds; write {' or '.join(map(repr, kinds))}")
    return kinds[0] if kinds else typed


@cache
def _names() -> dict[frozenset[str], list[str]]:
    """Return other names of stock, as their words, with the kinds that each can mean."""
    table = rows("stock_names.csv")
    return {frozenset(row["name"].split()): row["kinds"].split("; ") for row in table}


def daily_need(kind: str, air_temperature: Quantity) -> Quantity:
    """Return the water that one head drinks, as a flow in gallons a day.

    Straight lines between the table's temperatures; beyond its first and last the need is held,
    which is too little on days hotter than the table.
    """
    temperatures, needs = _needs()[kind]
    warmth = float(air_temperature.to("degF").magnitude)
    return ureg.Quantity(float(np.interp(warmth, temperatures, needs)), UNITS["gal/day"])
