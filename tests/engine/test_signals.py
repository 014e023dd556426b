"""What the drive's stop input hears: contacts, pairs of wires, level sensors, radios."""

from __future__ import annotations

from itertools import product
from math import sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, norm

from labkit import Site, simulate
from labkit.engine.run import TOLERANCE
from labkit.engine.sensing import make_sensors, quiet_breaks
from labkit.engine.signals import trip_tells_to_stop
from labkit.engine.wiring import is_lost
from labkit.trace import DriveState, Trace
from tests.customary import GALLON, INCH
from tests.engine.lines import line, plant_of

PAIR = {"gauge": "18 AWG", "length": "900 ft"}
SENSOR = {"trough": "home", "stops_at": "15 in", "starts_at": "12 in", "wire": PAIR}
AREA = 200.0 * GALLON / (24.0 * INCH)
CONDITIONS = ("sound", "cut", "shorted")
BOTH = tuple(product([False, True], repeat=2))
CONTACTS = ("works", "stuck open", "stuck closed")


def level_line(sensor: dict[str, Any] | None = None, **changes: Any) -> Site:
    """An open pipe end over a trough whose level sensor alone stops the pump."""
    return line(
        drive={"kind": "solar"},
        trough__home__float_valve={"flow": "8 gpm at 20 psi", "position": "always open"},
    ).changed(
        {
            "level_sensors": [SENSOR | (sensor or {})],
            "drive.listens_to": "level sensor",
            **{name.replace("__", "."): new for name, new in changes.items()},
        }
    )


def by_radio(**radio: Any) -> dict[str, Any]:
    return {"wire": None, "radio": radio}


def reads(tripped: bool, action: str, contact: str, condition: str) -> bool:
    """Whether a loop reads closed: a broken pair hides the contact, a stuck contact what it should
    do, and one that works closes when it trips or when it does not."""
    if condition != "sound":
        return condition == "shorted"
    if contact != "works":
        return contact == "stuck closed"
    return tripped == action.startswith("closes")


@pytest.mark.parametrize("stop_when", ["closed", "open"])
@pytest.mark.parametrize("action", ["closes on rise", "opens on rise"])
@pytest.mark.parametrize("contact", CONTACTS)
@pytest.mark.parametrize("condition", CONDITIONS)
@pytest.mark.parametrize("tripped", [False, True])
def test_the_pressure_switch_loop(
    stop_when: str, action: str, contact: str, condition: str, tripped: bool
) -> None:
    """A line that stands at 30 psi of 20/40, or at 41 psi: does the drive start or is it held?"""
    site = line(
        drive={"kind": "solar", "stop_when": stop_when},
        pressure_switch={"cut_in": "20 psi", "cut_out": "40 psi", "action": action,
                         "contact": contact, "wire": PAIR | {"condition": condition}},
    )  # fmt: skip
    trace = simulate(site, "1 s", sun="900 W/m^2", pressure="41 psi" if tripped else "30 psi")

    closed = reads(tripped, action, contact, condition)
    assert trace.contact[0] == closed
    assert trace.tripped[0] == tripped
    held = closed == (stop_when == "closed")
    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)


@pytest.mark.parametrize("stop_when", ["closed", "open"])
@pytest.mark.parametrize("action", ["closes when full", "opens when full"])
@pytest.mark.parametrize("contact", CONTACTS)
@pytest.mark.parametrize("condition", CONDITIONS)
@pytest.mark.parametrize("full", [False, True])
def test_the_level_sensor_loop(
    stop_when: str, action: str, contact: str, condition: str, full: bool
) -> None:
    site = level_line(
        {"action": action, "contact": contact, "wire": PAIR | {"condition": condition}},
        drive__stop_when=stop_when,
    )
    trace = simulate(site, "1 s", sun="900 W/m^2", levels={"home": "16 in" if full else "13 in"})

    closed = reads(full, action, contact, condition)
    assert trace.contact[0] == closed
    held = closed == (stop_when == "closed")
    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)


