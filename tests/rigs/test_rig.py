"""The commissioning rig: a scripted technician, a careless one, and what holds them up."""

import numpy as np
import pytest

from labkit.advice.bounds import DEAD_HEAD, RUNNING, STATIC
from labkit.errors import LabkitError
from labkit.rigs import CLOTH, PRICES, Rig, Screw, hand_over, hint, start_rig
from labkit.rigs.handing import MOST
from labkit.sitefile import demo_site
from tests.advice.trying import past
from tests.rigs.working import PSI, by_the_book, clicks, read, until, up, word

RANCH = "first_line"


@pytest.fixture(scope="module")
def new() -> Rig:
    return start_rig(RANCH, 3)


@pytest.mark.parametrize("number", range(1, 13))
def test_one_who_knows_the_trade_scores_full_by_readings_alone(number: int) -> None:
    left = hand_over(by_the_book(start_rig(RANCH, number)))

    assert left.score == 100, left.points
    assert left.is_sound
    assert (left.judged.verdict, left.verdicts) == ("sound stop", ("sound stop", "sound stop"))
    assert left.tries == 1


def test_one_who_leaves_the_factory_setting_gets_no_stop_in_haze(new: Rig) -> None:
    left = hand_over(new)

    assert left.judged.verdict == "no stop"
    assert left.verdicts == ("sound stop", "no stop")
    assert left.points["hazy day"] == left.points["room"] == 0.0
    assert not left.is_sound


def turned_past(rig: Rig, name: str) -> Rig:
    """Turn the screw, a quarter at a time, until a bound is surely broken by a pound and a half."""
    bound = next(b for b in rig.window.bounds if b.name == name)
    while past(bound, rig.screw.cut_in, rig.screw.cut_out) < 1.5 * PSI:
        rig = rig.turn(1)
    return rig


def test_a_screw_turned_out_too_far_fails_as_the_window_says() -> None:
    """On this line the running pressure is met before the static one."""
    left = hand_over(turned_past(start_rig(RANCH, 3), RUNNING))

    assert left.judged.verdict == "false stop"
    assert left.verdicts[0] == "false stop"


def test_a_cut_in_under_the_static_pressure_is_stuck_off() -> None:
    high = demo_site(RANCH).changed({"trough.elm.pipe.rise": "50 ft"})
    left = hand_over(turned_past(start_rig(high, 3), STATIC))

    assert left.judged.verdict == "stuck off"
    assert left.verdicts[0] == "stuck off"


def test_the_same_number_brings_the_same_switch_sky_and_readings(new: Rig) -> None:
    again = start_rig(RANCH, 3)

    assert again.screw == new.screw
    one, other = (up(rig).wait(20.0).meter() for rig in (new, again))
    assert one.log == other.log


def test_neighbors_get_other_switches_and_skies(new: Rig) -> None:
    other = start_rig(RANCH, 4)

    assert other.screw.preset != new.screw.preset
    assert not np.array_equal(other.scene.standing.sun.time, new.scene.standing.sun.time)
    for rig in (new, other):
        for point, label in zip(rig.screw.preset, (30.0, 50.0), strict=True):
            assert abs(point / PSI - label) <= 2.0


def test_the_gauge_is_read_to_a_pound_and_at_most_a_pound_off(new: Rig) -> None:
    rig = new
    for _ in range(12):
        rig = rig.wait(1.0)
        gauge, exact = read(rig), float(rig.trace.pressure[-1]) / PSI
        assert gauge == pytest.approx(round(gauge), abs=1e-6)
        assert abs(gauge - exact) <= 1.0 + 1e-6


def test_the_switch_clicks_at_its_points(new: Rig) -> None:
    """Float up in full sun, then down: a pound is the gauge's, a second the water's on its way."""
    rig = until(new.hold("elm", "always open"), 820.0)
    rig = up(rig).hold("elm", "always open")

    assert clicks(rig, "switch trips")[-1] == pytest.approx(rig.screw.cut_out / PSI, abs=1.6)
    assert clicks(rig, "switch resets")[-1] == pytest.approx(rig.screw.cut_in / PSI, abs=1.6)


