"""The commissioning rig: a scripted technician, a careless one, and what holds them up."""

import numpy as np
import pytest

from labkit.advice.bounds import DEAD_HEAD, RUNNING, STATIC
from labkit.advice.setting import right_air
from labkit.engine.steady import steady
from labkit.errors import LabkitError
from labkit.rigs import (
    PRICES,
    SHEET,
    Rig,
    Screw,
    done_over,
    folds,
    hand_over,
    hint,
    marks,
    readings,
    start_rig,
    visit,
)
from labkit.rigs.scoring import MOST, _unfinished
from labkit.sitefile import demo_site
from labkit.view.rig_told import heard
from tests.advice.trying import past
from tests.rigs.working import PSI, careful, clicks, opened, rating, read, strong, until, up, word

RANCH = "first_line"


@pytest.fixture(scope="module")
def new() -> Rig:
    return start_rig(3, RANCH)


@pytest.mark.parametrize("number", range(1, 5))
def test_one_who_knows_the_trade_scores_full_by_readings_alone(number: int) -> None:
    left = careful(start_rig(number, RANCH))

    assert left.is_passed, (left.points, left.missed, left.slips)
    assert left.score == 100, left.points
    assert (left.judged.verdict, left.verdicts) == ("sound stop", ("sound stop", "sound stop"))


def test_a_setting_by_luck_does_not_pass(new: Rig) -> None:
    """Three and a half turns work on this line; nobody has read anything."""
    left = hand_over(new.act("screw", amount=14))

    assert left.works
    assert not left.is_passed
    assert left.missed == SHEET
    assert left.points["outcome"] == MOST["outcome"]
    assert left.points["readings"] == 0


def test_one_who_leaves_the_factory_setting_gets_no_stop_in_haze(new: Rig) -> None:
    left = hand_over(new)

    assert left.judged.verdict == "no stop"
    assert left.verdicts == ("sound stop", "no stop")
    assert left.points["outcome"] == left.points["minutes"] == 0
    assert not left.works


def turned_past(rig: Rig, name: str) -> Rig:
    """Turn the screw, a quarter at a time, until a bound is surely broken by a pound and a half."""
    bound = next(b for b in rig.window.bounds if b.name == name)
    while past(bound, rig.screw.cut_in, rig.screw.cut_out) < 1.5 * PSI:
        rig = rig.act("screw", amount=1)
    return rig


def test_a_screw_turned_out_too_far_fails_as_the_window_says() -> None:
    """On this line the running pressure is met before the static one."""
    left = hand_over(turned_past(start_rig(3, RANCH), RUNNING))

    assert left.judged.verdict == "false stop"
    assert left.verdicts[0] == "false stop"


def test_a_cut_in_under_the_static_pressure_is_stuck_off() -> None:
    high = demo_site(RANCH).changed({"trough.elm.pipe.rise": "50 ft"})
    left = hand_over(turned_past(start_rig(3, high), STATIC))

    assert left.judged.verdict == "stuck off"
    assert left.verdicts[0] == "stuck off"


def test_the_same_number_brings_the_same_switch_sky_and_readings(new: Rig) -> None:
    again = start_rig(3, RANCH)

    assert again.screw == new.screw
    one, other = (up(rig).act("wait", amount=20.0).act("meter") for rig in (new, again))
    assert one.log == other.log


def test_neighbors_get_other_switches_and_skies(new: Rig) -> None:
    other = start_rig(4, RANCH)

    assert other.screw.preset != new.screw.preset
    assert not np.array_equal(other.scene.standing.sun.time, new.scene.standing.sun.time)
    for rig in (new, other):
        for point, label in zip(rig.screw.preset, (30.0, 50.0), strict=True):
            assert abs(point / PSI - label) <= 2.0


def test_the_gauge_is_read_to_a_pound_and_at_most_a_pound_off(new: Rig) -> None:
    rig = new
    for _ in range(12):
        rig = rig.act("wait", amount=1.0)
        gauge, exact = read(rig), float(rig.trace.pressure[-1]) / PSI
        assert gauge == pytest.approx(round(gauge), abs=1e-6)
        assert abs(gauge - exact) <= 1.0 + 1e-6


def test_the_switch_clicks_at_its_points(new: Rig) -> None:
    """Float up in full sun, then down: a pound is the gauge's, a second the water's on its way."""
    rig = until(new.act("float", "elm", state="always open"), 820.0)
    rig = up(rig).act("float", "elm", state="always open")

    assert clicks(rig, "switch trips")[-1] == pytest.approx(rig.screw.cut_out / PSI, abs=1.6)
    assert clicks(rig, "switch resets")[-1] == pytest.approx(rig.screw.cut_in / PSI, abs=1.6)


