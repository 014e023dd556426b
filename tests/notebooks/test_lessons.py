"""Lessons as a learner meets them: nobody there to answer, Run All twice, answers given by hand."""

import html
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell

from labkit.text.shared import WORDS
from labkit.view.bench import Bench
from labkit.view.own_site import OWN_WORDS
from tests.notebooks.visiting import CHECKOUT, TELLS, Page, Visit, lone_shell, visit
from tests.questions.golden import asked_in, changed, golden

LESSONS: Final = sorted((CHECKOUT / "lessons").glob("[0-9]*.ipynb"))
PAGES: Final = [*LESSONS, *sorted((CHECKOUT / "exercises").glob("[0-9]*.ipynb"))]


def named(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


@pytest.fixture(scope="module", params=PAGES, ids=named)
def path(request: pytest.FixtureRequest) -> Path:
    found: Path = request.param
    return found


@pytest.fixture(scope="module")
def visited(path: Path) -> Visit:
    """One visit serves all that is asked of a page."""
    return visit(path)


def test_running_all_twice_gives_the_same_page(visited: Visit) -> None:
    """Each cell runs, and the numbers that a page asserts hold, or there would be no visit."""
    assert visited.first
    assert visited.second == visited.first


def test_a_page_opens_without_a_flood(visited: Visit) -> None:
    """Each widget is a message, and so are its layout and its looks.

    The queue of a ZeroMQ socket holds a thousand and then drops, without a word, what comes on top
    (zmq_setsockopt, ZMQ_SNDHWM and ZMQ_RCVHWM): half of it is left to what is told at the same time.
    """
    assert visited.widgets <= 500


def test_the_questions_of_a_lesson_are_what_they_were(path: Path, visited: Visit) -> None:
    if path in LESSONS:
        then = golden(f"lesson {int(path.stem[:2])}")["questions"]
        assert changed(asked_in(visited.asked), then) == []


def test_prose_is_complete_in_either_system(path: Path, visited: Visit) -> None:
    if path not in LESSONS:
        assert visited.told == {}
        return
    us, metric = visited.told.values()

    assert any(one != other for one, other in zip(us, metric, strict=True))
    for text in us + metric:
        said = re.sub(r"<style>.*?</style>", "", text)
        assert "{" not in said.split("data:image")[0]
        assert "not known" not in text
    for text in metric:
        assert not re.search(r"\d\s(psi|ft|gpm|gal)\b", re.sub(r'src="[^"]*"', "", text))


def test_a_cell_that_is_changed_later_finds_its_own_numbers(path: Path, visited: Visit) -> None:
    """A trainer changes one sentence and runs its cell: no cell below has taken a name for itself."""
    assert bool(visited.told_anew) == (path in LESSONS)
    for told in visited.told_anew.values():
        assert told in visited.told["US"]


def test_nobody_is_shown_a_mistake(visited: Visit) -> None:
    assert [shown for shown in visited.first if "labkit-mistake" in shown] == []


ASKING: Final = [path for path in LESSONS if "lesson.predict(" in path.read_text(encoding="utf-8")]


def test_nothing_gives_a_prediction_away_before_it_is_kept(path: Path, visited: Visit) -> None:
    if path in ASKING:
        assert visited.before is not None
        assert visited.before.is_waiting
    assert visited.given_away == []


def test_what_explains_waits_for_the_predictions_and_so_does_what_is_to_be_tried(
    path: Path, visited: Visit
) -> None:
    if path not in ASKING:
        assert visited.before is None or not visited.before.is_waiting
        return
    before, after = visited.before, visited.after
    assert before is not None
    assert after is not None
    compared = next(n for n, text in enumerate(before.told) if WORDS["run showed"] in text)
    explains = before.told[compared + 1 :]
    assert explains
    assert all(text == "" or OWN_WORDS["part waits"][2:-2] in text for text in explains)
    assert WORDS["explanation waits"] in before.told[compared]
    assert all(before.locked)
    assert bool(before.locked) == ("lab.OwnSite(" not in path.read_text(encoding="utf-8"))

    assert not after.is_waiting
    assert all(after.told[compared + 1 :])
    assert WORDS["explanation waits"] not in after.told[compared]
    assert not any(after.locked)


@pytest.mark.parametrize("asking", ASKING, ids=named)
def test_what_explains_is_told_by_code_for_that_can_wait(asking: Path) -> None:
    """A cell of Markdown stands there from the start: between outcome and check only general ones."""
    cells = nbformat.read(asking, as_version=4).cells
    ids = [cell.id for cell in cells]
    between = cells[ids.index("compare") + 1 : ids.index("check")]

    written = {cell.id for cell in between if cell.cell_type == "markdown"}
    headed = {cell.id for cell in between if cell.source.startswith("### ")}
    assert written <= {"formula"} | headed


MOST_WORDS: Final = 90
"""Read before something can be moved or predicted: more, and people leave."""


@pytest.mark.parametrize("lesson", LESSONS, ids=named)
def test_few_words_stand_before_something_can_be_moved_or_predicted(lesson: Path) -> None:
    """Headings count, and each amount as a number with its unit; what is only for paper does not."""
    words = []
    for cell in nbformat.read(lesson, as_version=4).cells:
        if cell.cell_type == "markdown":
            words.append(re.sub(r"<!-- paper:.*?-->|<!-- screen -->", "", cell.source))
        elif cell.source.startswith(TELLS):
            words.append(re.sub(r"\{[^}]*\}", "30 psi", cell.source.partition("\n")[2]))
        elif re.search(r"\.(predict|bench|hold|weigh)\(", cell.source):
            break
    read = re.findall(r"\S*\w\S*", " ".join(words))
    assert 30 < len(read) <= MOST_WORDS


@pytest.mark.parametrize("lesson", LESSONS, ids=named)
def test_the_picture_that_predictions_ask_about_stands_over_them(lesson: Path) -> None:
    """Where the bench is only begun until then, its beginning is seen before the first question."""
    code = "\n".join(cell.source for cell in nbformat.read(lesson, as_version=4).cells)
    begun = re.findall(r'so_far="([^"]*)"', code)
    shown = re.findall(r'lesson.picture\(lab.simulate\(site, "([^"]*)".*whole=', code)
    assert shown == begun
    if shown:
        assert code.index("whole=") < code.index("lesson.predict(")


@pytest.fixture
def shell() -> Iterator[InteractiveShell]:
    with lone_shell() as made:
        yield made


@pytest.fixture
def first_lesson(shell: InteractiveShell) -> Page:
    page = Page(shell, CHECKOUT / "lessons" / "01_pressure_tells_the_story.ipynb")
    page.run()
    return page


def predict(page: Page, chosen: int, starts: str) -> None:
    gauge, count = page.lesson.predictions
    gauge.answer.entry.value = chosen
    gauge.press()
    count.answer.entry.value = starts
    count.press()


def test_the_bench_waits_for_both_predictions(first_lesson: Page) -> None:
    (bench,) = first_lesson.lesson.benches
    assert isinstance(bench, Bench)
    assert bench.trace is not None
    assert bench.trace.time[-1] == 8 * 60.0
    assert bench.trace.times("float shuts") == [], "the picture would give the answer away"
    assert all(slider.disabled for slider in bench.sliders.values())

    predict(first_lesson, chosen=1, starts="3")

    assert bench.trace.time[-1] == 3600.0
    assert not any(slider.disabled for slider in bench.sliders.values())


def test_the_outcome_stays_back_until_it_is_predicted(first_lesson: Page) -> None:
    comparison = next(t for t in first_lesson.lesson.told if "The run showed" in t.text)
    assert "Climb" not in comparison.text

    predict(first_lesson, chosen=1, starts="2")

    gauge, starts = comparison.text.splitlines()[2:]
    assert "Fall: no more water moves." in gauge
    assert "Climb until something" in gauge
    assert "They differ." in gauge
    assert "Same." in starts


def test_a_prediction_that_cannot_be_read_is_not_kept(first_lesson: Page) -> None:
    predict(first_lesson, chosen=2, starts="a few")

    gauge, count = first_lesson.lesson.predictions
    assert (gauge.is_kept, count.is_kept) == (True, False)
    assert "whole number" in count.line.value
    assert first_lesson.lesson.is_waiting


def test_a_kept_prediction_stays(first_lesson: Page) -> None:
    predict(first_lesson, chosen=1, starts="2")
    gauge, _ = first_lesson.lesson.predictions

    gauge.press()

    assert gauge.answer.entry.disabled
    assert gauge.said("US") == "Fall: no more water moves."


def test_the_hour_tells_the_story_in_order(first_lesson: Page) -> None:
    """Filling, float shut, trip, stop; then drinking, reset, start, and the same once more."""
    wanted = ["pump starts", "float shuts", "switch trips", "pump stops", "float opens"]
    again = ["switch resets", "pump starts", "float shuts", "switch trips", "pump stops"]
    trace = first_lesson.shell.user_ns["trace"]

    seen = [event.kind for event in trace.events if event.kind in {*wanted, *again}]

    assert seen == wanted + again


def test_a_question_speaks_in_the_units_of_the_page(first_lesson: Page) -> None:
    asked = next(one for one in first_lesson.lesson.questions if "45" in one.ask.value)
    asked.answer.entry.value = "104 psi"
    asked.press()
    assert "1 psi is the weight of 2.31 ft of water" in asked.line.value
    assert asked.tries == 1

    first_lesson.lesson.units.value = "metric"

    assert "kPa is the weight of 1 m of water" in asked.line.value
    assert "13.7" in asked.ask.value
    assert asked.tries == 1


def test_what_is_typed_cannot_write_into_the_page(first_lesson: Page) -> None:
    asked = next(one for one in first_lesson.lesson.questions if "45" in one.ask.value)

    for typed in ("<img src=x onerror=alert(1)>", "*a* {b} <b>", "{0.__class__}"):
        asked.answer.entry.value = typed
        asked.press()
        assert "<img" not in asked.line.value
        assert "I couldn't read that." in html.unescape(asked.line.value)


def test_one_choice_of_units_for_the_whole_page(first_lesson: Page) -> None:
    (bench,) = first_lesson.lesson.benches

    bench.on_units("metric")

    assert first_lesson.lesson.units.value == "metric"
    assert bench.system == "metric"
    bench.on_units("US")
    assert first_lesson.lesson.system == "US"


def test_the_size_of_a_tank_comes_out_with_a_pencil(shell: InteractiveShell) -> None:
    """Water to hold over its share of the tank is the tank's size, to the last digit written."""
    page = Page(shell, next(path for path in LESSONS if path.stem[:2] == "07"))
    page.run()
    page.lesson.for_paper()

    for system in ("metric", "US"):
        page.lesson.use(system)
        (table,) = (told.text for told in page.lesson.told if "must hold the rest" in told.text)
        *_, rest, size = (line for line in table.splitlines() if line.startswith("|"))
        shares = re.findall(r"([\d.]+)%", size)
        waters, sizes = (re.findall(r"([\d.]+)\s(?:L|gal)\b", line) for line in (rest, size))
        assert (len(shares), len(waters), len(sizes)) == (1, 2, 2)
        for water, told in zip(waters, sizes, strict=True):
            _, _, decimals = told.partition(".")
            assert round(float(water) / (float(shares[0]) / 100.0), len(decimals)) == float(told)
