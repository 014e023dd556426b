"""A page that sets an exercise: the learner's own number, a line drawn for it, its questions."""

import re
from typing import TYPE_CHECKING

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override

from labkit.errors import LabkitError
from labkit.text.shared import WORDS
from labkit.view import widgets
from labkit.view.asking import QuestionWidget
from labkit.view.keeping import ProgressStore
from labkit.view.numbered_page import NumberedPage
from labkit.view.page import paragraph
from labkit.view.telling import inline_markup, render

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.questions import Question
    from labkit.questions.keys.sheet import Exercise


class Setting(NumberedPage):
    """The widgets of an exercise.

    `make` goes from a learner's own number to the exercise, and `page` is what the exercise is kept
    by, such as ``"exercise 1"``; empty to keep no answers. `questions` are there once a number is
    given, and `status` says how many are right, or what is wrong with the number.
    """

    def __init__(
        self, make: "Callable[[str], Exercise]", page: str = "", *, system: str = "US"
    ) -> None:
        super().__init__(system, asks=WORDS["learner"], starts=WORDS["deal"])
        self.make, self.page, self._own = make, page, ProgressStore(page)
        self._exercise: Exercise | None = None
        self.questions: list[QuestionWidget] = []
        self.story, self.sheet, self.kept = W.HTML(), W.VBox([]), W.VBox([])
        asked = widgets.row(self.number, self.start_button, self.units)
        self.box = widgets.PrintableBox(
            [asked, self.story, self.sheet, self.status, self.said, self.kept],
            on_paper=self._on_paper,
        )
        self.story.add_class("labkit-story")
        self.box.add_class("labkit-exercise")
        before = self._own.state("own number").get("number")
        if before is not None:
            self.begin(str(before))

    @override
    def start(self) -> None:
        """Show the line of the number in the box, and its questions."""
        try:
            self._exercise = self.make(self.number.value)
        except LabkitError as error:
            self.status.value = paragraph(widgets.sentence_of(error))
            return
        page = f"{self.page}, number {self._exercise.learner}" if self.page else ""
        self.keeper = ProgressStore(page, of=self.page)
        self._own.leave("own number", {"number": self._exercise.learner})
        self.kept.children = [self.keeper.note, self.keeper.again]
        self.questions = [
            self._asked(one, number) for number, one in enumerate(self._exercise.questions, start=1)
        ]
        self.sheet.children = [asked.box for asked in self.questions]
        self.use(self.system)
        self._count()

    @override
    def use(self, system: str) -> None:
        """Show everything in the units of a system."""
        self.system = system
        if self._exercise is not None:
            told = inline_markup(render(self._exercise.story, system))
            told = re.sub(r" (?=<b>\(\d+\)</b>)", "<br>", told)  # a line for each entry
            self.story.value = f"<p>{told}</p>"
        for asked in self.questions:
            asked.use(system)

    def _asked(self, question: "Question", number: int) -> QuestionWidget:
        def hear() -> None:
            self.keeper.mark(asked)
            self._count()

        asked = QuestionWidget(question, self.system, number=number, heard=hear)
        self.keeper.recall(asked)
        return asked

    def _count(self) -> None:
        right = sum(asked.marked is not None and asked.marked.is_right for asked in self.questions)
        self.status.value = paragraph(WORDS["score"].format(right=right, all=len(self.questions)))

    def _on_paper(self) -> str:
        """Return the number, the line in words and every question."""
        number = paragraph(f"{WORDS['learner']}: {self.number.value}")
        return (
            number + str(self.story.value) + "".join(asked.on_paper() for asked in self.questions)
        )
