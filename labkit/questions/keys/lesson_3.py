"""Lesson 3: why it stops too soon."""

from typing import TYPE_CHECKING

from labkit.questions.bank import Picked, fixed, lesson_choice
from labkit.questions.keys import filling, friction, pump
from labkit.questions.keys.sheet import plain_si, weight_of_water

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
    weight = weight_of_water(site)
    return (
        filling.while_filling(
            "gauge while filling",
            rise=plain_si(50, "ft"),
            weight=weight,
            friction=plain_si(11, "psi"),
            valve=plain_si(5, "psi"),
        ),
        friction.doubled("twice the flow", friction=plain_si(4, "psi"), flow=plain_si(4, "gpm")),
        fixed("friction.what_cures", "a cure"),
        pump.at_speed(
            "head at less speed, again",
            shut_off=plain_si(250, "ft"),
            lift=plain_si(80, "ft"),
            speed=0.8,
            weight=weight,
        ),
    )
