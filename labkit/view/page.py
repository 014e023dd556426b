"""The widgets of a bench that are the same for every bench, and where they stand."""

import html
from collections.abc import Callable
from math import floor, nan
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.view.printed import Printed
from labkit.view.sliders import LABEL_WIDTH
from labkit.view.style import VERMILION
from labkit.view.words import WORDS
from labkit.view.worked import units_choice

NARROW: Final = """
.labkit-bench .widget-label { white-space: normal; }
@media (max-width: 640px) {
  .labkit-bench .widget-hslider { flex-wrap: wrap; height: auto; }
  .labkit-bench .widget-hslider .widget-label { width: 100% !important; text-align: left; }
  .labkit-bench .labkit-setting { flex-wrap: wrap; }
}
"""
"""On a narrow screen the label of a slider stands above it, so that the slider keeps its width."""

_SAME: Final = 1e-6
"""Moments so near each other are one [min]."""


class Page:
    """Question, sliders, units and reset, status line, picture, and the slider for the moment.

    Attributes
    ----------
    units : ToggleButtons
        Whose units: ``"US"`` or ``"metric"``.
    reset : Button
        Sends everything back to the start.
    status : HTML
        The sentence about the run, or the problem.
    view : HTML
        The picture.
    beneath : HTML
        Words under the picture, where it does not show all.
    moment : FloatSlider
        Where the cursor stands [min from the start].
    box : VBox
        All of it.
    """

    def __init__(
        self, rows: list[Any], *, question: str, system: str, on_paper: Callable[[], str]
    ) -> None:
        self.units = units_choice(system)
        self.reset = W.Button(description=WORDS["reset"], layout=W.Layout(width="100px"))
        self.status, self.view, self.beneath = W.HTML(), W.HTML(), W.HTML()
        self.status.add_class("labkit-status")
        self.moment = W.FloatSlider(
            description=WORDS["moment slider"],
            min=0.0,
            max=1.0,
            readout_format=".1f",
            style={"description_width": LABEL_WIDTH},
            layout=W.Layout(width="100%", max_width="780px"),
        )
        self._answer = nan
        row = W.Layout(flex_flow="row wrap", align_items="flex-end")
        buttons = W.HBox([self.units, self.reset], layout=row)
        asking = paragraph(question, bold=True) if question else ""
        asked = [W.HTML(asking)] if question else []
        self._note, looks = W.HTML(), W.HTML(f"<style>{NARROW}</style>", layout={"display": "none"})
        self.box = Printed(
            [
                *[*asked, self._note, *rows, buttons],
                *[self.status, self.view, self.beneath, self.moment, looks],
            ],
            on_paper=lambda: f'<div class="labkit-leads">{asking}</div>{on_paper()}',
        )
        self.box.add_class("labkit-bench")

    def say(self, words: str, *, beneath: str = "") -> None:
        """Write a sentence in the status line, and what else is to be said under the picture."""
        self.status.value = paragraph(words)
        self.beneath.value = paragraph(beneath, bold=True) if beneath else ""

    def warn(self, words: str) -> None:
        """Write a problem in the status line, told apart by its mark, its frame and its role."""
        style = f"border-left:4px solid {VERMILION};padding-left:8px"
        self.status.value = (
            f'<p role="alert" class="labkit-problem" style="{style}">'
            f"<b>\N{WARNING SIGN} {html.escape(words)}</b></p>"
        )

    def lock(self, *, locked: bool) -> None:
        """Hold the reset until a prediction is made, and say so."""
        self.reset.disabled = locked
        self._note.value = paragraph(WORDS["locked"]) if locked else ""

    def place_moment(self, minute: float, *, last: float) -> None:
        """Let the moment's slider span a run [min] and stand at a moment."""
        if self.moment.max != last:
            self.moment.value = 0.0  # from elsewhere the browser rounds, and answers the new end
            self.moment.max = last
            self.moment.step = last / 240.0
        step = self.moment.step
        self._answer = step * floor(minute / step + 0.5)  # the browser's: halfway goes up
        self.moment.value = minute

    def is_moved(self, minute: float) -> bool:
        """Say whether a person moved the moment there [min]; the browser rounds it to a step."""
        if abs(minute - self._answer) < _SAME:
            return False
        self._answer = nan
        return True

    def close(self) -> None:
        """Take everything off the page."""
        for widget in (self.moment, self.units):
            widget.unobserve_all()
        self.box.close()


def paragraph(words: str, *, bold: bool = False) -> str:
    """Give words as a paragraph of HTML."""
    inside = html.escape(words)
    return f"<p><b>{inside}</b></p>" if bold else f"<p>{inside}</p>"
