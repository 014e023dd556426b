"""Lesson 7: what a pressure tank gives, and what it doesn't fix."""

from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.trace import Trace
from labkit.units import si

ALIKE = 0.03  # two losses that differ by less than this share are the same


@lesson_number
def starts(small: Trace, big: Trace) -> Worked:
    """Return how often the pump starts with a bigger tank; the runs decide."""
    small_tank, big_tank = (
        si(one.site.pressure_tank.volume) for one in (small, big) if one.site.pressure_tank
    )
    before, after = (one.measures().starts for one in (small, big))
    more = {"small_tank": small_tank, "big_tank": big_tank, "before": before}
    return Worked(float(after), {"unchanged": float(before)}, more)


@lesson_choice
def lost(small: Trace, big: Trace) -> Picked:
    """Pick what the bigger tank does to the leak's loss; the runs decide."""
    before, after = (one.measures().leaked for one in (small, big))
    if abs(after - before) < ALIKE * before:
        return Picked("same")
    return Picked("less" if after < before else "more")


@lesson_choice
def differential(narrow: Trace, wide: Trace) -> Picked:
    """Pick what a smaller differential does; the runs decide."""
    few, many = wide.measures().starts, narrow.measures().starts
    return Picked("more" if many > few else "fewer" if many < few else "same")


checks = asked_at_end(__name__)
