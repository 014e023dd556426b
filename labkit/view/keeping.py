"""Keeping what a learner answers on a page, and saying so."""

import math
import threading
import time
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final

from labkit.errors import LabkitError
from labkit.questions import Outcome, progress
from labkit.text.shared import WORDS
from labkit.view.asking import PredictionWidget, QuestionWidget
from labkit.view.page import Row, SettingChoice, paragraph
from labkit.view.widgets import button, sentence_of, status

if TYPE_CHECKING:
    from labkit.view.bench import Bench
    from labkit.view.stop_method_bench import StopMethodBench

MY_LINE: Final = "my line"
"""The page of the learner's file that holds a line of one's own: its site file, its readings."""
QUIET: Final = 0.6
"""How long a bench must stand before its settings are kept [s]: not at each move of a slider."""


class _WhenQuiet:
    """Does something once nobody has called for a while; a thread for each call would cost more."""

    def __init__(self, do: Callable[[], None]) -> None:
        self._do, self._quiet_from, self._waits = do, 0.0, False

    def __call__(self) -> None:
        self._quiet_from = time.monotonic() + QUIET
        if not self._waits:
            self._wait(QUIET)

    def _wait(self, seconds: float) -> None:
        later = threading.Timer(seconds, self._look)
        later.daemon = self._waits = True
        later.start()

    def _look(self) -> None:
        rest = self._quiet_from - time.monotonic()
        if rest > 0.0:
            self._wait(rest)
            return
        self._waits = False
        self._do()


class ProgressStore:
    """Keeps the answers of one page in the learner's file.

    `page` is what it is called there, such as ``"lesson 1"``; empty to keep nothing. `of` is the
    page that this one is a part of, forgotten with it: it holds the learner's number.
    """

    def __init__(self, page: str, *, of: str = "") -> None:
        self.page, self._of, self.note = page, of, status()
        display = "" if page else "none"
        self.again = button(
            WORDS["start over"], self._start_over, align_self="flex-start", display=display
        )
        if page:
            self._say(WORDS["keeps"].format(file=progress.progress_file().name))

    def mark(self, asked: QuestionWidget) -> None:
        """Keep an answer that was marked."""
        marked = asked.marked
        if marked is None or marked.outcome is Outcome.UNREAD:
            return
        given = progress.Given(
            given=asked.answer.words(asked.system),
            outcome=marked.outcome.value,
            wrong=int(not marked.is_right),
            slips=(marked.slip,) if marked.slip else (),
            entry=asked.answer.value,
        )
        self._do(progress.keep_answer, asked.question.name, given)

    def predict(self, predicted: PredictionWidget) -> None:
        """Keep a prediction."""
        words, entry = predicted.said(predicted.system), predicted.answer.value
        given = progress.Given(given=words, outcome="predicted", entry=entry)
        self._do(progress.keep_answer, predicted.question.name, given)

    def recall(self, asked: QuestionWidget | PredictionWidget) -> None:
        """Put back what was answered or predicted on an earlier visit."""
        before = self._before().answers.get(asked.question.name)
        if before is None:
            return
        if isinstance(asked, PredictionWidget):
            asked.restore(before)
        elif before.outcome != "predicted":
            asked.recall(before)

    def state(self, part: str) -> Mapping[str, progress.Plain]:
        """Return how a part of the page was left; nothing where it never was."""
        return self._before().state.get(part, {})

    def leave(self, part: str, values: Mapping[str, progress.Plain]) -> None:
        """Keep how a part of the page stands now."""
        self._do(progress.keep_state, part, values)

    def results(self) -> tuple[progress.Result, ...]:
        """Return the tasks finished on this page, the latest last."""
        return self._before().results

    def finish(self, result: progress.Result) -> None:
        """Keep a finished task."""
        self._do(progress.keep_result, result)

    def follow(self, bench: "Bench | StopMethodBench", part: str, *, put_back: bool) -> None:
        """Keep how the sliders of a bench stand, from here on; first put them back as they stood.

        A setting that cannot be run anymore is left out: the bench then stands as the lesson has
        it.
        """
        if not self.page:
            return
        before = self.state(part) if put_back else {}
        left = {name: told for name, told in before.items() if name in bench.sliders}
        moved = [_put(bench.sliders[name], told, bench.system) for name, told in left.items()]
        if any(moved):
            bench.update()
            if bench.error is None:
                bench.page.say(WORDS["as left"])
            else:
                bench.on_reset()

        def settings() -> dict[str, progress.Plain]:
            return {name: row.si for name, row in bench.sliders.items() if row.si != row.start}

        def keep() -> None:
            now = settings()
            if now != self.state(part):
                self.leave(part, now)

        bench.listen(_WhenQuiet(keep))

    def _before(self) -> progress.Page:
        """Read what is kept of this page."""
        if not self.page:
            return progress.Page()
        try:
            return progress.read_progress(progress.progress_file()).get(self.page, progress.Page())
        except LabkitError as problem:
            self._say(sentence_of(problem))
            return progress.Page()

    def _do(self, keep: Callable[..., None], *what: object) -> None:
        if not self.page:
            return
        try:
            keep(progress.progress_file(), self.page, *what)
        except LabkitError as problem:
            self._say(sentence_of(problem))

    def _start_over(self) -> None:
        if self.again.description == WORDS["start over"]:
            self.again.description = WORDS["really"]
            return
        self._do(progress.start_over)
        if self._of:
            ProgressStore(self._of)._do(progress.start_over)  # noqa: SLF001 - one of its own kind
        self.again.description, self.again.disabled = WORDS["begun anew"], True
        self.again.add_class("labkit-anew")

    def _say(self, words: str) -> None:
        self.note.value = paragraph(words)


_PIECE: Final = 3000  # characters of a text kept in one entry; a learner's file has no long lines


def in_pieces(text: str, name: str) -> dict[str, progress.Plain]:
    """Return a long text as entries of a state."""
    return {
        f"{name} {place:02d}": text[at : at + _PIECE]
        for place, at in enumerate(range(0, len(text), _PIECE))
    }


def together(state: Mapping[str, progress.Plain], name: str) -> str:
    """Return a text that was kept with `in_pieces`; empty if there is none."""
    return "".join(str(state[key]) for key in sorted(state) if key.startswith(f"{name} "))


def _put(row: Row, left: progress.Plain, system: str) -> bool:
    """Put a slider or list where it was left, if it still can; return whether it moved."""
    if isinstance(row, SettingChoice):
        return isinstance(left, str) and row.type_in(left)
    if isinstance(left, (str, bool)) or not math.isfinite(left):
        return False
    low, high = sorted(row.ends())
    room = 1e-6 * (high - low)
    if left == row.si or not low - room <= left <= high + room:
        return False
    row.si = float(left)
    row.use(system)
    return True
