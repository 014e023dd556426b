"""Lessons as a learner meets them: nobody there to answer, Run All twice, answers given by hand.

That each cell runs, and that its numbers hold, is seen by nbval, which runs the same notebooks.
"""

import atexit
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from traitlets.config import Config

from labkit.view.bench import Bench
from labkit.view.lesson import Lesson

CHECKOUT: Final = Path(__file__).parents[2]
LESSONS: Final = sorted((CHECKOUT / "lessons").glob("[0-9]*.ipynb"))
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


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_prose_is_complete_in_either_system(shell: InteractiveShell, path: Path) -> None:
    page = Page(shell, path)
    page.run()
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
