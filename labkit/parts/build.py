"""Parts from tables of plain values, and back; and changed copies of parts, by dotted names."""

from collections.abc import Mapping
from types import NoneType
from typing import Any, Final, TypeVar, get_args, get_origin

import attrs
import pint

from labkit.errors import LONGEST, MISSING, UNKNOWN, SiteError, SiteErrors, together
from labkit.parts import fields as f
from labkit.parts.pumping import CentrifugalPump, DisplacementPump, Pump
from labkit.units import written

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

_SHORT: Final = {
    "switch": "pressure_switch",
    "tank": "pressure_tank",
    "pipes": "pipe",
    "troughs": "trough",
    "leaks": "leak",
    "level_sensors": "level_sensor",
    "sensor": "level_sensor",
}


def build(cls: Any, table: object) -> Any:
    """Make a part, or several, from plain values; a part that is ready-made stays as it is.

    SiteError has the dotted key, within the table, of the value that is refused; every complaint
    that does not hang on another one comes with it.
    """
    if get_origin(cls) is tuple:
        return _several(get_args(cls)[0], table)
    choices = get_args(cls)
    if NoneType in choices:
        if table is None:
            return None
        (cls,) = (one for one in choices if one is not NoneType)
    if cls == Pump:
        return _pump(table)
    return _part(cls, table) if hasattr(cls, "CALLED") else table


def table_of(part: object) -> dict[str, Any]:
    """Return a part as a table of plain values, without what stands at its default."""
    return {
        key: _plain(getattr(part, field.name))
        for key, field in keys_of(type(part)).items()
        if key == "kind" or not _is_default(part, field)
    }


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


def _several(cls: Any, tables: object) -> tuple[Any, ...]:
    """Read a list of tables, each complaint under the name or the number of its own."""
    if not isinstance(tables, list | tuple):
        raise SiteError(f.called(cls), "", tables, "write a list of tables")
    read: list[Any] = []
    wrong: list[SiteError] = []
    for number, table in enumerate(tables, start=1):
        try:
            read.append(build(cls, table))
        except SiteError as problem:
            name = _name_of(table) if isinstance(table, Mapping) else ""
            wrong += problem.below(name or str(number)).problems
    if wrong:
        raise together(wrong)
    return tuple(read)


def _name_of(part: Any) -> str:
    """Return the name that one of several goes by, a part or its table; empty for none."""
    keys = ("name", "to", "at", "trough")
    given = part if isinstance(part, Mapping) else {key: getattr(part, key, None) for key in keys}
    return next((str(given[key]) for key in keys if f.is_name(given.get(key))), "")


def _part(cls: Any, table: Any) -> Any:
    """Read a table into a class, key by key; what is wrong is told in the order of the keys."""
    if isinstance(table, cls):
        return table
    wrong = _wrong_keys(cls, table)
    read = {}
    for key, field in keys_of(cls).items():
        if key in table and key not in wrong:
            try:
                read[key] = table[key] if field.converter else build(field.type, table[key])
            except SiteError as problem:
                wrong[key] = problem.below(key)
    part = None
    if not wrong:
        try:
            return cls(**{keys_of(cls)[key].name: value for key, value in read.items()})
        except SiteError as problem:
            part = problem
    for key, value in read.items():  # each alone, so that one does not hide the next
        if error := _alone(keys_of(cls)[key], cls, value):
            wrong[key] = error.below()
    if part and not wrong:  # it is the part as a whole that complains
        raise part.below()
    order = {key: place for place, key in enumerate(table)}
    keys = sorted(wrong, key=lambda key: order.get(key, len(order)))
    raise together([one for key in keys for one in wrong[key].problems])


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


def _wanted(field: f.Field, cls: type) -> str:
    """Say what belongs in a field, in the words of the field itself when it is given nothing."""
    key = f.key_of(field.name)
    if is_many(field):
        return f"write each one as a table of its own, under [[{key}]]"
    error = _alone(field, cls, None)
    return error.rule if error else f"write the table {key}"


