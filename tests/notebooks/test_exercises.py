"""The page of an exercise: a number, a line, its questions, a count; and no answer in the file."""

from pathlib import Path
from typing import Final

import nbformat
import pytest

from labkit.questions import NumberQuestion
from labkit.questions.keys.exercise_1 import exercise
from labkit.view.setting import Setting

FOLDER: Final = Path(__file__).parents[2] / "exercises"


@pytest.fixture
def setting() -> Setting:
    return Setting(exercise)


def give(setting: Setting, number: str) -> None:
    setting.number.value = number
    setting.start()


def test_nothing_is_asked_before_there_is_a_number(setting: Setting) -> None:
    assert setting.questions == []
    assert setting.story.value == ""


def test_a_number_brings_a_line_and_six_questions(setting: Setting) -> None:
    give(setting, "17")

    assert len(setting.questions) == 6
    assert "A solar pump fills one trough" in setting.story.value
    assert "0 of 6 right so far." in setting.status.value


def test_right_answers_are_counted(setting: Setting) -> None:
    give(setting, "17")
    given = exercise(17)

    for asked, question in zip(setting.questions, given.questions, strict=True):
        if isinstance(question, NumberQuestion):
            unit, size = ("kPa", 1e3) if question.kind == "pressure" else ("s", 1.0)
            asked.answer.entry.value = f"{question.answer / size:.4f} {unit}"
        else:
            asked.answer.entry.value = question.answer
        asked.press()

    assert "6 of 6 right so far." in setting.status.value


@pytest.mark.parametrize("typed", ["", "seventeen", "<b>1</b>", "-1"])
def test_a_number_that_is_none_is_refused_in_one_sentence(setting: Setting, typed: str) -> None:
    give(setting, typed)

    assert "Write your own number with digits only" in setting.status.value
    assert setting.questions == []


def test_the_whole_sheet_changes_its_units(setting: Setting) -> None:
    give(setting, "17")

    setting.units.value = "metric"

    sheet = setting.story.value + "".join(asked.ask.value for asked in setting.questions)
    assert "kPa" in sheet
    assert "psi" not in sheet


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.ipynb")), ids=lambda path: path.stem)
def test_the_file_holds_no_answer(path: Path) -> None:
    """All that its code does is name the exercise and show it."""
    notebook = nbformat.read(path, as_version=4)
    (cell,) = (cell for cell in notebook.cells if cell.cell_type == "code")

    name = f"exercise_{int(path.stem[:2])}"
    lines = [line for line in cell.source.splitlines() if line and not line.startswith("#")]
    assert lines == [
        "import labkit as lab",
        f'setting = lab.Setting(lab.keys.{name}.exercise, "{name.replace("_", " ")}")',
        "setting",
    ]
