"""A lesson on paper: every question is there to be answered, the picture is there, no code is."""

import re
from html import unescape
from pathlib import Path

import nbformat
import pytest

from labkit.drills import TASKS, draw_drill
from labkit.errors import LabkitError
from labkit.faults import FAULTS
from labkit.questions.keys import exercise_1
from labkit.rigs import start_rig
from labkit.view.drill_view import drill_sheet
from labkit.view.drill_words import task_label
from labkit.view.field_numbers import gauge
from labkit.view.handout import _mark, handouts
from labkit.view.paper import LINE, for_paper, question_form, write_page
from labkit.view.telling import render

CHECKOUT = Path(__file__).parents[2]
PAGES = [
    path for name in ("lessons", "exercises") for path in (CHECKOUT / name).glob("[0-9]*.ipynb")
]
LESSON = CHECKOUT / "lessons" / "01_pressure_tells_the_story.ipynb"
EXERCISE = CHECKOUT / "exercises" / "01_pressure_tells_the_story.ipynb"


def words(page: str) -> str:
    return " ".join(
        unescape(re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)).split()
    )


@pytest.fixture(scope="module")
def page() -> str:
    return handouts(LESSON, [None], system="metric")


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
    assert page.count("Because") == 2, "room for a reason under each of the two predictions"
    assert "What will the gauge at the well do?" in said


def test_it_is_in_the_units_asked_for_and_needs_nothing_else(page: str) -> None:
    assert "kPa" in words(page)
    assert not re.search(r"\d psi", words(page))
    # the first minutes, the bench and the moment of the trip
    assert len(re.findall(r'<img alt="[^"]{40,}', page)) == 3
    assert "import labkit" not in page
    assert not re.search(r"(?:src|href)=\"(?!data:|#)", page)


SCREEN = re.compile(
    r"\bsliders? wait|\blists wait|\bReset\b|\bpress\b|\bbutton|[Mm]arked at once|[Dd]rag, press"
    r"|\bscroll|no prediction yet|comes with your|as often as you like|\b[Tt]ype\b",
)
"""What only makes sense before a screen."""


def test_words_for_the_screen_stay_there_and_words_for_paper_come(page: str) -> None:
    said = words(page)

    assert not SCREEN.search(said), SCREEN.search(said)
    assert "<!--" not in page.split("<body>")[1]
    assert "Write it down, and turn the page only then." in said
    assert "Answer in any unit you like." in said
    assert "Climb until something at the well stops the pump" in said
    assert said.index("turn the page only then") < said.index("3. Try") < said.index("You said")


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_no_page_talks_to_a_screen_on_paper(path: Path) -> None:
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "markdown":
            said = for_paper(cell.source)
            assert not SCREEN.search(said), (cell.id, SCREEN.search(said))
            assert "<!--" not in said, cell.id
            assert not re.search(r"^\s*<!--", cell.source, re.MULTILINE), cell.id


def test_words_are_taken_out_and_put_in_where_the_marks_stand() -> None:
    marked = "Try.<!-- screen -->\nPress it.<!-- paper: Write it down. --> Then<!-- screen -->, or not,<!-- paper: --> go."

    assert for_paper(marked) == "Try. Write it down. Then go."
    assert for_paper("your line<!-- screen -->: go.<!-- paper: . Stay. -->") == "your line. Stay."
    assert (
        for_paper("Nothing marked, <!-- of another kind -->.")
        == "Nothing marked, <!-- of another kind -->."
    )


def test_what_comes_after_a_question_stands_in_its_form() -> None:
    form = question_form("<p>Why?</p>", [], label="Number", lines=1, after="<p>Because</p>")

    assert form.startswith('<div class="labkit-paper"><p>Why?</p>')
    assert form.endswith(f"{LINE}<p>Because</p></div>")


