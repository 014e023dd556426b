"""The sheet of mastery: what a learner can show, for the learner's and for the trainer's paper."""

import base64
import datetime as dt
import html
from collections.abc import Mapping, Sequence
from typing import Final

from labkit.drills import PAR
from labkit.errors import LabkitError, shortened
from labkit.figures.style import BLUE
from labkit.questions.progress import (
    IN_A_ROW,
    SERVICE_CALL,
    Pages,
    Result,
    first_visits,
    in_a_row,
    progress_file,
    read_progress,
)
from labkit.text import speaker
from labkit.view.asking import day_words
from labkit.view.page import paragraph
from labkit.view.paper import document
from labkit.view.tables import table_html

_say = speaker("mastery")

_FILE: Final = "my_mastery.html"
_LONGEST: Final = 60
"""Characters of a learner's text that the sheet repeats."""
_VISITS: Final = {
    "line": "number", "kind": "kind", "points": "points", "missed": "readings missed",
    "slips": "slips", "minutes": "minutes",
}  # fmt: skip
_CALLS: Final = {
    "ranch": "ranch", "line": "number", "minutes": "minutes", "wrong": "wrong", "hints": "hints",
}  # fmt: skip
"""Columns of the two tables, and the figures that they show."""


def mastery_page(learners: Mapping[str, Pages], *, system: str = "US") -> str:
    """Write the sheets of some learners, by name, as a page of HTML that needs nothing else."""
    from labkit.view.handout import looks_for  # noqa: PLC0415 - slow to load

    sheets = "".join(_sheet(name, pages) for name, pages in learners.items())
    return document(sheets, _say("title"), looks=looks_for(system))


def sheet_link() -> str:
    """Write a link by which a learner keeps the own sheet; nothing while there is none to keep."""
    try:
        page = mastery_page({"": read_progress(progress_file())})
    except LabkitError:  # the page says by itself that the file can't be read
        return ""
    data = f"data:text/html;charset=utf-8;base64,{base64.b64encode(page.encode()).decode()}"
    look = f"color:{BLUE};text-decoration:underline"  # a page of ours takes both from its links
    link = f'<a download="{_FILE}" style="{look}" href="{data}">{_said("file")}</a>'
    return f'<p class="labkit-screen">{_say("link", link=link)}</p>'


def _sheet(name: str, pages: Pages) -> str:
    every = (one for page in pages.values() for one in page.results)
    results = sorted(every, key=lambda one: one.date.astimezone())
    visits = first_visits(results)
    calls = [one for one in results if one.task == SERVICE_CALL]
    passed, count = sum(one.passed for one in visits), in_a_row(results)
    today = day_words(dt.datetime.now().astimezone().date())
    whose = _say("whose", name=shortened(name, _LONGEST), day=today) if name else ""
    counted = _say("visit-count", passed=passed, all=len(visits)) if visits else ""
    return (
        f'<section class="labkit-sheet"><h1>{_said("title")}</h1>'
        f"{paragraph(whose or _say('whose-none', day=today))}"
        f"{_part('visits', _say('visit-goal'), counted, is_reached=passed > 0)}"
        f"{_table(_VISITS, visits)}"
        + _part(
            "calls",
            _say("call-goal", all=IN_A_ROW, par=f"{PAR:g}"),
            _say("call-count", count=count, all=IN_A_ROW) if calls else "",
            is_reached=count >= IN_A_ROW,
        )
        + f"{_table(_CALLS, calls)}{paragraph(_say('kept'))}{paragraph(_say('signed'))}</section>"
    )


def _part(key: str, goal: str, count: str, *, is_reached: bool) -> str:
    sign = "\N{CHECK MARK}" if is_reached else "\N{BALLOT BOX}"
    reached = _say("reached" if is_reached else "not-reached")
    return (
        f"<h2>{_said(key)}</h2>{paragraph(goal)}"
        f"{paragraph(f'{sign} {reached}. {count}'.strip(), bold=True)}"
    )


def _table(columns: Mapping[str, str], results: Sequence[Result]) -> str:
    """Write some results, the latest last."""
    if not results:
        return paragraph(_say("none"))
    heads = [_say(key) for key in ("day", *columns, "result")]
    rows = [
        [
            day_words(one.date.date()),
            *(shortened(_plain(one.figures.get(name, "")), _LONGEST) for name in columns.values()),
            _say("passed" if one.passed else "failed"),
        ]
        for one in results
    ]
    return table_html(heads, rows)


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _said(key: str) -> str:
    return html.escape(_say(key))