@pytest.mark.parametrize(("tripped", "full"), BOTH)
@pytest.mark.parametrize(
    ("stop_when", "switch", "sensor"),
    [
        ("closed", "closes on rise", "closes when full"),
        ("open", "opens on rise", "opens when full"),
    ],
)
def test_of_either_the_one_or_the_other_tells_to_stop(
    stop_when: str, switch: str, sensor: str, tripped: bool, full: bool
) -> None:
    site = level_line(
        {"action": sensor}, drive__stop_when=stop_when, drive__listens_to="either",
        pressure_switch__action=switch,
    )  # fmt: skip
    trace = simulate(
        site, "1 s", sun="900 W/m^2", pressure="41 psi" if tripped else "30 psi",
        levels={"home": "16 in" if full else "13 in"},
    )  # fmt: skip

    held = tripped or full
    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)
    assert trace.contact[0] == (held if stop_when == "closed" else not held)


@pytest.mark.parametrize(
    ("stop_when", "condition", "held"),
    [("closed", "cut", False), ("closed", "shorted", True), ("open", "cut", True), ("open", "shorted", False)],
)  # fmt: skip
def test_a_broken_level_pair_beside_a_sound_switch(
    stop_when: str, condition: str, held: bool
) -> None:
    """To a closes-to-stop input a cut pair says nothing, a shorted one says stop; to the other
    kind of input it is the other way round. The line is not tripped and the trough has room."""
    how = "closes" if stop_when == "closed" else "opens"
    site = level_line(
        {"action": f"{how} when full", "wire": PAIR | {"condition": condition}},
        drive__stop_when=stop_when, drive__listens_to="either",
        pressure_switch__action=f"{how} on rise",
    )  # fmt: skip

    trace = simulate(site, "1 s", sun="900 W/m^2", levels={"home": "13 in"})

    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)


@pytest.mark.parametrize("action", ["closes when full", "opens when full"])
@pytest.mark.parametrize(("home", "far"), BOTH)
def test_several_sensors_stop_the_pump_when_all_say_full(
    action: str, home: bool, far: bool
) -> None:
    one = level_line()
    trough = one.troughs[0]
    site = one.changed(
        {
            "troughs": [trough, {**table_of_trough(), "name": "far"}],
            "level_sensors": [
                SENSOR | {"trough": name, "action": action} for name in ("home", "far")
            ],
            "drive.stop_when": "closed" if action.startswith("closes") else "open",
        }
    )
    levels = {name: "16 in" if full else "13 in" for name, full in (("home", home), ("far", far))}

    trace = simulate(site, "1 s", sun="900 W/m^2", levels=levels)

    held = home and far
    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)


def table_of_trough() -> dict[str, Any]:
    return {
        "volume": "200 gal", "depth": "24 in",
        "pipe": {"from": "manifold", "length": "400 ft", "size": "2 in PE SIDR 15", "rise": "0 ft"},
        "float_valve": {"flow": "8 gpm at 20 psi", "position": "always open"},
    }  # fmt: skip


@pytest.mark.parametrize("start", ["25 psi", "41 psi"])
def test_a_plugged_nipple_keeps_the_switch_as_it_was(start: str) -> None:
    """From 25 psi the line runs up to its dead head untold; from 41 psi it leaks down unheard."""
    leak = {"at": "manifold", "size": "0.5 gpm at 30 psi"}
    site = line(leaks=[leak]).changed({"switch.nipple": "plugged"})

    trace = simulate(site, "20 min", sun="1000 W/m^2", pressure=start)

    tripped = start == "41 psi"
    assert set(trace.tripped) == {tripped}
    assert not trace.times("switch trips")
    assert not trace.times("switch resets")
    if tripped:
        assert trace.pressure[-1] < 0.5 * trace.pressure[0]
        assert trace.measures().starts == 0
    else:
        assert trace.verdict == "no stop"