@pytest.mark.parametrize(
    ("quarters", "points"),
    [(0, (30.0, 50.0)), (4, (26.5, 45.5)), (-2, (31.75, 52.25)), (14, (17.75, 34.25))],
)
def test_a_turn_moves_both_points_as_the_trade_has_it(
    quarters: int, points: tuple[float, float]
) -> None:
    screw = Screw(preset=(30.0 * PSI, 50.0 * PSI)).turned(quarters=quarters)

    assert (screw.cut_in / PSI, screw.cut_out / PSI) == pytest.approx(points, abs=1e-3)


def test_the_nut_moves_cut_out_alone() -> None:
    screw = Screw(preset=(30.0 * PSI, 50.0 * PSI)).turned(nut=-4)

    assert (screw.cut_in / PSI, screw.cut_out / PSI) == pytest.approx((30.0, 47.5), abs=1e-3)


@pytest.mark.parametrize(
    ("quarters", "nut", "said"),
    [(-25, 0, "stud"), (33, 0, "stud"), (32, 0, "slack"), (24, -12, "closer"), (0, 13, "thread")],
)
def test_screw_and_nut_end_somewhere(quarters: int, nut: int, said: str) -> None:
    with pytest.raises(LabkitError, match=said):
        Screw(preset=(30.0 * PSI, 50.0 * PSI)).turned(quarters=quarters, nut=nut)


def test_turns_in_a_row_are_one_try(new: Rig) -> None:
    rig = new.turn(4).turn(4).turn(-1)
    assert rig.tries == 1
    assert rig.wait(1.0).turn(1).tries == 2


def test_each_thing_takes_the_minutes_that_it_says(new: Rig) -> None:
    done = {
        "screw": new.turn(1), "meter": new.meter(), "float": new.hold("elm", "always shut"),
        "cloth": new.shade(on=True), "air": new.set_air(16.0 * PSI),
    }  # fmt: skip
    for key, rig in done.items():
        assert rig.minutes - new.minutes == pytest.approx(PRICES[key])
        assert rig.clock - new.clock == pytest.approx(60.0 * PRICES[key])
        assert len(new.log) == 1, "what was before stays as it was"


def test_the_cloth_keeps_its_share_of_the_sun_off(new: Rig) -> None:
    bare, under = new.wait(5.0), new.shade(on=True)

    assert under.trace.irradiance[-1] == pytest.approx(
        (1.0 - CLOTH) * bare.trace.irradiance[-1], rel=1e-6
    )
    back = under.shade(on=False)
    assert back.trace.irradiance[-1] == pytest.approx(new.wait(10.0).trace.irradiance[-1], rel=1e-6)


def test_nobody_leaves_a_line_half_done(new: Rig) -> None:
    with pytest.raises(LabkitError, match="float at 'elm' go"):
        hand_over(up(new))
    with pytest.raises(LabkitError, match="cloth"):
        hand_over(new.shade(on=True))


def test_tries_and_minutes_cost_points(new: Rig) -> None:
    """Four settings, two of them free; 85 minutes, 80 of them free: a point and a quarter gone."""
    rig = new
    for quarters in (10, 2, 1, 1):
        rig = rig.turn(quarters).wait(20.0)
    left = hand_over(rig)

    assert left.works
    assert left.points["tries"] == MOST["tries"] - 10
    assert left.points["minutes"] == MOST["minutes"] - 1
    assert left.score == sum(left.points.values())


def test_a_line_left_as_it_came_earns_nothing_for_haste(new: Rig) -> None:
    left = hand_over(new)

    assert not left.works
    assert left.points["tries"] == left.points["minutes"] == 0
    assert left.score <= 30


def test_a_tank_that_was_not_seen_to_costs_its_points() -> None:
    """Charged for thirty pounds, and the switch turned down by twelve."""
    left = hand_over(start_rig(RANCH, 3).turn(14))

    assert left.is_sound
    assert left.points["air"] == 0.0
    assert left.score < 100


