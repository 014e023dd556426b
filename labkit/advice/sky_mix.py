"""Days that stand for the skies of a month: clear, passing clouds, overcast; one after another."""

import datetime as dt
from collections.abc import Sequence
from typing import ClassVar

import attrs
import numpy as np

from labkit.errors import SiteError
from labkit.parts import fields as f
from labkit.site import Site
from labkit.sun import Sun, clear_day, cloudy_day
from labkit.units.customary import DAY

_share = f.within(0.0, 1.0)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class SkyMix:
    """Which skies a month has, and how much light they let through.

    Attributes
    ----------
    clear, broken : float
        Share of the days that are clear, and that have passing clouds; the rest is overcast [-].
    cover : float
        Share of the time that a cloud stands before the sun on a day of passing clouds [-].
    overcast_light : float
        Share of a clear day's light that an overcast day has [-].

    Notes
    -----
    The shares are an invented mix that stands for open plains; put in your own. Full overcast lets
    a quarter through on average (Kasten and Czeplak 1980, Solar Energy 24, 177-189:
    ``1 - 0.75 N^3.4`` with the sky all covered), rain clouds about a sixth (same paper, from
    memory).
    """

    CALLED: ClassVar = "sky mix"

    clear: float = attrs.field(converter=f.number, validator=_share, default=0.5)
    broken: float = attrs.field(converter=f.number, validator=_share, default=0.35)
    cover: float = attrs.field(converter=f.number, validator=_share, default=0.6)
    overcast_light: float = attrs.field(converter=f.number, validator=_share, default=0.25)

    def __attrs_post_init__(self) -> None:
        """Leave no less than nothing for overcast days."""
        if self.clear + self.broken > 1.0 + 1e-9:
            rule = f"with clear {self.clear:g} it must not be more than {1.0 - self.clear:g}"
            raise f.field_error(self, "broken", self.broken, rule)

    @property
    def overcast(self) -> float:
        """Share of the days that are overcast [-]."""
        return max(1.0 - self.clear - self.broken, 0.0)

    @property
    def shares(self) -> tuple[float, float, float]:
        """Shares of clear, broken and overcast days [-]."""
        return self.clear, self.broken, self.overcast


def dull_day(site: Site, date: dt.date, light: float) -> Sun:
    """Return a day with the sky closed all over, with a share of a clear day's light [-]."""
    return attrs.evolve(clear_day(site, date, haze=1.0 - light), source=f"overcast, {date}")


def three_skies(site: Site, date: dt.date, mix: SkyMix, seed: int) -> tuple[Sun, Sun, Sun]:
    """Return a clear day, one of passing clouds and an overcast one."""
    return (
        clear_day(site, date),
        cloudy_day(site, date, seed=seed, cover=mix.cover),
        dull_day(site, date, mix.overcast_light),
    )


def some_days(site: Site, date: dt.date, mix: SkyMix, *, count: int, seed: int) -> Sun:
    """Return days one after another, in the shares of a mix and an order drawn with the seed."""
    exact = np.array(mix.shares) * count
    counts = np.floor(exact + 1e-9).astype(int)
    for kind in np.argsort(counts - exact, kind="stable")[: count - counts.sum()]:
        counts[kind] += 1
    kinds = np.random.default_rng(seed).permutation(np.repeat(np.arange(3), counts))
    clear, overcast = clear_day(site, date), dull_day(site, date, mix.overcast_light)

    def day(number: int, kind: int) -> Sun:
        if kind == 1:
            return cloudy_day(site, date, seed=1000 * seed + number, cover=mix.cover)
        return overcast if kind else clear

    days = [day(number, kind) for number, kind in enumerate(kinds.tolist())]
    return in_a_row(days, source=f"{count} days like {date}")


def in_a_row(days: Sequence[Sun], *, source: str) -> Sun:
    """Lay whole days, each from midnight to midnight, one after another."""
    if not days:
        raise SiteError("sun", "days", len(days), "there must be one at least")
    times, light, air = [], [], []
    for number, day in enumerate(days):
        whole = day.between(0.0, DAY)
        kept = slice(1 if number else 0, None)  # midnight belongs to the day before
        times.append(whole.time[kept] + number * DAY)
        light.append(whole.irradiance[kept])
        air.append(whole.air_temperature[kept])
    return Sun(
        time=np.concatenate(times),
        irradiance=np.concatenate(light),
        air_temperature=np.concatenate(air),
        source=source,
    )


def peak_sun_hours(day: Sun) -> float:
    """Return a day's light as hours of 1000 W/m2 [h]."""
    whole = day.between(0.0, DAY)
    return float(np.trapezoid(whole.irradiance, whole.time)) / 3.6e6


def hours_over(day: Sun, least: float) -> float:
    """Return the hours of a day, to the minute, in which the sun stands over `least` [W/m2]."""
    minutes = np.arange(0.0, DAY, 60.0)
    return float(np.count_nonzero(day.between(0.0, DAY).at(minutes) > least)) / 60.0