# --- levels


def steady_inflow(trace: Trace) -> float:
    """Flow into the trough long after the start [m3/s]; nothing that happens there changes it."""
    return float(np.interp(60.0, trace.time, trace.inflow["home"]))


def test_a_wired_level_stops_the_pump_when_the_water_is_there() -> None:
    """Source: A dL/dt = inflow, which is constant once the line is filled: from the level at
    60 s on, (15 in - level) A / inflow."""
    trace = simulate(level_line(), "20 min", sun="1000 W/m^2", levels={"home": "6 in"})

    full, told = trace.times("sensor says full")[0], trace.times("drive told to stop")[0]
    at = float(np.interp(60.0, trace.time, trace.level["home"]))
    inflow = steady_inflow(trace)
    assert full == told
    assert full - 60.0 == pytest.approx((15.0 * INCH - at) * AREA / inflow, abs=0.1)
    landed = trace.level["home"][np.searchsorted(trace.time, full)]
    assert 0.0 <= landed - 15.0 * INCH < 1e-6
    assert trace.verdict == "sound stop"
    assert trace.measures().time_to_stop == 0.0


def test_a_wired_level_starts_the_pump_when_stock_have_drunk() -> None:
    """Source: 60 head of 15 gal in one visit of an hour: 15 gal/min lower 8.33 gal/in."""
    herd = {"head": 60, "kind": "cow with calf", "daily_need": "15 gal/day", "visits": ["12:00"],
            "visit_time": "1 h"}  # fmt: skip
    site = level_line(trough__home__herd=herd)

    trace = simulate(
        site, "30 min", sun="1000 W/m^2", start="12:00", levels={"home": "16 in"}, pressure="1 psi"
    )

    room, start = trace.times("sensor says room")[0], trace.times("pump starts")[0]
    assert room == start
    drained = trace.inflow["home"][trace.time < room].max() * room / AREA  # what still ran in
    assert room / 60.0 == pytest.approx(4.0 * 200.0 / 24.0 / 15.0, rel=0.01, abs=60 * drained)
    assert trace.level["home"].min() < 12.0 * INCH


@given(stops=st.floats(8.0, 20.0), gap=st.floats(0.2, 4.0), speed=st.floats(2.0, 12.0))
def test_a_level_is_landed_on_from_both_sides(stops: float, gap: float, speed: float) -> None:
    """Never before the mark, and past it by no more than a millionth of the way between the marks."""
    site = level_line(
        {"stops_at": f"{stops} in", "starts_at": f"{stops - gap} in"},
        trough__home__float_valve__flow=f"{speed} gpm at 20 psi",
        trough__home__herd={"head": 40, "kind": "cow with calf", "visits": ["12:00"],
                            "visit_time": "2 h"},
    )  # fmt: skip
    trace = simulate(site, "1 h", sun="1000 W/m^2", start="12:00", levels={"home": f"{stops - gap / 2} in"})  # fmt: skip

    for event in trace.events:
        if not event.kind.startswith("sensor says"):
            continue
        level = trace.level["home"][np.searchsorted(trace.time, event.time)]
        mark = (stops if event.kind == "sensor says full" else stops - gap) * INCH
        past = level - mark if event.kind == "sensor says full" else mark - level
        assert -1e-12 <= past < 1e-6 * gap * INCH


# --- radio


def crossing_and_word(every: float, delay: float, depth: float) -> tuple[float, float]:
    """When the sensor says full and when the drive is told, by a radio that loses nothing."""
    site = level_line(by_radio(report_every=f"{every} s", delay=f"{delay} s"))
    trace = simulate(site, "20 min", sun="1000 W/m^2", levels={"home": f"{depth} in"})
    return trace.times("sensor says full")[0], trace.times("drive told to stop")[0]


