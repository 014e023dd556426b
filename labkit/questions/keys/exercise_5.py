"""Exercise 5: one switch, one drive and the pair between them, drawn for each learner."""

from math import inf
from typing import Final

import attrs
import numpy as np

from labkit.advice.stop_table import (
    ACTIONS,
    KINDS,
    NEVER_STARTS,
    NEVER_STOPS,
    WORKS,
    drive_of,
    heard,
)
from labkit.catalogue import wire_gauges
from labkit.parts import SignalPair
from labkit.questions.bank import fixed, story, words_of
from labkit.questions.keys import contact, pair
from labkit.questions.keys.lesson_5 import OUTCOMES
from labkit.questions.keys.sheet import Exercise, an_hour, are_clear, drawn_for, to_si
from labkit.questions.marking import ChoiceQuestion, NumberQuestion
from labkit.questions.phrase import Phrase
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "700 W/m^2"
_FAULTS: Final = {"none": "sound", "cut": "cut", "shorted": "shorted"}
"""Faults of a story -> how the pair is."""
_GAUGES: Final = ("16 AWG", "18 AWG", "20 AWG", "22 AWG")


@attrs.frozen(kw_only=True)
class _Drawn:
    """A line; another drive's limit [ohm] and wire; what a neighbor's fault is; a third pair."""

    site: Site
    limit: float
    gauge: str
    found: str
    pair: float
    distance: float
    near: float
    far: float


def exercise(learner: int | str) -> Exercise:
    """Return the exercise for a learner's own number."""
    number, wanted, drawn = drawn_for(
        learner,
        5,
        (WORKS, NEVER_STARTS, NEVER_STOPS),
        lambda rng, _: _thrown(rng),
        lambda one, to: heard(one.site).outcome == to and are_clear(_numbers(one)),
    )
    loop, reach, spot = _numbers(drawn)
    polarity = fixed("contact.polarity", "wires in each other's place")
    return Exercise(
        learner=number,
        site=drawn.site,
        story=_story(drawn.site),
        verdict=wanted,
        questions=(_behaviour(drawn.site), loop, reach, polarity, _broken(drawn), spot),
    )


def ohms(gauge: str) -> float:
    """Return the resistance of a thousand feet of one wire, as a table prints it [ohm]."""
    return round(wire_gauges()[gauge] * pair.THOUSAND_FEET, 1)


def _numbers(drawn: _Drawn) -> tuple[NumberQuestion, ...]:
    """Ask for the loop, the farthest switch, and where a pair touches."""
    wire = _wire(drawn.site)
    own = {"gauge": wire.gauge, "per_thousand": ohms(wire.gauge)}
    other = {"gauge": drawn.gauge, "per_thousand": ohms(drawn.gauge)}
    return (
        pair.loop("the loop", distance=si(wire.length), **own),
        pair.farthest("how far off", limit=drawn.limit, **other),
        pair.chewed("where to dig", distance=drawn.distance, near=drawn.near, far=drawn.far),
    )


def _behaviour(site: Site) -> ChoiceQuestion:
    """Ask what this line's pump does; a run decides."""
    found = OUTCOMES[an_hour(site, SUN, "14 in").verdict]
    is_faulty = _fault(site) != "none"
    return contact.what_it_does(
        "what the pump does", outcome=found, is_faulty=is_faulty, asked="drawn"
    )


def _broken(drawn: _Drawn) -> ChoiceQuestion:
    """Ask what is broken on a neighbor's line, from what a meter shows there."""
    is_cut = drawn.found == "cut"
    by_itself, joined = (0.0, inf) if is_cut else (inf, drawn.pair)
    return contact.which_part("which part", by_itself=by_itself, joined=joined, found=drawn.found)


def _wire(site: Site) -> SignalPair:
    """Return the pair of a line that has one."""
    wire = site.pressure_switch.wire
    if wire is None:
        raise ValueError("the line has no pair")
    return wire


def _fault(site: Site) -> str:
    return next(fault for fault, how in _FAULTS.items() if _wire(site).condition == how)


def _thrown(rng: np.random.Generator) -> _Drawn:
    """Draw the first demo line with a switch, a drive, a pair and perhaps a fault of it."""
    base = demo_site("first_line")
    fault = tuple(_FAULTS)[rng.integers(len(_FAULTS))]
    site = base.changed(
        {
            "drive": drive_of(base, KINDS[rng.integers(len(KINDS))]),
            "switch.action": ACTIONS[rng.integers(len(ACTIONS))],
            "switch.wire": {
                "gauge": _GAUGES[rng.integers(len(_GAUGES))],
                "length": f"{100 * int(rng.integers(4, 25))} ft",
                "condition": _FAULTS[fault],
            },
        }
    )
    near = rng.integers(20, 80) / 10.0
    return _Drawn(
        site=site,
        limit=10.0 * int(rng.integers(5, 31)),
        gauge=_GAUGES[rng.integers(len(_GAUGES))],
        found=("cut", "stuck open")[rng.integers(2)],
        pair=rng.integers(30, 300) / 10.0,
        distance=to_si(100 * int(rng.integers(8, 31)), "ft"),
        near=float(near),
        far=float(round(near * rng.integers(13, 35) / 10.0, 1)),
    )


def _story(site: Site) -> Phrase:
    """Tell the line in words."""
    wire = _wire(site)
    named = ("mains", "starter") if site.drive.kind == "mains" else ("solar", "controller")
    said = {name: words_of("stories.exercise_5", name) for name in (_fault(site), *named)}
    return story(
        "exercise_5",
        power=said[named[0]],
        drive=said[named[1]],
        stop_when=site.drive.stop_when,
        action=site.pressure_switch.action,
        gauge=wire.gauge,
        length=si(wire.length),
        fault=said[_fault(site)],
    )
