"""The line drawn through the sun's points: cutting, repeating, power."""

import sys
from subprocess import run
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import LabkitError, SiteError
from labkit.parts import Array
from labkit.sun import Sun, array_power, as_sun, clock_seconds, constant
from labkit.sun.curve import thinned
from tests.customary import DAY


def triangle(**changed: Any) -> Sun:
    """A made-up day: dark until 06:00, 600 W/m2 at noon, dark from 18:00."""
    points: dict[str, Any] = {
        "time": [0.0, 21_600.0, 43_200.0, 64_800.0, 86_400.0],
        "irradiance": [0.0, 0.0, 600.0, 0.0, 0.0],
        "air_temperature": [10.0, 10.0, 25.0, 20.0, 10.0],
        "source": "made up",
    }
    return Sun(**(points | changed))


def test_the_line_is_straight_between_points() -> None:
    sun = triangle()

    assert sun.at(9 * 3600.0) == pytest.approx(300.0)
    assert sun.at([-5.0, 43_200.0, 1e9]).tolist() == [0.0, 600.0, 0.0]


def test_a_run_starts_its_own_clock() -> None:
    cut = triangle().between("09:00", "6 h")

    assert cut.clock == 9 * 3600.0
    assert cut.time.tolist() == [0.0, 3 * 3600.0, 6 * 3600.0]
    assert cut.irradiance.tolist() == [300.0, 600.0, 300.0]
    assert cut.air_temperature.tolist() == [17.5, 25.0, 22.5]


def test_a_run_past_midnight_sees_the_same_day_again() -> None:
    cut = triangle().between("18:00", "2 day")

    noons = np.array([18.0, 42.0]) * 3600.0
    assert cut.at(noons) == pytest.approx([600.0, 600.0])
    assert cut.time[-1] == 2 * DAY
    assert cut.irradiance.max() == 600.0


def test_cutting_twice_is_cutting_once() -> None:
    once = triangle().between("10:00", "2 h")

    twice = triangle().between("08:00", "8 h").between("10:00", "2 h")

    assert once == twice


@given(
    start=st.floats(0.0, DAY, exclude_max=True),
    length=st.floats(1.0, 5 * DAY),
    values=st.lists(st.floats(0.0, 1400.0), min_size=3, max_size=20),
)
def test_a_cut_run_keeps_the_values_at_its_points(
    start: float, length: float, values: list[float]
) -> None:
    time = np.linspace(0.0, DAY, len(values))
    values[-1] = values[0]  # one midnight is the next
    sun = Sun(time=time, irradiance=values, air_temperature=values, source="made up")

    cut = sun.between(start, length)

    back = (cut.time + start) % DAY
    assert cut.time[0] == 0.0
    assert cut.time[-1] == length
    assert cut.irradiance == pytest.approx(sun.at(back), rel=1e-6, abs=1e-6)


@given(values=st.lists(st.sampled_from([0.0, 1.0, 2.0, 500.0]), min_size=3, max_size=40))
def test_thinning_leaves_the_light_as_it_was(values: list[float]) -> None:
    time, light = np.arange(len(values), dtype=float), np.array(values)

    needed = thinned(time, light, np.full(len(values), 20.0))

    assert np.interp(time, time[needed], light[needed]) == pytest.approx(light, abs=1e-6)
    kept = light[needed]
    share = np.diff(time[needed])
    bends = np.diff(np.diff(kept) / share)
    assert (np.abs(bends) > 0.0).all()  # no point is left over


def test_constant_sun_needs_one_point_and_a_run_of_it_two() -> None:
    sun = constant("620 W/m^2", "20 degC")

    assert sun.time.size == 1
    assert sun.clock == 12 * 3600.0
    assert sun.between("12:00", "3 day").time.tolist() == [0.0, 3 * DAY]
    assert sun.between("12:00", "3 day").irradiance.tolist() == [620.0, 620.0]
    assert sun.source == "constant 620 W/m^2"


