"""Lesson 11: its predictions are what a dull day shows, its checks what the trade works out."""

import pytest

from labkit.questions import ChoiceQuestion, NumberQuestion, is_unambiguous, mark_number
from labkit.questions.keys import lesson_11
from labkit.sitefile import demo_site
from labkit.trace import Trace
from labkit.view.telling import render
from tests.customary import PSI


@pytest.fixture(scope="module")
def hazy() -> Trace:
    return lesson_11.dull(lesson_11.from_the_box(demo_site("first_line")), 250.0)


def test_a_switch_from_its_box_never_stops_in_haze(hazy: Trace) -> None:
    asked = lesson_11.in_haze(hazy)

    assert hazy.verdict == "no stop"
    assert "Keep running" in render(asked.options[asked.answer].words, "US")


def test_the_gauge_ends_short_of_the_label(hazy: Trace) -> None:
    asked = lesson_11.ends_at(hazy)

    assert 30.0 < asked.answer / PSI < 50.0
    assert mark_number(asked, f"{max(hazy.pressure) / PSI:.1f} psi").is_right


def test_checks_by_hand() -> None:
    closes, halfway, turns, air = lesson_11.checks()
    assert isinstance(closes, ChoiceQuestion)
    assert "counterclockwise" in render(closes.options[closes.answer].words, "US")
    for asked, right, slips in (
        (halfway, "31 psi", {"45 psi": "haze forgotten", "25 psi": "rest for filling"}),
        (turns, "16", {"4": "whole turns for quarters", "21": "cut-in's step for cut-out"}),
        (air, "19 psi", {"34 psi": "cut-out for cut-in", "23 psi": "over cut-in"}),
    ):
        assert isinstance(asked, NumberQuestion)
        assert is_unambiguous(asked)
        assert mark_number(asked, right).is_right
        for typed, slip in slips.items():
            assert mark_number(asked, typed).slip == slip
