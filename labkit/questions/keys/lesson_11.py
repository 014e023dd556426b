"""Lesson 11: setting up a new line. Predictions that a hazy day decides, and checks on readings."""

from typing import TYPE_CHECKING

from labkit.advice.rules import PRESET
from labkit.engine.run import simulate
from labkit.questions.bank import Picked, Worked, fixed, lesson_choice, lesson_number
from labkit.questions.keys import commissioning
from labkit.site import Site
from labkit.trace import Trace
from labkit.trace.measures import SHUT
from labkit.units import typed

if TYPE_CHECKING:
    from labkit.questions import Question


def from_the_box(site: Site) -> Site:
    """Return a line whose switch is set as its label says, the tank charged for that."""
    low, high = (typed(point, "pressure") for point in PRESET)
    return site.changed({"pressure_switch.cut_in": low, "pressure_switch.cut_out": high})


def dull(site: Site, sun: float) -> Trace:
    """Run three hours of a sun [W/m2] from a trough that is nearly full."""
    levels = {trough.name: trough.depth * 0.7 for trough in site.troughs}
    return simulate(site, "3 hour", sun=f"{sun} W/m^2", start="11:00", levels=levels)


@lesson_choice
def in_haze(hazy: Trace) -> Picked:
    """Pick what the switch as it came does on a hazy day; the run decides."""
    more = {"low": PRESET[0], "high": PRESET[1], "sun": float(hazy.irradiance.max())}
    return Picked("stops" if hazy.times("switch trips") else "runs on", more)


@lesson_number
def ends_at(hazy: Trace) -> Worked:
    """Return how far the gauge climbs in haze with the float valve closed."""
    return Worked(float(hazy.pressure[hazy.widest_opening < SHUT].max()))


def checks() -> tuple["Question", ...]:
    """Return the questions at the end of the lesson."""
    read = {"static": "12 psi", "running": "24 psi", "hazy": "38 psi", "noon": "66 psi"}
    return (
        fixed("lesson_11.never_closes"),
        commissioning.middle("halfway", **read),
        commissioning.quarters("quarter turns", seen="51 psi", count=16),
        commissioning.tank_air("air", over="36 psi", back="21 psi"),
    )
