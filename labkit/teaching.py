"""The commands for one who teaches, such as ``labkit handout`` and ``labkit gradebook``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from labkit.questions.gradebook import Asked, Gradebook

Report = Any  # a callable that takes a line to print


def add_teaching_commands(commands: Any) -> None:
    """Add the commands to those of the command line."""
    _add_gradebook(commands)
    _add_handout(commands)
    _add_plan(commands)
    _add_key(commands)
    _add_quiz(commands)
    _add_lines(commands)


def _add_gradebook(commands: Any) -> None:
    """Add ``labkit gradebook``."""
    book = commands.add_parser(
        "gradebook",
        help="tabulate what a class has answered",
        description="Read the progress files of a class, each named after its learner.",
    )
    book.add_argument("folder", metavar="FOLDER", help="where the progress files were collected")
    book.add_argument("--questions", action="store_true", help="a line for each question instead")
    book.add_argument("--out", metavar="FILE", help="write the table as CSV too")
    book.set_defaults(run=_gradebook)


def _gradebook(options: argparse.Namespace, report: Report) -> None:
    """Print who is where, a line for each learner and page or each question, and the slips."""
    from labkit.questions.gradebook import gradebook, write_gradebook  # noqa: PLC0415

    book = gradebook(Path(options.folder))
    if options.questions:
        _say_questions(book.questions, report)
    else:
        _say_learners(book, report)
    for number, (slip, count) in enumerate(book.slips):
        report(f"{'slips met:' if number == 0 else '':16} {slip} ({count})")
    for problem in book.unread:
        report(f"Note: {problem}")
    if options.out:
        write_gradebook(book.questions if options.questions else book.rows, Path(options.out))
        report(f"wrote {options.out}")


def _say_learners(book: Gradebook, report: Report) -> None:
    report(f"{'learner':16} {'now at':28} {'last on':>12}")
    for row in book.places:
        report(f"{row.learner:16} {row.page:28} {row.day!s:>12}")
    report("")
    heads = f"{'right':>8} {'wrong tries':>12} {'predictions':>12} {'tasks':>8}"
    report(f"{'learner':16} {'page':28} {heads}")
    for row in book.rows:
        right = f"{row.right} of {row.answered}"
        tasks = f"{row.passed} of {row.tried}" if row.tried else ""
        tasks += f", {row.in_a_row} in a row" if row.in_a_row else ""
        counts = f"{right:>8} {row.wrong:>12} {row.predicted:>12} {tasks:>8}".rstrip()
        report(f"{row.learner:16} {row.page:28} {counts}")


def _say_questions(questions: Sequence[Asked], report: Report) -> None:
    heads = f"{'learners':>9} {'at once':>8} {'right':>6} {'wrong tries':>12}  commonest"
    report(f"{'page':24} {'question':24} {heads}")
    for one in questions:
        said = "; ".join(f"{words} ({count})" for words, count in one.predictions[:3]) or one.slip
        counts = f"{one.learners:>9} {one.at_once:>8} {one.right:>6} {one.wrong:>12}"
        report(f"{one.page:24} {one.question:24} {counts}  {said}".rstrip())


def _add_handout(commands: Any) -> None:
    """Add ``labkit handout``."""
    paper = commands.add_parser("handout", help="write a lesson or an exercise for paper")
    paper.add_argument("lesson", metavar="LESSON", help="number, part of its name, or a path")
    paper.add_argument("--exercises", action="store_true", help="look among the exercises")
    paper.add_argument(
        "--number",
        metavar="N",
        help="the learner's own number: for an exercise, or for the call of lesson 12",
    )
    paper.add_argument(
        "--numbers", metavar="N-M", help="sheets for many numbers in one go, such as 1-24"
    )
    _add_paper(paper)
    paper.set_defaults(run=_handout)


def _handout(options: argparse.Namespace, report: Report) -> None:
    """Run a notebook and write it for paper."""
    from labkit.shell import find_notebook, find_root  # noqa: PLC0415
    from labkit.view.handout import handouts  # noqa: PLC0415 - slow to load
    from labkit.view.key import numbers_of  # noqa: PLC0415

    learners = numbers_of(options.numbers) if options.numbers else [options.number]
    folder = "exercises" if options.exercises else "lessons"
    notebook = find_notebook(options.lesson, root=find_root(Path.cwd()), folder=folder)
    _say_run(notebook, report)
    numbers = [None if one is None else str(one) for one in learners]
    page = handouts(notebook, numbers, system=options.units)
    _write(page, options.out or f"{notebook.stem}.pdf", report)


def _add_plan(commands: Any) -> None:
    """Add ``labkit plan``."""
    plan = commands.add_parser(
        "plan",
        help="write a trainer's page for a lesson",
        description="One page: aim, time, what goes wrong, what to show; with the answers, which "
        "the lesson works out.",
    )
    plan.add_argument("lesson", metavar="LESSON", help="number, part of its name, or a path")
    _add_paper(plan)
    plan.set_defaults(run=_plan)


def _plan(options: argparse.Namespace, report: Report) -> None:
    """Run a lesson for its answers and write the trainer's page."""
    from labkit.shell import find_notebook, find_root  # noqa: PLC0415
    from labkit.view.plan import plan, written_part  # noqa: PLC0415 - slow to load

    notebook = find_notebook(options.lesson, root=find_root(Path.cwd()))
    written_part(notebook)  # complains, if it must, before any time is spent
    _say_run(notebook, report)
    page = plan(notebook, system=options.units)
    _write(page, options.out or f"{notebook.stem}_plan.pdf", report)


