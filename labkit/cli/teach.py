"""The commands for one who teaches, such as ``labkit handout`` and ``labkit gradebook``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from labkit.cli.tools import wrote
from labkit.commands import EXERCISES, LESSON, PAGE, UNITS, Report, command, flag, option, say
from labkit.shell import find_notebook, find_root

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from labkit.questions.gradebook import Asked, Gradebook


def _gradebook(options: argparse.Namespace, report: Report) -> None:
    """Print who is where, a line for each learner and page or each question, and the slips."""
    from labkit.questions.bank import called  # noqa: PLC0415 - slow to load
    from labkit.questions.gradebook import gradebook, write_gradebook  # noqa: PLC0415

    book = gradebook(Path(options.folder))
    if options.questions:
        _say_questions(book.questions, report)
    else:
        _say_learners(book, report)
    for number, (slip, count) in enumerate(book.slips):
        report(f"{say('slips-met') if number == 0 else '':16} {called(slip)} ({count})")
    for problem in book.unread:
        report(say("note", what=str(problem)))
    if options.out:
        write_gradebook(book.questions if options.questions else book.rows, Path(options.out))
        wrote(options.out, report)


def _head(column: str) -> str:
    return say(f"head-{column}")


def _say_learners(book: Gradebook, report: Report) -> None:
    report(f"{_head('learner'):16} {_head('at'):28} {_head('last'):>12}")
    for row in book.places:
        report(f"{row.learner:16} {row.page:28} {row.day!s:>12}")
    report("")
    heads = (
        f"{_head('right'):>8} {_head('wrong'):>12} {_head('predictions'):>12} {_head('tasks'):>8}"
    )
    report(f"{_head('learner'):16} {_head('page'):28} {heads}")
    for row in book.rows:
        right = say("of", count=row.right, all=row.answered)
        tasks = [say("of", count=row.passed, all=row.tried)] if row.tried else []
        tasks += [say("in-a-row", count=row.in_a_row)] if row.in_a_row else []
        counts = f"{right:>8} {row.wrong:>12} {row.predicted:>12} {', '.join(tasks):>8}".rstrip()
        report(f"{row.learner:16} {row.page:28} {counts}")


def _say_questions(questions: Sequence[Asked], report: Report) -> None:
    from labkit.questions.bank import called  # noqa: PLC0415 - slow to load

    heads = f"{_head('learners'):>9} {_head('once'):>8} {_head('right'):>6} {_head('wrong'):>12}"
    report(f"{_head('page'):24} {_head('question'):24} {heads}  {_head('commonest')}")
    for one in questions:
        predicted = (f"{words} ({count})" for words, count in one.predictions[:3])
        said = "; ".join(predicted) or called(one.slip)
        counts = f"{one.learners:>9} {one.at_once:>8} {one.right:>6} {one.wrong:>12}"
        report(f"{one.page:24} {called(one.question):24} {counts}  {said}".rstrip())


def _mastery(options: argparse.Namespace, report: Report) -> None:
    """Write a sheet for each learner of a folder, or for the learner whose files lie here."""
    from labkit.questions.gradebook import read_class  # noqa: PLC0415
    from labkit.questions.progress import progress_file, read_progress  # noqa: PLC0415
    from labkit.view.mastery_sheet import mastery_page  # noqa: PLC0415 - slow to load

    own = {"": read_progress(progress_file())} if options.folder is None else {}
    learners, unread = (own, []) if own else read_class(Path(options.folder))
    _write(mastery_page(learners, system=options.units), options.out or "mastery.pdf", report)
    for problem in unread:
        report(say("note", what=str(problem)))


def _handout(options: argparse.Namespace, report: Report) -> None:
    """Run a notebook and write it for paper."""
    from labkit.view.handout import handouts  # noqa: PLC0415 - slow to load
    from labkit.view.key import numbers_of  # noqa: PLC0415

    learners = numbers_of(options.numbers) if options.numbers else [options.number]
    notebook = _notebook(options.lesson, among_exercises=options.exercises)
    _say_run(notebook, report)
    numbers = [None if one is None else str(one) for one in learners]
    page = handouts(notebook, numbers, system=options.units)
    _write(page, options.out or f"{notebook.stem}.pdf", report)


def _plan(options: argparse.Namespace, report: Report) -> None:
    """Run a lesson for its answers and write the trainer's page."""
    from labkit.view.key import plan, written_part  # noqa: PLC0415 - slow to load

    notebook = _notebook(options.lesson)
    written_part(notebook)  # complains, if it must, before any time is spent
    _say_run(notebook, report)
    page = plan(notebook, system=options.units)
    _write(page, options.out or f"{notebook.stem}_plan.pdf", report)


