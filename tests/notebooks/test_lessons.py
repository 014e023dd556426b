"""Lessons as a learner meets them: nobody there to answer, Run All twice, answers given by hand.

That each cell runs, and that its numbers hold, is seen by nbval, which runs the same notebooks.
"""

import atexit
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any, Final

import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from traitlets.config import Config

from labkit.check import NumberQuestion, Question
from labkit.check.number import COUNT
from labkit.view.bench import Bench
from labkit.view.comparing import outcome
from labkit.view.lesson import Lesson
from labkit.view.own_words import OWN_WORDS
from labkit.view.words import WORDS

CHECKOUT: Final = Path(__file__).parents[2]
LESSONS: Final = sorted((CHECKOUT / "lessons").glob("[0-9]*.ipynb"))
SI: Final = {"pressure": "Pa", "time": "s", "flow": "m^3/s"}
PAGES: Final = [*LESSONS, *sorted((CHECKOUT / "exercises").glob("[0-9]*.ipynb"))]


class Page:
    """A notebook run cell by cell in a shell of its own, as a kernel would run it."""

    def __init__(self, shell: InteractiveShell, path: Path) -> None:
        self.shell, self.notebook = shell, nbformat.read(path, as_version=4)
        self._run_cell: Any = shell.run_cell  # it has no types

    def run(self) -> list[str]:
        """Run all cells; give what each of them shows, without the names of widgets."""
        with capture_output() as captured:
            for cell in self.notebook.cells:
                if cell.cell_type == "code":
                    self._run_cell(cell.source, store_history=False).raise_error()
        return [shown(output.data) for output in captured.outputs]

    @property
    def lesson(self) -> Lesson:
        lesson: Lesson = self.shell.user_ns["lesson"]
        return lesson


def shown(data: dict[str, Any]) -> str:
    text = data.get("text/markdown") or data.get("text/html") or "a widget"
    return re.sub(r"model_id='\w+'", "", str(text))


@pytest.fixture
def shell() -> Iterator[InteractiveShell]:
    """Give a shell, for without one nothing is displayed; it keeps no history of its own."""
    InteractiveShell.clear_instance()
    made = InteractiveShell.instance(config=Config(HistoryManager={"enabled": False}))
    atexit.unregister(made.atexit_operations)
    yield made
    InteractiveShell.clear_instance()


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_running_all_twice_gives_the_same_page(shell: InteractiveShell, path: Path) -> None:
    page = Page(shell, path)

    first, second = page.run(), page.run()

    assert first
    assert second == first


def keep_all(lesson: Lesson) -> None:
    """Predict what the runs show, each time, and keep it."""
    for one in lesson.predictions:
        answer = one.question.answer
        if isinstance(one.question, NumberQuestion):
            unit = "" if one.question.kind == COUNT else f" {SI[one.question.kind]}"
            one.answer.entry.value = f"{answer:.6g}{unit}"
        else:
            one.answer.entry.value = answer
        one.press()
        assert one.is_kept, one.line.value


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_prose_is_complete_in_either_system(shell: InteractiveShell, path: Path) -> None:
    page = Page(shell, path)
    page.run()
    keep_all(page.lesson)
    us = [told.text for told in page.lesson.told]

    page.lesson.units.value = "metric"
    metric = [told.text for told in page.lesson.told]

    both = zip(us, metric, strict=True)
    assert any(one != other for one, other in both)
    for text in us + metric:
        said = re.sub(r"<style>.*?</style>", "", text)
        assert "{" not in said.split("data:image")[0]
        assert "not known" not in text
    for text in metric:
        assert not re.search(r"\d\s(psi|ft|gpm|gal)\b", re.sub(r'src="[^"]*"', "", text))


def seen(lesson: Lesson) -> str:
    """Give all words on a page but those of the questions: prose, tables, benches, pictures."""
    parts = [told.text for told in lesson.told]
    for bench in lesson.benches:
        parts += [bench.page.status.value, bench.page.view.value]
    bare = re.sub(r'src="data:[^"]*"', "", " ".join(parts))
    return unescape(re.sub(r"<style.*?</style>", "", bare)).replace("\N{NO-BREAK SPACE}", " ")


