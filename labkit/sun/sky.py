"""A clear day and a day of passing clouds, for a place, a date and the tilt of the array."""

import datetime as dt
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.arrays import Floats
from labkit.errors import SiteError
from labkit.sun.curve import ZERO_CELSIUS, Sited, Sun, say, thinned
from labkit.units import si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    import pandas as pd

STEP: Final = 300.0
"""Distance of the points of a clear day [s]; a straight line over it is within 0.1 W/m2 of the
curve once the sun is well up (second derivative of a 24 h sine of 1000 W/m2, times h**2/8)."""

TURBIDITY: Final = 3.0
"""Linke turbidity of a clear day: how many times clean dry air dims the beam. The monthly table in
pvlib (Remund et al. 2003) gives 2.7 in December to 4.2 in July for the Colorado plains."""

GROUND_REFLECTION: Final = 0.25
"""Share of the light that the ground throws back, pvlib's default (grass and soil 0.2 to 0.25)."""


@attrs.frozen(kw_only=True)
class Ground:
    """A place on the ground, as pvlib wants it."""

    # north and east positive [deg]
    latitude: float
    longitude: float
    elevation: float  # above sea level [m]

    @property
    def hours_from_utc(self) -> float:
        """Standard time by the sun: the whole hour nearest to the longitude [h]."""
        return float(round(self.longitude / 15.0))

    def position(self, when: "pd.DatetimeIndex") -> "pd.DataFrame":
        """Sun position at each moment: a table with zenith, apparent_zenith, azimuth [deg]."""
        from pvlib import solarposition  # noqa: PLC0415 - takes seconds, so only when needed

        return solarposition.get_solarposition(
            when, self.latitude, self.longitude, altitude=self.elevation
        )


@attrs.frozen(kw_only=True)
class Light:
    """The light of the sky on level ground and square to the beam [W/m2]."""

    glob: Floats
    beam: Floats
    diffuse: Floats


def ground_of(site: Sited) -> Ground:
    """Read the place of a site."""
    place = site.place
    return Ground(
        latitude=float(np.degrees(si(place.latitude))),
        longitude=float(np.degrees(si(place.longitude))),
        elevation=si(place.elevation),
    )


def moments(date: dt.date, time: Floats, hours_from_utc: float) -> "pd.DatetimeIndex":
    """Turn seconds after local midnight of `date` into moments that pvlib understands."""
    import pandas as pd  # noqa: PLC0415 - comes with pvlib

    midnight = pd.Timestamp(date).tz_localize("UTC") - pd.Timedelta(hours=hours_from_utc)
    return pd.DatetimeIndex(midnight + pd.to_timedelta(time, unit="s"))


def days_of_year(when: "pd.DatetimeIndex") -> Floats:
    """Day of the year at each moment, 1 for the first of January.

    Where pvlib wants the day of the year it takes moments too, but asks pandas for it by a name
    that pandas is giving up.
    """
    return np.asarray(when.day_of_year, dtype=np.float64)


def clear_light(ground: Ground, when: "pd.DatetimeIndex", *, turbidity: float) -> Light:
    """Light of a cloudless sky after Ineichen and Perez (2002), for a Linke turbidity [-]."""
    from pvlib import atmosphere, clearsky, irradiance  # noqa: PLC0415 - as above

    zenith = ground.position(when)["apparent_zenith"].to_numpy()
    airmass = atmosphere.get_absolute_airmass(
        atmosphere.get_relative_airmass(zenith), atmosphere.alt2pres(ground.elevation)
    )
    beyond = irradiance.get_extra_radiation(days_of_year(when))
    with np.errstate(divide="ignore", invalid="ignore"):  # at the horizon; pvlib makes it zero
        sky = clearsky.ineichen(
            zenith, airmass, turbidity, altitude=ground.elevation, dni_extra=beyond
        )
    return Light(glob=sky["ghi"], beam=sky["dni"], diffuse=sky["dhi"])


def on_the_array(site: Sited, ground: Ground, when: "pd.DatetimeIndex", light: Light) -> Floats:
    """Turn light on level ground to the plane of the array [W/m2].

    Beam by geometry, diffuse after Hay and Davies (1980), a part of it coming from round the sun,
    and what the ground throws back.
    """
    from pvlib import irradiance  # noqa: PLC0415 - as above

    position = ground.position(when)
    tilted = irradiance.get_total_irradiance(
        surface_tilt=float(np.degrees(si(site.array.tilt))),
        surface_azimuth=float(np.degrees(si(site.array.azimuth))),
        solar_zenith=position["apparent_zenith"].to_numpy(),
        solar_azimuth=position["azimuth"].to_numpy(),
        dni=light.beam,
        ghi=light.glob,
        dhi=light.diffuse,
        dni_extra=irradiance.get_extra_radiation(days_of_year(when)),
        albedo=GROUND_REFLECTION,
        model="haydavies",
    )
    return np.maximum(np.nan_to_num(np.asarray(tilted["poa_global"], dtype=np.float64)), 0.0)


