"""Lesson 8: several troughs at different heights on one switch."""

from labkit.engine.steady import Steady
from labkit.questions.bank import Picked, Value, asked_at_end, lesson_choice, words_of
from labkit.site import Site
from labkit.trace import Trace


def _order(trace: Trace) -> list[str]:
    """Return the troughs in the order in which their float valves close."""
    return [event.where for event in trace.events if event.kind == "float shuts"]


@lesson_choice
def full_first(trace: Trace) -> Picked:
    """Pick the trough that is full first; the run decides."""
    site = trace.site
    options: dict[str, dict[str, Value]] = {}
    for trough in site.troughs:
        height = site.elevation(trough.name)
        side = words_of("lesson_8.full_first", "above" if height >= 0.0 else "below")
        named: dict[str, Value] = {"Trough": trough.name.capitalize(), "height": abs(height)}
        options[trough.name] = named | {"side": side}
    return Picked(_order(trace)[0], options=options)


@lesson_choice
def highest_share(settled: Steady, site: Site) -> Picked:
    """Pick what the highest trough gets with all float valves open; the settled line decides."""
    highest = max(site.troughs, key=lambda one: site.elevation(one.name)).name
    share = settled.inflow[highest] / sum(settled.inflow.values())
    even = abs(share - 1.0 / len(site.troughs)) < 0.05
    return Picked("even" if even else "none" if share < 0.01 else "some", {"highest": highest})


@lesson_choice
def the_order(trace: Trace) -> Picked:
    """Pick the order in which the troughs filled; the run decides."""
    site, order = trace.site, _order(trace)
    by_height = sorted((one.name for one in site.troughs), key=site.elevation)
    if order == by_height:
        return Picked("up")
    return Picked("down" if order == by_height[::-1] else "together")


checks = asked_at_end(__name__)