@given(every=st.floats(5.0, 120.0), share=st.floats(0.0, 0.9), depth=st.floats(12.0, 14.5))
def test_a_radio_brings_the_word_with_the_next_report(
    every: float, share: float, depth: float
) -> None:
    """Source: reports go out every so often from the start of the run and take their delay."""
    delay = share * every

    full, told = crossing_and_word(every, delay, depth)

    assert told == pytest.approx(np.ceil(full / every) * every + delay, abs=1e-6)
    assert delay - 1e-9 <= told - full <= every + delay + 1e-9


@pytest.mark.parametrize("when_silent", ["stop", "run"])
def test_a_link_that_loses_everything_falls_silent(when_silent: str) -> None:
    """Heard at the start, then never: silent after five minutes, and then as it was told to be."""
    radio = by_radio(loss=1.0, silent_after="5 min", when_silent=when_silent)
    site = level_line(radio)

    trace = simulate(site, "15 min", sun="1000 W/m^2", levels={"home": "13.5 in"})

    assert trace.times("radio falls silent") == [300.0]
    assert not trace.times("radio is heard again")
    assert trace.times("drive told to stop") == ([300.0] if when_silent == "stop" else [])
    expected = DriveState.HELD if when_silent == "stop" else DriveState.RUNNING
    assert trace.at(899.0).drive_state == expected


@pytest.mark.parametrize(
    ("when_silent", "state"), [("stop", DriveState.HELD), ("run", DriveState.RUNNING)]
)
def test_a_dead_radio_has_been_silent_all_along(when_silent: str, state: DriveState) -> None:
    radio = by_radio(condition="dead", when_silent=when_silent)

    trace = simulate(level_line(radio), "5 min", sun="1000 W/m^2", levels={"home": "13 in"})

    assert trace.at(200.0).drive_state == state
    assert not trace.times("radio falls silent")


@given(loss=st.floats(0.3, 0.9), seed=st.integers(0, 1000))
def test_silence_follows_from_the_reports_that_got_through(loss: float, seed: int) -> None:
    """Source: walk along the reports one by one, as a receiver with a watch would."""
    radio = by_radio(loss=loss, seed=seed, report_every="20 s", delay="3 s", silent_after="50 s")
    site = level_line(radio, trough__home__float_valve__flow="0.1 gpm at 20 psi")
    trace = simulate(site, "30 min", sun="1000 W/m^2", levels={"home": "13 in"})

    sensor = make_sensors(site)[0]
    heard, silent, again = 0.0, [], []
    for number in range(1, 91):
        arrives = 20.0 * number + 3.0
        if is_lost(sensor, number):
            continue
        if arrives - heard > 50.0:
            silent.append(heard + 50.0)
            again.append(arrives)
        heard = arrives
    if 1800.0 - heard > 50.0:
        silent.append(heard + 50.0)

    assert trace.times("radio falls silent") == [time for time in silent if time <= 1800.0]
    assert trace.times("radio is heard again") == [time for time in again if time <= 1800.0]
    between = sorted(time for time in (*silent, *again) if 0.0 < time < 1800.0)
    assert sorted(set(quiet_breaks(site, 1800.0))) == between


def test_a_report_under_way_says_what_was_so_when_it_went_out() -> None:
    """Full at some moment, sent at the next report, told its delay later: thirst meanwhile is not
    heard of, and the drive stops although the sensor says room again."""
    herd = {"head": 400, "kind": "cow with calf", "daily_need": "15 gal/day", "visits": ["12:01"],
            "visit_time": "10 min"}  # fmt: skip
    radio = by_radio(report_every="60 s", delay="50 s")
    site = level_line(
        radio | {"stops_at": "13 in", "starts_at": "12.9 in"}, trough__home__herd=herd
    )

    trace = simulate(site, "4 min", sun="1000 W/m^2", start="12:00", levels={"home": "12 in"})

    full, room = trace.times("sensor says full")[0], trace.times("sensor says room")[0]
    assert full < 60.0 < room < 61.0  # 600 gal/min drunk
    assert trace.times("drive told to stop")[0] == 110.0
    assert trace.times("pump starts")[1] == 170.0


