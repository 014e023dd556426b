"""The water budget: demand, delivery, and the dull spell."""

from __future__ import annotations

import datetime as dt
from math import acos, degrees, inf, pi, radians, sin, tan
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import labkit as lab
from labkit.advice.seasons import average_day, usual_range, yearly_temperatures
from labkit.advice.sky_mix import SkyMix, in_a_row, peak_sun_hours, some_days
from labkit.advice.water_budget import LIVED_DAYS, deliverable, herd_demand, water_budget
from labkit.catalogue import stock_kinds
from labkit.errors import SiteError
from labkit.sun import clear_day
from labkit.units import si
from tests.customary import DAY, GALLON, GPM

if TYPE_CHECKING:
    from labkit.advice.water_budget import WaterBudget
    from labkit.site import Site

HOUR = 3600.0
FEW = settings(max_examples=8)


@pytest.fixture(scope="module")
def site() -> Site:
    return lab.demo_site("one_trough")


@pytest.fixture(scope="module")
def dark(site: Site) -> WaterBudget:
    """A budget with a dull spell in the dark."""
    return water_budget(site, cloudy_light=0.0, cloudy_days=2, months=[1, 7])


@pytest.mark.parametrize(
    ("month", "number", "declination"),
    [(1, 17, -20.9), (2, 47, -13.0), (3, 75, -2.4), (4, 105, 9.4), (5, 135, 18.8), (6, 162, 23.1),
     (7, 198, 21.2), (8, 228, 13.5), (9, 258, 2.2), (10, 288, -9.6), (11, 318, -18.9),
     (12, 344, -23.0)],
)  # fmt: skip
def test_the_day_of_each_month(month: int, number: int, declination: float) -> None:
    """Source: Klein 1977, as table 1.6.1 of Duffie and Beckman (from memory), and Cooper's
    declination, 23.45 sin(360 (284 + n)/365)."""
    day = average_day(month, 2023).timetuple().tm_yday

    assert day == number
    assert 23.45 * sin(2 * pi * (284 + day) / 365) == pytest.approx(declination, abs=0.05)


@pytest.mark.parametrize(
    ("latitude", "january", "july"), [(35.0, 36.0, 78.0), (39.8, 31.0, 74.0), (46.8, 13.0, 71.0)]
)
def test_the_range_of_the_year(latitude: float, january: float, july: float) -> None:
    """Source: normals of Albuquerque, Denver and Bismarck [degF], from memory; the rule claims no
    more than some 5 degF."""
    assert 1.8 * usual_range(latitude) == pytest.approx(july - january, abs=6.0)


def test_a_year_of_temperatures(site: Site) -> None:
    north = [si(t) for t in yearly_temperatures(site, warmest="74 degF", coldest="20 degF")]
    south = [
        si(t)
        for t in yearly_temperatures(
            site.changed({"place.latitude": "-34.6 deg"}), warmest="74 degF", coldest="20 degF"
        )
    ]

    assert int(np.argmax(north)) == 6  # July
    assert int(np.argmin(north)) == 0
    assert int(np.argmax(south)) == 0
    assert max(north) == pytest.approx((74 - 32) / 1.8 + 273.15, abs=0.2)
    assert min(north) == pytest.approx((20 - 32) / 1.8 + 273.15, abs=0.2)


def test_demand_is_the_printed_need_of_the_month(dark: WaterBudget) -> None:
    """Source: NDSU Extension AS1763, lactating cow: 16.9 gal at 70 degF, 11.4 at 40 degF and, as
    the catalogue holds the end of its table, below. Forty pairs."""
    by_name = {month.name: month for month in dark.months}

    assert by_name["July"].demand == pytest.approx(40 * 16.9 * GALLON, rel=2e-3)
    assert by_name["January"].demand == pytest.approx(40 * 11.4 * GALLON)
    assert dark.tightest.able / dark.tightest.demand == min(m.able / m.demand for m in dark.months)


def test_a_spell_in_the_dark_is_lived_from_the_trough(dark: WaterBudget) -> None:
    """Closed form: nothing is pumped, so the herd goes without all it asks for beyond what the full
    trough held; the tank's and the line's own water, some three gallons, aside.

    The trough of 300 gal stands 2 in of 24 below its rim: 275 gal. At 70 degF forty pairs ask for
    225.3 gal a visit of 20 min at 7:00 and 12:30: dry 12:30 plus 20 min x (275 - 225.3)/225.3.
    """
    july = dark.months[1]
    full = 300 * (24 - 2) / 24 * GALLON

    assert july.short_in_spell == pytest.approx(2 * july.demand - full, abs=3.5 * GALLON)
    assert july.storage_days == pytest.approx(full / july.demand)
    visit = july.demand / 3
    assert july.dry_after == pytest.approx(12.5 * HOUR + 1200 * (full - visit) / visit, abs=90.0)
    assert july.dry_time == pytest.approx(2 * DAY - july.dry_after, abs=0.2 * HOUR)


