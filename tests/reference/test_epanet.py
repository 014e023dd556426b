"""Steady lines against the EPANET engine (US EPA, through the package owa-epanet).

EPANET gets the same tree as text: pipes as pipes, the pump as a curve with a relative speed, open
float valves and leaks as emitters (q = k sqrt(p)). It knows no drawdown, so these wells have none.

With Hazen-Williams both engines have the same law, up to its constant (10.667 rounded; 0.002 %) and
EPANET's 32.2 ft/s2 in fittings (0.08 % of a small part): flows agree to 0.01 %. With Darcy-Weisbach
EPANET takes Swamee & Jain's fit where we take Colebrook's law. Losses differ by up to 1.5 % and flows,
which are set by pump and valves as well, by less than 0.2 %; between Reynolds numbers 2000 and 4000,
where each bridges to laminar flow in its own way, by more.
"""

from __future__ import annotations

import warnings
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
from epanet import toolkit as epanet

from labkit import Site, steady
from labkit.engine.plant import ROUGHNESS, make_plant
from labkit.physics.pipe import darcy_flow
from labkit.sitefile import loads

if TYPE_CHECKING:
    from pathlib import Path

    from labkit.engine.network import Plant

HEAD = """
title = "A line to check"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "3000 ft" }
well = { static_level = "80 ft", intake_depth = "150 ft" }
array = { rated_power = "9000 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "30 psi", cut_out = "50 psi" }
"""

ONE_TROUGH = (
    HEAD
    + """
[pump]
kind = "centrifugal"
shut_off_head = "340 ft"
rated_flow = "8 gpm"
rated_head = "250 ft"
[[trough]]
name = "lane"
volume = "300 gal"
depth = "24 in"
pipe = { from = "manifold", length = "1500 ft", size = "1 1/4 in PE SIDR 15", rise = "12 ft", fittings = 14 }
float_valve = { flow = "9 gpm at 20 psi" }
"""
)

TEE_WITH_TWO = (
    HEAD
    + """
[pump]
kind = "centrifugal"
shut_off_head = "380 ft"
rated_flow = "10 gpm"
rated_head = "280 ft"
high_flow = "16 gpm"
high_head = "90 ft"
drop_pipe = "1 1/4 in PE DR 9 IPS"
[[pipe]]
from = "manifold"
to = "tee"
length = "2000 ft"
size = "1 1/4 in PE SIDR 15"
rise = "25 ft"
[[trough]]
name = "elm"
volume = "300 gal"
depth = "24 in"
pipe = { from = "tee", length = "900 ft", size = "1 in PE SIDR 15", rise = "20 ft" }
float_valve = { flow = "7 gpm at 20 psi" }
[[trough]]
name = "creek"
volume = "200 gal"
depth = "20 in"
pipe = { from = "tee", length = "700 ft", size = "1 in PE SIDR 15", rise = "-30 ft", fittings = 9 }
float_valve = { flow = "4 gpm at 20 psi" }
"""
)

THREE_UP_AND_DOWN = (
    HEAD
    + """
[pump]
kind = "centrifugal"
shut_off_head = "420 ft"
rated_flow = "14 gpm"
rated_head = "300 ft"
[[pipe]]
from = "manifold"
to = "first tee"
length = "1200 ft"
size = "1 1/2 in PE SIDR 15"
rise = "18 ft"
[[pipe]]
from = "first tee"
to = "second tee"
length = "1700 ft"
size = "1 1/4 in PE SIDR 15"
rise = "-10 ft"
fittings = 5
[[trough]]
name = "lookout"
volume = "300 gal"
depth = "24 in"
pipe = { from = "second tee", length = "600 ft", size = "1 in PVC Sch 40", rise = "45 ft" }
float_valve = { flow = "6 gpm at 20 psi" }
[[trough]]
name = "draw"
volume = "200 gal"
depth = "20 in"
pipe = { from = "second tee", length = "500 ft", size = "1 in PE SIDR 15", rise = "-35 ft" }
float_valve = { flow = "3 gpm at 20 psi", seat_leak = "0.3 gpm at 40 psi" }
[[trough]]
name = "gate"
volume = "500 gal"
depth = "24 in"
pipe = { from = "first tee", length = "300 ft", size = "3/4 in PE SIDR 15", rise = "6 ft" }
float_valve = { flow = "5 gpm at 20 psi" }
[[leak]]
at = "second tee"
distance = "640 ft"
size = "0.4 gpm at 40 psi"
[[leak]]
at = "manifold"
size = "1.5 mm hole"
"""
)

