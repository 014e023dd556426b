"""What people type of their readings, read at the door."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING, Final

from labkit.diagnosis.visit import NO_PLACE, READINGS, WAITS
from labkit.errors import SiteError, UnitError
from labkit.text import sentence
from labkit.units import UNIT_SYSTEMS, quantity, si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    from collections.abc import Mapping

    from labkit.diagnosis.visit import Reading, Shown
    from labkit.site import Site

_HIGHEST: Final = {
    "pressure": 3.5e6, "flow": 0.02, "time": DAY, "length": 1000.0, "power": 3e4,
}  # fmt: skip


def typed_readings(
    site: Site, readings: Mapping[str, str], trough: str
) -> dict[tuple[str, str], Shown]:
    """Return readings [SI] by key and place, or raise SiteError for one that cannot be.

    ``"bucket @ north"`` names the trough, which is left out for the one worked.
    """
    found = {}
    for name, value in readings.items():
        key, _, place = (part.strip() for part in str(name).partition("@"))
        if key not in READINGS:
            raise SiteError("readings", "", name, f"write one of {', '.join(READINGS)}")
        reading = READINGS[key]
        found[key, _place(site, reading, place, trough)] = _value(reading, value)
    return found


def _place(site: Site, reading: Reading, place: str, trough: str) -> str:
    """Return where something was read, held to the site's troughs."""
    if not reading.at_trough:
        if place:
            raise SiteError("readings", reading.key, place, "it is not read at a trough")
        return NO_PLACE
    names = [each.name for each in site.troughs]
    if place and place not in names:
        raise SiteError("readings", reading.key, place, f"the troughs are {', '.join(names)}")
    return place or trough


def _value(reading: Reading, value: object) -> Shown:
    """Return one value as an SI number, or the word."""
    typed = " ".join(str(value).split())
    if reading.kind == "word":
        known = {one: one for one in reading.words}
        known |= {shown.lower(): one for one, shown in reading.choices}
        if typed.lower() not in known:
            rule = f"write one of {', '.join(repr(shown) for _, shown in reading.choices)}"
            raise SiteError("readings", reading.key, value, rule)
        return known[typed.lower()]
    if reading.kind == "time" and typed.lower() in sentence("diagnosis", "typed-never").split("; "):
        return WAITS
    try:
        read = si(quantity(typed, UNIT_SYSTEMS["US"][reading.kind].label))
    except UnitError as problem:
        raise SiteError("readings", reading.key, value, str(problem)) from None
    if not (isfinite(read) and 0.0 <= read <= _HIGHEST[reading.kind]):
        raise SiteError("readings", reading.key, value, "no such instrument shows that")
    return min(read, WAITS) if reading.kind == "time" else read