def test_a_click_under_a_turned_nut_is_no_stop(new: Rig) -> None:
    over = up(until(new.act("screw", amount=-24).act("float", "elm", state="always open"), 820.0))
    turned = over.act("power", state="off").act("screw", amount=24)

    assert [one.kind for one in turned.log[-1].heard] == ["switch trips"]
    (peak,) = (one for one in readings(turned) if one.name == "peak")
    assert peak.taken == ()


def test_a_needle_that_stands_while_the_pipe_fills_is_no_reading() -> None:
    """The needle stands at a few psi until the water has climbed the fifty feet to the trough."""
    rig = opened(start_rig(92)).act("pair", state="off").act("refill").act("power", state="on")
    early = rig.act("float", "lookout", state="always shut")
    later = early.act("float", "notch", state="always open").act("wait", amount=1.0)

    assert early.trace.pressure[-1] < 12.0 * PSI
    filling = [one for rig in (early, later) for one in readings(rig) if one.name == "filling"]
    assert filling[0].taken == ()
    assert filling[1].taken
    assert min(filling[1].taken) > 30.0 * PSI


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
    rig = new.act("screw", amount=4).act("screw", amount=4).act("screw", amount=-1)
    assert rig.tries == 1
    assert rig.act("wait", amount=1.0).act("screw", amount=1).tries == 2


def test_each_thing_takes_the_minutes_that_it_says(new: Rig) -> None:
    done = {
        "screw": new.act("screw", amount=1), "meter": new.act("meter"), "float": new.act("float", "elm", state="always shut"),
        "cloth": new.act("cloth", amount=250.0), "power": new.act("power", state="off"), "bleed": new.act("bleed"),
        "pair": new.act("pair", state="off"), "bucket": new.act("bucket", "elm"),
    }  # fmt: skip
    for key, rig in done.items():
        assert rig.minutes - new.minutes == pytest.approx(PRICES[key])
        assert rig.clock - new.clock == pytest.approx(60.0 * PRICES[key])
        assert len(new.log) == 1, "what was before stays as it was"
    assert new.act("wait", amount=60.0).worked == new.worked, "waiting is no work"


def test_cloths_bring_the_sun_to_what_is_asked_for(new: Rig) -> None:
    under = new.act("cloth", amount=250.0)

    assert under.trace.irradiance[-1] == pytest.approx(250.0, rel=1e-6)
    back = under.act("cloth", amount=0.0)
    assert back.trace.irradiance[-1] == pytest.approx(
        new.act("wait", amount=10.0).trace.irradiance[-1], rel=1e-6
    )
    with pytest.raises(LabkitError, match="the bare sun gives only"):
        new.act("cloth", amount=1000.0)


def test_a_bucket_catches_what_the_float_passes_in_the_end(new: Rig) -> None:
    """Within five percent."""
    filling = new.act("float", "elm", state="always open")
    passes = steady(
        filling.site, sun=f"{filling.trace.irradiance[-1]:.0f} W/m^2", open_troughs=["elm"]
    )

    flow = read(filling.act("bucket", "elm"), "flow")

    assert flow == pytest.approx(passes.inflow["elm"], rel=0.06)


@pytest.mark.parametrize(("off", "slips"), [(2.9, ()), (-2.9, ()), (3.1, ("air off",))])
def test_air_within_three_pounds_of_right_is_right(
    new: Rig, off: float, slips: tuple[str, ...]
) -> None:
    drained = new.act("power", state="off").act("bleed")
    rig = drained.act("air", amount=right_air(new.screw.cut_in) + off * PSI)

    assert tuple(one for one in _unfinished(rig) if "air" in one) == slips


def test_another_day_has_another_sky_and_costs_no_work(new: Rig) -> None:
    """Floats go free, cloths come off, and the controller is locked off for the night."""
    evening = up(new).act("cloth", amount=250.0).act("wait", amount=240.0)
    morning = evening.act("day")

    assert morning.clock == new.came == 10 * 3600.0
    assert morning.undone == ("power",)
    assert morning.worked == evening.worked
    assert morning.slips == ()
    assert not (morning.trace.speed > 0.0).any()
    first, second = (rig.scene.standing.sun for rig in (new, morning))
    assert not np.array_equal(first.time, second.time)
    assert morning.trace.irradiance[-1] == pytest.approx(float(second.at(morning.clock)), rel=1e-6)
    assert done_over(new, [("day", "", 0.0, "")]).act("day").day == 2


