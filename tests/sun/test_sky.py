"""Clear days and passing clouds: laws that hold at every place and date."""

import datetime as dt
from typing import Any

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import SiteError
from labkit.sun import Sun, clear_day, cloudy_day

places = st.tuples(st.floats(-66.0, 66.0), st.floats(-179.0, 179.0), st.floats(0.0, 3000.0))
dates = st.dates(dt.date(1990, 1, 1), dt.date(2050, 12, 31))


def day_sum(sun: Sun) -> float:
    """Light of the sun's points [kWh/m2]."""
    return float(np.trapezoid(sun.irradiance, sun.time)) / 3.6e6


@settings(max_examples=40)
@given(
    place=places,
    date=dates,
    tilt=st.floats(0.0, 90.0),
    azimuth=st.floats(0.0, 359.0),
    haze=st.floats(0.0, 1.0),
    more=st.floats(0.0, 1.0),
)
def test_haze_never_raises_the_light(
    ranch: Any,
    place: tuple[float, float, float],
    date: dt.date,
    tilt: float,
    azimuth: float,
    haze: float,
    more: float,
) -> None:
    latitude, longitude, elevation = place
    site = ranch(
        latitude=f"{latitude:.4f} deg",
        longitude=f"{longitude:.4f} deg",
        elevation=f"{elevation:.1f} m",
        tilt=f"{tilt:.2f} deg",
        faces=f"{azimuth:.2f} deg",
    )

    some = clear_day(site, date, haze)
    thick = clear_day(site, date, haze + (1.0 - haze) * more)

    assert (some.irradiance >= 0.0).all()
    assert some.irradiance.max() < 1361.0 * 1.1  # the sun outside the air, plus the ground's share
    assert (thick.at(some.time) <= some.irradiance + 1e-6).all()
    assert some.time[0] == 0.0
    assert some.time[-1] == 86_400.0


@settings(max_examples=25)
@given(seed=st.integers(0, 2**63), cover=st.floats(0.2, 1.0))
def test_the_same_seed_gives_the_same_clouds(ranch: Any, seed: int, cover: float) -> None:
    site = ranch(tilt="40 deg")

    first = cloudy_day(site, "2023-06-21", seed=seed, cover=cover)
    again = cloudy_day(site, "2023-06-21", seed=seed, cover=cover)
    other = cloudy_day(site, "2023-06-21", seed=seed + 1, cover=cover)

    assert first == again  # bit for bit
    assert not np.array_equal(first.irradiance, other.irradiance)


def test_clouds_only_take_light_away(ranch: Any) -> None:
    site = ranch(tilt="40 deg")
    clear = clear_day(site, "2023-06-21")

    cloudy = cloudy_day(site, "2023-06-21", seed=7)

    assert (cloudy.irradiance <= clear.at(cloudy.time) + 1e-6).all()
    assert (cloudy.irradiance >= 0.15 * clear.at(cloudy.time) - 1e-6).all()  # none takes over 85 %


def test_a_generator_may_be_handed_in(ranch: Any) -> None:
    by_number = cloudy_day(ranch(), "2023-06-21", seed=5)

    by_generator = cloudy_day(ranch(), "2023-06-21", seed=np.random.default_rng(5))

    assert np.array_equal(by_number.irradiance, by_generator.irradiance)


@pytest.mark.parametrize("cover", [0.2, 0.5, 0.8])
def test_clouds_stand_before_the_sun_for_the_share_asked_for(ranch: Any, cover: float) -> None:
    """The share is held on average only: 60 days of about 100 clouds leave it 3 % to stray."""
    site = ranch(latitude="0 deg", longitude="0 deg")
    clear = clear_day(site, "2023-03-20")
    probe = np.arange(8 * 3600.0, 16 * 3600.0, 30.0)

    shaded = [
        np.mean(
            cloudy_day(site, "2023-03-20", seed=seed, cover=cover).at(probe) < clear.at(probe) - 1
        )
        for seed in range(60)
    ]

    assert np.mean(shaded) == pytest.approx(cover, abs=0.03)


