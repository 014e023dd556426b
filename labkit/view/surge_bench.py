"""A bench for what happens within seconds: a float valve shuts, and a pressure wave runs."""

import html
from collections.abc import Callable, Sequence
from types import MappingProxyType
from typing import Any, Final

from typing_extensions import override

from labkit.engine.surge import surge
from labkit.engine.surge_record import Surge
from labkit.figures.image import drawn_png
from labkit.site import Site
from labkit.sun import Sun, as_sun
from labkit.text.shared import WORDS
from labkit.units import Quantity, quantity, si
from labkit.view.bench import Bench
from labkit.view.charts.base import chart_html
from labkit.view.controls import Control, Span, control_named
from labkit.view.page import paragraph
from labkit.view.surge_picture import SurgeImage
from labkit.view.surge_words import surge_alt, surge_lines

_CLOSING: Final = Span(0.0, 30.0, 0.5)
_REACHES: Final = 60
_HISTORY: Final = 2
"""The panel of the chart that shows pressure over time."""


class SurgeBench(Bench):
    """Sliders over one site, and the wave that a shutting float valve sends through it."""

    def __init__(
        self,
        site: Site,
        controls: Sequence[str] = (),
        *,
        trough: str,
        closing_time: "str | Quantity" = "1 s",
        sun: Sun | str | Quantity = "900 W/m^2",
        system: str = "US",
        question: str = "",
    ) -> None:
        self._trough, self._locked = trough, False
        self.surge: Surge | None = None  # the last wave
        seconds = si(quantity(closing_time, "s"))
        closing = Control(  # it changes neither site nor sun
            name="closing time",
            words=WORDS["closing time"],
            kind="time",
            spans=MappingProxyType({"US": _CLOSING, "metric": _CLOSING}),
            read=lambda _site, _sun: seconds,
            apply=lambda site, sun, _value: (site, sun),
        )
        chosen = [closing, *map(control_named, controls)]
        follow: Callable[..., Any] = self._follow
        super().__init__(
            site, as_sun(sun, site), chosen, run=follow, system=system, question=question
        )

    @property
    @override
    def text(self) -> str:
        """What the last wave did at the valve; the picture says the rest."""
        return " ".join(surge_lines(self.surge, self.system)[:2]) if self.surge else ""

    @property
    @override
    def alt(self) -> str:
        """The words that stand for the picture."""
        return surge_alt(self.surge, self.system) if self.surge else ""

    @override
    def picture_png(self) -> bytes:
        """Return the picture of the last wave, as a PNG."""
        return drawn_png(SurgeImage(self.surge).draw(self.system)) if self.surge else b""

    @override
    def snapshot_html(self) -> str:
        """Return the picture and its sentences as plain HTML, for a handout."""
        if self.surge is None:
            return ""
        caption = html.escape(self.text)
        return f"<figure>{self._image()}<figcaption>{caption}</figcaption></figure>"

    @override
    def update(self) -> None:
        """Follow the wave as the sliders stand, once predictions are made."""
        if not self._locked:
            super().update()

    @override
    def draw_charts(self) -> str:
        """Return the picture of the wave, or that it waits."""
        return paragraph(WORDS["surge waits"]) if self._locked else self._image()

    @override
    def _set_locked(self, *, locked: bool) -> None:
        self._locked = locked
        with self.page.together():
            super()._set_locked(locked=locked)
            self.page.has_charts = True
            if locked:
                self.page.pictures = paragraph(WORDS["surge waits"])

    def _follow(self, site: Site, sun: Sun) -> Surge:
        seconds = self.sliders["closing time"].si
        return surge(
            site,
            trough=self._trough,
            closing_time=f"{seconds} s",
            sun=sun,
            drive="heeds the switch",
            reaches=_REACHES,
        )

    @override
    def _take(self, trace: Any) -> None:
        """Show a wave in the units in use."""
        self.trace = self.surge = trace
        self.page.has_charts = True
        self.page.take(said=self.text)

    def _image(self) -> str:
        if self.surge is None:
            return ""
        return chart_html(SurgeImage(self.surge), self.system, lead=_HISTORY)
