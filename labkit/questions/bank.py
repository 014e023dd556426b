"""The bank: what is asked, in files that need no Python; formulas give the numbers.

The files are ``questions/SUBJECT.toml`` of a language (`labkit.text`), a table for each question::

    [at_rest]
    label = "Gauge at rest"
    kind = "pressure"
    ask = "A trough is {rise:length} above the gauge. **What does the gauge read?**"
    hints = ["First hint.", "A smaller step: {weight:column}."]
    reason = "{rise:length} of water make {answer:pressure}."

    [at_rest.slips]
    "forgot the rise" = "You left out the rise."

    [a_choice]
    ask = "**Which part?**"
    options = [
      { words = "The float valve", why = "It closes.", right = true },
      { words = "The switch", hint = "Where is it?", slip = "switch for float" },
    ]

In braces stands a value that the formula gives, and its kind; the formula of the same name, in the
module of the same name in `labkit.questions.keys`, works out answer and slips. Where what is right
depends on numbers, options have a ``key``, and the formula picks one. ``ask`` and ``reason`` may be
a table of cases, of which the formula picks one. ``hint`` and ``why`` of a question stand in for
options that have none of their own, ``said`` of an option for both; ``hints`` of a choice go by
what is right; ``option`` is for options that are drawn. Hints of slips that many questions share
are in ``slips.toml``.

What a lesson asks at its end is a list ``checks`` of its file: of each question its key under
``ask``, the name by which its answer is kept, and what its formula is given, as people type it: in
any unit of what the formula says that it measures, such as `Length`.
"""

import inspect
import re
import tomllib
from collections.abc import Callable, Mapping
from functools import cache, partial, wraps
from importlib import import_module
from importlib.util import find_spec
from math import isnan
from pathlib import Path
from typing import Annotated, Any, Final, TypeVar, get_args, get_origin

import attrs

from labkit.engine.fluid import water_at
from labkit.errors import LabkitError, UnitError, shortened, shown
from labkit.questions.marking import COUNT, ChoiceQuestion, NumberQuestion, Option, Slip
from labkit.questions.phrase import OTHER_KINDS, Amount, Phrase, inlined
from labkit.site import Site
from labkit.text import Words, read, sources
from labkit.units import UNIT_SYSTEMS, plain_number, quantity, si

Found = TypeVar("Found")
Asked = TypeVar("Asked")
Value = float | str | Phrase
Table = Mapping[str, Any]

# What an argument of a formula measures [SI]; where it is typed, its unit must measure the same.
Pressure = Annotated[float, "psi"]
Length = Annotated[float, "ft"]
Flow = Annotated[float, "gpm"]
Volume = Annotated[float, "gal"]
Time = Annotated[float, "s"]
Velocity = Annotated[float, "ft/s"]
Power = Annotated[float, "W"]
Irradiance = Annotated[float, "W/m^2"]
Resistance = Annotated[float, "ohm"]
Share = Annotated[float, "%"]

KINDS: Final = frozenset({*UNIT_SYSTEMS["US"], *OTHER_KINDS})
"""Kinds of amounts that a sentence may name."""

_MARK: Final = re.compile(r"\{([^{}:]*)(?::([^{}]*))?\}")
_SHARED: Final = "slips"
_CASES: Final = (str, dict)
_NUMBER: Final[Mapping[str, tuple[type, ...]]] = {
    "name": (str,), "ask": _CASES, "label": (str,), "kind": (str,), "tolerance": (float,),
    "hints": (list,), "reason": _CASES, "slips": (dict,), "words": (dict,),
}  # fmt: skip
_CHOICE: Final[Mapping[str, tuple[type, ...]]] = {
    "name": (str,), "ask": _CASES, "options": (list,), "option": (str,), "hint": (str,),
    "hints": (dict,), "why": _CASES, "slip": (str,), "words": (dict,),
}  # fmt: skip
_OPTION: Final[Mapping[str, tuple[type, ...]]] = {
    "words": (str,), "key": (str,), "why": (str,), "hint": (str,), "said": (str,), "slip": (str,),
    "right": (bool,),
}  # fmt: skip
_IN_WORDS: Final = {
    str: "words in quotes", dict: "a table", float: "a number such as 0.02", list: "a list",
    bool: "true or false",
}  # fmt: skip


