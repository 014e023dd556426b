"""Each limit of the window by itself: where it is found, and what it is held against."""

from __future__ import annotations

from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, Final, cast

import numpy as np
import pytest

from labkit import steady
from labkit.advice import bounds
from labkit.advice.bounds import (
    Bound,
    Limit,
    _highest,
    cautions,
    in_full,
    limits,
    lower_bounds,
    peaks,
    reached_from,
    room_of,
    upper_bounds,
    worst,
)
from labkit.advice.line import Line, SunRange, sun_range
from tests.advice.trying import SENSOR, kind_of_site
from tests.customary import PSI
from tests.engine.lines import DISPLACEMENT, line

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.advice.window import TroughPressures
    from labkit.trace import Trace

EIGHTH: Final = PSI / 8.0
SUN: Final = SunRange(low=200.0, high=1000.0, least=250.0, most=900.0)


def fake(**what: Any) -> Line:
    return cast("Line", SimpleNamespace(**what))


# --- the highest cut-out


def over(psi: float) -> Callable[[float], float]:
    """Excess over a limit [Pa], of a stop that climbs as far as its cut-out."""
    return lambda cut_out: cut_out - psi * PSI


def also(level: Callable[[float], float], *bands: tuple[float, float]) -> Callable[[float], float]:
    """Excess of a line whose water swings: also within some bands [psi]."""

    def excess(cut_out: float) -> float:
        swings = any(low * PSI < cut_out < high * PSI for low, high in bands)
        return max(level(cut_out), 1.0 if swings else -1e6)

    return excess


@pytest.mark.parametrize(
    ("limit", "bands", "highest"),
    [
        (40.3, [], 40.3),
        (40.3, [(37.0, 39.0)], 37.0),
        (40.3, [(35.9, 36.1)], 35.9),  # the third rung under the top
        (40.3, [(40.1, 41.0)], 40.1),  # between the top and its rung
        (70.0, [(58.7, 61.0)], 58.7),  # nothing else in the way
        (40.3, [(33.6, 39.0)], 33.6),
    ],
)
def test_the_highest_cut_out_lies_under_all_that_is_passed(
    limit: float, bands: list[tuple[float, float]], highest: float
) -> None:
    """The pump reaches 60 psi. Level, a limit is found to 2 Pa; with swings to an eighth of a psi."""
    level = over(limit)
    swinging = also(level, *bands)

    found = _highest(level, swinging, 60.0 * PSI)

    assert found is not None
    assert swinging(found) <= 0.0
    assert highest * PSI - (EIGHTH if bands else 2.0) <= found <= highest * PSI


def test_there_is_no_highest_cut_out_where_nothing_is_passed_or_reached() -> None:
    never = over(70.0)

    assert _highest(never, never, 60.0 * PSI) is None
    assert _highest(over(-1.0), over(-1.0), 0.0) is None


def test_a_limit_that_every_stop_passes_leaves_no_room() -> None:
    always = over(-1.0)

    for level in (always, over(40.3)):
        found = _highest(level, also(level, (-1.0, 100.0)), 60.0 * PSI)
        assert found == pytest.approx(0.1 * PSI)


# --- what parts stand


def test_each_run_bears_72_percent_of_its_rating_at_its_ends_and_at_each_bend_between() -> None:
    """The ground between has three bends; in warm water pipe bears less."""
    ridge = kind_of_site("two ridges and a dip")
    cool, warm = (
        list(limits(Line.of(ridge.changed({"place.water_temperature": water}))))
        for water in ("55 degF", "100 degF")
    )

    assert {limit.name for limit in cool} == {"pipe rating"}
    grounds = {limit.node for limit in cool if limit.node.startswith("ground")}
    assert len(grounds) == 3
    assert {"manifold", "lane"} <= {limit.node for limit in cool}
    rating = ridge.troughs[0].pipe.row.rating.to("psi").magnitude
    assert {round(limit.pressure / PSI, 3) for limit in cool} == {round(0.72 * rating, 3)}
    assert max(limit.pressure for limit in warm) < 0.9 * min(limit.pressure for limit in cool)


def test_floats_and_the_relief_valve_bear_what_they_say() -> None:
    site = line(
        trough__lane__float_valve__holding_pressure="50 psi",
        relief_valve={"opens_at": "45 psi", "capacity": "8 gpm at 60 psi"},
    )

    found = {(each.name, each.node): each.pressure / PSI for each in limits(Line.of(site))}

    assert found["float holds", "lane"] == pytest.approx(50.0)
    assert found["relief valve", "manifold"] == pytest.approx(45.0)
    assert {limit.name for limit in limits(Line.of(line()))} == {"pipe rating"}