def _pump(table: Any) -> Any:
    if isinstance(table, CentrifugalPump | DisplacementPump):
        return table
    if not isinstance(table, Mapping):
        raise SiteError("pump", "", table, "write it as a table of keys and values")
    kind = _PUMP_KIND(table.get("kind", MISSING))
    if not isinstance(kind, str) or kind not in PUMPS:
        raise SiteError("pump", "kind", kind, f"write {f.listed(PUMPS, kind)}")
    return _part(PUMPS[kind], {**table, "kind": kind})


def _is_default(part: Any, field: f.Field) -> bool:
    default: Any = field.default
    if default is attrs.NOTHING:
        return False
    if isinstance(default, attrs.Factory):  # type: ignore[arg-type]
        default = default.factory(part) if default.takes_self else default.factory()
    if field.converter is not None:
        default = f.reads(field, default, part)
    return bool(getattr(part, field.name) == default)


def _plain(value: Any) -> Any:
    if isinstance(value, pint.Quantity):
        return written(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if hasattr(value, "CALLED"):
        return table_of(value)
    return value if isinstance(value, bool | int | float | str) else str(value)


class _Branch(dict[str, Any]):
    """Changes below one name, as against a table that is itself a value."""


def changed(part: Part, changes: Mapping[str, Any]) -> Part:
    """Return a copy of a part with all changes made at once: their order is of no account."""
    return _evolved(part, _grown(changes), ())


def _grown(changes: Mapping[str, Any]) -> _Branch:
    """Turn dotted names into branches within branches."""
    root = _Branch()
    for dotted, value in changes.items():
        steps = str(dotted).split(".") if len(str(dotted)) <= 4 * LONGEST else [str(dotted)]
        first, *rest = steps  # only the first may be short: a trough may be called "tank"
        *way, leaf = [_SHORT.get(first, first), *rest]
        branch: Any = root
        for step, typed in zip(way, steps, strict=False):
            branch = branch.setdefault(step, _Branch())
            if not isinstance(branch, _Branch):
                raise SiteError(
                    "site",
                    str(dotted),
                    value,
                    f"{typed} is changed as a whole at the same time; do one of the two",
                )
        if leaf in branch:
            raise SiteError("site", str(dotted), value, "it is changed twice; do one of the two")
        branch[leaf] = value
    return root


def _evolved(part: Part, branch: _Branch, way: tuple[str, ...]) -> Part:
    """Make a copy of one part, the parts within it first."""
    new = {}
    for key, change in branch.items():
        field = known(key, type(part))
        old, here = getattr(part, field.name), (*way, key)
        new[field.name] = (
            _below(old, change, here) if isinstance(change, _Branch) else _read(field, change, here)
        )
    try:
        return attrs.evolve(part, **new)  # type: ignore[misc]
    except SiteError as problem:
        if len(way) < 2 and not problem.key:
            raise  # of single parts the name is enough
        raise problem.below(*way) from None


def _read(field: f.Field, value: Any, way: tuple[str, ...]) -> Any:
    """Read a whole new value; a field with a converter reads for itself."""
    if field.converter is not None:
        return value
    try:
        return build(field.type, value)
    except SiteError as problem:
        raise problem.below(*way) from None


def _below(old: Any, branch: _Branch, way: tuple[str, ...]) -> Any:
    """Change what lies within a field: a part, or some of several parts by their names."""
    names = [_name_of(item) for item in old] if isinstance(old, tuple) else []
    if isinstance(old, tuple) and all(names):
        for name in branch:
            if name not in names:
                rule = (
                    f"write one of {', '.join(map(repr, names))}" if names else "the site has none"
                )
                raise SiteError(f.called(old[0]) if old else way[-1], "", name, rule)
        return tuple(
            _one(item, branch.get(name), (*way, name))
            for item, name in zip(old, names, strict=True)
        )
    if hasattr(old, "CALLED"):
        return _evolved(old, branch, way)
    step = next(iter(branch))
    what = "give the whole table first" if old is None else f"it has no {step!r} within it"
    raise SiteError("site", ".".join(way), old, what)


def _one(item: Any, change: Any, way: tuple[str, ...]) -> Any:
    if change is None:
        return item
    return _evolved(item, change, way) if isinstance(change, _Branch) else build(type(item), change)
