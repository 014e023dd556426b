"""Reading a file of measured sunshine: what it says, checked row by row, and nothing made of it."""

import csv
import datetime as dt
import io
import math
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Final

import attrs
import numpy as np
from numpy.typing import NDArray

from labkit.arrays import Floats
from labkit.errors import LabkitError, shortened
from labkit.files import FileError, read_small, reason

LARGEST: Final = 5_000_000  # largest file read [bytes]: about two months of minutes

MISSING: Final = -99.0
"""A reading at or below this is a mark for 'missing' (networks write -99, -7999, -9999.9)."""

BRIGHTEST: Final = 2000.0
"""Above this [W/m2] a reading is not sunshine: the sun gives 1361 outside the air (Kopp and Lean
2011), and clouds' mirrors add less than half of it."""

LIGHT: Final[tuple[str, ...]] = ("ghi", "dni", "dhi")
"""Columns of light: global horizontal, direct normal, diffuse horizontal [W/m2]."""

COLUMNS: Final[tuple[str, ...]] = ("time", *LIGHT, "temp_air")
"""Columns that are read; others are passed over."""


@attrs.frozen(kw_only=True)
class DayFile:
    """A measured file as it was written, its times turned to seconds."""

    name: str  # file name, for messages
    notes: dict[str, str]  # what the lines starting with ``#`` say, by the word before the colon
    date: dt.date  # day of the first row
    hours_from_utc: float | None  # standard time that the file keeps [h], None if it does not say
    time: Floats  # seconds after midnight of `date`, increasing [s], shape (n,)
    # column name -> readings, shape (n,), NaN where missing [W/m2, degC]
    columns: dict[str, Floats]


@attrs.frozen(kw_only=True)
class _Row:
    """One row: its line in the file, its moment, its readings by column name."""

    line: int
    moment: dt.datetime
    readings: dict[str, float]


def read_day_file(path: str | Path) -> DayFile:
    """Read a measured file, or say in one sentence why it cannot be read."""
    name = shortened(Path(path).name)
    text = _text(Path(path), name)
    notes, first = _notes(text)
    rows = list(_rows(text, name, notes, first))
    if len(rows) < 2:
        raise LabkitError(f"{name}: it holds {len(rows)} rows of readings; it needs two at least")
    _check_order(rows, name)
    offset = rows[0].moment.utcoffset()
    hours = _noted_hours(notes, name) if offset is None else offset.total_seconds() / 3600.0
    midnight = rows[0].moment.replace(hour=0, minute=0, second=0, microsecond=0)
    return DayFile(
        name=name,
        notes=notes,
        date=midnight.date(),
        hours_from_utc=hours,
        time=np.array([(row.moment - midnight).total_seconds() for row in rows]),
        columns={
            column: np.array([row.readings[column] for row in rows]) for column in rows[0].readings
        },
    )


def _text(path: Path, name: str) -> str:
    try:
        if path.is_dir():
            raise LabkitError(f"{name}: this is a folder; name a file of measured sun")
        return read_small(path, most=LARGEST).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise LabkitError(f"{name}: this is not a text file; a CSV file is wanted") from None
    except FileError as problem:
        raise LabkitError(f"{name}: {problem.why}; a CSV file of some days is wanted") from None
    except (OSError, ValueError) as problem:
        raise LabkitError(f"{name}: it can't be read: {reason(problem)}") from None


def _notes(text: str) -> tuple[dict[str, str], int]:
    """Read the '# word: text' lines at the top, and count all lines before the column names."""
    notes: dict[str, str] = {}
    count = 0
    for line in text.splitlines():
        if line.strip() and not line.startswith("#"):
            break
        count += 1
        word, _, rest = line.lstrip("# ").partition(":")
        notes[word.strip().lower()] = rest.strip()
    return notes, count