# what holds people up


def test_a_contact_that_never_closes_in_this_sun_is_explained(new: Rig) -> None:
    rig = until(up(new.shade(on=True)), 200.0, 340.0).wait(3.0)
    told = hint(rig)

    assert told.key == "no stop in this sun"
    pressures = dict(told.pressures)
    assert pressures["now"] < rig.screw.cut_out < pressures["most"]
    assert pressures["now"] / PSI == pytest.approx(read(rig), abs=6.0), "a cloud may just have come"


def test_a_stop_while_water_runs_is_explained() -> None:
    rig = until(start_rig(RANCH, 3).hold("elm", "always open"), 820.0)
    rig = turned_past(rig, RUNNING).hold("elm", "always open")

    assert hint(rig).key == "false stop"
    assert hint(rig).where == "elm"


def test_a_pump_that_never_comes_back_is_explained() -> None:
    high = demo_site(RANCH).changed({"trough.elm.pipe.rise": "50 ft"})
    rig = up(until(start_rig(high, 3).wait(1.0), 820.0))
    rig = turned_past(rig, STATIC).hold("elm", "always open").wait(10.0)

    assert word(rig, "pump") == "stands still"
    told = hint(rig)
    assert told.key == "stuck off"
    assert dict(told.pressures)["static"] / PSI == pytest.approx(50.0 / 2.31, abs=0.3)


def test_a_pump_that_comes_back_while_full_is_explained() -> None:
    """The leak takes half a gallon a minute; no float is open."""
    leaky = demo_site(RANCH).changed({"leaks": [{"at": "elm", "size": "0.5 gpm at 30 psi"}]})
    rig = up(until(start_rig(leaky, 3), 820.0)).wait(30.0)

    assert clicks(rig, "switch resets")
    told = hint(rig)
    assert told.key == "comes back while full"
    assert dict(told.pressures)["now"] == pytest.approx(rig.screw.cut_in, abs=0.2 * PSI)


def test_a_tank_charged_over_cut_in_is_explained() -> None:
    rig = start_rig(RANCH, 3).turn(8).hold("elm", "always open")

    assert hint(rig).key == "air over cut-in"


def test_a_stop_that_holds_and_one_that_is_still_to_come() -> None:
    rig = until(start_rig(RANCH, 3).hold("elm", "always open"), 820.0)
    assert hint(rig).key in ("fills", "air over cut-in")
    assert hint(up(rig)).key == "holds"


def test_a_cut_out_over_what_a_float_holds_is_warned_of() -> None:
    """It holds 40 psi, 20 ft up: 48.7 at the gauge, and the factory's cut-out is about 50."""
    site = demo_site(RANCH).changed({"trough.elm.float_valve.holding_pressure": "40 psi"})
    told = hint(start_rig(site, 3))

    assert (told.key, told.where) == ("over rating", "elm")
    limit = dict(told.pressures)["limit"] / PSI
    assert 40.0 < limit <= 40.0 + 20.0 / 2.31 + 0.1


def test_a_line_that_no_setting_suits_is_refused() -> None:
    low = demo_site("storage_tank").changed({"drive.listens_to": "pressure switch"})

    with pytest.raises(LabkitError, match="window is empty"):
        start_rig(low, 1)


def test_several_troughs_and_the_nut() -> None:
    rig = start_rig("three_troughs", 2)

    assert rig.has_nut
    assert rig.turn_nut(2).screw.cut_out > rig.screw.cut_out
    assert hand_over(rig).judged.verdict == "no stop"
    with pytest.raises(LabkitError, match="no nut"):
        start_rig(RANCH, 2).turn_nut(1)


def test_the_bound_that_the_factory_setting_breaks_is_the_dead_head(new: Rig) -> None:
    (dead,) = (b for b in new.window.bounds if b.name == DEAD_HEAD)
    assert not dead.holds(new.screw.cut_in, new.screw.cut_out)
