"""What must hold for waves in any column of water, and in any line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from labkit.engine.plant import make_plant
from labkit.engine.surge import surge
from labkit.errors import SiteError
from labkit.physics import GRAVITY
from labkit.sitefile import loads
from tests.column import BORE, column
from tests.laws.working import working_sites
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit import Site
    from labkit.engine.layout import Layout
    from labkit.engine.network import Plant
    from labkit.engine.surge_record import Surge

NEAR = 1.0 + 1e-4
"""Even a very large tank is no reservoir without end: its pressure swings by that little."""

speeds = st.floats(150.0, 1400.0)


@given(
    a=speeds,
    L=st.floats(50.0, 2000.0),
    v=st.floats(0.05, 2.0),
    spare=st.floats(5.0, 200.0),
    by_flow=st.booleans(),
    times=st.tuples(st.floats(0.0, 20.0), st.floats(0.0, 20.0)),
)
def test_faster_closure_never_gives_a_lower_peak(
    a: float, L: float, v: float, spare: float, by_flow: bool, times: tuple[float, float]
) -> None:
    h0 = a * v / GRAVITY + spare  # high enough that no vapour opens
    fast, slow = (
        column(
            a=a, L=L, v=v, h0=h0, by_flow=by_flow, reaches=20, closing_time=t,
            duration=20.0 + 4.0 * L / a,
        ).rise
        for t in sorted(times)
    )  # fmt: skip

    assert fast >= slow / NEAR - 1e-6


@given(
    a=speeds, v=st.floats(0.05, 2.0), factor=st.floats(0.0, 0.05), closing_time=st.floats(0.0, 5.0)
)
def test_no_peak_above_joukowsky(a: float, v: float, factor: float, closing_time: float) -> None:
    """Source: the head of the reservoir plus a v / g bounds it, with or without friction; high
    enough that no vapour opens, for columns that meet again may well go over it."""
    h0 = 20.0 + a * v / GRAVITY + factor * 600.0 / BORE * v * v / (2.0 * GRAVITY)

    run = column(a=a, v=v, h0=h0, factor=factor, closing_time=closing_time, reaches=20)

    assert run.head.max() <= (h0 + a * v / GRAVITY) * NEAR


def waves(text: str, **asked: Any) -> Surge:
    """Every step of a surge that can be."""
    site = loads(text)
    try:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("labkit.engine.surge._FRAMES", 10**7)
            return surge(site, **asked)
    except SiteError as problem:
        assume("run: sun is" not in str(problem) and "no water flows into" not in str(problem))
        raise


@given(
    text=working_sites(),
    sun=st.floats(400.0, 1200.0).map(lambda watts: f"{watts} W/m^2"),
    all_open=st.booleans(),
    event=st.sampled_from(["valve shuts", "pump trips", "power fails"]),
    closing=st.sampled_from(["even area", "quick at the end", "slow at the end", "even flow"]),
    drive=st.sampled_from(["runs on", "heeds the switch"]),
    closing_time=st.sampled_from(["0 s", "0.3 s", "4 s"]),
    coast=st.sampled_from(["0 s", "0.3 s"]),
    delay=st.sampled_from(["0 s", "0.5 s"]),
)
@tried(0.2)
def test_numbers_stay_numbers_and_water_is_found_again(
    text: str,
    sun: str,
    event: str,
    closing: str,
    drive: str,
    closing_time: str,
    all_open: bool,
    coast: str,
    delay: str,
) -> None:
    first = loads(text).troughs[0].name
    asked = {
        "open_troughs": None if all_open else [first],
        "trough": first,
        "sun": sun,
        "event": event,
        "closing": closing,
        "drive": drive,
        "closing_time": closing_time,
        "coast": coast,
        "check_valve_delay": delay,
        "duration": "12 s",
        "reaches": 20,
    }

    found = waves(text, **asked)

    balance = found.balance
    moved = (
        balance.pumped
        + balance.delivered
        + balance.leaked
        + balance.returned
        + abs(balance.line_gain)
    )
    fastest = max(
        float(q.max()) for q in (found.pump_flow, found.returned_flow, *found.inflow.values())
    )
    assert balance.error <= 0.01 * moved + found.dt * fastest + 1e-6  # a flow is known to a step
    for series in (*found.head.values(), *found.inflow.values(), found.pump_flow, found.tank_water):
        assert np.isfinite(series).all()
    for flow in (found.pump_flow, found.returned_flow, found.relief_flow, found.leak_flow):
        assert flow.min() >= 0.0
    assert 0.0 <= found.speed.min() <= found.speed.max() <= 1.0
    for run in found.runs:
        assert np.all(run.lowest <= run.head)
        assert np.all(run.head <= run.highest)
        assert run.lowest[-1] == pytest.approx(found.head[run.end].min(), abs=1e-9)
    assert_boils_at_its_limit(found, water_that_never_boils(text, **asked))


def water_that_never_boils(text: str, **asked: Any) -> Surge:
    """The same waves in water that hangs together at any tension."""

    def make(site: Site) -> tuple[Plant, Layout]:
        plant, layout = make_plant(site)
        plant.nodes.h_least = -1e4
        return plant, layout

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("labkit.engine.surge.plant_of", make)
        return waves(text, **asked)


def assert_boils_at_its_limit(found: Surge, free: Surge) -> None:
    """Until the limit is met nothing knows of it; where water that never boils first passes it, the
    other stands at it. Pipe too short for a step has its nodes share the higher limit."""
    ends = {run.end for run in found.runs}
    shared = sum(
        abs(found.elevations[node] - found.elevations[parent])
        for node, parent in found.parents.items()
        if node not in ends
    )
    limit = np.hstack([run.elevation for run in found.runs]) + found.vapour_pressure / found.weight
    heads, unlimited = (np.hstack([run.head for run in each.runs]) for each in (found, free))
    passing = np.flatnonzero(np.any(unlimited < limit + shared, axis=1))
    first = int(passing[0]) if passing.size else len(heads)

    assert np.all(np.hstack([run.lowest for run in found.runs]) >= limit - 1e-6)
    assert np.array_equal(heads[:first], unlimited[:first])
    for here, there in zip(heads[first:], unlimited[first : first + 1], strict=False):
        assert here == pytest.approx(np.maximum(there, limit), abs=shared + 1e-6)