def test_nobody_leaves_a_line_half_done(new: Rig) -> None:
    for rig, left in (
        (up(new), "elm"), (new.act("cloth", amount=250.0), "cloth"), (new.act("power", state="off"), "power"),
        (opened(new).act("pair", state="off"), "pair"), (new.act("bleed"), "refill"),
    ):  # fmt: skip
        assert left in rig.undone
        with pytest.raises(LabkitError, match=left):
            hand_over(rig)
    assert up(new).act("leave").slips == ("left undone",)
    assert new.act("leave").slips == ()


def test_what_can_hurt_goes_on_record(new: Rig) -> None:
    assert new.act("pair", state="off").slips == ("live wires",)
    assert new.act("test gauge").slips == ("under pressure",)
    assert new.act("air", amount=20.0 * PSI).slips == ("under pressure",)
    assert new.act("air").slips == (), "reading the air opens nothing"
    careful_one = opened(new).act("pair", state="off").act("test gauge").act("air", amount=20 * PSI)
    assert careful_one.slips == ()


def test_air_cannot_be_set_against_water(new: Rig) -> None:
    full = up(new).act("wait", amount=5.0).act("air", amount=16.0 * PSI)

    assert full.air == pytest.approx(28.0 * PSI)
    assert read(full, "air") == pytest.approx(read(full), abs=2.1)
    assert opened(new).act("air", amount=16.0 * PSI).air == pytest.approx(16.0 * PSI)


def test_a_trough_that_runs_over_is_called_out_and_goes_on_record(new: Rig) -> None:
    rig = new.act("float", "elm", state="always open").act("wait", amount=120.0)

    assert "ran over" in rig.slips
    assert "runs over" in heard(rig.log[-1], "US")
    assert "runs over" not in heard(up(new).log[-1], "US")


@pytest.mark.parametrize("number", range(1, 13))
def test_no_needle_goes_up_to_less_than_the_click(number: int) -> None:
    """The peak lies at or over the click; read twice, by a pound, it could come out lower."""
    full = until(start_rig(number, RANCH).act("float", "elm", state="always open"), 820.0)
    noises = [one for entry in up(full).log for one in entry.heard]
    (top,) = (one.gauge.value for one in noises if one.kind == "highest")
    *_, click = (one.gauge.value for one in noises if one.kind == "switch trips")

    assert isinstance(top, float)
    assert isinstance(click, float)
    assert top >= click


def test_a_full_trough_can_be_let_out(new: Rig) -> None:
    full = new.act("wait", amount=60.0)
    (depth,) = full.trace.level.values()
    after = full.act("float", "elm", state="always shut").act("plug", "elm")

    assert float(depth[-1]) > 0.3
    assert 0.0 < float(after.trace.level["elm"][-1]) < 0.15
    assert after.slips == ()
    with pytest.raises(LabkitError, match="hardly any water"):
        after.act("plug", "elm")


def test_with_the_pair_off_nothing_stops_the_pump(new: Rig) -> None:
    """Shut-off head less the lift is 160 ft of water, in strong sun; the switch has clicked."""
    rig = up(opened(new).act("pair", state="off").act("refill").act("power", state="on"))
    rig = rig.act("wait", amount=20.0)

    assert word(rig, "pump") == "runs"
    assert read(rig) > 55.0
    assert read(rig) <= 160.0 / 2.31 + 1.0


@pytest.mark.parametrize("stop_when", ["closed", "open"])
def test_the_pair_off_runs_the_pump_whatever_the_controller_waits_for(stop_when: str) -> None:
    action = {"closed": "closes on rise", "open": "opens on rise"}[stop_when]
    site = demo_site(RANCH).changed(
        {"drive.stop_when": stop_when, "pressure_switch.action": action}
    )
    rig = start_rig(3, site).act("pair", state="off").act("wait", amount=5.0)

    assert word(rig, "pump") == "runs"


def test_a_displacement_pump_is_not_deadheaded_unchecked() -> None:
    rig = start_rig(3, "deep_well").act("power", state="off").act("pair", state="off")
    rig = up(rig.act("power", state="on")).act("wait", amount=5.0)

    assert "relief unchecked" in rig.slips


