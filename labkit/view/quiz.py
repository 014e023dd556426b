"""A quiz drawn from the exercises: a sheet for each number, the trainer's key, a screen for all.

No question and no answer is typed here. Each exercise is run once, and says for every number what
it asks and what is right. Which of its questions a number gets follows from the number.
"""

from __future__ import annotations

import html
import random
from itertools import cycle, groupby
from typing import TYPE_CHECKING, Any, Final

import attrs
import nbformat

from labkit.errors import LabkitError
from labkit.pages.looks import look
from labkit.questions import NumberQuestion
from labkit.text import sentence
from labkit.text.shared import WORDS
from labkit.view.asking import QuestionWidget
from labkit.view.handout import looks_for, written
from labkit.view.key import answer_row, asked_of, title_of
from labkit.view.tables import Rows, list_html
from labkit.view.telling import inline_markup, render

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from labkit.view.setting import Setting

Posed = dict[str, Any]
"""A question as an exercise poses it to a number: all that is written of it [HTML and words]."""

_SLIDES: Final = look("quiz.css")
_TURN: Final = look("quiz.js")


@attrs.frozen(kw_only=True)
class Quiz:
    """A quiz as pages of HTML that need nothing else."""

    sheets: str  # for paper, a sheet for each number
    key: str  # for the trainer, what is right on each sheet
    screen: str  # for a projector, the first number's questions in large letters, one at a time


def quiz(
    notebooks: Sequence[Path], numbers: Sequence[int], *, count: int, system: str = "US"
) -> Quiz:
    """Draw a quiz: `count` questions for each number, taken in turn from the exercises."""
    pools: dict[int, list[list[Posed]]] = {number: [] for number in numbers}
    for notebook in notebooks:
        given: list[list[Posed]] = asked_of(
            notebook, "labkit.view.quiz", "posed(setting", numbers, system
        )
        for number, pool in zip(numbers, given, strict=True):
            if not pool:
                raise LabkitError(sentence("quiz", "nothing-to-ask", page=title_of(notebook)))
            pools[number].append(pool)
    drawn = {number: drawn_for(number, pool, count) for number, pool in pools.items()}
    looks = looks_for(system)
    return Quiz(
        sheets=_page([_sheet(*one) for one in drawn.items()], looks),
        key=_page([_key(drawn)], looks),
        screen=_screen(drawn[numbers[0]]),
    )


def posed(setting: Setting, numbers: Sequence[int], system: str) -> list[list[Posed]]:
    """Return what an exercise asks each number; runs where the exercise does."""
    return [
        [
            {
                "page": setting.page,
                "story": f"<p>{inline_markup(render(drawn.story, system))}</p>",
                "name": name,
                "form": QuestionWidget(one, system).on_paper(),
                "ask": inline_markup(render(one.ask, system)),
                "choices": QuestionWidget(one, system).answer.choices(),
                "label": one.label if isinstance(one, NumberQuestion) else "",
                "right": right.replace("*", ""),
                "slips": slips,
            }
            for one in drawn.questions
            for name, right, slips in [answer_row(one, system)]
        ]
        for drawn in (setting.make(str(number)) for number in numbers)
    ]


def drawn_for(number: int, pools: Sequence[Sequence[Posed]], count: int) -> list[Posed]:
    """Return a number's questions: from each exercise in turn, in the order of the exercises."""
    available = sum(map(len, pools))
    if not 1 <= count <= available:
        raise LabkitError(sentence("quiz", "too-many", count=count, all=available))
    rng = random.Random(f"quiz {number}")  # noqa: S311 - the same number, the same sheet
    left = [rng.sample(range(len(pool)), len(pool)) for pool in pools]
    start = rng.randrange(len(pools))  # so that not everybody's odd question is the first page's
    taken: list[tuple[int, int]] = []
    for place in cycle([*range(start, len(pools)), *range(start)]):
        if len(taken) == count:
            break
        if left[place]:
            taken.append((place, left[place].pop()))
    return [pools[place][question] for place, question in sorted(taken)]


def _told(words: str, **values: str | float) -> str:
    return html.escape(sentence("quiz", words, **values))


def _page(parts: Sequence[str], looks: str) -> str:
    cells = [[nbformat.v4.new_markdown_cell(part)] for part in parts]
    pages = [nbformat.v4.new_notebook(cells=one) for one in cells]
    return written(pages, sentence("quiz", "title"), looks=looks)


def _sheet(number: int, questions: Sequence[Posed]) -> str:
    """Return one number's sheet: the lines in words, and under each its questions."""
    parts = [f"<h1>{_told('title')} · {_told('number', number=number)}</h1><p>{_told('name')}</p>"]
    first = 1
    for story, group in groupby(questions, key=lambda one: one["story"]):
        asked = list(group)
        last = first + len(asked) - 1
        head = _told("story" if last > first else "story-one", first=first, last=last)
        parts.append(f"<h2>{head}</h2>{story}")
        parts += [
            one["form"].replace("<p>", f"<p><b>{place}.</b> ", 1)
            for place, one in enumerate(asked, start=first)
        ]
        first = last + 1
    return "".join(parts)


def _key(drawn: dict[int, list[Posed]]) -> str:
    """Return what is right on each number's sheet."""
    heads = ("#", *(WORDS[f"plan {name}"] for name in ("question", "right", "wrong")))
    parts = [f"<h1>{_told('key')}</h1><p><b>{_told('caution')}</b></p>"]
    for number, questions in drawn.items():
        rows = tuple(
            (str(place), f"{one['page']}: {one['name']}", one["right"], one["slips"])
            for place, one in enumerate(questions, start=1)
        )
        title = sentence("quiz", "number", number=number)
        parts.append(Rows(title=title, headers=heads, cells=rows).html())
    return "".join(parts)


def _screen(questions: Sequence[Posed]) -> str:
    """Return the questions one at a time, in letters that the last row reads."""
    slides = [
        f"<section hidden><h1>{_told('question', number=place, all=len(questions))}</h1>"
        f'<div class="story">{one["story"]}</div><p><b>{one["ask"]}</b></p>'
        + (list_html(one["choices"], is_numbered=True) if one["choices"] else "")
        + f'<div class="answer" hidden><b>{_told("answer")}:</b> {html.escape(one["right"])}</div>'
        "</section>"
        for place, one in enumerate(questions, start=1)
    ]
    caution = (
        f"<section><h1>{_told('title')}</h1>"
        f'<p class="caution">{_told("caution-screen")}</p></section>'
    )
    buttons = "".join(
        f'<button id="{name}" type="button">{_told(name)}</button>'
        for name in ("back", "show", "next")
    )
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f"<title>{_told('title')}</title><style>{_SLIDES}</style></head><body><main>{caution}{''.join(slides)}</main>"
        f"<nav>{buttons}</nav><script>{_TURN}</script></body></html>"
    )