def called(name: str) -> str:
    """Return what a question or a slip is called where people read it, not in learners' files."""
    return Words("names").get(name, name)


class BankError(LabkitError):
    """A mistake in a file of the bank: the file, the question, the field, and the rule."""

    def __init__(self, place: str, rule: str) -> None:
        super().__init__(f"{shortened(place, 200)}: {shortened(rule, 280)}")


class Wrong:
    """What a slip comes to [SI], once or once for each system of units, and values for its hint."""

    def __init__(self, *values: float, **named: Value) -> None:
        self.values, self.named = values, named


@attrs.frozen
class Worked:
    """What a formula gives: the answer, what each slip comes to [SI], more for the sentences."""

    answer: float  # the right answer [SI]
    # name of a slip -> what it comes to
    slips: Mapping[str, float | Wrong] = attrs.field(factory=dict)
    # values that the sentences may name beside the formula's own arguments and ``answer``
    more: Mapping[str, Value] = attrs.field(factory=dict)
    case: str = ""  # which of the cases of ``ask`` and ``reason``, where the bank has such


@attrs.frozen
class Picked:
    """What is right of several options."""

    right: str  # key of the right option
    # values that the sentences may name beside the formula's own arguments
    more: Mapping[str, Value] = attrs.field(factory=dict)
    case: str = ""  # which of the cases of ``ask``, where the bank has such
    # drawn options: key -> what ``option`` names; empty where they stand in the bank
    options: Mapping[str, Mapping[str, Value]] = attrs.field(factory=dict)
    # key of a wrong option -> which of ``hints``; without it, the one for what is right
    hints: Mapping[str, str] = attrs.field(factory=dict)
    # key of a wrong option -> its slip, where that depends on more than the two keys
    slips: Mapping[str, str] = attrs.field(factory=dict)


@attrs.frozen
class Entry:
    """One question as it stands in the bank, its fields checked; `place` names it in errors."""

    place: str
    table: Table

    def phrase(self, field: str, values: Mapping[str, Value], text: object = None) -> Phrase:
        """Return a field's sentence with its values, or that of a text within it."""
        words = self.table.get(field) if text is None else text
        if not isinstance(words, str):
            raise BankError(f"{self.place}, {field}", "the sentence is missing")
        if {"{", "}"} & set(_MARK.sub("", words)):
            raise BankError(f"{self.place}, {field}", "a brace stands alone; write {name:kind}")
        amounts: dict[str, Amount | str] = {}
        said = _MARK.sub(lambda mark: self._marked(field, mark, values, amounts), words)
        return Phrase(said, amounts)

    def _marked(
        self,
        field: str,
        mark: re.Match[str],
        values: Mapping[str, Value],
        amounts: dict[str, Amount | str],
    ) -> str:
        """Put one value among the amounts, and return what stands for it in the words."""
        name, kind = mark.group(1), mark.group(2)
        value = values.get(name)
        if isinstance(value, Phrase):
            return inlined(name, value, amounts)
        if isinstance(value, str):
            amounts[name] = value
            return f"{{{name}}}"
        place = f"{self.place}, {field}"
        if not isinstance(value, (float, int)):
            known = ", ".join(key for key, one in values.items() if _can_be_named(one))
            raise BankError(place, f"{mark.group()} is not among its values ({known})")
        if kind not in KINDS:
            rule = f"{mark.group()} needs one of the kinds {', '.join(sorted(KINDS))}"
            raise BankError(place, f"{rule}, such as {{{name}:length}}")
        named = name if amounts.get(name, (value, kind)) == (value, kind) else f"{name} {kind}"
        amounts[named] = Amount(float(value), kind)
        return f"{{{named}}}"

    def plain(self, field: str, values: Mapping[str, Value]) -> str:
        """Return a field that may name words, but no amounts."""
        said = self.phrase(field, values)
        return said.words.format(**said.amounts)

    def cased(self, field: str, case: str, values: Mapping[str, Value]) -> Phrase:
        """Return a field's sentence; of a table of cases, the one for a case."""
        text = self.table.get(field)
        if isinstance(text, Mapping):
            return self.phrase(f"{field}.{case}", values, text.get(case))
        return self.phrase(field, values)


