"""How the fields of a part read and check what they are given.

A field's converter reads a typed value, its validator holds it to a range. The limits of a
quantity say in which unit it is read, a `Literal` which words it takes. `name_errors` sees to both,
and lets the complaint of a converter say which part and field it is about. Converters accept what
they produce, for a changed copy of a part reads every field again.
"""

import math
import re
from collections.abc import Callable, Iterable
from difflib import SequenceMatcher
from typing import Any, Final, Literal, TypeAlias, get_args, get_origin

import attrs
import pint

from labkit.catalogue import pipe_size, stock_kind, wire_gauge
from labkit.errors import LONGEST, Said, SiteError, UnitError
from labkit.text import sentence
from labkit.units import (
    FlowAt,
    LeakSize,
    Quantity,
    Typed,
    flow_at,
    leak_size,
    quantity,
    si,
    written,
)

Field: TypeAlias = "attrs.Attribute[Any]"
Check: TypeAlias = Callable[[Any, Field, Any], None]

_KEYS: Final = {
    "from_": "from",
    "pipes": "pipe",
    "troughs": "trough",
    "leaks": "leak",
    "level_sensors": "level_sensor",
}
MOST_LISTED: Final = 16
"""Of more words than this only the nearest is told."""
_ALIKE: Final = 0.75
_NAME: Final = re.compile(r"[^\W_](?:[\w -]{0,28}[\w-])?")


def called(part: object) -> str:
    """Name a part, or a class of parts, in the trade's words."""
    return str(getattr(part, "CALLED", "site"))


def name_errors(_cls: type, fields: list[Field]) -> list[Field]:
    """Let the converters of a class name part and field in errors, and hold words to their type."""
    return [_completed(field) for field in fields]


def _completed(field: Field) -> Field:
    if get_origin(field.type) is Literal:
        field = field.evolve(validator=one_of(*get_args(field.type)))
    if field.converter is None:
        return field
    unit = getattr(field.validator, "unit", None)
    return field.evolve(converter=_naming(field.converter, unit))


def _naming(read: Any, unit: str | None) -> Any:
    def reads(value: Any, part: Any, field: Field) -> Any:
        try:
            given = read(value)
            is_left_out = given is None and field.default is None
            return given if unit is None or is_left_out else quantity(given, unit)
        except UnitError as problem:
            raise field_error(part, field.name, value, str(problem)) from None

    return attrs.Converter(reads, takes_self=True, takes_field=True)


def reads(field: Field, value: Any, part: Any) -> Any:
    """Read a value as a field of a part would, or complain as it would."""
    converter: Any = field.converter  # made by _naming
    return converter.converter(value, part, field)


def key_of(field: str) -> str:
    """Return a field's key in a site file: ``from_`` goes as ``from``, ``pipes`` as ``pipe``."""
    return _KEYS.get(field, field)


# --- reading ---


def measured(typed: Typed) -> Any:
    """Take a quantity; the limits that its field has say in which unit it is read."""
    return typed


def rated(typed: FlowAt | str) -> FlowAt:
    """Read a flow at a pressure, such as ``6 gpm at 20 psi``."""
    return flow_at(typed)


def leak(typed: LeakSize | str) -> LeakSize:
    """Read the size of a leak, such as ``0.1 gpm at 30 psi`` or ``1 mm hole``."""
    return leak_size(typed)


def pipe(typed: str) -> str:
    """Read a pipe size; it must stand in the table of sizes, and is kept as written."""
    if not _is_a(typed, str):
        raise UnitError("write a pipe size in quotes, such as '1 1/4 in PE SIDR 15'")
    pipe_size(typed)
    return typed


def stock(typed: str) -> Any:
    """Read a kind of stock; what is none of the table is left for its validator to judge."""
    return stock_kind(typed)


def gauge(typed: str) -> Any:
    """Read a wire gauge, such as ``18 AWG``, ``18 ga`` or ``#18``."""
    return wire_gauge(typed)


def number(typed: float) -> float:
    """Read a plain number, one without a unit."""
    if not _is_a(typed, int | float) or not abs(typed) < 1e12:
        raise UnitError("write a plain number without quotes or unit, such as 0.85")
    return float(typed)


def count(typed: int) -> int:
    """Read a whole number."""
    if not _is_a(typed, int) or not abs(typed) < 10**9:
        raise UnitError("write a whole number without quotes, such as 40")
    return typed


def name(typed: str) -> str:
    """Read the name of a trough or a tee."""
    if not is_name(typed):
        raise UnitError(
            "write a name of at most 30 letters, digits, spaces, '-' or '_' that begins with"
            " a letter or digit, such as 'north'"
        )
    return typed


def word(typed: str) -> str:
    """Take a word as it is, for its validator to judge; without this a number would become one."""
    return typed


