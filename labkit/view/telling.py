"""Prose with computed numbers, in the units that the reader has chosen.

Sums in prose add up as written: a pencil finds the total. Rounded one by one, 8.66, 32.16 and 3.96
read 8.7, 32.2 and 4.0, and their sum 44.8 does not. So one part at most, the one that was nearest
to it, is rounded the other way. All are written to the last decimal of the one that is written most
coarsely: 14 = 3 + 11, not 14 = 3.4 + 11.
"""

import html
from collections.abc import Callable, Mapping, Sequence
from math import isfinite
from typing import Any, Final

import attrs
from IPython.core.getipython import get_ipython
from IPython.display import DisplayObject, Markdown, display

from labkit.language import number, say, say_clock, say_under, unit_word
from labkit.questions import Amount, Phrase
from labkit.text.shared import WORDS
from labkit.units import UNIT_SYSTEMS, displayed, unit_label


def render(words: Phrase, system: str) -> str:
    """Write a phrase with its amounts in a system of units."""
    given = {
        name: amount if isinstance(amount, str) else format_amount(amount, system)
        for name, amount in words.amounts.items()
    }
    return words.words.format(**given)


def format_amount(amount: Amount, system: str) -> str:
    """Write one amount, of a kind that `labkit.units` knows or one of `OTHER_KINDS`, unbroken."""
    value, kind = amount
    if kind == "column":
        return _column(value, system)
    if kind in OTHER_KINDS:
        written = OTHER_KINDS[kind](value, system)
    else:
        written = say(value, kind, system).replace(".0 ", " ")
    return written.replace(" ", "\N{NO-BREAK SPACE}")


def _turns(value: float, system: str) -> str:
    """Say turns of a screw, to quarters and finer where there are such."""
    turns = round(displayed(value, "turns", system), 2)
    return f"{turns:g} turn{'' if turns == 1.0 else 's'}"


def _ohms(value: float, _: str) -> str:
    """Say a resistance, to tenths as long as it is small."""
    return f"{value:.1f} ohms" if round(value, 1) % 1.0 and value < 99.95 else f"{value:,.0f} ohms"


def _to_hundredths(kind: str) -> Callable[[float, str], str]:
    """Return a writer of small amounts of a kind, where the usual rounding would be too coarse."""

    def written(value: float, system: str) -> str:
        return f"{displayed(value, kind, system):.2f} {unit_word(kind, system)}"

    return written


def _column(weight: float, system: str) -> str:
    """Say how much a column of water weighs on a gauge; `weight` of the water [N/m3]."""
    pressure, length = (UNIT_SYSTEMS[system][kind].factor for kind in ("pressure", "length"))
    psi, feet = unit_label("pressure", system), unit_label("length", system)
    if system == "US":
        height, weighs = f"{pressure / (weight * length):.2f} {feet}", f"1 {psi}"
    else:
        height, weighs = f"1 {feet}", f"{weight * length / pressure:.2f} {psi}"
    return WORDS["column rule"].format(height=height, pressure=weighs)


HUNDREDTHS: Final = {f"small {kind}": kind for kind in ("flow", "pressure", "velocity", "volume")}
"""Kinds that are written to hundredths, by the kind of `labkit.units` behind each."""

OTHER_KINDS: Final[dict[str, Callable[[float, str], str]]] = {
    "clock": say_clock,
    "count": lambda value, _: f"{value:,.0f}",
    "percent": lambda value, _: WORDS["percent"].format(share=f"{100.0 * value:.3g}"),
    **{small: _to_hundredths(kind) for small, kind in HUNDREDTHS.items()},
    "reach": lambda value, system: say_under(value, "length", system),
    "turns": _turns,
    "resistance": _ohms,
}
"""Kinds of amounts beside those of `labkit.units`: a time of day [s after midnight], a number of
things, a share, a flow, a pressure, a velocity and a volume with two decimals, turns of a screw
[rad], a resistance [ohm], a length to two digits, rounded down. One more, ``"column"``, is the
weight of water [N/m3], written as a rule."""


class LiveOutput:
    """Something static on the page that can be written anew in other units.

    It `waits` if it must be made anew when a prediction is kept.
    """

    def __init__(
        self, make: Callable[[str], DisplayObject], system: str, *, waits: bool = False
    ) -> None:
        self._make, self.shown, self.waits = make, make(system), waits
        self._place: Any = None
        if get_ipython() is not None:
            self._place = display(self.shown, display_id=True)  # type: ignore[no-untyped-call]

    @property
    def text(self) -> str:
        """Its text, as Markdown or HTML."""
        return str(self.shown.data)

    def use(self, system: str) -> None:
        """Show it again, in the units of a system or with what has changed."""
        self.shown = self._make(system)
        if self._place is not None:
            self._place.update(self.shown)


