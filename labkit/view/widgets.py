"""What pages have in common: rows, buttons that may fail, lines that are read out, units."""

import html
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import display

from labkit.errors import LabkitError
from labkit.figures.style import VERMILION
from labkit.text.shared import WORDS

if TYPE_CHECKING:
    from labkit.view.keeping import ProgressStore

WIDE: Final = {"description_width": "initial"}
"""The style of a widget whose label is as wide as its words."""


class Displayed:
    """Something that shows itself as the result of a cell."""

    box: Any

    def _ipython_display_(self) -> None:
        display(self.box)  # type: ignore[no-untyped-call]


class NumberedPage(Displayed):
    """A page that begins with a learner's own number, with buttons that may fail."""

    units: Any  # whose units
    said: Any  # where a failure is said
    # where the learner's number goes, and the button that begins
    number: Any
    start_button: Any
    note: Any  # why it cannot begin yet, if so

    def follow(self, units: Any) -> None:
        """Go with a page's own choice of units; one choice on a page is enough."""
        W.link((units, "value"), (self.units, "value"))
        self.units.layout.display = "none"

    def come_back(self, keeper: "ProgressStore") -> None:
        """Keep what is done here from now on, and take up what was open on the last visit."""

    def start(self) -> None:
        """Begin with the number in the box."""
        raise NotImplementedError

    def begin(self, number: int | str) -> None:
        """Begin with a learner's number."""
        self.number.value = str(number)
        self.start()

    def lock(self, *, locked: bool) -> None:
        """Hold the beginning back until the predictions are made, and say so."""
        self.number.disabled = self.start_button.disabled = locked
        self.note.value = f"<p>{html.escape(WORDS['page locked'])}</p>" if locked else ""

    def button(self, words: str, act: Callable[[], None]) -> Any:
        """Make a button as wide as its words."""
        return button(words, lambda: safely(act, self._warn), margin="3px")

    def _warn(self, words: str) -> None:
        self.said.value = edged(VERMILION, words)


def button(words: str, act: Callable[[], None], **layout: str) -> Any:
    """Make a button as wide as its words."""
    made = W.Button(description=words, layout=W.Layout(width="auto", max_width="100%", **layout))
    made.on_click(lambda _: act())
    return made


def safely(
    act: Callable[[], None],
    say: Callable[[str], None],
    *,
    refused: Callable[[Exception], str] | None = None,
    unexpected: str = "",
) -> None:
    """Do something, and say so if it fails: an error of a callback would reach no reader.

    `refused` makes words of an error that says what to do, and `unexpected` stand for any other.
    """
    try:
        act()
    except LabkitError as problem:
        say((refused or sentence_of)(problem))
    except Exception as problem:  # noqa: BLE001
        words = (unexpected or WORDS["unexpected"]).format(what=type(problem).__name__)
        say(f"{words[:1].upper()}{words[1:]}")


def row(*parts: Any) -> Any:
    """Put widgets side by side, and under each other where there is no room."""
    return W.HBox(parts, layout=W.Layout(flex_flow="row wrap", align_items="center"))


def status() -> Any:
    """Make a line that is read out as it changes."""
    return W.HTML().add_class("labkit-status")


def styled(*sheets: str) -> Any:
    """Bring style sheets onto a page."""
    return W.HTML(f"<style>{''.join(sheets)}</style>", layout={"display": "none"})


def units_choice(system: str) -> Any:
    """Make the choice between US and metric units."""
    return W.ToggleButtons(
        options=[(WORDS["US"], "US"), (WORDS["metric"], "metric")],
        value=system,
        description=WORDS["units"],
        style={"button_width": "70px", "description_width": "4em"},
    )


def sentence_of(error: Exception) -> str:
    """Write what an error says as a sentence."""
    said = [line.rstrip(".") for line in str(error).split("\n")]
    return " ".join(f"{line[:1].upper()}{line[1:]}." for line in said)


def edged(color: str, words: str, *, bold: bool = False) -> str:
    """Write words with an edge of a color beside them."""
    style = f"border-left:4px solid {color};padding-left:8px"
    inside = html.escape(words)
    return f'<p style="{style}">{f"<b>{inside}</b>" if bold else inside}</p>'