def _can_be_named(value: object) -> bool:
    return isinstance(value, (float, int, str, Phrase)) and not isinstance(value, bool)


def entry(key: str) -> Entry:
    """Return a question of the bank by its key, such as ``"line.at_rest"``, or raise BankError."""
    subject, _, name = key.partition(".")
    file = f"{subject}.toml"
    table = _bank(sources(f"questions/{file}")).get(name)
    if not isinstance(table, Mapping):
        raise BankError(
            f"{file}, {name}", "there is no such question; the formula of its name asks it"
        )
    place = f"{file}, {name}"
    if not {"ask", "text"} & table.keys():
        raise BankError(f"{place}, ask", "the sentence is missing")
    if "text" not in table:
        _hold(table, _CHOICE if table.keys() & {"option", "options"} else _NUMBER, place)
    return Entry(place, table)


@cache
def _bank(paths: tuple[Path, ...]) -> Table:
    """Read the files of a subject, later ones laid over earlier ones."""
    made: dict[str, Any] = {}
    for path in paths:
        try:
            made = _laid(made, tomllib.loads(read(path)))
        except tomllib.TOMLDecodeError as problem:
            raise BankError(path.name, f"it can't be read: {problem}") from None
    return made


def _laid(under: Any, over: Any) -> Any:
    """Lay what is written over what was there: table by table, and lists of tables in order."""
    if isinstance(under, dict) and isinstance(over, dict):
        return under | {key: _laid(under.get(key), value) for key, value in over.items()}
    if isinstance(under, list) and isinstance(over, list) and len(under) == len(over):
        return [_laid(*pair) for pair in zip(under, over, strict=True)]
    return over


def _hold(table: Table, fields: Mapping[str, tuple[type, ...]], place: str) -> None:
    for field, value in table.items():
        kinds = fields.get(field)
        if kinds is None:
            rule = f"it is not a field here; the fields are {', '.join(fields)}"
            raise BankError(f"{place}, {field}", rule)
        if not isinstance(value, kinds):
            rule = " or ".join(_IN_WORDS[kind] for kind in kinds)
            raise BankError(f"{place}, {field}", f"{shown(value)} must be {rule}")
    for name in ("slips", "words", "hints"):
        inner = table.get(name, {})
        texts = inner.items() if isinstance(inner, Mapping) else enumerate(inner, start=1)
        for part, text in texts:
            if not isinstance(text, str):
                raise BankError(
                    f"{place}, {name}, {part}", f"{shown(text)} must be words in quotes"
                )
    for number, option in enumerate(table.get("options", ()), start=1):
        if not isinstance(option, Mapping):
            raise BankError(f"{place}, option {number}", "it must be a table with words")
        _hold(option, _OPTION, f"{place}, option {number}")


def number(formula: Callable[..., Worked]) -> Callable[..., NumberQuestion]:
    """Make a formula ask the question of its name, under the name by which the answer is kept.

    What it is given may be typed, such as ``rise="45 ft"``. With ``site=`` it gets the weight of
    that site's water and the pressure of its air, if it asks for them.
    """
    return _asking(formula, number_of)


def choice(formula: Callable[..., Picked]) -> Callable[..., ChoiceQuestion]:
    """Make a formula ask the choice of its name, as `number` does."""
    return _asking(formula, choice_of)


def lesson_number(formula: Callable[..., Worked]) -> Callable[..., NumberQuestion]:
    """Make a formula ask the question of its name, kept by the ``name`` that the bank has."""
    return partial(_asking(formula, number_of), "")


def lesson_choice(formula: Callable[..., Picked]) -> Callable[..., ChoiceQuestion]:
    """Make a formula ask the choice of its name, kept by the ``name`` that the bank has."""
    return partial(_asking(formula, choice_of), "")


