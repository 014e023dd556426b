"""The door: typed text to quantity, quantity to text, quantity to plain SI number.

A text is a number and one word of a closed list; the unit library's own expression reader never
sees it, for that one takes ``1 1/4 in`` for a quarter inch and hangs on ``9**9**9 ft``.
"""

import math
import re
from fractions import Fraction
from functools import cache
from numbers import Real
from typing import Any, Final, TypeAlias

import pint

from labkit.errors import UnitError
from labkit.units.registry import UNITS, WORDS, Quantity, alike, choices, noun, ureg, word_of

Typed: TypeAlias = Quantity | str
"""What the door takes: a text such as ``"30 psi"``, or a quantity."""

LONGEST_TEXT: Final = 60
_FRACTIONS: Final = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_PLAIN: Final = str.maketrans(
    {"\N{MINUS SIGN}": "-", "\N{FRACTION SLASH}": "/", "²": "^2", "³": "3"}
    | {sign: f" {fraction}" for sign, fraction in _FRACTIONS.items()}
)
_NUMBER: Final = (
    r"(?P<sign>[+-]?) ?(?:"
    r"(?:(?P<whole>[0-9]{1,6})[ -])?(?P<over>[0-9]{1,3})/(?P<under>[1-9][0-9]{0,2})"
    r"|(?P<decimal>(?:[0-9]{1,17}(?:\.[0-9]{0,25})?|\.[0-9]{1,25})(?:e[+-]?[0-9]{1,3})?))"
)
_TYPED: Final = re.compile(_NUMBER + r" ?(?P<unit>%|[a-z°][a-z0-9/^()°]{0,9})")


def quantity(typed: Typed, like: str) -> Quantity:
    """Read a typed quantity such as ``"1 1/4 in"`` or ``"30 psi"``; it is kept as written.

    Parameters
    ----------
    typed : str or Quantity
        A number and a unit; a mixed number such as ``1 1/4``, ``1-1/4`` or ``1¼`` is one number.
    like : str
        A unit word that measures what is wanted, such as ``"psi"`` for a pressure.

    Returns
    -------
    Quantity
        In the unit that was typed.

    Raises
    ------
    UnitError
        For anything but a finite number with a known unit that measures what `like` does.

    Examples
    --------
    >>> quantity("1 1/4 in", "ft").to("mm").magnitude
    31.75
    >>> written(quantity("1 1/4 in", "ft"))
    '1 1/4 in'
    """
    if isinstance(typed, pint.Quantity):
        return _checked(typed, like)
    if not isinstance(typed, str):
        raise UnitError(_advice(like))
    if len(typed) > LONGEST_TEXT:
        raise UnitError(f"it is longer than any quantity; {_advice(like)}")
    text = " ".join(typed.split())
    match = _TYPED.fullmatch(" ".join(text.translate(_PLAIN).lower().split()))
    word = WORDS.get(match["unit"]) if match else None
    number = _number(match) if match else math.nan
    if word is None or not math.isfinite(number) or not alike(word, like):
        comma = "a number has a decimal point and no comma; " if "," in text else ""
        raise UnitError(f"{comma}{_advice(like)}")
    return _remembering(ureg.Quantity(number, UNITS[word]), text)


def written(value: Quantity) -> str:
    """Write a quantity as it was typed, or else as a number and a word that reads back as equal."""
    typed = vars(value).get("typed")
    if typed is not None:
        return str(typed)
    word = word_of(value.units)
    return f"{value}" if word is None else f"{plain(float(value.magnitude))} {word}"


def plain(number: float) -> str:
    """Write a number so that it reads back as the same number, without a useless ``.0``."""
    return repr(number).removesuffix(".0")


def si(value: Quantity) -> float:
    """Give a quantity as a plain number in SI: m, s, Pa, m3/s, W, K; angles in radians."""
    zero, step = _scale(value.units)
    return zero + step * float(value.magnitude)


@cache
def _scale(unit: pint.Unit) -> tuple[float, float]:
    """Give zero and one of a unit in SI, worked out once, for pint is slow."""
    zero = float(ureg.Quantity(0.0, unit).to_base_units().magnitude)
    return zero, float(ureg.Quantity(1.0, unit).to_base_units().magnitude) - zero


def _number(match: re.Match[str]) -> float:
    """Turn the number part of a match into a float; the sign holds for the whole of it."""
    if match["decimal"]:
        size = float(match["decimal"])
    else:
        size = float(int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"])))
    return -size if match["sign"] == "-" else size


def _checked(value: Quantity, like: str) -> Quantity:
    """Hold a ready-made quantity to the same rules as a typed one."""
    word = word_of(value.units)
    if word is None and not value.dimensionless and value.is_compatible_with(UNITS[like]):
        value, word = value.to(UNITS[like]), like
    if word is None or not alike(word, like):
        raise UnitError(_advice(like))
    number: Any = value.magnitude  # the type says float, but people make others
    if type(number) is float and math.isfinite(number):
        return value
    if not isinstance(number, Real) or not math.isfinite(number):
        raise UnitError(f"it must be one finite number; {_advice(like)}")
    return ureg.Quantity(float(number), UNITS[word])


def _remembering(value: Quantity, text: str) -> Quantity:
    """Let a quantity remember how it was typed, so that it can be saved as it was."""
    value.typed = text  # type: ignore[attr-defined]
    return value


def _advice(like: str) -> str:
    """Say what to write for a thing that is measured like a unit."""
    return f"write {noun(like)} as a number and a unit, such as '30 {like}' ({choices(like)})"


def plain_number(typed: object) -> float:
    """Give a number without a unit as it was handed over, and NaN for what is no number."""
    if isinstance(typed, bool) or not isinstance(typed, Real):
        return math.nan
    return float(typed)
