"""A quiz: each number its own questions, every one with an answer in the key, in turn from the pages."""

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from labkit.errors import LabkitError
from labkit.questions.keys import exercise_1
from labkit.view import paper
from labkit.view.key import right_of
from labkit.view.quiz import drawn_for, quiz
from labkit.view.telling import render

EXERCISE = Path(__file__).parents[2] / "exercises" / "01_pressure_tells_the_story.ipynb"


def words(page: str) -> str:
    plain = re.sub(r"<(style|script).*?</\1>|<[^>]+>", " ", page, flags=re.DOTALL)
    return " ".join(unescape(plain).replace("*", "").split())


def pools(*sizes: int) -> list[list[dict[str, Any]]]:
    return [[{"page": page, "at": at} for at in range(size)] for page, size in enumerate(sizes)]


def test_questions_come_in_turn_from_the_exercises_and_in_their_order() -> None:
    for number in range(30):
        drawn = drawn_for(number, pools(3, 4, 5), 6)
        assert [one["page"] for one in drawn] == [0, 0, 1, 1, 2, 2]
        assert len({(one["page"], one["at"]) for one in drawn}) == 6
    assert [one["page"] for one in drawn_for(1, pools(1, 4), 4)] == [0, 1, 1, 1]
    assert len({str(drawn_for(number, pools(4, 4), 4)) for number in range(30)}) > 10
    assert drawn_for(7, pools(5, 5), 4) == drawn_for(7, pools(5, 5), 4)


@pytest.mark.parametrize("count", [0, 8, -1])
def test_as_many_as_there_are_can_be_asked(count: int) -> None:
    with pytest.raises(LabkitError, match="the exercises have 7; ask for fewer"):
        drawn_for(1, pools(3, 4), count)


def test_every_sheet_asks_its_own_number_and_the_key_has_what_is_right() -> None:
    made = quiz([EXERCISE], [17, 18], count=2)
    sheets, key, screen = words(made.sheets), words(made.key), words(made.screen)

    assert made.sheets.count(f'class="{paper.NEW_SHEET}"') == 1
    for number in (17, 18):
        drawn = exercise_1.exercise(number)
        asked = [one for one in drawn.questions if words(render(one.ask, "US")) in sheets]
        assert len(asked) >= 2
        assert words(render(drawn.story, "US")) in sheets
        assert sum(words(right_of(one, "US")) in key for one in drawn.questions) >= 2
    assert words(render(exercise_1.exercise(17).story, "US")) in screen
    assert words(render(exercise_1.exercise(18).story, "US")) not in screen
    assert "follow local codes" in screen
    assert made.screen.count('class="answer" hidden') == 2
