"""A trainer's tables of what a class has answered: who is where, and what is hard.

Whatever a learner's file holds is somebody else's text. It is cut to one printable line before it
reaches a terminal, and kept from being a formula before it reaches a spreadsheet.
"""

import csv
import datetime as dt
import io
from collections import Counter, defaultdict
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import attrs

from labkit.errors import LabkitError, shortened
from labkit.files import FileError, reason, write_whole
from labkit.questions.progress import FILE, Given, Page, Pages, in_a_row, read_progress
from labkit.text import sentence

MOST_FILES: Final = 1000  # learners' files that are read from one folder
_LONGEST: Final = 120  # characters of a learner's text that a table repeats

_FORMULAS: Final = "=+-@\N{FULLWIDTH EQUALS SIGN}\N{FULLWIDTH PLUS SIGN}\N{FULLWIDTH COMMERCIAL AT}"
"""First characters that make a spreadsheet compute a cell."""


def _line(text: str) -> str:
    """Return a text as one line of printable characters."""
    return shortened(text, _LONGEST)


def _lines(texts: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(map(_line, texts)))


@attrs.frozen(kw_only=True)
class Row:
    """What one learner did on one page."""

    learner: str = attrs.field(converter=_line)  # name of the learner's file, without its ending
    page: str = attrs.field(converter=_line)  # lesson or exercise
    # questions that were marked; those that came out right in the end; wrong answers on the way;
    # predictions made
    answered: int
    right: int
    wrong: int
    predicted: int
    # finished tasks that came out as they should, such as faults found; all finished tasks
    passed: int = 0
    tried: int = 0
    day: dt.date | None = None  # of the last answer or task
    slips: tuple[str, ...] = attrs.field(converter=_lines)  # known slips met on the way
    in_a_row: int = 0  # most calls on unseen lines in a row that were found well


@attrs.frozen(kw_only=True)
class Asked:
    """How a class fared with one question."""

    # which question of which page
    page: str = attrs.field(converter=_line)
    question: str = attrs.field(converter=_line)
    # learners who answered; right at the first try; right in the end
    learners: int
    at_once: int
    right: int
    wrong: int  # wrong answers of them all
    slip: str = attrs.field(converter=_line)  # the slip that most of them met; empty for none
    # for a prediction, what was predicted and by how many, the commonest first
    predictions: tuple[tuple[str, int], ...] = ()


@attrs.frozen(kw_only=True)
class Gradebook:
    """What a class has answered."""

    rows: tuple[Row, ...]  # one for each learner and page, in the order of their names
    questions: tuple[Asked, ...]  # one for each question, page by page
    unread: tuple[str, ...]  # files that could not be read, each with the reason

    @property
    def slips(self) -> list[tuple[str, int]]:
        """Slips with the number of learners who met them, the commonest first."""
        met = {(row.learner, slip) for row in self.rows for slip in row.slips}
        return _commonest([slip for _, slip in met])

    @property
    def places(self) -> list[Row]:
        """For each learner the page of the last day, the furthest on if there are several."""
        last: dict[str, Row] = {}
        for row in self.rows:
            before = last.get(row.learner)
            if before is None or (row.day is not None and row.day >= (before.day or row.day)):
                last[row.learner] = row
        return list(last.values())


def gradebook(folder: Path) -> Gradebook:
    """Read every learner's file in a folder, and tabulate them."""
    return class_of(*read_class(folder))


def read_class(folder: Path) -> tuple[dict[str, Pages], list[str]]:
    """Return what is kept of each learner of a folder, and the files that can't be read, with why.

    Files are named after the learners, or lie in a hall's homes. A folder without any is an error.
    """
    if not folder.is_dir():
        raise LabkitError(f"{_line(str(folder))}: there is no such folder")
    found = {path.stem: path for path in sorted(folder.glob("*.toml"))}
    homes = {path.parent.name: path for path in sorted(folder.glob(f"*/{FILE}"))}
    paths = found | homes
    if not paths:
        rule = "collect the learners' progress files there, each under the learner's name"
        raise LabkitError(f"{_line(str(folder))}: no file there ends in .toml; {rule}")
    kept: dict[str, Pages] = {}
    unread = []
    for learner, path in list(paths.items())[:MOST_FILES]:
        try:
            if learner in homes and path.is_symlink():
                raise FileError(f"{learner}/{FILE}", "it is a link, and is not followed")
            kept[learner] = read_progress(path)
        except (LabkitError, FileNotFoundError) as problem:
            unread.append(_line(str(problem)))
    if len(paths) > MOST_FILES:
        more = len(paths) - MOST_FILES
        unread.append(sentence("marking", "too-many-files", count=more, most=MOST_FILES))
    return kept, unread


