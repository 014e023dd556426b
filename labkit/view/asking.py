"""The widgets of a question: where the answer goes, the button, and what is said to it."""

import datetime as dt
import html
from collections.abc import Callable, Sequence
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import HTML, DisplayObject, Markdown
from typing_extensions import override

from labkit.errors import UnitError
from labkit.figures.style import BLUE, GREEN, VERMILION
from labkit.pages.looks import look
from labkit.questions import (
    Amount,
    ChoiceQuestion,
    MarkResult,
    Outcome,
    Question,
    mark_choice,
    mark_number,
)
from labkit.questions.bank import called
from labkit.questions.marking import letter, read_number, unread
from labkit.questions.progress import Given
from labkit.text.shared import WORDS
from labkit.view.paper import because, comparison_form, question_form
from labkit.view.telling import format_amount, inline_markup, render
from labkit.view.widgets import WIDE, Displayed, PrintableBox, button, on_enter, status, styled

LOOKS: Final = look("asking.css")
DONE: Final = "labkit-done"
"""Class of a question that is answered, which the page's header counts."""

_EDGES: Final = {
    Outcome.RIGHT: (GREEN, "\N{CHECK MARK} ", "right"),
    Outcome.NOT_YET: (VERMILION, "\N{RIGHTWARDS ARROW} ", "not yet"),
    Outcome.UNREAD: (BLUE, "? ", "unread"),
}


class AnswerInput:
    """Where an answer is given: a box for a number, or a list to choose from."""

    def __init__(self, question: Question, system: str) -> None:
        self.question, self._system = question, system
        if isinstance(question, ChoiceQuestion):
            self.entry: Any = W.RadioButtons(
                options=self._options(), value=None, layout=W.Layout(width="100%")
            )
        else:
            self.entry = W.Text(
                description=question.label,
                style=WIDE,
                layout=W.Layout(width="26em", max_width="100%"),
            )

    @property
    def value(self) -> Any:
        """What was given: a place in the list, or the text typed."""
        return self.entry.value

    def put(self, entry: str | int | None) -> bool:
        """Put back what was given on an earlier visit; return whether it still can be given."""
        if isinstance(self.question, ChoiceQuestion):
            if not isinstance(entry, int) or not 0 <= entry < len(self.question.options):
                return False
        elif not isinstance(entry, str):
            return False
        self.entry.value = entry
        return not self.problem()

    def use(self, system: str) -> None:
        """Write the options in the units of a system."""
        self._system = system
        if isinstance(self.question, ChoiceQuestion):
            kept = self.entry.value
            self.entry.options = self._options()
            self.entry.value = kept

    def words(self, system: str) -> str:
        """Say what was given."""
        if isinstance(self.question, ChoiceQuestion):
            return render(self.question.options[self.value].words, system)
        return str(self.value).strip()

    def mark(self, tries: int = 0) -> MarkResult:
        """Mark what was given, after so many tries."""
        if isinstance(self.question, ChoiceQuestion):
            return mark_choice(self.question, self.value)
        return mark_number(self.question, self.value, tries=tries)

    def problem(self) -> str:
        """Say why it cannot be read; empty if it can."""
        if isinstance(self.question, ChoiceQuestion):
            return "" if self.value is not None else render(self.mark().said, "US")
        try:
            read_number(self.value, self.question.kind)
        except UnitError as problem:
            return unread(problem, self.question.kind)
        return ""

    def choices(self) -> list[str]:
        """Return the sentences to choose from; none for a number."""
        if not isinstance(self.question, ChoiceQuestion):
            return []
        return [render(option.words, self._system) for option in self.question.options]

    def _options(self) -> list[tuple[str, int]]:
        return [(f"{letter(place)}. {words}", place) for place, words in enumerate(self.choices())]


def day_words(day: dt.date) -> str:
    """Write a day as people say it: Nov 28; with the year where it is not this one."""
    year = f", {day.year}" if day.year != dt.datetime.now().astimezone().year else ""
    return f"{day:%b} {day.day}{year}"


class _Form(Displayed):
    """An answer, a button, and a line that speaks."""

    lines = 0  # on paper, to work a number out

    def __init__(self, question: Question, system: str, words: str, *, number: int = 0) -> None:
        self.question, self.system = question, system
        self._lead = f"<b>{number}.</b> " if number else ""
        self.answer = AnswerInput(question, system)
        self.button = button(words, self.press, align_self="flex-start")
        self.line, self.ask = status(), W.HTML()
        parts = [self.ask, self.answer.entry, self.button, self.line, styled(LOOKS)]
        self.box = PrintableBox(parts, on_paper=self.on_paper)
        self.box.add_class("labkit-asking")
        self._write(system)
        if isinstance(self.answer.entry, W.Text):
            on_enter(self.answer.entry, self.press)

    def press(self) -> None:
        """Do what the button does."""
        raise NotImplementedError

    def on_paper(self) -> str:
        """Return the question with its options to tick, or a line for the number; and room."""
        choices = self.answer.choices()
        label, lines = getattr(self.question, "label", ""), 0 if choices else self.lines
        after = self.after()
        return question_form(self.ask.value, choices, label=label, lines=lines, after=after)

    def after(self) -> str:
        """Return what stands under it on paper [HTML]."""
        return ""

    def _write(self, system: str) -> None:
        self.system = system
        self.ask.value = f"<p>{self._lead}{inline_markup(render(self.question.ask, system))}</p>"
        self.answer.use(system)

    def _say(self, outcome: Outcome | None, words: str, small: str = "") -> None:
        """Write what is said, after a mark and a first word for its outcome."""
        color, first = BLUE, ""
        if outcome is Outcome.RIGHT:
            self.box.add_class(DONE)
        if outcome is not None:
            color, sign, name = _EDGES[outcome]
            first = f"<b>{sign}{html.escape(WORDS[name])}</b> "
        rest = f'<br><span style="opacity:0.75">{html.escape(small)}</span>' if small else ""
        self.line.value = (
            f'<p style="border-left:4px solid {color};padding-left:8px">'
            f"{first}{inline_markup(words)}{rest}</p>"
        )


