"""The page for a line with something wrong: what was read goes in, what it may be comes out."""

import html
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, Final

import ipywidgets as W  # noqa: N812 - the widgets' usual short name

from labkit.diagnosis import READINGS, SEEN, TESTS, Diagnosis
from labkit.diagnosis.logger import Log, log_of
from labkit.diagnosis.reasoning import Lineup, line_up, typed_readings
from labkit.diagnosis.visit import NO_PLACE
from labkit.errors import LabkitError
from labkit.figures.image import image_tag
from labkit.figures.style import VERMILION
from labkit.pages.looks import look
from labkit.site import Site
from labkit.sitefile import decoded, demo_names, demo_site, loads
from labkit.text import as_id, speaker, template
from labkit.units import unit_label
from labkit.view import diagnosis_told, widgets
from labkit.view.keeping import MY_LINE, ProgressStore, in_pieces, together
from labkit.view.page import paragraph
from labkit.view.widgets import WIDE, choice_list, chosen_file, heading, show

_say = speaker("diagnosis")


FIRST: Final = ("fill", "stop", "ten minutes", "start")
"""Tests asked for from the beginning: what a first visit shows without a tool in hand."""

_LONGEST: Final = 24_000  # characters of a site file that is kept for the next visit
_EXAMPLE: Final = "one_trough"

_LOOKS: Final = look("diagnosis.css")


class ReadingBox:
    """Where one reading is typed or chosen, with its complaint beside it."""

    def __init__(
        self, key: str, where: str, label: str, heard: "Callable[[ReadingBox], None]"
    ) -> None:
        self.reading = READINGS[key]
        # the reading as `labkit.diagnosis.diagnose` takes it, such as ``"bucket @ north"``
        self.name = f"{key} @ {where}" if where else key
        if self.reading.words:
            words = [(shown, word) for word, shown in self.reading.choices]
            self.entry: Any = W.Dropdown(
                options=[(_say("not-read"), ""), *words], value="", description=label, style=WIDE
            )
        else:
            self.entry = W.Text(
                description=f"{label} ({unit_label(self.reading.kind, 'US')})", style=WIDE,
                placeholder=_say("never") if key == "stop to start" else "",
                continuous_update=False,
            )  # fmt: skip
        self.said = W.HTML()
        self.view = W.VBox([self.entry, self.said])
        self.view.add_class("labkit-reading")
        self.entry.observe(lambda _: heard(self), "value")

    @property
    def typed(self) -> str:
        """What was read, with the unit beside the box where none was typed; empty for nothing."""
        value = " ".join(str(self.entry.value).split())
        if self.reading.words or not value or any(sign.isalpha() for sign in value):
            return value
        return f"{value} {unit_label(self.reading.kind, 'US')}"

    def put(self, value: str) -> None:
        """Put back what was read on an earlier visit, if it still can be."""
        if not self.reading.words or value in self.reading.words:
            self.entry.value = value

    def complain(self, words: str) -> None:
        """Say what is wrong with it, or nothing."""
        self.said.value = widgets.edged(VERMILION, words) if words else ""


