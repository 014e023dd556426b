"""A line made ready for many questions: what each of them asks of the engine, and the worst suns."""

from __future__ import annotations

from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from labkit import SiteError
from labkit.advice import line as line_module
from labkit.advice.line import Line, find_range, read_range, sun_range
from labkit.engine.stopping import Stop
from tests.advice.trying import kind_of_site
from tests.customary import GALLON, PSI
from tests.engine.lines import DISPLACEMENT, SHORT, line

if TYPE_CHECKING:
    from collections.abc import Callable

HOT = {
    "place": {
        "latitude": "40 deg", "longitude": "-100 deg", "elevation": "3000 ft",
        "air_temperature": "113 degF",
    },
    "array": {"rated_power": "300 W", "temperature_coefficient": -0.01},
}  # fmt: skip
"""Where the array gives most in 1,274 W/m2 (see the window's tests)."""


class Engine:
    """Keeps what was asked of a function of the engine, which gives the same each time."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, name: str, gives: Any) -> None:
        self.asked: list[dict[str, Any]] = []
        self.gives = gives
        monkeypatch.setattr(line_module, name, self)

    def __call__(self, *_: object, **asked: Any) -> Any:
        self.asked.append(asked)
        return self.gives


# --- what the gauge shows of moving water


def test_the_deepest_dip_is_looked_for_from_any_pressure_that_a_line_may_stand_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By hand: in two minutes stock drink twelve gallons and the band of 200/48 gal."""
    engine = Engine(monkeypatch, "lowest_as_it_opens", 3.0)
    made_ready = Line.of(line(trough__lane__pipe__rise="20 ft"))
    rest = made_ready.rest("lane").least

    assert made_ready.lowest("lane", 60.0 * PSI) == 3.0

    (asked,) = engine.asked
    assert asked["pressures"][[0, -1]] == pytest.approx([rest, 60.0 * PSI])
    assert np.ptp(np.diff(asked["pressures"])) < 1e-6
    assert len(asked["pressures"]) > 3
    assert asked["drinking"] == pytest.approx((12.0 + 200.0 / 48.0) * GALLON / 120.0)
    assert asked["seconds"] == 120.0


def test_water_without_inertia_dips_no_lower_than_it_comes_to_rest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    engine = Engine(monkeypatch, "lowest_as_it_opens", 3.0)
    short = Line.of(line(**SHORT))

    assert not short.swings
    assert short.lowest("lane", 60.0 * PSI) == short.rest("lane").least
    assert engine.asked == []


@pytest.mark.parametrize(("climbed", "shown"), [(99.0, 99.0), (1.0, None)])
def test_water_that_moves_climbs_past_the_shut_line_s_pressure_from_where_it_stood(
    monkeypatch: pytest.MonkeyPatch, climbed: float, shown: float | None
) -> None:
    """From where it may come to rest at the lowest of its troughs, and not from under the outside's
    air."""
    for kind in ("three_troughs", "downhill"):
        made_ready = Line.of(kind_of_site(kind).changed({"pressure_tank": None}))
        engine = Engine(monkeypatch, "highest_climb", climbed * PSI)
        lowest = min(made_ready.rest(name).least for name in made_ready.troughs)
        reach = made_ready.reach(1000.0)

        found = made_ready.climbs(1000.0)

        assert made_ready.swings
        assert found == (reach if shown is None else pytest.approx(shown * PSI))
        (asked,) = engine.asked
        assert asked["pressure"] == max(lowest, 0.0) < reach
        assert asked["power"] == made_ready.power(1000.0)


