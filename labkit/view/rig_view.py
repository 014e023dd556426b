"""The page of the commissioning rig: buttons for hands and eyes, a gauge, a log, a handing over."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from typing_extensions import override

from labkit.advice.rules import PSI
from labkit.errors import LabkitError
from labkit.questions import Amount, learner_number
from labkit.rigs import Handover, Rig, hand_over, hint, start_rig
from labkit.rigs.rig import HIGHEST_AIR
from labkit.view.asking import LOOKS, on_enter
from labkit.view.gauge_picture import gauge_tag
from labkit.view.language import say_clock
from labkit.view.page import paragraph
from labkit.view.printed import Printed
from labkit.view.rig_sheet import rig_sheet
from labkit.view.rig_tables import left_table, log_table, rules_list
from labkit.view.rig_words import RIG_WORDS, hint_words, price, sentence, stands, story
from labkit.view.style import BLUE
from labkit.view.telling import written_amount
from labkit.view.words import WORDS
from labkit.view.worked import Worked, edged, sentence_of, units_choice

if TYPE_CHECKING:
    from labkit.site import Site

_LOOK: Final = """
.labkit-rig table { border-collapse: collapse; max-width: 56em; caption-side: top; }
.labkit-rig caption, .labkit-rig th, .labkit-rig td { text-align: left; vertical-align: top;
  padding: 3px 10px 3px 0; line-height: 1.4; white-space: normal; }
.labkit-rig td:first-child { white-space: nowrap; }
.labkit-rig .widget-html-content { overflow-x: auto; }
.labkit-rig summary { cursor: pointer; padding: 4px 0; }
.labkit-rig details { max-width: 46em; line-height: 1.45; margin-bottom: 0.4em; }
.labkit-rig button { height: auto; min-height: 30px; white-space: normal; text-align: left;
  line-height: 1.3; padding: 4px 10px; }
