"""Read a table that is shipped beside this file."""

import csv
from collections.abc import Iterator
from importlib.resources import files


def rows(name: str) -> Iterator[dict[str, str]]:
    """Return each row of a table as a mapping from column to text."""
    text = files("labkit.catalogue").joinpath(name).read_text(encoding="utf-8")
    yield from csv.DictReader(text.splitlines())
