"""Parts from tables of plain values, and back: for site files, and for changes in a lesson."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final, Literal, TypeVar, get_args, get_origin

import attrs
import cattrs
from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override

from labkit.errors import MISSING, UNKNOWN, SiteError, SiteErrors, together
from labkit.parts import fields as f
from labkit.parts.pumping import CentrifugalPump, DisplacementPump, Pump
from labkit.units import FlowAt, LeakSize, Quantity, written

Part = TypeVar("Part")

PUMPS: Final = {"centrifugal": CentrifugalPump, "positive displacement": DisplacementPump}
"""Kind of pump, as a table names it -> its class."""

_PUMP_KIND: Final = f.spelled(
    *PUMPS,
    **dict.fromkeys(
        ("displacement", "positive_displacement", "helical_rotor", "piston", "diaphragm"),
        "positive displacement",
    ),
)


def build(cls: Any, table: object) -> Any:
    """Make a part, or several, from plain values; a part that is ready-made stays as it is.

    SiteError has the dotted key, within the table, of the value that is refused; every complaint
    that does not hang on another one comes with it.
    """
    if get_origin(cls) is tuple and not isinstance(table, list | tuple):
        raise SiteError(f.called(get_args(cls)[0]), "", table, "write a list of tables")
    try:
        return _CONVERTER.structure(table, cls)
    except (SiteError, cattrs.BaseValidationError) as problem:
        raise _complaint(problem, table) from None


def table_of(part: object) -> dict[str, Any]:
    """Return a part as a table of plain values, without what stands at its default."""
    table: dict[str, Any] = _CONVERTER.unstructure(part)
    return table


def keys_of(cls: type) -> dict[str, f.Field]:
    """Return the fields of a class of parts by the keys they have in a site file."""
    return {f.key_of(field.name): field for field in attrs.fields(cls)}


def known(key: str, cls: type) -> f.Field:
    """Return the field that a key names, or complain with the nearest key."""
    keys = keys_of(cls)
    if key not in keys:
        raise SiteError(
            f.called(cls), key, UNKNOWN, f"the nearest known key is {f.nearest(keys, key)!r}"
        )
    return keys[key]


def is_many(field: f.Field) -> bool:
    """Whether a field holds any number of parts, which a file writes as ``[[pipe]]``."""
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
        wrong = _wrong_keys(cls, table)
        part = None
        fine = {key: value for key, value in table.items() if key not in wrong}
        try:
            part = read(fine, cls)
        except (SiteError, cattrs.BaseValidationError) as problem:
            of_values = dict(_wrong_values(cls, fine, problem))
            if not wrong and not of_values:  # it is the part as a whole that complains
                of_values = {error.field: error for error in _site_errors(problem)}
            wrong |= of_values
            if not wrong:
                raise
        if wrong:
            order = {key: place for place, key in enumerate(table)}
            keys = sorted(wrong, key=lambda key: order.get(key, len(order)))
            raise together([one for key in keys for one in wrong[key].problems])
        return part

    return structure


def _wrong_keys(cls: type, table: Any) -> dict[str, SiteError]:
    """Return what is wrong with the keys: unknown, missing, one part where several may be."""
    if not isinstance(table, Mapping):
        raise SiteError(f.called(cls), "", table, "write it as a table of keys and values")
    wrong, meant = {}, set()
    for key, value in table.items():
        try:
            several = is_many(known(key, cls))
        except SiteError as problem:
            wrong[key] = problem.below()
            meant.add(f.nearest(keys_of(cls), key))
            if len(wrong) > SiteErrors.MOST:  # this is no site at all
                break
            continue
        if several and not isinstance(value, list | tuple):
            rule = f"write each one as a table of its own, under [[{key}]]"
            wrong[key] = SiteError(f.called(cls), key, value, rule).below()
    for key, field in keys_of(cls).items():
        if field.default is attrs.NOTHING and key not in table and key not in meant:
            wrong[key] = SiteError(f.called(cls), key, MISSING, _wanted(field, cls)).below()
    return wrong


def _wrong_values(
    cls: type, table: Mapping[str, Any], problem: BaseException
) -> list[tuple[str, SiteError]]:
    """Return, by key, what is wrong with the values of a table that could not be read.

    Each value is read alone, so that one does not hide the next.
    """
    wrong = [
        (step, error.below(step)) for step, error in _steps(problem, table) if error is not None
    ]
    named = {key for key, _ in wrong}
    for key, field in keys_of(cls).items():
        if key in table and key not in named:
            error = _alone(field, cls, table[key])
            if error is not None:
                wrong.append((key, error.below()))
    return wrong


def _alone(field: f.Field, cls: type, value: Any) -> SiteError | None:
    """Read and check one value as if it stood alone, and give the complaint if there is one."""
    try:
        if field.converter is not None:
            value = f.reads(field, value, cls)
        if field.validator is not None:
            field.validator(cls, field, value)
    except SiteError as problem:
        return problem
    except (AttributeError, TypeError):  # it looks at the whole part, which is not there yet
        return None
    return None


def _steps(problem: BaseException, table: Any) -> list[tuple[str, SiteError | None]]:
    """Return the complaints of what lies below a table, each with the step that leads to it."""
    found = []
    for inner in getattr(problem, "exceptions", ()):
        if isinstance(inner, KeyError):  # a missing key, which is told of already
            continue
        for note in getattr(inner, "__notes__", ()):
            step = getattr(note, "name", getattr(note, "index", None))
            if step is not None:
                label, below = _step(step, table)
                found.append((label, _complaint(inner, below, whole=False)))
                break
    return found


def _site_errors(problem: BaseException) -> list[SiteError]:
    """Return the complaints of a part as a whole."""
    if isinstance(problem, SiteError):
        return [problem]
    inner = getattr(problem, "exceptions", ())
    return [error for error in inner if isinstance(error, SiteError)]


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
    kind = _PUMP_KIND(table.get("kind", MISSING))
    if not isinstance(kind, str) or kind not in PUMPS:
        raise SiteError("pump", "kind", kind, f"write {f.listed(PUMPS, kind)}")
    return _CONVERTER.structure({**table, "kind": kind}, PUMPS[kind])


def _complaint(problem: BaseException, table: Any, *, whole: bool = True) -> Any:
    """Return all that was complained of, with the keys that lead there; None for a missing key."""
    if isinstance(problem, SiteError):
        return problem.below()
    found = [error.below(step) for step, error in _steps(problem, table) if error is not None]
    found = found or _site_errors(problem)
    if found:
        return together([one for error in found for one in error.problems])
    return problem if whole else None


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
