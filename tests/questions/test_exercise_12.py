"""Exercise 12 and the checks of lesson 12, solved as a learner solves them from the page."""

import re
from functools import cache

import pytest

from labkit.drills import TASKS, draw_drill
from labkit.faults import FAULTS
from labkit.questions import (
    ChoiceQuestion,
    NumberQuestion,
    is_unambiguous,
    mark_choice,
    mark_number,
)
from labkit.questions.keys import exercise_12, leaking, lesson_12
from labkit.questions.keys.sheet import Exercise
from labkit.sitefile import demo_site
from labkit.view.telling import render

LEARNERS = [
    *range(1, 7),
    *(pytest.param(learner, marks=pytest.mark.slow) for learner in range(7, 21)),
]
_READ = re.compile(r"([\d,]+(?:\.\d+)?)\s(psi|kPa|ft|gal|L|min|s|m)\b")


@cache
def exercise(learner: int) -> Exercise:
    return exercise_12.exercise(learner)


def numbers(words: str, unit: str) -> list[float]:
    found = _READ.findall(words.replace("\N{NO-BREAK SPACE}", " "))
    return [float(number.replace(",", "")) for number, its in found if its == unit]


@pytest.mark.parametrize("learner", LEARNERS)
def test_sums_are_right_from_the_page_by_hand(learner: int) -> None:
    asked = {one.name: one for one in exercise(learner).questions}
    standing, leak = asked["standing water"], asked["size of the leak"]
    assert isinstance(standing, NumberQuestion)
    assert isinstance(leak, NumberQuestion)
    assert is_unambiguous(standing)
    assert is_unambiguous(leak)

    rise, *_ = numbers(render(standing.ask, "US"), "ft")
    assert mark_number(standing, f"{rise / 2.31:.1f} psi").is_right  # 2.31 ft to a psi
    words = render(leak.ask, "US")
    (water,), (minutes,) = numbers(words, "gal"), numbers(words, "min")
    assert mark_number(leak, f"{water / minutes:.4f} gpm").is_right
    words = render(leak.ask, "metric")
    (water,), (minutes,) = numbers(words, "L"), numbers(words, "min")
    assert mark_number(leak, f"{water / minutes:.3f} L/min").is_right


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_fault_is_the_one_that_is_hidden_and_the_others_are_ruled_out(learner: int) -> None:
    given = exercise(learner)
    which = next(one for one in given.questions if one.name == "which part")
    assert isinstance(which, ChoiceQuestion)
    names = [render(option.words, "US").rstrip(".").lower() for option in which.options]
    assert names[which.answer] == given.verdict
    assert set(names) <= set(FAULTS)
    assert len(set(names)) == 4
    for place, name in enumerate(names):
        assert mark_choice(which, place).is_right == (name == given.verdict)


def test_it_does_not_repeat_the_lesson_s_drill() -> None:
    """Neither line nor fault of a number are those that the drill of lesson 12 has for it."""
    sheets = [exercise(learner) for learner in range(1, 7)]
    drilled = [draw_drill("one_trough_uphill", learner).hidden[0].key for learner in range(1, 7)]

    assert len({sheet.site.title for sheet in sheets}) >= 4
    assert sum(one.verdict == key for one, key in zip(sheets, drilled, strict=True)) <= 1


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_story_holds_the_whole_notebook_in_either_system(learner: int) -> None:
    story = exercise(learner).story

    for system, other in (("US", "kPa"), ("metric", "psi")):
        words = render(story, system)
        assert "{" not in words
        assert other not in words
        assert words.count("**(") == 15


def test_the_same_number_brings_the_same_sheet() -> None:
    first, second = exercise(3), exercise_12.exercise("3")

    assert first.story == second.story
    assert [one.ask for one in first.questions] == [one.ask for one in second.questions]


def test_the_option_of_a_test_names_a_test() -> None:
    sheet = exercise(2)
    which = next(one for one in sheet.questions if one.name == "which test")
    assert isinstance(which, ChoiceQuestion)
    labels = {
        task.label.format(where=f"“{trough.name}”", inch="1\N{NO-BREAK SPACE}in")
        for task in TASKS.values()
        for trough in sheet.site.troughs
    }

    assert {render(option.words, "US").removesuffix(".") for option in which.options} <= labels


def test_the_lesson_asks_what_the_simulation_shows() -> None:
    """Behind the shut valve only the check valve loses water; of the four, the tank loses none."""
    site = demo_site("one_trough_uphill")
    shut, count = lesson_12.who_falls_shut_in(site), lesson_12.how_many_fall_open(site)

    assert render(shut.options[shut.answer].words, "US") == "The bad check valve."
    assert count.answer == 3.0


def test_checks_of_the_lesson() -> None:
    halves, wire, leak = lesson_12.checks()
    assert isinstance(halves, ChoiceQuestion)
    assert isinstance(wire, ChoiceQuestion)
    assert isinstance(leak, NumberQuestion)

    assert "buried" in render(halves.options[halves.answer].words, "US")
    assert "cut" in render(wire.options[wire.answer].words, "US")
    assert mark_number(leak, "0.18 gpm").is_right  # 0.9 gal in 5 min
    assert mark_number(leak, "2.16 gpm").slip == "per run instead of per wait"  # 0.9 gal in 25 s
    assert mark_number(leak, "5.56 gpm").slip == "time over water"  # 5 over 0.9
    assert mark_number(leak, "10.8 gpm").slip == "per hour"  # 0.18 times 60
    assert is_unambiguous(leaking.size_of_leak("x", given_up="0.6 gal", wait="4 min"))
