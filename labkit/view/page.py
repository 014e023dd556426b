"""What every bench has on its page: rows to turn, units, reset, words, the scene and pictures."""

import html
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final, Protocol

from labkit.errors import LabkitError
from labkit.figures import looks
from labkit.pages.live import LiveBench
from labkit.text.shared import WORDS
from labkit.view.rows import Row

if TYPE_CHECKING:
    from labkit.figures.scene import Scene

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
