"""The one unit registry, and the closed list of unit words that people may type."""

from collections.abc import Iterator
from functools import cache
from typing import Any, Final, TypeAlias

import pint

from labkit.text import sentence

ureg: Final[pint.UnitRegistry[Any]] = pint.UnitRegistry()  # noqa: TID251 - this is the one
ureg.define("gpm = gallon / minute")
# USGS Water Science School, drip calculator: 15,140 drips a gallon
ureg.define("drip = 0.25 milliliter")
ureg.formatter.default_format = "~g"
pint.set_application_registry(ureg)  # type: ignore[no-untyped-call]

Quantity: TypeAlias = pint.Quantity[float]

_SPELLINGS: Final = {
    "psi": (
        "psi",
        "psig",
        "lb",
        "lbs",
        "#",
        "pound",
        "pounds",
        "lb/in2",
        "lbs/in2",
        "lb/sq in",
        "lbs/sq in",
        "pounds/square inch",
    ),
    "kPa": ("kilopascal", "kpa"),
    "bar": ("bar",),
    "Pa": ("pascal", "pa"),
    "ft": ("foot", "feet"),
    "in": ("inch", "inches"),
    "m": ("meter", "metre", "metres", "meters"),
    "cm": ("centimeter",),
    "mm": ("millimeter",),
    "km": ("kilometer",),
    "mi": ("mile", "miles"),
    "yd": ("yard", "yards"),
    "gpm": ("gpm", "gal/min"),
    "gph": ("gallon/hour", "gal/h", "gal/hour", "gal/hr"),
    "gal/day": ("gallon/day", "gpd", "gal/d"),
    "L/min": ("liter/minute", "l/min", "lpm"),
    "L/h": ("liter/hour",),
    "L/s": ("liter/second",),
    "L/day": ("liter/day", "l/d"),
    "mL/min": ("milliliter/minute",),
    "m3/h": ("meter**3/hour", "m^3/h"),
    "m3/s": ("meter**3/second", "m^3/s"),
    "drops/min": ("drip/minute", "drop/min", "drips/min"),
    "gal": ("gallon", "gallons", "gals"),
    "L": ("liter", "litre", "litres", "liters"),
    "mL": ("milliliter",),
    "m3": ("meter**3", "m^3"),
    "W": ("watt", "watts"),
    "kW": ("kilowatt", "kilowatts"),
    "hp": ("horsepower",),
    "W/m^2": ("watt/meter**2", "w/m2"),
    "kW/m^2": ("kilowatt/meter**2", "kw/m2"),
    "degF": ("degree_Fahrenheit", "°f", "f", "deg f", "degrees f", "fahrenheit"),
    "degC": ("degree_Celsius", "°c", "c", "deg c", "degrees c", "celsius"),
    "K": ("kelvin",),
    "s": ("second", "sec", "secs", "seconds"),
    "min": ("minute", "mins", "minutes"),
    "h": ("hour", "hr", "hrs", "hours"),
    "day": ("day", "days"),
    "deg": ("degree", "degrees", "°"),
    "rad": ("radian",),
    "turns": ("turn",),
    "ft/gpm": ("foot/gpm",),
    "m/(L/min)": ("meter*minute/liter",),
    "m/(L/s)": ("meter*second/liter",),
    "m/(m3/h)": ("meter*hour/meter**3", "m/(m^3/h)"),
    "s/m^2": ("second/meter**2", "s/m2"),
    "ft/s": ("foot/second",),
    "m/s": ("meter/second",),
    "in/day": ("inch/day", "in/d"),
    "mm/day": ("millimeter/day", "mm/d"),
    "cm/day": ("centimeter/day", "cm/d"),
    "ohm": ("ohm", "ohms", "ω"),
    "V": ("volt", "volts"),
    "MHz": ("megahertz",),
    "m2": ("meter**2", "m^2", "sq m"),
    "in2": ("inch**2", "in^2", "sq in"),
    "ft2": ("foot**2", "ft^2", "sq ft"),
    "%": ("percent",),
    "head": ("count",),
}
"""The word as we write it -> the unit as pint spells it, and other ways to type it (case apart)."""

UNITS: Final[dict[str, pint.Unit]] = {
    word: ureg.Unit(spelling) for word, (spelling, *_) in _SPELLINGS.items()
}
"""Every unit the door knows, by the word we write for it."""

WORDS: Final[dict[str, str]] = {
    typed.lower(): word for word, (_, *others) in _SPELLINGS.items() for typed in (word, *others)
} | {spelling: word for word, (spelling, *_) in _SPELLINGS.items() if spelling.isalpha()}
"""Every way to type a unit, in lower case -> the word we write for it."""

WORD_OF: Final[dict[object, str]] = {unit: word for word, unit in UNITS.items()}
"""The word we write for a unit of pint, in any of its classes."""

_PLAIN_TO_PINT: Final = (frozenset({"deg", "rad"}), frozenset({"turns"}))
"""Words that measure one kind of thing, though pint takes all of them for plain numbers."""

_KINDS: Final = {
    "psi": "pressure", "ft": "length", "gpm": "flow", "gal": "volume", "W": "power",
    "W/m^2": "irradiance", "degF": "temperature", "s": "time", "deg": "angle", "turns": "turns",
    "ft/gpm": "drawdown", "ft/s": "velocity", "in/day": "evaporation", "ohm": "resistance",
    "V": "voltage", "MHz": "frequency", "m2": "area", "%": "share",
}  # fmt: skip
"""A unit of each kind of thing that has a name, to the key of that name in the words."""


@cache
def alike(word: str, like: str) -> bool:
    """Whether two unit words measure the same kind of thing."""
    for kind in _PLAIN_TO_PINT:
        if {word, like} & kind:
            return {word, like} <= kind
    return UNITS[word].dimensionality == UNITS[like].dimensionality


@cache
def noun(like: str) -> str:
    """Name what a unit measures, such as ``"a pressure"``."""
    return sentence("units", f"kind-{_KINDS.get(like) or next(_kinds(like))}")


def measured(word: str) -> str:
    """Name what a unit measures, or nothing for one that has no name."""
    return next((sentence("units", f"kind-{kind}") for kind in _kinds(word)), "")


def _kinds(like: str) -> Iterator[str]:
    """Yield the kinds of thing that are measured like a unit."""
    return (kind for word, kind in _KINDS.items() if alike(word, like))


@cache
def choices(like: str) -> str:
    """List the unit words that measure the same kind of thing."""
    return ", ".join(word for word in UNITS if alike(word, like))
