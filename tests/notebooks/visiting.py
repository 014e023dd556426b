"""A page as a learner meets it, with nobody there to answer: run once, and what was seen written down."""

from __future__ import annotations

import atexit
import os
import re
from contextlib import contextmanager
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, Final
from unittest.mock import patch

import nbformat
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from ipywidgets.widgets.widget import _instances as _WIDGETS  # noqa: N812
from traitlets.config import Config

from labkit.questions import NumberQuestion, Question
from labkit.questions.marking import COUNT
from labkit.questions.progress import ELSEWHERE
from labkit.view.asking import outcome
from labkit.view.tell_cell import read_cell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from labkit.view.lesson import Lesson

CHECKOUT: Final = Path(__file__).parents[2]
SI: Final = {"pressure": "Pa", "time": "s", "flow": "m^3/s"}
SYSTEMS: Final = ("US", "metric")
TELLS: Final = "%%tell"
"""How a cell of Markdown begins whose numbers are the page's."""


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
        assert captured.stderr == ""
        return [_shown(output.data) for output in captured.outputs]

    @property
    def lesson(self) -> Lesson:
        lesson: Lesson = self.shell.user_ns["lesson"]
        return lesson


def _shown(data: dict[str, Any]) -> str:
    text = data.get("text/markdown") or data.get("text/html") or "a widget"
    return re.sub(r"model_id='\w+'", "", str(text))


@contextmanager
def lone_shell() -> Iterator[InteractiveShell]:
    """Give a shell, for without one nothing is displayed; it keeps no history of its own.

    Nobody has answered anything yet: what is kept goes to a file of this shell alone.
    """
    InteractiveShell.clear_instance()
    made = InteractiveShell.instance(config=Config(HistoryManager={"enabled": False}))
    atexit.unregister(made.atexit_operations)
    with (
        TemporaryDirectory() as folder,
        patch.dict(os.environ, {ELSEWHERE: str(Path(folder) / "answers.toml")}),
    ):
        yield made
    InteractiveShell.clear_instance()


@dataclass
class Moment:
    """What a lesson says and lets people turn: its prose, its sliders, and whether it waits."""

    told: list[str]
    locked: list[bool]
    is_waiting: bool

    @classmethod
    def of(cls, lesson: Lesson) -> Moment:
        sliders = [row for bench in lesson.benches for row in bench.sliders.values()]
        rigs = [one for rig in lesson.held for one in (rig.number, rig.start_button)]
        locked = [bool(one.disabled) for one in (*sliders, *rigs)]
        return cls([told.text for told in lesson.told], locked, lesson.is_waiting)


@dataclass
class Visit:
    """All that happens when a page is run, run again, predicted on, and read in either system."""

    first: list[str]
    second: list[str]
    widgets: int = 0
    before: Moment | None = None
    given_away: list[str] = field(default_factory=list)
    after: Moment | None = None
    told: dict[str, list[str]] = field(default_factory=dict)
    asked: list[Question] = field(default_factory=list)
    told_anew: dict[str, str] = field(default_factory=dict)


def visit(path: Path) -> Visit:
    """Run a page twice, and if it is a lesson, look at it before and after its predictions."""
    with lone_shell() as shell:
        page = Page(shell, path)
        earlier = len(_WIDGETS)
        first = page.run()
        widgets = len(_WIDGETS) - earlier
        made = Visit(first, page.run(), widgets)
        if "lesson" in shell.user_ns:
            _learn(page.lesson, made)
            made.told_anew = dict(_told_anew(page))
    return made


def asked_on(number: int) -> list[Question]:
    """Run a lesson and return what it asks, in order."""
    (path,) = (CHECKOUT / "lessons").glob(f"{number:02}_*.ipynb")
    with lone_shell() as shell:
        page = Page(shell, path)
        page.run()
        return _asked(page.lesson)


def _asked(lesson: Lesson) -> list[Question]:
    return [one.question for one in (*lesson.predictions, *lesson.questions)]


def _learn(lesson: Lesson, made: Visit) -> None:
    made.asked = _asked(lesson)
    made.before = Moment.of(lesson)
    for system in reversed(SYSTEMS):
        lesson.units.value = system
        made.given_away += [
            one.question.name
            for one in lesson.predictions
            if _telling(one.question, system).search(_seen(lesson))
        ]
    keep_all(lesson)
    made.after = Moment.of(lesson)
    for system in SYSTEMS:
        lesson.units.value = system
        made.told[system] = [told.text for told in lesson.told]


def _told_anew(page: Page) -> Iterator[tuple[str, str]]:
    """Yield what each cell that tells says when it is run once more, after all the others."""
    for cell in page.notebook.cells:
        head, _, words = cell.source.partition("\n")
        if head.startswith(TELLS):
            told = read_cell(head.removeprefix(TELLS), words, page.shell.user_ns)
            yield cell.id, str(told.markdown(SYSTEMS[0]).data)


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


def _seen(lesson: Lesson) -> str:
    """Give all words on a page but those of the questions: prose, tables, benches, pictures."""
    parts = [told.text for told in lesson.told]
    for bench in lesson.benches:
        parts += [bench.page.text, bench.draw_charts()]
    bare = re.sub(r'src="data:[^"]*"', "", " ".join(parts))
    return unescape(re.sub(r"<style.*?</style>", "", bare)).replace("\N{NO-BREAK SPACE}", " ")


def _telling(question: Question, system: str) -> re.Pattern[str]:
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
