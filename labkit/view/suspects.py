"""The suspects: one chosen from a list by parts of the line, or typed; and its place."""

import difflib
import re
from collections.abc import Iterable
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.drills import UNPLACED, Drill
from labkit.faults import FAULTS, PARTS, part_name
from labkit.pages.looks import look
from labkit.text import speaker
from labkit.view.drill_words import place_words, suspect_words
from labkit.view.page import paragraph
from labkit.view.widgets import WIDE, choice_list, on_enter, show, text_box, toggles

_say = speaker("drill")

SUSPECTS_LOOK: Final = look("suspects.css")

_ALIKE: Final = 0.72
"""How alike a typed name must be to a fault's, from 0 to 1: a slip of the pen passes."""
_CLEARLY: Final = 0.08  # by how much it must be more alike than to the next one

_SAME: Final = {
    "valve": "", "the": "", "a": "", "an": "", "is": "", "in": "", "at": "", "of": "", "switch": "",
    "closed": "shut", "leaky": "leak", "leaking": "leak", "dirty": "dusty", "broken": "cut",
    "blocked": "plugged", "clogged": "plugged", "shorted": "chewed", "wires": "wire",
    "pair": "wire", "motor": "controller", "panels": "array", "panel": "array",
    "backwards": "wrong", "narrow": "undersized", "small": "undersized",
}  # fmt: skip
"""Words that people use for each other; what is empty says nothing here."""


def recalled(typed: str, known: Iterable[str]) -> str | None:
    """Return the fault that somebody means who types its name from memory; none if unclear."""
    meant = _core(typed)
    if not meant:
        return None

    def alike(key: str) -> float:
        names = map(_core, FAULTS[key].names)
        return max(difflib.SequenceMatcher(None, meant, name).ratio() for name in names)

    ranked = sorted(((alike(key), key) for key in known), reverse=True)
    (best, key), (second, _) = ranked[0], ranked[1]
    return key if best >= _ALIKE and best - second >= _CLEARLY else None


def _core(words: str) -> str:
    """Return the words that tell faults apart, in the order of the alphabet."""
    found = re.findall(r"[a-z]+", words.lower().replace("-", " "))
    return " ".join(sorted(kept for word in found if (kept := _SAME.get(word, word))))


class Suspects:
    """What is taken to be wrong: chosen from a list, or typed from memory."""

    def __init__(self, drill: Drill) -> None:
        self._drill = drill
        self.spot: Any = None  # where the fault sits, if that is asked
        groups = {
            part: [key for key in drill.suspects if FAULTS[key].part == part] for part in PARTS
        }
        # the radio buttons of each part of the line
        self.parts = {part: self._radios(part, keys) for part, keys in groups.items() if keys}
        ways = [(_say("way-list"), "list"), (_say("way-typed"), "typed")]
        self.way = toggles(_say("way"), ways)
        self.typed = text_box(
            _say("typed"), wide="34em", placeholder=_say("typed-example"), continuous_update=False
        )
        show(None, self.typed)
        self.board = W.Box(list(self.parts.values()))
        self.board.add_class("labkit-suspects")
        head = W.HTML(paragraph(_say("diagnosis"), bold=True))
        self._where = W.VBox([])
        self.box = W.VBox([head, self.way, self.board, self.typed, self._where])
        for part in (self.way, self.typed):
            part.observe(lambda _: self._ask_where(), "value")
        on_enter(self.typed, self._ask_where)

    @property
    def is_typed(self) -> bool:
        """Whether it is typed from memory."""
        return bool(self.way.value == "typed")

    @property
    def chosen(self) -> str | None:
        """Key of the fault that is chosen or meant; none if there is none."""
        if self.is_typed:
            return recalled(self.typed.value, self._drill.suspects)
        return next((radio.value for radio in self.parts.values() if radio.value), None)

    @property
    def diagnosis(self) -> list[tuple[str, str]]:
        """The fault with its place, if one is named; the place is empty where none is asked."""
        key = self.chosen
        return [] if key is None else [(key, self.spot.value if self.spot is not None else "")]

    def choose(self, key: str, where: str = "") -> None:
        """Choose a fault from the list, and its place if it is asked."""
        self.parts[FAULTS[key].part].value = key
        if where and self.spot is not None:
            self.spot.value = where

    def _radios(self, part: str, keys: list[str]) -> Any:
        """Make the radio buttons of a part; a choice in one part takes back that in another."""

        def pick(change: dict[str, Any]) -> None:
            if change["new"] is not None:
                for other in (each for name, each in self.parts.items() if name != part):
                    other.value = None
                self._ask_where()

        radio = W.RadioButtons(
            options=[(suspect_words(key), key) for key in keys],
            value=None,
            description=part_name(part),
            style=WIDE,
        )
        radio.add_class("labkit-part")
        radio.observe(pick, "value")
        return radio

    def _ask_where(self) -> None:
        """Ask for the place of the chosen fault, as far as a test can tell it."""
        show(not self.is_typed, self.board)
        show(self.is_typed, self.typed)
        key, self.spot = self.chosen, None
        shown: list[Any] = []
        if key is None:
            if self.is_typed and self.typed.value.strip():
                shown.append(W.HTML(paragraph(_say("unknown-name"))))
        elif places := self._drill.places(key):
            options = [(place_words(key, place), place) for place in places]
            self.spot = choice_list(
                _say("where", fault=FAULTS[key].name), [(_say("choose"), ""), *options],
                wide="30em", value="",
            )  # fmt: skip
            shown.append(self.spot)
        elif key in UNPLACED and len(FAULTS[key].places(self._drill.site)) > 1:
            shown.append(W.HTML(paragraph(_say("unplaced"))))
        elif self.is_typed:
            shown.append(W.HTML(paragraph(_say("taken-for", fault=FAULTS[key].name))))
        self._where.children = shown