def clear_day(site: Sited, date: str | dt.date, haze: float = 0.0) -> Sun:
    """Return the sun of a cloudless day, from midnight to midnight.

    Parameters
    ----------
    site : Site
        Its place, air temperature and array are used.
    date : str or dt.date
        Such as ``"2023-06-21"``; the clock is standard time, without daylight saving.
    haze : float
        Share of the clear day's light on the array that smoke, dust or thin high cloud takes away,
        0 (none) to 1 (all).

    Notes
    -----
    Clear sky after Ineichen and Perez (2002) with a Linke turbidity of 3, by pvlib. The haze is one
    plain factor on all the light. Real haze takes more from the beam and gives part of it back as
    diffuse light.
    """
    if not 0.0 <= haze <= 1.0:
        raise SiteError("sun", "haze", haze, "it is a share, 0 (none) to 1 (all the light)")
    day = read_date(date)
    ground = ground_of(site)
    time = np.arange(0.0, DAY + STEP, STEP)
    when = moments(day, time, ground.hours_from_utc)
    light = clear_light(ground, when, turbidity=TURBIDITY)
    irradiance = (1.0 - haze) * on_the_array(site, ground, when, light)
    words = say("hazy" if haze else "clear", day=day.isoformat(), haze=f"{haze:g}")
    return _whole_day(site, time, irradiance, words)


def cloudy_day(
    site: Sited,
    date: str | dt.date,
    *,
    seed: int | np.random.Generator,
    cover: float = 0.4,
    haze: float = 0.0,
) -> Sun:
    """Return the sun of a day with passing clouds.

    Parameters
    ----------
    site, date, haze
        As for `clear_day`.
    seed : int or numpy.random.Generator
        Which sky: the same number gives the same clouds, bit for bit.
    cover : float
        Share of the time that a cloud stands before the sun, 0 to 1.

    Notes
    -----
    A teaching model, fitted to no sky: spells of shade and of sun follow each other, both of
    exponential length, shade 4 min on average. Each cloud takes 30 to 85 % of the light on the
    array, and its edge passes in 5 to 40 s. The numbers are from memory of days of fair-weather
    cumulus. It leaves out the bright moments between clouds: on the measured day at Boulder in
    ``lessons/sun`` the reading stands up to 1.4 times above the clear sky of `clear_day`.
    """
    if not 0.0 <= cover <= 1.0:
        raise SiteError("sun", "cover", cover, "it is a share, 0 (no cloud) to 1 (always shade)")
    clear = clear_day(site, date, haze)
    if cover == 0.0:
        return clear
    number = seed if isinstance(seed, int) else "given"
    edges, passing = _clouds(np.random.default_rng(seed), cover)
    grid = np.arange(0.0, DAY + STEP, STEP)
    time = np.union1d(grid, edges[(edges > 0.0) & (edges < DAY)])
    irradiance = clear.at(time) * np.interp(time, edges, passing)
    words = say("clouds", day=clear.source, number=str(number))
    return _whole_day(site, time, irradiance, words)


def read_date(date: str | dt.date) -> dt.date:
    """Read a date as typed."""
    try:
        day = dt.date.fromisoformat(date) if isinstance(date, str) else date
    except ValueError:
        day = dt.date.min
    if not 1900 <= day.year <= 2100:
        rule = "write a day between 1900 and 2100 such as 2023-06-21"
        raise SiteError("sun", "date", str(date), rule)
    return day


def _clouds(rng: np.random.Generator, cover: float) -> tuple[Floats, Floats]:
    """Draw the cloud edges of a day: times [s], and the share of light passing at each."""
    shade = 240.0
    sun = shade * (1.0 - cover) / cover
    edges, passing = [0.0], [1.0]
    while edges[-1] < DAY:
        begin = edges[-1] + 1.0 + rng.exponential(sun)
        length = 10.0 + rng.exponential(shade - 10.0)
        edge = min(rng.uniform(5.0, 40.0), 0.45 * length)
        dimmed = 1.0 - rng.uniform(0.30, 0.85)
        edges += [begin, begin + edge, begin + length - edge, begin + length]
        passing += [1.0, dimmed, dimmed, 1.0]
    return np.array(edges), np.array(passing)


def _whole_day(site: Sited, time: Floats, irradiance: Floats, words: str) -> Sun:
    """Make a Sun of a day in the steady air of the site."""
    air = np.full(time.size, si(site.place.air_temperature) - ZERO_CELSIUS)
    needed = thinned(time, irradiance, air)
    return Sun(
        time=time[needed], irradiance=irradiance[needed], air_temperature=air[needed], source=words
    )
