"""The script of a trial by hand: what a trough lacks, when the stock come, what is left out and counted."""

from __future__ import annotations

from math import pi
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

import attrs
import numpy as np
import pytest

from labkit import demo_site
from labkit.advice import trial as trial_module
from labkit.advice.trial import Trial, asked, patience, trial
from labkit.engine.memory import FLOAT_OPENS, FLOAT_SHUTS, PUMP_STARTS
from labkit.engine.strain import COUNTED
from labkit.units import si
from tests.advice.trying import SENSOR
from tests.customary import FOOT, GALLON, INCH
from tests.engine.lines import line

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.trace import Trace

    Events = list[tuple[float, int, int]]

TANK = {"volume": "5 gal", "precharge": "18 psi"}


@pytest.mark.parametrize(
    ("changes", "lacking", "gap"),
    [
        ({}, 12.0, 200.0 * 0.5 / 24.0),
        ({"pressure_tank": TANK}, 12.0 + 2.0 * 5.0, 200.0 * 0.5 / 24.0),
        ({"trough__lane__float_valve__band": "3 in"}, 12.0, 200.0 * 3.0 / 24.0),
        ({"trough__lane__volume": "15 gal", "trough__lane__freeboard": "1 in"},
         0.8 * 15.0 * (24.0 - 1.0 - 0.5) / 24.0, 15.0 * 0.5 / 24.0),
        # a level sensor stops it at 18 in and calls for water at 14, where it is listened to
        ({"level_sensors": [SENSOR], "drive__listens_to": "either"}, 12.0, 200.0 * 4.0 / 24.0),
        ({"level_sensors": [SENSOR], "drive__listens_to": "level sensor"}, 12.0, 200.0 * 4.0 / 24.0),
        ({"level_sensors": [SENSOR]}, 12.0, 200.0 * 0.5 / 24.0),
    ],
    ids=["bare", "tank", "band", "small trough", "either", "sensor", "sensor not listened to"],
)  # fmt: skip
def test_a_trough_lacks_a_filling_and_its_band(
    changes: dict[str, Any], lacking: float, gap: float
) -> None:
    """Twelve gallons and twice the tank, though no more than four fifths of what it holds."""
    site = line(**changes)

    assert np.array(asked(site, site.troughs[0])) / GALLON == pytest.approx([lacking, gap])


@pytest.mark.parametrize(
    ("points", "rise", "feet"),
    [
        ([("300 ft", "35 ft"), ("600 ft", "-10 ft"), ("900 ft", "28 ft")], -15, 900),
        ([("300 ft", "28 ft"), ("600 ft", "-10 ft"), ("900 ft", "35 ft")], -15, 300),
        ([("300 ft", "-5 ft"), ("900 ft", "-10 ft")], -15, 0),  # down all the way
        ([("300 ft", "5 ft"), ("900 ft", "10 ft")], 15, 0),  # and up
    ],
)
def test_what_stands_beyond_the_highest_ground_is_asked_for_on_top(
    points: list[tuple[str, str]], rise: int, feet: int
) -> None:
    """By hand: so many feet of 2.067 in, but for a foot on the crest, where that is higher than well
    and trough."""
    site = line(
        trough__lane__pipe={
            "from": "manifold", "length": "1200 ft", "size": "2 in PE SIDR 15",
            "rise": f"{rise} ft", "profile": [list(point) for point in points],
        },
        trough__lane__volume="2000 gal",
    )  # fmt: skip
    held = feet * FOOT * pi / 4.0 * (2.067 * INCH) ** 2

    assert asked(site, site.troughs[0])[0] == pytest.approx(12.0 * GALLON + held, rel=5e-3)


def test_the_stock_come_once_it_had_time_to_fill_and_to_start_three_times() -> None:
    """By hand: 12 gal and five bands of 200/48 gal at a tenth of 8 gpm are 41.04 min; an hour and a
    half on top come to 131.04 min, and the stock come on the next whole minute. They drink for two
    minutes; it has as long to fill again, and is watched for a quarter of an hour."""
    filling = (12.0 + 5.0 * 200.0 / 48.0) / 0.8 * 60.0

    script = trial(line(), "lane")

    assert patience(line(), "lane") == pytest.approx(filling + 5400.0)
    assert script.comes == 132.0 * 60.0
    herd = script.site.troughs[0].herd
    assert herd is not None
    assert herd.visits == ("02:12",)
    assert si(herd.visit_time) == 120.0
    assert script.duration == pytest.approx(132.0 * 60.0 + 120.0 + filling + 900.0)


def test_nobody_waits_for_a_slow_pump_longer_than_ten_hours() -> None:
    slow = line(pump__rated_flow="0.3 gpm", pump__rated_head="170 ft")

    script = trial(slow, "lane")

    assert script.comes == patience(slow, "lane") == 36_000.0
    assert script.duration == pytest.approx(36_000.0 + 120.0 + 36_000.0 + 900.0)


def test_stock_drink_a_full_trough_down_to_where_it_stood_at_first_and_only_there() -> None:
    ranch = demo_site("three_troughs")

    script = trial(ranch, "corral")

    trough = script.site.trough("corral")
    assert trough.herd is not None
    drunk = trough.herd.head * si(trough.herd.need(script.site.place.air_temperature)) * 86_400.0
    surface = si(trough.volume) / si(trough.depth)
    full = si(trough.depth) - si(trough.freeboard)
    assert full - drunk / surface == pytest.approx(script.level, abs=1e-5)
    assert {each.name for each in script.site.troughs if each.herd is not None} == {"corral"}


# --- what is left out


