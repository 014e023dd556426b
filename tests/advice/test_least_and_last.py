"""Where advice takes the least of several, or the last of a row: each against all of them by hand."""

from __future__ import annotations

from math import exp
from typing import TYPE_CHECKING

import numpy as np
import pytest

from labkit.advice.bisect import crossing
from labkit.advice.bounds import Bound
from labkit.advice.rules import LEAST_CUT_IN
from labkit.advice.setting import Room, after_turns, set_so, settings
from labkit.advice.water_budget import storage_days
from labkit.parts import PressureSwitch
from labkit.sitefile import demo_site
from labkit.units import si
from tests.customary import PSI

if TYPE_CHECKING:
    from collections.abc import Callable


@pytest.mark.parametrize(
    ("excess", "at"),
    [
        (lambda x: x - 40.3, 40.3),
        (lambda x: 1.0 if x > 40.3 else -1000.0, 40.3),
        (lambda x: x - 40.3 + (5.0 if x > 12.0 else -30.0), 35.3),
        (lambda x: exp(x) - exp(3.0), 3.0),
        (lambda x: x + 1.0, 0.1),
    ],
    ids=["straight", "a jump", "a jump beside it", "steep", "too much from the start"],
)
def test_where_a_quantity_rises_over_zero(excess: Callable[[float], float], at: float) -> None:
    asked: list[float] = []

    def seen(x: float) -> float:
        asked.append(x)
        return excess(x)

    no, yes = crossing(seen, 0.1, 100.0, within=1e-4)

    assert 0.0 <= yes - no <= 1e-4
    assert no - 1e-9 <= at <= yes + 1e-9
    assert len(asked) <= 3 * 20, "three questions for each halving"


def test_storage_lasts_as_long_as_in_the_trough_that_is_dry_first() -> None:
    site = demo_site("three_troughs")
    days = []
    for trough in site.troughs:
        assert trough.herd is not None
        depth = si(trough.depth)
        water = si(trough.volume) * (depth - si(trough.freeboard)) / depth
        drunk = trough.herd.head * si(trough.herd.need(site.place.air_temperature)) * 86_400.0
        dried = si(site.place.evaporation) * 86_400.0 * si(trough.volume) / depth
        days.append(water / (drunk + dried))

    assert max(days) > 1.01 * min(days), "or least and most would be the same"
    assert storage_days(site) == pytest.approx(min(days))


@pytest.mark.parametrize(
    ("cut_in_above", "floor", "ceiling"),
    [
        (45.0, 70.0, 90.0),  # all the way in: 51 and 77 psi
        (48.0, 60.0, 84.0),
        (26.0, 42.0, 60.0),
        (20.0, 33.0, 44.0),
        (10.3, 20.0, 36.0),
        (0.2, 10.0, 22.0),  # as far out as cut-in may come
        (8.0, 24.0, 32.0),  # 28 psi is 4.89 turns out: five
        (45.0, 71.0, 79.0),  # 75 psi is 5.56 turns in: five and a half
        (17.0, 35.0, 43.0),  # 39 psi is 2.44 turns out: two and a half
    ],
)
def test_the_range_nut_alone_is_turned_to_the_best_whole_psi(
    cut_in_above: float, floor: float, ceiling: float
) -> None:
    """From 30 and 50 psi a turn out takes 3.5 and 4.5 psi; from 6 turns in to 8 turns out, to whole
    psi, and never to a cut-in under the least."""
    tried = {
        high: round(30.0 - 3.5 * (50.0 - high) / 4.5)
        for high in range(50 - 36, 50 + 27 + 1)
        if round(30.0 - 3.5 * (50.0 - high) / 4.5) >= LEAST_CUT_IN / PSI - 1e-3
    }
    margins = {
        high: min(low - cut_in_above, high - floor, ceiling - high) for high, low in tried.items()
    }
    best = max(margins.values())
    assert best >= 2.0, "or the smaller nut would be turned as well"

    found = next(
        settings(
            Room(cut_in_above=cut_in_above * PSI, floor=floor * PSI, ceiling=ceiling * PSI),
            15.0 * PSI,
        )
    )

    assert margins[round(found.cut_out / PSI)] == pytest.approx(best)
    assert found.margin / PSI == pytest.approx(best, abs=1e-4)
    assert found.differential_turns == 0.0
    assert (4.0 * found.turns).is_integer()
    turns = (50.0 - found.cut_out / PSI) / 4.5
    assert abs(found.turns - turns) < 0.125 + 1e-6, "the nearest quarter of a turn"


