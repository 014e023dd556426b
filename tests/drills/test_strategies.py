"""Guessing does not pass; care does."""

import logging
from collections.abc import Iterator

import pytest

from labkit.drills import Drill, draw_drill
from tests.drills.playing import played

RANCH = "one_trough_uphill"


def drills(many: int) -> Iterator[Drill]:
    return (draw_drill(RANCH, number) for number in range(1, many + 1))


def share_that_passes(many: int, by: str) -> float:
    found = played(drills(many), by)
    well = [hidden for hidden, why in found if not why]
    others = [(hidden.key, why) for hidden, why in found if why]
    logging.getLogger(__name__).info("%s: %d of %d; %s", by, len(well), many, others[:12])
    return len(well) / many


@pytest.mark.parametrize("many", [40, pytest.param(500, marks=pytest.mark.slow)])
def test_guessing_from_the_top_of_the_list_does_not_pass(many: int) -> None:
    assert share_that_passes(many, "guessing") <= 0.02


@pytest.mark.parametrize("many", [4, pytest.param(120, marks=pytest.mark.slow)])
def test_care_passes(many: int) -> None:
    assert share_that_passes(many, "care") >= 0.95
