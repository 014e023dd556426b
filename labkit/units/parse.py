"""The door: typed text to quantity, quantity to text, quantity to plain SI number.

A text is a number and one word of a closed list; the unit library's own expression reader never
sees it, because that one takes ``1 1/4 in`` for a quarter inch and hangs on ``9**9**9 ft``.
"""

import math
from functools import cache
from numbers import Real
from typing import Any, Final, TypeAlias

import pint
from pint.util import UnitsContainer

from labkit.errors import NoUnitError, SiteError, UnitError
from labkit.units.registry import UNITS, WORD_OF, Quantity, alike, choices, noun, ureg
from labkit.units.written import read, wrong_kind

Typed: TypeAlias = Quantity | str  # what the door takes: a text such as ``"30 psi"``, or a quantity

LONGEST_TEXT: Final = 60


def quantity(typed: Typed, like: str) -> Quantity:
    """Read a typed quantity such as ``"1 1/4 in"`` or ``"30 psi"``; it is kept as written.

    A mixed number such as ``1 1/4``, ``1-1/4`` or ``1¼`` is one number. `like` is a unit word that
    measures what is wanted, such as ``"psi"`` for a pressure. UnitError is for anything but a
    finite number with a known unit that measures what `like` does.

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
    try:
        number, word = read(text)
    except NoUnitError as problem:
        advice = f"it has no unit; {_advice(like, problem.number)}"
        raise NoUnitError(problem.number, advice) from None
    except UnitError as problem:
        raise UnitError(f"{problem}{_advice(like)}") from None
    if not alike(word, like):
        raise UnitError(f"{wrong_kind(word)}{_advice(like)}")
    value = ureg.Quantity(number, UNITS[word])
    value.typed = text  # type: ignore[attr-defined]  # to be saved as it was written
    return value


def read_argument(typed: Any, like: str, *, part: str, field: str) -> Quantity:
    """Return what was handed to a function as a quantity, or raise SiteError with its name."""
    try:
        return quantity(typed, like)
    except UnitError as problem:
        raise SiteError(part, field, typed, str(problem)) from None


def written(value: Quantity) -> str:
    """Write a quantity as it was typed, or else as a number and a word that reads back as equal."""
    typed = vars(value).get("typed")
    if typed is not None:
        return str(typed)
    word = WORD_OF.get(value.units)
    return f"{value}" if word is None else f"{plain(float(value.magnitude))} {word}"


def plain(number: float) -> str:
    """Write a number so that it reads back as the same number, without a useless ``.0``."""
    return repr(number).removesuffix(".0")


def si(value: Quantity) -> float:
    """Return a quantity as a plain number in SI: m, s, Pa, m3/s, W, K; angles in radians."""
    zero, step = _scale(value._units)  # noqa: SLF001 - `units` makes a new unit at each call
    return zero + step * float(value.magnitude)


@cache
def _scale(unit: UnitsContainer) -> tuple[float, float]:
    """Return zero and one of a unit in SI, worked out once, for pint is slow."""
    zero = float(ureg.Quantity(0.0, unit).to_base_units().magnitude)
    return zero, float(ureg.Quantity(1.0, unit).to_base_units().magnitude) - zero


def _checked(value: Quantity, like: str) -> Quantity:
    """Hold a ready-made quantity to the same rules as a typed one."""
    word = WORD_OF.get(value.units)
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


def _advice(like: str, number: str = "30") -> str:
    """Say what to write for a thing that is measured like a unit."""
    return f"write {noun(like)} as a number and a unit, such as '{number} {like}' ({choices(like)})"


def plain_number(typed: object) -> float:
    """Return a number without a unit as it was handed over, and NaN for what is no number."""
    if isinstance(typed, bool) or not isinstance(typed, Real):
        return math.nan
    return float(typed)