def test_a_climb_that_the_pump_does_not_reach_begins_at_what_it_reaches(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    engine = Engine(monkeypatch, "highest_climb", 0.0)
    high = Line.of(line(trough__lane__pipe__rise="170 ft"))

    high.climbs(1000.0)

    assert engine.asked[0]["pressure"] == high.reach(1000.0) < high.rest("lane").least


def test_nothing_climbs_past_a_displacement_pump_s_torque(monkeypatch: pytest.MonkeyPatch) -> None:
    engine = Engine(monkeypatch, "highest_climb", 99.0 * PSI)
    helical = Line.of(line(pump=DISPLACEMENT))

    assert helical.climbs(1000.0) == helical.reach(1000.0)
    assert engine.asked == []


def test_the_hardest_stop_is_looked_for_over_all_the_range(monkeypatch: pytest.MonkeyPatch) -> None:
    engine = Engine(monkeypatch, "hardest_stop", Stop(peak={}, is_locked=False))
    made_ready = Line.of(line(array__rated_power="500 W"))

    made_ready.hardest_stop(sun_range(made_ready, 300.0, 900.0), 40.0 * PSI)

    (asked,) = engine.asked
    assert asked["powers"] == (made_ready.power(300.0), made_ready.power(900.0))
    assert asked["powers"][0] < asked["powers"][1]
    assert asked["cut_out"] == 40.0 * PSI


def test_a_float_that_is_a_tenth_closed_holds_the_water_up_more() -> None:
    """Once it is a tenth closed it passes nine tenths at the same pressure: as a square, a quarter
    more of what its valve takes."""
    made_ready = Line.of(line())
    full = made_ready.running(1000.0, "lane", opening=1.0)

    assert made_ready.running(1000.0, "lane") == made_ready.running(1000.0, "lane", opening=0.9)
    assert full < made_ready.running(1000.0, "lane") < full / 0.9**2


def test_pipe_beyond_a_crest_is_filled_at_what_the_pump_has_to_spare(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By hand: two legs stand three and five meters down; of 4e-4 m3/s a leak takes 1e-4."""
    ridge = Line.of(kind_of_site("two ridges and a dip"))
    legs = [name for name in ridge.layout.names if name.startswith("far side")]
    nodes = {name: ridge.plant.nodes[ridge.layout.names.index(name)] for name in legs}
    assert len(legs) == 2

    def filling(flow: float) -> Callable[..., object]:
        surface = {
            name: node.z - down
            for (name, node), down in zip(nodes.items(), (3.0, 5.0), strict=True)
        }
        return lambda *_, **__: SimpleNamespace(pump_flow=flow, leak_flow=1e-4, surface=surface)

    lacking = sum(node.S * down for node, down in zip(nodes.values(), (3.0, 5.0), strict=True))
    monkeypatch.setattr(Line, "with_open", filling(4e-4))
    assert ridge.refilling(1000.0, "lane") == pytest.approx(lacking / 3e-4)
    assert ridge.refilling(1000.0, "lane") > 1.0
    monkeypatch.setattr(Line, "with_open", filling(1e-4))
    assert ridge.refilling(1000.0, "lane") == 0.0, "it never gets full"


# --- the worst suns


def test_a_range_of_sun_may_be_one_sun_and_ends_at_two_thousand() -> None:
    assert read_range(("600 W/m^2", "600 W/m^2")) == (600.0, 600.0)
    assert read_range(("0.1 W/m^2", "2000 W/m^2")) == (0.1, 2000.0)
    with pytest.raises(SiteError, match="between 0"):
        read_range(("600 W/m^2", "2001 W/m^2"))


def test_a_range_begins_where_the_drive_starts_in_it() -> None:
    """In the sun in which the array gives the drive's 60 W."""
    made_ready = Line.of(line(array__rated_power="250 W", drive__start_power="60 W"))

    found = find_range(made_ready, 100.0, 1000.0)

    assert found is not None
    assert (found.low, found.high, found.most) == (100.0, 1000.0, 1000.0)
    assert made_ready.power(found.least) == pytest.approx(60.0, rel=1e-6)
    assert made_ready.power(found.least) >= 60.0, "it starts there"
    later = find_range(made_ready, 700.0, 1000.0)
    assert later is not None
    assert later.least == 700.0
    assert find_range(made_ready, 100.0, found.least - 1.0) is None


def test_where_the_array_loses_more_to_the_heat_than_it_gains_the_ends_are_the_other_way_round() -> (
    None
):
    made_ready = Line.of(line(**HOT))

    found = sun_range(made_ready, 1300.0, 1900.0)

    assert (found.least, found.most) == (1900.0, 1300.0)
    assert made_ready.power(1300.0) > made_ready.power(1900.0)


def test_a_hot_day_takes_power_by_the_array_s_own_coefficient() -> None:
    """By hand: from 77 degF (25 degC) to 113 degF (45 degC) the cells get 20 degrees warmer at the
    same sun: 20 times 0.4 % of the rated power, of which a line with more sun than it can use sees
    nothing, and one with less all of it."""
    cool, hot = (
        Line.of(line(place__air_temperature=air, array__rated_power="400 W"))
        for air in ("77 degF", "113 degF")
    )

    lost = cool.power(500.0) - hot.power(500.0)

    share = cool.power(500.0) / (1.0 - 0.004 * 500.0 / (25.0 + 6.84))  # without any heat
    assert lost == pytest.approx(0.08 * share, rel=0.01)