"""
_WAITS: Final = (1, 5, 20, 60)
_AMOUNTS: Final = {"quarter": 1, "half": 2, "whole": 4, "double": 8}
_HIGHEST_DIAL: Final = 1.15


class RigPage(Worked):
    """The widgets of a rig; made with `rig`.

    Attributes
    ----------
    rig : Rig or None
        The line as it stands; none before a number is given.
    left : Handover or None
        How it was handed over last; none since something was changed.
    number, come, note : Text, Button, HTML
        Where the learner's number goes, the button that goes to the line, and why it waits.
    hands : dict
        The buttons, by what they do, such as ``"screw out"`` or ``"floats elm"``.
    amount, air : Dropdown
        By how much to turn; to what pressure [Pa] to set the tank's air.
    view, status, said : HTML
        The gauge; the last reading; a hint or the handing over. The last two are read out.
    """

    def __init__(self, site: "Site | str", *, system: str = "US") -> None:
        self._site, self.system = site, system
        self.rig: Rig | None = None
        self.left: Handover | None = None
        self._hinted, self._problem = "", ""
        self.hands: dict[str, Any] = {}
        wide = {"description_width": "initial"}
        self.number = W.Text(
            description=WORDS["drill number"], style=wide, layout=W.Layout(width="16em")
        )
        self.come = self.button(RIG_WORDS["come"], self.start)
        self.units, self.note = units_choice(system), W.HTML()
        self.amount = W.Dropdown(
            options=[(RIG_WORDS[key], quarters) for key, quarters in _AMOUNTS.items()],
            description=RIG_WORDS["by"],
            style=wide,
            layout=W.Layout(width="11em"),
        )
        self.air = W.Dropdown(
            description=RIG_WORDS["air to"], style=wide, layout=W.Layout(width="17em")
        )
        self.story, self.view, self.status, self.stands, self.log, self.said = (
            W.HTML() for _ in range(6)
        )
        for line in (self.status, self.said):
            line.add_class("labkit-status")
        self.board = W.VBox([])
        self.box = self._laid_out()
        on_enter(self.number, self.start)
        self.units.observe(lambda change: self.use(str(change["new"])), "value")

    @override
    def start(self) -> None:
        """Come to the line with the number in the box."""
        self.status.value = paragraph(WORDS["drill wait"])
        self.rig = self.left = None
        self._hinted = self._problem = ""
        try:
            number = learner_number(self.number.value)
            self.rig = start_rig(self._site, number)
            self._offer_air(self.rig)
        except LabkitError as error:
            self._problem = sentence_of(error)
        else:
            self._deal_out(self.rig)
        self.use(self.system)

    def _offer_air(self, rig: Rig) -> None:
        """Put the list of airs where the tank's air stands."""
        self.air.options = _airs(self.system)
        if rig.air is not None:
            airs = [pressure for _, pressure in self.air.options]
            self.air.value = min(airs, key=lambda pressure: abs(pressure - float(rig.air or 0.0)))

    def do(self, act: Callable[[Rig], Rig]) -> None:
        """Do something on the line, and write down what is read."""
        if self.rig is None:
            return
        self.left, self._hinted, self._problem = None, "", ""
        try:
            self.rig = act(self.rig)
        except LabkitError as error:
            self._problem = RIG_WORDS["not turned"].format(problem=sentence_of(error))
        self.use(self.system)

    def ask(self) -> None:
        """Give a hint."""
        if self.rig is not None:
            self.rig, self.left, self._problem = self.rig.hinted(), None, ""
            self.use(self.system, is_hinted=True)

    def leave(self) -> None:
        """Hand the line over to its stock."""
        if self.rig is None:
            return
        self._hinted, self._problem = "", ""
        try:
            self.left = hand_over(self.rig)
        except LabkitError as error:
            self.left, self._problem = None, sentence_of(error)
        self.use(self.system)

    def use(self, system: str, *, is_hinted: bool = False) -> None:
        """Write everything in the units of a system."""
        if system != self.system or not self.air.options:
            kept = self.air.value
            self.air.options = _airs(system)
            self.air.value = kept if kept is not None else self.air.options[0][1]
        self.system = system
        self.board.layout.display = "none" if self.rig is None else ""
        if self.rig is None:
            for part in (self.story, self.view, self.stands, self.log, self.said):
                part.value = ""
            self.status.value = paragraph(self._problem) if self._problem else ""
            return
        rig = self.rig
        self._hinted = hint_words(hint(rig), system) if is_hinted or self._hinted else ""
        told = "".join(paragraph(line) for line in story(rig, system))
        self.story.value = told + rules_list(system, has_tank=rig.air is not None)
        last = sentence(rig.log[-1], system)
        self.status.value = paragraph(self._problem or f"{last} {self._now(rig)}")
        self.view.value = self._gauge(rig, last)
        self.stands.value = paragraph(stands(rig, system))
        self.log.value = log_table(rig, self.system)
        self.said.value = self._verdict(rig)

    def _now(self, rig: Rig) -> str:
        clock = say_clock(rig.clock, self.system)
        return RIG_WORDS["now"].format(clock=clock, minutes=f"{rig.minutes:g}", tries=rig.tries)

    def _gauge(self, rig: Rig, last: str) -> str:
        """Draw the gauge as it was read."""
        read = next(one.value for one in rig.log[-1].values if one.name == "gauge")
        highest = _HIGHEST_DIAL * rig.window.dead_head[1]
        words = RIG_WORDS["picture"].format(read=last)
        return gauge_tag(float(read), highest, words, self.system)

    def _verdict(self, rig: Rig) -> str:
        """Write a hint, or how the line was handed over."""
        if self.left is not None:
            return left_table(rig, self.left, self.system)
        return edged(BLUE, self._hinted) if self._hinted else ""

    def _deal_out(self, rig: Rig) -> None:
        """Put buttons for what can be done on this line."""
        rows = [
            [
                self._hand(f"{state} {t.name}", state, partial(_hold, t.name, state), where=t.name)
                for state in ("always shut", "always open", "floats")
            ]
            for t in rig.site.troughs
        ]
        turns = [
            self._hand("screw out", "screw out", self._turn(+1)),
            self._hand("screw in", "screw in", self._turn(-1)),
        ]
        if rig.has_nut:
            turns += [
                self._hand("nut in", "nut in", self._turn_nut(+1)),
                self._hand("nut out", "nut out", self._turn_nut(-1)),
            ]
        rows.append([self.amount, *turns])
        rows.append([self._waiting(minutes) for minutes in _WAITS])
        rows.append(
            [
                self._hand("cloth on", "cloth on", lambda one: one.shade(on=True)),
                self._hand("cloth off", "cloth off", lambda one: one.shade(on=False)),
                self._hand("meter", "meter", Rig.meter),
            ]
        )
        if rig.air is not None:
            set_air = self._hand("air", "air", lambda one: one.set_air(float(self.air.value)))
            rows.append([self.air, set_air])
        self.hands["hint"] = self.button(RIG_WORDS["hint"], self.ask)
        self.hands["hand over"] = self.button(RIG_WORDS["hand over"], self.leave)
        rows.append([self.hands["hint"], self.hands["hand over"]])
        look = W.Layout(flex_flow="row wrap", align_items="center")
        self.board.children = [W.HBox(row, layout=look) for row in rows]

    def _turn(self, sign: int) -> Callable[[Rig], Rig]:
        return lambda rig: rig.turn(sign * int(self.amount.value))

    def _turn_nut(self, sign: int) -> Callable[[Rig], Rig]:
        return lambda rig: rig.turn_nut(sign * int(self.amount.value))

    def _waiting(self, minutes: int) -> Any:
        button = self.button(
            RIG_WORDS["wait"].format(minutes=minutes),
            lambda: self.do(lambda rig: rig.wait(float(minutes))),
        )
        self.hands[f"wait {minutes}"] = button
        return button

    def _hand(self, name: str, words: str, act: Callable[[Rig], Rig], *, where: str = "") -> Any:
        """Make a button that does something on the line, and keep it by a name."""
        key = _PRICED.get(words, words)
        said = RIG_WORDS[words].format(where=f"“{where}”", minutes=price(key))
        self.hands[name] = self.button(said, lambda: self.do(act))
        return self.hands[name]

    def _laid_out(self) -> Any:
        row = W.Layout(flex_flow="row wrap", align_items="center")
        asked = W.HBox([self.number, self.come, self.units], layout=row)
        looks = W.HTML(f"<style>{LOOKS}{_LOOK}</style>", layout={"display": "none"})
        parts = [self.note, asked, self.story, self.view, self.status, self.stands, self.board]
        box = Printed(
            [*parts, self.said, self.log, looks],
            on_paper=lambda: rig_sheet(self._site, self.system, self.rig),
        )
        box.add_class("labkit-rig")
        for part in (self.story, self.status, self.stands, self.said):
            part.add_class("labkit-story")
        self.board.layout.display = "none"
        return box


_PRICED: Final = {
    "always shut": "float", "always open": "float", "floats": "float", "screw out": "screw",
    "screw in": "screw", "nut in": "nut", "nut out": "nut", "cloth on": "cloth",
    "cloth off": "cloth",
}  # fmt: skip
"""By which price a button goes."""


def rig(
    site: "Site | str" = "first_line", number: int | str | None = None, *, units: str = "US"
) -> RigPage:
    """Give the page of the commissioning rig, for a notebook.

    Parameters
    ----------
    site : Site or str
        A line, or the name of a demo ranch.
    number : int or str, optional
        The learner's own number; left out, the page asks for it.
    units : {"US", "metric"}
        Whose units at first.
    """
    page = RigPage(site, system=units)
    if number is not None:
        page.begin(number)
    return page


def _hold(where: str, state: Any, one: Rig) -> Rig:
    return one.hold(where, state)


def _airs(system: str) -> list[tuple[str, float]]:
    """List the pressures to which the air of a tank can be set."""
    pressures = [PSI * psi for psi in range(2, round(HIGHEST_AIR) + 1)]
    return [(written_amount(Amount(p, "pressure"), system), p) for p in pressures]
