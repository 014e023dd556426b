"""Lesson 3: why it stops too soon."""

from typing import TYPE_CHECKING

from labkit.questions.bank import Picked, fixed, lesson_choice
from labkit.questions.keys import filling, friction, pump

if TYPE_CHECKING:
    from labkit.questions import Question
    from labkit.site import Site
    from labkit.trace import Trace


@lesson_choice
def prediction(noon: "Trace") -> Picked:
    """Pick what the pump does while the trough fills; the run decides."""
    if noon.verdict == "false stop":
        return Picked("early")
    return Picked("fills" if noon.times("pump starts") else "never")


@lesson_choice
def which_sun(noon: "Trace", morning: "Trace") -> Picked:
    """Pick the sun under which the trough fills without a stop; the runs decide."""
    strong, weak = (trace.verdict != "false stop" for trace in (noon, morning))
    if strong == weak:
        raise ValueError("the lesson needs two suns that differ")
    suns = {"strong": float(noon.irradiance.max()), "weak": float(morning.irradiance.max())}
    return Picked("strong" if strong else "weak", suns)


@lesson_choice
def what_came_first(noon: "Trace") -> Picked:
    """Pick whether the switch tripped before or after the float valve closed; the run decides."""
    shuts = noon.times("float shuts") or [float(noon.time[-1])]
    return Picked("switch" if noon.times("switch trips")[0] < shuts[0] else "float")


def checks(site: "Site") -> tuple["Question", ...]:
    """Return the questions at the end of the lesson; the last is a review of lesson 2."""
    again = "head at less speed, again"
    return (
        filling.while_filling(
            "gauge while filling", site=site, rise="50 ft", friction="11 psi", valve="5 psi"
        ),
        friction.doubled("twice the flow", friction="4 psi", flow="4 gpm"),
        fixed("friction.what_cures", "a cure"),
        pump.at_speed(again, site=site, shut_off="250 ft", lift="80 ft", speed=0.8),
    )