def _key(options: argparse.Namespace, report: Report) -> None:
    """Run a notebook once and write what is right for each number."""
    from labkit.view.key import key, numbers_of  # noqa: PLC0415 - slow to load

    numbers = numbers_of(options.numbers)
    notebook = _notebook(options.lesson, among_exercises=options.exercises)
    _say_run(notebook, report)
    page = key(notebook, numbers, system=options.units)
    _write(page, options.out or f"{notebook.stem}_key.pdf", report)


def _quiz(options: argparse.Namespace, report: Report) -> None:
    """Run the exercises and write sheets, key and screen."""
    from labkit.view.key import numbers_of  # noqa: PLC0415 - slow to load
    from labkit.view.quiz import quiz  # noqa: PLC0415

    numbers, exercises = numbers_of(options.numbers), numbers_of(options.exercises)
    notebooks = [_notebook(str(exercise), among_exercises=True) for exercise in exercises]
    _say_run(notebooks[0], report)
    drawn = quiz(notebooks, numbers, count=options.questions, system=options.units)
    out = Path(options.out or "quiz.pdf")
    _write(drawn.sheets, str(out), report)
    _write(drawn.key, str(out.with_stem(f"{out.stem}_key")), report)
    _write(drawn.screen, str(out.with_name(f"{out.stem}_screen.html")), report)


def _lines(options: argparse.Namespace, report: Report) -> None:
    """Print a row for each number: what sets its line apart, and what is right for it."""
    from labkit.drills.family import family_line  # noqa: PLC0415 - slow to load
    from labkit.view.key import numbers_of  # noqa: PLC0415
    from labkit.view.rig_told import answer_words  # noqa: PLC0415

    for number in numbers_of(options.numbers):
        line = family_line(number, with_hopeless=True)
        report(f"{number:6}  {', '.join(line.kind):46} {answer_words(line.window, options.units)}")


def _notebook(name: str, *, among_exercises: bool = False) -> Path:
    folder = "exercises" if among_exercises else "lessons"
    return find_notebook(name, root=find_root(Path.cwd()), folder=folder)


def _say_run(notebook: Path, report: Report) -> None:
    from labkit.engine.warm import warm  # noqa: PLC0415

    warm(report)
    report(say("running", notebook=notebook.stem))


def _write(page: str, name: str, report: Report) -> None:
    from labkit.view.paper import write_page  # noqa: PLC0415

    write_page(page, Path(name))
    wrote(name, report)


_NUMBERS: Final = option("--numbers", "numbers", metavar="N-M", required=True)
COMMANDS: Final = (
    command("gradebook", _gradebook, option("folder", metavar="FOLDER"), flag("--questions"),
            option("--out", metavar="FILE")),
    command("mastery", _mastery, option("folder", metavar="FOLDER", nargs="?"), UNITS, PAGE),
    command("handout", _handout, LESSON, EXERCISES, option("--number", metavar="N"),
            option("--numbers", metavar="N-M"), UNITS, PAGE),
    command("plan", _plan, LESSON, UNITS, PAGE),
    command("key", _key, LESSON, EXERCISES, _NUMBERS, UNITS, PAGE),
    command("quiz", _quiz, option("exercises", metavar="EXERCISES"), _NUMBERS,
            option("--questions", type=int, default=6), UNITS, PAGE),
    command("lines", _lines, option("--numbers", "numbers", metavar="N-M", default="1-24"), UNITS),
)  # fmt: skip