def test_a_line_taken_past_its_rating_goes_on_record() -> None:
    """With the pair off this pump brings more at noon than the line is good for; in haze it can't."""
    free = opened(start_rig(2)).act("pair", state="off").act("refill").act("power", state="on")
    noon, haze = (
        up(free).act("wait", amount=20.0),
        up(strong(free).act("cloth", amount=250.0)).act("wait", amount=20.0),
    )

    assert read(noon) > rating(noon) > read(haze)
    assert noon.slips == ("past rating",)
    assert haze.slips == ()


def test_the_sun_beside_the_cloths_is_read(new: Rig) -> None:
    """Cloths take a share: hung under a cloud, they let too much through once it is gone."""
    cloudy = new
    while not 300.0 < cloudy.trace.irradiance[-1] < 700.0:
        cloudy = cloudy.act("wait", amount=1.0)
    hung = until(cloudy.act("cloth", amount=250.0), 320.0)

    beside = float(next(value.value for value in hung.log[-1].values if value.name == "bare sun"))
    assert beside == pytest.approx(hung.trace.irradiance[-1] / (1.0 - hung.cloth), rel=0.06)
    assert all(value.name != "bare sun" for value in cloudy.log[-1].values)


def test_a_relief_valve_is_read_and_none_is_missed(new: Rig) -> None:
    rig = start_rig(3, "deep_well").act("relief")

    assert read(rig, "opens at") / PSI == pytest.approx(70.0)
    with pytest.raises(LabkitError, match="no relief valve"):
        new.act("relief")


def test_the_test_gauge_shows_that_the_other_is_off() -> None:
    wrong = next(r for r in (start_rig(n, RANCH) for n in range(40)) if r.off > 0.0)
    rig = opened(wrong)
    assert read(rig) >= 2.0, "with pressure bled off the needle should rest at zero"

    both = rig.act("test gauge")
    assert read(both) == pytest.approx(0.0, abs=0.1)
    assert read(both, "own gauge") >= 2.0


def test_the_sheet_takes_its_own_lines_only(new: Rig) -> None:
    assert new.act("sheet", "static", amount=9.0 * PSI).sheet == {"static": 9.0 * PSI}
    with pytest.raises(LabkitError, match="no line for 'guess'"):
        new.act("sheet", "guess", amount=1.0)


def test_what_was_done_can_be_done_over(new: Rig) -> None:
    rig = (
        up(opened(new).act("refill").act("power", state="on"))
        .act("sheet", "static", amount=PSI)
        .act("wait", amount=7.0)
    )
    again = done_over(new, [(e.key, e.where, e.amount, e.state) for e in rig.log[1:]])

    assert again.log == rig.log


def test_a_visit_is_one_run(new: Rig) -> None:
    rig = up(new.act("wait", amount=5.0)).act("sheet", "static", amount=PSI).act("wait", amount=5.0)
    run = visit(rig)

    assert run.time[-1] == pytest.approx(60.0 * rig.minutes)
    assert (np.diff(run.time) >= 0.0).all()
    assert run.time.size == run.pressure.size == run.head["elm"].size
    assert [at for at, _ in marks(rig)] == [0.0, 60.0, 360.0, 360.0, 540.0]
    assert run.totals.pumped == pytest.approx(sum(t.totals.pumped for t in rig.traces))


def test_a_night_is_folded_and_the_clock_goes_on(new: Rig) -> None:
    rig = (
        new.act("wait", amount=5.0)
        .act("day")
        .act("wait", amount=4.0)
        .act("day")
        .act("wait", amount=3.0)
    )
    run, nights = visit(rig), folds(rig)

    assert len(nights) == 2
    assert float(run.time[-1]) < 3600.0, "hours of darkness are no part of what is played"
    told = run.clock + float(run.time[-1]) + sum(longer for _, _, longer in nights)
    assert told == pytest.approx(rig.came + 60.0 * rig.minutes)
    assert run.time.size == run.pressure.size == run.level["elm"].size
    begins = [at for at, entry in marks(rig) if entry.key == "day"]
    assert begins == [begin for begin, _, _ in nights]


def test_minutes_of_work_cost_points_on_a_line_that_works() -> None:
    """250 minutes of work, 240 free, and every six a point: two are gone, rounded."""
    rig = start_rig(3, RANCH).act("screw", amount=14)
    while rig.worked < 250.0:
        rig = rig.act("meter")
    left = hand_over(rig)

    assert left.works
    assert left.points["minutes"] == MOST["minutes"] - 2


