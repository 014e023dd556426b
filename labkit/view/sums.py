"""Sums in prose add up as written: parts are rounded so that a pencil finds the total.

Rounded one by one, 8.66, 32.16 and 3.96 read 8.7, 32.2 and 4.0, and their sum 44.8 does not. So
one part at most, the one that was nearest to it, is rounded the other way. All are written to the
last decimal of the one that is written most coarsely: 14 = 3 + 11, not 14 = 3.4 + 11.
"""

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import Final

import attrs

from labkit.language import number
from labkit.questions import Amount, Phrase
from labkit.units import UNIT_SYSTEMS
from labkit.view.telling import HUNDREDTHS

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
