"""Read a ``%%tell`` cell: Markdown in which ``{name:kind}`` stands for a value of the page.

The first line may go on with the cell's title, and with sums that add up as they are written::

    %%tell the gauge while it fills, where gauge = climb + friction
    The gauge reads {gauge:pressure}: {climb:pressure} of head and {friction:pressure} of friction.

A name is one that a cell above has given, or a part of it: ``{pipe.length:length}``,
``{flow[900]:flow}``. Its value is a quantity or a number [SI]; a text stands without a kind,
``{month}``. A brace that is to be seen is doubled.
"""

import re
from collections.abc import Mapping, Sequence
from numbers import Real
from types import ModuleType
from typing import Any, Final

import attrs
from IPython.display import Markdown

from labkit.errors import LabkitError
from labkit.parts.fields import nearest
from labkit.questions import Amount, Phrase
from labkit.units import UNIT_SYSTEMS, si, typed, unit_label, ureg, written
from labkit.view.telling import OTHER_KINDS, adding_up, format_amount, markdown

KINDS: Final = (*UNIT_SYSTEMS["US"], *OTHER_KINDS, "column")  # what a value can be

_BRACE: Final = re.compile(r"\{\{|\}\}|\{(?P<mark>[^{}\n]*)\}|(?P<stray>[{}])")
_PATH: Final = r"[^\W\d]\w*(?:\.\w+|\[[^\[\]]+\])*"
_STEP: Final = re.compile(r"\.(\w+)|\[([^\[\]]+)\]|(\w+)")
_PART: Final = rf"(?:{_PATH}|\[{_PATH}\])"
_SUM: Final = re.compile(rf"{_PATH} = {_PART}(?: \+ {_PART})*")
_NEAR: Final = 24
"""Characters that are shown on either side of a brace that stands alone."""


@attrs.frozen
class Told:
    """What a cell tells: its words with their values, and what adds up in them."""

    words: Phrase
    sums: Sequence[str]

    def markdown(self, system: str) -> Markdown:
        """Write it in a system of units."""
        return markdown(adding_up(self.words, self.sums, system), system)


def read_cell(head: str, words: str, names: Mapping[str, object]) -> Told:
    """Read a cell's first line, without ``%%tell``, and its words.

    Raises
    ------
    LabkitError
        If a brace stands alone, names nothing that is there or not what it says, or a sum is none.
    """
    amounts: dict[str, Amount | str] = {}
    named: dict[str, str] = {}  # as in the braces -> as in the phrase, which takes no dots

    def marked(found: re.Match[str]) -> str:
        if found["stray"]:
            raise LabkitError(_alone(words, found.start()))
        if found["mark"] is None:
            return found[0]
        name, value = _read(found[0], found["mark"], names)
        key = named.setdefault(name, name if name.isidentifier() else f"_{len(amounts)}")
        if amounts.setdefault(key, value) != value:  # the same in another kind
            key = f"_{len(amounts)}"
            amounts[key] = value
        return f"{{{key}}}"

    phrase = Phrase(_BRACE.sub(marked, words.strip()), amounts)
    _, _, sums = f", {head}".partition(", where ")
    told = Told(phrase, [_sum(one, named) for one in sums.strip().split(" and ") if one])
    try:
        for system in UNIT_SYSTEMS:
            told.markdown(system)
    except ValueError:
        raise LabkitError(f"where {sums.strip()}: that doesn't add up") from None
    return told


def _alone(words: str, place: int) -> str:
    before = words[:place].rpartition("\n")[2][-_NEAR:]
    after = words[place:].partition("\n")[0][:_NEAR]
    rule = "a value is {name:kind}, a brace to be seen is doubled"
    return f"a brace stands alone in {before + after!r}; {rule}"


def _read(brace: str, mark: str, names: Mapping[str, object]) -> tuple[str, Amount | str]:
    """Return the name and the value that a brace stands for."""
    name, colon, kind = (part.strip() for part in mark.partition(":"))
    if not re.fullmatch(_PATH, name):
        raise LabkitError(f"{brace} names nothing; a value is {{name:kind}}")
    value = _found(brace, name, names)
    if isinstance(value, str):
        if colon:
            raise LabkitError(f"{brace}: {name} is a text, which has no kind; write {{{name}}}")
        return name, value
    if not colon:
        raise LabkitError(f"{brace}: {name} is no text; say its kind, as in {{{name}:pressure}}")
    if kind not in KINDS:
        near = nearest(KINDS, kind)
        raise LabkitError(f"{brace}: there is no kind {kind!r}; the nearest is {near!r}")
    return name, _amount(f"{brace}: {name}", value, kind)


def _amount(what: str, value: object, kind: str) -> Amount:
    if isinstance(value, ureg.Quantity):
        if kind in UNIT_SYSTEMS["US"] and not value.is_compatible_with(typed(0.0, kind)):
            rule = f"a {kind} has a unit such as {unit_label(kind)}"
            raise LabkitError(f"{what} is {written(value)}; {rule}")
        value = si(value)
    if not isinstance(value, Real):
        raise LabkitError(f"{what} is neither a number nor a text")
    amount = Amount(float(value), kind)
    try:
        for system in UNIT_SYSTEMS:
            format_amount(amount, system)
    except (ArithmeticError, ValueError):
        raise LabkitError(f"{what} is {amount.value:g}, which is no {kind}") from None
    return amount


def _found(brace: str, name: str, names: Mapping[str, object]) -> object:
    thing: Any = names
    for attribute, key, first in _STEP.findall(name):
        step = attribute or key or first
        there = _choices(thing, is_attribute=bool(attribute), is_first=bool(first))
        if step not in there:
            known = f"; the nearest is {nearest(there, step)!r}" if there else ""
            raise LabkitError(f"{brace}: nothing above is called {step!r}{known}")
        thing = getattr(thing, step) if attribute else thing[there[step]]
    return thing


def _choices(thing: Any, *, is_attribute: bool, is_first: bool) -> dict[str, Any]:
    """Return what a step of a name can be, as it is written and as it is looked up."""
    if is_attribute:
        return {name: name for name in dir(thing) if not name.startswith("_")}
    if is_first:  # no module, no function, nothing of the shell's own
        others = (ModuleType, type(print), type(nearest), type)
        return {
            name: name
            for name, value in thing.items()
            if not (name.startswith("_") or isinstance(value, others))
        }
    if isinstance(thing, Mapping):
        return {str(key): key for key in thing}
    return {str(place): place for place in range(len(thing) if hasattr(thing, "__len__") else 0)}


def _sum(said: str, named: Mapping[str, str]) -> str:
    if not _SUM.fullmatch(said):
        raise LabkitError(f"{said!r} is no sum; a sum is whole = part + part")

    def known(found: re.Match[str]) -> str:
        if found[0] not in named:
            near = f"; the nearest is {nearest(named, found[0])!r}" if named else ""
            raise LabkitError(f"{said!r}: no brace is called {found[0]!r}{near}")
        return named[found[0]]

    return re.sub(_PATH, known, said)
