"""How a shut line leaks down, against integrals done by hand and against the lie of the land."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.integrate import quad

from labkit.advice.leak_down import (
    CHECK,
    FLOAT,
    LINE,
    PLACES,
    at_stop,
    closed_form_fall,
    fall,
    with_single_leak,
)
from labkit.engine.plant import make_plant
from labkit.sitefile import demo_site
from tests.customary import FOOT, GALLON, GPM, PSI

if TYPE_CHECKING:
    from labkit.site import Site

SUN, SIZE = "700 W/m^2", "0.1 gpm at 30 psi"
WEIGHT = 9802.0  # of water at 55 degF [N/m3]: 999.5 kg/m3 (handbooks) times 9.80665
AIR = 101325.0 * (1.0 - 2.25577e-5 * 4600.0 * FOOT) ** 5.25588  # standard atmosphere at 4,600 ft
LEAD = {CHECK: 60.0 * FOOT * WEIGHT, FLOAT: -20.0 * FOOT * WEIGHT, LINE: -10.0 * FOOT * WEIGHT}
"""Column between the gauge and each leak: 60 ft down the well, 20 ft up the hill, halfway up."""


@pytest.fixture(scope="module")
def site() -> Site:
    return demo_site("first_line").changed({"trough.elm.herd": None})


def integral(site: Site, place: str, top: float, bottom: float) -> float:
    """Source: C(p) dp/dt = -k sqrt(p + L), integrated by scipy; 5 gal of tank, charged to 28 psi,
    by Boyle's law, and the pipes' own stretch."""
    plant, _ = make_plant(site)
    elastic = float(plant.nodes.C.sum()) / WEIGHT

    def time_for_each(p: float) -> float:
        tank = 5.0 * GALLON * (28.0 * PSI + AIR) / (p + AIR) ** 2 if p > 28.0 * PSI else 0.0
        leak = 0.1 * GPM * ((p + LEAD[place]) / (30.0 * PSI)) ** 0.5
        return float((elastic + tank) / leak)

    return float(quad(time_for_each, bottom, top, points=[28.0 * PSI], limit=200)[0])


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("bottom", [35.0, 15.0])
def test_the_closed_form_is_the_integral(site: Site, place: str, bottom: float) -> None:
    """Above the precharge the tank's water goes, below it the pipe's own."""
    paper = closed_form_fall(
        with_single_leak(site, place, SIZE), place, SIZE, 50.0 * PSI, bottom * PSI
    )

    wanted = integral(site, place, 50.0 * PSI, bottom * PSI)
    assert paper.time[-1] == pytest.approx(wanted, rel=1e-3)
    assert paper.pressure[-1] == pytest.approx(bottom * PSI)


@pytest.mark.parametrize("place", PLACES)
def test_a_run_leaks_down_as_worked_out(site: Site, place: str) -> None:
    """To cut-in; the run's rows lie far apart, so it is asked where it has one: at the switch."""
    leaky = with_single_leak(site, place, SIZE)
    now = at_stop(leaky, SUN)
    seen = fall(now, 30.0)

    reached = float(np.interp(-30.0 * PSI, -seen.pressure, seen.time))

    assert reached == pytest.approx(integral(leaky, place, now.pressure, 30.0 * PSI), rel=3e-3)


@pytest.mark.parametrize(("place", "feet"), [(FLOAT, 20.0), (LINE, 10.0)])
def test_a_leak_on_the_hill_leaves_the_column_below_it(site: Site, place: str, feet: float) -> None:
    """Source: 2.31 ft of water to a psi (handbooks)."""
    end = fall(at_stop(with_single_leak(site, place, SIZE), SUN), 60.0).pressure[-1]

    assert end / PSI == pytest.approx(feet / 2.31, abs=0.1)


def test_a_bad_check_valve_leaves_nothing(site: Site) -> None:
    seen = fall(at_stop(with_single_leak(site, CHECK, SIZE), SUN), 40.0)

    assert seen.pressure[-1] < 0.0
    assert seen.at(0.0) > 49.0 * PSI


def test_behind_the_shut_valve_only_the_check_valve_is_seen(site: Site) -> None:
    for place in PLACES:
        seen = fall(at_stop(with_single_leak(site, place, SIZE), SUN), 10.0, is_valve_shut=True)
        lost = float(seen.pressure[0] - seen.pressure[-1])
        assert (lost > 10.0 * PSI) is (place == CHECK)
        assert lost > 10.0 * PSI or lost < 0.1 * PSI


def test_a_pump_that_never_stops_is_watched_from_where_it_runs(site: Site) -> None:
    """Cut-out at 80 psi: this pump's dead head is 69 psi (220 less 60 ft of water)."""
    high = site.changed({"switch.cut_out": "80 psi"})

    assert at_stop(high, SUN).pressure == pytest.approx(160.0 * FOOT * WEIGHT, rel=0.03)


def test_a_hole_is_not_worked_out_on_paper(site: Site) -> None:
    with pytest.raises(TypeError, match="a flow at a pressure"):
        closed_form_fall(site, CHECK, "1/16 in hole", 50.0 * PSI, 30.0 * PSI)