TREES = {"one": ONE_TROUGH, "two": TEE_WITH_TWO, "three": THREE_UP_AND_DOWN}
SPEEDS = (1.0, 0.85, 0.7)


def openings(site: Site) -> list[tuple[str, ...]]:
    """Every set of float valves that can stand open."""
    names = [trough.name for trough in site.troughs]
    return [some for count in range(len(names) + 1) for some in combinations(names, count)]


def cases() -> list[tuple[str, tuple[str, ...], float]]:
    """Trees, valves and speeds; a line without any flow is left out, for EPANET then calls the pump
    closed and warns."""
    return [
        (tree, some, speed)
        for tree, text in TREES.items()
        for some in openings(loads(text))
        for speed in SPEEDS
        if some or "[[leak]]" in text
    ]


def network(plant: Plant, open_troughs: list[bool], speed: float) -> str:
    """Write a plant as EPANET's input, in litres a second and metres."""
    curve = plant.centrifugal
    most = 0.9 * (curve.shut_off_head / curve.bend) ** (1.0 / curve.exponent)
    points = [
        (Q, curve.shut_off_head - curve.bend * Q**curve.exponent) for Q in (0.0, 0.5 * most, most)
    ]
    k = np.zeros(plant.nodes.size)
    for trough, is_open in zip(plant.troughs, open_troughs, strict=True):
        k[trough.node] += trough.valve_k * is_open + trough.seat_k
    for leak in plant.leaks:
        assert leak.n == 0.5
        k[leak.node] += leak.k
    by_roughness = plant.law == 0
    wall = ROUGHNESS * 1000.0 if by_roughness else plant.wall
    nodes = list(enumerate(plant.nodes))
    lines = [
        "[JUNCTIONS]", *(f"n{i} {node.z:.12g} 0" for i, node in nodes),
        "[RESERVOIRS]", f"well {-plant.lift:.12g}",
        "[PIPES]",
        *(f"p{i} n{node.parent} n{i} {node.L:.12g} {node.D * 1000.0:.12g} {wall:.12g} {node.K:.12g}"
          for i, node in nodes[1:]),
        "[PUMPS]", f"pump well n0 HEAD c SPEED {speed:.12g}",
        "[CURVES]", *(f"c {Q * 1000.0:.12g} {H:.12g}" for Q, H in points),
        "[EMITTERS]", *(f"n{i} {k[i] * 1000.0:.12g}" for i in range(k.size) if k[i] > 0.0),
        "[OPTIONS]", "UNITS LPS", f"HEADLOSS {'D-W' if by_roughness else 'H-W'}",
        f"VISCOSITY {plant.nu:.12g}", "EMITTER EXPONENT 0.5",
        "ACCURACY 0.00001", "HEADERROR 0.000001", "FLOWCHANGE 0.0000001", "TRIALS 500",
        "[END]", "",
    ]  # fmt: skip
    return "\n".join(lines)


def solved(text: str, folder: Path, size: int) -> tuple[list[float], list[float], float]:
    """Heads [m] and emitted flows [m3/s] at the nodes, and the pump's flow [m3/s], by EPANET."""
    (folder / "line.inp").write_text(text)
    project = epanet.createproject()
    epanet.open(
        project, str(folder / "line.inp"), str(folder / "line.rpt"), str(folder / "line.out")
    )
    epanet.setoption(project, epanet.EMITBACKFLOW, 0)  # an open valve does not suck
    epanet.openH(project)
    epanet.initH(project, 0)
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore"
        )  # it warns where a high branch stands below the air's pressure
        epanet.runH(project)
    at = [epanet.getnodeindex(project, f"n{i}") for i in range(size)]
    heads = [epanet.getnodevalue(project, i, epanet.HEAD) for i in at]
    flows = [epanet.getnodevalue(project, i, epanet.EMITTERFLOW) / 1000.0 for i in at]
    pump = epanet.getlinkindex(project, "pump")
    flow = epanet.getlinkvalue(project, pump, epanet.FLOW) / 1000.0
    epanet.closeH(project)
    epanet.close(project)
    epanet.deleteproject(project)
    return heads, flows, flow


