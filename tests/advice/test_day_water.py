"""Days at a trough: their sun, and their water in and out."""

import numpy as np
import pytest

from labkit.advice.days import day_water, days, measured_days
from labkit.advice.sky_mix import hours_over, peak_sun_hours
from labkit.errors import SiteError
from labkit.sitefile import demo_site
from labkit.sun import Sun, measured_day
from labkit.view.charts import SunAndLevel, chart_html
from labkit.view.controls import CHOICES, CONTROLS, apply_all
from tests.customary import DAY, GALLON


def test_a_dull_day_lacks_the_clouds_share_of_a_clear_one() -> None:
    sun = days(demo_site("one_trough"), month=6, dull=2, clouds=0.7)

    noons = [float(sun.irradiance[np.argmin(abs(sun.time - (n + 0.5) * DAY))]) for n in range(3)]

    assert noons[1] == pytest.approx(0.3 * noons[0], rel=1e-6)
    assert noons[2] == pytest.approx(noons[1], rel=1e-6)
    assert sun.time[-1] == 3.0 * DAY


def test_without_light_the_herd_gets_what_the_trough_holds() -> None:
    """22 of 24 in of 300 gal are 275 gal; 40 cows with calves at 70 degF want 16.9 gal each."""
    site = demo_site("one_trough")
    dark = days(site, month=7, dull=1, clouds=1.0)

    water = day_water(site, dark)

    assert water.holds == pytest.approx(275.0 * GALLON)
    assert water.wanted[0] == pytest.approx(40 * 16.9 * GALLON)
    assert sum(water.drunk) == pytest.approx(sum(water.came) + water.water[0], rel=2e-3)
    assert water.came[1] == pytest.approx(0.0, abs=0.01 * water.wanted[1])
    assert water.dry


@pytest.mark.parametrize("month", [0, 13])
def test_a_month_that_is_none_is_refused(month: int) -> None:
    with pytest.raises(SiteError, match="1 to 12"):
        days(demo_site("one_trough"), month=month)


def test_the_chart_says_what_came_and_what_was_drunk() -> None:
    site = demo_site("one_trough")
    chart = SunAndLevel.of(site, days(site, dull=1, clouds=1.0))

    assert "first ran dry on day 2" in chart.words("US")
    assert " gal" in chart.words("US")
    assert " gal" not in chart.words("metric")
    assert "<img" in chart_html(chart, "metric")


def test_hours_over_a_sun_are_those_of_a_triangle() -> None:
    """From 06:00 it climbs to 1200 at noon and falls to 18:00: over 300 for nine hours."""
    sun = Sun(
        time=np.array([0.0, 6.0, 12.0, 18.0, 24.0]) * 3600.0,
        irradiance=[0.0, 0.0, 1200.0, 0.0, 0.0],
        air_temperature=[20.0] * 5,
        source="by hand",
    )

    assert hours_over(sun, 300.0) == pytest.approx(9.0, abs=2 / 60)
    assert hours_over(sun, 1200.0) == 0.0
    assert peak_sun_hours(sun) == pytest.approx(7.2)


def test_a_measured_day_comes_again_and_again_as_it_was() -> None:
    site = demo_site("one_trough")
    day, row = measured_day("boulder", site), measured_days(site, "boulder", count=3)

    assert row.time[-1] == 3 * DAY
    for number in range(3):
        clock = np.linspace(0.25, 0.8, 200) * DAY
        assert row.at(clock + number * DAY) == pytest.approx(day.at(clock))


def test_a_measured_day_stands_whatever_the_clouds_say() -> None:
    """As the lesson's bench has it: the choice of days comes last."""
    site = demo_site("one_trough")
    start = site, days(site, dull=3)

    _, sun = apply_all(start, [(CONTROLS["clouds"], 0.3), (CHOICES["sky"], "tucson")])
    _, computed = apply_all(start, [(CONTROLS["clouds"], 0.3), (CHOICES["sky"], "computed")])

    assert sun == measured_days(site, "tucson", count=4)
    assert computed == days(site, dull=3, clouds=0.3)
