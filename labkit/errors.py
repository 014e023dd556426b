"""The errors a learner sees: one sentence each, raised and never printed."""

from collections.abc import Mapping, Sequence
from typing import Any

from typing_extensions import override

LONGEST = 48  # characters of a typed value that an error repeats; the rest is left out


class Said(str):
    """Words to stand in an error as they are, where a value would stand in quotes."""

    __slots__ = ()


MISSING = Said("missing")
UNKNOWN = Said("not a known key")


def shortened(text: str, longest: int = LONGEST) -> str:
    """Return a text on one line, cut to a length that fits in a sentence, with ? for odd signs."""
    line = " ".join(text[: 2 * longest].split())
    line = "".join(sign if sign.isprintable() else "?" for sign in line)
    return line if len(text) <= longest else f"{line[:longest]}…"


def shown(value: object) -> str:
    """Say a value in an error: text in quotes, tables and lists by kind, others as they are."""
    match value:
        case Said():
            said = shortened(value)
        case str():
            said = repr(shortened(value))
        case bool():
            said = str(value).lower()
        case int() if value.bit_length() > 64:
            said = "a huge number"
        case Mapping():
            said = "a table"
        case list() | tuple():
            said = "a list"
        case None:
            said = "missing"
        case _:
            said = shortened(str(value))
    return said


class LabkitError(Exception):
    """The kind of every error that labkit raises on purpose."""


class UnitError(LabkitError, ValueError):
    """A typed quantity that cannot be read, or that measures the wrong thing."""


class NoUnitError(UnitError):
    """A number without a unit."""

    def __init__(self, number: str, said: str = "") -> None:
        super().__init__(number, said)
        self.number, self.said = number, said

    @override
    def __str__(self) -> str:
        return self.said


class SiteError(LabkitError):
    """A site that cannot be: the part, the field, its value, and the rule it breaks.

    The part is in the trade's words, such as ``"switch"``; the field, such as ``"cut_in"``, is
    empty when the whole part is meant. The rule is what holds, or what to write instead. A value
    from a file has its name and the dotted key in it, such as ``"pressure_switch.cut_in"``.
    """

    def __init__(
        self,
        part: str,
        field: str,
        value: object,
        rule: str,
        *,
        file: str | None = None,
        key: str | None = None,
    ) -> None:
        super().__init__(part, field, value, rule)
        self.part, self.field, self.value, self.rule = part, field, value, rule
        self.file, self.key = file, key

    def located(self, *, file: str | None = None, key: str | None = None) -> "SiteError":
        """Return the same error with the file and the key that the value came from."""
        return SiteError(
            self.part,
            self.field,
            self.value,
            self.rule,
            file=file or self.file,
            key=key or self.key,
        )

    def below(self, *way: str) -> "SiteError":
        """Return the same error with the keys that lead to the part it is about."""
        return self.located(key=".".join((*way, self.key or self.field)).strip("."))

    @property
    def problems(self) -> "tuple[SiteError, ...]":
        """Every single complaint: this one alone, or those of several together."""
        return (self,)

    @override
    def __str__(self) -> str:
        said = f"{self.subject} is {shown(self.value)}; {self.rule}"
        return f"{self.file}: {said}" if self.file else said

    @property
    def subject(self) -> str:
        """What the sentence is about: the key in the file, or else the part and its field."""
        if self.key:
            return shortened(self.key, 2 * LONGEST)
        return f"{self.part}: {shortened(self.field)}" if self.field else self.part


class SiteErrors(SiteError):  # noqa: N818 - several of its kind
    """Several complaints about one site, told together: a line for each."""

    MOST = 20  # complaints that are told; of more, only that there are

    def __init__(self, problems: Sequence[SiteError]) -> None:
        first = problems[0]
        super().__init__(
            first.part, first.field, first.value, first.rule, file=first.file, key=first.key
        )
        self._problems = tuple(problems)

    @property
    @override
    def problems(self) -> tuple[SiteError, ...]:
        return self._problems

    @override
    def located(self, *, file: str | None = None, key: str | None = None) -> "SiteError":
        if key is not None:  # it would name one place for all of them
            return self._problems[0].located(file=file, key=key)
        return SiteErrors([problem.located(file=file) for problem in self._problems])

    @override
    def below(self, *way: str) -> "SiteError":
        return SiteErrors([problem.below(*way) for problem in self._problems])

    @override
    def __reduce__(self) -> Any:
        return SiteErrors, (self._problems,)

    @override
    def __str__(self) -> str:
        lines = [str(problem) for problem in self._problems[: self.MOST]]
        if len(self._problems) > self.MOST:
            lines.append("and more like these")
        return "\n".join(lines)


def together(problems: Sequence[SiteError]) -> SiteError:
    """Return one error for one complaint or several."""
    return problems[0] if len(problems) == 1 else SiteErrors(problems)


class RunError(LabkitError):
    """A run that failed in its numbers."""

    def __init__(
        self, part: str, time: float, drive_state: Any, last_good: float, what: str
    ) -> None:
        super().__init__(part, time, drive_state, last_good, what)
        self.part, self.time, self.drive_state = part, time, drive_state
        self.last_good, self.what = last_good, what

    @override
    def __str__(self) -> str:
        return (
            f"{self.part}: {self.what} at {self.time:.6g} s while the drive was "
            f"{self.drive_state}; the last sound moment was {self.last_good:.6g} s"
        )


class NoCardError(LabkitError):
    """A site for which no settings card can be made: why, and what would help, a line each."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__(*lines)
        self.lines = tuple(lines)

    @override
    def __str__(self) -> str:
        return "\n".join(self.lines)
