"""The window against brute force: thousands of settings run on a dozen lines that differ in kind.

Every setting that a window allows must give a sound stop, in which no pipe, float or relief valve is
pushed past its limit; every setting that lies outside by more than one psi must fail in the way
that was foretold. Expected values come from the simulation, which knows nothing of windows.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.advice.trying import SITES, Try, tried

KINDS = {
    "flat", "uphill", "downhill", "long_thin", "tiny_array", "helical", "helical_relief",
    "three_troughs", "big_tank", "leaky_float", "cold_high", "mains",
}  # fmt: skip


def test_the_sites_differ_in_kind() -> None:
    assert set(SITES) == KINDS


@pytest.mark.parametrize("name", SITES)
def test_a_coarse_grid_of_settings_does_as_foretold(name: str) -> None:
    settings = tried(name, ins=4, outs=7, suns=3)

    _all_agree(settings)
    assert Counter(one.foretold for one in settings)["sound stop"] >= 4
    assert len({one.foretold for one in settings}) >= 2  # some of the grid lies outside


@pytest.mark.slow
@pytest.mark.parametrize("name", SITES)
def test_a_fine_grid_of_settings_does_as_foretold(name: str) -> None:
    _all_agree(tried(name, ins=10, outs=19, suns=6))


def _all_agree(settings: list[Try]) -> None:
    astray = [one for one in settings if not one.agrees]
    assert astray == [], f"{len(astray)} of {len(settings)} differ, first {astray[0]}"
