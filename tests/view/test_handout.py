"""A lesson on paper: every question is there to be answered, the picture is there, no code is."""

import re
from html import unescape
from pathlib import Path

import nbformat
import pytest

from labkit.check.keys import exercise_1
from labkit.errors import LabkitError
from labkit.view.handout import handout
from labkit.view.paper import write_page
from labkit.view.telling import filled

CHECKOUT = Path(__file__).parents[2]
LESSON = CHECKOUT / "lessons" / "01_pressure_tells_the_story.ipynb"
EXERCISE = CHECKOUT / "exercises" / "01_pressure_tells_the_story.ipynb"


def words(page: str) -> str:
    return " ".join(
        unescape(re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)).split()
    )


@pytest.fixture(scope="module")
def page() -> str:
    return handout(LESSON, system="metric")


def test_a_lesson_on_paper_has_its_prose_and_its_questions(page: str) -> None:
    said = words(page)
    for cell in nbformat.read(LESSON, as_version=4).cells:
        for line in (
            re.findall(r"^#+ (.*)$", cell.source, re.MULTILINE)
            if cell.cell_type == "markdown"
            else []
        ):
            assert line in said
    asking = re.findall(
        r"^lesson\.(?:predict|ask)\(",
        LESSON.read_text().replace('"', "\n").replace(" ", ""),
        re.MULTILINE,
    )
    assert page.count('class="labkit-paper"') == len(asking) > 5
    assert "What will the gauge at the well do?" in said


def test_it_is_in_the_units_asked_for_and_needs_nothing_else(page: str) -> None:
    assert "kPa" in words(page)
    assert not re.search(r"\d psi", words(page))
    assert (
        len(re.findall(r'<img alt="[^"]{40,}', page)) == 2
    )  # the bench and the moment of the trip
    assert "import labkit" not in page
    assert not re.search(r"(?:src|href)=\"(?!data:|#)", page)


def test_an_exercise_on_paper_is_the_learners_own() -> None:
    said = words(handout(EXERCISE, learner="17"))
    for question in exercise_1.exercise(17).questions:
        asked = " ".join(words(filled(question.ask, "US")).replace("**", "").split())
        assert asked in said


def test_what_cannot_be_written_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(LabkitError, match="an exercise needs a learner's own number"):
        handout(EXERCISE)
    with pytest.raises(LabkitError, match=r"ends in \.html or \.pdf"):
        write_page("x", tmp_path / "a.doc")
    with pytest.raises(LabkitError, match="cannot be written"):
        write_page("x", tmp_path / "nowhere" / "a.html")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr("labkit.view.paper._USUAL_PLACES", ())
    with pytest.raises(LabkitError, match=r"no browser here .* print it from there"):
        write_page("x", tmp_path / "a.pdf")


def test_a_notebook_that_does_not_run_is_named(tmp_path: Path) -> None:
    broken = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 / 0")])
    nbformat.write(broken, tmp_path / "broken.ipynb")
    with pytest.raises(LabkitError, match=r"broken\.ipynb: it does not run: division by zero"):
        handout(tmp_path / "broken.ipynb")
