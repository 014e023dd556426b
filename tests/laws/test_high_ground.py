"""Laws of ground that rises and falls between the well and the trough."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from labkit import steady
from labkit.engine.plant import make_plant
from labkit.engine.rest import rest
from labkit.parts import MANIFOLD
from tests.customary import FOOT
from tests.reference.ridges import Point, over
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit import Site
    from labkit.engine.rest import Rest

START = Point(0.0, 0.0)
STEP = 300.0
"""Feet between two points of a profile, more than any of them is above or below another."""

ROUNDING = 1e-6
"""Of a head times the weight of water [Pa]."""


def profiles(ups: st.SearchStrategy[float]) -> st.SearchStrategy[list[Point]]:
    """Lines of 600 to 1,800 ft over one to five places, some with a vent, to a trough."""
    places = st.lists(st.tuples(ups, st.booleans()), min_size=2, max_size=6)
    return places.map(
        lambda found: [
            START,
            *(Point(STEP * i, up, vent) for i, (up, vent) in enumerate(found[:-1], 1)),
            Point(STEP * len(found), found[-1][0]),
        ]
    )


def at_rest(site: Site) -> Rest:
    plant, layout = make_plant(site)
    return rest(plant, layout, "lane")


@given(points=profiles(st.floats(-60.0, 120.0)), which=st.integers(0, 4), by=st.floats(0.0, 80.0))
@tried(0.3)
def test_raising_a_crest_never_lowers_the_rest_pressure_behind_it(
    points: list[Point], which: int, by: float
) -> None:
    """At rest the column up to the highest ground stands on the gauge."""
    i = 1 + which % (len(points) - 2)
    raised = [*points]
    raised[i] = points[i]._replace(up=points[i].up + by)

    before, after = at_rest(over(points)), at_rest(over(raised))

    assert after.pressure >= before.pressure - ROUNDING
    assert after.least >= before.least - ROUNDING
    crest = max(point.up for point in raised[1:])
    if crest > max(point.up for point in points[1:]) + 0.01 and after.where != "lane":
        assert after.pressure > before.pressure


@given(
    end=st.floats(-40.0, 60.0),
    drops=st.lists(st.tuples(st.floats(0.1, 150.0), st.booleans()), min_size=1, max_size=5),
    sun=st.floats(500.0, 1100.0),
)
@tried(0.3)
def test_a_crest_below_the_grade_line_changes_nothing(
    end: float, drops: list[tuple[float, bool]], sun: float
) -> None:
    """The grade line is that of the straight line: heads fall evenly from the well to the trough.
    Its ends are under pressure, so that no vent lets air in."""
    last = Point(STEP * (len(drops) + 1), end)
    straight = steady(over([START, last]), sun=f"{sun} W/m^2")
    assume(straight.pump_flow > 0.0)
    start, finish = (straight.head[node] / FOOT for node in (MANIFOLD, "lane"))
    assume(start > 0.0 and finish > end and not straight.surface)
    points = [
        Point(STEP * i, start + (finish - start) * STEP * i / last.out - drop, vent)
        for i, (drop, vent) in enumerate(drops, 1)
    ]

    bent = steady(over([START, *points, last]), sun=f"{sun} W/m^2")

    assert bent.pump_flow == pytest.approx(straight.pump_flow, rel=1e-6)
    assert bent.pressure[MANIFOLD] == pytest.approx(straight.pressure[MANIFOLD], rel=1e-6)
    assert bent.inflow["lane"] == pytest.approx(straight.inflow["lane"], rel=1e-6)
    assert not bent.surface
