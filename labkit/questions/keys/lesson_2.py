"""Lesson 2: why it won't stop in haze."""

from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.trace import Trace


@lesson_choice
def prediction(clear: Trace, hazy: Trace) -> Picked:
    """Pick what the pump does in haze once the float valve has closed; the run decides."""
    trips, on_clear = hazy.times("switch trips"), clear.times("switch trips")
    right = "never" if not trips else "sooner" if trips[0] < on_clear[0] else "later"
    suns = {"clear": float(clear.irradiance.max()), "hazy": float(hazy.irradiance.max())}
    return Picked(right, suns)


@lesson_number
def highest(clear: Trace, hazy: Trace) -> Worked:
    """Return how high the gauge climbs in haze; the run decides."""
    answer, on_clear = (float(max(trace.pressure)) for trace in (hazy, clear))
    sun, full = (float(trace.irradiance.max()) for trace in (hazy, clear))
    return Worked(
        answer, {"in proportion to the sun": on_clear * sun / full}, {"on_clear": on_clear}
    )


@lesson_choice
def what_you_saw(hazy: Trace) -> Picked:
    """Pick what the gauge did in the haze after the float valve had closed; the run decides."""
    shut = hazy.times("float shuts")[0]
    end = min([time for time in hazy.times("float opens") if time > shut] + [hazy.time[-1]])
    at_shut = hazy.at(shut).pressure
    late, later = (hazy.at(shut + share * (end - shut)).pressure for share in (0.5, 0.95))
    flat = abs(later - late) < 0.02 * late and late > 1.2 * at_shut
    return Picked("flat" if flat else "swung")


checks = asked_at_end(__name__)
