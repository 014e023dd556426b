"""A line's own tank against the published shares, and its cycle against a run."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from labkit import simulate
from labkit.advice.tank_size import TankCycle
from labkit.sitefile import demo_site
from tests.customary import GALLON, PSI

if TYPE_CHECKING:
    from labkit.site import Site

SUN = "700 W/m^2"
LEAK = {"at": "elm", "distance": "750 ft", "size": "0.2 gpm at 30 psi"}


@pytest.fixture(scope="module")
def site() -> Site:
    return demo_site("first_line").changed({"trough.elm.herd": None, "leaks": [LEAK]})


@pytest.mark.parametrize(
    ("low", "high", "factor"), [(20, 40, 0.3446), (30, 50, 0.2953), (40, 60, 0.2579)]
)
def test_what_a_tank_gives_is_the_published_share(
    site: Site, low: int, high: int, factor: float
) -> None:
    """Source: factors for a charge 2 psi under cut-in at sea level (Water
    Systems Council, 2007; a trade column on tank sizing, with 14.7 psia)."""
    changes = {
        "place.elevation": "0 ft", "switch.cut_in": f"{low} psi", "switch.cut_out": f"{high} psi",
        "pressure_tank.precharge": f"{low - 2} psi",
    }  # fmt: skip
    tank = TankCycle.of(site.changed(changes), SUN, [])

    assert tank.drawdown / tank.volume == pytest.approx(factor, abs=1.5e-4)


def test_the_tank_s_own_air_says_what_it_holds(site: Site) -> None:
    """By hand, Boyle: from no air over the outside's to 30 and 50 psi, with 14.7 psia outside; and
    from 42 psi, which 30 psi press no water into."""
    sea = site.changed({"place.elevation": "0 ft"})
    low, full = (
        TankCycle.of(sea.changed({"pressure_tank.precharge": charge}), SUN, [])
        for charge in ("0 psi", "42 psi")
    )

    assert low.at_cut_in / low.volume == pytest.approx(1.0 - 14.7 / 44.7, abs=1e-3)
    assert low.at_cut_out / low.volume == pytest.approx(1.0 - 14.7 / 64.7, abs=1e-3)
    assert full.at_cut_in / full.volume == pytest.approx(0.0, abs=1e-3)
    assert full.at_cut_out / full.volume == pytest.approx(1.0 - 56.7 / 64.7, abs=1e-3)


def test_eighty_five_gallons_give_twenty_five(site: Site) -> None:
    """Source: a trade column on tank sizing: 85 gal, 30/50, 28 psi charge, 14.7 psia: 25.1 gal."""
    sea = site.changed({"place.elevation": "0 ft", "pressure_tank.volume": "85 gal"})

    assert TankCycle.of(sea, SUN, []).drawdown / GALLON == pytest.approx(25.1, abs=0.05)


@pytest.mark.parametrize(("gallons", "charge"), [(2, 28), (8, 28), (8, 42), (8, 0)])
def test_a_run_swings_as_worked_out(site: Site, gallons: int, charge: int) -> None:
    """The run's soft start and ramp, some seconds, are not in the figure."""
    changes = {
        "pressure_tank.volume": f"{gallons} gal", "pressure_tank.precharge": f"{charge} psi"
    }  # fmt: skip
    changed = site.changed(changes)
    starts = simulate(changed, "1 hour", sun=SUN, start="12:00").times("pump starts")

    cycle = TankCycle.of(changed, SUN, []).cycle

    assert cycle < starts[2] - starts[1] < cycle + 25.0


def test_the_curve_is_that_of_the_tank_at_its_size(site: Site) -> None:
    found = TankCycle.of(site, SUN, [0.0, 5.0 * GALLON, 10.0 * GALLON])

    assert found.own[1] == pytest.approx(found.cycle)
    assert found.own == pytest.approx(found.usual, rel=1e-6)  # 28 psi is two under cut-in
    assert np.all(np.diff(found.own) > 0.0)


def test_the_rule_s_charge_is_better_than_one_over_cut_in_or_none(site: Site) -> None:
    for charge in ("42 psi", "0 psi"):
        found = TankCycle.of(
            site.changed({"pressure_tank.precharge": charge}), SUN, [20.0 * GALLON]
        )
        assert found.own[0] < 0.7 * found.usual[0]


def test_without_a_leak_nothing_swings_and_without_reach_nothing_is_known(site: Site) -> None:
    tight = TankCycle.of(site.changed({"leaks": []}), SUN, [1e-2])
    high = TankCycle.of(site.changed({"switch.cut_out": "80 psi"}), SUN, [1e-2])

    assert np.isinf(tight.cycle)
    assert np.isnan(high.cycle)


def test_a_line_without_a_tank_has_the_curve_all_the_same(site: Site) -> None:
    bare = TankCycle.of(site.changed({"pressure_tank": None}), SUN, [5.0 * GALLON])

    assert (bare.volume, bare.drawdown) == (0.0, 0.0)
    assert bare.precharge == pytest.approx(28.0 * PSI)
    assert bare.own[0] > bare.cycle > 0.0
