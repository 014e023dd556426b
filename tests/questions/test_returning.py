"""Questions come back by what was missed: in their boxes, with new numbers, kept in the file."""

import datetime as dt
from pathlib import Path

import pytest

from labkit.pages.home import Readiness
from labkit.pages.home import answer as served
from labkit.questions.keys import exercise_1
from labkit.questions.progress import ELSEWHERE, Given, Page, keep_answer, read_progress
from labkit.questions.returning import PAGE, WAITS, due
from labkit.view.lesson import Lesson, Returning

DAY = dt.date(2026, 5, 4)
SHEET = "exercise 1, number 17"


def given(*, wrong: int, day: dt.date = DAY, outcome: str = "right") -> Given:
    return Given(given="30 psi", outcome=outcome, wrong=wrong, date=day)


def names() -> list[str]:
    return [one.name for one in exercise_1.exercise(17).questions]


def test_only_what_was_missed_comes_back_and_not_on_the_same_day() -> None:
    first, second, *_ = names()
    pages = {SHEET: Page(answers={first: given(wrong=1), second: given(wrong=0)})}

    assert due(pages, DAY) == ()
    (one,) = due(pages, DAY + dt.timedelta(days=WAITS[0]))
    assert (one.exercise, one.name, one.box) == (1, first, 0)
    assert one.learner != 17


def test_it_has_new_numbers_each_time() -> None:
    first = names()[0]
    pages = {SHEET: Page(answers={first: given(wrong=1)})}
    later = DAY + dt.timedelta(days=1)
    (one,) = due(pages, later)
    kept = {**pages, PAGE: Page(state={one.part: one.answered(later, is_right=False)})}
    (again,) = due(kept, later + dt.timedelta(days=WAITS[0]))

    asked = [each.question() for each in (one, again)]
    assert [each.name for each in asked if each is not None] == [first, first]
    assert asked[0] is not None
    assert asked[1] is not None
    assert asked[0].ask != asked[1].ask


def test_right_answers_lengthen_the_wait_until_it_is_known() -> None:
    pages = {SHEET: Page(answers={names()[0]: given(wrong=2)})}
    day, gaps = DAY + dt.timedelta(days=WAITS[0]), []
    while found := due(pages, day):
        (one,) = found
        pages[PAGE] = Page(state={one.part: one.answered(day, is_right=True)})
        nxt = next((day + dt.timedelta(days=n) for n in range(1, 100) if due(pages, day + dt.timedelta(days=n))), None)  # fmt: skip
        if nxt is None:
            break
        gaps.append((nxt - day).days)
        day = nxt

    assert gaps == list(WAITS[1:])


def test_a_wrong_answer_goes_back_to_the_first_box() -> None:
    pages = {SHEET: Page(answers={names()[0]: given(wrong=1)})}
    (one,) = due(pages, DAY + dt.timedelta(days=1))
    far: dict[str, str | bool | int | float] = {"box": 3, "times": 4, "due": DAY.isoformat()}
    pages[PAGE] = Page(state={one.part: far})
    (late,) = due(pages, DAY)

    assert late.box == 3
    assert late.answered(DAY, is_right=False)["box"] == 0


@pytest.mark.parametrize("kept", [{"box": "x"}, {"due": "never", "box": 1, "times": 1}, {}])
def test_a_bent_entry_counts_as_none(kept: dict[str, str | int]) -> None:
    pages = {SHEET: Page(answers={names()[0]: given(wrong=1)})}
    pages[PAGE] = Page(state={f"1 {names()[0]}": dict(kept)})

    assert len(due(pages, DAY + dt.timedelta(days=1))) == 1


def test_a_lesson_asks_it_and_the_home_page_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "my_progress.toml"
    monkeypatch.setenv(ELSEWHERE, str(path))
    long_ago = dt.date(2024, 1, 2)
    for name in names():
        keep_answer(path, SHEET, name, given(wrong=1, day=long_ago))

    lesson = Lesson("lesson 2")
    assert lesson.returning is not None
    assert len(lesson.returning.asked) == 2
    kind, state = served("state", tmp_path, lambda: Readiness(share=1.0, words="", lab="", checks=None)) or ("", b"")  # fmt: skip
    assert b"questions from earlier are due today" in state
    assert "json" in kind

    (first, second) = lesson.returning.asked
    first.answer.entry.value = "nonsense" if not first.answer.choices() else 0
    first.press()
    second.answer.entry.value = "1 psi" if not second.answer.choices() else 0
    second.press()
    second.press()
    kept = read_progress(path)[PAGE].state
    assert all(int(box["times"]) == 1 for box in kept.values())
    assert len(Returning("US").asked) == min(2, len(names()) - len(kept))
    assert Lesson("").returning is None