def _add_key(commands: Any) -> None:
    """Add ``labkit key``."""
    key = commands.add_parser(
        "key",
        help="write the answers of an exercise, or of the cases of lesson 12, for many numbers",
        description="For each learner's number: the line or the call drawn for it, and what is "
        "right.",
    )
    key.add_argument("lesson", metavar="LESSON", help="number, part of its name, or a path")
    key.add_argument("--exercises", action="store_true", help="look among the exercises")
    key.add_argument("--numbers", metavar="N-M", required=True, help="such as 1-24 or 3,7,12-15")
    _add_paper(key)
    key.set_defaults(run=_key)


def _key(options: argparse.Namespace, report: Report) -> None:
    """Run a notebook once and write what is right for each number."""
    from labkit.shell import find_notebook, find_root  # noqa: PLC0415
    from labkit.view.key import key, numbers_of  # noqa: PLC0415 - slow to load

    numbers = numbers_of(options.numbers)
    folder = "exercises" if options.exercises else "lessons"
    notebook = find_notebook(options.lesson, root=find_root(Path.cwd()), folder=folder)
    _say_run(notebook, report)
    page = key(notebook, numbers, system=options.units)
    _write(page, options.out or f"{notebook.stem}_key.pdf", report)


def _add_quiz(commands: Any) -> None:
    """Add ``labkit quiz``."""
    quiz = commands.add_parser(
        "quiz",
        help="draw a quiz from exercises: a sheet for each number, the key, and a screen",
        description="Each number gets questions of its own, on lines drawn for it. Writes the "
        "sheets, the trainer's key beside them, and a page for the projector that asks the first "
        "number's questions one at a time.",
    )
    quiz.add_argument("exercises", metavar="EXERCISES", help="their numbers, such as 1-4 or 1,3,8")
    quiz.add_argument("--numbers", metavar="N-M", required=True, help="such as 1-24 or 3,7,12-15")
    quiz.add_argument("--questions", type=int, default=6, help="for each (default: %(default)s)")
    _add_paper(quiz)
    quiz.set_defaults(run=_quiz)


def _quiz(options: argparse.Namespace, report: Report) -> None:
    """Run the exercises and write sheets, key and screen."""
    from labkit.shell import find_notebook, find_root  # noqa: PLC0415
    from labkit.view.key import numbers_of  # noqa: PLC0415 - slow to load
    from labkit.view.quiz import quiz  # noqa: PLC0415

    numbers, root = numbers_of(options.numbers), find_root(Path.cwd())
    notebooks = [
        find_notebook(str(number), root=root, folder="exercises")
        for number in numbers_of(options.exercises)
    ]
    _say_run(notebooks[0], report)
    drawn = quiz(notebooks, numbers, count=options.questions, system=options.units)
    out = Path(options.out or "quiz.pdf")
    _write(drawn.sheets, str(out), report)
    _write(drawn.key, str(out.with_stem(f"{out.stem}_key")), report)
    _write(drawn.screen, str(out.with_name(f"{out.stem}_screen.html")), report)


def _add_lines(commands: Any) -> None:
    """Add ``labkit lines``."""
    lines = commands.add_parser(
        "lines",
        help="say what kind of line each number brings to the rig, with its answer",
        description="For a trainer to choose numbers from: each number's line is a ranch of its "
        "own, and some lines need another remedy.",
    )
    lines.add_argument("--numbers", metavar="N-M", default="1-24", help="such as 1-24 or 3,7,12-15")
    lines.add_argument("--units", choices=("US", "metric"), default="US", help="whose units")
    lines.set_defaults(run=_lines)


def _lines(options: argparse.Namespace, report: Report) -> None:
    """Print a row for each number: what sets its line apart, and what is right for it."""
    from labkit.drills.family import family_line  # noqa: PLC0415 - slow to load
    from labkit.view.key import numbers_of  # noqa: PLC0415
    from labkit.view.rig_told import answer_words  # noqa: PLC0415

    for number in numbers_of(options.numbers):
        line = family_line(number, with_hopeless=True)
        report(f"{number:6}  {', '.join(line.kind):46} {answer_words(line.window, options.units)}")


def _add_paper(parser: Any) -> None:
    """Add what everything for paper is asked."""
    parser.add_argument("--units", choices=("US", "metric"), default="US", help="default: US")
    parser.add_argument("--out", metavar="FILE", help="ends in .pdf or .html (default: a PDF here)")


def _say_run(notebook: Path, report: Report) -> None:
    from labkit.engine.warm import warm  # noqa: PLC0415

    warm(report)
    report(f"Running {notebook.stem} …")


def _write(page: str, name: str, report: Report) -> None:
    from labkit.view.paper import write_page  # noqa: PLC0415

    write_page(page, Path(name))
    report(f"wrote {name}")
