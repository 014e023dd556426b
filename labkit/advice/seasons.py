"""The months of a year at a place: a day that stands for each, and how warm it is."""

import datetime as dt
from math import cos, pi
from typing import Final

from labkit.advice.asked import asked
from labkit.site import Site
from labkit.units import UNITS, Quantity, si, ureg

MONTHS: Final = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

AVERAGE_DAYS: Final = (17, 16, 16, 15, 15, 11, 17, 16, 15, 15, 14, 10)
"""The day of each month whose sun beyond the air is nearest to the month's mean (Klein 1977, Solar
Energy 19, 325-329; Duffie and Beckman, Solar Engineering of Thermal Processes, table 1.6.1)."""

WARMEST_DAY: Final = 200
"""Day of the year about which it is warmest north of the equator, a month after the longest (from
memory of the normals of inland stations); half a year apart in the south."""

_KELVIN: Final = 273.15


def average_day(month: int, year: int) -> dt.date:
    """Return the day that stands for a month, 1 to 12."""
    return dt.date(year, month, AVERAGE_DAYS[month - 1])


def usual_range(latitude: float) -> float:
    """Return the range from the coldest to the warmest month's mean, far from the sea [K].

    33 degF at 30 degrees, north or south, and 1.4 degF more for each degree beyond: within some 5
    degF of the normals of inland stations from Texas to North Dakota (from memory). Nearer the sea
    it is less. Never under 9 degF, for lack of anything better in the tropics.
    """
    return max(33.0 + 1.4 * (abs(latitude) - 30.0), 9.0) / 1.8


def yearly_temperatures(
    site: Site, *, warmest: str | Quantity | None = None, coldest: str | Quantity | None = None
) -> tuple[Quantity, ...]:
    """Return a mean air temperature for each month, as a wave through the year.

    Parameters
    ----------
    site : Site
        Its latitude and its air temperature are used.
    warmest : str or Quantity, optional
        Mean of the warmest month; left out, the place's air temperature, which is taken for that of
        the season in which stock are out.
    coldest : str or Quantity, optional
        Mean of the coldest month; left out, lower by `usual_range`.

    Returns
    -------
    tuple of Quantity
        January to December [degF].

    Notes
    -----
    A stand-in until the monthly means of the nearest weather station are at hand: give those to
    `water_budget` in its place.
    """
    latitude = float(site.place.latitude.to("degree").magnitude)
    high = si(site.place.air_temperature) if warmest is None else _asked(warmest, "warmest")
    low = high - usual_range(latitude) if coldest is None else _asked(coldest, "coldest")
    peak = WARMEST_DAY if latitude >= 0.0 else WARMEST_DAY - 182.5
    days = (average_day(month, 2023).timetuple().tm_yday for month in range(1, 13))
    swings = (cos(2.0 * pi * (day - peak) / 365.0) for day in days)
    return tuple(_fahrenheit(0.5 * (high + low) + 0.5 * (high - low) * swing) for swing in swings)


def _asked(typed: str | Quantity, what: str) -> float:
    return asked(typed, "degF", what, limits=("-40 degF", "130 degF"), part="temperatures")


def _fahrenheit(kelvin: float) -> Quantity:
    return ureg.Quantity((kelvin - _KELVIN) * 1.8 + 32.0, UNITS["degF"])