@pytest.mark.parametrize("loss", [0.02, 0.2, 0.5, 0.97])
@pytest.mark.parametrize("seed", [0, 1, 2, 999_999])
def test_reports_get_lost_by_the_binomial_law(loss: float, seed: int) -> None:
    """Share lost, and share of neighbours lost together: both within what chance allows."""
    sensor = make_sensors(level_line(by_radio(loss=loss, seed=seed)))[0]
    lost = np.array([is_lost(sensor, number) for number in range(1, 20_001)])

    assert binomtest(int(lost.sum()), lost.size, loss).pvalue > 1e-4
    pairs = int((lost[::2] & lost[1::2]).sum())
    assert binomtest(pairs, lost.size // 2, loss**2).pvalue > 1e-4
    ahead = float(np.corrcoef(lost[:-1], lost[1:])[0, 1])
    assert abs(ahead) < norm.isf(1e-5) / sqrt(lost.size)


def test_no_two_radios_and_no_two_seeds_lose_the_same_reports() -> None:
    def lost(seed: int, number: int = 0) -> np.ndarray:
        two = level_line().changed(
            {
                "troughs": [{**table_of_trough(), "name": name} for name in ("home", "far")],
                "level_sensors": [
                    SENSOR | by_radio(loss=0.5, seed=seed) | {"trough": name}
                    for name in ("home", "far")
                ],
            }
        )
        sensor = make_sensors(two)[number]
        return np.array([is_lost(sensor, k) for k in range(1, 4001)])

    same, other, beside = lost(1), lost(2), lost(1, 1)
    assert np.array_equal(same, lost(1))
    for found in (other, beside):
        assert abs(float(np.mean(same == found)) - 0.5) < norm.isf(1e-5) * 0.5 / sqrt(same.size)


def test_the_same_seed_gives_the_same_run_to_the_last_bit() -> None:
    site = level_line(by_radio(loss=0.4, seed=7, report_every="10 s", silent_after="30 s"))

    one, two = (
        simulate(site, "30 min", sun="1000 W/m^2", levels={"home": "13 in"}) for _ in range(2)
    )

    assert one.events == two.events
    assert one.pressure.tobytes() == two.pressure.tobytes()
    other = simulate(
        site.changed({"sensor.home.radio.seed": 8}), "30 min", sun="1000 W/m^2",
        levels={"home": "13 in"},
    )  # fmt: skip
    assert other.times("radio falls silent") != one.times("radio falls silent")


# --- floats that do not float, and air that drinks


def test_an_open_pipe_end_fills_its_trough_and_runs_over() -> None:
    """Source: the valve stays at its full opening; past the rim all that comes in runs over."""
    site = line(trough__home__float_valve={"flow": "8 gpm at 20 psi", "position": "always open"})
    plant = plant_of(site)

    trace = simulate(site, "30 min", sun="1000 W/m^2", levels={"home": "20 in"})

    assert set(trace.opening["home"]) == {1.0}
    flow = float(plant.troughs[0].valve_k) * np.sqrt(np.maximum(trace.head["home"], 0.0))
    rows = trace.head["home"] > 0.01  # under a millimetre the square root has a chord
    assert trace.inflow["home"][rows] == pytest.approx(flow[rows], rel=1e-9)
    over = trace.times("trough overflows")[0]
    assert over == pytest.approx(
        60.0 + (24.0 * INCH - np.interp(60.0, trace.time, trace.level["home"])) * AREA / steady_inflow(trace),
        abs=0.5,
    )  # fmt: skip
    assert trace.verdict == "no stop"


def test_a_float_held_shut_lets_only_its_seat_leak() -> None:
    """Source: k sqrt(h) of the seat; neither an empty trough nor pressure opens the valve."""
    site = line(
        trough__home__float_valve={
            "flow": "8 gpm at 20 psi", "position": "always shut", "seat_leak": "0.1 gpm at 20 psi",
            "holding_pressure": "5 psi",
        }
    )  # fmt: skip
    seat = float(plant_of(site).troughs[0].seat_k)

    trace = simulate(site, "10 min", sun="1000 W/m^2", levels={"home": "2 in"})

    assert set(trace.opening["home"]) == {0.0}
    expected = seat * np.sqrt(trace.head["home"])
    assert trace.inflow["home"] == pytest.approx(expected, rel=1e-9)


def test_evaporation_lowers_the_water_by_its_depth_a_day() -> None:
    """Source: 0.5 in/day from a float valve that is shut off, for eight days: 4 in of 200 gal/24 in."""
    site = line(place__evaporation="0.5 in/day", trough__home__float_valve__position="always shut")

    trace = simulate(site, "8 day", sun="0 W/m^2", levels={"home": "20 in"})

    measures = trace.measures()
    assert trace.level["home"][-1] == pytest.approx(16.0 * INCH, rel=1e-9)
    assert measures.evaporated == pytest.approx(4.0 / 24.0 * 200.0 * GALLON, rel=1e-9)
    assert measures.balance_error < 1e-9


def test_evaporation_never_lowers_the_water_below_the_floor() -> None:
    site = line(place__evaporation="3 in/day", trough__home__float_valve__position="always shut")

    trace = simulate(site, "4 day", sun="0 W/m^2", levels={"home": "4 in"})

    assert trace.level["home"].min() >= 0.0
    slack = 10.0 * TOLERANCE * 0.5 * INCH * AREA  # what one step's error may take too much
    assert trace.measures().evaporated == pytest.approx(4.0 / 24.0 * 200.0 * GALLON, abs=slack)
    assert trace.measures().balance_error < 1e-9
    dry = trace.times("trough empty")[0]
    assert dry == pytest.approx(86_400.0 * (4.0 - 0.24) / 3.0, rel=1e-6)


# --- events at troughs fall when they happen, not when a step ends


@pytest.mark.parametrize("tolerance", [2e-4, 2e-3])
def test_a_trough_runs_dry_and_over_when_it_does(tolerance: float) -> None:
    """Source: straight lines: 20 gal/min drunk from 12 in, and a hundredth of the depth is dry."""
    herd = {"head": 100, "kind": "cow with calf", "daily_need": "4 gal/day", "visits": ["12:00"],
            "visit_time": "20 min"}  # fmt: skip
    site = line(trough__home__herd=herd, trough__home__float_valve__position="always shut")

    trace = simulate(
        site, "15 min", sun="0 W/m^2", start="12:00", levels={"home": "12 in"}, tolerance=tolerance
    )

    (dry,) = trace.times("trough empty")
    assert dry == pytest.approx(60.0 * (12.0 - 0.24) / 24.0 * 200.0 / 20.0, abs=0.05)


@pytest.mark.parametrize("listens", ["pressure switch", "level sensor", "either"])
@pytest.mark.parametrize("stop_when", ["closed", "open"])
@pytest.mark.parametrize("action", ["closes on rise", "opens on rise"])
@pytest.mark.parametrize("nipple", ["clear", "plugged"])
def test_what_a_trip_alone_tells(listens: str, stop_when: str, action: str, nipple: str) -> None:
    """A wave that trips the switch counts only where the drive hears the switch, and it moves."""
    site = level_line(
        drive__listens_to=listens, drive__stop_when=stop_when, pressure_switch__action=action,
        pressure_switch__nipple=nipple,
    )  # fmt: skip

    heard = listens != "level sensor" and nipple == "clear"
    tells = (action == "closes on rise") == (stop_when == "closed")
    assert trip_tells_to_stop(plant_of(site)) == (heard and tells)
