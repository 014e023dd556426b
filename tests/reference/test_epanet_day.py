"""A whole day of a storage trough against the EPANET engine's extended-period simulation.

A pump at constant speed feeds a tree: a trough that never fills, and a storage trough that a herd draws
down three times a day while its float valve opens and shuts. In EPANET the storage is a TANK, the herd
a demand with a pattern, the float a control by level. A tank there is fed from below, which pushes
back; a float valve here drops its water through the air. So the inlet is a throttle (TCV) into a
junction whose pressure a sustaining valve (PSV) holds at nothing, and the tank stands twelve metres
lower: water falls, and the tank's level does not matter.

What is left between the two: EPANET's clock of whole seconds, its 32.2 ft/s2, and our float's band, a
twentieth of an inch of throttling where EPANET shuts at once (a fifth of a per cent of the depth).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from epanet import toolkit as epanet

from labkit import Site, simulate
from labkit.engine.plant import ROUGHNESS, make_plant
from labkit.sitefile import loads
from tests.customary import GALLON, INCH

if TYPE_CHECKING:
    from pathlib import Path

RANCH = """
title = "A day to check"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "3000 ft" }
well = { static_level = "80 ft", intake_depth = "150 ft" }
array = { rated_power = "5000 W" }
drive = { kind = "mains" }
pressure_switch = { cut_in = "20 psi", cut_out = "399 psi", action = "opens on rise" }
[pump]
kind = "centrifugal"
shut_off_head = "340 ft"
rated_flow = "8 gpm"
rated_head = "250 ft"
[[pipe]]
from = "manifold"
to = "tee"
length = "1500 ft"
size = "1 1/4 in PE SIDR 15"
rise = "20 ft"
[[trough]]
name = "storage"
volume = "3000 gal"
depth = "24 in"
pipe = { from = "tee", length = "900 ft", size = "1 1/4 in PE SIDR 15", rise = "15 ft", fittings = 6 }
float_valve = { flow = "9 gpm at 20 psi", band = "0.05 in" }
herd = { head = 300, kind = "cow with calf", daily_need = "15 gal/day", visits = ["06:00", "12:00", "18:00"], visit_time = "60 min" }
[[trough]]
name = "far"
volume = "20000 gal"
depth = "100 in"
pipe = { from = "tee", length = "2000 ft", size = "1 in PE SIDR 15", rise = "-10 ft" }
float_valve = { flow = "3 gpm at 20 psi" }
"""
VISITS = (6, 12, 18)
G = 32.2 * 0.3048
"""EPANET's gravity [m/s2]."""
BORE = 0.025
"""Of the throttle that stands for the float valve [m]."""
START, FULL, BAND = 20.0 * INCH, 22.0 * INCH, 0.05 * INCH
DRAW = 300 * 15.0 * GALLON / 3.0 / 3600.0
"""What the herd drinks during a visit [m3/s]."""


