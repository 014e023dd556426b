"""Lesson 3: why it stops too soon."""

from labkit.questions.bank import Picked, asked_at_end, lesson_choice
from labkit.trace import Trace


@lesson_choice
def prediction(noon: Trace) -> Picked:
    """Pick what the pump does while the trough fills; the run decides."""
    if noon.verdict == "false stop":
        return Picked("early")
    return Picked("fills" if noon.times("pump starts") else "never")


@lesson_choice
def which_sun(noon: Trace, morning: Trace) -> Picked:
    """Pick the sun under which the trough fills without a stop; the runs decide."""
    strong, weak = (trace.verdict != "false stop" for trace in (noon, morning))
    if strong == weak:
        raise ValueError("the lesson needs two suns that differ")
    suns = {"strong": float(noon.irradiance.max()), "weak": float(morning.irradiance.max())}
    return Picked("strong" if strong else "weak", suns)


@lesson_choice
def what_came_first(noon: Trace) -> Picked:
    """Pick whether the switch tripped before or after the float valve closed; the run decides."""
    shuts = noon.times("float shuts") or [float(noon.time[-1])]
    return Picked("switch" if noon.times("switch trips")[0] < shuts[0] else "float")


checks = asked_at_end(__name__)
