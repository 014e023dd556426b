"""Changed copies of parts, by dotted names."""

from collections.abc import Mapping
from typing import Any, Final, TypeVar

import attrs

from labkit.errors import LONGEST, SiteError
from labkit.parts import fields as f
from labkit.parts.build import build, known

Part = TypeVar("Part")

_SHORT: Final = {
    "switch": "pressure_switch",
    "tank": "pressure_tank",
    "pipes": "pipe",
    "troughs": "trough",
    "leaks": "leak",
    "level_sensors": "level_sensor",
    "sensor": "level_sensor",
}


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
        raise _located(problem, way) from None


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
    if isinstance(old, tuple) and all(_name_of(item) for item in old):
        names = [_name_of(item) for item in old]
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
    """Change one of several parts, or leave it."""
    if change is None:
        return item
    return _evolved(item, change, way) if isinstance(change, _Branch) else build(type(item), change)


def _name_of(part: Any) -> str:
    """Return the name that one of several parts goes by."""
    return str(
        next(
            (getattr(part, key) for key in ("name", "to", "at", "trough") if hasattr(part, key)), ""
        )
    )


def _located(problem: SiteError, way: tuple[str, ...]) -> SiteError:
    """Say which of several parts an error is about; of single parts the name is enough."""
    if len(way) < 2 and not problem.key:
        return problem
    return problem.below(*way)
