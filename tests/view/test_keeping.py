"""Answers given on a page end in the learner's file, and a right one is recalled on the next visit."""

from pathlib import Path

import pytest

from labkit.check.keys import exercise_1, lesson_1
from labkit.check.progress import ELSEWHERE, read_progress
from labkit.sitefile import demo_site
from labkit.view.lesson import Lesson
from labkit.view.setting import Setting


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(ELSEWHERE, str(tmp_path / "mine.toml"))
    return tmp_path / "mine.toml"


def test_answers_of_a_lesson_are_kept(path: Path) -> None:
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    lesson = Lesson("lesson 1")
    asked = lesson.ask(asked_at_rest)

    for words in ("1 psi", "nonsense", "2 psi", f"{asked_at_rest.answer / 6894.757:.4g} psi"):
        asked.answer.entry.value = words
        asked.press()

    kept = read_progress(path)["lesson 1"].answers[asked_at_rest.name]
    assert (kept.outcome, kept.wrong) == ("right", 2)
    assert "mine.toml" in lesson.keeper.note.value
    again = Lesson("lesson 1").ask(asked_at_rest)
    assert "earlier visit" in again.line.value
    assert kept.given in again.line.value


def test_a_page_without_a_name_keeps_nothing(path: Path) -> None:
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    asked = Lesson().ask(asked_at_rest)
    asked.answer.entry.value = "1 psi"
    asked.press()
    assert not path.exists()


def test_a_file_that_cannot_be_read_is_said_and_the_marking_goes_on(path: Path) -> None:
    path.write_text("damaged")
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    lesson = Lesson("lesson 1")
    asked = lesson.ask(asked_at_rest)
    asked.answer.entry.value = "1 psi"
    asked.press()
    assert "Not yet" in asked.line.value
    assert "delete it" in lesson.keeper.note.value
    assert path.read_text() == "damaged"


def test_answers_of_an_exercise_are_kept_by_the_learners_number(path: Path) -> None:
    setting = Setting(exercise_1.exercise, "exercise 1")
    setting.number.value = "17"
    setting.give()
    first = setting.questions[0]
    first.answer.entry.value = 0 if hasattr(first.question, "options") else "3 psi"
    first.press()
    assert list(read_progress(path)) == ["exercise 1, number 17"]
