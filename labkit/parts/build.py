"""Parts from tables of plain values, and back: for site files, and for changes in a lesson."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final, Literal, TypeVar, get_args, get_origin

import attrs
import cattrs
from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override

from labkit.errors import MISSING, UNKNOWN, SiteError
from labkit.parts import fields as f
from labkit.parts.pumping import CentrifugalPump, DisplacementPump, Pump
from labkit.units import FlowAt, LeakSize, Quantity, written

Part = TypeVar("Part")

PUMPS: Final = {"centrifugal": CentrifugalPump, "positive displacement": DisplacementPump}
"""Kind of pump, as a table names it -> its class."""


def build(cls: Any, table: object) -> Any:
    """Make a part, or several, from plain values; a part that is ready-made stays as it is.

    Raises
    ------
    SiteError
        With the dotted key, within the table, of the value that is refused.
    """
    if get_origin(cls) is tuple and not isinstance(table, list | tuple):
        raise SiteError(f.called(get_args(cls)[0]), "", table, "write a list of tables")
    try:
        return _CONVERTER.structure(table, cls)
    except (SiteError, cattrs.BaseValidationError) as problem:
        raise _first(problem, table) from None


def table_of(part: object) -> dict[str, Any]:
    """Give a part as a table of plain values, without what stands at its default."""
    table: dict[str, Any] = _CONVERTER.unstructure(part)
    return table


def keys_of(cls: type) -> dict[str, f.Field]:
    """Give the fields of a class of parts by the keys they have in a site file."""
    return {f.key_of(field.name): field for field in attrs.fields(cls)}


def known(key: str, cls: type) -> f.Field:
    """Give the field that a key names, or complain with the nearest key."""
    keys = keys_of(cls)
    if key not in keys:
        raise SiteError(
            f.called(cls), key, UNKNOWN, f"the nearest known key is {f.nearest(keys, key)!r}"
        )
    return keys[key]


def is_many(field: f.Field) -> bool:
    """Say whether a field holds any number of parts, which a file writes as ``[[pipe]]``."""
    return get_origin(field.type) is tuple and field.converter is None


def _structure(cls: type) -> Callable[[Any, type], Any]:
    """Read a table into a class, key by key."""
    renamed: dict[str, Any] = {
        field.name: override(rename=key) for key, field in keys_of(cls).items() if key != field.name
    }
    read: Callable[[Any, type], Any] = make_dict_structure_fn(cls, _CONVERTER, **renamed)

    def structure(table: Any, _: type) -> Any:
        if isinstance(table, cls):
            return table
        _check_keys(cls, table)
        return read(table, cls)

    return structure


def _check_keys(cls: type, table: Any) -> None:
    """Refuse what is no table, unknown and missing keys, and one part where several may be."""
    if not isinstance(table, Mapping):
        raise SiteError(f.called(cls), "", table, "write it as a table of keys and values")
    for key, value in table.items():
        if is_many(known(key, cls)) and not isinstance(value, list | tuple):
            raise SiteError(
                f.called(cls), key, value, f"write each one as a table of its own, under [[{key}]]"
            )
    for key, field in keys_of(cls).items():
        if field.default is attrs.NOTHING and key not in table:
            raise SiteError(f.called(cls), key, MISSING, _wanted(field, cls))


def _wanted(field: f.Field, cls: type) -> str:
    """Say what belongs in a field, in the words of the field itself when it is given nothing."""
    if is_many(field):
        return f"write each one as a table of its own, under [[{f.key_of(field.name)}]]"
    try:
        if field.converter is not None:
            f.reads(field, None, cls)
        if field.validator is not None:
            field.validator(cls, field, None)
    except SiteError as problem:
        return problem.rule
    return f"write the table {f.key_of(field.name)}"


def _unstructure(cls: type) -> Callable[[Any], dict[str, Any]]:
    """Write a part as a table in the order of its fields, without those at their defaults."""
    keys = keys_of(cls)
    renamed: dict[str, Any] = {
        field.name: override(rename=key, omit_if_default=key != "kind")
        for key, field in keys.items()
    }
    write: Callable[[Any], dict[str, Any]] = make_dict_unstructure_fn(cls, _CONVERTER, **renamed)

    def unstructure(part: Any) -> dict[str, Any]:
        table = write(part)
        return {key: table[key] for key in keys if key in table}

    return unstructure


def _pump(table: Any, _: type) -> Any:
    """Read a pump of the kind that its table names."""
    if isinstance(table, CentrifugalPump | DisplacementPump):
        return table
    if not isinstance(table, Mapping):
        raise SiteError("pump", "", table, "write it as a table of keys and values")
    kind = table.get("kind", MISSING)
    if not isinstance(kind, str) or kind not in PUMPS:
        raise SiteError("pump", "kind", kind, f"write {f.listed(PUMPS, kind)}")
    return _CONVERTER.structure(table, PUMPS[kind])


def _first(problem: BaseException, table: Any, way: tuple[str, ...] = ()) -> BaseException:
    """Find the first thing that a part complained of, and the keys that lead to it."""
    if isinstance(problem, SiteError):
        return problem.located(key=".".join((*way, problem.key or problem.field)).strip("."))
    if not isinstance(problem, cattrs.BaseValidationError):
        return problem
    inner = problem.exceptions[0]
    for note in getattr(inner, "__notes__", ()):
        step = getattr(note, "name", getattr(note, "index", None))
        if step is not None:
            label, below = _step(step, table)
            return _first(inner, below, (*way, label))
    return _first(inner, table, way)


def _step(step: str | int, table: Any) -> tuple[str, Any]:
    """Name a step into a table, and give what lies there; one of a list goes by name or number."""
    if isinstance(step, int):
        item = table[step]
        names: Iterable[Any] = (
            (item.get(key) for key in ("name", "to", "at", "trough"))
            if isinstance(item, Mapping)
            else ()
        )
        return str(next((name for name in names if f.is_name(name)), step + 1)), item
    key = f.key_of(step)
    return key, table[key] if isinstance(table, Mapping) else None


def _is_word(cls: Any) -> bool:
    return cls is str or get_origin(cls) is Literal


def _is_part(cls: Any) -> bool:
    return isinstance(cls, type) and hasattr(cls, "CALLED")


_CONVERTER: Final = cattrs.Converter(prefer_attrib_converters=True)
_CONVERTER.register_structure_hook_factory(_is_part, _structure)
_CONVERTER.register_unstructure_hook_factory(_is_part, _unstructure)
_CONVERTER.register_structure_hook(Pump, _pump)
_CONVERTER.register_structure_hook_func(_is_word, lambda value, _: value)
_CONVERTER.register_unstructure_hook_func(lambda cls: cls == Quantity, written)
_CONVERTER.register_unstructure_hook_func(lambda cls: cls is FlowAt or cls == LeakSize, str)