def spelled(*words: str, **others: str) -> Callable[[Any], Any]:
    """Return a reader of words in any case, and of other ways to say them (``_`` for a blank)."""
    meant = {one.lower(): one for one in words}
    meant |= {other.replace("_", " "): one for other, one in others.items()}

    def read(typed: Any) -> Any:
        if not isinstance(typed, str):
            return typed
        return meant.get(" ".join(typed[:LONGEST].lower().replace("-", " ").split()), typed)

    return read


def one_line(typed: str) -> str:
    """Read a line of text."""
    if not _is_a(typed, str) or not typed.isprintable() or not 0 < len(typed) <= 80:
        raise UnitError("write a line of 1 to 80 printable characters, such as 'Windy Bench'")
    return typed


def is_name(typed: object) -> bool:
    """Whether something may name a trough or a tee."""
    return isinstance(typed, str) and _NAME.fullmatch(typed[:LONGEST]) is not None


def _is_a(value: object, kind: Any) -> bool:
    """Whether a value is of a kind; true and false are no numbers."""
    return isinstance(value, kind) and not isinstance(value, bool)


# --- checking ---


@attrs.frozen
class _Between:
    low: float
    high: float
    told: str  # both limits as they are told
    unit: str
    of: str | None

    def __call__(self, part: Any, field: Field, value: Any) -> None:
        held: Quantity | None = value if self.of is None else getattr(value, self.of)
        if held is not None and not self.low <= si(held) <= self.high:
            which = "it" if self.of is None else f"its {self.of}"
            shown = value if self.of is None else Said(str(value))
            raise field_error(part, field.name, shown, f"{which} must lie between {self.told}")


def between(least: str, most: str, *, like: str | None = None, of: str | None = None) -> Check:
    """Hold a quantity between two limits, both allowed, and have it read in their unit, or `like`.

    Nothing given is left alone. `of` names an attribute of the value that is held, in place of the
    value itself.
    """
    unit = like or least.rsplit(maxsplit=1)[-1]
    low, high = (si(quantity(limit, unit)) for limit in (least, most))
    return _Between(low, high, f"{least} and {most}", unit, of)


def within(low: float, high: float) -> Check:
    """Hold a plain number between two limits, both allowed; nothing given is left alone."""

    def check(part: Any, field: Field, value: float | None) -> None:
        if value is not None and not low <= value <= high:
            shown = Said(f"{value:g}") if math.isfinite(value) and abs(value) < 1e300 else value
            raise field_error(part, field.name, shown, f"it must lie between {low:g} and {high:g}")

    return check


def flow_between(least: str, most: str) -> Check:
    """Hold the flow of a flow at a pressure; its pressure must be one that a line can have."""
    of_rated = between(least, most, of="flow"), between("0.5 psi", "500 psi", of="pressure")
    of_hole = (between("0 mm", "25 mm", of="diameter"),)

    def check(part: Any, field: Field, value: Any) -> None:
        for one in of_rated if isinstance(value, FlowAt) else of_hole:
            one(part, field, value)

    return check


def one_of(*choices: str) -> Check:
    """Hold a word to a list, which is told."""

    def check(part: Any, field: Field, value: str) -> None:
        if not _is_a(value, str) or value not in choices:
            raise field_error(part, field.name, value, f"write {listed(choices, value)}")

    return check


def listed(choices: Iterable[str], typed: object) -> str:
    """Say what may stand in place of a word: each choice, and the nearest if it is near."""
    words = list(choices)
    if len(words) <= 4:
        return " or ".join(repr(word) for word in words)
    near = nearest(words, typed)
    if len(words) > MOST_LISTED:
        return sentence("units", "nearest", near=repr(near))
    is_alike = SequenceMatcher(None, near, str(typed)[:LONGEST]).ratio() > _ALIKE
    return f"one of {', '.join(map(repr, words))}" + (f"; perhaps {near!r}" if is_alike else "")


def nearest(words: Iterable[str], typed: object) -> str:
    """Return the known word that looks most like a typed one, as a whole or in a piece."""
    looks = SequenceMatcher(b=str(typed)[:LONGEST])

    def likeness(word: str) -> float:
        ratios = []
        for piece in (word, *word.split("_")):
            looks.set_seq1(piece)
            ratios.append(looks.ratio())
        return max(ratios)

    return max(words, key=likeness)


def ordered(part: Any, lower: str, upper: str) -> None:
    """Hold one field of a part below another."""
    low, high = getattr(part, lower), getattr(part, upper)
    if not si(low) < si(high):
        raise field_error(part, lower, low, f"it must be below {upper} {written(high)}")


def field_error(
    part: Any, field: str, value: Any, rule: str, *, key: str | None = None
) -> SiteError:
    """Make the error for a rule that a field breaks; a quantity is shown as it was written.

    `key` leads to the field where that is more than its name.
    """
    shown = Said(written(value)) if isinstance(value, pint.Quantity) else value
    return SiteError(called(part), key_of(field), shown, rule, key=key)