def given_away(question: Question, system: str) -> re.Pattern[str]:
    """Give what a page must not say before a prediction is kept.

    A count of two or three stands on every page, as a number of something else: the sentence of a
    bench, which counts starts, must not say it.
    """
    words = outcome(question, system).replace("\N{NO-BREAK SPACE}", " ")
    if isinstance(question, NumberQuestion):
        number, _, unit = words.partition(" ")
        if question.kind == COUNT:
            return re.compile(rf"\bstarted {number} times")
        return re.compile(rf"(?<![\d.]){re.escape(number)}\s*{re.escape(unit)}")
    return re.compile(re.escape(words.rstrip(".")))


ASKING: Final = [path for path in LESSONS if "lesson.predict(" in path.read_text(encoding="utf-8")]


@pytest.mark.parametrize("path", ASKING, ids=lambda path: path.stem)
def test_nothing_gives_a_prediction_away_before_it_is_kept(
    shell: InteractiveShell, path: Path
) -> None:
    page = Page(shell, path)
    page.run()
    lesson = page.lesson
    assert lesson.is_waiting

    for system in ("US", "metric"):
        lesson.units.value = system
        for one in lesson.predictions:
            assert not given_away(one.question, system).search(seen(lesson)), one.question.name


@pytest.mark.parametrize("path", ASKING, ids=lambda path: path.stem)
def test_what_explains_waits_for_the_predictions_and_so_does_what_is_to_be_tried(
    shell: InteractiveShell, path: Path
) -> None:
    page = Page(shell, path)
    page.run()
    lesson = page.lesson
    compared = next(n for n, told in enumerate(lesson.told) if WORDS["run showed"] in told.text)
    explains = lesson.told[compared + 1 :]
    assert explains
    assert all(told.text == "" or OWN_WORDS["part waits"][2:-2] in told.text for told in explains)
    assert WORDS["explanation waits"] in lesson.told[compared].text
    locked = [
        *(row.disabled for bench in lesson.benches for row in bench.sliders.values()),
        *(one.disabled for rig in lesson.held for one in (rig.number, rig.come)),
    ]
    assert all(locked)
    assert bool(locked) == ("lab.OwnSite(" not in path.read_text(encoding="utf-8"))

    keep_all(lesson)

    assert not lesson.is_waiting
    assert all(told.text for told in explains)
    assert WORDS["explanation waits"] not in lesson.told[compared].text
    assert not any(row.disabled for bench in lesson.benches for row in bench.sliders.values())
    assert not any(one.disabled for rig in lesson.held for one in (rig.number, rig.come))


@pytest.mark.parametrize("path", ASKING, ids=lambda path: path.stem)
def test_what_explains_is_told_by_code_for_that_can_wait(path: Path) -> None:
    """A cell of Markdown stands there from the start: between outcome and check only general ones."""
    cells = nbformat.read(path, as_version=4).cells
    ids = [cell.id for cell in cells]
    between = cells[ids.index("compare") + 1 : ids.index("check")]

    written = {cell.id for cell in between if cell.cell_type == "markdown"}
    headed = {cell.id for cell in between if cell.source.startswith("### ")}
    assert written <= {"formula"} | headed


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
    predict(first_lesson, chosen=2, starts="two")

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
        assert "Not marked." in asked.line.value


def test_one_choice_of_units_for_the_whole_page(first_lesson: Page) -> None:
    (bench,) = first_lesson.lesson.benches

    bench.page.units.value = "metric"

    assert first_lesson.lesson.units.value == "metric"
    assert bench.system == "metric"
    bench.page.units.value = "US"
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
        shares = re.findall(r"([\d.]+)\spercent", size)
        waters, sizes = (re.findall(r"([\d.]+)\s(?:L|gal)\b", line) for line in (rest, size))
        assert (len(shares), len(waters), len(sizes)) == (1, 2, 2)
        for water, told in zip(waters, sizes, strict=True):
            _, _, decimals = told.partition(".")
            assert round(float(water) / (float(shares[0]) / 100.0), len(decimals)) == float(told)