def network(site: Site) -> str:
    """Write the ranch as EPANET's input, in litres a second and metres."""
    plant, layout = make_plant(site)
    curve = plant.centrifugal
    points = [(Q, curve.shut_off_head - curve.bend * Q * Q) for Q in (0.0, 4e-4, 9e-4)]
    store, far = (layout.names.index(name) for name in ("storage", "far"))
    z = plant.nodes[store].z
    k = plant.troughs[layout.troughs.index("storage")].valve_k
    loss = 2.0 * G * (0.25 * np.pi * BORE**2) ** 2 / k**2
    far_k = plant.troughs[layout.troughs.index("far")].valve_k * 1000.0
    across = np.sqrt(4.0 / np.pi * 3000.0 * GALLON / (24.0 * INCH))
    wall = ROUGHNESS * 1000.0 if plant.law == 0 else plant.wall
    nodes = list(enumerate(plant.nodes))
    lines = [
        "[JUNCTIONS]", *(f"n{i} {node.z:.12g} 0" for i, node in nodes),
        f"air {z:.12g} 0", f"foot {z - 12.0:.12g} 0",
        f"herd {z - 12.0:.12g} {DRAW * 1000.0:.12g} visits",
        "[RESERVOIRS]", f"well {-plant.lift:.12g}",
        "[TANKS]", f"store {z - 12.0:.12g} {START:.12g} 0 {24.0 * INCH:.12g} {across:.12g} 0",
        "[PIPES]",
        *(f"p{i} n{node.parent} n{i} {node.L:.12g} {node.D * 1000.0:.12g} {wall:.12g} {node.K:.12g}"
          for i, node in nodes[1:]),
        f"in foot store 0.1 300 {wall:.12g} 0", f"out store herd 0.1 300 {wall:.12g} 0",
        "[VALVES]", f"float n{store} air {BORE * 1000.0} TCV {loss:.12g} {loss:.12g}",
        "fall air foot 100 PSV 0 0",
        "[PUMPS]", "pump well n0 HEAD c",
        "[CURVES]", *(f"c {Q * 1000.0:.12g} {H:.12g}" for Q, H in points),
        "[PATTERNS]", "visits " + " ".join("1" if hour in VISITS else "0" for hour in range(24)),
        "[EMITTERS]", f"n{far} {far_k:.12g}",
        "[CONTROLS]", f"LINK float CLOSED IF NODE store ABOVE {FULL:.12g}",
        f"LINK float OPEN IF NODE store BELOW {FULL - BAND:.12g}",
        "[TIMES]", "DURATION 24:00", "HYDRAULIC TIMESTEP 0:05", "PATTERN TIMESTEP 1:00",
        "[OPTIONS]", "UNITS LPS", f"HEADLOSS {'D-W' if plant.law == 0 else 'H-W'}",
        f"VISCOSITY {plant.nu:.12g}", "EMITTER EXPONENT 0.5",
        "ACCURACY 0.00001", "HEADERROR 0.000001", "FLOWCHANGE 0.0000001", "TRIALS 500",
        "[END]", "",
    ]  # fmt: skip
    return "\n".join(lines)


def their_day(text: str, folder: Path) -> tuple[list[float], list[float], list[float]]:
    """Times [s], levels [m] and pump flows [m3/s], by EPANET."""
    (folder / "day.inp").write_text(text)
    project = epanet.createproject()
    epanet.open(project, *(str(folder / f"day.{end}") for end in ("inp", "rpt", "out")))
    epanet.setoption(project, epanet.EMITBACKFLOW, 0)
    epanet.openH(project)
    epanet.initH(project, 0)
    store = epanet.getnodeindex(project, "store")
    bottom = epanet.getnodevalue(project, store, epanet.ELEVATION)
    pump = epanet.getlinkindex(project, "pump")
    times, levels, flows = [], [], []
    more = 1
    while more > 0:
        times.append(float(epanet.runH(project)))
        levels.append(epanet.getnodevalue(project, store, epanet.HEAD) - bottom)
        flows.append(epanet.getlinkvalue(project, pump, epanet.FLOW) / 1000.0)
        more = epanet.nextH(project)
    epanet.closeH(project)
    epanet.close(project)
    epanet.deleteproject(project)
    return times, levels, flows


@pytest.mark.parametrize("law", ["Hazen-Williams", "Darcy-Weisbach"])
def test_a_day_of_filling_and_drinking(law: str, tmp_path: Path) -> None:
    """Levels to 0.1 % of the depth at every step of the day, water pumped to 0.05 %.

    EPANET's shut links pass some 1e-4 L/s, which is why its full trough still creeps up."""
    site = loads(RANCH).changed({"friction": law})
    times, levels, flows = their_day(network(site), tmp_path)

    trace = simulate(
        site, "24 hour", sun="1000 W/m^2", start="00:00", levels={"storage": "20 in", "far": "1 in"}
    )

    ours = np.interp(times, trace.time, trace.level["storage"])
    assert max(levels) - min(levels) > 6.0 * INCH
    assert 3 <= len([e for e in trace.events if e.kind == "float shuts" and e.where == "storage"])
    assert np.abs(ours - levels).max() <= 1e-3 * 24.0 * INCH
    pumped = float(np.sum(np.diff(times) * np.array(flows[:-1])))
    assert trace.totals.pumped == pytest.approx(pumped, rel=5e-4)
    assert trace.totals.drunk == pytest.approx(3.0 * 3600.0 * DRAW, rel=1e-9)
