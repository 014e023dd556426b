"""What pages have in common: the choice of units, errors as sentences, buttons that may fail."""

import html
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import display

from labkit.figures.style import VERMILION
from labkit.text.shared import WORDS

if TYPE_CHECKING:
    from labkit.view.keeping import Keeper


class Worked:
    """A page that begins with a learner's own number, with buttons that may fail.

    Attributes
    ----------
    units : ToggleButtons
        Whose units.
    said : HTML
        Where a failure is said.
    box : VBox
        All of it.
    number, come : Text, Button
        Where the learner's number goes, and the button that begins.
    note : HTML
        Why it cannot begin yet, if so.
    """

    units: Any
    said: Any
    box: Any
    number: Any
    come: Any
    note: Any

    def follow(self, units: Any) -> None:
        """Go with a page's own choice of units; one choice on a page is enough."""
        W.link((units, "value"), (self.units, "value"))
        self.units.layout.display = "none"

    def come_back(self, keeper: "Keeper") -> None:
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
        self.number.disabled = self.come.disabled = locked
        self.note.value = f"<p>{html.escape(WORDS['page locked'])}</p>" if locked else ""

    def button(self, words: str, act: Callable[[], None]) -> Any:
        """Make a button as wide as its words."""
        button = W.Button(description=words, layout=W.Layout(width="auto", margin="3px"))
        button.on_click(lambda _: self._safely(act))
        return button

    def _safely(self, act: Callable[[], None]) -> None:
        """Do something, and say so if it fails: an error of a callback would reach no learner."""
        try:
            act()
        except Exception as error:  # noqa: BLE001
            words = WORDS["unexpected"].format(what=type(error).__name__)
            self.said.value = edged(VERMILION, f"{words[:1].upper()}{words[1:]}")

    def _ipython_display_(self) -> None:
        display(self.box)  # type: ignore[no-untyped-call]


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


def edged(color: str, words: str) -> str:
    """Write words with an edge of a color beside them."""
    style = f"border-left:4px solid {color};padding-left:8px"
    return f'<p style="{style}">{html.escape(words)}</p>'
