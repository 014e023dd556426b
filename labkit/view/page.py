"""What every bench has on its page: rows to turn, units, reset, words, the scene and pictures.

A row's number is kept in SI, so that a change of units moves no setting. A site's own number need
be none of the slider's steps; so the steps are counted from the value until it is moved.
"""

import html
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from math import ceil, floor, isclose
from typing import TYPE_CHECKING, Any, Final, Protocol

from labkit.errors import LabkitError
from labkit.figures import looks
from labkit.language import number, say, unit_word
from labkit.pages.live import LiveBench
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import WORDS
from labkit.units import UNIT_SYSTEMS, UNITS, displayed, quantity, si, unit_label
from labkit.view.controls import Choice, Control, Span

if TYPE_CHECKING:
    from labkit.figures.scene import Scene

_DECIMALS: Final = 2  # what is kept of a number in a display unit
_SAME: Final = 0.0051  # numbers this near to each other are one


class SettingSlider:
    """The number of one control: `si` where it stands [SI], all else in the units in use."""

    def __init__(
        self, control: Control, *, start: float, system: str, changed: Callable[[], None]
    ) -> None:
        self.control, self.start, self.si = control, start, start
        self._changed, self.disabled = changed, False
        self.use(system)

    @property
    def value(self) -> float:
        """Where it stands in the units in use; set, it is moved there, within its range."""
        return self._value

    @value.setter
    def value(self, new: float) -> None:
        if self.move(min(max(new, self.min), self.max)):
            self._changed()

    def use(self, system: str) -> None:
        """Show the same value in the units of a system."""
        self.system, self.label = system, self.control.label(system)
        self._span = self._stretched()
        self._signs = {sign: WORDS[sign].format(name=self.label) for sign in ("less", "more")}
        self._stand(self.si)

    def reset(self) -> None:
        """Go back to the start."""
        self._stand(self.start)

    def move(self, new: float) -> bool:
        """Move to a number of the slider, and return whether that is another one.

        From a value between the steps, the first move goes to the next step that way.
        """
        before, span = self.value, self._span
        if abs(new - before) < _SAME:
            return False
        if not _is_step(before, span) and not _is_step(new, span):
            turn = floor if new > before else ceil
            new = span.low + span.step * turn((new - span.low) / span.step)
        self._stand(from_display(new, self.control.kind, self.system))
        return True

    def type_in(self, text: str) -> bool:
        """Take what was typed, a number or one with a unit; return whether it is another one."""
        span, kind = self._span, self.control.kind
        shown = _read(text, kind, self.system)
        if shown is None or not span.low - _SAME < shown < span.high + _SAME:
            said = {"low": f"{span.low:,g}", "high": f"{span.high:,g}"}
            said |= {"name": self.label, "text": text.strip(), "unit": unit_word(kind, self.system)}
            raise LabkitError(WORDS["not in range"].format(**said))
        if abs(shown - self.value) < _SAME:
            return False
        self._stand(from_display(shown, kind, self.system))
        return True

    def words(self) -> str:
        """Say where it stands, such as ``"Cut-out 30.0 psi"``."""
        return self._words

    def ends(self) -> tuple[float, ...]:
        """Return the ends of its range [SI]."""
        ends = (self._span.low, self._span.high)
        return tuple(from_display(end, self.control.kind, self.system) for end in ends)

    def message(self) -> dict[str, Any]:
        """Return what a page shows of it."""
        return {
            "kind": "range", "name": self.control.name, "label": self.label,
            "unit": unit_word(self.control.kind, self.system),
            "min": self.min, "max": self.max, "step": self.step, "value": self._value,
            "decimals": self._decimals, "locked": self.disabled, **self._signs,
        }  # fmt: skip

    def _stretched(self) -> Span:
        """Return its range, stretched by whole steps to hold its start."""
        span = self.control.spans[self.system]
        start = displayed(self.start, self.control.kind, self.system)
        low = span.low - span.step * max(ceil((span.low - start) / span.step - 1e-9), 0)
        high = span.high - span.step * min(floor((span.high - start) / span.step + 1e-9), 0)
        return Span(low, high, span.step)

    def _stand(self, value: float) -> None:
        """Stand at a value [SI], and count the steps from it if it is none of them."""
        span, kind, system = self._span, self.control.kind, self.system
        self.si, self.step = value, span.step
        self._value = shown = round(displayed(value, kind, system), _DECIMALS)
        self._words = f"{self.label} {say(value, kind, system)}"
        self._decimals = 0 if span.step >= 1.0 else 2 if round(10.0 * span.step, 6) % 1.0 else 1
        self.min, self.max = span.low, span.high
        if not _is_step(shown, span):
            below, above = (
                floor(max(way, 0.0) / span.step) for way in (shown - span.low, span.high - shown)
            )
            self.min, self.max = shown - below * span.step, shown + above * span.step
            written = number(value, kind, system)
            self._decimals = max(self._decimals, len(written.partition(".")[2]))


