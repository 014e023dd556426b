"""What trainers get: the plan of a lesson with its answers, the key for numbers that learners hold.

No answer is typed anywhere: the notebook is run once, and asked what is right and what its slips
come to.
"""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any, Final

import nbformat

from labkit.drills import draw_drill
from labkit.errors import LabkitError
from labkit.pages.looks import look
from labkit.questions import Amount, ChoiceQuestion, NumberQuestion, Question
from labkit.questions.bank import called
from labkit.questions.marking import letter
from labkit.text.shared import WORDS
from labkit.view.asking import outcome
from labkit.view.drill_words import faults_words
from labkit.view.handout import answer_of, looks_for, written
from labkit.view.telling import format_amount, render

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from labkit.view.drill_view import DrillPage
    from labkit.view.lesson import Lesson
    from labkit.view.setting import Setting

PLANS: Final = "trainer"  # folder of the written parts, within that of the lessons
_TIGHT: Final = look("plan.css")  # one page holds a plan

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


_LOOKS: Final = look("key.css")
MOST_NUMBERS: Final = 200
"""Numbers that are printed in one go."""

Keyed = tuple[str, str, list[tuple[str, str, str]]]
"""A learner's number, the story, and for each question its name, the right answer, its slips."""


def numbers_of(typed: str) -> list[int]:
    """Return learners' numbers such as ``"1-24"`` or ``"3, 7, 12-15"``."""
    numbers: dict[int, None] = {}
    rule = f"write numbers such as 1-24 or 3,7,12-15, {MOST_NUMBERS} of them at most"
    for part in typed.split(","):
        ends = [end.strip() for end in part.split("-")]
        if not (1 <= len(ends) <= 2 and all(e.isascii() and e.isdecimal() for e in ends)):
            raise LabkitError(f"{html.escape(part.strip()[:20]) or 'nothing'} is no number; {rule}")
        if max(map(len, ends)) > 9 or not 0 <= int(ends[-1]) - int(ends[0]) < MOST_NUMBERS:
            raise LabkitError(f"{part.strip()[:20]} can't be printed in one go; {rule}")
        numbers |= dict.fromkeys(range(int(ends[0]), int(ends[-1]) + 1))
    if len(numbers) > MOST_NUMBERS:
        raise LabkitError(f"these are {len(numbers)} numbers; {rule}")
    return list(numbers)


def key(notebook: Path, numbers: Sequence[int], *, system: str = "US") -> str:
    """Run an exercise or the fault lesson once, and return the key for numbers as HTML."""
    page = nbformat.read(notebook, as_version=4)
    names = {"setting": "exercise_key", "drill": "case_key"}
    lasts = [cell.source.splitlines()[-1:] for cell in page.cells if cell.cell_type == "code"]
    drawn = next((name for name in names if [name] in lasts), None)
    if drawn is None:
        rule = "the exercises and lesson 12 have one; labkit plan has the answers of a lesson"
        raise LabkitError(f"{notebook.name}: nothing in it is drawn from a number; {rule}")
    given = asked_of(notebook, __name__, f"{names[drawn]}({drawn}", numbers, system)
    parts = [
        f"<section>\n\n## {WORDS['key number'].format(number=number)}\n\n"  # stays on one page
        f"{story}\n\n{answers_table(rows)}\n\n</section>"
        for number, story, rows in given
    ]
    title = WORDS["key title"].format(page=title_of(notebook))
    head = f"# {title}\n\n{WORDS['key caution']}"
    return trainers_page([head, *parts], f"{notebook.stem}_key", system, more=_LOOKS)


def asked_of(notebook: Path, module: str, call: str, numbers: Sequence[int], system: str) -> Any:
    """Run a notebook, and return what a function makes of it for numbers, as plain data.

    `module` is where the function is, and `call` how its call begins, such as ``"posed(setting"``.
    """
    page = nbformat.read(notebook, as_version=4)
    name = call.partition("(")[0]
    asked = f"{call}, {list(numbers)}, {system!r})"
    code = f"from {module} import {name}\nprint(json.dumps({asked}))"
    return answer_of(notebook, page, code)


def title_of(notebook: Path) -> str:
    """Return the title of a notebook, its first line."""
    page = nbformat.read(notebook, as_version=4)
    return str(page.cells[0].source.splitlines()[0].lstrip("# "))


def exercise_key(setting: Setting, numbers: Sequence[int], system: str) -> list[Keyed]:
    """Return the key of an exercise for each number."""
    drawn = {str(number): setting.make(str(number)) for number in numbers}
    return [
        (number, render(one.story, system), [answer_row(each, system) for each in one.questions])
        for number, one in drawn.items()
    ]


def case_key(page: DrillPage, numbers: Sequence[int], system: str) -> list[Keyed]:
    """Return what is hidden in the case of each number, and what the rancher says of it."""
    keyed: list[Keyed] = []
    for number in numbers:
        drill = draw_drill(page.site, number)
        hidden = f"**{faults_words(drill.hidden, system)}**"
        keyed.append((str(number), " ".join(drill.complaints), [("Fault", hidden, "")]))
    return keyed
