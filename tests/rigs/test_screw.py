"""The range screw of the rig: every setting that it can have, counted by hand."""

from __future__ import annotations

import pytest

from labkit.rigs import Screw
from tests.customary import PSI


@pytest.mark.parametrize(
    ("preset", "last_out"),
    [
        ((30.0, 50.0), 28),  # 30 - 28 x 0.875 = 5.5 psi; a quarter more would leave under 5 psi
        ((40.0, 60.0), 32),  # eight turns out are the end of the stud
    ],
)
def test_every_quarter_from_all_the_way_in_to_all_the_way_out(
    preset: tuple[float, float], last_out: int
) -> None:
    screw = Screw(preset=(preset[0] * PSI, preset[1] * PSI))

    found = list(screw.every(has_nut=False))

    assert [one.quarters for one in found] == list(range(-24, last_out + 1))
    assert found[0].cut_in / PSI == pytest.approx(preset[0] + 6 * 3.5)
    assert found[0].cut_out / PSI == pytest.approx(preset[1] + 6 * 4.5)
