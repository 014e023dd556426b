"""Every exercise: solved from its page for twenty learners, and every slip fed to it."""

import pkgutil
import sys
from collections import Counter
from functools import cache
from importlib import import_module
from typing import Final

import pytest

from labkit.questions import (
    Amount,
    ChoiceQuestion,
    NumberQuestion,
    is_unambiguous,
    keys,
    mark_choice,
    mark_number,
)
from labkit.questions.keys.sheet import Exercise
from labkit.units import UNIT_SYSTEMS
from labkit.view.telling import format_amount, render
from tests.questions.by_hand import SOLVED
from tests.questions.solving import FIRST, Page, plain

LEARNERS: Final = range(1, 21)
DEAR: Final = {"exercise_11": 6}
"""Exercises whose lines take a second or two to find, and how many learners try them."""
TELLING: Final = {"pressure", "power", "resistance"}
"""Kinds whose numbers are seldom alike by chance."""
DRILLED: Final = (
    "exercise_12"  # drawn as a drill, with runs for answers: solved in a test of its own
)
EXERCISES: Final = sorted(
    module.name
    for module in pkgutil.iter_modules(keys.__path__)
    if module.name[:9] == "exercise_" and module.name != DRILLED
)


def learners(name: str) -> range:
    return LEARNERS[: DEAR.get(name)]


@cache
def given(name: str, learner: int) -> Exercise:
    made: Exercise = import_module(f"labkit.questions.keys.{name}").exercise(learner)
    return made


def shown(value: float, kind: str) -> str:
    """Write an SI value as a learner types it."""
    if kind == "count":
        return f"{value:.0f}"
    unit = FIRST[kind]
    if kind == "time":
        return f"{value / 60.0:.6f} {unit}"
    return f"{value / UNIT_SYSTEMS['US'][kind].factor:.6f} {unit}"


def test_every_exercise_is_solved_by_hand() -> None:
    assert sorted(SOLVED) == EXERCISES


@pytest.mark.parametrize("name", EXERCISES)
@pytest.mark.parametrize("system", ["US", "metric"])
def test_sums_from_the_page_are_right_in_either_system(name: str, system: str) -> None:
    for learner in learners(name):
        exercise = given(name, learner)
        answers = SOLVED[name](Page(exercise, system))
        numbers = [one for one in exercise.questions if isinstance(one, NumberQuestion)]
        assert {one.name for one in numbers} == set(answers)
        for asked in numbers:
            assert mark_number(asked, answers[asked.name]).is_right, (learner, asked.name, answers)


@pytest.mark.parametrize("name", EXERCISES)
def test_every_slip_is_known_again_and_hinted_at(name: str) -> None:
    for learner in learners(name):
        for asked in given(name, learner).questions:
            if isinstance(asked, ChoiceQuestion):
                for place, option in enumerate(asked.options):
                    marked = mark_choice(asked, place)
                    assert marked.is_right is (place == asked.answer)
                    assert marked.said == option.said
                continue
            assert is_unambiguous(asked), (learner, asked.name)
            for slip in asked.slips:
                for value in slip.values:
                    marked = mark_number(asked, shown(value, asked.kind))
                    assert (marked.slip, marked.said) == (slip.name, slip.hint), (learner, slip)


@pytest.mark.parametrize("name", EXERCISES)
def test_an_exercise_has_four_to_six_answers_and_slips_for_most(name: str) -> None:
    exercise = given(name, 1)

    assert 4 <= len(exercise.questions) <= 6
    assert len({one.name for one in exercise.questions}) == len(exercise.questions)
    with_slips = [one for one in exercise.questions if isinstance(one, ChoiceQuestion) or one.slips]
    assert len(with_slips) >= len(exercise.questions) - 1


@pytest.mark.parametrize("name", EXERCISES)
def test_no_question_tells_the_answer_of_another(name: str) -> None:
    """By chance two numbers may be alike; for one learner in four or more it is no chance."""
    told: Counter[str] = Counter()
    for learner in learners(name):
        exercise = given(name, learner)
        page = Page(exercise, "US")
        words = " ".join([page.story, *page.asked.values()])
        for asked in exercise.questions:
            if isinstance(asked, NumberQuestion) and asked.kind in TELLING:
                answer = plain(format_amount(Amount(asked.answer, asked.kind), "US"))
                told[asked.name] += f" {answer}" in words

    assert max(told.values(), default=0) < max(len(learners(name)) // 4, 2), told


@pytest.mark.parametrize("name", EXERCISES)
def test_words_and_amounts_are_whole_in_either_system(name: str) -> None:
    for learner in LEARNERS[:6]:
        exercise = given(name, learner)
        for system in ("US", "metric"):
            phrases = [exercise.story]
            for asked in exercise.questions:
                phrases.append(asked.ask)
                if isinstance(asked, ChoiceQuestion):
                    phrases += [phrase for one in asked.options for phrase in (one.words, one.said)]
                else:
                    phrases += [asked.reason, *asked.hints, *(slip.hint for slip in asked.slips)]
            for phrase in phrases:
                assert "{" not in render(phrase, system)
                assert "not known" not in render(phrase, system)


@pytest.mark.parametrize("name", EXERCISES)
def test_the_same_number_brings_the_same_line_and_neighbors_another(name: str) -> None:
    again = import_module(f"labkit.questions.keys.{name}").exercise("4")

    assert again == given(name, 4)
    assert given(name, 4).site != given(name, 5).site
    assert given(name, 4).verdict != given(name, 5).verdict


@pytest.mark.parametrize("name", EXERCISES)
def test_neighbors_get_every_outcome_in_turn(name: str) -> None:
    asked = LEARNERS[: 2 * len(learners(name))]
    outcomes = [given(name, learner).verdict for learner in asked]

    assert 2 <= len(set(outcomes)) <= 4
    assert all(outcomes.count(one) >= len(asked) // 4 for one in set(outcomes))


@pytest.mark.slow
def test_the_dear_exercises_hold_for_as_many_learners(monkeypatch: pytest.MonkeyPatch) -> None:
    names = list(DEAR)
    monkeypatch.setattr(sys.modules[__name__], "DEAR", {})
    for name in names:
        for system in ("US", "metric"):
            test_sums_from_the_page_are_right_in_either_system(name, system)
        test_every_slip_is_known_again_and_hinted_at(name)
        test_no_question_tells_the_answer_of_another(name)
        test_neighbors_get_every_outcome_in_turn(name)
