"""The days of a visit, and the sun of each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from labkit.sun import clear_day, cloudy_day

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.sun import Sun

DATE: Final = "2023-06-21"
"""The day on site, and of the sun of every further day."""

START: Final = "10:00"
"""When the technician comes, each day."""

_FAR: Final = 1_000_003
"""How far apart the clouds of a number's days are drawn."""


def sky(site: Site, number: int, cover: float, day: int = 0) -> Sun:
    """Return the sun of a day on site; each day of a number has clouds of its own."""
    if site.drive.kind != "solar" or cover <= 0.0:
        return clear_day(site, DATE)
    return cloudy_day(site, DATE, seed=number + _FAR * day, cover=cover)
