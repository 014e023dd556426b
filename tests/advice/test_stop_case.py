"""A case for choosing: its line and ground by hand, its prices from the list."""

from __future__ import annotations

from math import log10

import attrs
import pytest

import labkit as lab
from labkit.advice.method_sites import METHODS
from labkit.advice.stop_methods import BETWEEN, StopCase
from labkit.errors import SiteError
from labkit.units import si
from tests.customary import FOOT

START = StopCase(start=lab.demo_site("first_line"), way=3000 * FOOT)


def test_troughs_stand_evenly_along_one_pipe_with_the_herd_shared() -> None:
    """Three of them at 1,000, 2,000 and 3,000 ft; the near ones on 20 ft of pipe of their own."""
    line = attrs.evolve(START, troughs=3).line

    far = [line.distances()[trough.name] / FOOT for trough in line.troughs]
    assert far == pytest.approx([1020.0, 2020.0, 3000.0])
    assert [line.elevation(t.name) / FOOT for t in line.troughs] == pytest.approx(
        [20 / 3, 40 / 3, 20]
    )
    assert [t.herd.head for t in line.troughs if t.herd is not None] == [4, 4, 4]
    assert {run.pipe.row.size for run in line.runs()} == {"1 1/4 in PE SIDR 9"}


@pytest.mark.parametrize("between", BETWEEN)
def test_what_stands_between_stands_at_a_quarter_of_the_way(between: str) -> None:
    ground = attrs.evolve(START, between=between, troughs=2).ground

    for points in ground.values():
        x, y = ([float(part.split()[0]) for part in pair] for pair in zip(*points, strict=True))
        above = [high - 20.0 / 3000.0 * along for along, high in zip(x, y, strict=True)]
        assert max(above) == pytest.approx(BETWEEN[between], abs=0.01)
        if BETWEEN[between]:
            assert x[above.index(max(above))] == pytest.approx(750 * FOOT, abs=0.01)
            assert x == sorted(x)


def test_an_unknown_ground_is_refused() -> None:
    with pytest.raises(
        SiteError, match="stop case: between is 'a canyon'; write one of open ground"
    ):
        attrs.evolve(START, between="a canyon")


def test_a_ridge_stops_the_radio_alone() -> None:
    """The pipe and its pair go around it. Free space by ITU-R P.525 in its printed form, and the
    edge takes the rest."""
    clear, hidden = (
        attrs.evolve(START, between=between).compared() for between in ("open ground", "a ridge")
    )

    assert [method.feasible for method in clear.methods] == [True, True, True]
    assert [method.feasible for method in hidden.methods] == [True, True, False]
    path = hidden["radio"].paths["elm"]
    assert path.free_space_loss == pytest.approx(
        32.4 + 20 * log10(915) + 20 * log10(3000 * FOOT / 1000), abs=0.1
    )
    assert path.diffraction_loss > 20.0


def test_the_far_end_of_the_slider_leaves_no_room_for_a_switch() -> None:
    """The window closes where filling in strong sun reads more than the dead head in haze."""
    far = attrs.evolve(START, way=9000 * FOOT)
    filling = lab.steady(far.line, sun="1000 W/m^2").pressure["manifold"]
    shut = lab.steady(far.line, sun="250 W/m^2", open_troughs=()).pressure["manifold"]
    assert filling > shut

    assert [method.feasible for method in far.compared().methods] == [False, True, True]


@pytest.mark.parametrize("own_trench", [False, True], ids=["with the pipe", "own trench"])
@pytest.mark.parametrize("troughs", [1, 3])
def test_prices_by_distance_meet_the_bill_of_the_line(own_trench: bool, troughs: int) -> None:
    """But for the 20 ft to each trough beside the line: pair at 0.30 and a trench at 1.50."""
    case = attrs.evolve(START, own_trench=own_trench, troughs=troughs)
    branches = (troughs - 1) * 20 * (1.80 if own_trench else 0.30)

    drawn, found = case.costs([case.way]), case.compared()

    for name in METHODS:
        extra = branches if name == "wire" else 0.0
        assert found[name].cost - float(drawn[name][0]) == pytest.approx(extra, abs=25.0), name


def test_wire_grows_with_the_way_and_radio_does_not() -> None:
    """By hand from the list: 0.30 the foot and a splice of 10 for each 500 ft, 0.32 in all."""
    near, far = 1000 * FOOT, 6000 * FOOT

    costs = START.costs([near, far])

    assert costs["wire"][1] - costs["wire"][0] == pytest.approx(5000 * 0.32, abs=0.5)
    assert costs["radio"][1] == costs["radio"][0]
    assert si(START.start.troughs[0].pipe.rise) == pytest.approx(20 * FOOT)