def compare(
    site: Site,
    some: tuple[str, ...],
    speed: float,
    folder: Path,
    *,
    flows_to: float,
    heads_to: float,
) -> None:
    """Hold our steady line to EPANET's: flows to a share, heads to a share of the pump's own."""
    plant, layout = make_plant(site)
    text = network(plant, [name in some for name in layout.troughs], speed)
    heads, flows, flow = solved(text, folder, plant.nodes.size)

    line = steady(site, sun="1000 W/m^2", open_troughs=some, speed_cap=speed)

    assert line.speed == speed
    made = heads[0] + plant.lift
    assert list(line.head.values()) == pytest.approx(heads, abs=heads_to * made)
    assert line.pump_flow == pytest.approx(flow, rel=flows_to)
    taken = [flows[layout.names.index(name)] for name in layout.troughs]
    assert list(line.inflow.values()) == pytest.approx(taken, rel=flows_to, abs=1e-12)
    assert line.leak_flow == pytest.approx(sum(flows) - sum(taken), rel=flows_to, abs=1e-12)


@pytest.mark.parametrize(("tree", "some", "speed"), cases())
def test_with_one_law(tree: str, some: tuple[str, ...], speed: float, tmp_path: Path) -> None:
    """Hazen-Williams in both."""
    site = loads(TREES[tree]).changed({"friction": "Hazen-Williams", "hazen_williams_c": 150.0})

    compare(site, some, speed, tmp_path, flows_to=1e-4, heads_to=3e-5)


@pytest.mark.parametrize(("tree", "some", "speed"), cases())
def test_with_two_friction_factors(
    tree: str, some: tuple[str, ...], speed: float, tmp_path: Path
) -> None:
    """Darcy-Weisbach in both, Colebrook against Swamee & Jain."""
    compare(loads(TREES[tree]), some, speed, tmp_path, flows_to=2e-3, heads_to=2e-3)


def straight(relative_head: float) -> str:
    """A pipe of 35 mm and 100 m between two reservoirs, with some share of a metre between them."""
    return "\n".join(
        [
            "[JUNCTIONS]", "end -50 0", "[RESERVOIRS]", f"high {relative_head:.12g}", "low 0",
            "[PIPES]", "p high end 100 35 0.0015 0", "q end low 0.01 500 0.0015 0",
            "[OPTIONS]", "UNITS LPS", "HEADLOSS D-W", "VISCOSITY 1.2e-6",
            "ACCURACY 0.00001", "HEADERROR 0.0000001", "FLOWCHANGE 0.00000001", "TRIALS 500",
            "[END]", "",
        ]
    )  # fmt: skip


@pytest.mark.parametrize(
    ("dh", "share"),
    [(0.004, 1e-3), (0.010, 1e-3), (0.020, 1e-3), (0.0215, 1e-3), (0.025, 0.015), (0.030, 0.036),
     (0.035, 0.036), (0.040, 0.036), (0.050, 0.036), (0.060, 0.036), (0.070, 0.036),
     (0.080, 0.036), (0.090, 0.036), (0.100, 0.01), (0.150, 0.01), (0.300, 0.01)],
)  # fmt: skip
def test_a_straight_pipe_from_laminar_to_turbulent(dh: float, share: float, tmp_path: Path) -> None:
    """Reynolds numbers from 360 to 7200. Laminar flow agrees up to EPANET's 32.2 ft/s2 (0.08 %); on
    the two bridges flows part by up to 3.6 %, ours above up to Re 2980 and below from there on;
    beyond, by Colebrook against Swamee & Jain."""
    flow = link_flow(straight(dh), tmp_path, "p")

    ours, _ = darcy_flow(dh, 100.0, 0.035, ROUGHNESS, 1.2e-6)

    assert ours == pytest.approx(flow, rel=share)


def link_flow(text: str, folder: Path, link: str) -> float:
    """Flow [m3/s] in one link, by EPANET."""
    (folder / "pipe.inp").write_text(text)
    project = epanet.createproject()
    epanet.open(
        project, str(folder / "pipe.inp"), str(folder / "pipe.rpt"), str(folder / "pipe.out")
    )
    epanet.openH(project)
    epanet.initH(project, 0)
    epanet.runH(project)
    flow = epanet.getlinkvalue(project, epanet.getlinkindex(project, link), epanet.FLOW) / 1000.0
    epanet.closeH(project)
    epanet.close(project)
    epanet.deleteproject(project)
    return float(flow)