def test_what_is_passed_most_counts() -> None:
    low, high = Limit("float holds", "low", "low", 50.0), Limit("pipe rating", "high", "high", 70.0)

    assert worst({"low": 54.0, "high": 71.0}, [low, high]) == (4.0, low)
    assert worst({"low": 54.0, "high": 79.0}, [low, high]) == (9.0, high)
    assert worst({"low": 49.0, "high": 60.0}, [low, high]) == (-1.0, low)


def test_a_peak_is_the_highest_head_over_its_own_ground() -> None:
    trace = cast("Trace", SimpleNamespace(head={"top": np.array([9.0, 30.0, 12.0])}))
    ground = fake(
        plant=SimpleNamespace(weight=10.0), layout=SimpleNamespace(elevations={"top": 5.0})
    )

    assert peaks(trace, ground) == {"top": pytest.approx(10.0 * (30.0 - 5.0))}
    assert peaks(trace, ground, slice(2, None)) == {"top": pytest.approx(10.0 * (12.0 - 5.0))}


# --- bounds


def bound(name: str, limits: str, side: str, pressure: float) -> Bound:
    return Bound(
        name=name, limits=limits, side=side, pressure=pressure, sure=pressure, failure="no stop",
        where="lane",
    )  # fmt: skip


def test_the_room_lies_over_the_highest_and_under_the_lowest() -> None:
    some = [
        bound("static", "cut-in", "above", 12.0), bound("static", "cut-in", "above", 17.0),
        bound("running", "cut-out", "above", 31.0), bound("running", "cut-out", "above", 28.0),
        bound("dead head", "cut-out", "below", 60.0), bound("pipe rating", "cut-out", "below", 55.0),
    ]  # fmt: skip

    room = room_of(some)

    assert (room.cut_in_above, room.floor, room.ceiling) == (17.0, 31.0, 55.0)
    low = bound("static", "cut-in", "above", -9.0), bound("running", "cut-out", "above", -3.0)
    below = room_of([*low, some[-1]])
    assert (below.cut_in_above, below.floor) == (0.0, 0.0), (
        "no gauge is set under the outside's air"
    )


def test_where_a_failure_is_sure_is_asked_in_the_sun_that_is_worst_for_it() -> None:
    """A line that stands higher before it opens dips lower, and one in weak sun climbs the least."""
    made_up = fake(lowest=lambda _, p: p - 1.0, reach=lambda sun: sun, climbs=lambda sun: 2.0 * sun)

    static = in_full(made_up, SUN, bound("static", "cut-in", "above", 5.0))
    shut = in_full(made_up, SUN, bound("dead head", "cut-out", "below", 5.0))
    pipe = bound("pipe rating", "cut-out", "below", 5.0)

    assert static.sure == SUN.most - 1.0
    assert shut.sure == 2.0 * SUN.least
    assert in_full(made_up, SUN, pipe) == pipe


def test_a_false_stop_is_sure_under_the_pressure_with_the_float_wide_open() -> None:
    """A tenth closed it asks for all it can get, and holds the water up a little more."""
    site = line(array__rated_power="500 W")
    made_ready = Line.of(site)
    sun = sun_range(made_ready, 250.0, 1000.0)
    (running,) = (each for each in lower_bounds(made_ready, sun) if each.name == "running")

    full = in_full(made_ready, sun, running)

    wide_open = steady(site, sun="1000 W/m^2", open_troughs=["lane"]).pressure["manifold"]
    assert full.sure == pytest.approx(wide_open, rel=1e-9)
    assert full.pressure > 1.03 * wide_open


def test_the_sun_of_the_running_pressure_is_the_weakest_that_comes_within_a_tenth_of_a_psi() -> (
    None
):
    site = line(array__rated_power="500 W")
    made_ready = Line.of(site)
    sun = sun_range(made_ready, 250.0, 1000.0)
    p = made_ready.running(sun.most, "lane")

    found = reached_from(made_ready, sun, "lane", p)

    assert found is not None
    assert made_ready.running(found, "lane") >= p - 0.1 * PSI
    assert made_ready.running(found - 1.0, "lane") < p - 0.1 * PSI
    assert reached_from(made_ready, sun, "lane", made_ready.running(250.0, "lane")) == 250.0


