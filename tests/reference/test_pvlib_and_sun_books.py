"""The sun against the outside world: pvlib's own figures, textbooks, a weather network, a data
book.

Numbers marked "pvlib's tests" are printed in the tests of pvlib, so they hold both the library to
its word and our formulas to the library. The table for 40 N, 105 W was made with pvlib 0.16.1 by
hand, apart from labkit, at one-minute steps: it checks time zone, tilt, direction, units and the
five-minute points.
"""

import datetime as dt
from math import acos, cos, degrees, exp, pi, radians, sin, tan

import attrs
import numpy as np
import pandas as pd
import pvlib
import pytest

from labkit.parts import Array, Place
from labkit.sun import Sun, array_power, clear_day
from labkit.sun.curve import cell_temperature
from labkit.sun.sky import TURBIDITY, Ground, moments


@attrs.frozen(kw_only=True)
class Ranch:
    """What the sun asks of a site."""

    place: Place
    array: Array


def ranch(
    *,
    tilt: float = 0.0,
    latitude: float = 40.0,
    longitude: float = -105.0,
    elevation: float = 1600.0,
) -> Ranch:
    place = Place(
        latitude=f"{latitude} deg",
        longitude=f"{longitude} deg",
        elevation=f"{elevation} m",
        air_temperature="25 degC",
    )
    return Ranch(place=place, array=Array(rated_power="1000 W", tilt=f"{tilt} deg", derate=1.0))


def day_sum(curve: np.ndarray[tuple[int], np.dtype[np.float64]], sun: Sun) -> float:
    """Sum over the day in kWh (of m2 for light)."""
    return float(np.trapezoid(curve, sun.time)) / 3.6e6


# --- formulas of pvlib's tests


@pytest.mark.parametrize(
    ("elevation", "printed"),
    [(5.0, 48.63), (10.0, 135.74), (30.0, 487.89), (50.0, 778.77), (90.0, 1035.09)],
)
def test_haurwitz_clear_sky(elevation: float, printed: float) -> None:
    """Source: pvlib's tests; B. Haurwitz, Journal of Meteorology 2, 154-166, 1945: the formula."""
    cos_z = cos(radians(90.0 - elevation))

    by_library = pvlib.clearsky.haurwitz(pd.Series([90.0 - elevation]))["ghi"].iloc[0]

    assert by_library == pytest.approx(printed, abs=0.006)
    assert 1098.0 * cos_z * exp(-0.059 / cos_z) == pytest.approx(printed, abs=0.006)


def test_power_of_an_array() -> None:
    """Source: pvlib's tests of the PVWatts model: 88.65 W at 900 W/m2, cells at 30 degC, 100 W,
    -0.003/K.

    The air is chosen so that the cells stand at 30 degC.
    """
    air = 30.0 - 900.0 / (25.0 + 6.84 * 1.0)
    sun = Sun(time=0.0, irradiance=900.0, air_temperature=air, source="test")
    array = Array(rated_power="100 W", temperature_coefficient=-0.003, derate=1.0)

    assert array_power(sun, array)[0] == pytest.approx(88.65, abs=0.005)
    assert pvlib.pvsystem.pvwatts_dc(900.0, 30.0, 100.0, -0.003) == pytest.approx(88.65, abs=0.005)


def test_the_usual_derate_agrees_with_pvwatts_losses_and_field_figures() -> None:
    """Source: PVWatts default losses 14.0757 % (pvlib's tests); real panels in heat give 0.85 to
    0.90 of their rating (Murphy, Energy and Human Ambitions, chapter 13).
    """
    derate = Array(rated_power="100 W").derate

    assert pvlib.pvsystem.pvwatts_losses() == pytest.approx(14.0757, abs=5e-5)
    assert derate == pytest.approx(1.0 - 0.140757, abs=0.02)
    assert 0.85 <= derate <= 0.90


def test_cell_temperature() -> None:
    """Source: pvlib's tests of the Faiman model: 35.203 degC at 900 W/m2, 20 degC, 5 m/s."""
    ours = cell_temperature(np.array([900.0]), air=np.array([20.0]), wind=5.0)

    assert ours[0] == pytest.approx(35.203, abs=5e-4)