@pytest.mark.parametrize(
    ("cut_in_above", "floor", "differential", "lowest"),
    [
        (10.0, 20.0, 20.0, 30.0),
        (10.0, 50.0, 20.0, 50.0),
        (0.0, 10.0, 20.0, 20.0 + LEAST_CUT_IN / PSI),
    ],
    ids=["cut-in", "the floor", "the least cut-in"],
)
def test_cut_out_keeps_to_its_floor_and_cut_in_to_its_own(
    cut_in_above: float, floor: float, differential: float, lowest: float
) -> None:
    room = Room(cut_in_above=cut_in_above * PSI, floor=floor * PSI, ceiling=60.0 * PSI)

    assert room.lowest_cut_out(differential * PSI) == pytest.approx(lowest * PSI)
    assert room.width(differential * PSI) == pytest.approx((60.0 - lowest) * PSI)


def test_where_the_range_nut_alone_leaves_little_both_are_turned_to_the_middle() -> None:
    """By hand: the nut alone comes to 51 and 77 psi at best, half a psi off the static limit. 20 psi
    apart cut-out has from 70.5 to 79.5 psi. 25 psi over the preset are 25/3.5 turns in, which take
    cut-out to 50 + 4.5 * 25/3.5 psi."""
    room = Room(cut_in_above=50.5 * PSI, floor=70.0 * PSI, ceiling=79.5 * PSI)

    found = next(settings(room, 20.0 * PSI))

    assert found.cut_in / PSI == pytest.approx(55.0)
    assert found.cut_out / PSI == pytest.approx(75.0)
    assert found.margin / PSI == pytest.approx(4.5)
    assert found.turns == pytest.approx(-25.0 / 3.5)
    assert after_turns(found.turns, found.differential_turns)[1] / PSI == pytest.approx(75.0)
    assert after_turns(found.turns)[1] / PSI == pytest.approx(50.0 + 4.5 * 25.0 / 3.5)


@pytest.mark.parametrize(
    ("floor", "differential", "off"),
    [(70.0, 20.0, 4.0), (60.0, 12.0, 2.0)],
    ids=["4.5 psi to either limit", "4 psi over the least differential"],
)
def test_points_may_be_off_by_whole_psi_that_keep_to_every_limit(
    floor: float, differential: float, off: float
) -> None:
    """Where both are off towards each other, each has half of what the differential can spare."""
    room = Room(cut_in_above=50.5 * PSI, floor=floor * PSI, ceiling=79.5 * PSI)

    found = next(settings(room, differential * PSI))

    assert np.array(found.off_by) / PSI == pytest.approx([off, off])


def test_the_air_of_a_tank_is_set_with_the_switch_and_no_tank_is_made() -> None:
    """Source: the trade's rule, two psi under cut-in."""
    room = Room(cut_in_above=10.0 * PSI, floor=20.0 * PSI, ceiling=58.5 * PSI)
    chosen = next(settings(room, 20.0 * PSI))
    site = demo_site("one_trough")
    bare = set_so(site.changed({"pressure_tank": None}), chosen)

    tank = set_so(site, chosen).pressure_tank

    assert tank is not None
    assert si(tank.precharge) / PSI == pytest.approx(25.0 - 2.0)
    assert bare.pressure_tank is None
    assert si(bare.pressure_switch.cut_in) / PSI == pytest.approx(25.0)


def test_settings_worth_a_try_are_few_and_the_last_is_the_switch_s_own() -> None:
    """By hand: the nut alone comes to 25 and 43 psi, 15 psi from the nearest limit. Moves of four
    and eight psi either way keep two psi off each limit, as do a cut-in of 12 psi and a cut-out of
    56 psi."""
    room = Room(cut_in_above=10.0 * PSI, floor=20.0 * PSI, ceiling=58.5 * PSI)

    own = PressureSwitch(cut_in="38 psi", cut_out="58 psi")

    found = settings(room, 20.0 * PSI, own)

    points = [(round(each.cut_in / PSI), round(each.cut_out / PSI)) for each in found]
    apart = [(12, 43), (38, 56), (25, 56), (12, 56)]
    assert points == [(25, 43), (21, 39), (29, 47), (17, 35), (33, 51), *apart, (38, 58)]


@pytest.mark.parametrize(
    ("limits", "side", "cut_in", "cut_out", "holds"),
    [
        ("cut-in", "above", 21.0, 19.0, True),
        ("cut-in", "above", 19.0, 40.0, False),
        ("cut-in", "above", 20.0, 40.0, False),
        ("cut-out", "above", 19.0, 40.0, True),
        ("cut-out", "above", 40.0, 20.0, False),
        ("cut-out", "below", 40.0, 19.0, True),
        ("cut-out", "below", 10.0, 21.0, False),
        ("cut-out", "below", 10.0, 20.0, False),
    ],
)
def test_a_bound_asks_of_its_own_point_alone(
    limits: str, side: str, cut_in: float, cut_out: float, holds: bool
) -> None:
    """The limit is 20 psi; a point upon it keeps to neither side."""
    bound = Bound(
        name="a limit", limits=limits, side=side, pressure=20.0, sure=20.0, failure="no stop"
    )

    assert bound.holds(cut_in, cut_out) is holds