class SettingChoice:
    """The choice of one control; the same to a bench as a `SettingSlider`.

    What is chosen at first is added to the options if it is none of them.
    """

    def __init__(
        self, control: Choice, options: tuple[str, ...], *, start: str, changed: Callable[[], None]
    ) -> None:
        self.control, self.start, self.si = control, start, start
        self._changed, self.disabled = changed, False
        self.options = options if start in options else (start, *options)

    @property
    def value(self) -> str:
        """What is chosen; set, it is chosen."""
        return self.si

    @value.setter
    def value(self, new: str) -> None:
        if self.type_in(new):
            self._changed()

    def use(self, system: str) -> None:
        """Show the same choice in the units of a system: words have none."""

    def reset(self) -> None:
        """Go back to the start."""
        self.si = self.start

    def type_in(self, option: str) -> bool:
        """Choose an option, and return whether it is another one."""
        if option not in self.options or option == self.si:
            return False
        self.si = option
        return True

    @property
    def label(self) -> str:
        """Its label."""
        return self.control.words

    def words(self) -> str:
        """Say what is chosen, such as ``"Pump centrifugal"``."""
        return f"{self.control.words} {self.control.option_words(self.si)}"

    def ends(self) -> tuple[str, ...]:
        """Return all that can be chosen."""
        return self.options

    def message(self) -> dict[str, Any]:
        """Return what a page shows of it."""
        options = [[option, self.control.option_words(option)] for option in self.options]
        return {
            "kind": "choice", "name": self.control.name, "label": self.label,
            "options": options, "value": self.si, "locked": self.disabled,
        }  # fmt: skip


Row = SettingSlider | SettingChoice  # what a bench asks one thing with


def row_of(
    control: Control | Choice, site: Site, sun: Sun, *, system: str, changed: Callable[[], None]
) -> Row:
    """Make the row of a control for the site and the sun at which a bench starts."""
    if isinstance(control, Choice):
        options = control.options(site)
        return SettingChoice(control, options, start=control.read(site, sun), changed=changed)
    return SettingSlider(control, start=control.read(site, sun), system=system, changed=changed)


def sites_at_ends(rows: Iterable[Row], site: Site, sun: Sun) -> Iterator[Site]:
    """Return the sites at the ends of each row, the other rows left as they start."""
    for row in rows:
        apply: Callable[..., tuple[Site, Sun]] = row.control.apply
        for value in row.ends():
            try:
                yield apply(site, sun, value)[0]
            except LabkitError:  # an end that this site cannot take says so when it is tried
                continue


def from_display(shown: float, kind: str, system: str) -> float:
    """Turn a number in a display unit into SI."""
    unit = UNIT_SYSTEMS[system][kind]
    return unit.factor * shown + unit.offset