@pytest.mark.parametrize("wind", [0.0, 1.0, 7.5])
@pytest.mark.parametrize("light", [0.0, 333.0, 1250.0])
def test_cell_temperature_is_that_of_pvlib(light: float, wind: float) -> None:
    ours = cell_temperature(np.array([light]), air=np.array([-4.0]), wind=wind)

    assert ours[0] == pytest.approx(pvlib.temperature.faiman(light, -4.0, wind), rel=1e-12)


# --- where the sun stands


@pytest.mark.parametrize(
    ("day_of_year", "printed", "digit"),
    [(44, -13.95, 0.006), (75, -2.42, 0.006), (170, 23.43, 0.006), (335, -22.11, 0.006)],
)
def test_declination(day_of_year: int, printed: float, digit: float) -> None:
    """Source: Cooper's formula, Duffie and Beckman, Solar Engineering of Thermal Processes, eq.
    1.6.1a; days 170 and 335 from Rai's worked examples 2.4.1 and 2.4.2.

    Our sun stands at noon at latitude minus declination; Cooper's formula is good to about 1
    degree.
    """
    cooper = 23.45 * sin(radians(360.0 * (284 + day_of_year) / 365.0))
    ground = Ground(latitude=40.0, longitude=-105.0, elevation=0.0)
    date = dt.date(2023, 1, 1) + dt.timedelta(days=day_of_year - 1)
    zenith = ground.position(moments(date, np.arange(41_400.0, 45_000.0, 60.0), -7.0))["zenith"]

    assert cooper == pytest.approx(printed, abs=digit)
    assert 40.0 - float(zenith.min()) == pytest.approx(printed, abs=1.0)


@pytest.mark.parametrize(
    ("date", "solar_hour", "zenith", "azimuth"),
    [
        ("2023-02-13", 9.5, 66.5, -40.0),
        ("2023-07-01", 18.5, 79.6, 112.0),
        ("2023-03-16", 16.0, 70.3, 66.8),
    ],
    ids=["example 1.6.2a", "example 1.6.2b", "example 1.6.3"],
)
def test_zenith_and_azimuth(date: str, solar_hour: float, zenith: float, azimuth: float) -> None:
    """Source: Duffie and Beckman, examples as named, latitude 43 (azimuth from south, west
    positive).

    Tolerance: the book takes the declination from Cooper's formula, up to 0.7 degree off at these
    dates, which moves the azimuth at latitude 43 by no more than a degree.
    """
    ground = Ground(latitude=43.0, longitude=-90.0, elevation=0.0)
    day = dt.date.fromisoformat(date)
    late = float(pvlib.solarposition.equation_of_time_spencer71(day.timetuple().tm_yday)) / 60.0
    clock = np.array([3600.0 * (solar_hour - late)])

    position = ground.position(moments(day, clock, -6.0)).iloc[0]

    assert position["zenith"] == pytest.approx(zenith, abs=0.7)
    assert position["azimuth"] - 180.0 == pytest.approx(azimuth, abs=1.0)


def test_solar_time() -> None:
    """Source: Duffie and Beckman, example 1.5.1: at Madison (89.4 W), 3 February, 10:30 central
    standard time is 10:19 solar time: the equation of time is -13.5 min.

    So the sun stands due south 11 min after 12:00 of the clock.
    """
    ground = Ground(latitude=43.0, longitude=-89.4, elevation=0.0)
    clock = np.arange(43_200.0, 46_800.0, 10.0)
    azimuth = ground.position(moments(dt.date(2023, 2, 3), clock, -6.0))["azimuth"]
    south = float(np.interp(180.0, azimuth, clock))

    assert ground.hours_from_utc == -6.0
    assert (south - 43_200.0) / 60.0 == pytest.approx(11.1, abs=0.4)  # the book rounds to a minute
    equation = pvlib.solarposition.equation_of_time_spencer71(34)
    assert float(equation) == pytest.approx(-13.5, abs=0.05)


def test_sunset() -> None:
    """Source: Duffie and Beckman, example 1.6.3: latitude 43, 16 March, sunset at 17:51 to 17:52
    solar time (sunset hour angle 87.8 degrees), the sun taken as a point and the air as absent.
    """
    ground = Ground(latitude=43.0, longitude=-90.0, elevation=0.0)
    day = dt.date(2023, 3, 16)
    late = float(pvlib.solarposition.equation_of_time_spencer71(75)) * 60.0
    clock = np.arange(61_200.0, 68_400.0, 10.0)
    zenith = ground.position(moments(day, clock, -6.0))["zenith"]
    solar = (float(np.interp(90.0, zenith, clock)) + late) / 3600.0

    assert solar == pytest.approx(
        17.0 + 51.5 / 60.0, abs=4.0 / 60.0
    )  # 0.7 deg of declination is 3 min
    assert degrees(acos(-tan(radians(43.0)) * tan(radians(-2.42)))) == pytest.approx(
        87.74, abs=0.01
    )


