"""Lesson 11: setting up a new line. Predictions that a hazy day decides, and checks on readings."""

from labkit.advice.rules import PRESET
from labkit.engine.run import simulate
from labkit.questions.bank import Picked, Worked, asked_at_end, lesson_choice, lesson_number
from labkit.site import Site
from labkit.trace import Trace
from labkit.trace.measures import SHUT
from labkit.units import typed


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


checks = asked_at_end(__name__)