def test_a_torque_limit_that_weak_sun_does_not_come_to_bounds_beside_the_dead_head() -> None:
    site = line(pump=DISPLACEMENT, array__rated_power="300 W", drive__start_power="10 W")
    made_ready = Line.of(site)
    sun = sun_range(made_ready, 100.0, 1000.0)

    found = {each.name: each for each in upper_bounds(made_ready, sun)}

    assert {"dead head", "torque limit"} <= set(found)
    assert found["dead head"].pressure == pytest.approx(made_ready.reach(100.0))
    assert found["dead head"].sun == 100.0


@pytest.mark.parametrize(
    ("holds", "bands", "highest"),
    [
        (50.0, [], None),  # the weakest sun comes to 41 psi alone
        (39.0, [], 39.0),
        (50.0, [(39.5, 40.5)], 39.5),  # as its water swings, though not over that
        (50.0, [(53.0, 55.0)], None),
    ],
)
def test_only_limits_under_the_dead_head_decide(
    monkeypatch: pytest.MonkeyPatch,
    holds: float,
    bands: list[tuple[float, float]],
    highest: float | None,
) -> None:
    """The pump reaches 60 psi in the strongest sun; what the float passes is its own limit."""

    def stop(excess: Callable[[float], float]) -> Callable[[object, float], object]:
        return lambda _, p: SimpleNamespace(peak={"lane": excess(p) + holds * PSI}, is_locked=False)

    monkeypatch.setattr(
        bounds, "limits", lambda _: [Limit("float holds", "lane", "lane", holds * PSI)]
    )
    reach = {SUN.least: 41.0 * PSI, SUN.most: 60.0 * PSI}
    made_up = fake(
        is_solar=True,
        reach=reach.__getitem__,
        dead_head=lambda sun: SimpleNamespace(stopped_by="", pressure={"manifold": reach[sun]}),
        level_stop=stop(over(holds)),
        hardest_stop=stop(also(over(holds), *bands)),
    )

    decide = list(upper_bounds(made_up, SUN, decide=True))
    every = list(upper_bounds(made_up, SUN))

    assert decide == every[: len(decide)]
    assert [each.name for each in decide] == ["dead head", *["float holds"] * bool(highest)]
    if highest is not None:
        assert highest * PSI - EIGHTH <= decide[-1].pressure <= highest * PSI + 2.0
    assert [each.name for each in every] == ["dead head", "float holds"]


# --- what no setting mends


def said(
    made_up: Line, reached: float | None, sun: SunRange = SUN
) -> list[tuple[str, float | None]]:
    trough = cast("TroughPressures", SimpleNamespace(name="lane", reached_from=reached))
    return [(each.name, each.sun) for each in cautions(made_up, sun, (trough,), "")]


def quiet(refilling: float = 0.0) -> Line:
    """A line of which nothing is to be said but how long it refills [s]."""
    sound = Line.of(line())
    return fake(
        is_solar=True,
        plant=sound.plant,
        with_open=lambda _, **_troughs: SimpleNamespace(stopped_by=""),
        refilling=lambda sun, _: refilling if sun == 300.0 else 0.0,
    )


def test_a_trough_that_fills_whenever_the_pump_runs_is_not_short_of_sun() -> None:
    """The drive starts at 250 of the 200 W/m2 asked about."""
    assert said(quiet(), 250.0) == []
    assert said(quiet(), 251.0) == [("weak sun", 251.0)]
    assert said(quiet(), None) == [("no reach", None)]


def test_a_stop_is_late_after_twenty_minutes_in_the_weakest_sun_that_fills_the_trough() -> None:
    weak = SunRange(low=300.0, high=1000.0, least=300.0, most=1000.0)

    assert said(quiet(1199.0), 300.0, weak) == []
    assert said(quiet(1201.0), 300.0, weak) == [("late stop", 300.0)]


@pytest.mark.parametrize(
    ("listens", "names"), [("pressure switch", ["never stops"]), ("level sensor", [])]
)
def test_a_stuck_switch_matters_to_who_listens_to_it(listens: str, names: list[str]) -> None:
    stuck = Line.of(
        line(switch__contact="stuck open", level_sensors=[SENSOR], drive__listens_to=listens)
    )

    assert [each.name for each in cautions(stuck, SUN, (), "")] == names