@pytest.mark.parametrize(("hour", "zenith"), [(15, 83.89), (18, 62.71), (22, 72.89)])
def test_zenith_of_a_weather_network(hour: int, zenith: float) -> None:
    """Source: NOAA SURFRAD, Alamosa, daily file of 2016-01-01, column of the solar zenith angle
    (UTC).

    The network's readings are means over the minute before, and its angle follows a shorter
    almanac: the two agree within the minute's motion of the sun (0.25 degree).
    """
    ground = Ground(latitude=37.70, longitude=-105.92, elevation=2317.0)
    when = moments(dt.date(2016, 1, 1), np.array([3600.0 * hour]), 0.0)

    assert float(ground.position(when)["zenith"].iloc[0]) == pytest.approx(zenith, abs=0.25)


@pytest.mark.parametrize(("day_of_year", "printed"), [(1, 1415.0), (171, 1322.0)])
def test_sunlight_outside_the_air(day_of_year: int, printed: float) -> None:
    """Source: Duffie and Beckman, eq. 1.4.1b with 1367 W/m2, values of test files that follow the
    book.
    """
    beyond = pvlib.irradiance.get_extra_radiation(float(day_of_year), solar_constant=1367.0)

    assert float(beyond) == pytest.approx(printed, abs=2.0)


# --- the day's light


@pytest.mark.parametrize(
    ("date", "highest", "sunrise"),
    [
        ("2023-03-20", 49.972, "06:03:37"),
        ("2023-06-21", 73.442, "04:31:19"),
        ("2023-12-21", 26.587, "07:18:14"),
    ],
)
def test_course_of_the_sun(date: str, highest: float, sunrise: str) -> None:
    """Source: pvlib by hand, 40 N, 105 W (see the head of this file)."""
    ground = Ground(latitude=40.0, longitude=-105.0, elevation=1600.0)
    time = np.arange(0.0, 86_400.0, 60.0)
    position = ground.position(moments(dt.date.fromisoformat(date), time, -7.0))
    height = 90.0 - position["zenith"].to_numpy()
    seen = 90.0 - position["apparent_zenith"].to_numpy()  # lifted by the air
    hour, minute, second = (int(part) for part in sunrise.split(":"))
    rise = 3600.0 * hour + 60.0 * minute + second

    assert ground.hours_from_utc == -7.0
    assert seen.max() == pytest.approx(highest, abs=0.002)
    # At sunrise the upper edge shows, lifted: 0.8333 degrees under the horizon, by convention.
    assert np.interp(rise, time, height) == pytest.approx(-0.8333, abs=0.01)


@pytest.mark.parametrize(
    ("date", "tilt", "light", "peak", "power", "peak_power"),
    [
        ("2023-03-20", 0.0, 6.163, 862.1, None, None),
        ("2023-06-21", 0.0, 9.240, 1066.9, None, None),
        ("2023-12-21", 0.0, 2.514, 464.8, None, None),
        ("2023-03-20", 25.0, 7.751, 1087.0, None, None),
        ("2023-06-21", 25.0, 8.797, 1111.0, None, None),
        ("2023-12-21", 25.0, 4.631, 797.0, None, None),
        ("2023-03-20", 40.0, 8.099, 1137.0, 7.354, 1004.0),
        ("2023-06-21", 40.0, 7.914, 1050.0, 7.248, 936.0),
        ("2023-12-21", 40.0, 5.542, 934.0, 5.113, 844.0),
        ("2023-03-20", 55.0, 7.958, None, None, None),
        ("2023-06-21", 55.0, 6.649, None, None, None),
        ("2023-12-21", 55.0, 6.104, None, None, None),
    ],
)
def test_light_and_power_of_a_clear_day(
    date: str,
    tilt: float,
    light: float,
    peak: float | None,
    power: float | None,
    peak_power: float | None,
) -> None:
    """Source: pvlib by hand: kWh/m2 and W/m2 on the array; kWh and W of 1 kW, -0.4 %/K, Faiman,
    2 m/s.

    Tolerance: the printed digits, and the five-minute points (0.1 % of a day).
    """
    site = ranch(tilt=tilt)
    sun = clear_day(site, date)
    watts = array_power(sun, site.array, wind=2.0)

    assert TURBIDITY == 3.0  # as in the table
    assert day_sum(sun.irradiance, sun) == pytest.approx(light, rel=1e-3)
    if peak is not None:
        assert sun.irradiance.max() == pytest.approx(peak, abs=0.6)
    if power is not None:
        assert day_sum(watts, sun) == pytest.approx(power, rel=1e-3)
        assert watts.max() == pytest.approx(peak_power, abs=0.6)


