"""Lesson 1: how the gauge knows that a far trough is full."""

from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.sun import clock_seconds
from labkit.trace import Trace
from labkit.units import si


@lesson_choice
def prediction(trace: Trace) -> Picked:
    """Pick what the gauge does once the float valve has closed; the run decides."""
    shut = trace.times("float shuts")[0]
    before, later = trace.at(shut - 60.0).pressure, trace.at(shut + 60.0).pressure
    changed = "climbed" if later > 1.2 * before else "fell" if later < 0.8 * before else "stays"
    return Picked(changed)


@lesson_number
def starts(trace: Trace) -> Worked:
    """Return how often the pump starts; the run decides."""
    herd = trace.site.troughs[0].herd
    if herd is None:
        raise ValueError("the lesson needs a herd")
    visit = {"came": clock_seconds(herd.visits[0]), "stay": si(herd.visit_time)}
    return Worked(float(trace.measures().starts), more={"cows": herd.head, **visit})


@lesson_choice
def what_came_first(trace: Trace) -> Picked:
    """Pick which came first, float valve, switch or pump; the run decides."""
    kinds = ("float shuts", "switch trips", "pump stops")
    first = min(kinds, key=lambda kind: trace.times(kind)[0])
    return Picked(first, {"time": trace.clock + trace.times("pump stops")[0] + 60.0})


checks = asked_at_end(__name__)
