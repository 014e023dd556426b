"""High ground on the way, held against hand values and a solver that knows no network."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from attrs import evolve

import labkit as lab
from labkit.engine.plant import make_plant
from labkit.engine.standing import go_on, standing
from labkit.parts import MANIFOLD
from labkit.sun import as_sun
from tests.customary import FOOT, GALLON, GPM, PSI
from tests.reference.hand import BORE, NU, WEIGHT, lost, settled
from tests.reference.ridges import SUCTION, Point, over, running, shared

START = Point(0, 0)


def head_at(line: lab.Site, found: dict[str, float], points: list[Point]) -> list[float]:
    """Pick the heads at given points, by way out along the line [m]."""
    _, layout = make_plant(line)
    names = {
        round(layout.distance[name] / FOOT): name
        for name in reversed(layout.names)
        if layout.kinds[name] != "far side"
    }
    near = {out: min(names, key=lambda at: abs(at - out)) for out in (p.out for p in points)}
    return [found[names[near[p.out]]] for p in points]


# --- three profiles by hand: 40 ft of lift, 240 ft shut off, 170 ft at 5 gpm, 0.5 ft/gpm ---

PROFILES = {
    "one crest": [START, Point(1000, 60, vent=True), Point(2000, 10)],
    "two crests": [
        START, Point(1000, 60, vent=True), Point(1500, 20), Point(2000, 45, vent=True),
        Point(2500, 5),
    ],
    "a high crest": [START, Point(1000, 150, vent=True), Point(2000, 10)],
}  # fmt: skip
PUMP = {"shut_off_head": "240 ft", "rated_flow": "5 gpm", "rated_head": "170 ft"}


def strong(name: str, **more: Any) -> lab.Site:
    changes: dict[str, Any] = {f"pump.{key}": value for key, value in PUMP.items()}
    changes["well.static_level"] = "40 ft"
    changes["pressure_switch"] = {"cut_in": "28 psi", "cut_out": "48 psi"}
    changes |= more
    return over(PROFILES[name]).changed(changes)


@pytest.mark.parametrize(
    ("name", "gpm", "psi"),
    [("one crest", 6.77, 29.58), ("two crests", 6.77, 29.58), ("a high crest", 4.00, 66.42)],
)
def test_the_pump_lifts_to_the_crest_whatever_lies_beyond(
    name: str, gpm: float, psi: float
) -> None:
    """The first numbers by hand with a table of friction, the others by `hand.settled`."""
    crest = max(point.up for point in PROFILES[name])

    def needed(Q: float) -> float:
        return crest * FOOT + lost(Q, 1000.0 * FOOT)

    Q = settled(needed, lift=40.0, shut_off=240.0, gpm=5.0, rated=170.0)
    line = lab.steady(strong(name), sun="1000 W/m^2")

    assert line.pump_flow / GPM == pytest.approx(gpm, abs=0.02)
    assert line.pressure[MANIFOLD] / PSI == pytest.approx(psi, abs=0.1)
    assert line.pump_flow == pytest.approx(Q, rel=1e-3)
    assert line.pressure[MANIFOLD] == pytest.approx(WEIGHT * needed(Q), abs=0.02 * PSI)


@pytest.mark.parametrize("name", PROFILES)
def test_it_comes_to_the_same_in_time(name: str) -> None:
    """From an empty line, with the float held open and a switch out of reach."""
    site = strong(
        name,
        **{
            "pressure_switch": {"cut_in": "140 psi", "cut_out": "150 psi"},
            "trough.lane.volume": "20000 gal", "trough.lane.depth": "100 in",
            "trough.lane.float_valve.position": "always open",
        },
    )  # fmt: skip

    trace = lab.simulate(
        site, "2 hour", sun="1000 W/m^2", pressure="0 psi", levels={"lane": "1 in"}
    )

    line = lab.steady(site, sun="1000 W/m^2")
    assert trace.pump_flow[-1] == pytest.approx(line.pump_flow, rel=1e-4)
    assert trace.inflow["lane"][-1] == pytest.approx(line.pump_flow, rel=1e-3)
    assert trace.pressure[-1] == pytest.approx(line.pressure[MANIFOLD], rel=1e-4)
    for node, head in trace.head.items():
        assert head.min() >= trace.elevations[node] + SUCTION - 1e-6
    assert trace.head[next(n for n, k in trace.kinds.items() if k == "ground")].min() >= 0.0


def test_a_crest_out_of_reach_passes_nothing() -> None:
    """240 ft shut off less 40 ft of lift is 200 ft, 86.65 psi; the crest is 220 ft up."""
    site = over([START, Point(1000, 220, vent=True), Point(2000, 10)]).changed(
        {f"pump.{key}": value for key, value in PUMP.items()} | {"well.static_level": "40 ft"}
    )

    line = lab.steady(site, sun="1000 W/m^2")

    assert line.pump_flow == pytest.approx(0.0, abs=1e-9)
    assert line.inflow["lane"] == 0.0
    assert line.pressure[MANIFOLD] / PSI == pytest.approx(86.65, abs=0.05)
    assert min(line.pressure.values()) >= -1e-6


# --- at rest ---


@pytest.mark.parametrize(("vent", "psi"), [(True, 26.0), (False, 26.0 - 14.48)])
def test_at_rest_the_column_up_to_the_crest_stands_on_the_gauge(vent: bool, psi: float) -> None:
    """The float open and no sun: all beyond the crest runs out. 60 ft weigh 26.0 psi; airtight, the
    air less the vapour (14.70 less 0.21 psi at the sea) hold part of it up."""
    points = [START, Point(1000, 60, vent), Point(2000, 10)]
    site = over(points).changed(
        {"trough.lane.float_valve.position": "always open", "place.evaporation": "0 in/day"}
    )

    trace = lab.simulate(site, "6 hour", sun="0 W/m^2", pressure="40 psi", levels={"lane": "1 in"})

    assert trace.pressure[-1] / PSI == pytest.approx(psi, abs=0.1)
    found = lab.rest_pressure(site, "lane")
    assert found.pressure / PSI == pytest.approx(26.0, abs=0.05)
    assert (found.pressure if vent else found.least) / PSI == pytest.approx(psi, abs=0.1)


def test_the_far_leg_drains_and_must_be_filled_again() -> None:
    """77.7 gal stand in 1000 ft of 1.380 in pipe. At 6.77 gpm they take 688 s to fill again, and the
    soft start some seconds; only then does the pressure climb against the shut float."""
    open_, shut = (
        strong("one crest", **{"trough.lane.float_valve.position": f"always {how}"})
        for how in ("open", "shut")
    )
    full = standing(open_, sun="0 W/m^2", start="06:00", levels={"lane": "1 in"})

    drains, drained = go_on(full, "6 hour")
    sunny = evolve(drained, sun=as_sun("1000 W/m^2", shut))
    trace, _ = go_on(sunny, "20 min", site=shut)

    assert drains.totals.trough_gain / GALLON == pytest.approx(77.7, abs=0.3)
    assert drains.pressure[-1] / PSI == pytest.approx(26.0, abs=0.1)
    rising = np.flatnonzero(trace.pressure <= 31.0 * PSI)[-1] + 1  # for good: moving water swings
    climbs = trace.time[rising]
    assert climbs == pytest.approx(688.0 + 6.0, abs=6.0)
    before = trace.pressure[(trace.time > 60.0) & (trace.time < climbs - 5.0)] / PSI
    assert before == pytest.approx(np.full(before.size, 29.58), abs=0.1)
    assert trace.measures().balance_error < 1e-9


# --- 200 random profiles against shooting ---


def random_line(seed: int) -> tuple[list[Point], float, float, list[float]]:
    """Draw a line of two to eight points and a sun, some with vents, and work it out.

    Drawn again where the flow is neither laminar nor turbulent (Reynolds number 2000 to 4000), for
    no law of friction is agreed on there.
    """
    chance = np.random.default_rng(seed)
    while True:
        count = int(chance.integers(1, 7))
        outs = np.round(np.cumsum(chance.uniform(200.0, 1500.0, count + 1)))
        ups = np.round(chance.uniform(-60.0, 125.0, count + 1))
        ups[-1] = round(chance.uniform(-90.0, 70.0))
        airy = chance.random(count + 1) < chance.choice([0.0, 0.4])
        points = [START]
        for out, up, air in zip(outs, ups, airy, strict=True):
            points.append(Point(float(out), float(up), bool(air)))
        sun = 1000.0 if chance.random() < 0.5 else float(chance.uniform(40.0, 200.0))
        Q, expected = running(points, sun)
        if not 2000.0 <= 4.0 * Q / (np.pi * BORE * NU) <= 4000.0:
            return points, sun, Q, expected


@pytest.mark.parametrize("seed", range(200))
def test_a_random_line_over_hills(seed: int) -> None:
    points, sun, Q, expected = random_line(seed)
    site = over(points)

    line = lab.steady(site, sun=f"{sun} W/m^2")

    assert line.pump_flow / GPM == pytest.approx(Q / GPM, abs=0.005)
    assert line.inflow["lane"] / GPM == pytest.approx(Q / GPM, abs=0.005)
    if Q > 0.0:
        assert head_at(site, line.head, points) == pytest.approx(expected, abs=0.1)
    else:
        assert max(line.head.values()) >= 0.0
    assert min(line.pressure.values()) >= WEIGHT * SUCTION - 0.05 * PSI


@pytest.mark.parametrize("sun", [1000.0, 120.0])
@pytest.mark.parametrize("vent", [True, False])
def test_two_branches_over_hills_share_by_what_their_crests_let_through(
    sun: float, vent: bool
) -> None:
    """A tee 20 ft up; one branch over an 80 ft crest down to -40 ft, the other up to 55 ft."""
    tee = Point(600, 20)
    far = [tee, Point(1400, 80, vent), Point(2400, -40)]
    near = [tee, Point(1300, 30), Point(1900, 55)]
    size = "1 1/4 in PE SIDR 15"
    valve = {"flow": "9 gpm at 20 psi"}
    base = over([START, Point(1500, 0)])
    trough = {"volume": "300 gal", "depth": "24 in", "float_valve": valve}

    def pipe(branch: list[Point]) -> dict[str, Any]:
        *inner, end = [Point(p.out - 600, p.up - 20, p.vent) for p in branch[1:]]
        return {
            "from": "tee", "size": size, "length": f"{end.out} ft", "rise": f"{end.up} ft",
            "profile": [[f"{p.out} ft", f"{p.up} ft"] for p in inner],
            "vents": [f"{p.out} ft" for p in inner if p.vent],
        }  # fmt: skip

    trunk = {"from": "manifold", "to": "tee", "length": "600 ft", "size": size, "rise": "20 ft"}
    site = base.changed(
        {
            "pipes": [trunk],
            "troughs": [
                {"name": name, "pipe": pipe(branch), **trough}
                for name, branch in (("far", far), ("near", near))
            ],
        }
    )

    Q, flows, gauge = shared([START, tee], [far, near], sun)
    line = lab.steady(site, sun=f"{sun} W/m^2")

    assert line.pump_flow / GPM == pytest.approx(Q / GPM, abs=0.005)
    assert [line.inflow[n] / GPM for n in ("far", "near")] == pytest.approx(
        [flow / GPM for flow in flows], abs=0.01
    )
    assert line.head[MANIFOLD] == pytest.approx(gauge, abs=0.1)
