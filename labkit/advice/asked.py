"""Quantities that are handed to advice, read with an error that names which one was wrong."""

from typing import Any

from labkit.errors import SiteError
from labkit.units import quantity, read_argument, si


def asked(typed: Any, like: str, what: str, *, limits: tuple[str, str], part: str) -> float:
    """Return a quantity like `like` as an SI number, or raise SiteError with both its limits."""
    value = si(read_argument(typed, like, part=part, field=what))
    low, high = (si(quantity(limit, like)) for limit in limits)
    if not low <= value <= high:
        raise SiteError(part, what, typed, f"it must lie between {limits[0]} and {limits[1]}")
    return value
