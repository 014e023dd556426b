"""Questions that come back, at the top of a lesson."""

import datetime as dt
import html
from typing import TYPE_CHECKING

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.errors import LabkitError
from labkit.questions.marked import Outcome
from labkit.questions.progress import keep_state, progress_file, read_progress
from labkit.questions.returning import AT_ONCE, PAGE, Due, due
from labkit.text import sentence
from labkit.view.asking import QuestionWidget
from labkit.view.page import paragraph

if TYPE_CHECKING:
    from labkit.questions import ChoiceQuestion, NumberQuestion


class Returning:
    """A question or two from earlier on; nothing where none is due."""

    def __init__(self, system: str) -> None:
        self.asked: list[QuestionWidget] = []
        self.box = W.VBox([])
        today = dt.datetime.now().astimezone().date()
        for one in _due(today)[:AT_ONCE]:
            question = one.question()
            if question is not None:
                self._ask(one, question, system, today)
        if self.asked:
            title = f"<h4>{html.escape(sentence('returning', 'title', count=len(self.asked)))}</h4>"
            note = paragraph(sentence("returning", "note"))
            self.box.children = [W.HTML(title + note), *(asked.box for asked in self.asked)]

    def use(self, system: str) -> None:
        """Write the questions in the units of a system."""
        for asked in self.asked:
            asked.use(system)

    def _ask(
        self, one: Due, question: "NumberQuestion | ChoiceQuestion", system: str, today: dt.date
    ) -> None:
        answered: list[bool] = []

        def hear() -> None:
            marked = asked.marked
            if marked is None or answered or marked.outcome is Outcome.UNREAD:
                return
            answered.append(marked.is_right)  # the first answer counts; the next ones are practice
            _keep(one, today, is_right=marked.is_right)

        asked: QuestionWidget = QuestionWidget(question, system, heard=hear)
        self.asked.append(asked)


def _due(today: dt.date) -> tuple[Due, ...]:
    try:
        return due(read_progress(progress_file()), today)
    except LabkitError:
        return ()  # the page's own note says why nothing can be read


def _keep(one: Due, today: dt.date, *, is_right: bool) -> None:
    try:
        keep_state(progress_file(), PAGE, one.part, one.answered(today, is_right=is_right))
    except LabkitError:
        return  # as above
