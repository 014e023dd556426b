"""Some days in a row as one sun that remembers its making, and what a trough sees of them."""

from typing import Final

import attrs
import numpy as np

from labkit.advice.seasons import average_day
from labkit.advice.sky_mix import dull_day, in_a_row
from labkit.arrays import Floats
from labkit.engine.demand import herd_need
from labkit.engine.run import simulate
from labkit.errors import SiteError
from labkit.site import Site
from labkit.sun import Sun, clear_day, measured_day
from labkit.text import sentence
from labkit.trace import Trace
from labkit.units import si
from labkit.units.customary import DAY


@attrs.frozen(kw_only=True, eq=False)
class DayWater:
    """Days at one trough."""

    trough: str
    # from the first midnight [s], sun on the array [W/m2], water in the trough [m3], shape (n,)
    time: Floats
    irradiance: Floats
    water: Floats
    holds: float  # water in it when its float is shut [m3]
    # each day [m3]: what the herd asked for; what left the trough, which it drank; what came in
    wanted: tuple[float, ...]
    drunk: tuple[float, ...]
    came: tuple[float, ...]
    dry: tuple[float, ...]  # when it ran empty [s]


def day_water(site: Site, sun: Sun) -> DayWater:
    """Run a line through all the days of a sun and tell what its first trough went through."""
    count = max(round(float(sun.time[-1]) / DAY), 1)
    trace = simulate(site, f"{count} day", sun=sun, start="00:00", to_the_end=True)
    trough = site.troughs[0]
    area = si(trough.volume) / si(trough.depth)
    water, came = area * trace.level[trough.name], _by_day(trace, trace.inflow[trough.name], count)
    gained = np.diff(np.interp(DAY * np.arange(count + 1), trace.time, water))
    return DayWater(
        trough=trough.name,
        time=trace.time,
        irradiance=trace.irradiance,
        water=water,
        holds=area * (si(trough.depth) - si(trough.freeboard)),
        wanted=(herd_need(trough, site) * DAY,) * count,
        drunk=tuple(float(each) for each in np.array(came) - gained),
        came=came,
        dry=tuple(
            e.time for e in trace.events if (e.kind, e.where) == ("trough empty", trough.name)
        ),
    )


def _by_day(trace: Trace, flow: Floats, count: int) -> tuple[float, ...]:
    """Add a flow [m3/s] up day by day [m3]."""
    time = trace.time
    so_far = np.concatenate(([0.0], np.cumsum(0.5 * (flow[1:] + flow[:-1]) * np.diff(time))))
    ends = np.interp(DAY * np.arange(count + 1), time, so_far)
    return tuple(float(value) for value in np.diff(ends))


LONGEST_SPELL: Final = 14  # cloudy days after which nobody goes on counting


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
    if dull not in range(LONGEST_SPELL + 1):
        raise SiteError("sun", "dull", dull, f"it is a whole number from 0 to {LONGEST_SPELL}")
    date = average_day(month, year)
    row = [clear_day(site, date), *[dull_day(site, date, 1.0 - clouds)] * dull]
    sun = in_a_row(row, source=sentence("advice", "sun-of-days", count=dull, date=f"{date}"))
    fields = attrs.asdict(sun, recurse=False)
    return Days(**fields, month=month, dull=dull, clouds=clouds)
