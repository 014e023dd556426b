"""The trainer's pages: one for each lesson, in its words and with the answers that it works out."""

import json
import re
from html import unescape
from pathlib import Path

import nbformat
import pytest

from labkit.errors import LabkitError
from labkit.questions.keys import lesson_13
from labkit.view.key import PLANS, plan, written_part

CHECKOUT = Path(__file__).parents[2]
LESSONS = sorted((CHECKOUT / "lessons").glob("[0-9]*.ipynb"))
PLANNED = sorted((CHECKOUT / "lessons" / PLANS).glob("[0-9]*.md"))
PARTS = ("Run it", "Common mistakes", "On the real rig", "Safety")
NUMBERED = re.compile(r"\d[\d.,]* ?(?:psi|kPa|gpm|gal|L/min|ohm|W/m|ft|m)\b")


def words(page: str) -> str:
    return " ".join(
        unescape(re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)).split()
    )


def test_every_lesson_has_a_plan_and_every_plan_a_lesson() -> None:
    assert [path.stem for path in PLANNED] == [path.stem[:2] for path in LESSONS]


@pytest.mark.parametrize("path", PLANNED, ids=lambda path: path.stem)
def test_the_written_part_has_its_parts_and_no_answer(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert re.findall(r"^## (.*)$", text, re.MULTILINE) == list(PARTS)
    assert re.findall(r"^\*\*(Aim|Time)\.\*\*", text, re.MULTILINE) == ["Aim", "Time"]
    assert not NUMBERED.search(text), "numbers with units come from the lesson"
    minutes = re.search(r"^\*\*Time\.\*\* (\d+) minutes: (.*)$", text, re.MULTILINE)
    assert minutes
    parts = re.findall(r" (\d+)(?: ·|\.)", minutes[2])
    assert sum(map(int, parts)) == int(minutes[1])


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_plan_is_named_as_its_lesson_and_takes_the_minutes_that_it_promises(path: Path) -> None:
    head = str(nbformat.read(path, as_version=4).cells[0].source)

    written = written_part(path)
    assert written.splitlines()[0] == f"# Trainer's page: {head.splitlines()[0][2:]}"
    promised = re.search(r"^\*\*(\d+) minutes\.\*\*", head, re.MULTILINE)
    planned = re.search(r"^\*\*Time\.\*\* (\d+) minutes", written, re.MULTILINE)
    assert promised
    assert planned
    assert promised[1] == planned[1]


@pytest.fixture(scope="module")
def page() -> str:
    return words(plan(next(path for path in LESSONS if path.stem[:2] == "13"), system="metric"))


@pytest.mark.parametrize(("system", "size"), [("US", "letter"), ("metric", "A4")])
def test_a_plan_is_set_on_the_paper_of_its_units(
    system: str, size: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def ran(pages: list[nbformat.NotebookNode], _: Path) -> None:
        pages[0].cells[-1].outputs = [nbformat.v4.new_output("stream", name="stdout", text="[]")]

    monkeypatch.setattr("labkit.view.handout.run", ran)
    sheet = plan(next(path for path in LESSONS if path.stem[:2] == "13"), system=system)

    assert re.findall(r"@page \{ size: (\w+); margin: ([^;]*);", sheet) == [(size, "11mm 13mm")]


def test_answers_and_slips_come_from_the_lesson(page: str) -> None:
    """By hand: 2 x 2500 ft of 18 AWG, 6.39 ohm per 1000 ft, are 31.95 ohms; (900 - 300)/900 of a roll
    of 500 ft are 333 ft, 101.6 m; 24 dB less two doublings of 6 are 12."""
    assert "Ohms of a pair 31.9 ohms 16 ohms: one way only" in page
    assert "Wire or radio 101.6 m 152.4 m: sensor forgotten" in page
    assert "Decibels left 12 18: one doubling for two" in page
    assert "Predict: Two cloudy days A. Pressure alone." in page
    for asked in lesson_13.checks():
        assert asked.name.capitalize() in page
    assert "Trainer's page" in page


def test_a_lesson_without_a_plan_is_named(tmp_path: Path) -> None:
    notebook = tmp_path / "77_no_plan.ipynb"
    with pytest.raises(LabkitError, match=r"trainer/77\.md: the trainer's page of 77_no_plan"):
        plan(notebook)


def test_what_asks_nothing_is_no_lesson(tmp_path: Path) -> None:
    notebook = tmp_path / "77_no_lesson.ipynb"
    (tmp_path / PLANS).mkdir()
    (tmp_path / PLANS / "77.md").write_text("# 77")
    notebook.write_text(json.dumps(nbformat.v4.new_notebook()))
    with pytest.raises(LabkitError, match=r"77_no_lesson\.ipynb: it is no lesson"):
        plan(notebook)


def test_the_workshop_names_only_commands_that_there_are() -> None:
    from labkit.cli import _parser  # noqa: PLC0415

    text = (CHECKOUT / "lessons" / PLANS / "workshop.md").read_text(encoding="utf-8")
    known = _parser().format_help()

    named = set(re.findall(r"`labkit (\w+)", text))
    assert {"open", "handout", "plan", "key", "gradebook", "quiz"} <= named
    for name in named:
        assert re.search(rf"^ +{name}\b", known, re.MULTILINE), name
