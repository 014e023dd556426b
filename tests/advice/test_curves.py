"""Curves of pump and line, held against affinity laws, geometry and what goes in and out."""

import numpy as np
import pytest

from labkit.advice.curves import (
    dead_head_pressure,
    dead_head_pressures,
    lay,
    line_curve,
    other_kind,
    pump_curve,
    shares,
)
from labkit.engine.steady import steady
from labkit.sitefile import demo_site
from labkit.units import si
from tests.customary import FOOT, GPM

WEIGHT = 9802.0  # of water at 55 degF [N/m3]: 999.5 kg/m3 (handbooks) times 9.80665
FIRST = demo_site("first_line")
DRAWS = demo_site("three_troughs")


def test_full_speed_leaves_shut_off_head_less_lift() -> None:
    """220 ft less 60 ft, however strong the sun."""
    for sun in ("600 W/m^2", "1000 W/m^2"):
        assert dead_head_pressure(FIRST, sun) == pytest.approx(WEIGHT * 160.0 * FOOT, rel=1e-3)


def test_in_haze_the_dead_head_follows_the_affinity_laws() -> None:
    """Power with speed cubed, head with speed squared: the same (head + lift)**1.5 for each watt.

    Plates 25 degC warm give in proportion to the sun; cells are warmer in more sun (Faiman 2008).
    """
    suns = np.array([150.0, 200.0, 250.0])
    cells = 21.1 + suns / 31.84
    power = suns * (1.0 - 0.004 * (cells - 25.0))

    heads = dead_head_pressures(FIRST, suns) / WEIGHT + 60.0 * FOOT

    assert heads**1.5 / power == pytest.approx((heads**1.5 / power)[0], rel=2e-3)


def test_without_sun_there_is_no_pressure() -> None:
    assert dead_head_pressure(FIRST, "20 W/m^2") == 0.0


def test_a_displacement_pump_pushes_to_its_torque_limit_in_any_sun() -> None:
    """Torque goes with friction plus head: ``(1.5 (F + 145) - F) - 60`` ft.

    F is what efficiency 0.55 and slip 0.05 leave for friction: 145 (0.95 / 0.55 - 1) ft.
    """
    site = FIRST.changed({"pump": other_kind(FIRST.pump)})
    friction = 145.0 * (0.95 / 0.55 - 1.0)
    expected = (1.5 * (friction + 145.0) - friction - 60.0) * FOOT * WEIGHT

    for sun in ("150 W/m^2", "900 W/m^2"):
        assert dead_head_pressure(site, sun) == pytest.approx(expected, rel=2e-3)


def test_either_kind_of_pump_gives_the_other_back() -> None:
    assert other_kind(FIRST.pump).kind == "positive displacement"
    assert other_kind(other_kind(FIRST.pump)).kind == "centrifugal"


def test_the_pump_s_curve_passes_its_rated_point() -> None:
    """8 gpm at 145 ft: at the gauge less 60 ft of lift and 4 ft of drawdown, and little more."""
    curve = pump_curve(FIRST, "1000 W/m^2")

    head = np.interp(8.0 * GPM, curve.flow, curve.pressure) / WEIGHT / FOOT

    assert 77.0 < head < 81.0  # the drop pipe takes a foot or three
    assert np.all(np.diff(curve.flow) > 0.0)
    assert np.all(np.diff(curve.pressure) <= 0.0)


def test_pump_and_line_meet_where_the_line_settles() -> None:
    for sun in ("250 W/m^2", "900 W/m^2"):
        settled = steady(FIRST, sun=sun)
        for curve in (pump_curve(FIRST, sun), line_curve(FIRST)):
            at = np.interp(settled.pump_flow, curve.flow, curve.pressure)
            assert at == pytest.approx(settled.pressure["manifold"], rel=0.01)


def test_the_line_s_curve_begins_at_the_column_of_the_lowest_open_trough() -> None:
    line = line_curve(DRAWS, ["corral", "lookout"])

    assert line.flow[0] == 0.0
    assert line.pressure[0] == pytest.approx(WEIGHT * 19.0 * FOOT, rel=1e-3)


def test_shares_are_what_the_pump_gives() -> None:
    taken = shares(DRAWS, [300.0, 900.0])

    for place, sun in enumerate(("300 W/m^2", "900 W/m^2")):
        into = sum(flows[place] for flows in taken.values())
        assert into == pytest.approx(steady(DRAWS, sun=sun).pump_flow, rel=1e-6)
    assert shares(DRAWS, [900.0], ["lookout"])["creek"][0] == 0.0


def test_a_line_lies_as_its_runs_add_up() -> None:
    """900 + 1200 + 600 ft of pipe; 5 + 12 + 16 ft of rise."""
    found = lay(DRAWS, "900 W/m^2", ["lookout"])

    assert found.way_to("lookout") == ("manifold", "lower tee", "upper tee", "lookout")
    assert found.distance["lookout"] == pytest.approx(2700.0 * FOOT)
    assert found.height["lookout"] == pytest.approx(33.0 * FOOT)
    assert found.gauge == pytest.approx(WEIGHT * found.head["manifold"], rel=1e-3)
    assert found.head["creek"] == pytest.approx(found.head["lower tee"])  # nothing flows there
    assert si(DRAWS.troughs[2].float_valve.flow.flow) > found.inflow["lookout"] > 0.0
