"""A measured day on the array of a site."""

from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from labkit.arrays import Floats
from labkit.errors import LabkitError, SiteError
from labkit.shipped import SHIPPED as ALONG
from labkit.sun.curve import ZERO_CELSIUS, Sited, Sun, say, thinned
from labkit.sun.dayfile import LIGHT, DayFile, gaps, read_day_file
from labkit.sun.sky import (
    Ground,
    Light,
    clear_light,
    days_of_year,
    ground_of,
    moments,
    on_the_array,
)
from labkit.units import quantity, si
from labkit.units.customary import DAY

if TYPE_CHECKING:
    import pandas as pd

SHIPPED: Final = ALONG / "lessons" / "sun"  # the folder of the measured days that come along

SHORT_GAP: Final = 600.0
"""Longest time without a reading in daylight that is bridged by a straight line [s]."""


TWILIGHT: Final = 96.0
"""Zenith angle [deg] past which a reading is the instrument's own offset: end of civil twilight."""

CLEANEST: Final = 2.0
"""Linke turbidity of the cleanest air: 1 is clean and dry by definition, cold clean air has about 2
(from memory)."""


def measured(path: str | Path, site: Sited) -> Sun:
    """Return the sun of a measured file, turned to the array of `site`.

    Parameters
    ----------
    path : str or Path
        A CSV file: lines starting with ``#`` that say where and when, then columns ``time``,
        ``ghi`` and, where measured, ``dni``, ``dhi`` [W/m2] and ``temp_air`` [degC]. A README
        beside the measured days tells the format.
    site : Site
        Its array; and its place and air temperature, where the file gives none.

    Returns
    -------
    Sun
        Time 0 is midnight before the first row, in the standard time that the file keeps.

    Notes
    -----
    The sun stands where it stood at the station, if the file says where that is. Readings below
    zero at night count as zero. A time without readings is bridged by a straight line up to 10 min
    (or 1.5 times the file's own step, if that is longer); in the dark, up to a day. A longer one is
    an error, for nobody knows what the sky did. Before the first row and after the last it is dark.
    Where only the global reading is there, beam and diffuse are parted after Erbs, Klein and Duffie
    (1982), a relation fitted to hours and only fair for minutes, with the beam kept under that of
    the cleanest clear sky: what is brighter came from the clouds. Where one of the two is there,
    the other follows from ``ghi = dni cos(zenith) + dhi``; where both are, the global reading
    serves only for what the ground throws back.
    """
    file = read_day_file(path)
    ground = _station(file, site)
    hours = ground.hours_from_utc if file.hours_from_utc is None else file.hours_from_utc
    whole = np.all([np.isfinite(file.columns[name]) for name in _light(file)], axis=0)
    if np.count_nonzero(whole) < 2:
        raise LabkitError(f"{file.name}: it has no two rows with all of {', '.join(_light(file))}")
    time = file.time[whole]
    _check_gaps(file, time, ground, hours)
    when = moments(file.date, time, hours)
    light = _parted(file, whole, ground, when)
    irradiance = on_the_array(site, ground, when, light)
    return _sun(file, time, irradiance, _air(file, whole, site))


def measured_day(name: str, site: Sited) -> Sun:
    """Return one of the measured days that come along, by how its file's name begins."""
    known = sorted(SHIPPED.glob("*.csv"))
    found = [path for path in known if path.stem.startswith(f"{name}_")]
    if len(found) != 1:
        names = ", ".join(repr(path.stem.partition("_")[0]) for path in known)
        raise SiteError("sun", "measured day", name, f"write one of {names}")
    return measured(found[0], site)


def _light(file: DayFile) -> list[str]:
    return [name for name in LIGHT if name in file.columns]


def _station(file: DayFile, site: Sited) -> Ground:
    """Find where the readings were taken: the file's place, or else the site's."""
    here = ground_of(site)
    if not {"latitude", "longitude"} <= set(file.notes):
        return here
    try:
        north = np.degrees(si(quantity(file.notes["latitude"], "deg")))
        east = np.degrees(si(quantity(file.notes["longitude"], "deg")))
        height = si(quantity(file.notes.get("elevation", f"{here.elevation:.0f} m"), "m"))
    except ValueError as error:
        raise LabkitError(f"{file.name}: its place cannot be read: {error}") from None
    if not (abs(north) <= 90.0 and abs(east) <= 180.0 and -500.0 <= height <= 9000.0):
        raise LabkitError(
            f"{file.name}: its latitude, longitude and elevation are not on the earth"
        )
    return Ground(latitude=float(north), longitude=float(east), elevation=height)