def test_no_cover_is_a_clear_day(ranch: Any) -> None:
    site = ranch()

    assert cloudy_day(site, "2023-06-21", seed=1, cover=0.0) == clear_day(site, "2023-06-21")


def test_a_clear_day_is_drawn_with_few_points(ranch: Any) -> None:
    """A point each 5 min of daylight at most, and the night one straight line."""
    sun = clear_day(ranch(), "2023-12-21")
    light = np.count_nonzero(sun.irradiance)

    assert light * 300.0 == pytest.approx(9.4 * 3600.0, abs=1200.0)  # sunrise 07:18, sunset 16:38
    assert sun.time.size <= light + 4


def test_the_clock_is_standard_time(ranch: Any) -> None:
    """At 105 W, the middle of its zone, the sun is highest within a quarter hour of 12:00.

    Source: the equation of time stays within 16.5 min (Duffie and Beckman, figure 1.5.1).
    """
    for date in ("2023-02-11", "2023-05-14", "2023-07-26", "2023-11-03"):
        sun = clear_day(ranch(), date)
        highest = sun.time[np.argmax(sun.irradiance)]
        assert abs(highest - 43_200.0) <= 16.5 * 60.0 + 150.0, date


def test_the_direction_of_the_array_moves_the_best_hour(ranch: Any) -> None:
    best = {}
    for faces in ("east", "south", "west"):
        sun = clear_day(ranch(tilt="40 deg", faces=faces), "2023-03-20")
        best[faces] = sun.time[np.argmax(sun.irradiance)]

    assert best["east"] < best["south"] < best["west"]
    by_angle = clear_day(ranch(tilt="40 deg", faces="270 deg"), "2023-03-20")
    assert by_angle.irradiance.max() == pytest.approx(
        clear_day(ranch(tilt="40 deg", faces="west"), "2023-03-20").irradiance.max()
    )


def test_an_array_south_of_the_equator_faces_north(ranch: Any) -> None:
    sums = {
        faces: day_sum(
            clear_day(ranch(latitude="-35 deg", tilt="35 deg", faces=faces), "2023-06-21")
        )
        for faces in ("north", "south")
    }

    assert sums["north"] > 2.0 * sums["south"]


def test_the_air_is_that_of_the_site(ranch: Any) -> None:
    sun = clear_day(ranch(air="50 degF"), "2023-06-21")

    assert sun.air_temperature == pytest.approx(10.0)  # 50 degF by definition


def test_words_for_the_legend(ranch: Any) -> None:
    assert clear_day(ranch(), "2023-06-21").source == "clear day, 2023-06-21"
    assert clear_day(ranch(), dt.date(2023, 6, 21), 0.3).source == (
        "clear day, 2023-06-21, haze 0.3"
    )
    assert cloudy_day(ranch(), "2023-06-21", seed=4).source == (
        "clear day, 2023-06-21, passing clouds 4"
    )


@pytest.mark.parametrize(
    "typed", ["2023-13-01", "June", "", "0001-01-01", "2023-06-21T05:00", "9" * 1000]
)
def test_a_date_that_cannot_be_is_refused(ranch: Any, typed: str) -> None:
    with pytest.raises(SiteError, match="write a day between 1900 and 2100 such as 2023-06-21"):
        clear_day(ranch(), typed)


@pytest.mark.parametrize("share", [-0.1, 1.01, float("nan"), float("inf")])
def test_shares_that_cannot_be_are_refused(ranch: Any, share: float) -> None:
    with pytest.raises(SiteError, match="sun: haze is "):
        clear_day(ranch(), "2023-06-21", share)
    with pytest.raises(SiteError, match="sun: cover is "):
        cloudy_day(ranch(), "2023-06-21", seed=1, cover=share)


def test_a_changed_copy_keeps_the_points(ranch: Any) -> None:
    sun = clear_day(ranch(), "2023-06-21")

    assert attrs.evolve(sun, source="other").irradiance.tolist() == sun.irradiance.tolist()
