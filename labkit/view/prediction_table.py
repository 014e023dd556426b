"""Predictions held against what the runs showed."""

from collections.abc import Sequence

from IPython.display import HTML, DisplayObject, Markdown

from labkit.questions import Amount, ChoiceQuestion, Question
from labkit.questions.bank import called
from labkit.text.shared import WORDS
from labkit.view.asking import PredictionWidget
from labkit.view.paper_forms import comparison_form
from labkit.view.telling import format_amount, render


def compared(made: Sequence[PredictionWidget], system: str, *, on_paper: bool) -> DisplayObject:
    """Hold predictions against the runs; one that is not kept yet keeps its outcome back.

    On paper they are written by hand: then all outcomes are there.
    """
    if on_paper:
        told = [(one.question.name, outcome(one.question, system)) for one in made]
        return HTML(comparison_form(told))  # type: ignore[no-untyped-call]
    rows = [f"| | {WORDS['you said']} | {WORDS['run showed']} | |", "|:--|:--|:--|:--|"]
    for one in made:
        name = called(one.question.name).capitalize()
        said = one.said(system) or WORDS["no prediction"]
        showed = outcome(one.question, system) if one.is_kept else WORDS["not shown"]
        agreed = WORDS["same" if said == showed else "near"]
        verdict = (agreed if one.agrees else WORDS["differs"]) if one.is_kept else ""
        rows.append(f"| **{name}** | {said} | {showed} | {verdict} |")
    if not all(one.is_kept for one in made):
        rows += ["", WORDS["explanation waits"]]
    return Markdown("\n".join(rows))  # type: ignore[no-untyped-call]


def outcome(question: Question, system: str) -> str:
    """Say in words what a run answered to a question."""
    if isinstance(question, ChoiceQuestion):
        return render(question.options[question.answer].words, system)
    return format_amount(Amount(question.answer, question.kind), system)
