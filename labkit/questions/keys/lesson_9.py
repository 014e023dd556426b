"""Lesson 9: float valves, stops and starts."""

from labkit.questions.bank import Picked, asked_at_end, lesson_choice
from labkit.trace import Trace
from labkit.units import si

SEVERAL = 6  # stops from which on nobody says "once or twice"


@lesson_choice
def as_it_closes(filled: Trace) -> Picked:
    """Pick what the pump does while the float valve closes; the run decides."""
    stops = len(filled.times("pump stops"))
    band = si(filled.site.troughs[0].float_valve.band)
    right = "once" if stops == 1 else "a few" if stops < SEVERAL else "many"
    return Picked(right, {"band": band})


def read_while_they_sip(sipping: Trace) -> dict[str, float]:
    """Return what is read off the run: the rate [m3/s], when stock come and leave, the pump [s].

    On paper nobody can turn the bench, so these times stand there in its place.
    """
    rate = sipping.drinking[sipping.site.troughs[0].name]
    standing = sipping.time[rate > 0.0]
    came, left = float(standing[0]), float(standing[-1])
    starts, stops = (
        [time for time in sipping.times(kind) if time > came]
        for kind in ("pump starts", "pump stops")
    )
    turns = dict(zip(("one", "two", "three", "four"), sorted(starts + stops), strict=False))
    return {"rate": float(max(rate)), "came": came, "left": left, "last": stops[-1], **turns}


@lesson_choice
def while_they_sip(sipping: Trace) -> Picked:
    """Pick what the pump did while stock drank less than it gives; the run decides."""
    herd = sipping.site.troughs[0].herd
    stay = si(herd.visit_time) if herd is not None else 0.0
    shut = sipping.times("float opens")[0]
    stops = [time for time in sipping.times("pump stops") if shut < time < shut + stay]
    more = {"rate": read_while_they_sip(sipping)["rate"]}
    return Picked("many" if len(stops) >= SEVERAL else "once", more)


checks = asked_at_end(__name__)
