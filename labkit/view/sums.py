"""Sums that add up as written: parts are rounded so that a reader with a pencil finds the total.

Rounded one by one, 8.66, 32.16 and 3.96 read 8.7, 32.2 and 4.0, and their sum 44.8 does not. So one
part at most, the one that was nearest to it, is rounded the other way.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Final

import attrs

from labkit.check import Amount, Phrase
from labkit.units import UNIT_SYSTEMS
from labkit.view.language import number

KINDS: Final = {"small pressure": "pressure", "small flow": "flow", "small volume": "volume"}
"""Kinds of prose that are told to hundredths, by the kind of `labkit.units` behind each."""


def adding_up(words: Phrase, sums: Sequence[str], system: str) -> Phrase:
    """Round the amounts of a phrase so that its sums add up as they are written.

    Parameters
    ----------
    words : Phrase
        What is told.
    sums : sequence of str
        Such as ``"gauge = climb + friction + valve"``, all of one kind. What stands in several
        sums, left of a sign or in brackets, as in ``"gauge = [climb] + rest"``, is rounded as ever.
    system : {"US", "metric"}
        Whose units.

    Raises
    ------
    ValueError
        If a sum does not add up before anything is rounded, or has no part of its own to mend.
    """
    told: dict[str, Amount | str] = dict(words.amounts)
    parted = [_parted(each) for each in sums]
    named = [part.strip("[]") for total, parts in parted for part in (total, *parts)]
    for total, parts in parted:
        plain = [total, *(part.strip("[]") for part in parts)]
        amounts = {name: _amount(words.amounts, name) for name in plain}
        free = [part for part in parts if named.count(part) == 1]  # one in brackets is not found
        told |= _fitted(amounts, total, free, system)
    return attrs.evolve(words, amounts=told)


def _parted(written: str) -> tuple[str, list[str]]:
    total, parts = written.split("=")
    return total.strip(), [part.strip() for part in parts.split("+")]


def _amount(amounts: Mapping[str, Amount | str], name: str) -> Amount:
    found = amounts[name]
    if isinstance(found, str):
        raise TypeError(f"{name} is no amount")
    return found


def _fitted(
    amounts: dict[str, Amount], total: str, free: list[str], system: str
) -> dict[str, Amount]:
    """Give the amounts of one sum, rounded [SI]; only free parts give way."""
    kind = amounts[total].kind
    factor = UNIT_SYSTEMS[system][KINDS.get(kind, kind)].factor
    parts = [name for name in amounts if name != total]
    exact = {name: one.value / factor for name, one in amounts.items()}
    if abs(sum(exact[name] for name in parts) - exact[total]) > 1e-6 * abs(exact[total]):
        raise ValueError(f"{total} is not the sum of {parts}")
    step = _step(amounts[total], system)
    steps = {name: round(value / step) for name, value in exact.items()}
    missing = steps[total] - sum(steps[name] for name in parts)
    way = 1 if missing > 0 else -1
    nearest = sorted(free, key=lambda name: way * (steps[name] - exact[name] / step))
    if abs(missing) > len(nearest):
        raise ValueError(f"no part of {total} can give way")
    for name in nearest[: abs(missing)]:
        steps[name] += way
    return {name: Amount(steps[name] * step * factor, one.kind) for name, one in amounts.items()}


def _step(total: Amount, system: str) -> float:
    """Give the last decimal that a total is written with, in display units."""
    if total.kind in KINDS:
        return 0.01
    _, _, decimals = number(total.value, total.kind, system).partition(".")
    return float(Decimal(1).scaleb(-len(decimals)))
