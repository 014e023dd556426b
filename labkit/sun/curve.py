"""What the engine is given: irradiance and air temperature against time, and the array's power."""

import re
from functools import cache
from typing import Final, Protocol

import attrs
import numpy as np
from numpy.typing import ArrayLike, NDArray

from labkit.arrays import Floats
from labkit.errors import Said, SiteError, UnitError
from labkit.parts import Array, Place
from labkit.text import speaker
from labkit.units import Quantity, quantity, si, written
from labkit.units.customary import DAY

say: Final = speaker("sun")


NOON: Final = 43_200.0  # middle of the day [s after midnight]
ZERO_CELSIUS: Final = 273.15  # 0 degC in kelvin, by definition of the Celsius scale
STILL_AIR: Final = 25.0  # heat lost by a module in still air, u0 of the Faiman model [W/(m2 K)]

WIND_COOLING: Final = 6.84
"""What each metre a second of wind adds to it, u1 of the Faiman model [W s/(m3 K)]."""

WIND: Final = 1.0
"""Wind over the array [m/s]: that of the NOCT test, on the cautious side for an open range."""


class Sited(Protocol):
    """What the sun needs to know of a site: where it is and how its array stands."""

    @property
    def place(self) -> Place:
        """Latitude, longitude, elevation, air temperature."""
        ...

    @property
    def array(self) -> Array:
        """Tilt and direction of the panels."""
        ...


def _points(values: ArrayLike) -> Floats:
    """Copy `values` into an array that nobody can change."""
    array = np.array(values, dtype=np.float64, ndmin=1)
    array.setflags(write=False)
    return array


@attrs.frozen(kw_only=True, unsafe_hash=False)
class Sun:
    """Irradiance and air temperature through a run, straight between the points.

    Notes
    -----
    Before its first and after its last point the sun keeps the value of that point. A run longer
    than the days that the points cover sees the same days again, joined by a straight line
    (`between`).
    """

    # points in time, increasing, from the start of the run [s], shape (n,)
    time: Floats = attrs.field(converter=_points, eq=attrs.cmp_using(eq=np.array_equal))
    # irradiance on the plane of the array [W/m2], shape (n,)
    irradiance: Floats = attrs.field(converter=_points, eq=attrs.cmp_using(eq=np.array_equal))
    air_temperature: Floats = attrs.field(  # air temperature [degC], shape (n,)
        converter=_points, eq=attrs.cmp_using(eq=np.array_equal)
    )
    clock: float = 0.0  # time of day at time 0 [s after local midnight, standard time]
    source: str  # where it comes from, in words for a legend
    # share that haze has taken from the irradiance already, 0 to 1 (see `behind`)
    haze: float = 0.0

    def __attrs_post_init__(self) -> None:
        """Refuse points that are no line against time."""
        curves = (self.time, self.irradiance, self.air_temperature)
        shape = (max(self.time.size, 1),)
        if not shape == self.time.shape == self.irradiance.shape == self.air_temperature.shape:
            sizes = Said(", ".join(str(curve.size) for curve in curves))
            raise SiteError("sun", "number of points", sizes, "each curve needs the same number")
        if not np.isfinite(curves).all():
            raise SiteError("sun", "a point", Said("not finite"), "every point must be a number")
        if (np.diff(self.time) <= 0.0).any():
            rule = "each point must be later than the one before"
            raise SiteError("sun", "time", Said("not increasing"), rule)
        if (self.irradiance < 0.0).any():
            lowest = Said(f"{self.irradiance.min():g} W/m^2")
            raise SiteError("sun", "irradiance", lowest, "it must not be negative")

    def at(self, time: ArrayLike) -> Floats:
        """Irradiance on the array's plane at `time` [s from the start], in W/m2."""
        return np.asarray(np.interp(np.asarray(time), self.time, self.irradiance), dtype=np.float64)

    def behind(self, haze: float) -> "Sun":
        """Return the same sun behind a haze that takes a share of it, 0 for none and below 1.

        The haze that it stood behind before is lifted first.
        """
        if not 0.0 <= haze < 1.0:
            rule = "it must be a share from 0 to below 1"
            raise SiteError("sun", "haze", Said(f"{haze:g}"), rule)
        left = (1.0 - haze) / (1.0 - self.haze)
        return attrs.evolve(self, irradiance=self.irradiance * left, haze=haze)

    def between(self, start_clock: str | float, duration: str | Quantity | float) -> "Sun":
        """Cut out a run from a time of day, such as ``"06:30"`` or seconds after midnight.

        Its first point is at time 0, the last at the end of the run. If the points run out, the
        days they cover come again from their first midnight.
        """
        clock = clock_seconds(start_clock)
        length = duration_seconds(duration)
        start = (clock - self.clock) % DAY
        time, irradiance, air = self._repeated(start + length)
        passed = time - start
        points = np.concatenate(([0.0], passed[(passed > 0.0) & (passed < length)], [length]))
        return Sun(
            time=points,
            irradiance=np.interp(points, passed, irradiance),
            air_temperature=np.interp(points, passed, air),
            clock=clock,
            source=self.source,
            haze=self.haze,
        )

    def _repeated(self, until: float) -> tuple[Floats, Floats, Floats]:
        """Points that reach at least `until` [s], the covered days laid one after another."""
        period = DAY * max(1.0, np.ceil(self.time[-1] / DAY))
        if until <= period or self.time.size == 1:
            return self.time, self.irradiance, self.air_temperature
        times = int(np.ceil(until / period)) + 1
        once = self.time < period  # the next copy begins where this one ends
        shifts = np.repeat(period * np.arange(times), np.count_nonzero(once))
        return (
            np.tile(self.time[once], times) + shifts,
            np.tile(self.irradiance[once], times),
            np.tile(self.air_temperature[once], times),
        )


