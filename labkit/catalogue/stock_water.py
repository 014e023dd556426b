"""What stock drink in a day, by kind and air temperature."""

import re
from functools import cache
from typing import Final

import numpy as np

from labkit.catalogue.table import rows
from labkit.errors import UnitError
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


_OTHERS: Final = {
    "cow with calf": (
        "cow calf", "cow and calf", "cow calf pair", "pair", "lactating cow", "nursing cow",
    ),
    "dry cow": ("pregnant cow", "pregnant dry cow"),
    "sheep": ("ewe", "ram", "lamb"),
    "goat": ("doe", "kid"),
    "horse": ("mare", "gelding", "stallion"),
}  # fmt: skip
"""Other names of kinds in the table, in the singular."""

_NEAREST: Final = {
    "cow": ("cow with calf", "dry cow"),
    "cattle": ("cow with calf", "dry cow", "growing calf 600 lb"),
    "calf": ("growing calf 400 lb", "growing calf 600 lb"),
    "heifer": ("growing calf 600 lb", "growing calf 800 lb", "dry cow"),
    "yearling": ("growing calf 600 lb", "growing calf 800 lb"),
    "stocker": ("growing calf 600 lb", "growing calf 800 lb"),
    "steer": ("finishing steer 800 lb", "finishing steer 1000 lb"),
    "bull": ("finishing steer 1000 lb", "cow with calf"),
}
"""Names that say too little, to the kinds nearest to them; weight decides (judgement)."""

_SINGULAR: Final = {"calves": "calf", "cows": "cow", "sheep": "sheep"}


def stock_kind(typed: object) -> object:
    """Read a kind of stock, in any case, in the plural, or by another name.

    Raises
    ------
    UnitError
        For a name that could be several kinds; the sentence names them.
    """
    if not isinstance(typed, str):
        return typed
    plain = re.sub("(?<=[0-9])(?=lb)", " ", re.sub("[^a-z0-9]+", " ", typed[:60].lower())).strip()
    words = [_SINGULAR.get(word, word.removesuffix("s")) for word in plain.split()]
    name = frozenset(words)  # the order says nothing: "600 lb growing calf"
    meant = {frozenset(kind.split()): kind for kind in stock_kinds()}
    meant |= {frozenset(other.split()): kind for kind, all_ in _OTHERS.items() for other in all_}
    if name in meant:
        return meant[name]
    if near := _NEAREST.get(" ".join(words)):
        kinds = " or ".join(map(repr, near))
        raise UnitError(f"that can be several kinds; write {kinds}")
    return typed


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
