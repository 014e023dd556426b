"""Every two faults of the box can be told apart by some field test, or are named as alike."""

from itertools import permutations

import pytest

from labkit.drills import ALIKE, choices, pieces, readings, scene_of, telling
from labkit.drills.scene import Value
from labkit.drills.signature import Channel, Piece, variants
from labkit.faults import FAULTS, stocked
from labkit.sitefile import demo_site

SITE = stocked(demo_site("one_trough_uphill"))
DONE = choices(SITE)

Cases = dict[str, list[dict[Channel, Value]]]


@pytest.fixture(scope="module")
def cases() -> Cases:
    """Exact readings of every task, for three sizes of each fault."""
    return {
        key: [readings(scene_of(SITE, way), DONE) for ways in variants(SITE, [key]) for way in ways]
        for key in FAULTS
    }


@pytest.fixture(scope="module")
def suspects() -> dict[str, list[Piece]]:
    """What each fault can read at any size between, at any point of its cycle."""
    return {key: pieces(SITE, [key], lambda met, wait: readings(met, DONE, wait)) for key in FAULTS}


def test_the_standard_ranch_can_have_every_fault(cases: Cases) -> None:
    assert all(cases.values())


@pytest.mark.parametrize("pair", list(permutations(FAULTS, 2)), ids=" against ".join)
def test_some_field_test_tells_two_faults_apart(
    pair: tuple[str, str], cases: Cases, suspects: dict[str, list[Piece]]
) -> None:
    """Whatever the size of the one, no size of the other reads the same, errors counted."""
    fault, other = pair
    if frozenset(pair) in ALIKE:
        pytest.skip(ALIKE[frozenset(pair)])

    for read in cases[fault]:
        for piece in suspects[other]:
            assert telling(read, piece)


def test_pairs_named_as_alike_give_a_reason_and_are_alike(
    cases: Cases, suspects: dict[str, list[Piece]]
) -> None:
    for pair, why in ALIKE.items():
        assert why.endswith(".")
        one, other = sorted(pair)
        assert any(not telling(read, piece) for read in cases[one] for piece in suspects[other])
