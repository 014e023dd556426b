"""Units in which people read results: US or metric, one for each kind of thing."""

from typing import Final, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from labkit.units.registry import UNITS, Quantity, ureg

Reading = TypeVar("Reading", float, NDArray[np.float64])


class Unit(NamedTuple):
    """A unit to read results in: its label, and ``SI value = factor * reading + offset``."""

    label: str
    factor: float
    offset: float


def _unit(word: str) -> Unit:
    """Take factor and offset from the registry."""
    offset = float(ureg.Quantity(0.0, UNITS[word]).to_base_units().magnitude)
    step = ureg.Unit(f"delta_{UNITS[word]:C}") if offset else UNITS[word]
    return Unit(word, float(ureg.Quantity(1.0, step).to_base_units().magnitude), offset)


_WORDS: Final = {
    "pressure": ("psi", "kPa"),
    "flow": ("gpm", "L/min"),
    "length": ("ft", "m"),
    "head": ("ft", "m"),
    "small length": ("in", "mm"),
    "volume": ("gal", "L"),
    "power": ("W", "W"),
    "irradiance": ("W/m^2", "W/m^2"),
    "temperature": ("degF", "degC"),
    "time": ("s", "s"),
    "velocity": ("ft/s", "m/s"),
    "area": ("in2", "m2"),
    "angle": ("deg", "deg"),
    "turns": ("turns", "turns"),
    "resistance": ("ohm", "ohm"),
    "drawdown": ("ft/gpm", "m/(L/min)"),
    "daily volume": ("gal/day", "L/day"),
    "share": ("%", "%"),
    "herd": ("head", "head"),
}
"""Kind of thing -> the words of its unit, US and metric."""

UNIT_SYSTEMS: Final[dict[str, dict[str, Unit]]] = {
    system: {kind: _unit(words[place]) for kind, words in _WORDS.items()}
    for place, system in enumerate(("US", "metric"))
}
"""System ("US", "metric") -> kind of thing ("pressure", "flow", ...) -> its unit."""


def unit_label(kind: str, system: str = "US") -> str:
    """Return the label of the unit in which a kind of thing is read."""
    return UNIT_SYSTEMS[system][kind].label


def displayed(si_value: Reading, kind: str, system: str = "US") -> Reading:
    """Turn SI values, one or an array, into the unit in which a kind of thing is read."""
    unit = UNIT_SYSTEMS[system][kind]
    return (si_value - unit.offset) / unit.factor


def typed(si_value: float, kind: str, system: str = "US") -> Quantity:
    """Turn an SI value into a quantity of the unit in which a kind of thing is read."""
    return ureg.Quantity(float(displayed(si_value, kind, system)), UNITS[unit_label(kind, system)])
