"""Nothing about a question's numbers changes unseen: see `tests.questions.golden` to renew one."""

import pytest

from tests.questions.golden import BLOCKS, EXERCISES, SLOW, WHOLE, block, changed, drawn, golden


def frozen(exercise: int) -> dict[str, dict[str, dict[str, str]]]:
    kept: dict[str, dict[str, dict[str, str]]] = golden(f"exercise {exercise}")["questions"]
    return kept


@pytest.mark.parametrize("exercise", EXERCISES)
def test_questions_of_two_learners_are_what_they_were(exercise: int) -> None:
    then = {name: kept["whole"] for name, kept in frozen(exercise).items() if "whole" in kept}

    assert changed(dict(drawn(exercise, WHOLE)), then) == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("first", "exercise"),
    [(first, one) for first in BLOCKS for one in EXERCISES if first == 1 or one not in SLOW],
)
def test_questions_of_two_hundred_learners_are_what_they_were(first: int, exercise: int) -> None:
    then = {
        name: kept["digests"][str(first)]
        for name, kept in frozen(exercise).items()
        if str(first) in kept["digests"]
    }

    assert changed(dict(block(exercise, first)), then) == []
