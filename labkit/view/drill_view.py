"""The page of a drill: a call, tests with their price in minutes, a notebook, a diagnosis."""

import html
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override

from labkit.drills import TASKS, Drill, Marking, Settling, draw_drill
from labkit.errors import LabkitError
from labkit.questions import learner_number
from labkit.view.asking import LOOKS, on_enter
from labkit.view.drill_sheet import drill_sheet
from labkit.view.drill_words import (
    bill_lines,
    called_out,
    marked_words,
    read_out,
    record_table,
    settled_lines,
    task_label,
)
from labkit.view.language import say_clock
from labkit.view.page import paragraph
from labkit.view.printed import Printed
from labkit.view.style import BLUE, GREEN, VERMILION
from labkit.view.suspects import SUSPECTS_LOOK, Suspects
from labkit.view.words import WORDS
from labkit.view.worked import Worked, edged, sentence_of, units_choice

if TYPE_CHECKING:
    from labkit.site import Site

_TABLE: Final = """
.labkit-drill caption { text-align: left; }
.labkit-drill table { border-collapse: collapse; max-width: 52em; }
.labkit-drill th, .labkit-drill td { text-align: left; vertical-align: top; padding: 3px 10px 3px 0;
  line-height: 1.4; white-space: normal; }
.labkit-drill td:first-child { white-space: nowrap; }
.labkit-drill button { height: auto; min-height: 30px; white-space: normal; text-align: left;
  line-height: 1.3; padding: 4px 10px; }
"""