def _read(text: str, kind: str, system: str) -> float | None:
    """Read a number, or one with a unit, in the display unit; None where it is neither."""
    plain = text.replace(",", "").replace("\N{MINUS SIGN}", "-").strip()
    try:
        return float(plain)
    except ValueError:
        pass
    if unit_label(kind, system) not in UNITS:
        return None
    try:
        return float(displayed(si(quantity(plain, unit_label(kind, system))), kind, system))
    except LabkitError:
        return None


def _is_step(shown: float, span: Span) -> bool:
    """Whether a number is one of the steps of a range."""
    steps = (shown - span.low) / span.step
    return span.low - _SAME < shown < span.high + _SAME and isclose(
        steps, round(steps), abs_tol=_SAME / span.step
    )


LABELS: Final = (
    "play", "pause", "speed", "zoom in", "zoom out", "controls", "units", "reset", "picture",
    "in picture", "caution", "type a value",
)  # fmt: skip


class Turned(Protocol):
    """What a page tells of what people do."""

    def on_setting(self) -> None:
        """Take in that rows were turned."""

    def on_units(self, system: str) -> None:
        """Take in another system of units."""

    def on_reset(self) -> None:
        """Go back to the start."""

    def draw_charts(self) -> str:
        """Return the charts of the run that stands, as HTML."""


class Page:
    """A live bench, and what it shows now. With nobody to tell, nothing in it can be turned."""

    def __init__(
        self,
        rows: Mapping[str, Row],
        *,
        question: str,
        system: str,
        turned: Turned | None,
        on_paper: Callable[[], str],
    ) -> None:
        self.rows, self.system, self._turned = rows, system, turned
        self.scene: Scene | None = None
        self.said = self.problem = self.pictures = ""  # words beside the scene's; pictures as HTML
        self.has_charts = self.is_locked = False  # charts to ask for once all is quiet
        self._held = self._sent = self._run = 0
        self._painted: Scene | None = None
        self._answered = ""
        asking = paragraph(question, bold=True) if question else ""
        units = [[name, WORDS[name]] for name in ("US", "metric")]
        frame = {
            "question": question,
            "labels": {name: WORDS[name] for name in LABELS} | {"moment": WORDS["moment slider"]},
            "units": units if turned else None,
            "looks": {
                "lines": looks.LINES, "fills": looks.FILLS, "caution": looks.CAUTION,
                "states": {
                    kind: {str(code): look for code, look in states.items()}
                    for kind, states in looks.STATES.items()
                },
            },
        }  # fmt: skip
        self.box = LiveBench(
            frame,
            heard=self._on_message,
            on_paper=lambda: f'<div class="labkit-leads">{asking}</div>{on_paper()}',
        )
        self.send()

    @property
    def text(self) -> str:
        """All words and pictures that stand on the page."""
        scene = [self.scene.text, self.scene.so_far, self.scene.alt] if self.scene else []
        return " ".join(part for part in (self.problem, self.said, *scene, self.pictures) if part)

    @contextmanager
    def together(self, answered: str = "") -> Iterator[None]:
        """Send what changes within as one message, as the answer to one of the page's."""
        self._held += 1
        try:
            yield
        finally:
            self._held -= 1
            self._answered = answered
            self.send()

    def send(self) -> None:
        """Send everything that is shown, unless more is to come."""
        if self._held:
            return
        self._sent += 1
        with self.box.hold_sync():
            self.box.show = {
                "n": self._sent, "to": self._answered, "system": self.system, "run": self._run,
                "rows": [row.message() for row in self.rows.values()],
                "locked": self.is_locked, "note": WORDS["locked"] if self.is_locked else "",
                "said": self.said, "problem": self.problem, "charts": self.has_charts,
            }  # fmt: skip
            self.box.pictures = self.pictures
            if self.scene is not self._painted:
                self.box.scene = self.scene.message() if self.scene else {}
                self._painted = self.scene
        self._answered = ""

    def take(self, scene: "Scene | None" = None, *, said: str = "") -> None:
        """Show a scene, and words beside its own; what was wrong before is over."""
        self.scene, self.said, self.problem = scene, said, ""
        self._run += 1
        self.send()

    def say(self, words: str) -> None:
        """Write words beside those of the scene."""
        self.said, self.problem = words, ""
        self.send()

    def warn(self, words: str) -> None:
        """Say what is wrong with a setting; all else stays."""
        self.problem = words
        self.send()

    def hang(self, pictures: str) -> None:
        """Show pictures, as HTML, under the scene or in its place."""
        self.pictures = pictures
        self.send()

    def lock(self, *, locked: bool) -> None:
        """Hold the rows and the reset until a prediction is made, and say so."""
        self.is_locked = locked
        for row in self.rows.values():
            row.disabled = locked
        self.send()

    def use(self, system: str) -> None:
        """Show the rows in the units of a system."""
        self.system = system
        for row in self.rows.values():
            row.use(system)
        self.send()

    def close(self) -> None:
        """Take everything off the page."""
        self._turned = None
        self.box.close()

    def hear(self, content: Mapping[str, Any]) -> None:
        """Do what a person did on the page."""
        if self._turned is None:
            return
        if "set" in content:
            self._set(content["set"])
        elif "units" in content:
            self._turned.on_units(str(content["units"]))
        elif "reset" in content and not self.is_locked:
            self._turned.on_reset()
        elif "charts" in content:
            self.pictures = self._turned.draw_charts()

    def _on_message(self, content: Mapping[str, Any]) -> None:
        with self.together(str(content.get("n", ""))):
            self.hear(content)

    def _set(self, values: Mapping[str, Any]) -> None:
        """Turn rows: numbers come from sliders, text from a box or a list."""
        if self.is_locked or self._turned is None:
            return
        moved, problem = False, ""
        for name, value in values.items():
            row = self.rows.get(name)
            if row is None:
                continue
            try:
                moved |= row.type_in(value) if isinstance(value, str) else row.move(float(value))  # type: ignore[union-attr]
            except LabkitError as error:
                problem = str(error)
        if moved:
            self._turned.on_setting()
        if problem:
            self.warn(problem)


