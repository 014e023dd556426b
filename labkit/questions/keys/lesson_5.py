"""Lesson 5: which switch, which wire, and finding a break."""

from typing import Final

from labkit.advice.stop_table import NEVER_STARTS, NEVER_STOPS, WORKS, heard
from labkit.questions import ChoiceQuestion
from labkit.questions.bank import Picked, asked_at_end, lesson_choice
from labkit.questions.keys import contact
from labkit.site import Site
from labkit.trace import Trace

OUTCOMES: Final = {"sound stop": WORKS, "stuck off": NEVER_STARTS, "no stop": NEVER_STOPS}
"""What a run found -> what comes of contact and controller."""


def on_the_mains(mains: Trace) -> ChoiceQuestion:
    """Ask what the solar pump's switch does on a grid-powered pump; the run decides."""
    name = "the same switch on a mains pump"
    return contact.what_it_does(name, outcome=OUTCOMES[mains.verdict], asked="grid")


def cut_through(cut: Trace) -> ChoiceQuestion:
    """Ask what your own pump does with a wire cut; the run decides."""
    name = "a wire of your pair is cut"
    outcome = OUTCOMES[cut.verdict]
    return contact.what_it_does(name, outcome=outcome, asked="cut", is_faulty=True)


@lesson_choice
def what_the_wire_changed(thick: Trace, thin: Trace) -> Picked:
    """Pick what gauge and length of the pair changed in the run; two runs decide."""
    if thick.verdict != thin.verdict:
        return Picked("stop")
    trips = [trace.times("switch trips") for trace in (thick, thin)]
    return Picked("meter" if trips[0] == trips[1] else "pressure")


def opening_switch(name: str, *, site: Site) -> ChoiceQuestion:
    """Ask what an opening switch makes of a solar drive; the table of switches decides."""
    backward = heard(site.changed({"switch.action": "opens on rise"}))
    return contact.what_it_does(name, outcome=backward.outcome, asked="opening")


checks = asked_at_end(__name__)