def _asking(
    formula: Callable[..., Found], make: Callable[[str, str, Found, Mapping[str, Any]], Asked]
) -> Callable[..., Asked]:
    key = f"{formula.__module__.rpartition('.')[2]}.{formula.__name__}"
    signature = inspect.signature(formula)
    names = signature.parameters

    @wraps(formula)
    def ask(name: str, /, *args: Any, **named: Any) -> Asked:
        if "site" in named and "site" not in names:
            water = water_at(named.pop("site").place)
            there = {"weight": water.weight, "air": water.p_air}
            named |= {one: value for one, value in there.items() if one in names}
        try:
            given = signature.bind(*args, **named)
        except TypeError as problem:
            raise BankError(key, str(problem)) from None
        given.apply_defaults()
        for one, value in given.arguments.items():
            given.arguments[one] = _in_si(value, names[one].annotation, f"{key}, {one}")
        return make(key, name, formula(*given.args, **given.kwargs), given.arguments)

    return ask


def _in_si(value: Any, measures: Any, place: str) -> Any:
    """Return a number that was typed with its unit in SI, held to what is to be measured."""
    if get_origin(measures) is dict and isinstance(value, dict):
        each = get_args(measures)[1]
        return {name: _in_si(one, each, f"{place}, {name}") for name, one in value.items()}
    if measures in {float, int} and isinstance(value, str):
        raise BankError(place, f"{shown(value)}: write a number without quotes and unit")
    if get_origin(measures) is not Annotated or not isnan(plain_number(value)):
        return value
    try:
        return si(quantity(value, *measures.__metadata__))
    except UnitError as problem:
        raise BankError(place, f"{shown(value)}: {problem}") from None


def number_of(key: str, name: str, worked: Worked, values: Mapping[str, Any]) -> NumberQuestion:
    """Return a question of the bank with the numbers that a formula has worked out."""
    found = entry(key)
    table = found.table
    given = {**values, **worked.more, "answer": worked.answer}
    kind = table.get("kind", "")
    if kind != COUNT and kind not in UNIT_SYSTEMS["US"]:
        rule = f"{shown(kind)} must be one of {', '.join([COUNT, *UNIT_SYSTEMS['US']])}"
        raise BankError(f"{found.place}, kind", rule)
    if "tolerance" in table and not 0.0 < table["tolerance"] < 1.0:
        raise BankError(f"{found.place}, tolerance", "it must be more than 0 and less than 1")
    unknown = [slip for slip in table.get("slips", {}) if slip not in worked.slips]
    if unknown:
        known = ", ".join(worked.slips) or "none"
        rule = f"the formula knows no such slip; it knows {known}"
        raise BankError(f"{found.place}, slips, {unknown[0]}", rule)
    hints = [
        found.phrase(f"hint {n}", given, text) for n, text in enumerate(table.get("hints", ()), 1)
    ]
    if not hints:
        raise BankError(f"{found.place}, hints", "there must be at least one")
    return NumberQuestion(
        name=name or found.plain("name", given),
        label=found.plain("label", given),
        ask=found.cased("ask", worked.case, given),
        answer=worked.answer,
        kind=kind,
        **({"tolerance": table["tolerance"]} if "tolerance" in table else {}),
        slips=tuple(_slip(found, slip, wrong, given) for slip, wrong in worked.slips.items()),
        hints=tuple(hints),
        reason=found.cased("reason", worked.case, given),
    )


def _slip(found: Entry, name: str, wrong: float | Wrong, values: Mapping[str, Value]) -> Slip:
    """Return a slip with its own hint, or the one that many questions share."""
    known = wrong if isinstance(wrong, Wrong) else Wrong(wrong)
    shared = _bank(sources(f"questions/{_SHARED}.toml"))
    text = found.table.get("slips", {}).get(name) or shared.get("hints", {}).get(name)
    if text is None:
        raise BankError(f"{found.place}, slips", f"the hint for {name!r} is missing")
    hint = found.phrase(f"slips, {name}", {**values, **known.named}, text)
    return Slip(name=name, values=known.values, hint=hint)


