"""Exercise 5: one switch, one drive and the pair between them, drawn for each learner."""

from math import inf
from typing import Final

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
from labkit.questions import Question
from labkit.questions.bank import Value, fixed, words_of
from labkit.questions.keys import contact, pair, sheet
from labkit.questions.keys.lesson_5 import OUTCOMES
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.units import si

SUN: Final = "700 W/m^2"
_FAULTS: Final = {"none": "sound", "cut": "cut", "shorted": "shorted"}
"""Faults of a story -> how the pair is."""
_GAUGES: Final = ("16 AWG", "18 AWG", "20 AWG", "22 AWG")


def ohms(gauge: str) -> float:
    """Return the resistance of a thousand feet of one wire, as a table prints it [ohm]."""
    return round(wire_gauges()[gauge] * pair.THOUSAND_FEET, 1)


def _wire(site: Site) -> SignalPair:
    wire = site.pressure_switch.wire
    if wire is None:
        raise ValueError("the line has no pair")
    return wire


def _thrown(rng: np.random.Generator, wanted: str) -> sheet.Draft:
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
    limit = 10.0 * int(rng.integers(5, 31))
    other = _GAUGES[rng.integers(len(_GAUGES))]
    found = ("cut", "stuck open")[rng.integers(2)]
    on_pair = rng.integers(30, 300) / 10.0
    spot = {
        "distance": sheet.to_si(100 * int(rng.integers(8, 31)), "ft"),
        "near": float(near),
        "far": float(round(near * rng.integers(13, 35) / 10.0, 1)),
    }
    by_itself, joined = (0.0, inf) if found == "cut" else (inf, on_pair)
    wire = _wire(site)

    def asks() -> tuple[Question, ...]:
        does = {"outcome": OUTCOMES[sheet.an_hour(site, SUN, "14 in").verdict], "asked": "drawn"}
        own = {"gauge": wire.gauge, "per_thousand": ohms(wire.gauge)}
        metered = {"by_itself": by_itself, "joined": joined, "found": found}
        return (
            contact.what_it_does("what the pump does", is_faulty=fault != "none", **does),
            pair.loop("the loop", distance=si(wire.length), **own),
            pair.farthest("how far off", limit=limit, gauge=other, per_thousand=ohms(other)),
            fixed("contact.polarity", "wires in each other's place"),
            contact.which_part("which part", **metered),
            pair.chewed("where to dig", **spot),
        )

    return sheet.Draft(
        site=site,
        verdict=wanted,
        does=lambda: heard(site).outcome == wanted,
        asks=asks,
        tells=lambda: _told(site, fault),
    )


def _told(site: Site, fault: str) -> dict[str, Value]:
    """Return what the story tells of a line."""
    wire = _wire(site)
    named = ("mains", "starter") if site.drive.kind == "mains" else ("solar", "controller")
    power, drive, ails = (words_of("stories.exercise_5", name) for name in (*named, fault))
    return {
        "power": power,
        "drive": drive,
        "stop_when": site.drive.stop_when,
        "action": site.pressure_switch.action,
        "gauge": wire.gauge,
        "length": si(wire.length),
        "fault": ails,
    }


exercise = sheet.exercise(5, (WORKS, NEVER_STARTS, NEVER_STOPS), _thrown)
