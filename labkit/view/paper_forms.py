"""What stands on paper in place of what a screen shows: forms to fill in, and words for paper.

Words for the screen alone are marked where they stand, in a Markdown cell or in what a lesson
tells, by two comments that no screen shows::

    Say what you think **before** you see it. <!-- screen -->
    The sliders wait for your two predictions. <!-- paper: Write it down. -->

On paper, whatever stands from the first comment to the second is left out, and the words in the
second are read in its place; ``<!-- paper: -->`` leaves nothing. The two take turns in every cell.
Neither comment may begin a line: Markdown would take that line for HTML.
"""

import html
import re
from collections.abc import Iterable, Sequence
from typing import Final

from labkit.errors import LabkitError
from labkit.text.shared import PAPER_WORDS
from labkit.view.tables import list_html, table_html

_SCREEN: Final = re.compile(r"\s*<!-- screen -->.*?<!-- paper:(.*?)-->", re.DOTALL)
_MARK: Final = re.compile(r"<!-- (?:(screen) -->|paper:.*?(-->|(?=<!--)|\Z))", re.DOTALL)
_SHOWN: Final = 60
_CLOSES: Final = tuple(".,;:!?")
"""What follows a word without a space."""

LINE: Final = '<div class="line"></div>'
"""A line to write on."""


def for_paper(words: str) -> str:
    """Leave out what is meant for a screen, and read the words for paper in its place."""
    if near := _unpaired(words):
        rule = "a mark stands without its partner"
        raise LabkitError(f"words for screen and paper: {rule} at “{near}”")

    def instead(found: re.Match[str]) -> str:
        said = found[1].strip()
        before = re.match(r"\s*", found[0])
        space = "" if said[:1] in _CLOSES else before[0] or " " if before else " "
        return f"{space}{said}" if said else ""

    return _SCREEN.sub(instead, words)


def _unpaired(words: str) -> str:
    """Return the words from where a mark has no partner; empty if the two kinds take turns."""
    opened = -1
    for mark in _MARK.finditer(words):
        is_open, is_whole = opened >= 0, bool(mark[1] or mark[2])
        opened = mark.start() if mark[1] or not (is_open and is_whole) else -1
        if bool(mark[1]) is is_open or not is_whole:
            break
    if opened < 0:
        return ""
    return " ".join(words[opened : opened + _SHOWN].split())


def question_form(
    ask: str, choices: Sequence[str], *, label: str = "", lines: int = 1, after: str = ""
) -> str:
    """Return a question [HTML] with boxes to tick or a label to write beside, and room below.

    There are `lines` to write on, and `after` comes last [HTML], such as room for a reason.
    """
    if choices:
        room = list_html(choices, is_numbered=True)
    else:
        room = f'<p class="beside"><span>{html.escape(label)}</span></p>'
    return f'<div class="labkit-paper">{ask}{room}{lines * LINE}{after}</div>'


def because(lines: int = 1) -> str:
    """Return room for a reason."""
    words = html.escape(PAPER_WORDS["because"])
    return f'<p class="beside"><span>{words}</span></p>{(lines - 1) * LINE}'


def comparison_form(rows: Iterable[tuple[str, str]]) -> str:
    """Return what the runs showed, with room for what was predicted and what to make of it."""
    cells = [(name.capitalize(), "", showed, "") for name, showed in rows]
    heads = ("", *(PAPER_WORDS[key] for key in ("you said", "run showed", "so")))
    return table_form("", heads, cells, widths=(20, 27, 30, 23), tall=True)


def table_form(
    title: str,
    heads: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    widths: Sequence[int],
    tall: bool = False,
) -> str:
    """Return a table with cells to fill in, two lines of writing in each if it is `tall`."""
    look = "labkit-form labkit-tall" if tall else "labkit-form"
    return table_html(heads, rows, caption=title, look=look, widths=widths)
