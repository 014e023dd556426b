"""One's own site in a page: typed or chosen, its errors in words at once, and what follows."""

import html
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name
from IPython.display import HTML, display

from labkit.errors import LabkitError, SiteError
from labkit.figures.style import VERMILION
from labkit.language import say
from labkit.pages.looks import look
from labkit.pages.plan_form import PlanForm
from labkit.sitefile import decoded, loads
from labkit.text.shared import WORDS
from labkit.units import si
from labkit.view import own_parts as parts
from labkit.view.card_page import card_html
from labkit.view.keeping import Keeper
from labkit.view.own_card import CardSaver
from labkit.view.own_parts import Part
from labkit.view.own_words import EXAMPLE, OWN_WORDS
from labkit.view.page import paragraph
from labkit.view.printed import Printed
from labkit.view.tables import LOOKS as TABLE_LOOKS
from labkit.view.telling import Told, emphasized

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.view.lesson import Lesson

_LOOKS: Final = look("own_site.css")


_PAGE: Final = "my line"
_KEPT: Final = "site file"
"""The page and the part of the learner's file that hold it, whatever page it was written on."""


class OwnSite:
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
        self._keeper = Keeper(_PAGE if lesson.keeper.page else "")
        self.site: Site = loads(text)
        self._example = self.site
        self._parts: list[tuple[Part, Told]] = []
        before = self._before()
        is_back = before not in {"", text}
        if is_back:
            self.site, text = loads(before), before
        wide = W.Layout(width="auto")
        self.upload = W.FileUpload(
            accept=".toml,.txt", multiple=False, description=OWN_WORDS["upload"], layout=wide
        )
        self.text = W.Textarea(
            value=text, description=OWN_WORDS["text"], continuous_update=False,
            layout=W.Layout(width="100%", max_width="62em"),
        )  # fmt: skip
        self.read = W.Button(description=OWN_WORDS["read"], layout=wide)
        self.example = W.Button(description=OWN_WORDS["example"], layout=wide)
        self.bar = W.FloatProgress(min=0.0, max=1.0, layout=W.Layout(display="none"))
        self.status = W.HTML()
        self.status.add_class("labkit-status")
        self.form = PlanForm(self._take_form)
        self.box = self._laid_out()
        self._fill_form()
        self._say_good(OWN_WORDS["as left" if is_back else "shown"])
        self.upload.observe(lambda _: self._safely(self.take_file), "value")
        self.text.observe(lambda _: self._safely(self.look), "value")
        self.read.on_click(lambda _: self._safely(self.work))
        self.example.on_click(lambda _: self._safely(self.start_over))
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
            self._say_problem(problem)
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
        return CardSaver(lambda: (self.site, card_html(parts.window_of(self.site), self._system)))

    @property
    def _system(self) -> str:
        return self._lesson.system

    def _show(self, part: Part) -> None:
        part.work(self.site, lambda _: None)
        told = Told(
            lambda system: HTML(self._shown(part, system)),  # type: ignore[no-untyped-call]
            self._system,
            waits=True,
        )
        self._lesson.told.append(told)
        self._parts.append((part, told))

    def _shown(self, part: Part, system: str) -> str:
        """Write a part; before the predictions are made, only for a site of one's own."""
        if self._lesson.is_waiting and self.site == self._example:
            return f"<p>{emphasized(OWN_WORDS['part waits'])}</p>"
        return part.html(system)

    def _progress(self, place: int, count: int) -> Callable[[float], None]:
        """Give what fills the bar for one of several parts."""

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
            self._say_problem(problem)
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

    def _say_problem(self, problem: Exception) -> None:
        words = OWN_WORDS["problem"].format(
            what=f"{str(problem).rstrip('.')}.", title=self.site.title
        )
        self._warn(words)

    def _warn(self, words: str) -> None:
        style = f"border-left:4px solid {VERMILION};padding-left:8px"
        self.status.value = f'<p style="{style}"><b>\N{WARNING SIGN} {html.escape(words)}</b></p>'

    def _safely(self, act: Callable[[], None]) -> None:
        """Do something, and say so if it fails: an error of a callback would reach no learner."""
        try:
            act()
        except LabkitError as problem:
            self._say_problem(problem)
        except Exception as error:  # noqa: BLE001
            words = WORDS["unexpected"].format(what=type(error).__name__)
            self._warn(f"{words[:1].upper()}{words[1:]}")

    def _laid_out(self) -> Any:
        row = W.Layout(flex_flow="row wrap", align_items="center")
        first = W.HBox([self.upload, self.example], layout=row)
        looks = W.HTML(f"<style>{_LOOKS}</style>{TABLE_LOOKS}", layout={"display": "none"})
        second = W.HBox([self.read, self.bar], layout=row)
        second.add_class("labkit-own-work")
        parts = [first, self.status, self.form.box, self.text, second, looks]
        box = Printed(parts, on_paper=self._on_paper)
        box.add_class("labkit-own")
        return box

    def _on_paper(self) -> str:
        text = html.escape(self.text.value)
        return f"<p>{html.escape(OWN_WORDS['on paper'])}</p><pre>{text}</pre>"

    def _ipython_display_(self) -> None:
        display(self.box)  # type: ignore[no-untyped-call]
