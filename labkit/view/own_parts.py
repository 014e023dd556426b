"""What a page shows of one's own site: each part is worked out once, and written in any units."""

import base64
import html
from collections.abc import Callable, Iterable
from typing import Any, Final

import attrs
import numpy as np

from labkit.advice.setting import set_so
from labkit.advice.settings_map import Curve, window_curves
from labkit.advice.settings_map import settings_map as try_settings
from labkit.advice.stop_methods import stop_methods
from labkit.advice.water_budget import water_budget
from labkit.advice.window import Window, operating_window
from labkit.errors import LabkitError
from labkit.figures.image import image_tag, picture_tag
from labkit.language import say
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.units import si
from labkit.view.budget_picture import BudgetImage
from labkit.view.budget_told import budget_lines
from labkit.view.card_page import card_html
from labkit.view.map_picture import MapImage
from labkit.view.map_words import map_lines
from labkit.view.methods_told import methods_lines, methods_rows
from labkit.view.own_card import file_name
from labkit.view.own_words import OWN_WORDS
from labkit.view.tables import LOOKS
from labkit.view.window_picture import (
    window_alt,
    window_narrow_png,
    window_png,
)
from labkit.view.window_told import window_lines

Progress = Callable[[float], None]

CELLS: Final = (14, 9)
"""Cells of the quick map."""
MONTHS: Final = (1, 4, 7, 10)
"""Months of the quick budget."""


@attrs.define(kw_only=True)
class Part:
    """One thing to show."""

    key: str  # what it goes by in `OWN_WORDS`
    find: Callable[[Site, Progress], Any]  # from a site and a progress to what is found
    write: Callable[[Any, str], str]  # from what is found and a system of units to HTML
    _found: Any = None
    _problem: str = ""

    @property
    def name(self) -> str:
        """What it is called while one waits for it."""
        return OWN_WORDS[self.key]

    def work(self, site: Site, progress: Progress) -> None:
        """Work it out for a site, or keep in words why that cannot be."""
        self._found, self._problem = None, ""
        try:
            self._found = self.find(site, progress)
        except LabkitError as problem:
            self._problem = OWN_WORDS[f"no {self.key}"].format(why=f"{str(problem).rstrip('.')}.")
        except Exception as error:  # noqa: BLE001 - else the last site's part would stay in view
            self._problem = self._unexpected(error)

    def html(self, system: str) -> str:
        """Write it in the units of a system."""
        if self._problem:
            return _lines([self._problem])
        try:
            return self.write(self._found, system)
        except LabkitError as problem:
            return _lines(str(problem).splitlines())
        except Exception as error:  # noqa: BLE001 - else the last site's part would stay in view
            return _lines([self._unexpected(error)])

    def _unexpected(self, error: Exception) -> str:
        why = WORDS["unexpected"].format(what=type(error).__name__)
        return OWN_WORDS["no part"].format(part=self.name, why=why)


def window() -> Part:
    """Show the room for the switch, in words and as a picture."""

    def write(found: Window, system: str) -> str:
        wide = image_tag(window_png(found, system), window_alt(found, system))
        picture = picture_tag(wide, window_narrow_png(found, system))
        return _figure(picture) + _lines(window_lines(found, system)[1:])

    return Part(key="window", find=lambda site, _: operating_window(site), write=write)


def settings_map() -> Part:
    """Show what cut-outs come to at the cut-in that is recommended, or at the site's own without.

    They are tried on the trough that asks for the highest cut-out.
    """

    def find(site: Site, progress: Progress) -> Any:
        window = operating_window(site)
        bound = window.tightest("cut-out", "above")
        if window.recommended is not None:
            site = set_so(site, window.recommended)
        trough = None if bound is None else bound.where
        up = "sun" if site.drive.kind == "solar" else "float leak"
        found = try_settings(site, "cut-out", up, cells=CELLS, trough=trough, progress=progress)
        return found, window.recommended is not None

    def write(tried: Any, system: str) -> str:
        found, is_recommended = tried
        switch, suns = found.site.pressure_switch, np.asarray(found.up.values)
        curves = [*window_curves(found)]
        words = OWN_WORDS["map at"].format(low=say(si(switch.cut_in), "pressure", system))
        if is_recommended:
            across = np.full(suns.size, si(switch.cut_out))
            curves.append(Curve(name="recommended", across=across, up=suns))
        image = MapImage(found, system, curves)
        return _figure(image.html()) + _lines([words, *map_lines(found, system)])

    return Part(key="map", find=find, write=write)


def budget() -> Part:
    """Show what herds need and what the line delivers, in a month of each season."""

    def write(found: Any, system: str) -> str:
        image = BudgetImage(found, system)
        return _figure(image.html()) + _lines(budget_lines(found, system))

    return Part(
        key="budget",
        find=lambda site, progress: water_budget(site, months=MONTHS, progress=progress),
        write=write,
    )


def methods() -> Part:
    """Show pressure, wire and radio side by side."""

    def write(found: Any, system: str) -> str:
        table = methods_rows(found, system).html().removeprefix(LOOKS)
        return table + _lines(methods_lines(found))

    return Part(key="methods", find=lambda site, _: stop_methods(site), write=write)


def card() -> Part:
    """Show the settings card as it prints, with a link to keep it."""

    def write(found: Window, system: str) -> str:
        page = base64.b64encode(card_html(found, system).encode()).decode()
        data = f"data:text/html;charset=utf-8;base64,{page}"
        title = html.escape(OWN_WORDS["card frame"].format(title=found.site.title))
        file = html.escape(file_name(found.site, "html"))
        link = f'<a download="{file}" href="{data}">{OWN_WORDS["download"].format(file=file)}</a>'
        frame = f'<iframe class="labkit-sheet" title="{title}" sandbox="" src="{data}"></iframe>'
        words = OWN_WORDS["card data"].format(link=link)
        return f'<p class="labkit-screen">{words}</p>{frame}'

    return Part(key="card", find=lambda site, _: operating_window(site), write=write)


def _figure(picture: str) -> str:
    return f'<figure style="margin:0.5em 0">{picture}</figure>'


def _lines(lines: Iterable[str]) -> str:
    """Write sentences one under the other."""
    return "".join(
        f'<p style="margin:0.35em 0">{html.escape(line[:1].upper() + line[1:])}</p>'
        for line in lines
        if line
    )