@pytest.mark.parametrize(
    "words",
    [
        "Press it. <!-- screen --> Then this. And on.",
        "Press it. <!-- screen --> Then. <!-- screen --> And. <!-- paper: Write. -->",
        "Press it. <!-- paper: Write. --> And on.",
        "Press. <!-- screen --> Then. <!-- paper: Write. --> On. <!-- paper: Twice. -->",
        "Press. <!-- screen --> Then. <!-- paper: Write. And on.",
        "Press. <!-- screen --> Then. <!-- paper: Write. And <!-- screen --> on <!-- paper: -->",
    ],
)
def test_marks_that_do_not_pair_are_said_and_swallow_nothing(words: str) -> None:
    with pytest.raises(LabkitError, match=r"without its partner at “<!-- (screen|paper)"):
        for_paper(words)


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_marks_pair_in_each_cell(path: Path) -> None:
    for cell in nbformat.read(path, as_version=4).cells:
        kinds = re.findall(r"<!--\s*(screen|paper)\b", cell.source)
        assert kinds == ["screen", "paper"] * (len(kinds) // 2), cell.id
        assert cell.source.count("<!--") == cell.source.count("-->") == len(kinds), cell.id


def test_a_sheet_begins_after_the_predictions(page: str) -> None:
    begun = re.findall(r'class="[^"]*celltag_labkit-new-sheet[^"]*" id="cell-id=([\w-]+)"', page)

    assert begun == ["try"]


@pytest.mark.parametrize(("system", "size"), [("US", "letter"), ("metric", "A4")])
def test_the_rig_on_paper_is_a_sheet_to_fill_in(system: str, size: str) -> None:
    page = handouts(CHECKOUT / "lessons" / "11_commissioning.ipynb", [None], system=system)

    assert f"size: {size}" in page
    sheet = words(page[page.index("Commissioning sheet") : page.index("4. Explain")])
    there = start_rig(1)
    assert there.site.title in sheet
    for head in ("No.", "Turns", "Trips at", "Resets at", "Contact"):
        assert head in sheet
    assert sheet.count("must be") == 3
    for pressure in (there.window.dead_head[0], there.window.troughs[0].most):
        told = gauge(pressure, system).replace("\N{NO-BREAK SPACE}", " ")
        assert f" {told} " not in sheet, "the learner is to read it off the gauge"
    assert len(re.findall('<img alt="The line from the gauge', page)) == 1


def test_the_drill_on_paper_is_a_case_sheet_without_the_answer() -> None:
    page = handouts(CHECKOUT / "lessons" / "12_fault_finding.ipynb", ["7"])
    sheet = words(page[page.index("Case sheet") : page.index("4. Explain")])
    case = draw_drill("one_trough_uphill", 7)

    assert "My number: 7 " in sheet
    for said in case.complaints:
        assert " ".join(said.split()) in sheet
    for key, where in case.choices:
        label = " ".join(task_label(key, where, "US").split())
        assert f"{label} {TASKS[key].minutes:g} " in sheet
    for suspect in case.suspects:
        assert suspect in sheet
    assert FAULTS[case.hidden[0].key].about not in sheet
    assert "It was" not in sheet
    assert "What was reported" in words(drill_sheet("one_trough_uphill", "US"))


def test_an_exercise_on_paper_is_the_learners_own() -> None:
    said = words(handouts(EXERCISE, ["17"]))
    assert "My number: 17" in said
    assert not SCREEN.search(said), SCREEN.search(said)
    for question in exercise_1.exercise(17).questions:
        asked = " ".join(words(render(question.ask, "US")).replace("**", "").split())
        assert asked in said


def test_what_cannot_be_written_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(LabkitError, match="an exercise needs a learner's own number"):
        handouts(EXERCISE, [None])
    with pytest.raises(LabkitError, match=r"ends in \.html or \.pdf"):
        write_page("x", tmp_path / "a.doc")
    with pytest.raises(LabkitError, match="can't be written"):
        write_page("x", tmp_path / "nowhere" / "a.html")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr("labkit.view.paper._USUAL_PLACES", ())
    with pytest.raises(LabkitError, match=r"no browser here .* print it from there"):
        write_page("x", tmp_path / "a.pdf")


def own(path: Path, *cells: nbformat.NotebookNode) -> Path:
    """Write a notebook of one's own."""
    nbformat.write(nbformat.v4.new_notebook(cells=list(cells)), path)
    return path


FAKE = """
class lesson:
    bench = predict = compare = staticmethod(print)
"""
PREDICT, COMPARE, BENCH = (
    f'lesson.{name}("{name} it")' for name in ("predict", "compare", "bench")
)


@pytest.mark.parametrize(
    "calls",
    [[], [PREDICT], [COMPARE], [PREDICT, COMPARE], [PREDICT, BENCH, COMPARE]],
    ids=["none", "predict", "compare", "both", "tried"],
)
@pytest.mark.parametrize("place", [None, 0, -1])
def test_a_notebook_of_ones_own_needs_no_words_at_any_place(
    calls: list[str], place: int | None
) -> None:
    cells = [nbformat.v4.new_code_cell(code) for code in [FAKE, *calls]]
    if place is not None:
        cells.insert(len(cells) if place else 0, nbformat.v4.new_markdown_cell("Words of my own."))
    page = nbformat.v4.new_notebook(cells=cells)
    before = len(page.cells)

    _mark(page)

    assert len(page.cells) == before
    tagged = [cell for cell in page.cells if cell.metadata.get("tags")]
    assert len(tagged) == (place is not None)


def test_tags_of_the_author_stay(tmp_path: Path) -> None:
    words = [nbformat.v4.new_markdown_cell("## Mine"), nbformat.v4.new_markdown_cell("The end.")]
    for cell in words:
        cell.metadata["tags"] = ["my-own", "labkit-kept"]
    page = handouts(
        own(tmp_path / "own.ipynb", *words, nbformat.v4.new_code_cell("print(7)")), [None]
    )
    first, last = (
        [tag for tag in found.split() if tag.startswith("celltag_")]
        for found in re.findall(r'class="([^"]*celltag[^"]*)"', page)
    )

    assert first == ["celltag_my-own", "celltag_labkit-kept", "celltag_labkit-leads"]
    assert last == ["celltag_my-own", "celltag_labkit-kept"]


def test_a_notebook_that_does_not_run_is_named(tmp_path: Path) -> None:
    broken = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 / 0")])
    nbformat.write(broken, tmp_path / "broken.ipynb")
    with pytest.raises(LabkitError, match=r"broken\.ipynb: it does not run: division by zero"):
        handouts(tmp_path / "broken.ipynb", [None])
