"""Some days in a row as one sun that remembers its making: computed ones, or a measured one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from labkit.advice.seasons import average_day
from labkit.advice.sky_mix import dull_day, in_a_row
from labkit.errors import SiteError
from labkit.sun import Sun, clear_day, measured_day
from labkit.text import sentence

if TYPE_CHECKING:
    from labkit.site import Site

LONGEST = 14
"""Dull days after which nobody goes on counting."""


@attrs.frozen(kw_only=True)
class Days(Sun):
    """A clear day and then cloudy ones, each from midnight to midnight."""

    month: int  # 1 to 12: the day of the month that stands for it
    dull: int  # how many cloudy days follow
    clouds: float  # share of a clear day's light that the clouds of a cloudy day take [-]


@attrs.frozen(kw_only=True)
class MeasuredDays(Sun):
    """A measured day, again and again."""

    name: str  # which one, as in `labkit.sun.measured_day`


def measured_days(site: Site, name: str, *, count: int) -> MeasuredDays:
    """Return one of the measured days, such as ``"tucson"``, so many times in a row."""
    day = measured_day(name, site)
    fields = attrs.asdict(in_a_row([day] * count, source=day.source), recurse=False)
    return MeasuredDays(**fields, name=name)


def days(
    site: Site, *, month: int = 7, dull: int = 3, clouds: float = 0.8, year: int = 2023
) -> Days:
    """Return a clear day of a month, then `dull` ones that lack a share `clouds` of its light."""
    if month not in range(1, 13):
        raise SiteError("sun", "month", month, "it is a number from 1 to 12")
    if dull not in range(LONGEST + 1):
        raise SiteError("sun", "dull", dull, f"it is a whole number from 0 to {LONGEST}")
    date = average_day(month, year)
    row = [clear_day(site, date), *[dull_day(site, date, 1.0 - clouds)] * dull]
    sun = in_a_row(row, source=sentence("advice", "sun-of-days", count=dull, date=f"{date}"))
    fields = attrs.asdict(sun, recurse=False)
    return Days(**fields, month=month, dull=dull, clouds=clouds)