class WrongLine(widgets.Displayed):
    """The page: the line, what was read on it, what fits, and the next test.

    `site` is the line. What is typed, chosen or uploaded goes into `upload`, `ranch`, `trough`,
    `sun`, `table` and `boxes`, these by their names; more come as they are asked for. `status` is
    what is going on or wrong, `found` what fits: both are read out as they change.
    """

    def __init__(self, page: str = MY_LINE) -> None:
        self.keeper = ProgressStore(page)
        self.log: Log | None = None
        self._lineup: Lineup | None = None
        self._text = ""
        layout = W.Layout(width="auto", max_width="100%")
        self.upload = W.FileUpload(accept=".toml,.txt", description=_say("own-file"), layout=layout)
        ranches = [(demo_site(name).title, name) for name in _ranches()]
        self.ranch = choice_list(_say("demo"), ranches, value=_EXAMPLE)
        self.trough = choice_list(_say("worked"))
        self.sun = choice_list(_say("sun-seen"), SEEN)
        self.table = W.FileUpload(accept=".csv,.txt", description=_say("own-log"), layout=layout)
        self.work = self.work_again()
        self.every = widgets.button(_say("every"), lambda: self._safely(self._show_every))
        self.bar = W.FloatProgress(min=0.0, max=1.0, layout=W.Layout(display="none"))
        self.line, self.logged = W.HTML(), W.HTML()
        self.status, self.found = widgets.status(), widgets.status()
        self.first, self.more = W.VBox([]), W.VBox([])
        self.boxes: dict[str, ReadingBox] = {}
        self._open: list[tuple[str, str]] = []
        self._busy = False
        self.site: Site = demo_site(_EXAMPLE)
        self.box = self._laid_out()
        self._come_back()
        for widget, act in (
            (self.upload, self._take_file), (self.table, self._take_table),
            (self.ranch, self._take_ranch), (self.trough, self._ask_anew),
            (self.sun, self._forget),
        ):  # fmt: skip
            widget.observe(lambda _, act=act: self._safely(act), "value")

    @property
    def readings(self) -> dict[str, str]:
        """What was read, by name; what cannot be read is left out."""
        typed = {name: box.typed for name, box in self.boxes.items() if box.typed}
        return {name: value for name, value in typed.items() if not self._problem(name, value)}

    def answer(self) -> None:
        """Weigh every suspect by what was read, and say what fits and what to test next."""
        worked = str(self.trough.value)
        readings = (self.log.readings() if self.log else {}) | self.readings
        read = typed_readings(self.site, readings, worked)
        self.work.disabled = True
        show("working", self.bar)
        self.status.value = paragraph(_say("working"))

        def fill(share: float) -> None:
            self.bar.value = share

        try:
            if self._lineup is None:
                self._lineup = line_up(
                    self.site, trough=worked, sun=str(self.sun.value), progress=fill
                )
            self._lineup, weighed = self._lineup.consider(read, progress=fill)
            found = self._lineup.answer(read, weighed)
        finally:
            self.work.disabled = False
            show(None, self.bar)
        self.status.value = ""
        self.found.value = self._told(found)
        self._ask_next(found)
        self._keep()

    def _told(self, found: Diagnosis) -> str:
        """Write what fits, and the picture of the log."""
        if not found.read:
            words = paragraph(_say("no-readings"))
        else:
            rows = "".join(
                f'<tr><td style="background-size:{100.0 * chance:.0f}% 5px">{html.escape(said)}'
                f"</td><td><b>{html.escape(name)}</b>{html.escape(brief)}</td></tr>"
                for said, chance, name, brief in diagnosis_told.cause_rows(found)
            )
            words = f"{heading(_say('likely'))}<table>{rows}</table>"
            words += "".join(paragraph(line) for line in diagnosis_told.after_causes(found) if line)
        if self.log is not None:
            alt = _say("picture-alt", name=self.log.name)
            words += image_tag(diagnosis_told.log_png(found, self.log), alt)
        return words + paragraph(_say("ranges"))

    def _ask_next(self, found: Diagnosis) -> None:
        """Put the boxes of the next test under what was found, with how it is done."""
        useful = diagnosis_told.useful_tests(found)
        self.more.children = []
        if not useful:
            self.more.children = [W.HTML(paragraph(_say("settled")))] if found.fits else []
            return
        first = useful[0]
        lines = diagnosis_told.test_lines(found, useful)
        head = W.HTML(heading(_say("next")) + "".join(paragraph(line.strip()) for line in lines))
        where = first.where if first.where != self.trough.value else NO_PLACE
        test = (first.key, where)
        self.more.children = [head, *self._views([test], titled=False), self.work_again()]
        if test not in self._open:
            self._open.append(test)

    def work_again(self) -> Any:
        """Make a button that works it out: one more stands under the boxes of the next test."""
        return widgets.button(_say("work"), lambda: self._safely(self.answer))

    def _views(self, tests: list[tuple[str, str]], *, titled: bool = True) -> list[Any]:
        """Return the boxes of some tests, each under its name, with how it is done."""
        views: list[Any] = []
        for key, where in tests:
            if titled:
                how = _say(f"test-{as_id(key)}.how", trough=where or self.trough.value)
                views.append(W.HTML(paragraph(how)))
            for name in TESTS[key].reads:
                full = f"{name} @ {where}" if where else name
                if full not in self.boxes:
                    label = diagnosis_told.reading_label(name, where or str(self.trough.value))
                    self.boxes[full] = ReadingBox(name, where, label, self._heard)
                views.append(self.boxes[full].view)
        return views

    def _ask_anew(self) -> None:
        """Ask for the first readings of this line again; what was read stays where it can."""
        before = {name: box.entry.value for name, box in self.boxes.items()}
        self.boxes = {}
        self._forget()
        first = [(key, NO_PLACE) for key in FIRST]
        self._open = list(dict.fromkeys([*first, *self._open]))
        known = {"", *(each.name for each in self.site.troughs)}
        can = {key for key, test in TESTS.items() if test.needs(self.site)}
        self._open = [(key, at) for key, at in self._open if key in can and at in known]
        self.first.children = self._views(self._open)
        self._put_back(before)

    def _show_every(self) -> None:
        """Ask for every reading that this line has."""
        self._open += [(key, NO_PLACE) for key, test in TESTS.items() if test.needs(self.site)]
        self.more.children = []
        self._ask_anew()

    def _forget(self) -> None:
        """Let go of what was drawn and found: it was of another line, trough or sun."""
        self._lineup = None
        self.found.value = ""
        self.more.children = []
        self._keep()

    def _heard(self, box: ReadingBox) -> None:
        """Say at once whether what was typed can be read, and keep it."""
        if self._busy:
            return
        box.complain(self._problem(box.name, box.typed) if box.typed else "")
        self._keep()

    def _problem(self, name: str, value: str) -> str:
        try:
            typed_readings(self.site, {name: value}, str(self.trough.value))
        except LabkitError as problem:
            return widgets.sentence_of(problem)
        return ""

    def _take_ranch(self) -> None:
        self._take(demo_site(str(self.ranch.value)), "")

    def _take_file(self) -> None:
        chosen = chosen_file(self.upload)
        if chosen is None:
            return
        name, content = chosen[0][:80], chosen[1]
        text = decoded(content, file=name)
        site = loads(text, file=name)
        self._take(site, text if len(text) <= _LONGEST else "")

    def _take(self, site: Site, text: str) -> None:
        """Take another line; one that cannot be diagnosed is refused, and the old one stays."""
        line_up(site, draw=False)
        self.site, self._text, self.log, self.logged.value = site, text, None, ""
        self._open = []
        self._show_line()
        self._ask_anew()

    def _show_line(self) -> None:
        names = [each.name for each in self.site.troughs]
        self.trough.options = names
        self.trough.value = names[-1]
        show(len(names) > 1, self.trough)
        self.line.value = paragraph(_say("line", title=self.site.title))
        self.status.value = ""

    def _take_table(self) -> None:
        chosen = chosen_file(self.table)
        if chosen is None:
            return
        self.log = log_of(chosen[0][:60], chosen[1])
        self.logged.value = "".join(paragraph(line) for line in diagnosis_told.log_lines(self.log))
        self.status.value = ""

    def _keep(self) -> None:
        if self._busy:
            return
        told = {
            "ranch": str(self.ranch.value),
            "trough": str(self.trough.value),
            "sun": str(self.sun.value),
        }
        self.keeper.leave("line", told | in_pieces(self._text, "file"))
        self.keeper.leave("readings", {name: box.typed for name, box in self.boxes.items()})

    def _come_back(self) -> None:
        """Put back the line and the readings of an earlier visit."""
        line, read = self.keeper.state("line"), self.keeper.state("readings")
        with self._quietly():
            self._put_line(line)
            names = [name for name, value in read.items() if value]
            self._open = [one for name in names if (one := _test_of(name)) is not None]
            self._ask_anew()
        self._put_back(read)

    def _put_back(self, values: Mapping[str, Any]) -> None:
        """Put back what was read, where it is still asked for."""
        with self._quietly():
            for name, value in values.items():
                if value and name in self.boxes:
                    self.boxes[name].put(str(value))

    @contextmanager
    def _quietly(self) -> Iterator[None]:
        """Change boxes and lists without keeping or asking anything."""
        before, self._busy = self._busy, True
        try:
            yield
        finally:
            self._busy = before

    def _put_line(self, line: Mapping[str, Any]) -> None:
        text = together(line, "file")
        try:
            if text:
                self.site, self._text = loads(text), text
            elif line.get("ranch") in _ranches():
                self.ranch.value = line["ranch"]
                self.site = demo_site(str(line["ranch"]))
        except LabkitError as problem:
            self._warn(widgets.sentence_of(problem))
        self._show_line()
        if line.get("trough") in self.trough.options:
            self.trough.value = line["trough"]
        if line.get("sun") in SEEN:
            self.sun.value = line["sun"]

    def _safely(self, act: Callable[[], None]) -> None:
        if not self._busy:
            widgets.safely(act, self._warn, unexpected=template("diagnosis", "unexpected"))

    def _warn(self, words: str) -> None:
        self.status.value = widgets.edged(VERMILION, words)

    def _laid_out(self) -> Any:
        box = W.VBox(
            [
                W.HTML(heading(_say("which-line"))),
                widgets.row(self.upload, self.ranch),
                self.line,
                widgets.row(self.trough, self.sun),
                W.HTML(heading(_say("what-read")) + paragraph(_say("how-typed"))),
                self.first,
                widgets.row(self.table, self.logged),
                widgets.row(self.work, self.every, self.bar),
                self.status,
                self.found,
                self.more,
                widgets.row(self.keeper.note, self.keeper.again),
                widgets.styled(_LOOKS),
            ]
        )
        box.add_class("labkit-wrong")
        return box


def _ranches() -> list[str]:
    """Return the demo ranches that a pressure switch stops."""
    return [name for name in demo_names() if demo_site(name).drive.listens_to != "level sensor"]


def _test_of(name: str) -> tuple[str, str] | None:
    """Return the test in which a reading is taken, with the trough that its name gives."""
    reading, _, where = (part.strip() for part in name.partition("@"))
    return next(((key, where) for key, test in TESTS.items() if reading in test.reads), None)
