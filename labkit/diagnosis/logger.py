"""A logger's plain table of time and pressure: its stops and starts, as readings."""

import csv
import re
from datetime import UTC, datetime
from math import isfinite, nan
from pathlib import Path
from typing import Final

import attrs
import numpy as np

from labkit.arrays import Floats
from labkit.errors import LabkitError, UnitError, shortened
from labkit.units import quantity, si
from labkit.units.customary import DAY, PSI

MOST_ROWS: Final = 500_000
LARGEST: Final = 40_000_000
"""Longest table that is read [bytes]."""

_TIMES: Final = ("time", "date", "clock", "elapsed")
_PRESSURES: Final = ("pressure", "psi", "kpa", "bar")
_UNITS: Final = ("psi", "kPa", "bar")
_CLOCK: Final = re.compile(
    r"((?P<month>\d\d?)/(?P<day>\d\d?)/(?P<year>\d\d|\d{4}),? +)?"
    r"(?P<hour>\d+):(?P<minute>\d\d?)(:(?P<second>\d\d?(\.\d*)?))?( *(?P<half>[ap])\.?m\.?)?",
    re.IGNORECASE,
)
"""A clock of 24 hours or of twice twelve, behind a date as it is written in the United States."""
_TURN: Final = 0.35
"""How far pressure must turn back to count as a stop or a start, as a share of its range."""
_LEAST_RANGE: Final = 3.0 * PSI
"""Range of pressure under which there is no stop and start to see [Pa]."""


@attrs.frozen(kw_only=True, eq=False)
class Log:
    """What a logger wrote."""

    name: str  # the file's name
    # since its first row [s], and gauge pressure [Pa], shape (n,)
    time: Floats
    pressure: Floats

    def turns(self) -> tuple[list[int], list[int]]:
        """Return the rows of the stops (tops) and of the starts (lows), in order of time.

        A top counts once pressure has fallen from it by a third of the whole range, a low once it
        has climbed as far; ends of the log that are not turns are left out.
        """
        p = self.pressure
        low, high = np.percentile(p, [2.0, 98.0])
        if high - low < _LEAST_RANGE:
            return [], []
        turn = _TURN * (high - low)
        tops: list[int] = []
        lows: list[int] = []
        best, rising = 0, True
        for i in range(1, p.size):
            if (p[i] > p[best]) if rising else (p[i] < p[best]):
                best = i
            elif abs(p[i] - p[best]) > turn:
                if best > 0:
                    (tops if rising else lows).append(best)
                best, rising = i, not rising
        return tops, lows

    def readings(self) -> dict[str, str]:
        """Return what the log says, as readings; empty if it shows no whole cycle."""
        tops, lows = self.turns()
        waits = [
            float(self.time[low] - self.time[top])
            for top in tops
            for low in [next((low for low in lows if low > top), -1)]
            if low > 0
        ]
        if not waits:
            return {}
        top, low = (float(np.median(self.pressure[rows])) for rows in (tops, lows))
        return {
            "stop": "stops",
            "gauge at the stop": f"{top:.0f} Pa",
            "stop to start": f"{np.median(waits):.1f} s",
            "start": "starts",
            "gauge at the start": f"{low:.0f} Pa",
        }


def read_log(path: str | Path) -> Log:
    """Read a table of time and pressure.

    The first line of the CSV file names a column of time (seconds, or ``time (min)``, a clock
    ``14:05:30`` or ``2:05:30 PM``, or with it a date, month/day/year or year-month-day, in one
    column or two) and one of pressure with its unit: ``pressure (psi)``. An error names the file,
    the line, and what to write instead.
    """
    path = Path(path)
    name = path.name[:60]
    try:
        if not path.is_file():
            raise LabkitError(f"{name}: there is no such file")
        if path.stat().st_size > LARGEST:
            raise LabkitError(f"{name}: it is over 40 MB; cut out the hours that matter")
        content = path.read_bytes()
    except (OSError, ValueError):
        raise LabkitError(f"{name}: it cannot be read as a text table") from None
    return log_of(name, content)


def log_of(name: str, content: bytes) -> Log:
    """Return the log in the content of a file; as `read_log`."""
    try:
        return _log_in(name, content.decode("utf-8-sig").splitlines())
    except (UnicodeDecodeError, csv.Error):  # the second, where a quote is never closed
        raise LabkitError(f"{name}: it cannot be read as a text table") from None


