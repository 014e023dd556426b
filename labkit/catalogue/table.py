"""Read a table that is shipped beside this file."""

import csv
from collections.abc import Iterator
from functools import cache
from importlib.resources import files


def rows(name: str) -> Iterator[dict[str, str]]:
    """Return each row of a table as a mapping from column to text."""
    text = files("labkit.catalogue").joinpath(name).read_text(encoding="utf-8")
    yield from csv.DictReader(text.splitlines())


@cache
def curves(name: str, of: str, at: str, value: str) -> dict[str, tuple[list[float], list[float]]]:
    """Return for each thing that a column names its curve: points and their values."""
    found: dict[str, tuple[list[float], list[float]]] = {}
    for row in rows(name):
        points, values = found.setdefault(row[of], ([], []))
        points.append(float(row[at]))
        values.append(float(row[value]))
    return found
