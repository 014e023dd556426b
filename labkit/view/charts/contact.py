"""Contact against drive, and what a meter shows on the pair between them."""

from math import inf
from textwrap import fill
from typing import Any, Final, Self

import attrs
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from labkit.advice.signal_loop import CONTROLLER, OFF, SWITCH_JOINED, LoopCheck, loop_check
from labkit.advice.stop_table import ACTIONS, KINDS, WORKS, Heard, stop_table
from labkit.engine.sensing import reads_always
from labkit.figures import style
from labkit.figures.axes import title
from labkit.questions import Amount
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WORDS
from labkit.units import si
from labkit.view.charts.base import panels, short
from labkit.view.controls.switch import fault_of, pair_of
from labkit.view.telling import format_amount

_POSITIONS: Final = ("reset", "tripped")
_COLUMN: Final = 24
"""Letters in a line of the first column."""
_CELL: Final = 10  # letters in a line of a cell
_TALL: Final = 3.1


@attrs.frozen(kw_only=True)
class ContactTable:
    """Left, what every contact makes of every drive; right, the meter on this site's pair."""

    site: Site
    check: LoopCheck  # what a meter shows on a pair such as the site's
    # how the contact itself is, "open" or "closed", by the switch's position
    contact: dict[str, str]
    # what comes of each action and kind of drive, with this site's contact and pair
    table: dict[tuple[str, str], Heard]

    @classmethod
    def of(cls, site: Site, _sun: Sun) -> Self:
        """Read a site's switch, pair and drive."""
        switch, pair = site.pressure_switch, pair_of(site)
        fixed = reads_always(switch.contact, None, site.drive.stop_input)
        closes = switch.action == "closes on rise"
        states = {
            position: ("open", "closed")[(closes == is_tripped) if fixed < 0 else fixed]
            for position, is_tripped in zip(_POSITIONS, (False, True), strict=True)
        }
        check = loop_check(pair.gauge, pair.length, stop_input=site.drive.stop_input)
        return cls(site=site, check=check, contact=states, table=stop_table(site))

    @property
    def _paired(self) -> tuple[str, str]:
        """The action of the switch, and the kind of drive."""
        return self.site.pressure_switch.action, self.site.drive.kind

    @property
    def now(self) -> Heard:
        """What this site's drive hears."""
        return self.table[self._paired]

    def meter(self) -> list[tuple[str, str, str]]:
        """Return rows of the meter: what it is put on, with the line low and with it high."""
        condition = pair_of(self.site).condition
        by_itself = [_shown(0.0 if one == "closed" else inf) for one in self.contact.values()]
        at_drive = [
            _shown(self.check.reading(CONTROLLER, one, condition).ohms)
            for one in self.contact.values()
        ]
        joined = _shown(self.check.reading(SWITCH_JOINED, OFF, condition).ohms)
        told = self._told(self.now)
        return [
            (CHARTS["meter on contact"], by_itself[0], by_itself[1]),
            (CHARTS["meter at drive"], at_drive[0], at_drive[1]),
            (CHARTS["meter on pair"], joined, joined),
            (CHARTS["drive hears"], told[0], told[1]),
        ]

    def words(self, system: str) -> str:
        """Say what comes of every pairing, and what the meter shows here."""
        low, high = self._heads(system)
        (action, kind), pair = self._paired, pair_of(self.site)
        cells = " ".join(
            CHARTS["contact cell"].format(
                action=one, kind=WORDS[f"drive {other}"], outcome=CHARTS[heard.outcome]
            )
            for (one, other), heard in self.table.items()
        )
        rows = " ".join(f"{what}: {low}, {one}; {high}, {two}." for what, one, two in self.meter())
        said = CHARTS["contact chart"].format(
            action=action,
            kind=WORDS[f"drive {kind}"],
            outcome=CHARTS[self.now.outcome],
            gauge=pair.gauge,
            distance=short(si(pair.length), "length", system),
            cells=cells,
            rows=rows,
            fault=WORDS[f"fault {fault_of(self.site)}"],
        )
        return " ".join(said.split())

    def draw(self, system: str) -> Figure:
        """Draw the table and the meter's readings."""
        figure, (left, right) = panels(1.0, 1.12, tall=_TALL)
        for axes in (left, right):
            axes.grid(visible=False)
            axes.set(xlim=(0.0, 1.0), ylim=(1.0, 0.0), xticks=[], yticks=[])
            for side in ("left", "bottom"):
                axes.spines[side].set_visible(False)
        self._draw_table(left)
        self._draw_meter(right, system)
        return figure

    def _told(self, heard: Heard) -> tuple[str, str]:
        """Say what a drive is told with the line low, and with it high."""
        low, high = (
            CHARTS["told to stop" if state == heard.stop_when else "told to run"]
            for state in (heard.reset, heard.tripped)
        )
        return low, high

    def _heads(self, system: str) -> tuple[str, str]:
        switch = self.site.pressure_switch
        low, high = (short(si(p), "pressure", system) for p in (switch.cut_in, switch.cut_out))
        return CHARTS["gauge under"].format(point=low), CHARTS["gauge over"].format(point=high)

    def _draw_table(self, axes: Axes) -> None:
        title(axes, CHARTS["contact title"])
        for column, kind in enumerate(KINDS):
            _put(axes, 0.44 + 0.38 * column, 0.07, CHARTS[f"column {kind}"], ha="center")
        for row, action in enumerate(ACTIONS):
            _put(axes, 0.0, 0.38 + 0.42 * row, CHARTS[f"row {action}"])
            for column, kind in enumerate(KINDS):
                is_here = (action, kind) == self._paired
                self._draw_cell(axes, row, column, self.table[action, kind], is_here=is_here)

    def _draw_cell(self, axes: Axes, row: int, column: int, heard: Heard, *, is_here: bool) -> None:
        x, y = 0.26 + 0.38 * column, 0.19 + 0.42 * row
        works = heard.outcome == WORKS
        look: dict[str, Any] = {
            "facecolor": style.BAND if works else style.PAPER,
            "edgecolor": style.INK if is_here else style.FAINT,
            "linewidth": 2.6 if is_here else 0.8,
        }
        axes.add_patch(Rectangle((x, y), 0.35, 0.38, **look))
        if is_here:
            _put(axes, x + 0.18, y + 0.07, CHARTS["here"], ha="center", fontsize=style.SMALL)
        _put(
            axes, x + 0.18, y + 0.19, CHARTS[heard.outcome], ha="center", weight="bold",
            color=style.INK if works else style.VERMILION,
        )  # fmt: skip
        low, high = self._told(heard)
        told = fill(CHARTS["told cell"].format(low=low, high=high), _CELL)
        _put(axes, x + 0.18, y + 0.31, told, ha="center", fontsize=style.SMALL)

    def _draw_meter(self, axes: Axes, system: str) -> None:
        pair, fault = pair_of(self.site), fault_of(self.site)
        distance = short(si(pair.length), "length", system)
        fault = CHARTS["all sound"] if fault == "none" else WORDS[f"fault {fault}"]
        said = CHARTS["meter title"].format(gauge=pair.gauge, distance=distance, fault=fault)
        title(axes, said)
        for x, words in zip((0.62, 0.88), self._heads(system), strict=True):
            _put(axes, x, 0.07, words, ha="center")
        for row, (what, *shown) in enumerate(self.meter()):
            y = 0.27 + 0.2 * row
            axes.plot([0.0, 1.0], [y - 0.1] * 2, color=style.GRID, linewidth=0.8)
            _put(axes, 0.0, y, fill(what, _COLUMN))
            for x, words in zip((0.62, 0.88), shown, strict=True):
                _put(axes, x, y, words, ha="center", weight="bold")


def _shown(ohms: float) -> str:
    """Say what the meter shows, to tenths as prose does."""
    if ohms == inf:
        return CHARTS["open line"]
    return format_amount(Amount(ohms, "resistance"), "US").replace("\N{NO-BREAK SPACE}", " ")


def _put(axes: Axes, x: float, y: float, words: str, **look: Any) -> None:
    settings: dict[str, Any] = {
        "color": style.INK, "fontsize": style.TEXT, "family": style.FONT, "va": "center",
    }  # fmt: skip
    axes.text(x, y, words, **(settings | look))
