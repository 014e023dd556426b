"""Every two faults of the box can be told apart by some field test.

So on lines that differ in kind: one trough uphill; three troughs on a trunk with two tees; a deep
well with a positive-displacement pump, a relief valve and two troughs; a flat line without a tank;
one whose switch opens; a mile of pipe. Where a fault can sit
in several places, its places are told apart as well, or the fault is named as one that is not asked
for its place.
"""

from functools import cache
from itertools import permutations
from typing import NamedTuple

import pytest
from _pytest.mark.structures import ParameterSet

from labkit.drills import UNPLACED, choices, distinguishing_tests, pieces, readings
from labkit.drills.marking import asked_places
from labkit.drills.scene import Scene, Value
from labkit.drills.signature import Channel, Piece, Placed, variants
from labkit.faults import FAULTS, stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from tests.faults.standard import GUARDED


def slow(name: str) -> ParameterSet:
    return pytest.param(name, marks=pytest.mark.slow)


LONG = slow("three_troughs")
LINES = {
    "one_trough_uphill": GUARDED,
    "no tank": demo_site("one_trough").changed({"pressure_tank": None}),
    "opens on rise": demo_site("one_trough").changed(
        {"pressure_switch.action": "opens on rise", "drive.stop_when": "open"}
    ),
    "a mile": demo_site("one_trough_uphill").changed({"trough.notch.pipe.length": "5200 ft"}),
}
"""Ranches that are not as their file says; the first can have every fault of the box."""
WIDE = tuple(map(slow, ("no tank", "opens on rise", "a mile")))
RANCHES = ("one_trough_uphill", LONG, "deep_well")
Case = tuple[Placed, dict[Channel, Value]]


class Box(NamedTuple):
    """A ranch, exact readings of every task for three sizes of each fault, and their spans."""

    site: Site
    cases: dict[str, list[Case]]
    suspects: dict[tuple[str, str], list[Piece]]

    def alike(self, case: Case, key: str, where: str = "") -> bool:
        """Say whether a fault, anywhere or in one place, can read the same as a case throughout."""
        return any(
            not distinguishing_tests(case[1], piece)
            for (other, place), spans in self.suspects.items()
            if other == key and where in ("", place)
            for piece in spans
        )


@cache
def box(name: str) -> Box:
    site = stocked(LINES.get(name) or demo_site(name))
    done = choices(site)
    fits = {key: fault for key, fault in FAULTS.items() if fault.fits(site)}
    at_once: list[dict[Channel, Value]] = []  # each case is read on the way to its suspect's spans

    def read(met: Scene, wait: float) -> dict[Channel, Value]:
        found = readings(met, done)
        if wait == met.minutes == 0.0:
            at_once.append(found)
        return found

    suspects = {
        (key, where): pieces(site, [key], read, {key: where})
        for key, fault in fits.items()
        for where in fault.places(site)
    }
    cases: dict[str, list[Case]] = {key: [] for key in fits}
    ways = [way[0] for key in fits for ways in variants(site, [key]) for way in ways]
    for one, found in zip(ways, at_once, strict=True):
        cases[one.key].append((one, found))
    return Box(site, cases, suspects)


def test_the_standard_ranch_can_have_every_fault() -> None:
    found = box("one_trough_uphill").cases

    assert set(found) == set(FAULTS)
    assert all(found.values())


@pytest.mark.parametrize("name", [*RANCHES, *WIDE])
def test_some_field_test_tells_two_faults_apart(name: str) -> None:
    """Whatever the size of the one, no size of the other reads the same, errors counted."""
    here = box(name)
    alike = {
        frozenset(pair)
        for pair in permutations(here.cases, 2)
        if any(here.alike(case, pair[1]) for case in here.cases[pair[0]])
    }

    assert alike == set()


@pytest.mark.parametrize("name", RANCHES)
def test_some_field_test_tells_the_places_of_a_fault_apart(name: str) -> None:
    here = box(name)
    for key, cases in here.cases.items():
        places = asked_places(here.site, key)
        assert not places or key not in UNPLACED
        for case in cases:
            others = [where for where in places if where != case[0].where]
            assert not any(here.alike(case, key, where) for where in others), case[0]


@pytest.mark.parametrize("key", UNPLACED)
@pytest.mark.parametrize("name", [LONG, "deep_well"])
def test_a_fault_that_is_not_asked_for_its_place_cannot_be_placed(name: str, key: str) -> None:
    here = box(name)
    alike = [
        (case[0].where, where)
        for case in here.cases[key]
        for where in FAULTS[key].places(here.site)
        if where != case[0].where and here.alike(case, key, where)
    ]

    assert alike


def test_a_line_of_one_trough_asks_for_no_place() -> None:
    site = box("one_trough_uphill").site

    assert not any(asked_places(site, key) for key in FAULTS)
