"""Pipe sizes: nominal size and standard to diameters, pressure rating and stiffness."""

import re
from difflib import get_close_matches
from functools import cache
from typing import Final

import attrs

from labkit.catalogue.table import rows
from labkit.errors import LONGEST, UnitError
from labkit.units import Quantity, quantity, si

_PARTS: Final = re.compile(
    r"(?P<size>[0-9][0-9 ./¼½¾-]*?)[ -]?(?:in|inch|\")\.?,? (?P<series>[a-z0-9. ]+)"
)
_SPELLINGS: Final = tuple(
    (re.compile(spelling), short)
    for spelling, short in (
        (r"\bpoly(?:ethylene)?\b", "pe"),
        (r"\b(?:pipe|tubing),? ?", ""),
        (r"\bschedule\b|\bsch\.", "sch"),
        (r"\b(sidr|sdr|dr|sch)[ -]?(?=[0-9])", r"\1 "),
        (r",", ""),
    )
)
"""Other ways to write a material or a series, and the table's."""


@attrs.frozen(kw_only=True)
class PipeSize:
    """One row of the table of pipe sizes."""

    size: str  # nominal size, material and series, such as ``"1 1/4 in PE SIDR 15"``
    # average inside diameter and least wall
    inside_diameter: Quantity
    wall: Quantity
    rating: Quantity  # pressure rating at 73 degF
    # Young's modulus of the wall, for what a run takes up in seconds to minutes. Polyethylene gives
    # way with time: after half an hour no more than 78,000 to 82,000 psi are left of it (Handbook
    # of Polyethylene Pipe, 2nd ed., chapter 3, table B.1.1), and that table's trend passes 115,000
    # psi at about ten seconds.
    modulus: Quantity
    wave_modulus: Quantity  # the same for a pressure wave, which is past in a fraction of a second
    source: str  # where the numbers come from


@cache
def pipe_sizes() -> dict[str, PipeSize]:
    """Return every pipe size in the table, by its name."""
    return {
        row["size"]: PipeSize(
            size=row["size"],
            inside_diameter=quantity(f"{row['inside_diameter_in']} in", "in"),
            wall=quantity(f"{row['wall_in']} in", "in"),
            rating=quantity(f"{row['rating_psi']} psi", "psi"),
            modulus=quantity(f"{row['modulus_psi']} psi", "psi"),
            wave_modulus=quantity(f"{row['wave_modulus_psi']} psi", "psi"),
            source=row["source"],
        )
        for row in rows("pipe_sizes.csv")
    }


def sizes_like(size: str) -> tuple[str, ...]:
    """Return the pipe sizes of the same material and series, the smallest first."""
    series = size.split(" in ", 1)[-1]
    rows = [row for name, row in pipe_sizes().items() if name.split(" in ", 1)[-1] == series]
    return tuple(row.size for row in sorted(rows, key=lambda row: si(row.inside_diameter)))


def pipe_size(typed: str) -> PipeSize:
    """Return a pipe size; ``1-1/4 in`` and ``1.25 in`` find ``1 1/4 in``, in any case.

    UnitError names the nearest one in the table.
    """
    table = pipe_sizes()
    if typed in table:
        return table[typed]
    found = _by_meaning().get(_meaning(typed))
    if found is None:
        near = get_close_matches(typed[:LONGEST], table, n=1, cutoff=0.0)[0]
        raise UnitError(f"write a pipe size of the table, such as '{near}'")
    return found


@cache
def _by_meaning() -> dict[tuple[float, str], PipeSize]:
    return {_meaning(size): row for size, row in pipe_sizes().items()}


def _meaning(typed: str) -> tuple[float, str]:
    """Return a pipe size as its nominal size [m] and its series, whatever the spelling."""
    plain = " ".join(
        typed[: 2 * LONGEST].lower().replace("\N{RIGHT DOUBLE QUOTATION MARK}", '"').split()
    )
    for spelling, short in _SPELLINGS:
        plain = spelling.sub(short, plain)
    match = _PARTS.fullmatch(plain)
    if match is None:
        return 0.0, ""
    try:
        series = " ".join(sorted(match["series"].split(), key=lambda word: word != "pe"))
        return si(quantity(f"{match['size']} in", "in")), series
    except UnitError:
        return 0.0, ""
