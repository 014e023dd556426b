"""A trainer's table of what a class has answered."""

from __future__ import annotations

import csv
from collections import Counter
from typing import TYPE_CHECKING, Final

import attrs

from labkit.check.progress import read_progress
from labkit.errors import LabkitError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from labkit.check.progress import Given

MOST_FILES: Final = 1000


@attrs.frozen(kw_only=True)
class Row:
    """What one learner did on one page.

    Attributes
    ----------
    learner : str
        Name of the learner's file, without its ending.
    page : str
        Lesson or exercise.
    answered, right, wrong, predicted : int
        Questions that were marked; those that came out right in the end; wrong answers on the way;
        predictions made.
    slips : tuple of str
        Known slips met on the way.
    """

    learner: str
    page: str
    answered: int
    right: int
    wrong: int
    predicted: int
    slips: tuple[str, ...]


@attrs.frozen(kw_only=True)
class Gradebook:
    """What a class has answered.

    Attributes
    ----------
    rows : tuple of Row
        One for each learner and page, in the order of their names.
    unread : tuple of str
        Files that could not be read, each with the reason.
    """

    rows: tuple[Row, ...]
    unread: tuple[str, ...]

    @property
    def slips(self) -> list[tuple[str, int]]:
        """Slips with the number of learners who met them, the commonest first."""
        met = {(row.learner, slip) for row in self.rows for slip in row.slips}
        counted = Counter(slip for _, slip in met)
        return sorted(counted.items(), key=lambda item: (-item[1], item[0]))


def gradebook(folder: Path) -> Gradebook:
    """Read every learner's file in a folder; the files are named after the learners.

    Raises
    ------
    LabkitError
        If there is no such folder, or no file in it.
    """
    if not folder.is_dir():
        raise LabkitError(f"{folder}: there is no such folder")
    paths = sorted(folder.glob("*.toml"))[:MOST_FILES]
    if not paths:
        rule = "collect the learners' progress files there, each under the learner's name"
        raise LabkitError(f"{folder}: there is no file that ends in .toml; {rule}")
    rows: list[Row] = []
    unread = []
    for path in paths:
        try:
            rows += [
                _row(path.stem, page, kept.answers)
                for page, kept in read_progress(path).items()
                if kept.answers
            ]
        except LabkitError as problem:
            unread.append(str(problem))
    return Gradebook(rows=tuple(rows), unread=tuple(unread))


def _row(learner: str, page: str, answers: Mapping[str, Given]) -> Row:
    outcomes = Counter(answer.outcome for answer in answers.values())
    slips = dict.fromkeys(slip for answer in answers.values() for slip in answer.slips)
    return Row(
        learner=learner,
        page=page,
        answered=outcomes["right"] + outcomes["not yet"],
        right=outcomes["right"],
        wrong=sum(answer.wrong for answer in answers.values()),
        predicted=outcomes["predicted"],
        slips=tuple(slips),
    )


def write_gradebook(rows: Sequence[Row], path: Path) -> None:
    """Write the rows as a table.

    Raises
    ------
    LabkitError
        If the file cannot be written.
    """
    names = [field.name for field in attrs.fields(Row)]
    try:
        with path.open("w", encoding="utf-8", newline="") as file:
            table = csv.writer(file)
            table.writerow(names)
            for row in rows:
                values = [getattr(row, name) for name in names[:-1]]
                table.writerow([*map(_harmless, values), _harmless("; ".join(row.slips))])
    except OSError as problem:
        raise LabkitError(f"{path}: cannot be written: {problem.strerror}") from None


def _harmless(value: str | int) -> str | int:
    """Keep a spreadsheet from taking a learner's text for a formula."""
    return f"'{value}" if isinstance(value, str) and value[:1] in "=+-@" and value else value
