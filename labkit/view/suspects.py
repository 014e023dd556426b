"""The list of suspects: faults by the part of the line in which they sit, and their places."""

import html
from typing import TYPE_CHECKING, Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.drills import UNPLACED
from labkit.faults import FAULTS, PARTS
from labkit.view.drill_words import place_words, suspect_words
from labkit.view.page import paragraph
from labkit.view.words import WORDS

if TYPE_CHECKING:
    from labkit.drills import Drill

SUSPECTS_LOOK: Final = """
.labkit-suspects { flex-flow: row wrap; max-width: 62em; height: auto; }
.labkit-suspects > .labkit-part { flex: 1 1 19em; max-width: 30em; min-width: 0; height: auto;
  margin: 2px 1.2em 0.7em 0; overflow: visible; }
.labkit-part .widget-label, .labkit-part .widget-html-content { font-weight: bold; width: auto;
  text-align: left; white-space: normal; }
.labkit-part.widget-radio { flex-direction: column; align-items: stretch; }
.labkit-part .widget-radio-box { height: auto; width: 100%; margin: 0; }
.labkit-part .widget-radio-box label, .labkit-part .widget-label-basic { display: flex;
  align-items: flex-start; white-space: normal; font-weight: normal; line-height: 1.35;
  height: auto; min-height: 24px; padding: 2px 0; width: 100%; overflow: visible; }
.labkit-part .widget-radio-box input, .labkit-part .widget-label-basic input { order: -1;
  flex: none; margin: 0.1em 0.6em 0 0; }
.labkit-part .widget-checkbox { height: auto; width: 100%; }
"""


class Suspects:
    """Suspects to choose from: one of them, or two where two are hidden.

    Attributes
    ----------
    parts : dict
        For one fault: the radio buttons of each part of the line.
    ticks : dict
        For two: a check box for each fault.
    spots : dict of Dropdown
        Where a chosen fault sits, for those that are asked for their place.
    box : VBox
        All of it.
    """

    def __init__(self, drill: "Drill") -> None:
        self._drill = drill
        self.parts: dict[str, Any] = {}
        self.ticks: dict[str, Any] = {}
        self.spots: dict[str, Any] = {}
        groups = {
            part: [key for key in drill.suspects if FAULTS[key].part == part] for part in PARTS
        }
        make = self._radios if len(drill.hidden) == 1 else self._boxes
        board = W.Box([make(part, keys) for part, keys in groups.items() if keys])
        board.add_class("labkit-suspects")
        name = "drill diagnosis" if len(drill.hidden) == 1 else "drill two diagnoses"
        head = W.HTML(f"<p><b>{html.escape(WORDS[name])}</b></p>")
        self._where = W.VBox([])
        self.box = W.VBox([head, board, self._where])

    @property
    def chosen(self) -> list[str]:
        """Keys of the faults that are chosen."""
        picked = [radio.value for radio in self.parts.values() if radio.value]
        return picked + [key for key, tick in self.ticks.items() if tick.value]

    @property
    def diagnosis(self) -> list[tuple[str, str]]:
        """The chosen faults with their places, empty where none is asked or given."""
        return [(key, self.spots[key].value if key in self.spots else "") for key in self.chosen]

    def choose(self, key: str, where: str = "") -> None:
        """Choose a fault, and its place if it is asked."""
        if self.ticks:
            self.ticks[key].value = True
        else:
            self.parts[FAULTS[key].part].value = key
        if where and key in self.spots:
            self.spots[key].value = where

    def _radios(self, part: str, keys: list[str]) -> Any:
        """Make the radio buttons of a part; a choice in one part takes back that in another."""
        radio = W.RadioButtons(
            options=[(suspect_words(key), key) for key in keys],
            value=None,
            description=_capital(part),
            style={"description_width": "initial"},
        )
        radio.add_class("labkit-part")
        radio.observe(lambda change: self._picked(part, change["new"]), "value")
        self.parts[part] = radio
        return radio

    def _boxes(self, part: str, keys: list[str]) -> Any:
        """Make the check boxes of a part."""
        for key in keys:
            self.ticks[key] = W.Checkbox(description=suspect_words(key), indent=False)
            self.ticks[key].observe(lambda _: self._ask_where(), "value")
        head = W.HTML(html.escape(_capital(part)))
        group = W.VBox([head, *(self.ticks[key] for key in keys)])
        group.add_class("labkit-part")
        return group

    def _picked(self, part: str, key: str | None) -> None:
        if key is None:
            return
        for other, radio in self.parts.items():
            if other != part:
                radio.value = None
        self._ask_where()

    def _ask_where(self) -> None:
        """Ask for the places of the chosen faults, as far as a test can tell them."""
        spots: dict[str, Any] = {}
        shown: list[Any] = []
        for key in self.chosen:
            if places := self._drill.places(key):
                spots[key] = self.spots.get(key) or _place_list(key, places)
                shown.append(spots[key])
            elif key in UNPLACED and len(FAULTS[key].places(self._drill.site)) > 1:
                shown.append(W.HTML(paragraph(UNPLACED[key])))
        self.spots = spots
        self._where.children = shown


def _place_list(key: str, places: tuple[str, ...]) -> Any:
    options = [(WORDS["drill choose"], ""), *((place_words(key, place), place) for place in places)]
    return W.Dropdown(
        options=options,
        value="",
        description=WORDS["drill where"].format(fault=key),
        style={"description_width": "initial"},
        layout=W.Layout(width="30em", max_width="100%"),
    )


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
