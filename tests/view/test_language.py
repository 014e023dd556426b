"""Numbers, times and sentences as people read them."""

import html
import re
from collections.abc import Callable
from math import inf, nan

import pytest

from labkit.language import (
    alt_text,
    event_words,
    moment_lines,
    say,
    say_clock,
    say_hour,
    say_time,
    sentence,
)
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.trace import VERDICTS, DriveState, Event, Trace
from labkit.units import UNIT_SYSTEMS


@pytest.mark.parametrize(
    ("value", "kind", "system", "words"),
    [
        # conversions from the definitions: 1 psi = 6894.757 Pa, 1 gpm = 3.785411784 L/min
        (28.4 * 6894.757, "pressure", "US", "28.4 psi"),
        (28.4 * 6894.757, "pressure", "metric", "196 kPa"),
        (7.2 * 3.785411784e-3 / 60, "flow", "US", "7.2 gpm"),
        (0.05 * 3.785411784e-3 / 60, "flow", "US", "0.05 gpm"),
        (7.2 * 3.785411784e-3 / 60, "flow", "metric", "27.3 L/min"),
        (0.3048 * 1500, "length", "US", "1,500 ft"),
        (0.3048 * 2.5, "length", "US", "2.5 ft"),
        (-0.3048 * 12, "length", "US", "\N{MINUS SIGN}12 ft"),
        (0.0254 * 19.8, "small length", "US", "19.8 in"),
        (0.0254 * 19.8, "small length", "metric", "503 mm"),
        (700.0, "irradiance", "US", "700 W/m²"),
        (293.15, "temperature", "US", "68 °F"),
        (-1e-12, "flow", "US", "0 gpm"),
        (nan, "pressure", "US", "not known"),
        (inf, "flow", "metric", "not known"),
        (82.0, "time", "US", "1 min 22 s"),
    ],
)
def test_a_value_is_written_with_its_unit(value: float, kind: str, system: str, words: str) -> None:
    assert say(value, kind, system) == words


@pytest.mark.parametrize("kind", sorted(UNIT_SYSTEMS["US"]))
@pytest.mark.parametrize("system", ["US", "metric"])
def test_no_kind_of_value_is_a_bare_number(kind: str, system: str) -> None:
    assert re.fullmatch(r"[\d.,]+ \S.*", say(300.0, kind, system))


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.42, "0.4 s"),
        (22.4, "22 s"),
        (59.7, "1 min"),
        (82.0, "1 min 22 s"),
        (3600.0, "1 h"),
        (3599.8, "1 h"),
        (7530.0, "2 h 6 min"),
        (86400.0, "1 day"),
        (2 * 86400.0 + 3 * 3600.0, "2 days 3 h"),
        (nan, "not known"),
    ],
)
def test_a_time_span_is_said_in_two_units_at_most(seconds: float, words: str) -> None:
    assert say_time(seconds) == words


@pytest.mark.parametrize(
    ("seconds", "system", "words"),
    [
        (0.0, "US", "12:00 am"),
        (12 * 3600.0, "US", "12:00 pm"),
        (12 * 3600.0 + 22 * 60 + 59, "US", "12:22 pm"),
        (18.5 * 3600.0, "metric", "18:30"),
        (30 * 3600.0, "US", "day 2, 6:00 am"),
    ],
)
def test_a_time_of_day(seconds: float, system: str, words: str) -> None:
    assert say_clock(seconds, system) == words


def test_full_hours_in_short() -> None:
    hours = [say_hour(3600.0 * hour, "US") for hour in (0, 6, 12, 18, 24)]

    assert hours == ["midnight", "6 am", "noon", "6 pm", "midnight"]
    assert say_hour(6 * 3600.0, "metric") == "06:00"


def test_the_sentence_of_the_made_run(make: Callable[..., Trace], ranch: Site) -> None:
    """The made run starts 7 times; 281 s after a trip it starts, and trips 19 s later and stops 3 s
    after that: 22 s."""
    assert sentence(make(ranch), "US").startswith(
        "In 1 h the pump started 7 times; shortest run 22 s, until the pump stopped; highest pressure 33.0 psi. "
    )
    assert "228 kPa" in sentence(make(ranch), "metric")


def test_every_verdict_and_event_has_plain_words() -> None:
    heads = {
        "safety stop": "Locked out",
        "stuck off": "Won't restart",
        "no stop": "Won't stop",
        "false stop": "Stops too soon",
        "cycling": "Short-cycles",
        "sucked empty": "Sucked empty",
        "sound stop": "Good stop",
        "still filling": "Still filling",
        "at rest": "At rest",
    }
    assert heads.keys() == set(VERDICTS)
    for verdict, head in heads.items():
        assert WORDS[verdict].endswith(".")
        assert WORDS[verdict].startswith(f"{head}: ")


def test_what_the_engine_can_report_has_words() -> None:
    from labkit.engine.memory import EVENT_WORDS  # noqa: PLC0415 - only this test needs the engine

    for kind in EVENT_WORDS:
        assert kind in WORDS


def test_an_event_says_when_and_where() -> None:
    assert (
        event_words(Event(130.0, "float shuts", "elm"), 12 * 3600.0, "US")
        == "12:02:10 pm: float valve at elm closes"
    )


def test_a_moment_is_told_with_units(make: Callable[..., Trace], ranch: Site) -> None:
    trace = make(ranch)

    lines = moment_lines(trace, trace.at(900.0), "US")

    assert lines == [
        "At 12:15:00 pm, 15 min into the run",
        "Pressure 24.0 psi, the weight of 55 ft of water",
        "Controller running at 86% of full speed, contact open",
        "elm: 20.0 in, float valve open, taking 3.0 gpm",
        "draw: 20.0 in, float valve open, taking 3.0 gpm",
    ]


@pytest.mark.parametrize(
    ("opening", "told"),
    [
        (0.006, "float valve almost closed, still taking 0.13 gpm"),
        (0.0, "float valve closed but letting 0.13 gpm by"),
    ],
)
def test_a_float_that_is_closing_is_told_from_one_that_drips(
    make: Callable[..., Trace], ranch: Site, opening: float, told: str
) -> None:
    """By the definition of a gallon: 0.13 gpm are 8.2e-6 m3/s."""
    trace = make(ranch)
    moment = trace.at(900.0)._replace(
        openings={"elm": opening, "draw": 0.0},
        inflows={"elm": 8.2e-6, "draw": 1e-8},
    )

    elm, draw = moment_lines(trace, moment, "US")[3:]

    assert elm == f"elm: 20.0 in, {told}"
    assert draw == "draw: 20.0 in, float valve closed"


def test_the_words_for_the_picture_hold_what_it_shows(
    make: Callable[..., Trace], ranch: Site
) -> None:
    trace = make(ranch)

    words = alt_text(trace, trace.at(3600.0), "Cut-out 30.0 psi", "US")

    assert sentence(trace, "US") in words
    assert "Cut-out 30.0 psi." in words
    assert "At 1:00:00 pm" in words
    assert "nan" not in words
    assert html.unescape(words) == words


def test_every_drive_state_has_a_word() -> None:
    assert all(state.words for state in DriveState)
