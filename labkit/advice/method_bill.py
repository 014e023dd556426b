"""What each way to say stop costs on a line, from a list of prices that anyone can edit."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Final

import attrs

from labkit.catalogue.table import rows
from labkit.errors import SiteError
from labkit.parts import fields as f
from labkit.units.customary import FOOT

if TYPE_CHECKING:
    from collections.abc import Mapping


SPLICE_EVERY: Final = 500.0
"""Length of a roll of pair [ft], so one splice for each beyond the first (common practice)."""

MOST_EXPENSIVE: Final = 100_000.0


@attrs.frozen(kw_only=True)
class BillLine:
    """One line of a bill."""

    # what, and by what it is counted
    item: str
    unit: str
    count: float  # how many
    price: float  # for each [US dollars]

    @property
    def cost(self) -> float:
        """What the line comes to [US dollars]."""
        return self.count * self.price


def prices(changes: Mapping[str, float] | None = None) -> dict[str, tuple[str, float]]:
    """Return the unit and the price of every item [US dollars], the catalogue's unless changed.

    The catalogue's are invented round figures: put in what your dealer asks.
    """
    known = {row["item"]: (row["unit"], float(row["price_usd"])) for row in rows("stop_prices.csv")}
    for item, price in (changes or {}).items():
        if item not in known:
            near = f.nearest(known, item)
            raise SiteError("prices", item, price, f"no such item; the nearest is {near!r}")
        if not 0.0 <= price <= MOST_EXPENSIVE:
            raise SiteError("prices", item, price, f"it must lie between 0 and {MOST_EXPENSIVE:g}")
        known[item] = (known[item][0], float(price))
    return known


@attrs.frozen(kw_only=True)
class Installation:
    """What is to be laid and put up on a line."""

    distances: tuple[float, ...]  # from the well to each trough [m]
    gauge: str  # of the pairs
    # length of a trench of their own for the pairs [m]; 0 where they lie in the pipe's
    trench: float
    masts: float  # height of all antenna masts together [m]
    # troughs that have an open pipe end so far, and need a float to be stopped by pressure
    new_floats: int


def bill(
    method: str, known: Mapping[str, tuple[str, float]], laid: Installation
) -> tuple[BillLine, ...]:
    """List what a method, "pressure", "wire" or "radio", needs on a line, at known prices."""
    feet = [distance / FOOT for distance in laid.distances]
    splices = sum(max(ceil(length / SPLICE_EVERY) - 1, 0) for length in feet)
    troughs = len(feet)
    counts: dict[str, dict[str, float]] = {
        "pressure": {
            "pressure switch": 1,
            "gauge and fittings": 1,
            "float valve": laid.new_floats,
            "hour of work": 2 + laid.new_floats,
        },
        "wire": {
            "level sensor": troughs,
            f"pair {laid.gauge}": sum(feet),
            "splice kit": splices,
            "surge protector": 2 * troughs,
            "trench of its own": laid.trench / FOOT,
            "hour of work": 2 + 2 * troughs,
        },
        "radio": {
            "level sensor": troughs,
            "radio sender with battery and panel": troughs,
            "radio receiver with relay": 1,
            "mast": laid.masts / FOOT,
            "hour of work": 2 + 3 * troughs,
        },
    }
    return tuple(
        BillLine(item=item, unit=known[item][0], count=count, price=known[item][1])
        for item, count in counts[method].items()
        if count
    )
