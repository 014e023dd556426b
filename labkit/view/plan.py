"""A trainer's page for a lesson: the part that is written, and the answers that the lesson gives.

No answer is typed anywhere: the lesson is run, and asked what is right and what its slips come to.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

import nbformat

from labkit.errors import LabkitError
from labkit.pages.looks import look
from labkit.questions import Amount, ChoiceQuestion, NumberQuestion, Question
from labkit.questions.bank import called
from labkit.questions.choice import letter
from labkit.text.shared import WORDS
from labkit.view.handout import answer_of, looks_for, written
from labkit.view.lesson import Lesson
from labkit.view.prediction_table import outcome
from labkit.view.telling import format_amount

PLANS: Final = "trainer"
"""Folder of the written parts, within that of the lessons."""

_TIGHT: Final = look("plan.css")
"""One page holds a plan."""

_ANSWERS: Final = f"\nfrom {__name__} import answers\nprint(json.dumps(answers(lesson)))\n"


def written_part(notebook: Path) -> str:
    """Return the part of a lesson's plan that is written by hand, as Markdown."""
    path = notebook.parent / PLANS / f"{notebook.stem[:2]}.md"
    try:
        return path.read_text(encoding="utf-8")
    except OSError:
        rule = f"the trainer's page of {notebook.stem} is not there to be read"
        raise LabkitError(f"{PLANS}/{path.name}: {rule}") from None


def plan(notebook: Path, *, system: str = "US") -> str:
    """Run a lesson and return its trainer's page as HTML that needs nothing else."""
    words = written_part(notebook)
    page = nbformat.read(notebook, as_version=4)
    if not any("lesson = lab.Lesson(" in cell.source for cell in page.cells):
        raise LabkitError(f"{notebook.name}: it is no lesson that asks anything")
    rows: list[list[str]] = answer_of(notebook, page, f"lesson.use({system!r}){_ANSWERS}")
    answered = f"## {WORDS['plan answers']}\n\n{answers_table(rows)}\n"
    return trainers_page([words, answered], notebook.stem, system, more=_TIGHT)


def trainers_page(parts: Sequence[str], title: str, system: str, *, more: str) -> str:
    """Write parts in Markdown as a page of HTML, with further rules [CSS]."""
    cells = [nbformat.v4.new_markdown_cell(part) for part in parts]
    looks = looks_for(system, margin="11mm 13mm", more=more)
    return written([nbformat.v4.new_notebook(cells=cells)], title, looks=looks)


def answers_table(rows: Iterable[Iterable[str]]) -> str:
    """Write questions, what is right and what slips come to as a table in Markdown."""
    heads = " | ".join(WORDS[f"plan {name}"] for name in ("question", "right", "wrong"))
    cells = (" | ".join(" ".join(one.replace("|", "/").split()) for one in row) for row in rows)
    return "\n".join([f"| {heads} |", "|:--|:--|:--|", *(f"| {row} |" for row in cells)])


def answers(lesson: Lesson) -> list[tuple[str, str, str]]:
    """Return each question of a lesson that ran: its name, what is right, what slips come to."""
    asked = [
        *((WORDS["plan predict"], one.question) for one in lesson.predictions),
        *(("", one.question) for one in lesson.questions),
    ]
    return [
        (f"{when}{name}", right, slips)
        for when, one in asked
        for name, right, slips in [answer_row(one, lesson.system)]
    ]


def answer_row(question: Question, system: str) -> tuple[str, str, str]:
    """Return a question's name, what is right, and what its slips come to."""
    name = called(question.name).capitalize()
    return name, right_of(question, system), "; ".join(slips_of(question, system))


def right_of(question: Question, system: str) -> str:
    """Say what is right, with the letter by which a choice is called."""
    words = outcome(question, system)
    if isinstance(question, ChoiceQuestion):
        return f"**{letter(question.answer)}.** {words}"
    return f"**{words}**"


def slips_of(question: Question, system: str) -> list[str]:
    """Say what each known slip gives: a number, or the letter of a choice."""
    if isinstance(question, NumberQuestion):
        last = 0 if system == "US" else -1
        return [
            f"{format_amount(Amount(slip.values[last], question.kind), system)}: "
            f"{called(slip.name)}"
            for slip in question.slips
        ]
    return [
        f"{letter(place)}: {called(option.slip)}"
        for place, option in enumerate(question.options)
        if option.slip
    ]
