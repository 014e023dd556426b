"""Lesson 10: will the herd have water."""

from labkit.questions.bank import (
    Flow,
    Picked,
    Share,
    Volume,
    Worked,
    asked_at_end,
    lesson_choice,
    lesson_number,
)
from labkit.trace import Trace
from labkit.units.customary import DAY


@lesson_choice
def dry_day(spell: Trace, *, clouds: Share) -> Picked:  # noqa: ARG001
    """Pick the day on which the trough runs dry; the run, a clear day first, decides."""
    dry = spell.times("trough empty")
    return Picked(str(int(dry[0] // DAY) if dry else 0))


@lesson_number
def days_without(dark: Trace, *, holds: Volume, need: Flow) -> Worked:  # noqa: ARG001
    """Return for how many whole days a full trough [m3] lasts its herd [m3/s] without any pump."""
    answer = float(dark.times("trough empty")[0] // DAY)
    return Worked(answer, {"rounded up": answer + 1.0})


@lesson_choice
def what_helped(bigger: Trace, delayed: Trace, before: Trace) -> Picked:
    """Pick what changed how the spell ended, storage or restart delay; the runs decide."""
    lacked = [trace.measures().unmet for trace in (bigger, delayed, before)]
    storage = lacked[0] < 0.5 * lacked[2]
    delay = abs(lacked[1] - lacked[2]) > 0.05 * lacked[2]
    if storage:
        return Picked("both" if delay else "storage")
    return Picked("delay" if delay else "neither")


checks = asked_at_end(__name__)
