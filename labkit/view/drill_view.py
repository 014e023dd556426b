"""The page of a drill: a call, tests with their price, a repair and its proof, a debrief."""

import html
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from threading import Thread
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override

from labkit.drills import PAR, TASKS, Debrief, Drill, choices, draw_drill, replayed, steps
from labkit.drills.family import family_line
from labkit.drills.mending import CYCLE, HINT
from labkit.errors import LabkitError
from labkit.faults import FAULTS, PARTS, part_name
from labkit.figures.style import BLUE, GREEN, VERMILION
from labkit.language import say_clock
from labkit.pages.looks import look
from labkit.questions import learner_number
from labkit.questions.progress import IN_A_ROW, SERVICE_CALL, Plain, Result, in_a_row
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.text import speaker
from labkit.text.shared import PAPER_WORDS
from labkit.view import drill_words, widgets
from labkit.view.asking import LOOKS, day_words
from labkit.view.keeping import ProgressStore
from labkit.view.mastery_sheet import sheet_link
from labkit.view.numbered_page import NumberedPage
from labkit.view.page import paragraph
from labkit.view.paper import LINE, table_form
from labkit.view.suspects import SUSPECTS_LOOK, Suspects
from labkit.view.tables import list_html, table_html

_LINES: Final = 2


def drill_sheet(site: Site | str, system: str, drill: Drill | None = None) -> str:
    """Return the sheet on which a case is worked; without a drill, with room for what is said."""
    words, line = PAPER_WORDS, demo_site(site) if isinstance(site, str) else site
    number = words["blank"] if drill is None else str(drill.number)
    tests = [
        ("", drill_words.task_label(key, where, system), f"{TASKS[key].minutes:g}", "")
        for key, where in choices(line)
    ]
    suspects = "".join(_part(part, line) for part in PARTS)
    heads = tuple(words[f"drill {key}"] for key in ("order", "test", "minutes", "read"))
    return (
        f'<div class="labkit-sheet"><h3>{html.escape(words["drill sheet"])}</h3>'
        f"{paragraph(words['drill whose'].format(number=number))}{_reported(drill, system)}"
        + table_form(words["drill tests"], heads, tests, widths=(5, 49, 6, 40))
        + f'<div class="labkit-paper">{paragraph(words["drill faults"], bold=True)}'
        f"{suspects}{paragraph(words['drill found'])}</div></div>"
    )


def _part(part: str, site: Site) -> str:
    """Write the suspects of a part of the line, each with a few words, as on the screen."""
    listed = "".join(
        f"<li>{html.escape(drill_words.suspect_words(key))}</li>"
        for key, fault in FAULTS.items()
        if fault.part == part and fault.fits(site)
    )
    head = paragraph(part_name(part), bold=True)
    return f'{head}<ul class="ticks">{listed}</ul>' if listed else ""


def _reported(drill: Drill | None, system: str) -> str:
    """Write the call, or give room for it."""
    head = paragraph(PAPER_WORDS["drill reported"], bold=True)
    if drill is None:
        return head + _LINES * LINE
    said = "".join(f"<li>{html.escape(one)}</li>" for one in drill.complaints)
    return f"{paragraph(drill_words.called_out(drill, system))}{head}<ul>{said}</ul>"


_say = speaker("drill")

_TABLE: Final = look("drill.css")

HERE, UNSEEN = "here", "unseen"
_UNSEEN: Final = 2
"""Keeps the fault of a number on its own ranch apart from that on the lesson's."""


