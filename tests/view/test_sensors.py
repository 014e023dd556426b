"""Level sensors and radios in pictures and words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from labkit import demo_site, simulate
from labkit.engine.memory import EVENT_WORDS
from labkit.figures.scene import telling_moment
from labkit.language import event_words, flag_words, moment_lines, sentence, verdict_words
from labkit.text.shared import WORDS
from labkit.trace import VERDICTS

if TYPE_CHECKING:
    from labkit.trace import Trace


@pytest.fixture(scope="module", params=["storage_tank", "radio_tank"])
def trace(request: pytest.FixtureRequest) -> Trace:
    site = demo_site(request.param)
    (sensor,) = site.level_sensors
    low = (sensor.starts_at + sensor.stops_at) / 2.0
    return simulate(site, "1 hour", sun="800 W/m^2", levels={sensor.trough: low})


def test_the_verdict_is_told_by_what_the_drive_listens_to(trace: Trace) -> None:
    assert trace.verdict == "sound stop"
    assert sentence(trace).endswith(WORDS["sound stop by level"])
    assert "cut-out" not in verdict_words(trace)
    assert telling_moment(trace) == trace.times("drive told to stop")[-1]


def test_every_event_and_verdict_has_its_words() -> None:
    assert all(kind in WORDS for kind in EVENT_WORDS)
    assert all(verdict in WORDS for verdict in VERDICTS)


def test_an_open_pipe_end_is_no_float(trace: Trace) -> None:
    line = moment_lines(trace, trace.at(60.0), "US")[3]

    assert "valve held open, taking 6.9 gpm" in line or "valve held open, taking 7" in line


def test_events_of_a_sensor_name_its_trough(trace: Trace) -> None:
    (name,) = trace.level
    event = next(event for event in trace.events if event.kind == "sensor says full")

    assert event_words(event, trace.clock, "US").endswith(f"level sensor at {name} reads full")


@pytest.mark.parametrize(
    ("condition", "told"), [("cut", "no stop unheard"), ("shorted", "stuck off unheard")]
)
def test_a_switch_that_did_its_part_is_not_blamed(condition: str, told: str) -> None:
    pair = {"gauge": "18 AWG", "length": "300 ft", "condition": condition}
    site = demo_site("first_line").changed({"switch.wire": pair})

    trace = simulate(site, "1 hour", sun="700 W/m^2", start="12:00", levels={"elm": "14 in"})

    assert verdict_words(trace) == WORDS[told]


def test_a_tank_that_runs_over_on_a_pressure_switch_is_told_so() -> None:
    site = demo_site("storage_tank").changed({"drive.listens_to": "pressure switch"})

    trace = simulate(site, "2 hour", sun="800 W/m^2", levels={"cistern": "70 in"})

    assert trace.verdict == "no stop"
    assert verdict_words(trace) == WORDS["no stop over"]
    assert [flag_words(flag) for flag in trace.flags] == []