def _rows(text: str, name: str, notes: dict[str, str], first: int) -> Iterator[_Row]:
    """Read the column names and then each row."""
    table = csv.reader(io.StringIO("\n".join(text.splitlines()[first:])))
    try:
        header = [title.strip().lower() for title in next(table, [])]
        _check_header(header, name)
        for number, cells in enumerate(table, start=first + 2):
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(header):
                message = f"{len(cells)} columns where the first row names {len(header)}"
                raise LabkitError(f"{name}: line {number} has {message}")
            yield _row(dict(zip(header, cells, strict=True)), number, name, notes)
    except csv.Error as error:
        raise LabkitError(f"{name}: this is not a CSV file: {error}") from None


def _check_header(header: list[str], name: str) -> None:
    """Insist on a time and a global reading, and on each name once."""
    known = [title for title in header if title in COLUMNS]
    if {"time", "ghi"} <= set(known) and len(set(known)) == len(known):
        return
    found = ", ".join(shortened(title, 20) for title in header[:8]) or "none"
    wanted = "time, ghi and, where measured, dni, dhi, temp_air, each once"
    raise LabkitError(f"{name}: its columns are named {found}; the names must be {wanted}")


def _row(cells: dict[str, str], number: int, name: str, notes: dict[str, str]) -> _Row:
    where = f"{name}: line {number}"
    readings = {
        column: _reading(cells[column], column, where) for column in COLUMNS[1:] if column in cells
    }
    return _Row(line=number, moment=_moment(cells["time"], where, notes), readings=readings)


def _reading(cell: str, column: str, where: str) -> float:
    """Read a number; NaN where none was measured."""
    if cell.strip().lower() in {"", "nan", "na"}:
        return math.nan
    try:
        value = float(cell)
    except ValueError:
        raise LabkitError(
            f"{where}: {column} is '{shortened(cell, 20)}'; it must be a number"
        ) from None
    if value <= MISSING:
        return math.nan
    highest = 60.0 if column == "temp_air" else BRIGHTEST
    unit = "degC" if column == "temp_air" else "W/m^2"
    if not value <= highest:
        raise LabkitError(f"{where}: {column} is {value:g} {unit}; it must be under {highest:g}")
    return value


def _moment(cell: str, where: str, notes: dict[str, str]) -> dt.datetime:
    """Read a time: date and time, or a time of day on the date that the file's notes name."""
    typed = cell.strip()
    if len(typed) <= 8 and ":" in typed and "date" in notes:
        typed = f"{notes['date']} {typed.zfill(5)}"
    try:
        moment = dt.datetime.fromisoformat(typed)
    except ValueError:
        rule = "write it as 2018-10-14 07:30, or as 07:30 under a line '# date: 2018-10-14'"
        raise LabkitError(f"{where}: time is '{shortened(cell, 30)}'; {rule}") from None
    if not 1900 <= moment.year <= 2100:
        raise LabkitError(f"{where}: the year {moment.year} is not between 1900 and 2100")
    return moment


def _check_order(rows: list[_Row], name: str) -> None:
    """Insist that time goes forward, and that all rows keep one clock."""
    offset = rows[0].moment.utcoffset()
    for before, row in pairwise(rows):
        where = f"{name}: line {row.line}"
        if row.moment.utcoffset() != offset:
            raise LabkitError(f"{where}: its time zone differs from the first row's; keep to one")
        if row.moment <= before.moment:
            raise LabkitError(f"{where}: its time is not later than that of the row before")


def _noted_hours(notes: dict[str, str], name: str) -> float | None:
    """Read the notes' '# utc_offset: -7 hour (words)'."""
    typed = notes.get("utc_offset")
    if typed is None:
        return None
    try:
        hours = float(typed.split()[0])
    except (ValueError, IndexError):
        hours = math.nan
    if not -14.0 <= hours <= 14.0:
        raise LabkitError(f"{name}: utc_offset is '{shortened(typed, 20)}'; write hours such as -7")
    return hours


def gaps(time: Floats, longest: float) -> NDArray[np.intp]:
    """Say after which points more than `longest` [s] passes without a reading."""
    return np.flatnonzero(np.diff(time) > longest)