class QuestionWidget(_Form):
    """A question that is marked at once; `heard` is called after each marking."""

    lines = 2

    def __init__(
        self,
        question: Question,
        system: str,
        *,
        number: int = 0,
        heard: Callable[[], None] | None = None,
    ) -> None:
        self.marked: MarkResult | None = None
        self.tries, self._heard = 0, heard
        super().__init__(question, system, WORDS["check"], number=number)

    @override
    def press(self) -> None:
        """Mark the answer as it stands, and say so."""
        self.marked = self.answer.mark(self.tries)
        self.tries += self.marked.outcome is Outcome.NOT_YET
        self.use(self.system)
        if self._heard is not None:
            self._heard()

    def recall(self, before: Given) -> None:
        """Put back what was answered on an earlier visit, and say how that was marked."""
        self.answer.put(before.entry)
        self.tries = before.wrong
        is_right = before.outcome == Outcome.RIGHT.value
        words = WORDS["recalled" if is_right else "recalled wrong"]
        said = words.format(answer=before.given.rstrip("."), day=day_words(before.date))
        self._say(Outcome.RIGHT if is_right else None, said)

    def use(self, system: str) -> None:
        """Say the last marking in the units of a system."""
        if system != self.system:
            self._write(system)
        if self.marked is not None:
            said, checked = (render(one, system) for one in (self.marked.said, self.marked.checked))
            self._say(self.marked.outcome, said, checked)


class PredictionWidget(_Form):
    """A question that is answered before the run, and kept."""

    def __init__(self, question: Question, system: str, *, heard: Callable[[], None]) -> None:
        self.is_kept, self._heard = False, heard
        self._day = ""
        super().__init__(question, system, WORDS["keep"])

    @override
    def after(self) -> str:
        return because(lines=3)

    @override
    def press(self) -> None:
        """Keep the answer, if it can be read."""
        if self.is_kept:
            return
        problem = self.answer.problem()
        if problem:
            self._say(Outcome.UNREAD, problem)
            return
        self._settle()
        self._heard()

    def restore(self, before: Given) -> None:
        """Take up the prediction of an earlier visit, if it can still be made."""
        if before.outcome == "predicted" and self.answer.put(before.entry):
            self._day = day_words(before.date)
            self._settle()

    def _settle(self) -> None:
        self.is_kept = True
        self.answer.entry.disabled = self.button.disabled = True
        self.use(self.system)

    @property
    def agrees(self) -> bool:
        """Whether the answer is what the run showed."""
        return self.answer.mark().is_right

    def said(self, system: str) -> str:
        """Return the kept answer in words."""
        return self.answer.words(system) if self.is_kept else ""

    def use(self, system: str) -> None:
        """Write it in the units of a system."""
        if system != self.system:
            self._write(system)
        if self.is_kept:
            words = WORDS["predicted before" if self._day else "predicted"]
            answer = self.answer.words(system).rstrip(".")
            self._say(None, words.format(answer=answer, day=self._day))
            self.box.add_class(DONE)


def compared(made: Sequence[PredictionWidget], system: str, *, on_paper: bool) -> DisplayObject:
    """Hold predictions against the runs; one that is not kept yet keeps its outcome back.

    On paper they are written by hand: then all outcomes are there.
    """
    if on_paper:
        told = [(one.question.name, outcome(one.question, system)) for one in made]
        return HTML(comparison_form(told))  # type: ignore[no-untyped-call]
    rows = [f"| | {WORDS['you said']} | {WORDS['run showed']} | |", "|:--|:--|:--|:--|"]
    for one in made:
        name = called(one.question.name).capitalize()
        said = one.said(system) or WORDS["no prediction"]
        showed = outcome(one.question, system) if one.is_kept else WORDS["not shown"]
        agreed = WORDS["same" if said == showed else "near"]
        verdict = (agreed if one.agrees else WORDS["differs"]) if one.is_kept else ""
        rows.append(f"| **{name}** | {said} | {showed} | {verdict} |")
    if not all(one.is_kept for one in made):
        rows += ["", WORDS["explanation waits"]]
    return Markdown("\n".join(rows))  # type: ignore[no-untyped-call]


def outcome(question: Question, system: str) -> str:
    """Say in words what a run answered to a question."""
    if isinstance(question, ChoiceQuestion):
        return render(question.options[question.answer].words, system)
    return format_amount(Amount(question.answer, question.kind), system)