def test_the_air_takes_its_share(site: Site) -> None:
    """By hand: 300 gal over 24 in are 12.5 gal for each inch; 0.4 in a day are 5 gal a day, and
    the 275 gal of a full trough last 275 / (676 + 5) of a day."""
    dry_air = site.changed({"place.evaporation": "0.4 in/day"})

    july = water_budget(dry_air, months=[7], cloudy_days=1).months[0]

    assert july.evaporation == pytest.approx(5.0 * GALLON)
    assert july.needed == pytest.approx(july.demand + 5.0 * GALLON)
    assert july.storage_days == pytest.approx(275 * GALLON / july.needed)


def test_the_handbooks_method(site: Site) -> None:
    """Source: NRCS North Dakota Technical Note 1, eq. 7.1 (quoted second-hand): daily gallons =
    gpm x peak sun hours x 60; with the Red Book's St. Louis row, panels at latitude tilt."""
    hours = [3.6, 4.2, 4.7, 5.3, 5.6, 5.8, 5.9, 5.7, 5.3, 4.8, 3.5, 3.1]

    budget = water_budget(site, peak_sun=hours, months=[1, 6, 12])

    gpm = lab.steady(site, sun="1000 W/m^2").pump_flow / GPM
    for month, h in zip(budget.months, (3.6, 5.8, 3.1), strict=True):
        assert month.peak_sun_hours == h
        assert month.handbook / GALLON == pytest.approx(gpm * h * 60.0)


def test_a_pump_with_power_to_spare_runs_from_dawn_to_dusk(site: Site) -> None:
    """Closed form: day length 2/15 acos(-tan phi tan delta) h (Duffie and Beckman, eq. 1.6.11),
    times the flow at full speed. The first and last twentieth of the day are too dim even so."""
    strong = site.changed({"array.rated_power": "20000 W", "drive.start_power": "5 W"})
    date = dt.date(2023, 3, 16)
    declination = radians(23.45) * sin(2 * pi * (284 + 75) / 365)
    hours = 2 / 15 * degrees(acos(-tan(si(site.place.latitude)) * tan(declination)))

    got = deliverable(strong, clear_day(strong, date))

    full = lab.steady(strong, sun="1000 W/m^2").pump_flow * hours * HOUR
    assert 0.90 * full < got < 1.0 * full


def test_days_in_a_row_keep_their_light(site: Site) -> None:
    days = [clear_day(site, "2023-06-11"), clear_day(site, "2023-12-10", haze=0.5)]

    row = in_a_row(days, source="two days")

    assert np.trapezoid(row.irradiance, row.time) / 3.6e6 == pytest.approx(
        sum(peak_sun_hours(day) for day in days)
    )
    assert row.at(DAY + 12 * HOUR) == pytest.approx(days[1].at(12 * HOUR))


@pytest.mark.parametrize(
    ("mix", "counts"),
    [(SkyMix(clear=0.5, broken=0.3), (5, 3, 2)), (SkyMix(clear=1.0, broken=0.0), (10, 0, 0)),
     (SkyMix(clear=0.0, broken=0.0), (0, 0, 10))],
)  # fmt: skip
def test_some_days_have_the_shares_of_the_mix(
    site: Site, mix: SkyMix, counts: tuple[int, int, int]
) -> None:
    date = average_day(7, 2023)
    noon = 12 * HOUR + DAY * np.arange(LIVED_DAYS)
    at_noon = clear_day(site, date).at(12 * HOUR)

    sun = some_days(site, date, mix, count=LIVED_DAYS, seed=3)

    whole = peak_sun_hours(clear_day(site, date))
    light = [
        np.trapezoid(sun.at(t := np.arange(k * DAY, (k + 1) * DAY, 60.0)), t) / 3.6e6 / whole
        for k in range(LIVED_DAYS)
    ]
    assert sum(share > 0.999 for share in light) == counts[0]
    assert sum(0.24 < share < 0.26 for share in light) == counts[2]
    assert (sun.at(noon) <= at_noon * 1.0001).all()


