"""Days at a trough: their sun, and their water in and out."""

import numpy as np
import pytest

from labkit.advice.day_water import day_water
from labkit.advice.days import days
from labkit.errors import SiteError
from labkit.sitefile import demo_site
from labkit.view.charts import SunAndLevel, chart_html

DAY, GALLON = 86_400.0, 3.785411784e-3


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
    assert chart_html(chart, "metric").count("<img") == 1
