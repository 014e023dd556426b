"""Pressure, wire and radio on one line: cost, feasibility, and failures found by running them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import labkit as lab
from labkit.advice.method_sites import (
    Installation,
    bill,
    failures,
    pipe_ground,
    prices,
    with_stop_method,
)
from labkit.advice.stop_methods import StopMethods, stop_methods, two_days, watched
from labkit.errors import SiteError
from labkit.parts.stop_input import StopInput
from labkit.sun import clear_day
from labkit.sun.sky import read_date
from labkit.units import si
from labkit.view.advice_told import methods_lines
from tests.customary import FOOT, GALLON

HOUR = 3600.0


@pytest.fixture(scope="module")
def one() -> StopMethods:
    """One trough with a float, on a drive that stops on a closed contact."""
    return stop_methods(lab.demo_site("one_trough"))


@pytest.fixture(scope="module")
def tank() -> StopMethods:
    """A storage tank filled through an open pipe end."""
    return stop_methods(lab.demo_site("storage_tank"))


@pytest.mark.parametrize("method", ["pressure", "wire"])
def test_a_cut_wire_never_stops_a_drive_that_waits_for_closing(
    one: StopMethods, method: str
) -> None:
    """What follows from the contact alone: a cut wire reads open, and open means run."""
    row = one[method].failure("wire cut")

    assert row is not None
    assert row.outcome == "pushes on"
    assert row.verdict == "no stop"
    assert row.dead_head > 10 * HOUR


@pytest.mark.parametrize("method", ["pressure", "wire"])
def test_wires_chewed_together_hold_such_a_drive_off(one: StopMethods, method: str) -> None:
    """A chewed pair reads closed, and closed means stop. By hand: the herd drinks the full trough's
    275 gal and goes without the rest of two days of 40 x 16.9 gal; line and tank give a little."""
    row = one[method].failure("wires chewed together")

    assert row is not None
    assert row.outcome == "stays off"
    assert row.starts == 0
    assert row.short == pytest.approx((2 * 40 * 16.9 - 275) * GALLON, abs=4 * GALLON)


@pytest.mark.parametrize(
    ("changes", "cut", "chewed"),
    [
        ({"drive.stop_when": "open", "switch.action": "opens on rise"}, "stays off", "pushes on"),
        ({"drive.stop_when": "closed", "switch.action": "closes on rise"}, "pushes on", "stays off"),
    ],
    ids=["stops when open", "stops when closed"],
)  # fmt: skip
def test_what_a_wire_fault_does_depends_on_the_action(
    changes: dict[str, str], cut: str, chewed: str
) -> None:
    """The truth table of a loop: cut reads open, chewed together reads closed."""
    found = stop_methods(lab.demo_site("one_trough").changed(changes))

    for method in (found["pressure"], found["wire"]):
        outcomes = {row.name: row.outcome for row in method.failures}
        assert method.sound.outcome == "as before"
        assert outcomes["wire cut"] == cut
        assert outcomes["wires chewed together"] == chewed
        assert outcomes["contact stuck open"] == cut
        assert outcomes["contact stuck closed"] == chewed


def test_a_dead_radio_does_what_it_was_set_to(one: StopMethods) -> None:
    stop, run = (one["radio"].failure(f"radio dead, set to {word}") for word in ("stop", "run"))

    assert stop is not None
    assert run is not None
    assert (stop.outcome, run.outcome) == ("stays off", "pushes on")


def test_lost_reports_hardly_matter_while_some_come_through(one: StopMethods) -> None:
    """Half of the reports lost, one a minute: the next one comes two minutes later on average, and
    silence for ten minutes has one chance in a thousand."""
    row = one["radio"].failure("half of the reports lost")

    assert row is not None
    assert row.outcome == "as before"


def test_a_leaking_float_cycles_a_bare_switch_but_not_a_sensor(one: StopMethods) -> None:
    by_pressure, by_wire = (one[name].failure("float leaks") for name in ("pressure", "wire"))

    assert by_pressure is not None
    assert by_wire is not None
    assert by_pressure.outcome == "cycles"
    assert by_wire.outcome == "as before"
    assert by_pressure.starts > 10 * by_wire.starts


def test_a_float_stuck_open_spills_what_is_pumped(one: StopMethods) -> None:
    """A pressure switch cannot know: water runs, so the pressure never climbs."""
    row = one["pressure"].failure("float stuck open")

    assert row is not None
    assert row.outcome == "spills"
    assert row.dead_head == 0.0
    assert row.spilled > 1000 * GALLON


def test_an_open_pipe_end_spills_when_its_wire_is_cut(tank: StopMethods) -> None:
    row = tank["wire"].failure("wire cut")

    assert row is not None
    assert row.outcome == "spills"
    assert tank["wire"].sound.spilled == pytest.approx(0.0, abs=1e-9)


def test_a_line_with_an_open_end_gets_a_float_to_stop_by_pressure(tank: StopMethods) -> None:
    items = {line.item: line.count for line in tank["pressure"].bill}

    assert items["float valve"] == 1
    assert tank["pressure"].sound.spilled == pytest.approx(0.0, abs=1e-9)
    assert "float valve" not in {line.item for line in tank["wire"].bill}


def test_weak_sun_fails_the_switch_and_not_the_sensor(one: StopMethods) -> None:
    """A fifth of the light cannot lift the shut line to its cut-out; a level needs no pressure."""
    by_pressure, by_wire = (one[name].failure("two cloudy days") for name in ("pressure", "wire"))

    assert by_pressure is not None
    assert by_wire is not None
    assert by_pressure.verdict == "no stop"
    assert by_wire.dead_head == 0.0


def test_failures_that_a_method_cannot_have_are_left_out(one: StopMethods) -> None:
    assert one["pressure"].failure("radio dead, set to stop") is None
    assert one["radio"].failure("wire cut") is None
    assert one["wire"].failure("switch nipple plugged") is None
    assert "half of the reports lost" in one.failure_names


def test_a_bill_by_hand() -> None:
    """From the invented list: two sensors at 60, 3,000 ft of pair at 0.30, two splices in 1,300 ft
    and three in 1,700 at 10, four protectors at 40, 6 hours at 40: 1,470; a trench of its own at
    1.50 the foot adds 4,500. Radio: sensors 120, senders 600, receiver 250, 22 ft of masts 220,
    8 hours 320: 1,510."""
    laid = {"distances": (1300 * FOOT, 1700 * FOOT), "gauge": "18 AWG", "masts": 22 * FOOT,
            "new_floats": 0}  # fmt: skip
    with_pipe, own = (Installation(**laid, trench=own * FOOT) for own in (0.0, 3000.0))  # type: ignore[arg-type]

    costs = {
        name: sum(line.cost for line in bill(method, prices(), what))
        for name, method, what in (
            ("wire", "wire", with_pipe), ("trench", "wire", own), ("radio", "radio", own),
            ("pressure", "pressure", own),
        )
    }  # fmt: skip

    assert costs["wire"] == pytest.approx(120 + 900 + 50 + 160 + 240)
    assert costs["trench"] - costs["wire"] == pytest.approx(4500)
    assert costs["radio"] == pytest.approx(1510)
    assert costs["pressure"] == pytest.approx(40 + 30 + 80)


@given(feet=st.floats(10.0, 20_000.0), more=st.floats(1.0, 5000.0))
def test_a_longer_pair_costs_more_and_a_radio_the_same(feet: float, more: float) -> None:
    near, far = (
        Installation(
            distances=(d * FOOT,), gauge="18 AWG", trench=d * FOOT, masts=5.0, new_floats=0
        )
        for d in (feet, feet + more)
    )

    def cost(method: str, laid: Installation) -> float:
        return sum(line.cost for line in bill(method, prices(), laid))

    assert cost("wire", far) > cost("wire", near)
    assert cost("radio", far) == cost("radio", near)
    assert cost("pressure", far) == cost("pressure", near)


@pytest.mark.parametrize(("feet", "splices"), [((400,), 0), ((500, 501), 1), ((1500,), 2)])
def test_a_pair_is_spliced_wherever_a_roll_of_500_ft_ends(
    feet: tuple[int, ...], splices: int
) -> None:
    laid = Installation(
        distances=tuple(far * FOOT for far in feet), gauge="18 AWG", trench=0.0, masts=0.0,
        new_floats=0,
    )  # fmt: skip

    counts = {line.item: line.count for line in bill("wire", prices(), laid)}

    assert counts.get("splice kit", 0) == splices


def test_prices_are_anybodys_to_change() -> None:
    site = lab.demo_site("one_trough")

    found = stop_methods(site, price_changes={"pressure switch": 1000.0})

    assert found["pressure"].cost == pytest.approx(1000 + 30 + 80)
    with pytest.raises(SiteError, match="prices: radio sender is 5; no such item; the nearest is"):
        prices({"radio sender": 5})
    with pytest.raises(SiteError, match="prices: mast is -5; it must lie between 0"):
        prices({"mast": -5})


def test_a_pair_too_long_or_a_hill_rules_a_method_out() -> None:
    """1,500 ft of 22 AWG have 48.4 ohm (16.14 ohm per 1000 ft) for an input that takes 18.5 (by
    hand: 2200 x 0.1 / 11.9), so the drive never hears a closed contact and pushes on; a hill of
    300 ft stands between for the radio, whose run knows nothing of it."""
    picky = StopInput(closed_below="0.1 V")
    ground = {"lane": [("0 ft", "0 ft"), ("700 ft", "300 ft"), ("1500 ft", "0 ft")]}
    site = lab.demo_site("one_trough")

    found = stop_methods(site, gauge="22 AWG", stop_input=picky, ground=ground)

    sound = {method.name: method.sound.outcome for method in found.methods}
    assert sound == {"pressure": "as before", "wire": "pushes on", "radio": "as before"}
    assert found["wire"].loops["lane"].loop_resistance == pytest.approx(48.4, rel=1e-3)
    assert found["radio"].paths["lane"].sight == "blocked"
    assert [method.feasible for method in found.methods] == [True, False, False]


def test_the_ground_along_the_pipe() -> None:
    """The line of three troughs, added up by hand from its file."""
    site = lab.demo_site("three_troughs")
    runs = {run.end: run for run in site.runs()}

    for trough in site.troughs:
        far, high, node = 0.0, 0.0, trough.name
        while node in runs:
            far += si(runs[node].pipe.length)
            high += si(runs[node].pipe.rise)
            node = runs[node].start
        last = pipe_ground(site, trough.name)[-1]
        assert float(last[0].split()[0]) == pytest.approx(far, abs=1e-3)
        assert float(last[1].split()[0]) == pytest.approx(high, abs=1e-3)
        assert site.distances()[trough.name] == pytest.approx(far)


@pytest.mark.parametrize("method", ["wire", "radio"])
@pytest.mark.parametrize("name", ["one_trough", "three_troughs", "deep_well", "radio_tank"])
def test_sensors_sit_under_the_shut_float_and_keep_what_the_site_says(
    name: str, method: str
) -> None:
    site = lab.demo_site(name)

    line = with_stop_method(site, method, gauge="18 AWG")

    assert {s.trough for s in line.level_sensors} == {t.name for t in site.troughs}
    for sensor, trough in zip(line.level_sensors, line.troughs, strict=True):
        assert si(sensor.starts_at) < si(sensor.stops_at)
        assert (sensor.wire is None) == (method == "radio")
        if not site.level_sensors:
            assert si(sensor.stops_at) < si(trough.depth) - si(trough.freeboard)
    for old, new in zip(site.level_sensors, line.level_sensors, strict=False):
        assert si(new.stops_at) == pytest.approx(si(old.stops_at))


def test_pressure_is_judged_with_the_best_setting_and_as_it_is_set() -> None:
    """By hand: 190 ft of shut-off head less 60 ft of lift are 130 ft, 56 psi: 75 is never reached.
    Any cut-out between the filling line and the dead head in haze works."""
    site = lab.demo_site("one_trough").changed({"switch.cut_out": "75 psi"})

    by_pressure = stop_methods(site, with_failures=False)["pressure"]

    assert by_pressure.as_set is not None
    assert by_pressure.as_set.verdict == "no stop"
    assert by_pressure.feasible
    assert by_pressure.sound.outcome == "as before"
    assert by_pressure.setting == lab.operating_window(site).recommended
    assert by_pressure.setting is not None
    assert by_pressure.setting.cut_out < 130 * FOOT * 9790
    assert by_pressure.failures == ()


def test_a_line_without_a_window_leaves_wire_and_radio() -> None:
    """3/4 in pipe of 1,500 ft takes more in strong sun than the pump can dead-head in haze."""
    thin = {"trough.elm.pipe.size": "3/4 in PE SIDR 9"}
    site = lab.demo_site("first_line").changed(thin)
    strong = lab.steady(site, sun="1000 W/m^2").pressure["manifold"]
    weak = lab.steady(site, sun="250 W/m^2", open_troughs=()).pressure["manifold"]
    assert strong > weak

    found = stop_methods(site, with_failures=False)

    assert [method.feasible for method in found.methods] == [False, True, True]
    assert found["pressure"].setting is None
    assert found["wire"].setting is None
    assert found["wire"].as_set is None


def test_a_trough_that_nobody_drinks_from_rules_no_way_out() -> None:
    """Full troughs call for nothing, so a pump that never starts has missed nothing."""
    undrunk = lab.demo_site("one_trough").changed({"trough.lane.herd": None})

    found = stop_methods(undrunk)

    for name in ("wire", "radio"):
        method = found[name]
        assert method.sound.starts == 0
        assert method.sound.short == 0.0
        assert method.feasible
        under_clouds = method.failure("passing clouds")
        assert under_clouds is not None
        assert under_clouds.outcome == "as before"
    told = methods_lines(found)
    assert any(line.startswith("With wire or radio, no trough calls") for line in told)


def test_a_pump_that_stays_off_while_stock_go_thirsty_is_no_way_to_stop() -> None:
    """A pair chewed together from the first: by hand, see above."""
    line = with_stop_method(lab.demo_site("one_trough"), "wire", gauge="18 AWG")
    shorted = line.changed(failures(line, "wire")["wires chewed together"])

    row = watched("", two_days(shorted, clear_day(shorted, read_date("2023-07-17"))), None)

    assert row.outcome == "stays off"