@pytest.mark.parametrize(
    ("date", "hour", "light"),
    [("2023-03-20", 9, 549.5), ("2023-03-20", 12, 861.6), ("2023-03-20", 15, 595.9)],
)
def test_light_at_an_hour(date: str, hour: int, light: float) -> None:
    """Source: pvlib by hand, level ground; morning and afternoon differ, so the clock cannot
    slip."""
    assert float(clear_day(ranch(), date).at(hour * 3600.0)) == pytest.approx(light, abs=0.06)


@pytest.mark.parametrize("elevation", [0.0, 800.0, 1600.0])
@pytest.mark.parametrize("latitude", [31.0, 40.0, 48.0])
@pytest.mark.parametrize("day_of_year", [80, 172, 266])
def test_a_clear_day_agrees_with_the_irrigation_handbook(
    latitude: float, elevation: float, day_of_year: int
) -> None:
    """Source: Allen et al., FAO Irrigation and Drainage Paper 56, 1998, eq. 21 and 37: clear-sky
    light of a day = (0.75 + 2e-5 z) times the light outside the air.

    Tolerance: 8 %; the handbook has one factor for every height of the sun and every air (ours is
    that of turbidity 3), so it is compared where the noon sun stands over 40 degrees.
    """
    lat, turn = radians(latitude), 2.0 * pi * day_of_year / 365.0
    tilt = 0.409 * sin(turn - 1.39)
    sunset = acos(-tan(lat) * tan(tilt))
    outside = (
        24
        * 60
        / pi
        * 0.0820
        * (1.0 + 0.033 * cos(turn))
        * (sunset * sin(lat) * sin(tilt) + cos(lat) * cos(tilt) * sin(sunset))
    )
    date = dt.date(2023, 1, 1) + dt.timedelta(days=day_of_year - 1)

    sun = clear_day(ranch(latitude=latitude, elevation=elevation), date)

    handbook = (0.75 + 2e-5 * elevation) * outside / 3.6  # MJ to kWh
    assert day_sum(sun.irradiance, sun) == pytest.approx(handbook, rel=0.08)


RED_BOOK = {
    0.0: (2.2, 2.9, 3.9, 5.0, 5.9, 6.4, 6.4, 5.7, 4.6, 3.5, 2.3, 1.8),
    23.75: (3.2, 3.8, 4.6, 5.4, 5.9, 6.3, 6.3, 6.0, 5.3, 4.5, 3.2, 2.7),
    38.75: (3.6, 4.2, 4.7, 5.3, 5.6, 5.8, 5.9, 5.7, 5.3, 4.8, 3.5, 3.1),
    53.75: (3.8, 4.3, 4.6, 4.9, 4.9, 5.0, 5.1, 5.2, 5.1, 4.8, 3.7, 3.3),
    90.0: (3.5, 3.7, 3.4, 3.1, 2.6, 2.4, 2.6, 3.0, 3.5, 3.8, 3.2, 3.0),
}
"""Average light of a day by month at St Louis, Missouri, 1961-90 [kWh/m2], by tilt of a south
array.
"""


@pytest.mark.parametrize("tilt", RED_BOOK)
def test_clear_days_against_the_averages_of_a_data_book(tilt: float) -> None:
    """Source: Marion and Wilcox, Solar Radiation Data Manual, NREL 1994, as quoted in Murphy,
    Energy and Human Ambitions, table 13.2 (quoted second-hand).

    Clouds take from an average day: it lies below a clear day, and at St Louis above 45 % of it.
    """
    for month, average in enumerate(RED_BOOK[tilt], start=1):
        site = ranch(tilt=tilt, latitude=38.75, longitude=-90.38, elevation=172.0)
        sun = clear_day(site, dt.date(2023, month, 15))
        assert 0.45 < average / day_sum(sun.irradiance, sun) < 0.95, month
