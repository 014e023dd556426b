"""The tables of the commissioning rig: what was done and read, and what it earned."""

import html
from typing import TYPE_CHECKING, Final

from labkit.rigs.handing import MOST
from labkit.view.language import say_clock
from labkit.view.page import paragraph
from labkit.view.rig_points import points_rows, rules
from labkit.view.rig_words import RIG_WORDS, done, heard, left_lines, read_words
from labkit.view.style import GREEN, VERMILION
from labkit.view.worked import edged

if TYPE_CHECKING:
    from collections.abc import Iterable

    from labkit.rigs import Handover, Rig

_HEADS: Final = ("when", "did", "heard", "gauge", "pump", "sun", "contact head")
_READINGS: Final = ("gauge", "pump", "sun", "contact")


def log_table(rig: "Rig", system: str) -> str:
    """Write what was done, heard and read, a row for each thing done."""
    arrived = rig.clock - 60.0 * rig.minutes
    rows = []
    for entry in rig.log:
        read = read_words(entry, system)
        clock = say_clock(arrived + 60.0 * entry.minutes, system)
        found = (read.get(name, "") for name in _READINGS)
        rows.append(_row([clock, done(entry, system), heard(entry, system), *found]))
    caption = f"<caption><b>{html.escape(RIG_WORDS['log'])}</b></caption>"
    return f"<table>{caption}{_head(_HEADS)}{''.join(rows)}</table>"


def rules_list(system: str, *, has_tank: bool) -> str:
    """Write how the points come about, folded up until somebody asks."""
    items = "".join(f"<li>{html.escape(rule)}</li>" for rule in rules(system, has_tank=has_tank))
    head = html.escape(RIG_WORDS["rules"])
    return f"<details><summary>{head}</summary><ul>{items}</ul></details>"


def left_table(rig: "Rig", left: "Handover", system: str) -> str:
    """Write how a line was handed over, and the points."""
    color, sign, key = (
        (GREEN, "\N{CHECK MARK}", "sound")
        if left.is_sound
        else (VERMILION, "\N{RIGHTWARDS ARROW}", "not sound")
    )
    lines = "".join(paragraph(line) for line in left_lines(rig, left, system))
    rows = [
        _row([words, f"{points}", f"{most:.0f}", why])
        for (words, points, why), most in zip(points_rows(left, system), MOST.values(), strict=True)
    ]
    rows.append(_row([RIG_WORDS["all"], f"{left.score}", f"{sum(MOST.values()):.0f}", ""]))
    table = f"<table>{_head(('part', 'points', 'of', 'why'))}{''.join(rows)}</table>"
    return edged(color, f"{sign} {RIG_WORDS[key]}") + lines + table


def _row(cells: "Iterable[str]") -> str:
    return "<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in cells) + "</tr>"


def _head(names: "Iterable[str]") -> str:
    cells = (f'<th scope="col">{html.escape(RIG_WORDS[name])}</th>' for name in names)
    return "<tr>" + "".join(cells) + "</tr>"
