"""Questions that come back by what was missed: plain boxes, each with a longer wait than the last.

What was answered wrong in an exercise comes back as the same question with new numbers. Answered
right it moves to the next box, answered wrong it goes back to the first.
"""

import datetime as dt
import importlib
import re
from collections.abc import Mapping
from typing import Final

import attrs

from labkit.errors import LabkitError
from labkit.questions.marking import ChoiceQuestion, NumberQuestion
from labkit.questions.progress import Page, Pages, Plain

PAGE: Final = "asked again"
"""What they go by in the learner's file; each has a part of its own there."""
WAITS: Final = (1, 3, 7, 21, 60)
"""Days in each box before a question comes back (common practice: each two or three times the one
before); after the last it is known."""
AT_ONCE: Final = 2  # questions asked again on one visit
SLOW: Final = frozenset((10, 11, 12))
"""Exercises whose line takes seconds to work out: theirs do not come back."""

_SHEET: Final = re.compile(r"exercise (\d{1,2}), number (\d{1,9})")
_ANEW: Final = 104_729
"""What is added to a learner's number for each time a question comes back, for new numbers."""


@attrs.frozen(kw_only=True)
class Due:
    """A question that comes back."""

    exercise: int  # the exercise it is from
    name: str  # the question's name there
    learner: int  # the number from which it is drawn this time
    # in which box it lies, from 0, and how often it came back
    box: int
    times: int

    @property
    def part(self) -> str:
        """What it goes by in the learner's file."""
        return f"{self.exercise} {self.name}"

    def question(self) -> NumberQuestion | ChoiceQuestion | None:
        """Return it with this time's numbers; nothing if it is not asked any more."""
        keys = importlib.import_module(f"labkit.questions.keys.exercise_{self.exercise}")
        for again in range(3):  # a number may bring a line that cannot be asked about
            try:
                sheet = keys.exercise(self.learner + again)
            except LabkitError:
                continue
            return next((one for one in sheet.questions if one.name == self.name), None)
        return None

    def answered(self, today: dt.date, *, is_right: bool) -> dict[str, Plain]:
        """Return what to keep of it after an answer."""
        box = self.box + 1 if is_right else 0
        wait = WAITS[min(box, len(WAITS) - 1)]
        due = today + dt.timedelta(days=wait)
        return {"box": box, "times": self.times + 1, "due": due.isoformat()}


def due(pages: Pages, today: dt.date) -> tuple[Due, ...]:
    """Return the questions that come back today, those of the lowest box first."""
    boxes = pages[PAGE].state if PAGE in pages else {}
    missed: dict[tuple[int, str], tuple[int, dt.date]] = {}
    for page, kept in pages.items():
        sheet = _SHEET.fullmatch(page)
        if sheet is None or int(sheet[1]) in SLOW:
            continue
        for name, since in _missed(kept).items():
            before = missed.get((int(sheet[1]), name))
            if before is None or before[1] < since:
                missed[int(sheet[1]), name] = int(sheet[2]), since
    found = []
    for (exercise, name), (learner, since) in missed.items():
        box, times, when = _box(boxes.get(f"{exercise} {name}", {}), since)
        if box < len(WAITS) and when <= today:
            number = (learner + _ANEW * (times + 1)) % 1_000_000_000
            found.append(Due(exercise=exercise, name=name, learner=number, box=box, times=times))
    return tuple(sorted(found, key=lambda one: (one.box, one.exercise, one.name)))


def _missed(page: Page) -> dict[str, dt.date]:
    """Return the questions of a sheet that were answered wrong, with the day of the last answer."""
    return {
        name: given.date
        for name, given in page.answers.items()
        if given.wrong and given.outcome != "predicted"
    }


def _box(kept: Mapping[str, Plain], since: dt.date) -> tuple[int, int, dt.date]:
    """Return in which box a question lies, how often it came back, and when it comes next."""
    first = since + dt.timedelta(days=WAITS[0])
    try:
        when = dt.date.fromisoformat(str(kept["due"]))
        return max(int(kept["box"]), 0), max(int(kept["times"]), 0), when
    except (KeyError, ValueError, TypeError):
        return 0, 0, first