class DrillPage(Worked):
    """The widgets of a drill; made with `drill`.

    Attributes
    ----------
    site : Site or str
        The sound line, or the name of a demo ranch.
    drill : Drill or None
        The drill as it stands; none before a number is given.
    number, faults, come, note : Text, ToggleButtons, Button, HTML
        Where the learner's number goes, how many faults, the button that deals, and why it waits.
    tasks : dict
        The buttons of the tests, by (task, trough).
    suspects : Suspects or None
        The diagnosis.
    give, tell : Button
        Marks the diagnosis; shows the solution.
    status, said : HTML
        The last reading; the marking. Both are read out as they change.
    """

    def __init__(self, site: "Site | str", *, faults: int = 1, system: str = "US") -> None:
        self.site, self.system = site, system
        self.drill: Drill | None = None
        self.marking: Marking | None = None
        self._settling: Settling | None = None
        self._problem = ""
        self.tasks: dict[tuple[str, str], Any] = {}
        self.suspects: Suspects | None = None
        wide = {"description_width": "initial"}
        self.number = W.Text(
            description=WORDS["drill number"], style=wide, layout=W.Layout(width="16em")
        )
        self.faults = W.ToggleButtons(
            options=[(WORDS["one fault"], 1), (WORDS["two faults"], 2)],
            value=faults,
            description=WORDS["drill faults"],
            style={"button_width": "60px", "description_width": "4em"},
        )
        self.come = self.button(WORDS["drill deal"], self.start)
        self.units, self.note = units_choice(system), W.HTML()
        self.story, self.status, self.log, self.said = (W.HTML() for _ in range(4))
        for line in (self.status, self.said):
            line.add_class("labkit-status")
        self.board, self.answer = W.Box([]), W.VBox([])
        self.board.layout = W.Layout(flex_flow="row wrap", max_width="60em")
        self.give = self.button(WORDS["drill mark"], self.mark)
        self.tell = self.button(WORDS["drill tell"], self.show)
        self.box = self._laid_out()
        on_enter(self.number, self.start)
        self.units.observe(lambda change: self.use(str(change["new"])), "value")
        self.faults.observe(self._on_faults, "value")

    @override
    def start(self) -> None:
        """Draw the drill of the number in the box."""
        self.status.value = paragraph(WORDS["drill wait"])
        try:
            number = learner_number(self.number.value)
            self.drill = draw_drill(self.site, number, faults=int(self.faults.value))
        except LabkitError as error:  # a case that is open stays open
            self._problem = sentence_of(error)
        else:
            self._problem, self.marking, self._settling = "", None, None
            self._deal_out(self.drill)
            self._on_faults(None)
        self.use(self.system)

    def do(self, key: str, where: str = "") -> None:
        """Do a test, and write down what is read."""
        if self.drill is None:
            return
        try:
            self.drill, self._problem = self.drill.tried(key, where), ""
        except LabkitError as error:
            self._problem = sentence_of(error)
        self.use(self.system)

    def _on_faults(self, _change: object) -> None:
        """Say that how many faults counts for the next call, while one is open."""
        drill = self.drill
        is_other = drill is not None and len(drill.hidden) != int(self.faults.value)
        self.note.value = paragraph(WORDS["drill next faults"]) if is_other else ""

    def mark(self) -> None:
        """Mark the diagnosis as it stands."""
        if self.drill is None or self.suspects is None:
            return
        self.said.value = paragraph(WORDS["drill wait"])
        try:
            self.drill, self.marking = self.drill.acted_on(self.suspects.diagnosis)
        except LabkitError as error:
            self.marking = None
            self.said.value = edged(BLUE, f"? {sentence_of(error)}")
            return
        self._settling = None
        self.use(self.system)
        if self.marking.is_right:
            self.said.value += paragraph(WORDS["drill wait shortest"])
            self._settling = self.drill.settled()
            self.use(self.system)

    def show(self) -> None:
        """Show what was wrong, and what would have shown it fastest."""
        if self.drill is None:
            return
        self.said.value = paragraph(WORDS["drill wait"])
        self._settling = self.drill.settled()
        self.use(self.system)

    def use(self, system: str) -> None:
        """Write everything in the units of a system."""
        self.system = system
        drill = self.drill
        is_there = drill is not None
        for part in (self.board, self.answer):
            part.layout.display = "" if is_there else "none"
        if drill is None:
            self.story.value = self.log.value = self.said.value = ""
            self.status.value = paragraph(self._problem) if self._problem else ""
            return
        for (key, where), button in self.tasks.items():
            button.description = WORDS["drill task"].format(
                task=task_label(key, where, system), minutes=f"{TASKS[key].minutes:g}"
            )
        calls = "".join(f"<li>{html.escape(words)}</li>" for words in drill.complaints)
        self.story.value = (
            f"<p>{html.escape(called_out(drill, system))}</p>"
            f"<p><b>{html.escape(WORDS['drill call'])}</b></p><ul>{calls}</ul>"
            f"{record_table(drill.site, system)}"
        )
        self.status.value = paragraph(self._problem or self._last(drill))
        self.log.value = self._notebook(drill)
        self.said.value = "".join(self._verdict(drill))

    def _last(self, drill: Drill) -> str:
        """Say the last reading, the time and the minutes."""
        clock = say_clock(drill.clock, self.system)
        spent = WORDS["drill clock"].format(clock=clock, minutes=f"{drill.minutes:g}")
        if not drill.log:
            return f"{spent} {WORDS['drill empty']}"
        last = drill.log[-1]
        return f"{read_out(last.key, last.values, self.system)} {spent}"

    def _notebook(self, drill: Drill) -> str:
        """Write the readings as a table."""
        arrived = drill.clock - 60.0 * drill.minutes
        rows = "".join(
            f"<tr><td>{say_clock(arrived + 60.0 * entry.minutes, self.system)}</td>"
            f"<td>{html.escape(task_label(entry.key, entry.where, self.system))}</td>"
            f"<td>{html.escape(read_out(entry.key, entry.values, self.system))}</td></tr>"
            for entry in drill.log
        )
        heads = "".join(
            f'<th scope="col">{html.escape(WORDS[key])}</th>'
            for key in ("drill when", "drill done", "drill read")
        )
        caption = f"<caption><b>{html.escape(WORDS['drill log'])}</b></caption>"
        return f"<table>{caption}<tr>{heads}</tr>{rows}</table>" if rows else ""

    def _verdict(self, drill: Drill) -> Sequence[str]:
        """Write the marking, and what would have settled it once that may be told."""
        said = []
        if self.marking is not None:
            is_right = self.marking.is_right
            name, sign = (
                ("right", "\N{CHECK MARK}") if is_right else ("not yet", "\N{RIGHTWARDS ARROW}")
            )
            words = f"{sign} {WORDS[name]} {marked_words(drill, self.marking, self.system)}"
            said.append(edged(GREEN if is_right else VERMILION, words))
        if drill.wrong:
            said.append(paragraph(" ".join(bill_lines(drill, is_right=not self._is_wrong()))))
        if self._settling is not None:
            lines = settled_lines(drill, self._settling, self.system)
            said += [paragraph(line) for line in lines]
        return said

    def _is_wrong(self) -> bool:
        """Whether the diagnosis marked last was wrong."""
        return self.marking is not None and not self.marking.is_right

    def _deal_out(self, drill: Drill) -> None:
        """Put buttons for what can be done, and the list of suspects."""
        self.tasks = {
            (key, where): self.button("", partial(self.do, key, where))
            for key, where in drill.choices
        }
        self.board.children = list(self.tasks.values())
        self.suspects = Suspects(drill)
        buttons = W.HBox([self.give, self.tell], layout=W.Layout(flex_flow="row wrap"))
        self.answer.children = [self.suspects.box, buttons]

    def _laid_out(self) -> Any:
        row = W.Layout(flex_flow="row wrap", align_items="center")
        asked = W.HBox([self.number, self.faults, self.come, self.units], layout=row)
        looks = W.HTML(f"<style>{LOOKS}{_TABLE}{SUSPECTS_LOOK}</style>", layout={"display": "none"})
        parts = [self.note, asked, self.story, self.board, self.status, self.log, self.answer]
        box = Printed(
            [*parts, self.said, looks],
            on_paper=lambda: drill_sheet(self.site, self.system, self.drill),
        )
        box.add_class("labkit-drill")
        self.story.add_class("labkit-story")
        for part in (self.board, self.answer):
            part.layout.display = "none"
        return box


def drill(
    site: "Site | str" = "one_trough_uphill",
    number: int | str | None = None,
    *,
    faults: int = 1,
    units: str = "US",
) -> DrillPage:
    """Give the page of a drill, for a notebook.

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
