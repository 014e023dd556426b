"""What pages have in common: rows, buttons that may fail, lines that are read out, units."""

import html
from collections.abc import Callable, Iterable
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import display
from typing_extensions import override

from labkit.errors import LabkitError
from labkit.text.shared import WORDS


class PrintableBox(W.VBox):  # type: ignore[misc]  # widgets have no types
    """A box of widgets, and the HTML that stands in its place on paper.

    The HTML is not made while it `is_screen_only`, with nobody asking for paper.
    """

    def __init__(self, children: list[Any], *, on_paper: Callable[[], str]) -> None:
        super().__init__(children)
        self._on_paper, self.is_screen_only = on_paper, False

    @override
    def _repr_mimebundle_(self, **options: Any) -> dict[str, Any]:
        """Return the live view, and the paper's HTML for whoever cannot show that."""
        bundle: dict[str, Any] = super()._repr_mimebundle_(**options)
        return bundle if self.is_screen_only else {**bundle, "text/html": self._on_paper()}


WIDE: Final = {"description_width": "initial"}
"""The style of a widget whose label is as wide as its words."""


class Displayed:
    """Something that shows itself as the result of a cell."""

    box: Any

    def _ipython_display_(self) -> None:
        display(self.box)  # type: ignore[no-untyped-call]


def button(words: str, act: Callable[[], None], **layout: str) -> Any:
    """Make a button as wide as its words."""
    made = W.Button(description=words, layout=W.Layout(width="auto", max_width="100%", **layout))
    made.on_click(lambda _: act())
    return made


def on_enter(box: W.Text, act: Callable[[], None]) -> None:
    """Call `act` when a person presses Enter in a box."""

    def hear(_: W.Text, message: dict[str, Any], __: object) -> None:
        if message.get("event") == "submit":
            act()

    box.on_msg(hear)


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


def text_box(words: str, *, wide: str, **more: Any) -> Any:
    """Make a box to type in, no wider than the page."""
    layout = W.Layout(width=wide, max_width="100%")
    return W.Text(description=words, style=WIDE, layout=layout, **more)


def choice_list(words: str, options: Iterable[Any] = (), *, wide: str = "auto", **more: Any) -> Any:
    """Make a list to choose from, no wider than the page."""
    layout = W.Layout(width=wide, max_width="100%")
    return W.Dropdown(description=words, options=list(options), style=WIDE, layout=layout, **more)


def toggles(words: str, options: Iterable[Any], **more: Any) -> Any:
    """Make a row of buttons of which one is down."""
    style = {**WIDE, "button_width": "auto"}
    return W.ToggleButtons(description=words, options=list(options), style=style, **more)


def show(is_shown: object, *parts: Any) -> None:
    """Show widgets, or take them away."""
    for part in parts:
        part.layout.display = "" if is_shown else "none"


def chosen_file(upload: Any) -> tuple[str, bytes] | None:
    """Return name and content of a file that was chosen, and make room for the next."""
    if not upload.value:
        return None
    chosen = upload.value[0]
    upload.value = ()
    return str(chosen["name"]), bytes(chosen["content"])


def heading(words: str) -> str:
    """Return a heading within a page."""
    return f"<h4>{html.escape(words)}</h4>"


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


class ProgressBar:
    """A bar to hand over as ``progress``; it shows itself, and goes when all is done."""

    def __init__(self, words: str = "Working …") -> None:
        self.bar = W.FloatProgress(
            value=0.0, min=0.0, max=1.0, description=words,
            style={"description_width": "initial"}, layout=W.Layout(width="70%"),
        )  # fmt: skip
        display(self.bar)  # type: ignore[no-untyped-call]

    def __call__(self, share: float) -> None:
        """Fill the bar up to a share, 0 to 1."""
        self.bar.value = share
        if share >= 1.0:
            self.close()

    def close(self) -> None:
        """Take the bar away."""
        self.bar.close()
