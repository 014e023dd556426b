"""One's own site in a page: typed or chosen, its errors in words at once, and what follows.

Each part of what follows is worked out once, and written in any units.
"""

import base64
import html
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import attrs
import ipywidgets as W  # noqa: N812 - the widgets' usual short name
import numpy as np
from IPython.display import HTML

from labkit.advice.setting import set_so
from labkit.advice.settings_map import Curve, window_curves
from labkit.advice.settings_map import settings_map as try_settings
from labkit.advice.stop_methods import stop_methods
from labkit.advice.water_budget import water_budget
from labkit.advice.window import Window, operating_window
from labkit.errors import LabkitError, SiteError
from labkit.figures import style
from labkit.language import say
from labkit.pages.looks import look
from labkit.pages.plan_form import PlanForm
from labkit.site import Site
from labkit.sitefile import decoded, loads
from labkit.text import Words, page
from labkit.text.shared import WORDS
from labkit.units import si
from labkit.view.advice_told import budget_lines, methods_lines, methods_rows
from labkit.view.budget_picture import BudgetImage
from labkit.view.card_page import card_html
from labkit.view.keeping import MY_LINE, ProgressStore
from labkit.view.map_picture import MapImage
from labkit.view.map_words import map_lines
from labkit.view.page import paragraph
from labkit.view.paper import write_page
from labkit.view.tables import LOOKS
from labkit.view.telling import LiveOutput, inline_markup
from labkit.view.widgets import (
    Displayed,
    PrintableBox,
    button,
    chosen_file,
    edged,
    row,
    safely,
    show,
    status,
)
from labkit.view.window_picture import WindowImage
from labkit.view.window_told import window_lines

if TYPE_CHECKING:
    from labkit.view.lesson import Lesson

EXAMPLE: Final = page("my_ranch.toml")
"""An invented ranch with a note beside each thing that people ask about."""

OWN_WORDS: Final = Words("own")
"""Phrases of the page for one's own site, keyed as in `labkit.text.shared`."""


def file_name(site: "Site", ending: str) -> str:
    """Name a card's file after its site, in letters that every system takes."""
    plain = re.sub(r"[^a-z0-9]+", "_", site.title.lower()).strip("_")[:40]
    return f"{plain or 'my_site'}_card.{ending}"


class CardSaver(Displayed):
    """Two buttons and a line that says where the card went.

    `make` gives the site as it stands and its card as a page of HTML; it may raise `LabkitError`.
    """

    def __init__(self, make: "Callable[[], tuple[Site, str]]") -> None:
        self._make = make
        # save as a page, or as a PDF
        self.page = button(OWN_WORDS["save page"], lambda: self.save("html"))
        self.pdf = button(OWN_WORDS["save pdf"], lambda: self.save("pdf"))
        self.status = status()  # what came of it; read out as it changes
        self.box = PrintableBox([row(self.page, self.pdf), self.status], on_paper=str)
        self.box.add_class("labkit-own")

    def save(self, ending: str) -> None:
        """Write the card beside the lessons, and say so."""
        self.status.value = paragraph(OWN_WORDS["working"].format(part=OWN_WORDS["card"]))
        try:
            site, page = self._make()
            name = file_name(site, ending)
            write_page(page, Path.cwd() / name)
        except LabkitError as problem:
            why = f"{str(problem).splitlines()[0].rstrip('.')}."
            self.status.value = paragraph(OWN_WORDS["not saved"].format(why=why))
        except Exception as error:  # noqa: BLE001 - it would reach no learner
            why = WORDS["unexpected"].format(what=type(error).__name__)
            self.status.value = paragraph(OWN_WORDS["not saved"].format(why=why))
        else:
            self.status.value = paragraph(OWN_WORDS["saved"].format(file=name))


Progress = Callable[[float], None]

CELLS: Final = (14, 9)  # cells of the quick map
MONTHS: Final = (1, 4, 7, 10)  # months of the quick budget


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
        lines = window_lines(found, system)[1:]
        return _figure(WindowImage(found, system).html()) + _lines(lines)

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
        return _figure(MapImage(found, system, curves).html()) + _lines(
            [words, *map_lines(found, system)]
        )

    return Part(key="map", find=find, write=write)