def markdown(words: Phrase, system: str) -> Markdown:
    """Return a phrase as Markdown."""
    return Markdown(render(words, system))  # type: ignore[no-untyped-call]


def inline_markup(words: str) -> str:
    """Turn words with ``*emphasis*`` and ``**more of it**`` into HTML."""
    safe = html.escape(words)
    for mark, tag in (("**", "b"), ("*", "em")):
        parts = safe.split(mark)
        safe = "".join(f"<{tag}>{part}</{tag}>" if n % 2 else part for n, part in enumerate(parts))
    return safe


_SAME: Final = 1e-6
"""How far a sum may miss before anything is rounded, as a share of its largest amount: what a
solved line leaves over, far under any digit that is written."""


def adding_up(words: Phrase, sums: Sequence[str], system: str) -> Phrase:
    """Round the amounts of a phrase so that its sums add up as they are written.

    A sum is such as ``"gauge = climb + friction + valve"``, all of one kind. What stands in several
    sums, left of a sign or in brackets, as in ``"gauge = [climb] + rest"``, never gives way. It is
    a ValueError if a sum does not add up before anything is rounded, has no part of its own to
    mend, or holds what cannot be added, such as a clock or an amount without end.
    """
    told: dict[str, Amount | str] = dict(words.amounts)
    parted = [_parted(each) for each in sums]
    plain = [[name.strip("[]") for name in (total, *parts)] for total, parts in parted]
    amounts = {name: _amount(words.amounts, name) for names in plain for name in names}
    named = [name for names in plain for name in names]
    for (total, parts), names in zip(parted, plain, strict=True):
        free = [part for part in parts if named.count(part) == 1]  # one in brackets is not found
        decimals = min(_decimals(amounts[name], system) for name in _tied(names, plain))
        told |= _fitted({name: amounts[name] for name in names}, total, free, decimals, system)
    return attrs.evolve(words, amounts=told)


def _parted(written: str) -> tuple[str, list[str]]:
    total, parts = written.split("=")
    return total.strip(), [part.strip() for part in parts.split("+")]


def _amount(amounts: Mapping[str, Amount | str], name: str) -> Amount:
    found = amounts[name]
    if isinstance(found, str) or not isfinite(found.value) or _unit(found) is None:
        raise ValueError(f"{name} is nothing that can be added: {found}")
    return found


def _unit(amount: Amount) -> str | None:
    """Name the unit of an amount as `labkit.units` does, or none if it is not written in one."""
    kind = HUNDREDTHS.get(amount.kind, amount.kind)
    return kind if kind in UNIT_SYSTEMS["US"] else None


def _tied(names: Sequence[str], sums: Sequence[Sequence[str]]) -> set[str]:
    """Return all names of the sums that share an amount with these, and so on from sum to sum."""
    tied = set(names)
    while more := {name for one in sums if tied & set(one) for name in one} - tied:
        tied |= more
    return tied


def _decimals(amount: Amount, system: str) -> int:
    """Return with how many decimals an amount is written; nothing counts as finer than anything."""
    written = number(amount.value, HUNDREDTHS.get(amount.kind, amount.kind), system)
    if amount.kind in HUNDREDTHS:
        return 2
    return len(written.partition(".")[2]) if written != "0" else 2


def _fitted(
    amounts: dict[str, Amount], total: str, free: list[str], decimals: int, system: str
) -> dict[str, Amount]:
    """Return the amounts of one sum, rounded [SI]; only free parts give way."""
    factor = UNIT_SYSTEMS[system][_unit(amounts[total]) or ""].factor
    parts = [name for name in amounts if name != total]
    exact = {name: one.value / factor for name, one in amounts.items()}
    miss = sum(exact[name] for name in parts) - exact[total]
    if abs(miss) > _SAME * max(map(abs, exact.values())):
        raise ValueError(f"{total} is not the sum of {parts}")
    step = 10.0**-decimals
    steps = {name: round(round(value, decimals) / step) for name, value in exact.items()}
    missing = steps[total] - sum(steps[name] for name in parts)
    way = 1 if missing > 0 else -1
    nearest = sorted(free, key=lambda name: way * (steps[name] - exact[name] / step))
    if abs(missing) > len(nearest):
        raise ValueError(f"no part of {total} can give way")
    for name in nearest[: abs(missing)]:
        steps[name] += way
    return {name: Amount(steps[name] * step * factor, one.kind) for name, one in amounts.items()}