def made_up(*, starts: list[float], clock: float = 0.0, cut_short: bool = False) -> Trace:
    shown = {"pump starts": starts}
    return cast(
        "Trace",
        SimpleNamespace(
            times=lambda name: shown[name],
            time=np.array([0.0, max(starts, default=0.0)]),
            clock=clock,
            is_cut_short=cut_short,
        ),
    )


def most_in_an_hour(times: list[float]) -> int:
    """By counting: of the hours that begin with a start, the one with most."""
    return max(sum(first <= each <= first + 3600.0 for each in times) for first in times)


@pytest.fixture
def script() -> Trial:
    return attrs.evolve(trial(line(), "lane"), comes=10_000.0, duration=20_000.0)


def test_starts_are_those_of_the_whole_trial(script: Trial) -> None:
    """Every 100 s from 50 s until the stock come, of which 5,000 s were left out; then ten more in
    a row, each 30 s after the last."""
    seen = [50.0 + 100.0 * n for n in range(50)]
    after = [5300.0 + 30.0 * n for n in range(10)]
    whole = [50.0 + 100.0 * n for n in range(100)] + [5000.0 + each for each in after]

    assert script.starts(made_up(starts=seen + after, clock=5000.0)) == most_in_an_hour(whole)
    assert script.starts(made_up(starts=seen + after)) == most_in_an_hour(seen + after)


def test_starts_of_a_trial_that_was_cut_short_go_on_to_its_end(script: Trial) -> None:
    """Every 500 s seven an hour, and one at either end; seen for less than an hour, and also when
    the stock have come at 10,000 s."""
    seen = [9900.0 + 500.0 * n for n in range(5)]

    assert script.starts(made_up(starts=seen)) == 5
    assert script.starts(made_up(starts=seen, cut_short=True)) == 8


def test_starts_are_not_counted_past_a_thousand(script: Trial) -> None:
    seen = [2.0 * n for n in range(1700)]

    assert script.starts(made_up(starts=seen)) == COUNTED


class Simulated:
    """What was asked of made-up runs, given one after another."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *traces: Trace) -> None:
        self.left, self.asked = list(traces), list[dict[str, Any]]()
        monkeypatch.setattr(trial_module, "simulate", self)

    def __call__(self, *_: Any, **more: Any) -> Trace:
        self.asked.append(more)
        return self.left.pop(0)

    def is_told(self, which: int, *events: tuple[float, int, int]) -> bool:
        until = cast("Callable[[object], bool]", self.asked[which]["until"])
        return until(np.array(events, dtype=float))


def repeating(every: float, until: float, *, shut: bool = True) -> Events:
    """A float that shuts at 40 s, and starts from then on."""
    times = np.arange(100.0, until, every)
    first = [(40.0, FLOAT_SHUTS if shut else FLOAT_OPENS, 0)]
    return [*first, *((float(time), PUMP_STARTS, -1) for time in times)]


def test_whole_cycles_are_left_out_so_that_the_stock_come_soon(
    monkeypatch: pytest.MonkeyPatch, script: Trial
) -> None:
    """By hand: at 580 s 9,420 are left until 10,000, in which 78 cycles of 120 s fit."""
    begun = made_up(starts=[100.0, 220.0, 340.0, 460.0, 580.0], cut_short=True)
    whole = made_up(starts=[])
    runs = Simulated(monkeypatch, begun, whole)

    assert script.run("1000 W/m^2") is whole

    assert [run["start"] for run in runs.asked] == [0.0, 78 * 120.0]
    again = repeating(120.0, 700.0)
    assert runs.is_told(0, *again)
    assert not runs.is_told(0, *repeating(120.0, 700.0, shut=False)), "a float is open"
    assert not runs.is_told(1, *again), "the stock are still to come"
    soon = script.comes - 78 * 120.0
    assert runs.is_told(1, *again, (soon + 1.0, FLOAT_OPENS, 0), (soon + 2.0, FLOAT_SHUTS, 0), *(
        (soon + 100.0 + 120.0 * n, PUMP_STARTS, -1) for n in range(6)
    ))  # fmt: skip


@pytest.mark.parametrize(
    ("begun", "enough"),
    [
        (made_up(starts=[100.0, 220.0, 340.0, 460.0, 580.0]), COUNTED),
        (made_up(starts=[100.0, 220.0, 340.0, 460.0, 580.0], cut_short=True), COUNTED - 1),
        (made_up(starts=[float(n) for n in range(COUNTED)], cut_short=True), COUNTED),
        (made_up(starts=[10_100.0 + 120.0 * n for n in range(5)], cut_short=True), COUNTED),
    ],
    ids=["ran to its end", "fewer are enough", "a thousand within an hour", "the stock have been"],
)
def test_one_run_is_enough_where_it_has_told_all(
    monkeypatch: pytest.MonkeyPatch, script: Trial, begun: Trace, enough: int
) -> None:
    runs = Simulated(monkeypatch, begun)

    assert script.run("1000 W/m^2", enough=enough) is begun
    assert len(runs.asked) == 1


def test_a_run_ends_with_starts_enough_and_by_sensor_with_no_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Without a switch to cycle by, what repeats is run to its end."""
    by_sensor = line(level_sensors=[SENSOR], drive__listens_to="level sensor")
    runs = Simulated(monkeypatch, made_up(starts=[]))

    trial(by_sensor, "lane").run("1000 W/m^2", enough=7)

    six = repeating(120.0, 810.0)
    assert not runs.is_told(0, *six)
    assert runs.is_told(0, *six, (830.0, PUMP_STARTS, -1))
