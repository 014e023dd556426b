"""Laws of a settled line, and of the residual behind both steady and simulated lines."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from labkit import Site, simulate, steady
from labkit.engine.network import Floats, Inputs, evaluate, make_flows
from labkit.engine.plant import make_plant
from labkit.sitefile import loads
from labkit.units import si
from tests.customary import FOOT
from tests.laws.working import any_sites, working_sites
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit.trace import Trace

sunny = st.floats(20.0, 1150.0)


@given(
    text=any_sites(), seed=st.integers(0, 2**32 - 1), power=st.floats(0.0, 2000.0),
    cap=st.floats(0.0, 1.0), tau=st.floats(1e-3, 1e3),
)  # fmt: skip
@tried(0.4)
def test_the_jacobian_is_that_of_the_residual(
    text: str, seed: int, power: float, cap: float, tau: float
) -> None:
    """Every row, by differences to both sides; where they part there is a kink, and the slope must
    lie between them. A node touches its parent and itself only, its parent by one slope and from it
    by another where a pocket parts them."""
    plant, _ = make_plant(loads(text))
    chance = np.random.default_rng(seed)
    n, m = plant.nodes.size, plant.troughs.size
    h = chance.uniform(-5.0, 60.0, n)
    held = np.zeros(n)
    V = np.array([chance.uniform(0.0, 1.05 * trough.V_rim) for trough in plant.troughs])
    inputs = Inputs(power, cap, chance.uniform(0.0, 1e-3, m))
    flows = make_flows(plant)

    def residual(heads: Floats) -> Floats:
        evaluate(plant, heads, inputs, held, V, 1.0, tau, tau, flows)
        return np.array(flows.nodes.residual)

    here = residual(h)
    pivot, coupling = np.array(flows.nodes.pivot), np.array(flows.nodes.coupling)
    back = np.array(flows.nodes.back)
    for i in range(n):
        step = np.zeros(n)
        step[i] = 1e-4
        above = (residual(h + step) - here) / 1e-4
        below = (here - residual(h - step)) / 1e-4
        columns = {i: pivot[i]}
        if i > 0:
            columns[int(plant.nodes.parent[i])] = back[i]
        columns |= {int(j): coupling[j] for j in np.flatnonzero(plant.nodes.parent == i)}
        for j in range(n):
            low, high = sorted((above[j], below[j]))
            noise = 2e-3 * max(abs(low), abs(high)) + 1e-11 * (abs(here[j]) / 1e-4 + tau)
            slope = columns.get(j, 0.0)
            assert low - noise <= slope <= high + noise, (i, j, low, slope, high)


@given(text=working_sites(), watts=sunny, more=st.floats(1.0, 500.0))
@tried(0.4)
def test_more_sun_never_lowers_the_dead_head(text: str, watts: float, more: float) -> None:
    """Of a displacement pump it is what the torque limit or the relief valve leaves."""
    site = loads(text).changed({"leaks": ()})

    less, much = (
        steady(site, sun=f"{w} W/m^2", open_troughs=()).pressure["manifold"]
        for w in (watts, watts + more)
    )

    assert much >= less - 1e-6 * abs(less) - 1.0  # a pascal


@given(text=working_sites(), watts=sunny, more=st.floats(1.0, 500.0))
@tried(0.4)
def test_more_sun_never_pumps_less(text: str, watts: float, more: float) -> None:
    site = loads(text)

    less, much = (steady(site, sun=f"{w} W/m^2") for w in (watts, watts + more))

    assert much.pump_flow >= less.pump_flow * (1.0 - 1e-7) - 1e-12
    for name, flow in less.inflow.items():
        assert much.inflow[name] >= flow * (1.0 - 1e-6) - 1e-12


@given(text=working_sites(), watts=sunny)
@tried(0.4)
def test_opening_one_more_valve_takes_from_every_other(text: str, watts: float) -> None:
    site = loads(text)
    names = [trough.name for trough in site.troughs]
    assume(len(names) > 1)

    some = steady(site, sun=f"{watts} W/m^2", open_troughs=names[1:])
    every = steady(site, sun=f"{watts} W/m^2", open_troughs=names)

    assert every.pump_flow >= some.pump_flow * (1.0 - 1e-7) - 1e-12
    for node, head in some.head.items():
        assert every.head[node] <= head + 1e-5, node
    for name in names[1:]:
        assert every.inflow[name] <= some.inflow[name] * (1.0 + 1e-6) + 1e-12


@given(text=working_sites(), watts=sunny)
@tried(0.4)
def test_what_a_settled_line_pumps_comes_out(text: str, watts: float) -> None:
    """Tolerance: the one long step that stands for a settled line leaves it the storing of some
    nanolitres a second; behind high ground, where water stands in a leg of some square meter across,
    a centimeter in a step of a million seconds."""
    site = loads(text).changed({"relief_valve": None, "check_valve": {}})

    line = steady(site, sun=f"{watts} W/m^2")

    out = sum(line.inflow.values()) + line.leak_flow
    rest = 1e-2 / 1e6 if line.surface else 3e-9
    assert abs(line.pump_flow - out) <= 1e-6 * line.pump_flow + rest


def unstoppable(site: Site) -> Site:
    """The same site with a switch out of reach, floats that never shut, and nobody drinking."""
    depth = si(site.well.static_level) / FOOT + 400.0
    changes: dict[str, object] = {
        "pressure_switch": {"cut_in": "398 psi", "cut_out": "399 psi"},
        "relief_valve": None,
        "drive.listens_to": "pressure switch",
        "drive.stop_when": "closed",
        "drive.start_power": "0 W",
        "well.intake_depth": f"{depth} ft",
        "place.evaporation": "0 in/day",
        "level_sensors": [],
    }
    for trough in site.troughs:
        changes[f"trough.{trough.name}.herd"] = None
        if trough.float_valve.position == "floats":
            changes[f"trough.{trough.name}.float_valve.position"] = "always open"
    return site.changed(changes)


def shared_at(trace: Trace) -> dict[str, str]:
    """Name for each trough the first tee before it whose legs all fall away and not all run full,
    or the trough itself: how such a tee shares is decided by a foot of pipe, what it passes is not.
    """
    legs = Counter(trace.parents[n] for n, kind in trace.kinds.items() if kind == "far side")
    tops = {trace.parents[n] for n in trace.surface if trace.kinds[n] == "far side"}
    found = {}
    for trough in trace.inflow:
        found[trough] = node = trough
        while node in trace.parents:
            node = trace.parents[node]
            if node in tops and legs[node] > 1:
                found[trough] = node
    return found


@given(text=working_sites(), watts=sunny)
@tried(0.1)
def test_a_line_left_alone_settles_where_steady_says(text: str, watts: float) -> None:
    """Two weeks are long enough for any leg beyond a crest to fill, or to drain."""
    site, sun = unstoppable(loads(text)), f"{watts} W/m^2"
    line = steady(site, sun=sun)
    assume(not line.stopped_by)

    trace = simulate(
        site, "336 hour", sun=sun, levels={t.name: "1 in" for t in site.troughs}, pressure="5 psi"
    )

    assert trace.times("pump starts")
    assert abs(trace.pump_flow[-1] - line.pump_flow) <= 2e-4 * line.pump_flow + 1e-9
    by = shared_at(trace)
    found, wanted = dict.fromkeys(by.values(), 0.0), dict.fromkeys(by.values(), 0.0)
    for name, flow in line.inflow.items():
        found[by[name]] += float(trace.inflow[name][-1])
        wanted[by[name]] += flow
    for name, flow in wanted.items():
        assert abs(found[name] - flow) <= 2e-3 * line.pump_flow + 1e-9, name
