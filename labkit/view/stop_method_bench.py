"""The bench on which ways to say stop are weighed: how far, how many troughs, what is between."""

from collections.abc import Callable
from typing import Final

import attrs
from IPython.display import display
from typing_extensions import override

from labkit.advice.stop_methods import BETWEEN, StopCase, StopMethods
from labkit.errors import LabkitError
from labkit.figures.image import image_tag
from labkit.sun import constant
from labkit.text.shared import ADVICE, WORDS
from labkit.view.advice_told import choice_lines, methods_rows
from labkit.view.charts.base import chart_html
from labkit.view.charts.stop import StopPrices
from labkit.view.controls import CONTROLS, Choice, Span
from labkit.view.page import Followed, Page, Row, row_of
from labkit.view.path_picture import PathImage

_MOST: Final = ("1", "2", "3")
_MONEY: Final = ("500", "1000", "2000", "5000")
_TRENCH: Final = ("with the pipe", "of its own")
_SPANS: Final = {"US": Span(200, 10_000, 100), "metric": Span(60, 3000, 20)}
_FARTHEST: Final = 3048.0
"""The end of the slider [m]: how far the prices are drawn."""


def _listed(
    name: str, options: tuple[str, ...], start: str, words: Callable[[str], str] = str
) -> Choice:
    """Return a list to choose from of what is no part of the site: it leaves the site as it is."""
    return Choice(
        name=name,
        words=ADVICE[f"{name} control"],
        options=lambda _: options,
        option_words=words,
        read=lambda _site, _sun: start,
        apply=lambda site, sun, _: (site, sun),
    )


class StopMethodBench(Followed):
    """A slider and four lists over one line, and what the three ways to say stop come to on it."""

    def __init__(self, start: StopCase, *, system: str = "US", question: str = "") -> None:
        self.start = self.case = start
        super().__init__(system)
        self._is_locked = False
        self.found: StopMethods | None = None
        self.error: LabkitError | None = None
        line, sun = attrs.evolve(start, troughs=1).line, constant("700 W/m^2")
        controls = (
            attrs.evolve(CONTROLS["pipe length"], spans=_SPANS),
            _listed("troughs", _MOST, str(start.troughs)),
            _listed("between", tuple(BETWEEN), start.between),
            _listed("trench", _TRENCH, _TRENCH[start.own_trench], ADVICE.__getitem__),
            _listed(
                "money", _MONEY, f"{start.money:.0f}",
                lambda money: ADVICE["money"].format(money=f"{float(money):,.0f}"),
            ),
        )  # fmt: skip
        self.sliders: dict[str, Row] = {
            one.name: row_of(one, line, sun, system=system, changed=self.update) for one in controls
        }
        self.page = Page(
            self.sliders, question=question, system=system, turned=self, on_paper=self.draw_charts
        )
        self.page.has_charts = True
        self.update()

    def update(self) -> None:
        """Weigh the ways as the lists stand, and show it."""
        value = {name: row.si for name, row in self.sliders.items()}
        try:
            self.case = attrs.evolve(
                self.start,
                way=float(value["pipe length"]),
                troughs=int(value["troughs"]),
                between=str(value["between"]),
                own_trench=value["trench"] == "of its own",
                money=float(value["money"]),
            )
            self.found = self.case.compared()
        except LabkitError as error:
            self.error = error
            self.page.warn(WORDS["problem"].format(what=str(error).rstrip(".")))
            return
        self.error = None
        self._show()

    def on_setting(self) -> None:
        """Weigh again when a row was turned."""
        self.update()

    def on_reset(self) -> None:
        """Send everything back to the start."""
        for row in self.sliders.values():
            row.reset()
        self.update()

    def draw_charts(self) -> str:
        """Return what was found as pictures; while predictions are awaited, only the ground."""
        if self.found is None:
            return ""
        far = self.case.line.troughs[-1].name
        sight = PathImage(self.found["radio"].paths[far], self.system)
        path = image_tag(sight.narrow, sight.alt)  # beside the controls there is no room for more
        if self._is_locked:
            return path
        chart = StopPrices.of(self.case, self.found, reach=_FARTHEST)
        prices = chart_html(chart, self.system)
        return prices + methods_rows(self.found, self.system).html() + path

    @override
    def _set_locked(self, *, locked: bool) -> None:
        self._is_locked = locked
        with self.page.together():
            super()._set_locked(locked=locked)
            self._show()

    @override
    def _show(self) -> None:
        """Say what was found; while predictions are awaited, only that it waits."""
        if self.found is None:
            return
        if self._is_locked:
            self.page.take(said=ADVICE["weighing waits"])
            return
        self.page.take(said=" ".join(choice_lines(self.found, self.case.money)))
        for hear in self._heard:
            hear()

    def _ipython_display_(self) -> None:
        display(self.page.box)  # type: ignore[no-untyped-call]
