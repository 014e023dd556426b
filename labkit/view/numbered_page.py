"""A page that begins with a learner's own number: the drill, the rig, an exercise."""

import json
from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.errors import LabkitError
from labkit.figures.style import VERMILION
from labkit.questions.progress import Plain
from labkit.text.shared import WORDS
from labkit.view.keeping import ProgressStore, in_pieces, together
from labkit.view.page import paragraph
from labkit.view.widgets import (
    WIDE,
    Displayed,
    button,
    edged,
    on_enter,
    safely,
    status,
    units_choice,
)


class NumberedPage(Displayed):
    """A page that begins with a learner's own number, with buttons that may fail."""

    part = ""  # what an open visit goes by in the learner's file

    def __init__(self, system: str, *, asks: str, starts: str) -> None:
        self.system, self.units = system, units_choice(system)
        self.keeper = ProgressStore("")
        self.number = W.Text(description=asks, style=WIDE, layout=W.Layout(width="16em"))
        self.start_button = self.button(starts, self.start)
        self.note = W.HTML()  # why it cannot begin yet, if so
        self.status, self.said = status(), status()  # the last reading; a failure, among others
        on_enter(self.number, self.start)
        self.units.observe(lambda change: self.use(str(change["new"])), "value")

    def follow(self, units: Any) -> None:
        """Go with a page's own choice of units; one choice on a page is enough."""
        W.link((units, "value"), (self.units, "value"))
        self.units.layout.display = "none"

    def come_back(self, keeper: ProgressStore) -> None:
        """Keep what is done here from now on, and take up what was open on the last visit.

        What an older labkit drew otherwise is not taken up: it can be begun anew.
        """
        self.keeper, left = keeper, keeper.state(self.part)
        if "number" not in left:
            return
        try:
            go_on = self.take_up(left, json.loads(together(left, "acts")))
        except (LabkitError, ValueError, KeyError, TypeError):
            return
        go_on()

    def take_up(self, left: Mapping[str, Plain], acts: Any) -> Callable[[], None]:
        """Read what was open on the last visit and what was done; return what goes on with it."""
        raise NotImplementedError

    def keep(self, acts: Any, **told: Plain) -> None:
        """Keep what is open, and what was done, so that a reload brings it back."""
        self.keeper.leave(self.part, told | in_pieces(json.dumps(acts), "acts"))

    def start(self) -> None:
        """Begin with the number in the box."""
        raise NotImplementedError

    def use(self, system: str) -> None:
        """Write everything in the units of a system."""
        raise NotImplementedError

    def begin(self, number: int | str) -> None:
        """Begin with a learner's number."""
        self.number.value = str(number)
        self.start()

    def lock(self, *, locked: bool) -> None:
        """Hold the beginning back until the predictions are made, and say so."""
        self.number.disabled = self.start_button.disabled = locked
        self.note.value = paragraph(WORDS["page locked"]) if locked else ""

    def button(self, words: str, act: Callable[[], None]) -> Any:
        """Make a button as wide as its words."""

        def warn(problem: str) -> None:
            self.said.value = edged(VERMILION, problem)

        return button(words, lambda: safely(act, warn), margin="3px")
