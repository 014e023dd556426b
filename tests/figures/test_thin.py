"""Long records thinned for drawing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.figures.thin import MIXED, envelope, spans
from labkit.figures.ticks import nice_step, spread, time_ticks


@given(seed=st.integers(0, 2**32 - 1), n=st.integers(5000, 20000))
def test_thinning_keeps_both_ends_and_every_extreme(seed: int, n: int) -> None:
    rng = np.random.default_rng(seed)
    time = np.cumsum(rng.exponential(size=n) ** 4)
    value = rng.normal(size=n)

    x, y = envelope(time, value, columns=300)

    assert x.size <= 1200
    assert (x[0], y[0], x[-1], y[-1]) == (time[0], value[0], time[-1], value[-1])
    assert (y.min(), y.max()) == (value.min(), value.max())
    assert np.all(np.diff(x) >= 0.0)


def test_a_peak_stays_in_its_column() -> None:
    time, value = np.linspace(0.0, 100.0, 10_001), np.zeros(10_001)
    value[4321] = 7.0

    x, y = envelope(time, value, columns=100)

    assert x[np.argmax(y)] == pytest.approx(time[4321], abs=1.0)


def test_a_short_record_is_drawn_as_it_is() -> None:
    time = np.array([0.0, 1.0, 5.0])

    assert envelope(time, time, columns=10)[0] is time


def test_spans_of_a_state() -> None:
    time = np.array([0.0, 10.0, 20.0, 30.0, 100.0])

    assert spans(time, [0, 0, 1, 2, 2], columns=50) == [
        (0.0, 20.0, 0),
        (20.0, 30.0, 1),
        (30.0, 100.0, 2),
    ]


def test_a_state_that_never_changes_is_one_span() -> None:
    assert spans(np.array([0.0, 5.0]), [3, 3], columns=10) == [(0.0, 5.0, 3)]


def test_changes_too_close_to_tell_apart_are_one_mixed_span() -> None:
    time = np.concatenate([[0.0], np.arange(500.0, 501.0, 0.1), [1000.0]])
    code = np.arange(time.size) % 2
    code[-2:] = 1

    kinds = [kind for _, _, kind in spans(time, code, columns=500)]

    assert kinds == [0, MIXED, 1]


@given(st.lists(st.floats(0.0, 300.0), min_size=1, max_size=6))
def test_labels_never_overlap_where_there_is_room(wanted: list[float]) -> None:
    places = spread(wanted, gap=19.0, low=0.0, high=300.0)

    assert all(b - a >= 18.0 for a, b in zip(sorted(places), sorted(places)[1:], strict=False))
    assert 0.0 <= min(places) <= max(places) <= 300.0


def test_labels_with_room_stay_where_they_are() -> None:
    assert spread([250.0, 10.0], gap=19.0, low=0.0, high=300.0) == [250.0, 10.0]


@pytest.mark.parametrize(("span", "step"), [(30.0, 5.0), (48.0, 10.0), (0.9, 0.2), (210.0, 50.0)])
def test_ticks_are_round(span: float, step: float) -> None:
    assert nice_step(span, count=6) == pytest.approx(step)


@pytest.mark.parametrize(
    ("duration", "labels"),
    [
        (60.0, ["0", "10", "20", "30", "40", "50", "60"]),
        (3600.0, ["0", "10", "20", "30", "40", "50", "60"]),
        (86400.0, ["6 am", "noon", "6 pm", "midnight", "6 am"]),
    ],
)
def test_a_time_axis_speaks_seconds_minutes_or_the_clock(
    duration: float, labels: list[str]
) -> None:
    places, said, _ = time_ticks(duration, 6 * 3600.0, "US")

    assert list(said) == labels
    assert places[-1] * 60.0 == pytest.approx(duration)
