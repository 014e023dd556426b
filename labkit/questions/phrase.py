"""Words with amounts in them, still to be written in somebody's units."""

import re
from collections.abc import Mapping
from string import Formatter
from typing import Final, NamedTuple

import attrs

from labkit.units import customary

OTHER_KINDS: Final = frozenset({
    "clock", "column", "count", "percent", "reach", "resistance", "small flow", "small pressure",
    "small velocity", "small volume", "turns",
})  # fmt: skip
"""Kinds of amounts beside those of `labkit.units`, which the view writes."""


class Amount(NamedTuple):
    """A value [SI] and its kind as `labkit.units` names it, or one of those of the view."""

    value: float
    kind: str


@attrs.frozen
class Phrase:
    """Words in which ``{name}`` stands for an amount, or for words as they are."""

    words: str
    amounts: Mapping[str, Amount | str] = attrs.field(factory=dict)

    def __attrs_post_init__(self) -> None:
        """Hold names and amounts to each other, so that a slip of the pen shows at once."""
        named = {name for _, name, _, _ in Formatter().parse(self.words) if name is not None}
        if named != set(self.amounts):
            raise ValueError(f"{sorted(named)} are named, {sorted(self.amounts)} are given")


INCH: Final = Amount(customary.INCH, "small length")
"""An inch, for words that name it: 1 in, or 25 mm."""


def subset(words: str, amounts: Mapping[str, Amount | str]) -> Phrase:
    """Put into words those of some amounts that they name."""
    named = {name for _, name, _, _ in Formatter().parse(words) if name is not None}
    return Phrase(words, {name: amounts[name] for name in named})


def phrase(words: str, **amounts: tuple[float, str] | str) -> Phrase:
    """Put amounts, each ``(SI value, kind)``, or plain words into a phrase."""
    read = {
        name: given if isinstance(given, str) else Amount(*given) for name, given in amounts.items()
    }
    return Phrase(words, read)


def inlined(name: str, said: Phrase, amounts: dict[str, Amount | str]) -> str:
    """Return a phrase's words to stand within others; its amounts join theirs, by other names."""
    amounts.update(
        {f"{name}.{inner}".replace(".", " "): one for inner, one in said.amounts.items()}
    )
    return re.sub(r"\{([^{}]*)\}", rf"{{{name} \1}}", said.words)