@given(kind=st.sampled_from(stock_kinds()), head=st.integers(0, 500), more=st.integers(1, 200))
def test_more_head_never_ask_for_less(kind: str, head: int, more: int) -> None:
    site = lab.demo_site("one_trough")
    few, many = (
        sum(herd_demand(site.changed({"trough.lane.herd": {"head": n, "kind": kind}})).values())
        for n in (head, head + more)
    )

    assert many > few >= 0.0


@FEW
@given(watts=st.integers(150, 1500), more=st.integers(50, 1000))
def test_a_bigger_array_never_delivers_less(watts: int, more: int) -> None:
    site = lab.demo_site("one_trough")
    small, big = (
        deliverable(site.changed({"array.rated_power": f"{w} W"}), clear_day(site, "2023-09-15"))
        for w in (watts, watts + more)
    )

    assert big >= small * (1 - 1e-4)


@FEW
@given(haze=st.floats(0.0, 0.9), more=st.floats(0.0, 0.1))
def test_less_light_never_delivers_more(haze: float, more: float) -> None:
    site = lab.demo_site("three_troughs")
    bright, dim = (
        deliverable(site, clear_day(site, "2023-03-16", haze=h)) for h in (haze, haze + more)
    )

    assert dim <= bright * (1 + 1e-4)


def test_the_mean_day_has_the_shares_of_the_mix(site: Site) -> None:
    july = water_budget(site, mix=SkyMix(clear=0.6, broken=0.1), months=[7]).months[0]

    mean = 0.6 * july.clear + 0.1 * july.broken + 0.3 * july.overcast
    assert july.able == pytest.approx(mean)
    assert july.overcast < july.broken < july.clear


def test_a_short_month_says_what_it_lacks(site: Site) -> None:
    """Ten times the troughs' size is storage for four days; a herd ten times as big is past what
    the pump can lift: 10 x 676 gal a day against 7.8 gpm for less than the day's 14 hours."""
    crowd = site.changed({"trough.lane.herd.head": 400, "trough.lane.volume": "20000 gal"})
    stuck = site.changed({"trough.lane.pipe.rise": "60 ft", "trough.lane.volume": "3000 gal"})
    roomy = site.changed({"trough.lane.volume": "3000 gal"})

    months = {name: water_budget(s, months=[7]).months[0] for name, s in
              (("small", site), ("crowd", crowd), ("roomy", roomy), ("stuck", stuck))}  # fmt: skip

    assert months["small"].lacks == "storage"
    assert months["crowd"].lacks == "pumping"
    assert months["stuck"].verdict == "stuck off"  # 60 ft of water, 26 psi, above the cut-in
    assert months["stuck"].lacks == "control"
    assert months["roomy"].lacks == "nothing"
    assert months["roomy"].enough
    assert months["roomy"].dry_after == inf


@pytest.mark.parametrize(
    ("changes", "options", "sentence"),
    [
        ({"drive.kind": "mains"}, {}, "water budget: drive.kind is 'mains'; a budget by the sun"),
        ({"trough.lane.herd": None}, {}, "water budget: herd is missing; no trough of the line"),
        ({}, {"cloudy_days": 0}, "cloudy_days is 0; it must lie between 1 and 14"),
        ({}, {"cloudy_light": 2.0}, "cloudy_light is 2.0; it is a share"),
        ({}, {"months": [0, 7]}, "months is 0, 7; write numbers of months, 1 to 12"),
        ({}, {"peak_sun": [5.0]}, "peak_sun is 1; write one for each of 12 months"),
        ({}, {"temperatures": ["70 degF"]}, "temperatures is 1; write one for each of 12 months"),
    ],
)
def test_a_budget_that_cannot_be_is_refused(
    site: Site, changes: dict[str, object], options: dict[str, object], sentence: str
) -> None:
    with pytest.raises(SiteError) as caught:
        water_budget(site.changed(changes), **options)  # type: ignore[arg-type]

    assert sentence in str(caught.value)


def test_shares_of_the_sky_are_held_to_one() -> None:
    with pytest.raises(SiteError, match=r"sky mix: broken is 0\.6; with clear 0\.5"):
        SkyMix(clear=0.5, broken=0.6)


def test_all_the_year_is_told_as_it_goes(site: Site) -> None:
    told: list[float] = []

    budget = water_budget(site, cloudy_days=1, progress=told.append)

    assert [month.name[:3] for month in budget.months[::4]] == ["Jan", "May", "Sep"]
    assert len(told) == 12
    assert told[-1] == 1.0


def test_the_same_budget_comes_out_again(site: Site, dark: WaterBudget) -> None:
    assert water_budget(site, cloudy_light=0.0, cloudy_days=2, months=[1, 7]).months == dark.months