def test_a_tank_that_was_not_seen_to_is_told(new: Rig) -> None:
    """Charged for thirty pounds, and the switch turned down by twelve."""
    left = hand_over(new.act("screw", amount=14))

    assert {"air off", "unproved"} == set(left.slips)


def test_a_line_that_no_setting_suits_passes_with_its_remedy() -> None:
    low = demo_site("storage_tank").changed({"drive.listens_to": "pressure switch"})
    there = start_rig(1, low)
    kinds = [one.kind for one in there.window.remedies]

    assert not there.window.is_open
    assert not hand_over(there).works
    assert hand_over(there, kinds[0]).works
    assert not hand_over(there, "leaks repaired").works
    assert hand_over(there).remedies == tuple(kinds)


def test_a_remedy_on_a_line_that_can_be_set_is_wrong(new: Rig) -> None:
    assert not hand_over(new, "more array").works


# what holds people up


def test_a_contact_that_never_closes_in_this_sun_is_explained(new: Rig) -> None:
    rig = up(new.act("cloth", amount=250.0)).act("wait", amount=3.0)
    told = hint(rig)

    assert told.key == "no stop in this sun"
    pressures = dict(told.pressures)
    assert pressures["now"] < rig.screw.cut_out < pressures["most"]
    assert pressures["now"] / PSI == pytest.approx(read(rig), abs=6.0), "a cloud may just have come"


def test_a_stop_while_water_runs_is_explained() -> None:
    rig = until(start_rig(3, RANCH).act("float", "elm", state="always open"), 820.0)
    rig = turned_past(rig, RUNNING).act("float", "elm", state="always open")

    assert hint(rig).key == "false stop"
    assert hint(rig).where == "elm"


def test_a_pump_that_never_comes_back_is_explained() -> None:
    high = demo_site(RANCH).changed({"trough.elm.pipe.rise": "50 ft"})
    rig = up(until(start_rig(3, high).act("wait", amount=1.0), 820.0))
    rig = turned_past(rig, STATIC).act("float", "elm", state="always open").act("wait", amount=10.0)

    assert word(rig, "pump") == "stands still"
    told = hint(rig)
    assert told.key == "stuck off"
    assert dict(told.pressures)["static"] / PSI == pytest.approx(50.0 / 2.31, abs=0.3)


def test_a_pump_that_comes_back_while_full_is_explained() -> None:
    """The leak takes half a gallon a minute; no float is open."""
    leaky = demo_site(RANCH).changed({"leaks": [{"at": "elm", "size": "0.5 gpm at 30 psi"}]})
    rig = up(until(start_rig(3, leaky), 820.0)).act("wait", amount=30.0)

    assert clicks(rig, "switch resets")
    told = hint(rig)
    assert told.key == "comes back while full"
    assert dict(told.pressures)["now"] == pytest.approx(rig.screw.cut_in, abs=0.2 * PSI)


def test_a_tank_charged_over_cut_in_is_explained() -> None:
    rig = start_rig(3, RANCH).act("screw", amount=8).act("float", "elm", state="always open")

    assert hint(rig).key == "air over cut-in"


def test_a_stop_that_holds_and_one_that_is_still_to_come() -> None:
    rig = until(start_rig(3, RANCH).act("float", "elm", state="always open"), 820.0)
    assert hint(rig).key in ("fills", "air over cut-in")
    assert hint(up(rig)).key == "holds"


def test_a_cut_out_over_what_a_float_holds_is_warned_of() -> None:
    """It holds 40 psi, 20 ft up: 48.7 at the gauge, and the factory's cut-out is about 50."""
    site = demo_site(RANCH).changed({"trough.elm.float_valve.holding_pressure": "40 psi"})
    told = hint(start_rig(3, site))

    assert (told.key, told.where) == ("over rating", "elm")
    limit = dict(told.pressures)["limit"] / PSI
    assert 40.0 < limit <= 40.0 + 20.0 / 2.31 + 0.1


def test_several_troughs_and_the_nut() -> None:
    rig = start_rig(2, "three_troughs")

    assert rig.has_nut
    assert rig.act("nut", amount=2).screw.cut_out > rig.screw.cut_out
    assert hand_over(rig).judged.verdict == "no stop"
    with pytest.raises(LabkitError, match="no nut"):
        start_rig(2, RANCH).act("nut", amount=1)


def test_the_bound_that_the_factory_setting_breaks_is_the_dead_head(new: Rig) -> None:
    (dead,) = (b for b in new.window.bounds if b.name == DEAD_HEAD)
    assert not dead.holds(new.screw.cut_in, new.screw.cut_out)