class DrillPage(NumberedPage):
    """The widgets of a drill; made with `drill`."""

    part = "drill"

    def __init__(self, site: Site | str, *, faults: int = 1, system: str = "US") -> None:
        super().__init__(system, asks=_say("number"), starts=_say("deal"))
        self.site = site  # a ranch, or the name of a demo ranch
        self.drill: Drill | None = None  # none before a number is given
        self.debrief: Debrief | None = None
        self._problem = self._last_said = ""
        self._is_typed = self._is_told = False
        self._ahead: Thread | None = None
        self.tasks: dict[tuple[str, str], Any] = {}  # buttons of the tests, by (task, trough)
        self.suspects: Suspects | None = None
        self.firsts: dict[str, Any] = {}  # steps before a repair or the proof
        self.proofs: dict[str, Any] = {}  # to watch one full cycle, by trough
        lines = [(_say("line-here"), HERE), (_say("line-unseen"), UNSEEN)]
        self.line = widgets.toggles(_say("line"), lines)
        counts = [(_say("one"), 1), (_say("two"), 2)]
        self.faults = widgets.toggles(_say("faults"), counts, value=faults)
        self.story, self.log, self.calls = W.HTML(), W.HTML(), W.HTML()
        self.board, self.answer = W.VBox([]), W.VBox([])
        self.repair = self.button(_say("repair"), self.mend)
        self.hand = self.button(_say("hand-back"), self.hand_back)
        self.hint = self.button(_say("hint", minutes=f"{HINT:g}"), self.ask_hint)
        self.tell = self.button(_say("give-up"), self.show)
        self.box = self._laid_out()
        self.faults.observe(self._on_faults, "value")

    @override
    def start(self) -> None:
        """Draw the call of the number in the box."""
        self.status.value = paragraph(_say("wait"))
        if self.drill is not None and self.drill.acts and not self._is_done:
            self._finish(passed=False)  # it was worked on, and is left for another one
        try:
            number = learner_number(self.number.value)
            self.drill = self._drawn(number, str(self.line.value), int(self.faults.value))
        except LabkitError as error:  # a call that is open stays open
            self._problem = widgets.sentence_of(error)
        else:
            self._problem = self._last_said = ""
            self.debrief, self._ahead, self._is_typed, self._is_told = None, None, False, False
            self._deal_out(self.drill)
            self._on_faults(None)
            self._leave()
        self.use(self.system)

    def _drawn(self, number: int, line: str, faults: int) -> Drill:
        if line == UNSEEN:
            return draw_drill(family_line(number).site, number, faults=faults, apart=_UNSEEN)
        return draw_drill(self.site, number, faults=faults)

    @override
    def come_back(self, keeper: ProgressStore) -> None:
        super().come_back(keeper)
        self._show_calls()

    @override
    def take_up(self, left: Mapping[str, Plain], acts: Any) -> Callable[[], None]:
        number, line, faults = int(left["number"]), str(left["line"]), int(left["faults"])
        drill = replayed(self._drawn(number, line, faults), acts)
        is_typed, is_told = bool(left["typed"]), bool(left["told"])

        def go_on() -> None:
            self.drill, self._is_typed, self._is_told = drill, is_typed, is_told
            self.number.value, self.line.value, self.faults.value = str(number), line, faults
            self._deal_out(drill)
            self.use(self.system)
            if self._is_done:
                self._look_back()

        return go_on

    def _leave(self) -> None:
        drill = self.drill
        if drill is not None:
            self.keep(
                drill.acts, number=drill.number, line=self._line_of(drill),
                faults=len(drill.hidden), typed=self._is_typed, told=self._is_told,
            )  # fmt: skip

    def _line_of(self, drill: Drill) -> str:
        own = demo_site(self.site) if isinstance(self.site, str) else self.site
        return HERE if drill.site.title == own.title else UNSEEN

    @property
    def _is_done(self) -> bool:
        return self._is_told or (self.drill is not None and self.drill.is_over)

    def do(self, key: str, where: str = "") -> None:
        """Do a test, and write down what is read."""
        self._act(lambda drill: drill.tried(key, where))

    def prove(self, where: str) -> None:
        """Watch one full cycle, and write down what is read."""
        self._act(lambda drill: drill.proved(where, self._done_first()))

    def mend(self) -> None:
        """Repair what is chosen; the line itself shows whether it was that."""
        suspects = self.suspects
        if suspects is None:
            return
        if not suspects.diagnosis:
            self.said.value = widgets.edged(BLUE, f"? {_say('name-one')}")
            return
        self._is_typed = self._is_typed or suspects.is_typed
        given = suspects.diagnosis
        self._act(
            lambda drill: drill.repaired(given, self._done_first()), drill_words.repaired_words
        )
        if self.drill is not None and not self.drill.left and self._ahead is None:
            # the line is good: begin with its debrief while its proof is watched
            self._ahead = Thread(target=self.drill.settled, daemon=True)
            self._ahead.start()

    def hand_back(self) -> None:
        """Hand the line back: a debrief if it is good, a second trip if not."""
        self._act(lambda drill: drill.handed_back(), lambda _: drill_words.trip_words())
        if self.drill is not None and self.drill.is_over:
            self._look_back()
            if self.debrief is not None:
                self._finish(passed=not self.debrief.missed)

    def ask_hint(self) -> None:
        """Show a hint, at its price."""
        self.said.value = paragraph(_say("wait"))
        self._act(
            lambda drill: drill.hinted(), lambda drill: drill_words.hint_words(drill, self.system)
        )

    def show(self) -> None:
        """Show what was wrong, and what would have shown it fastest."""
        if self.drill is None or self._is_done:
            return
        self._is_told = True
        self._leave()
        self._look_back()
        self._finish(passed=False)

    def _act(
        self, act: Callable[[Drill], Drill], tell: Callable[[Drill], str] = lambda _: ""
    ) -> None:
        """Do something on the line, unless the call is over; say what came of it."""
        if self.drill is None or self._is_done:
            return
        try:
            self.drill, self._problem = act(self.drill), ""
            self._last_said = tell(self.drill)
        except LabkitError as error:
            self._problem = widgets.sentence_of(error)
            self.said.value = widgets.edged(BLUE, f"? {self._problem}")
        else:
            self._leave()
        self.use(self.system)

    def _done_first(self) -> list[str]:
        return [key for key, tick in self.firsts.items() if tick.value]

    def _look_back(self) -> None:
        """Work out the debrief, and write it."""
        if self.drill is None:
            return
        self.said.value = paragraph(_say("wait-debrief"))
        if self._ahead is not None:
            self._ahead.join()
            self._ahead = None
        self.debrief = self.drill.debriefed()
        self.use(self.system)

    def _finish(self, *, passed: bool) -> None:
        """Keep how a call came out."""
        drill = self.drill
        if drill is None:
            return
        figures: dict[str, Plain] = {
            "number": drill.number, "line": self._line_of(drill), "ranch": drill.site.title,
            "faults": len(drill.hidden), "minutes": drill.on_tests, "wrong": len(drill.wrong),
            "hints": drill.hints, "typed": self._is_typed,
        }  # fmt: skip
        self.keeper.finish(Result(task=SERVICE_CALL, passed=passed, figures=figures))
        self._show_calls()

    def _show_calls(self) -> None:
        """Write the calls so far, and how many in a row were found well."""
        results = [one for one in self.keeper.results() if one.task == SERVICE_CALL]
        if not results:
            self.calls.value = ""
            return
        count = in_a_row(results)
        said = _say("mastered" if count >= IN_A_ROW else "streak", count=count, all=IN_A_ROW)
        heads = (_say(f"calls-{key}") for key in ("when", "ranch", "number", "minutes", "result"))
        rows = [
            (
                day_words(one.date.date()),
                *(str(one.figures.get(name, "")) for name in ("ranch", "number")),
                f"{float(one.figures.get('minutes', 0.0)):g} / {PAR:g}",
                _say("result-passed" if one.passed else "result-missed"),
            )
            for one in reversed(results)
        ]
        table = table_html(heads, rows)
        self.calls.value = (
            f"{paragraph(said, bold=True)}"
            f"<details><summary>{html.escape(_say('calls'))}</summary>{table}</details>{sheet_link()}"
        )

    def _on_faults(self, _change: object) -> None:
        """Say that how many faults counts for the next call, while one is open."""
        drill = self.drill
        is_other = drill is not None and len(drill.hidden) != int(self.faults.value)
        self.note.value = paragraph(_say("next-faults")) if is_other else ""

    @override
    def use(self, system: str) -> None:
        self.system = system
        drill = self.drill
        widgets.show(drill is not None, self.board, self.answer)
        if drill is None:
            self.story.value = self.log.value = self.said.value = ""
            self.status.value = paragraph(self._problem) if self._problem else ""
            return
        for (key, where), button in self.tasks.items():
            button.description = _say(
                "task",
                task=drill_words.task_label(key, where, system),
                minutes=f"{TASKS[key].minutes:g}",
            )
        acting = (*self.tasks.values(), *self.proofs.values(), self.repair, self.hand, self.hint)
        for button in (*acting, self.tell):
            button.disabled = self._is_done
        self.story.value = (
            f"{paragraph(drill_words.called_out(drill, system))}"
            f"{paragraph(_say('call'), bold=True)}{list_html(drill.complaints)}"
            f"{drill_words.record_table(drill.site, system)}"
        )
        self.status.value = paragraph(self._problem or self._last(drill))
        self.log.value = self._notebook(drill)
        self.said.value = "".join(self._verdict(drill))

    def _last(self, drill: Drill) -> str:
        """Say the last reading, the time and the minutes."""
        clock = say_clock(drill.clock, self.system)
        spent = _say("clock", clock=clock, minutes=f"{drill.minutes:g}")
        if not drill.log:
            return f"{spent} {_say('empty')}"
        last = drill.log[-1]
        return f"{drill_words.read_out(last.key, last.values, self.system)} {spent}"

    def _notebook(self, drill: Drill) -> str:
        rows = [
            (
                drill_words.say_at(drill, entry.minutes, self.system),
                drill_words.task_label(entry.key, entry.where, self.system),
                drill_words.read_out(entry.key, entry.values, self.system),
            )
            for entry in drill.log
        ]
        heads = map(_say, ("when", "done", "read"))
        return table_html(heads, rows, caption=_say("log")) if rows else ""

    def _verdict(self, drill: Drill) -> Sequence[str]:
        """Write what came of the last act, the bill, and the debrief once it may be told."""
        said = (
            [widgets.edged(BLUE, self._last_said)] if self._last_said and not self._is_done else []
        )
        if self.debrief is not None:
            first, *others = drill_words.outcome_lines(self.debrief)
            is_well = not self.debrief.missed
            mark = "\N{CHECK MARK}" if is_well else "\N{RIGHTWARDS ARROW}"
            said.append(widgets.edged(GREEN if is_well else VERMILION, f"{mark} {first}"))
            said += [paragraph(line) for line in others]
        if drill.wrong or drill.trips:
            said.append(paragraph(drill_words.bill_words(drill)))
        if self.debrief is not None:
            said.append(drill_words.tests_table(self.debrief, self.system))
            lines = drill_words.settled_lines(drill, self.debrief.settling, self.system)
            said += [paragraph(line) for line in lines]
        return said

    def _deal_out(self, drill: Drill) -> None:
        """Put buttons for what can be done, and the list of suspects."""
        self.tasks = {
            (key, where): self.button("", partial(self.do, key, where))
            for key, where in drill.choices
        }
        groups = {"": _say("group-wellhead")} | {
            trough.name: _say("group-trough", where=trough.name) for trough in drill.site.troughs
        }
        self.board.children = [
            part
            for place, words in groups.items()
            for part in (
                W.HTML(paragraph(words, bold=True)),
                _row([button for (_, at), button in self.tasks.items() if at == place]),
            )
        ]
        self.suspects = Suspects(drill)
        self.firsts = {
            key: W.Checkbox(description=drill_words.step_words(key), indent=False)
            for key in steps(drill.site)
        }
        ticks = W.VBox(list(self.firsts.values()))
        ticks.add_class("labkit-steps")
        self.proofs = {
            trough.name: self.button(
                _say("prove", where=trough.name, minutes=f"{CYCLE.minutes:g}"),
                partial(self.prove, trough.name),
            )
            for trough in drill.site.troughs
        }
        first = f"{paragraph(_say('first'), bold=True)}{paragraph(_say('first-note'))}"
        self.answer.children = [
            self.suspects.box,
            W.HTML(first),
            ticks,
            _row([self.repair, *self.proofs.values(), self.hand]),
            _row([self.hint, self.tell]),
        ]

    def _laid_out(self) -> Any:
        asked = widgets.row(self.number, self.line, self.faults, self.start_button, self.units)
        looks = widgets.styled(LOOKS, _TABLE, SUSPECTS_LOOK)
        parts = [self.note, asked, self.story, self.board, self.status, self.log, self.answer]
        box = widgets.PrintableBox(
            [*parts, self.said, self.calls, looks],
            on_paper=lambda: drill_sheet(self.site, self.system, self.drill),
        )
        box.add_class("labkit-drill")
        self.story.add_class("labkit-story")
        widgets.show(None, self.board, self.answer)
        return box


def _row(buttons: list[Any]) -> Any:
    return W.Box(buttons, layout=W.Layout(flex_flow="row wrap", max_width="60em"))


def drill(
    site: Site | str = "one_trough_uphill",
    number: int | str | None = None,
    *,
    faults: int = 1,
    units: str = "US",
) -> DrillPage:
    """Return the page of a drill, for a notebook.

    Parameters
    ----------
    site : Site or str
        A sound line, or the name of a demo ranch.
    number : int or str, optional
        The learner's own number; left out, the page asks for it.
    faults : int
        How many faults are hidden, 1 or 2.
    units : {"US", "metric"}
        Whose units at first.
    """
    page = DrillPage(site, faults=faults, system=units)
    if number is not None:
        page.begin(number)
    return page
