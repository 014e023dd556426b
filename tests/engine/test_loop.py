"""The loop as the drive's stop input sees it: contacts and pairs of wires, joined as in the field."""

from __future__ import annotations

from itertools import product

import pytest

from labkit import loop_check, simulate
from labkit.engine.signals import trip_tells_to_stop
from labkit.trace import DriveState
from tests.engine.level_lines import (
    PAIR,
    SENSOR,
    level_line,
    table_of_trough,
)
from tests.engine.lines import line, plant_of

CONDITIONS = ("sound", "cut", "shorted")
BOTH = tuple(product([False, True], repeat=2))
CONTACTS = ("works", "stuck open", "stuck closed")


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
    trace = simulate(site, "1 s", sun="900 W/m^2", levels={"lane": "16 in" if full else "13 in"})

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
        levels={"lane": "16 in" if full else "13 in"},
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

    trace = simulate(site, "1 s", sun="900 W/m^2", levels={"lane": "13 in"})

    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)


@pytest.mark.parametrize("action", ["closes when full", "opens when full"])
@pytest.mark.parametrize(("lane", "far"), BOTH)
def test_several_sensors_stop_the_pump_when_all_say_full(
    action: str, lane: bool, far: bool
) -> None:
    one = level_line()
    trough = one.troughs[0]
    site = one.changed(
        {
            "troughs": [trough, {**table_of_trough(), "name": "far"}],
            "level_sensors": [
                SENSOR | {"trough": name, "action": action} for name in ("lane", "far")
            ],
            "drive.stop_when": "closed" if action.startswith("closes") else "open",
        }
    )
    levels = {name: "16 in" if full else "13 in" for name, full in (("lane", lane), ("far", far))}

    trace = simulate(site, "1 s", sun="900 W/m^2", levels=levels)

    held = lane and far
    assert trace.drive_state[0] == (DriveState.HELD if held else DriveState.STARTING)


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


@pytest.mark.parametrize(
    ("gauge", "length", "carries"),
    [("22 AWG", "6100 ft", True), ("22 AWG", "6300 ft", False), ("18 AWG", "15600 ft", True), ("18 AWG", "15700 ft", False)],
)  # fmt: skip
@pytest.mark.parametrize("stop_when", ["closed", "open"])
def test_a_pair_too_long_for_the_input_never_reads_closed(
    gauge: str, length: str, carries: bool, stop_when: str
) -> None:
    """By hand: an input of 12 V through 2200 ohm that wants 1 V or less takes 2200 / 11 = 200 ohm;
    22 AWG has 16.14 ohm and 18 AWG 6.39 ohm per 1000 ft (copper wire tables, 20 degC), twice that
    for the way out and back: 6,196 ft and 15,649 ft. Past that a drive that stops on a closed
    contact runs on over cut-out, and one that stops on an open contact never starts."""
    wire = {"gauge": gauge, "length": length}
    action = "closes on rise" if stop_when == "closed" else "opens on rise"
    site = line(
        drive={"kind": "solar", "stop_when": stop_when},
        pressure_switch={"cut_in": "20 psi", "cut_out": "40 psi", "action": action, "wire": wire},
    )

    low, high = (
        simulate(site, "1 s", sun="900 W/m^2", pressure=pressure).drive_state[0]
        for pressure in ("10 psi", "41 psi")
    )

    starts = carries or stop_when == "closed"
    stops = carries or stop_when == "open"
    assert low == (DriveState.STARTING if starts else DriveState.HELD)
    assert high == (DriveState.HELD if stops else DriveState.STARTING)


@pytest.mark.parametrize("length", ["100 ft", "5000 ft", "6190 ft", "6200 ft", "4 mi"])
def test_a_run_and_the_loop_check_judge_a_pair_alike(length: str) -> None:
    """For a level sensor too, and with the figures of the drive's own manual."""
    for stop_input in ({}, {"closed_below": "0.3 V"}, {"source_resistance": "10000 ohm"}):
        site = level_line(
            {"wire": {"gauge": "22 AWG", "length": length}}, drive__stop_input=stop_input
        )

        trace = simulate(site, "1 s", sun="900 W/m^2", levels={"lane": "16 in"})

        check = loop_check("22 AWG", length, stop_input=site.drive.stop_input)
        assert bool(trace.contact[0]) == check.works


def test_a_pair_too_long_hides_a_stuck_contact_and_a_short_hides_its_length() -> None:
    wire = {"gauge": "22 AWG", "length": "4 mi"}
    stuck = line().changed({"switch.contact": "stuck closed", "switch.wire": wire})
    chewed = line().changed({"switch.wire": wire | {"condition": "shorted"}})

    assert not simulate(stuck, "1 s", sun="900 W/m^2").contact[0]
    assert simulate(chewed, "1 s", sun="900 W/m^2").contact[0]