def budget() -> Part:
    """Show what herds need and what the line delivers, in a month of each season."""

    def write(found: Any, system: str) -> str:
        return _figure(BudgetImage(found, system).html()) + _lines(budget_lines(found, system))

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


_LOOKS: Final = look("own_site.css")


_KEPT: Final = "site file"
"""The part of `MY_LINE` that holds it, whatever page it was written on."""


class OwnSite(Displayed):
    """Where a site is typed or chosen; made once on a page, before the parts that follow it.

    `site` is the last one that was worked out; `upload`, `text`, `read` and `example` are where it
    comes from and what sets it to work, `status` what is wrong with it, or what was read.
    """

    def __init__(self, lesson: "Lesson", text: str = EXAMPLE) -> None:
        self._lesson, self._start, self._file = lesson, text, OWN_WORDS["typed"]
        self._keeper = ProgressStore(MY_LINE if lesson.keeper.page else "")
        self.site: Site = loads(text)
        self._example = self.site
        self._parts: list[tuple[Part, LiveOutput]] = []
        before = self._before()
        is_back = before not in {"", text}
        if is_back:
            self.site, text = loads(before), before
        self.upload = W.FileUpload(
            accept=".toml,.txt", description=OWN_WORDS["upload"], layout=W.Layout(width="auto")
        )
        self.text = W.Textarea(
            value=text, description=OWN_WORDS["text"], continuous_update=False,
            layout=W.Layout(width="100%", max_width="62em"),
        )  # fmt: skip
        self.read = button(OWN_WORDS["read"], lambda: self._safely(self.work))
        self.example = button(OWN_WORDS["example"], lambda: self._safely(self.start_over))
        self.bar = W.FloatProgress(min=0.0, max=1.0, layout=W.Layout(display="none"))
        self.status = status()
        self.form = PlanForm(self._type)
        self.box = self._laid_out()
        self._fill_form()
        self._say_good(OWN_WORDS["as left" if is_back else "shown"])
        self.upload.observe(lambda _: self._safely(self.take_file), "value")
        self.text.observe(lambda _: self._safely(self.look), "value")
        lesson.units.observe(lambda _: self._safely(self.look), "value")

    def look(self) -> None:
        """Say at once whether what stands in the box can be read."""
        found = self._read()
        if found is not None:
            self._fill_form()
            self._say_good(OWN_WORDS["shown" if found == self.site else "waits"], found)
            self._leave()

    def _before(self) -> str:
        """Return the site file as it was left on an earlier visit; empty where it can't be read."""
        lines = self._keeper.state(_KEPT)
        before = "\n".join(str(lines[place]) for place in sorted(lines))
        try:
            loads(before)
        except SiteError:
            return ""
        return before

    def _leave(self) -> None:
        """Keep the site file, line by line, for the next visit; the example is there anyway."""
        lines = self.text.value.split("\n") if self.text.value != self._start else []
        now = {f"{place:04}": line for place, line in enumerate(lines)}
        if now != self._keeper.state(_KEPT):
            self._keeper.leave(_KEPT, now)

    def _type(self, text: str, file: str = "") -> None:
        """Put a site file into the box: what the form says, the example, or a file of a name."""
        self._file, self.text.value = file or OWN_WORDS["typed"], text

    def _fill_form(self) -> None:
        """Put what the text says into the form, if it can be read."""
        try:
            site = loads(self.text.value)
        except SiteError:
            return
        if site != self.form.site:
            self.form.show(site, self.text.value)

    def work(self) -> None:
        """Read what stands in the box, and write everything that follows about it."""
        found = self._read()
        if found is None:
            return
        self.site = found
        self.read.disabled, count = True, len(self._parts)
        show("working", self.bar)
        try:
            for place, (part, told) in enumerate(self._parts):
                self.status.value = paragraph(OWN_WORDS["working"].format(part=part.name))

                def fill(share: float, place: int = place) -> None:
                    self.bar.value = (place + share) / count

                fill(0.0)
                part.work(found, fill)
                told.use(self._lesson.system)
        finally:
            show(None, self.bar)
            self.read.disabled = False
        self._say_good(OWN_WORDS["shown"])

    def take_file(self) -> None:
        """Put a chosen file into the box, if it is text that may be a site."""
        chosen = chosen_file(self.upload)
        if chosen is None:
            return
        name = chosen[0][:80]
        try:
            text = decoded(chosen[1], file=name)
        except SiteError as problem:
            self._warn(self._problem(problem))
            return
        if text == self.text.value:
            self._file = name
            self.look()
        self._type(text, name)

    def start_over(self) -> None:
        """Put the example back."""
        self._type(self._start)
        self.work()

    def window(self) -> None:
        """Show the room for the switch, here and anew for each site."""
        self._show(window())

    def map(self) -> None:
        """Show a coarse map of settings, here and anew for each site."""
        self._show(settings_map())

    def budget(self) -> None:
        """Show the water of four months, here and anew for each site."""
        self._show(budget())

    def methods(self) -> None:
        """Show the ways to say stop, here and anew for each site."""
        self._show(methods())

    def card(self) -> CardSaver:
        """Show the settings card, here and anew for each site; give the buttons that save it."""
        self._show(card())
        return CardSaver(lambda: (self.site, card_html(operating_window(self.site), self._system)))

    @property
    def _system(self) -> str:
        return self._lesson.system

    def _show(self, part: Part) -> None:
        part.work(self.site, lambda _: None)
        told = LiveOutput(
            lambda system: HTML(self._shown(part, system)),  # type: ignore[no-untyped-call]
            self._system,
            waits=True,
        )
        self._lesson.told.append(told)
        self._parts.append((part, told))

    def _shown(self, part: Part, system: str) -> str:
        """Write a part; before the predictions are made, only for a site of one's own."""
        if self._lesson.is_waiting and self.site == self._example:
            return f"<p>{inline_markup(OWN_WORDS['part waits'])}</p>"
        return part.html(system)

    def _read(self) -> "Site | None":
        """Read what stands in the box, or say what is wrong with it."""
        try:
            data = self.text.value.encode("utf-8", "replace")
            return loads(decoded(data, file=self._file), file=self._file)
        except SiteError as problem:
            self._warn(self._problem(problem))
            return None

    def _say_good(self, then: str, site: "Site | None" = None) -> None:
        shown = self.site if site is None else site
        count = len(shown.troughs)
        key = "one trough" if count == 1 else "many troughs"
        words = OWN_WORDS["good"].format(
            title=shown.title,
            troughs=OWN_WORDS[key].format(count=count),
            far=say(max(shown.distances().values()), "length", self._system),
            deep=say(si(shown.well.static_level), "length", self._system),
        )
        self.status.value = paragraph(f"{words} {then}")

    def _problem(self, problem: Exception) -> str:
        what = f"{str(problem).rstrip('.')}."
        return OWN_WORDS["problem"].format(what=what, title=self.site.title)

    def _warn(self, words: str) -> None:
        self.status.value = edged(style.VERMILION, f"\N{WARNING SIGN} {words}", bold=True)

    def _safely(self, act: Callable[[], None]) -> None:
        safely(act, self._warn, refused=self._problem)

    def _laid_out(self) -> Any:
        first, second = row(self.upload, self.example), row(self.read, self.bar)
        looks = W.HTML(f"<style>{_LOOKS}</style>{LOOKS}", layout={"display": "none"})
        second.add_class("labkit-own-work")
        parts = [first, self.status, self.form.box, self.text, second, looks]
        box = PrintableBox(parts, on_paper=self._on_paper)
        box.add_class("labkit-own")
        return box

    def _on_paper(self) -> str:
        text = html.escape(self.text.value)
        return f"<p>{html.escape(OWN_WORDS['on paper'])}</p><pre>{text}</pre>"
