"""One's own site in a page: typed or chosen, its errors in words at once, and what follows."""

import html
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import HTML

from labkit.advice.window import operating_window
from labkit.errors import SiteError
from labkit.figures.style import VERMILION
from labkit.language import say
from labkit.pages.looks import look
from labkit.pages.plan_form import PlanForm
from labkit.sitefile import decoded, loads
from labkit.units import si
from labkit.view import own_parts as parts
from labkit.view.card_page import card_html
from labkit.view.keeping import ProgressStore
from labkit.view.own_card import CardSaver
from labkit.view.own_parts import Part
from labkit.view.own_words import EXAMPLE, OWN_WORDS
from labkit.view.page import paragraph
from labkit.view.printed import PrintableBox
from labkit.view.tables import LOOKS as TABLE_LOOKS
from labkit.view.telling import LiveOutput, inline_markup
from labkit.view.widgets import Displayed, button, edged, row, safely, status

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.view.lesson import Lesson

_LOOKS: Final = look("own_site.css")


_PAGE: Final = "my line"
_KEPT: Final = "site file"
"""The page and the part of the learner's file that hold it, whatever page it was written on."""


class OwnSite(Displayed):
    """Where a site is typed or chosen; made once on a page, before the parts that follow it.

    Attributes
    ----------
    site : Site
        The last one that was worked out.
    upload, text, read, example : FileUpload, Textarea, Button, Button
        Where it comes from, and what sets it to work.
    status : HTML
        What is wrong with it, or what was read; read out as it changes.
    bar : FloatProgress
        How far the work is.
    """

    def __init__(self, lesson: "Lesson", text: str = EXAMPLE) -> None:
        self._lesson, self._start, self._file = lesson, text, OWN_WORDS["typed"]
        self._keeper = ProgressStore(_PAGE if lesson.keeper.page else "")
        self.site: Site = loads(text)
        self._example = self.site
        self._parts: list[tuple[Part, LiveOutput]] = []
        before = self._before()
        is_back = before not in {"", text}
        if is_back:
            self.site, text = loads(before), before
        self.upload = W.FileUpload(
            accept=".toml,.txt",
            multiple=False,
            description=OWN_WORDS["upload"],
            layout=W.Layout(width="auto"),
        )
        self.text = W.Textarea(
            value=text, description=OWN_WORDS["text"], continuous_update=False,
            layout=W.Layout(width="100%", max_width="62em"),
        )  # fmt: skip
        self.read = button(OWN_WORDS["read"], lambda: self._safely(self.work))
        self.example = button(OWN_WORDS["example"], lambda: self._safely(self.start_over))
        self.bar = W.FloatProgress(min=0.0, max=1.0, layout=W.Layout(display="none"))
        self.status = status()
        self.form = PlanForm(self._take_form)
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

    def _take_form(self, text: str) -> None:
        """Put what the form says into the text, as a site file."""
        self._file, self.text.value = OWN_WORDS["typed"], text

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
        self.read.disabled = True
        self.bar.layout.display = ""
        try:
            for place, (part, told) in enumerate(self._parts):
                self.status.value = paragraph(OWN_WORDS["working"].format(part=part.name))
                part.work(found, self._progress(place, len(self._parts)))
                told.use(self._lesson.system)
        finally:
            self.bar.layout.display, self.read.disabled = "none", False
        self._say_good(OWN_WORDS["shown"])

    def take_file(self) -> None:
        """Put a chosen file into the box, if it is text that may be a site."""
        if not self.upload.value:
            return
        chosen = self.upload.value[0]
        self.upload.value = ()
        name = str(chosen["name"])[:80]
        try:
            text = decoded(bytes(chosen["content"]), file=name)
        except SiteError as problem:
            self._warn(self._problem(problem))
            return
        self._file = name
        if text == self.text.value:
            self.look()
        self.text.value = text

    def start_over(self) -> None:
        """Put the example back."""
        self._file, self.text.value = OWN_WORDS["typed"], self._start
        self.work()

    def window(self) -> None:
        """Show the room for the switch, here and anew for each site."""
        self._show(parts.window())

    def map(self) -> None:
        """Show a coarse map of settings, here and anew for each site."""
        self._show(parts.settings_map())

    def budget(self) -> None:
        """Show the water of four months, here and anew for each site."""
        self._show(parts.budget())

    def methods(self) -> None:
        """Show the ways to say stop, here and anew for each site."""
        self._show(parts.methods())

    def card(self) -> CardSaver:
        """Show the settings card, here and anew for each site; give the buttons that save it."""
        self._show(parts.card())
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

    def _progress(self, place: int, count: int) -> Callable[[float], None]:
        """Return what fills the bar for one of several parts."""

        def fill(share: float) -> None:
            self.bar.value = (place + share) / count

        fill(0.0)
        return fill

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
        self.status.value = edged(VERMILION, f"\N{WARNING SIGN} {words}", bold=True)

    def _safely(self, act: Callable[[], None]) -> None:
        safely(act, self._warn, refused=self._problem)

    def _laid_out(self) -> Any:
        first, second = row(self.upload, self.example), row(self.read, self.bar)
        looks = W.HTML(f"<style>{_LOOKS}</style>{TABLE_LOOKS}", layout={"display": "none"})
        second.add_class("labkit-own-work")
        parts = [first, self.status, self.form.box, self.text, second, looks]
        box = PrintableBox(parts, on_paper=self._on_paper)
        box.add_class("labkit-own")
        return box

    def _on_paper(self) -> str:
        text = html.escape(self.text.value)
        return f"<p>{html.escape(OWN_WORDS['on paper'])}</p><pre>{text}</pre>"
