"""A day by the EPANET engine in steps of a second, against the clock.

Nothing is asked of it that it does not need: its own default accuracy, no report, no quality, and as
few nodes as will do. Water that the line and its tank give up between the switch's points stands in a
tank at the manifold, whose level switches the pump. A trough with a herd is a tank behind a throttle
that its level shuts and opens, and the herd a demand with a pattern.
"""

from __future__ import annotations

from time import thread_time
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from epanet import toolkit as epanet

from labkit.engine.demand import visit_flow, visits
from labkit.engine.plant import make_plant
from labkit.units import si
from tests.customary import DAY
from tests.reference.test_epanet import network

if TYPE_CHECKING:
    from pathlib import Path

    from labkit import Site
    from labkit.engine.network import Plant

G = 32.2 * 0.3048
"""EPANET's gravity [m/s2]."""
BORE = 0.025
"""Of the throttle that stands for a float valve [m]."""
SLOT = 600.0
"""Herds come and go on these seconds [s]."""


class Day(NamedTuple):
    """What a day took [s of the processor], its steps, the pump's starts, water pumped [m3]."""

    took: float
    steps: int
    starts: int
    pumped: float


def line_water(plant: Plant) -> list[str]:
    """Write the tank at the manifold, and the switch."""
    low, high = plant.p_cut_in / plant.weight, plant.p_cut_out / plant.weight
    water = float(plant.nodes.C.sum()) * (high - low)
    if plant.tank_volume > 0.0:
        air = (plant.tank_precharge + plant.p_air) * plant.tank_volume
        water += air * (
            1.0 / (plant.p_cut_in + plant.p_air) - 1.0 / (plant.p_cut_out + plant.p_air)
        )
    across = (4.0 * water / (high - low) / np.pi) ** 0.5
    ground = plant.nodes[plant.gauge].z
    return [
        "[TANKS]", f"line {ground:.9g} {low + 0.01:.9g} 0 {2.0 * high:.9g} {across:.9g} 0",
        "[PIPES]", f"joint line n{plant.gauge} 1 50 0.0015 0",
        "[CONTROLS]", f"LINK pump CLOSED IF NODE line ABOVE {high:.9g}",
        f"LINK pump OPEN IF NODE line BELOW {low:.9g}",
    ]  # fmt: skip


def troughs(site: Site) -> list[str]:
    """Write the troughs at which a herd drinks."""
    plant, _ = make_plant(site)
    lines = []
    for k, trough in enumerate(site.troughs):
        if trough.herd is None:
            continue
        there = plant.troughs[k]
        full, open_from = there.V_shut / there.area, (there.V_shut - there.V_band) / there.area
        loss = 2.0 * G * (0.25 * np.pi * BORE**2) ** 2 / there.valve_k**2
        slots = np.zeros(round(DAY / SLOT), dtype=int)
        for begin, end in visits(trough, clock=0.0, duration=DAY):
            assert begin % SLOT == end % SLOT == 0.0
            slots[int(begin / SLOT) : int(end / SLOT)] = 1
        floor = plant.nodes[there.node].z - full  # water stands where it comes in, near enough
        lines += [
            "[TANKS]",
            f"store{k} {floor:.9g} {full:.9g} 0 {si(trough.depth):.9g} {(4.0 * there.area / np.pi) ** 0.5:.9g} 0",
            "[JUNCTIONS]", f"herd{k} {floor - 1.0:.9g} {1000.0 * visit_flow(trough, site):.9g} visits{k}",
            "[PIPES]", f"out{k} store{k} herd{k} 0.1 300 0.0015 0",
            "[VALVES]", f"float{k} n{there.node} store{k} {1000.0 * BORE} TCV {loss:.9g} {loss:.9g}",
            "[CONTROLS]", f"LINK float{k} CLOSED IF NODE store{k} ABOVE {full:.9g}",
            f"LINK float{k} OPEN IF NODE store{k} BELOW {open_from:.9g}",
            "[PATTERNS]",
            *(f"visits{k} " + " ".join(map(str, row)) for row in slots.reshape(-1, 24)),
            "[STATUS]", f"float{k} CLOSED",
        ]  # fmt: skip
    return lines


def run_day(site: Site, folder: Path) -> Day:
    """Run the day; only the steps are timed, not the reading of the text."""
    plant, _ = make_plant(site)
    text = network(plant, [False] * plant.troughs.size, 1.0)
    text = text.replace("ACCURACY 0.00001", "ACCURACY 0.001")  # its own default, and no more asked
    text = text.replace("HEADERROR 0.000001", "").replace("FLOWCHANGE 0.0000001", "")
    more = [
        *line_water(plant), *troughs(site),
        "[TIMES]", "DURATION 24:00", "HYDRAULIC TIMESTEP 0:00:01", "PATTERN TIMESTEP 0:10",
        "REPORT TIMESTEP 24:00", "[REPORT]", "STATUS NO", "MESSAGES NO", "[END]",
    ]  # fmt: skip
    (folder / "day.inp").write_text(text.replace("[END]", "\n".join(more)))
    project = epanet.createproject()
    epanet.open(project, *(str(folder / f"day.{end}") for end in ("inp", "rpt", "out")))
    pump, steps, starts, was, flow, now, pumped = (
        epanet.getlinkindex(project, "pump"), 0, 0, 0.0, 0.0, 0.0, 0.0,
    )  # fmt: skip
    start = thread_time()
    epanet.openH(project)
    epanet.initH(project, 0)
    while True:
        before, now = now, float(epanet.runH(project))
        pumped += flow * (now - before)
        flow = epanet.getlinkvalue(project, pump, epanet.FLOW) / 1000.0
        runs = epanet.getlinkvalue(project, pump, epanet.STATUS)
        starts += runs > was
        steps, was = steps + 1, runs
        if epanet.nextH(project) <= 0:
            break
    took = thread_time() - start
    epanet.closeH(project)
    epanet.close(project)
    epanet.deleteproject(project)
    return Day(took, steps, starts, pumped)