def clock_seconds(clock: str | float) -> float:
    """Seconds after midnight of a time of day such as ``"06:30"`` (a number is taken as it is)."""
    if not isinstance(clock, str):
        return float(clock) % DAY
    return _seconds(clock)


@cache
def _seconds(clock: str) -> float:
    match = re.fullmatch(r"\s*(\d{1,2}):(\d{2})(?::(\d{2}))?\s*", clock)
    hour, minute, second = (int(part or 0) for part in match.groups()) if match else (99, 0, 0)
    if hour > 23 or minute > 59 or second > 59:
        raise SiteError("sun", "clock", clock, "write a time of day such as 06:30")
    return 3600.0 * hour + 60.0 * minute + second


def duration_seconds(duration: str | Quantity | float) -> float:
    """Length of a run in seconds, which must be more than nothing."""
    if not isinstance(duration, int | float):
        duration = si(_read(duration, "s", field="duration"))
    length = float(duration)
    if not 0.0 < length < np.inf:
        raise SiteError("sun", "duration", duration, "it must be more than 0 s")
    return length


def _read(typed: str | Quantity, like: str, *, field: str) -> Quantity:
    """Read a typed quantity of the sun, or say which field was wrong."""
    try:
        return quantity(typed, like)
    except UnitError as error:
        raise SiteError("sun", field, typed, str(error)) from None


def constant(irradiance: str | Quantity, air_temperature: str | Quantity = "70 degF") -> Sun:
    """Return the same irradiance on the array, such as ``"620 W/m^2"``; a run of it starts at noon.

    The air is that of a mild day if left out.
    """
    asked = _read(irradiance, "W/m^2", field="irradiance")
    air = si(_read(air_temperature, "degF", field="air_temperature")) - ZERO_CELSIUS
    if not 0.0 <= si(asked) <= 2000.0:
        rule = "on the ground it lies between 0 W/m^2 and 2000 W/m^2, clouds' mirrors included"
        raise SiteError("sun", "irradiance", Said(written(asked)), rule)
    words = say("constant", irradiance=written(asked))
    return Sun(time=0.0, irradiance=si(asked), air_temperature=air, clock=NOON, source=words)


def as_sun(sun: Sun | str | Quantity, site: Sited) -> Sun:
    """Take a Sun as it is, and a quantity as constant sun in the air of the site."""
    return sun if isinstance(sun, Sun) else constant(sun, site.place.air_temperature)


def cell_temperature(irradiance: Floats, *, air: Floats, wind: float) -> Floats:
    """Temperature of the cells of a panel on an open rack [degC], by the Faiman model.

    From the irradiance on the plane of the array [W/m2], the air [degC] and the wind [m/s].

    Notes
    -----
    ``T_cell = T_air + G / (u0 + u1 v)`` with the two constants that pvlib holds as the model's
    default. Written out here, so that a constant sun need not wait for pvlib; a test holds it to
    ``pvlib.temperature.faiman``. It leaves out the minutes that a panel takes to warm up.

    References
    ----------
    D. Faiman, "Assessing the outdoor operating temperature of photovoltaic modules", Progress in
    Photovoltaics 16, 307-315, 2008.
    """
    return air + irradiance / (STILL_AIR + WIND_COOLING * wind)


def array_power(sun: Sun, array: Array, *, wind: float = WIND) -> Floats:
    """Electrical power of the array at each point of the sun [W], in a `wind` [m/s].

    Notes
    -----
    ``P = rated * G/1000 * (1 + gamma (T_cell - 25 degC)) * derate``: linear in the irradiance,
    falling as the cells warm, and never below zero. Rated means at 1000 W/m2 and 25 degC cells.

    References
    ----------
    A. Dobos, PVWatts Version 5 Manual, NREL/TP-6A20-62641, 2014 (the same DC model).
    """
    cells = cell_temperature(sun.irradiance, air=sun.air_temperature, wind=wind)
    warmth = 1.0 + array.temperature_coefficient * (cells - 25.0)
    power = si(array.rated_power) * sun.irradiance / 1000.0 * warmth * array.derate
    return np.asarray(np.maximum(power, 0.0), dtype=np.float64)


def thinned(time: Floats, irradiance: Floats, air: Floats) -> NDArray[np.bool_]:
    """Say which points are needed, the others lying on the straight line between their neighbours.

    At night, when a point and both its neighbours are dark, the air temperature does not matter to
    the array: the point goes, and the temperature is drawn straight from dusk to dawn.
    """
    needed = np.ones(time.size, dtype=np.bool_)
    share = (time[1:-1] - time[:-2]) / (time[2:] - time[:-2])

    def bends(curve: Floats) -> NDArray[np.bool_]:
        straight = curve[:-2] + share * (curve[2:] - curve[:-2])
        return np.abs(curve[1:-1] - straight) > 1e-9

    dark = (irradiance[:-2] == 0.0) & (irradiance[1:-1] == 0.0) & (irradiance[2:] == 0.0)
    needed[1:-1] = bends(irradiance) | (bends(air) & ~dark)
    return needed
