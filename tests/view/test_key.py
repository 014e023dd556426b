"""Keys for drawn numbers and sheets in bulk: each number gets its own, from one kernel."""

import re
from html import unescape
from pathlib import Path

import pytest

from labkit.errors import LabkitError
from labkit.questions.keys import exercise_1
from labkit.view import paper
from labkit.view.handout import handouts
from labkit.view.key import MOST_NUMBERS, key, numbers_of, right_of
from labkit.view.telling import render

CHECKOUT = Path(__file__).parents[2]
EXERCISE = CHECKOUT / "exercises" / "01_pressure_tells_the_story.ipynb"
LESSON_1 = CHECKOUT / "lessons" / "01_pressure_tells_the_story.ipynb"


def words(page: str) -> str:
    plain = re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)
    return " ".join(unescape(plain).split())


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [("1-4", [1, 2, 3, 4]), ("3, 7,12-13", [3, 7, 12, 13]), ("5", [5]), ("2,1-3", [2, 1, 3])],
)
def test_numbers_are_read(typed: str, numbers: list[int]) -> None:
    assert numbers_of(typed) == numbers


@pytest.mark.parametrize(
    "typed", ["", "a", "1-", "-3", "4-2", "1-2-3", "1-999999999", "9" * 5000, "²", "1,,2", "<b>"]
)
def test_other_numbers_are_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(
        LabkitError, match=rf"write numbers such as 1-24.*{MOST_NUMBERS}"
    ) as problem:
        numbers_of(typed)
    assert len(str(problem.value)) < 200


def test_each_number_has_its_own_answers_and_sheet() -> None:
    learners = (17, 18)
    answers, sheets = words(key(EXERCISE, learners)), handouts(EXERCISE, [str(n) for n in learners])

    assert sheets.count(f'class="{paper.NEW_SHEET}"') == 1
    for number in learners:
        drawn = exercise_1.exercise(number)
        assert f"Number {number}" in answers
        assert words(render(drawn.story, "US")) in answers
        assert words(render(drawn.story, "US")) in words(sheets)
        for one in drawn.questions:
            assert words(right_of(one, "US").replace("*", "")) in answers


def test_a_lesson_in_which_nothing_is_drawn_has_no_key() -> None:
    with pytest.raises(LabkitError, match="nothing in it is drawn from a number"):
        key(LESSON_1, [1])


def test_what_asks_for_a_new_sheet_never_lands_on_a_back() -> None:
    """A stand-in for the browser: it tells on which page each mark came."""
    sheet = f'<p class="{paper.NEW_SHEET}">x</p>'
    page = f"<body>{sheet * 4}</body>"
    told = dict(zip(range(4), (1, 3, 4, 6), strict=True))  # pages from 0

    def printed(marked: str) -> bytes:
        ids = re.findall(r'id="([^"]+)"', marked)
        pages = b"".join(b"%d 0 obj\n<</Type /Page\n" % (10 * n) for n in range(1, 9))
        dests = b"".join(
            b"/%s [%d 0 R /XYZ 0 0 0]" % (name.encode(), 10 * (told[n] + 1))
            for n, name in enumerate(ids)
        )
        return pages + dests

    filled_up = paper.on_sheets(page, printed)

    before, blanks = [], 0
    for part in filled_up.split(sheet)[:-1]:
        blanks += part.count(paper._BLANK)
        before.append(blanks)
    assert before == [1, 1, 2, 2]
    assert all((told[n] + before[n]) % 2 == 0 for n in range(4))
