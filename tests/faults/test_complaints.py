"""What people on site say of a morning, of mornings made by hand: each on both sides of its mark."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pytest

from labkit.faults import complaints, morning, stocked
from labkit.sitefile import demo_site
from labkit.trace import DriveState, Event

if TYPE_CHECKING:
    from labkit.trace import Trace

ROWS = 211
"""A row a minute for three and a half hours."""

DEPTH = 24 * 0.0254
"""Of the trough [m]."""

NOTCH = "“notch”"


@pytest.fixture(scope="module")
def run() -> Trace:
    return morning(stocked(demo_site("one_trough_uphill")))[0]


def made(run: Trace, **otherwise: Any) -> Trace:
    """Make a morning: half a meter in the trough, its float shut, the pump at rest after two runs."""
    given: dict[str, Any] = {
        "pressure": np.linspace(200e3, 300e3, ROWS),
        "level": np.full(ROWS, 0.5),
        "opening": np.zeros(ROWS),
        "speed": minutes(0, 60),
        "drive_state": np.full(ROWS, DriveState.RESTING, dtype=np.int8),
        "time": np.linspace(0.0, 12600.0, ROWS),
        "starts": 2,
        "other": (),
    } | otherwise
    events = [Event(60.0 * k, "pump starts", "wellhead") for k in range(given.pop("starts"))]
    events += [Event(9000.0, kind, "wellhead") for kind in given.pop("other")]
    for name in ("level", "opening"):
        if not isinstance(given[name], dict):
            given[name] = {trough.name: given[name] for trough in run.site.troughs}
    return attrs.evolve(run, events=tuple(events), **given)


def minutes(first: int, past: int, value: float = 1.0, otherwise: float = 0.0) -> Any:
    rows = np.full(ROWS, otherwise)
    rows[first:past] = value
    return rows


def states(first: int) -> Any:
    """At rest, and running from a minute on to the end."""
    rows = np.full(ROWS, DriveState.RESTING, dtype=np.int8)
    rows[first:] = DriveState.RUNNING
    return rows


CASES: list[tuple[dict[str, Any], list[str]]] = [
    ({}, []),
    # under three tenths of the depth, 0.183 m
    ({"level": minutes(0, 200, 0.5, 0.18)}, [f"The trough {NOTCH} is all but empty."]),
    ({"level": minutes(0, 200, 0.5, 0.19)}, [f"By this time {NOTCH} is usually full. It isn't."]),
    # two inches lower, and a finger's width higher
    ({"level": minutes(0, 200, 0.5, 0.449)}, [f"By this time {NOTCH} is usually full. It isn't."]),
    ({"level": minutes(0, 200, 0.5, 0.451)}, []),
    ({"level": minutes(0, 200, 0.5, 0.516)}, [f"The water at {NOTCH} is higher than it should be."]),
    ({"level": minutes(0, 200, 0.5, 0.514)}, []),
    # at the rim for more than a minute
    ({"level": minutes(100, 102, DEPTH, 0.5)}, [f"Water runs over the rim at {NOTCH}."]),
    ({"level": minutes(100, 102, DEPTH - 0.002, 0.5)}, []),
    ({"level": minutes(100, 101, DEPTH, 0.5)}, []),
    # three starts more, and none
    ({"starts": 5}, ["The pump has come on again and again this morning."]),
    ({"starts": 4}, []),
    ({"starts": 0}, ["Nobody has heard the pump this morning."]),
    ({"starts": 1}, []),
    ({"other": ("low water",)}, ["The controller has shut the pump off by itself."]),
    ({"other": ("torque limit",)}, ["The controller has shut the pump off by itself."]),
    # against a shut line for a quarter of an hour, to the end
    ({"drive_state": states(194)}, ["The pump keeps humming, but no trough is taking water."]),
    ({"drive_state": states(195)}, []),
    # half as long again as usual, still running, the float open for as long as usual
    (
        {"speed": minutes(119, ROWS), "drive_state": states(200), "opening": minutes(200, ROWS, 0.02)},
        ["The pump has run nearly all morning, and it's still running."],
    ),
    (
        {"speed": minutes(121, ROWS), "drive_state": states(200), "opening": minutes(200, ROWS, 0.02)},
        [],
    ),
    ({"speed": minutes(0, 100)}, []),
    # a psi on the gauge
    (
        {"pressure": np.linspace(200e3, 206.9e3, ROWS)},
        ["The gauge has read the same all morning, no matter what the pump did."],
    ),
    ({"pressure": np.linspace(200e3, 207.1e3, ROWS)}, []),
    (
        {"pressure": np.full(ROWS, 200e3), "starts": 0},
        ["Nobody has heard the pump this morning."],
    ),
]  # fmt: skip


def rests_at_last(rows: Any) -> Any:
    rows[-1] = DriveState.RESTING
    return rows


CASES += [
    # what counts is how things stand as the technician comes
    ({"level": minutes(0, ROWS - 1, 0.5, 0.18)}, [f"The trough {NOTCH} is all but empty."]),
    ({"drive_state": rests_at_last(states(190))}, []),
    (
        {
            "speed": minutes(119, ROWS),
            "drive_state": rests_at_last(states(200)),
            "opening": minutes(200, ROWS, 0.02),
        },
        [],
    ),
    # the longest time at the rim
    (
        {"level": minutes(100, 102, DEPTH, 0.5) + minutes(50, 51, DEPTH - 0.5)},
        [f"Water runs over the rim at {NOTCH}."],
    ),
]


@pytest.mark.parametrize(("changes", "said"), CASES)
def test_what_is_said(run: Trace, changes: dict[str, Any], said: list[str]) -> None:
    """Beside a usual morning on which the float is open for the last ten minutes, where it is open."""
    usual = made(run, opening=minutes(200, ROWS, 0.02)) if "opening" in changes else made(run)

    assert list(complaints(made(run, **changes), usual)) == said


@pytest.mark.parametrize(("more", "said"), [(19, []), (21, [f"{NOTCH} took much longer to fill than it used to."])])  # fmt: skip
def test_a_fill_that_takes_a_fifth_longer_is_noticed(
    run: Trace, more: int, said: list[str]
) -> None:
    usual = made(run, opening=minutes(10, 110, 0.02))
    now = made(run, opening=minutes(10, 110 + more, 0.02))

    assert list(complaints(now, usual)) == said


def test_each_trough_has_its_own_complaint() -> None:
    """Two that fill slowly, beside one that is all but empty: 0.1 m of some 0.6."""
    run = morning(stocked(demo_site("three_troughs")))[0]
    names = [trough.name for trough in run.site.troughs]
    levels = {name: np.full(ROWS, 0.5) for name in names}
    usual = made(run, level=levels, opening=minutes(10, 110, 0.02))
    low = levels | {names[0]: np.full(ROWS, 0.1)}

    empty, *slow = complaints(made(run, level=low, opening=minutes(10, 140, 0.02)), usual)

    assert empty == f"The trough “{names[0]}” is all but empty."
    assert slow == [f"“{name}” took much longer to fill than it used to." for name in names[1:]]


def test_an_opening_under_a_hundredth_is_shut(run: Trace) -> None:
    usual = made(run, opening=minutes(10, 50, 0.02))

    assert (
        complaints(made(run, opening=minutes(10, 50, 0.02) + minutes(50, 200, 0.009)), usual) == ()
    )


def test_a_rim_is_run_over_from_a_minute_on(run: Trace) -> None:
    """A row at the rim where rows are 58 and 65 seconds apart."""
    for seconds, said in ((58.0, ()), (65.0, (f"Water runs over the rim at {NOTCH}.",))):
        time = np.linspace(0.0, seconds * (ROWS - 1), ROWS)
        now = made(run, time=time, level=minutes(100, 101, DEPTH, 0.5))
        assert complaints(now, made(run, time=time)) == said


def test_one_start_is_enough_to_miss_the_needle(run: Trace) -> None:
    still = np.full(ROWS, 200e3)

    said = complaints(made(run, pressure=still, starts=1), made(run, starts=1))

    assert said == ("The gauge has read the same all morning, no matter what the pump did.",)


@pytest.mark.parametrize(
    ("visits", "begins"), [(["09:00", "16:00"], 8.5), (["00:10", "12:00"], 23.0 + 40.0 / 60.0)]
)
def test_a_morning_begins_half_an_hour_before_the_stock_come(
    visits: list[str], begins: float
) -> None:
    herd = {"head": 50, "kind": "cow with calf", "visits": visits}
    site = demo_site("one_trough_uphill").changed({"trough.notch.herd": herd})

    trace, _ = morning(site)

    assert trace.clock == pytest.approx(begins * 3600.0)
    assert trace.time[-1] - trace.time[0] == pytest.approx(3.5 * 3600.0)


def test_what_was_so_before_is_no_complaint(run: Trace) -> None:
    """A trough that is always low, and one that always runs over."""
    for level in (np.full(ROWS, 0.1), minutes(100, 105, DEPTH, 0.5)):
        assert complaints(made(run, level=level), made(run, level=level)) == ()


def test_a_gauge_that_is_stuck_reads_the_same_whatever_the_line_does(run: Trace) -> None:
    said = complaints(made(run), made(run), is_gauge_stopped=True)

    assert said == ("The gauge has read the same all morning, no matter what the pump did.",)
