"""Lesson 15: water hammer."""

from collections.abc import Mapping

from labkit.engine.surge_record import Surge
from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.units import si


@lesson_number
def highest_when_slammed(wave: Surge) -> Worked:
    """Return how high the pressure at the trough goes; the run decides."""
    at_trough = wave.pressure[wave.trough]
    before = float(at_trough[0])
    return Worked(
        float(at_trough.max()),
        {"stays as it was": before},
        {
            "closing": wave.closing_time,
            "before": before,
            "cut_out": si(wave.site.pressure_switch.cut_out),
        },
    )


@lesson_choice
def what_calmed_it(tried: Mapping[str, Surge]) -> Picked:
    """Pick which change left the lowest peak at the trough; the runs decide."""
    return Picked(
        min(tried, key=lambda name: float(tried[name].pressure[tried[name].trough].max()))
    )


checks = asked_at_end(__name__)