def test_a_quantity_becomes_constant_sun_in_the_air_of_the_site(ranch: Any) -> None:
    site = ranch(air="86 degF")

    sun = as_sun("0.62 kW/m^2", site)

    assert sun.irradiance.tolist() == [pytest.approx(620.0)]
    assert sun.air_temperature.tolist() == [pytest.approx(30.0)]  # 86 degF by definition
    assert as_sun(sun, site) is sun


def test_rated_power_is_given_at_rated_conditions() -> None:
    """By definition: 1000 W/m2 and cells at 25 degC give the rating, times the derate."""
    cold = 25.0 - 1000.0 / (25.0 + 6.84)  # air in which the cells stand at 25 degC, 1 m/s
    sun = Sun(time=0.0, irradiance=1000.0, air_temperature=cold, source="test bench")
    array = Array(rated_power="700 W", derate=0.9)

    assert array_power(sun, array) == pytest.approx([630.0])


@given(light=st.floats(0.0, 1500.0), more=st.floats(0.0, 60.0), air=st.floats(-40.0, 50.0))
def test_warmer_air_never_gives_more_power(light: float, more: float, air: float) -> None:
    array = Array(rated_power="700 W")
    cool, warm = (
        array_power(Sun(time=0.0, irradiance=light, air_temperature=t, source="x"), array)
        for t in (air, air + more)
    )

    assert 0.0 <= warm[0] <= cool[0]


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"irradiance": [0.0, 0.0, -3.0, 0.0, 0.0]}, "irradiance is -3 W/m^2; it must not be"),
        ({"irradiance": [0.0, 1.0]}, "number of points is 5, 2, 5; each curve needs the same"),
        ({"time": [0.0, 2.0, 1.0, 3.0, 4.0]}, "time is not increasing; each point must be later"),
        ({"air_temperature": [np.nan] * 5}, "a point is not finite; every point must be a number"),
    ],
)
def test_points_that_are_no_curve_are_refused(wrong: dict[str, Any], words: str) -> None:
    with pytest.raises(SiteError) as caught:
        triangle(**wrong)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("620", "write an irradiance as a number and a unit"),
        ("620 psi", "write an irradiance as a number and a unit"),
        ("-1 W/m^2", "it lies between 0 W/m^2 and 2000 W/m^2"),
        ("3 kW/m^2", "it lies between 0 W/m^2 and 2000 W/m^2"),
    ],
)
def test_an_irradiance_that_cannot_be_is_refused(typed: str, words: str) -> None:
    with pytest.raises(LabkitError) as caught:
        constant(typed)
    assert str(caught.value).startswith("sun: irradiance is ")
    assert words in str(caught.value)


@pytest.mark.parametrize("clock", ["24:00", "7", "7:5", "noon", "12:60", "", "1" * 10_000])
def test_a_clock_time_that_cannot_be_is_refused(clock: str) -> None:
    with pytest.raises(SiteError, match="write a time of day such as 06:30"):
        clock_seconds(clock)


def test_clock_times() -> None:
    assert clock_seconds("06:30") == 23_400.0
    assert clock_seconds("23:59:59") == 86_399.0
    assert clock_seconds(DAY + 5.0) == 5.0


@pytest.mark.parametrize("duration", ["0 s", "-2 h", 0.0, float("nan"), float("inf"), "3 ft"])
def test_a_duration_that_cannot_be_is_refused(duration: str | float) -> None:
    with pytest.raises(SiteError, match="sun: duration is "):
        triangle().between("12:00", duration)


def test_points_cannot_be_changed() -> None:
    sun = triangle()

    with pytest.raises(ValueError, match="read-only"):
        sun.irradiance[0] = 5.0


def test_a_constant_sun_does_not_wait_for_pvlib() -> None:
    code = "import sys; from labkit.sun import constant; constant('500 W/m^2'); "
    code += "print('pvlib' in sys.modules or 'pandas' in sys.modules)"

    done = run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603

    assert done.stdout.strip() == "False"