def choice_of(key: str, name: str, picked: Picked, values: Mapping[str, Any]) -> ChoiceQuestion:
    """Return a choice of the bank of which a formula has picked what is right."""
    found = entry(key)
    given = {**values, **picked.more}
    listed: list[Table] = (
        [{"key": one} for one in picked.options]
        if picked.options
        else found.table.get("options", [])
    )
    keys = [one.get("key", f"option {n}") for n, one in enumerate(listed, start=1)]
    if picked.right not in keys:
        raise BankError(
            f"{found.place}, options", f"the option with the key {picked.right!r} is missing"
        )
    made = tuple(
        _option(found, one, place, picked, {**given, **picked.options.get(place, {})})
        for place, one in zip(keys, listed, strict=True)
    )
    return ChoiceQuestion(
        name=name or found.plain("name", given),
        ask=found.cased("ask", picked.case, given),
        options=made,
    )


def _option(
    found: Entry, listed: Table, key: str, picked: Picked, values: Mapping[str, Any]
) -> Option:
    """Return one option, with the sentence for one who chose it."""
    table, is_right = found.table, key == picked.right
    hints = table.get("hints", {})
    why = table.get("why")
    common = (
        why.get(picked.case) if isinstance(why, Mapping) else why
    ) if is_right else hints.get(picked.hints.get(key, picked.right))  # fmt: skip
    said = (
        listed.get("why" if is_right else "hint")
        or listed.get("said")
        or common
        or table.get("hint", "")
    )
    if not said:
        field = "why" if is_right else "hint"
        raise BankError(f"{found.place}, {key}, {field}", "the sentence is missing")
    slip = picked.slips.get(key) or listed.get("slip") or table.get("slip", "")
    return Option(
        words=found.phrase(f"{key}, words", values, listed.get("words") or table.get("option")),
        said=found.phrase(f"{key}, said", values, said),
        is_right=is_right,
        slip="" if is_right else slip.replace("{chosen}", key).replace("{right}", picked.right),
    )


def fixed(key: str, name: str = "") -> ChoiceQuestion:
    """Ask a choice whose right option is marked in the bank; without a name, by the bank's own."""
    found = entry(key)
    right = [
        one.get("key", f"option {n}")
        for n, one in enumerate(found.table.get("options", []), start=1)
        if one.get("right")
    ]
    if len(right) != 1:
        raise BankError(f"{found.place}, options", f"one must be right = true, not {len(right)}")
    return choice_of(key, name, Picked(right[0]), {})


def asked_at_end(module: str) -> Callable[..., tuple[ChoiceQuestion | NumberQuestion, ...]]:
    """Return what asks, of a site, the questions that a lesson's file lists under ``checks``."""
    file = f"{module.rpartition('.')[2]}.toml"

    def checks(site: Site | None = None) -> tuple[ChoiceQuestion | NumberQuestion, ...]:
        listed = _bank(sources(f"questions/{file}"))["checks"]
        if not all("ask" in one for one in listed):
            raise BankError(f"{file}, checks", "each needs ask, the key of a question")
        return tuple(_listed(dict(one), site) for one in listed)

    return checks


def _listed(given: dict[str, Any], site: Site | None) -> Any:
    """Ask a question by its key: by its formula if it has one, as it stands in the bank if not."""
    key, name = given.pop("ask"), given.pop("name", None)
    subject, _, question = key.partition(".")
    module = f"labkit.questions.keys.{subject}"
    formula = getattr(import_module(module), question, None) if find_spec(module) else None
    if formula is None:
        if given:
            raise BankError(f"{key}, {next(iter(given))}", "the question has no formula to take it")
        return fixed(key, name or "")
    there = {} if site is None else {"site": site}
    return formula(*([] if name is None else [name]), **given, **there)


def words_of(key: str, name: str, **values: Value) -> Phrase:
    """Return one of the ``words`` of a question, to stand within its sentences."""
    found = entry(key)
    return found.phrase(f"words, {name}", values, found.table.get("words", {}).get(name))


def over_bench(page: str, name: str) -> str:
    """Return what a page's own file of the bank asks over a bench; empty where nothing."""
    subject = page.replace(" ", "_")
    if name not in _bank(sources(f"questions/{subject}.toml")):
        return ""
    return entry(f"{subject}.{name}").plain("text", {})


def story(key: str, **values: Value) -> Phrase:
    """Return the words that lead an exercise, from the table of its name in ``stories.toml``."""
    found = entry(f"stories.{key}")
    return found.phrase("text", values)