def _check_gaps(file: DayFile, time: Floats, ground: Ground, hours: float) -> None:
    """Refuse a long time without readings, unless the sun was down."""
    longest = max(SHORT_GAP, 1.5 * float(np.median(np.diff(time))))
    for start in gaps(time, longest):
        begin, end = time[start], time[start + 1]
        probes = np.arange(begin, min(end, begin + DAY), 60.0)
        height = 90.0 - ground.position(moments(file.date, probes, hours))["zenith"]
        if end - begin > DAY or (height > 0.0).any():
            clock = f"{int(begin % DAY // 3600):02d}:{int(begin % 3600 // 60):02d}"
            day = int(begin // DAY) + 1
            raise LabkitError(
                f"{file.name}: day {day}, {clock}: no reading for {(end - begin) / 60.0:.0f} min;"
                f" gaps of up to {longest / 60.0:.0f} min are bridged, fill or cut out longer ones"
            )


def _parted(
    file: DayFile, whole: NDArray[np.bool_], ground: Ground, when: "pd.DatetimeIndex"
) -> Light:
    """Part the readings into beam and diffuse where the file does not."""
    zenith = ground.position(when)["apparent_zenith"].to_numpy()
    height = np.maximum(np.cos(np.radians(zenith)), 0.0)
    read = {
        name: np.where(zenith < TWILIGHT, np.maximum(file.columns[name][whole], 0.0), 0.0)
        for name in _light(file)
    }
    glob, beam, diffuse = read["ghi"], read.get("dni"), read.get("dhi")
    if beam is None:
        beam = _beam(glob, diffuse, zenith, when)
        brightest = clear_light(ground, when, turbidity=CLEANEST).beam
        beam = np.minimum(beam, brightest)
    beam = np.where(height > 0.0, beam, 0.0)
    if diffuse is None:
        diffuse = np.maximum(glob - beam * height, 0.0)
    return Light(glob=glob, beam=beam, diffuse=diffuse)


def _beam(glob: Floats, diffuse: Floats | None, zenith: Floats, when: "pd.DatetimeIndex") -> Floats:
    """Work out the beam [W/m2] from the global reading, and the diffuse one if there is one."""
    from pvlib import irradiance  # noqa: PLC0415 - takes seconds, so only when needed

    if diffuse is None:
        beam = irradiance.erbs(glob, zenith, days_of_year(when))["dni"]
    else:
        beam = irradiance.dni(glob, diffuse, zenith)
    return np.nan_to_num(np.asarray(beam, dtype=np.float64))


def _air(file: DayFile, whole: NDArray[np.bool_], site: Sited) -> Floats:
    """Air temperature [degC] at the whole rows, bridged where missing; the site's where none."""
    time = file.time[whole]
    air = file.columns.get("temp_air", np.full(file.time.size, np.nan))
    known = np.isfinite(air)
    if not known.any():
        return np.full(time.size, si(site.place.air_temperature) - ZERO_CELSIUS)
    return np.interp(time, file.time[known], air[known])


def _sun(file: DayFile, time: Floats, irradiance: Floats, air: Floats) -> Sun:
    """Join the rows into whole days, dark outside them."""
    step = float(np.median(np.diff(time)))
    end = DAY * max(np.ceil(time[-1] / DAY), 1.0)
    before = np.unique([0.0, max(time[0] - step, 0.0)])
    after = np.unique([min(time[-1] + step, end), end])
    before, after = before[before < time[0]], after[after > time[-1]]
    points = np.concatenate((before, time, after))
    light = np.concatenate((np.zeros(before.size), irradiance, np.zeros(after.size)))
    warmth = np.interp(points, time, air)
    needed = thinned(points, light, warmth)
    station = file.notes.get("station", file.name).partition(",")[0]
    return Sun(
        time=points[needed],
        irradiance=light[needed],
        air_temperature=warmth[needed],
        source=say("measured", station=station, day=file.date.isoformat()),
    )