def _log_in(name: str, lines: list[str]) -> Log:
    """Return the log in the lines of a table."""
    head = lines[0] if lines else ""
    mark = next((each for each in "\t;" if each in head), ",")
    names = [cell.strip().lower() for row in csv.reader([head], delimiter=mark) for cell in row]
    when, p = _moment(name, names), _column(name, names, _PRESSURES, "pressure (psi)")
    unit = next((unit for unit in _UNITS if unit.lower() in names[p]), None)
    if unit is None:
        raise LabkitError(f"{name}: name the unit in its first line, such as 'pressure (psi)'")
    second = _in_seconds(names[when[0]])
    pascal = si(quantity(f"1 {unit}", "psi"))
    numbers: list[int] = []
    times: list[float] = []
    pressures: list[float] = []
    for number, row in enumerate(csv.reader(lines[1:], delimiter=mark), start=2):
        if not any(cell.strip() for cell in row):
            continue
        if len(times) >= MOST_ROWS:
            raise LabkitError(f"{name}: it has over {MOST_ROWS:,} rows; cut out what matters")
        try:
            times.append(_seconds(" ".join(row[i].strip() for i in when), second))
            pressures.append(float(row[p]) * pascal)
            numbers.append(number)
        except (IndexError, ValueError):
            said = shortened(mark.join(row))
            rule = "each line needs a time and a number"
            raise LabkitError(f"{name}: line {number} is {said!r}; {rule}") from None
    return _held(name, numbers, np.array(times), np.array(pressures))


def _held(name: str, lines: list[int], time: Floats, pressure: Floats) -> Log:
    """Return a log whose rows can be: in order, finite, and of a pressure that pipe can have."""
    if time.size < 3:
        raise LabkitError(f"{name}: it has {time.size} rows; at least 3 are needed")
    if not np.isfinite(time).all():
        raise LabkitError(f"{name}: name the unit of time in its first line, such as 'time (min)'")
    time = time + DAY * np.cumsum(np.append(0.0, np.diff(time) < -43_200.0))  # past midnight
    if (np.diff(time) < 0.0).any():
        line = lines[int(np.argmax(np.diff(time) < 0.0)) + 1]
        raise LabkitError(f"{name}: line {line}: its time is before the one above it")
    if time[-1] == time[0]:
        raise LabkitError(f"{name}: all of its lines have the same time")
    if not (np.isfinite(pressure).all() and (np.abs(pressure) < 5e6).all()):
        raise LabkitError(f"{name}: a pressure in it is over 700 psi or no number at all")
    return Log(name=name, time=time - time[0], pressure=pressure)


def _column(name: str, names: list[str], known: tuple[str, ...], example: str) -> int:
    """Return the place of a column by its name in the first line."""
    for i, column in enumerate(names):
        if any(word in column for word in known):
            return i
    raise LabkitError(f"{name}: its first line names no column of {example!r}")


def _moment(name: str, names: list[str]) -> tuple[int, ...]:
    """Return the place of the column of time; of two, where a date has its clock beside it."""
    first = _column(name, names, _TIMES, "time")
    if "date" in names[first] and "time" not in names[first]:
        for i, column in enumerate(names):
            if "time" in column or "clock" in column:
                return first, i
    return (first,)


def _in_seconds(column: str) -> float:
    """Return the unit of a column of time [s]: that which its name holds, or seconds.

    No number where it is put in parentheses and not known. Of a clock they may hold the zone.
    """
    for word in re.findall("[a-z]+", column):
        try:
            return si(quantity(f"1 {word}", "s"))
        except UnitError:
            continue
    return nan if "(" in column else 1.0


def _seconds(typed: str, unit: float) -> float:
    """Read a time as seconds: a number of some `unit` [s], a clock, or a date and time."""
    if found := _CLOCK.fullmatch(typed):
        return _on_the_clock(found)
    try:
        number = float(typed)
    except ValueError:
        at = datetime.fromisoformat(typed.replace("/", "-"))
        return at.replace(tzinfo=at.tzinfo or UTC).timestamp()  # as in `_on_the_clock`
    if not isfinite(number):
        raise ValueError(typed)
    return number * unit


def _on_the_clock(found: re.Match[str]) -> float:
    """Return a time since midnight, or since an old one where a date is with it [s].

    A logger's clock goes on evenly, whatever people's do in spring: it is taken for one zone's.
    """
    hour, minute, second = (float(found[each] or 0.0) for each in ("hour", "minute", "second"))
    half = (found["half"] or "").lower()
    if not (minute < 60.0 and second < 60.0 and (not half or 1.0 <= hour <= 12.0)):
        raise ValueError(found[0])
    if half:
        hour = hour % 12.0 + 12.0 * (half == "p")
    since = hour * 3600.0 + minute * 60.0 + second
    if found["year"] is None:
        return since
    year, month, day = (int(found[each]) for each in ("year", "month", "day"))
    return datetime(year + 2000 * (year < 100), month, day, tzinfo=UTC).timestamp() + since