def class_of(kept: dict[str, Pages], unread: Sequence[str] = ()) -> Gradebook:
    """Return the tables of a class from what is kept of each learner, by name."""
    rows: list[Row] = []
    answers: dict[tuple[str, str], list[Given]] = defaultdict(list)
    for learner, pages in kept.items():
        for name in sorted(pages, key=_in_order):
            page = pages[name]
            if page.answers or page.results:
                rows.append(_row(learner, name, page))
            for question, given in page.answers.items():
                answers[name, question].append(given)
    order = sorted(answers, key=lambda one: _in_order(one[0]))
    questions = tuple(_asked(*one, answers[one]) for one in order)
    return Gradebook(rows=tuple(rows), questions=questions, unread=tuple(unread))


def _in_order(page: str) -> tuple[str, int, str]:
    """Return what sorts "lesson 2" before "lesson 10"."""
    kind, _, rest = page.partition(" ")
    number = rest.split(",")[0]
    is_number = number.isascii() and number.isdecimal() and len(number) < 10
    return kind, int(number) if is_number else 0, rest


def _row(learner: str, name: str, page: Page) -> Row:
    outcomes = Counter(answer.outcome for answer in page.answers.values())
    days = [
        *(answer.date for answer in page.answers.values()),
        *(result.date.date() for result in page.results),
    ]
    return Row(
        learner=learner,
        page=name,
        answered=outcomes["right"] + outcomes["not yet"],
        right=outcomes["right"],
        wrong=sum(answer.wrong for answer in page.answers.values()),
        predicted=outcomes["predicted"],
        passed=sum(result.passed for result in page.results),
        tried=len(page.results),
        in_a_row=in_a_row(page.results),
        day=max(days, default=None),
        slips=[slip for answer in page.answers.values() for slip in answer.slips],
    )


def _asked(page: str, question: str, given: Sequence[Given]) -> Asked:
    right = [one for one in given if one.outcome == "right"]
    slips = _commonest([slip for one in given for slip in one.slips])
    return Asked(
        page=page,
        question=question,
        learners=len(given),
        at_once=sum(one.wrong == 0 for one in right),
        right=len(right),
        wrong=sum(one.wrong for one in given),
        slip=slips[0][0] if slips else "",
        predictions=tuple(
            _commonest([_line(one.given) for one in given if one.outcome == "predicted"])
        ),
    )


def _commonest(texts: Sequence[str]) -> list[tuple[str, int]]:
    return sorted(Counter(texts).items(), key=lambda item: (-item[1], item[0]))


def write_gradebook(rows: Sequence[Row | Asked], path: Path) -> None:
    """Write rows of one kind as a table for a spreadsheet."""
    table = io.StringIO(newline="")
    writer = csv.writer(table)
    for number, row in enumerate(rows):
        cells = {field.name: getattr(row, field.name) for field in attrs.fields(type(row))}
        if number == 0:
            writer.writerow(cells)
        writer.writerow(map(_cell, cells.values()))
    try:
        if path.exists() and not path.is_file():
            raise LabkitError(f"{path}: it can't be written: it is not an ordinary file")
        write_whole(path, table.getvalue().encode())
    except OSError as problem:
        raise LabkitError(f"{path}: it can't be written: {reason(problem)}") from None


def _cell(value: object) -> str:
    """Return a value as a cell that no spreadsheet takes for a formula."""
    match value:
        case None:
            text = ""
        case tuple():
            parts = [f"{one[0]} ({one[1]})" if isinstance(one, tuple) else one for one in value]
            text = "; ".join(parts)
        case _:
            text = str(value)
    return f"'{text}" if text[:1] in _FORMULAS and text else text