class Followed:
    """What stands on a page to be turned, and who is told of it: a bench, or the like of one."""

    page: Page

    def __init__(self, system: str) -> None:
        self.system = system  # whose units are shown: "US", "metric"
        self._heard: list[Callable[[], None]] = []
        self._used: list[Callable[[str], None]] = []

    def listen(self, hear: Callable[[], None]) -> None:
        """Call `hear` after every good run."""
        self._heard.append(hear)

    def listen_to_units(self, hear: Callable[[str], None]) -> None:
        """Call `hear` with the system of units whenever a person chooses one."""
        self._used.append(hear)

    def use(self, system: str) -> None:
        """Show the same in other units; nothing is run."""
        if system != self.system:
            self.on_units(system)

    def lock(self) -> None:
        """Hold everything that can be turned until a prediction is made."""
        self._set_locked(locked=True)

    def unlock(self) -> None:
        """Let it be turned."""
        self._set_locked(locked=False)

    def on_units(self, system: str) -> None:
        """Show the same in the units of a system, and tell who goes along."""
        self._turn_units(system)
        for hear in self._used:
            hear(system)

    def _turn_units(self, system: str) -> None:
        self.system = system
        with self.page.together():
            self.page.use(system)
            self._show()

    def _show(self) -> None:
        """Show what was found last in the units in use."""
        raise NotImplementedError

    def _set_locked(self, *, locked: bool) -> None:
        self.page.lock(locked=locked)


def paragraph(words: str, *, bold: bool = False) -> str:
    """Return words as a paragraph of HTML."""
    inside = html.escape(words)
    return f"<p><b>{inside}</b></p>" if bold else f"<p>{inside}</p>"
