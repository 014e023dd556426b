"""The window's bounds over a map: each parts the verdicts that the trials came to."""

from typing import Any

import numpy as np
import pytest

import labkit as lab
from labkit.advice.judge import VERDICTS
from labkit.advice.settings_map import Curve, SettingsMap, window_curves
from labkit.site import Site
from tests.customary import FOOT, PSI

FALSE, SOUND, NO, STUCK = (
    VERDICTS.index(verdict) for verdict in ("false stop", "sound stop", "no stop", "stuck off")
)
WEIGHT = 999.4 * 9.80665
"""Of water at 55 degF [N/m3] (density from memory, to a tenth of a kilogram)."""


@pytest.fixture(scope="module")
def site() -> Site:
    return lab.demo_site("one_trough")


def named(found: SettingsMap) -> dict[str, Curve]:
    return {curve.name: curve for curve in window_curves(found)}


def test_no_stop_lies_past_the_pressure_on_the_shut_line(site: Site) -> None:
    found = lab.settings_map(site, cells=(22, 5))

    curve = named(found)["dead head"]
    assert np.array_equal(curve.up, found.up.values)
    for row, limit in enumerate(curve.across):
        beyond = np.array(found.across.values) > limit
        assert np.array_equal(found.codes[row] == NO, beyond)


def test_false_stops_lie_under_the_running_pressure(site: Site) -> None:
    found = lab.settings_map(site, cells=(22, 5), up_range=("600 W/m^2", "1000 W/m^2"))

    curve = named(found)["running"]
    for row, limit in enumerate(curve.across):
        false = np.array(found.across.values)[found.codes[row] == FALSE]
        assert np.all(false < limit)
        assert false.size == 0 or false.max() > limit - 3.0 * PSI


def test_the_axes_may_be_the_other_way_round(site: Site) -> None:
    grid: dict[str, Any] = {"cells": (3, 4), "sun": "900 W/m^2"}
    upright = lab.settings_map(site, "cut-out", "float leak", **grid)
    turned = lab.settings_map(site, "float leak", "cut-out", cells=(4, 3), sun="900 W/m^2")

    assert np.array_equal(turned.codes, upright.codes.T)
    for name, curve in named(upright).items():
        assert np.array_equal(named(turned)[name].up, curve.across, equal_nan=True)
        assert np.array_equal(named(turned)[name].across, curve.up, equal_nan=True)


def test_cut_in_is_bounded_by_the_column(site: Site) -> None:
    found = lab.settings_map(
        site, "cut-in", "rise", cells=(3, 3), up_range=("10 ft", "50 ft"),
        across_range=("5 psi", "25 psi"),
    )  # fmt: skip

    curve = named(found)["static"]
    assert curve.up == pytest.approx(np.array([10.0, 30.0, 50.0]) * FOOT)
    assert curve.across == pytest.approx(WEIGHT * curve.up, rel=1e-3)


def test_where_the_pump_never_runs_there_is_no_bound(site: Site) -> None:
    found = lab.settings_map(site, cells=(2, 2), up_range=("1 W/m^2", "900 W/m^2"))

    curve = named(found)["dead head"]
    assert np.array_equal(np.isnan(curve.across), [True, False])
    assert found.verdict(0, 0) == "at rest"


def test_a_map_without_a_point_of_the_switch_has_no_bounds(site: Site) -> None:
    found = lab.settings_map(site, "rise", "sun", cells=(2, 2))

    assert window_curves(found) == ()


def test_only_the_troughs_that_were_tried_bound_the_map() -> None:
    ranch = lab.demo_site("three_troughs")
    heights = {part.name: ranch.elevation(part.name) for part in ranch.troughs}
    lowest = min(heights, key=lambda name: heights[name])

    every = lab.settings_map(ranch, cells=(2, 2))
    one = lab.settings_map(ranch, cells=(2, 2), trough=lowest)

    assert np.all(named(one)["running"].across < named(every)["running"].across)
    assert np.array_equal(named(one)["dead head"].across, named(every)["dead head"].across)
