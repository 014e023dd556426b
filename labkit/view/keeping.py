"""Keeping what a learner answers on a page, and saying so."""

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.check import Outcome
from labkit.check.progress import Given, earlier, keep_answer, progress_file, read_progress
from labkit.errors import LabkitError
from labkit.view.asking import Asked, Predicted
from labkit.view.page import paragraph
from labkit.view.words import WORDS
from labkit.view.worked import sentence_of


class Keeper:
    """Keeps the answers of one page in the learner's file.

    Attributes
    ----------
    page : str
        What the page is called in the file, such as ``"lesson 1"``; empty to keep nothing.
    note : HTML
        Where it says that it keeps them, or why it cannot.
    """

    def __init__(self, page: str) -> None:
        self.page, self.note = page, W.HTML()
        self.note.add_class("labkit-status")
        if page:
            self._say(WORDS["keeps"].format(file=progress_file().name))

    def mark(self, asked: Asked) -> None:
        """Keep an answer that was marked."""
        marked = asked.marked
        if marked is None or marked.outcome is Outcome.UNREAD:
            return
        given = Given(
            given=asked.answer.words(asked.system),
            outcome=marked.outcome.value,
            wrong=int(not marked.is_right),
            slips=(marked.slip,) if marked.slip else (),
            entry=asked.answer.value,
        )
        self._keep(asked.question.name, given)

    def predict(self, predicted: Predicted) -> None:
        """Keep a prediction."""
        words, entry = predicted.said(predicted.system), predicted.answer.value
        given = Given(given=words, outcome="predicted", entry=entry)
        self._keep(predicted.question.name, given)

    def recall(self, asked: Asked) -> None:
        """Say beside a question what was right on an earlier visit."""
        before = self._earlier(asked.question.name)
        if before is not None and before.outcome == "right":
            asked.recall(before.given)

    def _earlier(self, question: str) -> Given | None:
        if not self.page:
            return None
        try:
            return earlier(read_progress(progress_file()), self.page, question)
        except LabkitError as problem:
            self._say(sentence_of(problem))
            return None

    def _keep(self, question: str, given: Given) -> None:
        if not self.page:
            return
        try:
            keep_answer(progress_file(), self.page, question, given)
        except LabkitError as problem:
            self._say(sentence_of(problem))

    def _say(self, words: str) -> None:
        self.note.value = paragraph(words)
