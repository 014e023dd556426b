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
    "US": {
        "pressure": "psi",
        "flow": "gpm",
        "length": "ft",
        "head": "ft",
        "small length": "in",
        "volume": "gal",
        "power": "W",
        "irradiance": "W/m^2",
        "temperature": "degF",
        "time": "s",
        "velocity": "ft/s",
        "area": "in2",
        "angle": "deg",
        "turns": "turns",
        "resistance": "ohm",
        "drawdown": "ft/gpm",
        "daily volume": "gal/day",
        "share": "%",
        "herd": "head",
    },
    "metric": {
        "pressure": "kPa",
        "flow": "L/min",
        "length": "m",
        "head": "m",
        "small length": "mm",
        "volume": "L",
        "power": "W",
        "irradiance": "W/m^2",
        "temperature": "degC",
        "time": "s",
        "velocity": "m/s",
        "area": "m2",
        "angle": "deg",
        "turns": "turns",
        "resistance": "ohm",
        "drawdown": "m/(L/min)",
        "daily volume": "L/day",
        "share": "%",
        "herd": "head",
    },
}

UNIT_SYSTEMS: Final[dict[str, dict[str, Unit]]] = {
    system: {kind: _unit(word) for kind, word in words.items()} for system, words in _WORDS.items()
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
