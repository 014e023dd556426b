"""What the field tests read, as it is written down: no sentence may sound as a machine would say it."""

import re
from collections.abc import Iterator

import numpy as np
import pytest

from labkit.drills import TASKS, Placed, choices, scene_of
from labkit.drills.scene import Value, read_together
from labkit.drills.signature import variants
from labkit.faults import FAULTS, stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.view.drill_words import read_out
from tests.customary import PSI

RANCHES = ("one_trough_uphill", "three_troughs", "deep_well")
NUMBER = r"([\d,]+(?:\.\d+)?)"
PRESSURE = rf"{NUMBER} (?:psi|kPa)"
NOT_SAID = {
    "not a number": r"\b(nan|inf|none|not known)\b",
    "a name left open": r"[{}]",
    "nothing measured": r"\b0(\.0+)? (in|mm|ft|m|gpm|L/min|gal|L|W|times)\b",
    "once or twice": r"\b[012] times\b",
    "a gap": r"  | [.,;:]|\.\.",
    "the screw, twice": r"was (open|closed)\b.* is \1\b",
}


def odd(said: str) -> str:
    """Name what is odd in a sentence; nothing if all is well."""
    for name, pattern in NOT_SAID.items():
        if re.search(pattern, said, re.IGNORECASE):
            return name
    if not re.fullmatch(r"[A-Z].*[a-z0-9.]\.", said):
        return "no whole sentence"
    for pattern in ("between {0} and {0}", "from {0} to {0}", "read {0}, and {0} ten"):
        for low, high in re.findall(pattern.format(PRESSURE), said):
            first, second = (float(one.replace(",", "")) for one in (low, high))
            if first == second:
                return "equal ends"
            if ("read" in pattern) != (first > second):
                return "the wrong way round"
    return ""


def one_of_each(site: Site) -> Iterator[tuple[Placed, ...]]:
    """Give each fault at its worst in its first place, and nothing wrong at all."""
    yield ()
    for key, fault in FAULTS.items():
        if fault.fits(site):
            yield next(iter(variants(site, [key], (1.0,))))[0]


@pytest.mark.parametrize("name", RANCHES)
def test_every_reading_of_every_fault_is_told_as_people_tell_it(name: str) -> None:
    site = stocked(demo_site(name))
    rng = np.random.default_rng(12)
    count = 0
    for hidden in one_of_each(site):
        scene = scene_of(site, hidden)
        for key, where in choices(site):
            read = read_together(TASKS[key].do(scene, where)[0], rng)
            for system in ("US", "metric"):
                said = read_out(key, read, system).replace("\N{NO-BREAK SPACE}", " ")
                assert not odd(said), f"{hidden}: {said}"
                if system == "metric":
                    assert not re.search(r"\d (psi|gpm|ft|gal|in)\b(?! P)", said), said
                count += 1
    assert count > 500


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("The gauge went between 71 psi and 71 psi.", "equal ends"),
        ("The gauge rose from 72 psi to 71 psi.", "the wrong way round"),
        ("It read 29 psi, and 30 psi ten minutes later.", "the wrong way round"),
        ("The water is 0 in below the rim.", "nothing measured"),
        ("With its float pushed down it passes 0.00 gpm.", "nothing measured"),
        ("The gauge shows nan psi.", "not a number"),
        ("", "no whole sentence"),
        ("The pump started 1 times.", "once or twice"),
        ("The gauge shows {gauge}.", "a name left open"),
        ("The gauge rose from 27 psi to 45 psi at most.", ""),
    ],
)
def test_what_is_odd_would_be_found(said: str, why: str) -> None:
    assert odd(said) == why


def test_what_may_fall_out_either_way_is_said_either_way() -> None:
    def say(key: str, **read: float | str) -> str:
        kinds = {"flow": "flow", "gap": "small length", "starts": "count", "water": "volume"}
        values = [
            Value(name=name, kind=kinds.get(name, "pressure"), value=value)
            if not isinstance(value, str)
            else Value(name=name, kind="word", value=value)
            for name, value in read.items()
        ]
        return read_out(key, values, "US").replace("\N{NO-BREAK SPACE}", " ")

    assert "at the rim" in say("look", gap=0.0, float="open")
    assert "0.5 in below the rim" in say("look", gap=0.0127, float="open")
    assert "read 71 psi for" in say("watch", low=71 * PSI, high=71 * PSI, starts=0.0)
    assert "started 3 times" in say("watch", low=27 * PSI, high=45 * PSI, starts=3.0)
    assert "no higher than 71 psi" in say("lift", before=71 * PSI, high=71 * PSI, pump="runs")
    assert "from 27 psi to 45 psi" in say("lift", before=27 * PSI, high=45 * PSI, pump="runs")
    assert "passes nothing" in say("press", flow=0.0)
    assert "held for ten minutes" in say("shut in", gauge=32 * PSI, later=32 * PSI)
    assert "no pressure to watch" in say("shut in", gauge=0.0, later=0.0)
    assert "no water came" in say("tank", air=25 * PSI, water=0.0)
