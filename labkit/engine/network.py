"""The one residual: what each node holds against what flows in and out.

For every node ``held(h) - held* - tau F(h) = 0`` with F its net inflow. A time step hands in the
water held before and a stage length tau; steady state hands in nothing held. Every flow is a
rising function of the head that drives it, so the Jacobian is a tree-shaped M-matrix, symmetric as
long as no pocket is open: `labkit.engine.newton` finds its root.
"""

from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from labkit.compiled import compiled, inlined
from labkit.engine.trough import fill_trough, let_in
from labkit.physics import tank, valve
from labkit.physics.pipe import drag, heavy_flow, run_flow
from labkit.physics.pump import Centrifugal, Displacement, Duty, centrifugal, displacement

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Records = np.recarray[Any, Any]
"""Arrays of records: one small struct a node, a trough or a leak, fields by name."""

FULL: Final = 0
POCKETS: Final = 1
"""Whether a line is taken as full of water, whatever its heads, or pockets open at the limit."""

SOFT: Final = 100.0
"""How much softer a node becomes under its limit where a guess is made without pockets."""

FREE_END: Final = 1
FREE_START: Final = 2
"""Which end of a run is the top of the leg in which that end's water sinks; 0 where neither is."""

NODE: Final = np.dtype(
    [("parent", "i8"), ("free", "i8")]
    + [(name, "f8") for name in ("z", "C", "h_least", "S", "L", "D", "K", "half", "inertance")]
)
"""A node, and the run that ends at it (from `free` on); node 0 has no run.

Where the head would fall under `h_least` [m], the limit of vapour or of air, a pocket opens at the
node and its water sinks in the leg under it. The node's unknown is then the head of that surface,
whose area by each metre is `S` [m2].

`half` is half of what the run stores [m2]. `inertance` [s2/m2] is zero where the water's inertia is
left out: there the flow follows the heads at once.
"""
TROUGH: Final = np.dtype(
    [("node", "i8")]
    + [
        (name, "f8")
        for name in (
            "valve_k", "hold_h", "seat_k", "kept", "area", "V_low", "V_shut", "V_band", "V_rim",
            "evaporation", "leg_S", "leg_depth",
        )
    ]
)  # fmt: skip
"""A trough and its float valve: volumes where drinkers run short, float shuts, water spills.

`kept` is the opening at which the valve is held, negative where it floats; `evaporation` [m3/s].
In the last piece of its pipe, whose water may fall back as air comes in by the open valve, a
surface of `leg_S` [m2] for each metre sinks by `leg_depth` [m] until the piece is empty; both are 0
where runs have no inertia, for there nothing swings back.
"""
LEAK: Final = np.dtype([("node", "i8"), ("k", "f8"), ("n", "f8")])
"""A leak: ``q = k dh**n``."""
NODE_FLOW: Final = np.dtype(
    [
        (name, "f8")
        for name in (
            "net", "held", "storage", "residual", "pivot", "coupling", "back", "step",
            "q", "slope", "q_start", "q_rate", "lost", "stands",
        )
    ]
)  # fmt: skip
"""Net inflow, water held at a node and that one's slope; its row of Newton's system: `coupling` is
that of its row to its parent's head, `back` that of its parent's row to its own. Then of the run
that ends at it: flow and its slope by head, and where the run has inertia the flow with which the
stage begins, the flow's rate of change [m3/s2], friction head; `stands` is 1 where the flow is
known before the heads are, and so has no part in what is sought."""
TROUGH_FLOW: Final = np.dtype(
    [
        (name, "f8")
        for name in ("inflow", "opening", "net", "slope", "drunk", "overflow", "evaporated", "air")
    ]
)
"""Flows at a trough; `slope` is that of `net` by the volume held [1/s]. Where `air` is 1 its valve
lets air into the pipe once the head there falls under the valve's own height."""


class Plant(NamedTuple):
    """A line as flat SI arrays, nodes from the root to the leaves.

    Node 0 is the pump's end of the line; ``nodes.parent[i] < i``. A run ends at each node but the
    first. See `labkit.engine.plant` for how a Site becomes one, and `labkit.engine.pieces` for the
    runs of a long line: `own` are the nodes with a name, those between them only cut runs into
    pieces; `waves` is the error allowed in waves, in tolerances, 0 where no run has inertia, and
    `beat` the longest leap [s], 0 where none are taken.
    """

    nodes: Records
    own: Integers
    waves: float
    beat: float
    troughs: Records
    leaks: Records
    # friction
    law: int
    wall: float
    nu: float
    # well, pump, check valve
    lift: float
    drawdown: float
    intake: float
    is_displacement: bool
    centrifugal: Centrifugal
    displacement: Displacement
    h_torque: float
    check_k: float
    # manifold: gauge, tank, relief valve
    gauge: int
    weight: float
    p_air: float
    tank_volume: float
    tank_precharge: float
    tank_exponent: float
    relief_h: float
    relief_k: float
    # switch and drive
    p_cut_in: float
    p_cut_out: float
    closes_on_rise: bool
    stops_when_closed: bool
    soft_start: float
    ramp_down: float
    restart_delay: float
    start_power: float
    low_water_wait: float
    # what the drive's stop input sees, see `labkit.engine.signals`
    listens: int
    switch_fixed: int
    is_plugged: bool
    sensors: Records


class Inputs(NamedTuple):
    """What acts on a line: shaft power [W], cap on speed [-], drinking [m3/s] (m,)."""

    power: float
    cap: float
    drinking: Floats


PUMP: Final = 0
SPEED: Final = 1
BACK: Final = 2
RELIEF: Final = 3
SHUT_IN: Final = 4


class Flows(NamedTuple):
    """One evaluation of the residual: records of nodes (n,) and troughs (m,), leaks (j,) [m3/s].

    `source` holds the pump's flow and speed, the flow back through the check valve, the relief
    valve's, and the head that the pump makes shut in, at the places named above. `among` are the
    nodes whose heads are sought; all but in a leap (`labkit.engine.leap`).
    """

    nodes: Records
    troughs: Records
    leaks: Floats
    source: Floats
    among: Integers


def records(size: int, kind: np.dtype[Any]) -> Records:
    """Make room for `size` records of a kind, all zero."""
    return np.zeros(size, dtype=np.dtype((np.record, kind))).view(np.recarray)


def make_flows(plant: Plant) -> Flows:
    """Make room for one evaluation of the residual."""
    return Flows(
        records(plant.nodes.size, NODE_FLOW),
        records(plant.troughs.size, TROUGH_FLOW),
        np.zeros(plant.leaks.size),
        np.zeros(5),
        np.arange(plant.nodes.size),
    )


@inlined
def pump_duty(plant: Plant, h: float, power: float, cap: float) -> Duty:
    """Duty of the plant's pump with head `h` [m] at its end of the line."""
    if cap <= 0.0 or power <= 0.0:
        return Duty(0.0, 0.0, 0.0, 0.0, 0.0)
    if plant.is_displacement:
        return displacement(h + plant.lift, plant.drawdown, power, cap, plant.displacement)
    return centrifugal(h + plant.lift, plant.drawdown, power, cap, plant.centrifugal)


@inlined
def tank_water(plant: Plant, h: float) -> tuple[float, float]:
    """Water in the tank at the manifold [m3] with head `h` [m] there, and its slope [m2]."""
    if plant.tank_volume == 0.0:
        return 0.0, 0.0
    water, per_pascal = tank.water_volume(
        plant.weight * (h - plant.nodes[plant.gauge].z),
        V=plant.tank_volume,
        p_precharge=plant.tank_precharge,
        p_air=plant.p_air,
        n=plant.tank_exponent,
    )
    return water, per_pascal * plant.weight


@inlined
def held_water(plant: Plant, i: int, h: float, pockets: int = POCKETS) -> tuple[float, float]:
    """Water held at node `i` [m3] by the pipe's stretch and a tank, and its slope [m2].

    Under the limit it is what is missing in the leg under the node. Without `pockets` the node
    only gives way there, so that a guess does not run far below.
    """
    node = plant.nodes[i]
    volume, slope = node.C * h, node.C
    below = node.h_least - h
    if below > 0.0:
        if pockets:
            volume -= (node.S - node.C) * below
            slope = node.S
        else:
            volume -= (SOFT - 1.0) * node.C * below
            slope *= SOFT
    if i == plant.gauge and plant.tank_volume > 0.0:
        water, more = tank_water(plant, h)
        volume += water
        slope += more
    return volume, slope


@inlined
def root_flow(
    plant: Plant, h: float, power: float, cap: float, check_k: float, source: Floats
) -> tuple[float, float]:
    """Net flow into the root node and its slope; writes the source flows.

    `check_k` is what the check valve lets back, its leak unless it hangs open.
    """
    duty = pump_duty(plant, h, power, cap)
    source[PUMP], source[SPEED], source[BACK] = duty.flow, duty.speed, 0.0
    source[SHUT_IN] = duty.shut_in_head
    if duty.flow > 0.0 or check_k == 0.0:
        return duty.flow, duty.slope
    back, slope = valve.opening_flow(h + plant.lift - duty.shut_in_head, check_k, valve.HOLE)
    source[BACK] = back
    return -back, -slope * (1.0 - duty.shut_in_slope)


@inlined
def drive_run(plant: Plant, run: Any, dh: float, tau: float, flow: Any) -> None:
    """Write the `flow` along a run that a difference of heads `dh` [m] drives, and its slope.

    With inertia the stage's equation is solved for the flow here, so that heads stay the only
    unknowns of the tree; in a stage of no length the flow stands, and only its rate is found.
    """
    if run.inertance == 0.0:
        flow.q, flow.slope = run_flow(dh, run.L, run.D, run.K, plant.wall, plant.nu, plant.law)
    elif tau == 0.0:
        q = flow.q_start
        lost = q * drag(q, run.L, run.D, run.K, plant.wall, plant.nu, plant.law)
        flow.q, flow.slope, flow.q_rate = q, 0.0, (dh - lost) / run.inertance
    else:
        flow.q, flow.slope, flow.lost = heavy_flow(
            dh, run.inertance / tau, flow.q_start, flow.lost, run.L, run.D, run.K,
            plant.wall, plant.nu, plant.law,
        )  # fmt: skip
        flow.q_rate = (flow.q - flow.q_start) / tau


@compiled
def has_pocket(plant: Plant, h: Floats) -> bool:
    """Whether a pocket is open at any node."""
    for i in range(h.size):  # noqa: SIM110 - compiled without generators
        if h[i] < plant.nodes[i].h_least:
            return True
    return False


@inlined
def driving_heads(plant: Plant, i: int, h: Floats) -> tuple[float, float]:
    """Return the heads that drive the run to node `i` at its start and its end [m].

    The top of a leg drives by the surface that stands in the leg; any other end by its pressure,
    which does not fall under the limit.
    """
    run = plant.nodes[i]
    start, end = h[run.parent], h[i]
    if run.free != FREE_START:
        start = max(start, plant.nodes[run.parent].h_least)
    if run.free != FREE_END:
        end = max(end, run.h_least)
    return start, end


@inlined
def _run(plant: Plant, i: int, h: Floats, tau: float, pockets: int, flow: Records) -> None:
    """Add the flow along the run to node `i` to its two ends, and its slope to their rows."""
    run = plant.nodes[i]
    up, node = flow[run.parent], flow[i]
    node.coupling = node.back = 0.0
    if node.stands == 1.0:
        return
    start, end = h[run.parent], h[i]
    if pockets:
        start, end = driving_heads(plant, i, h)
    drive_run(plant, run, start - end, tau, node)
    up.net -= node.q
    node.net += node.q
    if start == h[run.parent]:
        up.pivot += tau * node.slope
        node.coupling = -tau * node.slope
    if end == h[i]:
        node.pivot += tau * node.slope
        node.back = -tau * node.slope


@compiled
def evaluate(
    plant: Plant,
    h: Floats,
    inputs: Inputs,
    held: Floats,
    V_trough: Floats,
    storing: float,
    tau: float,
    tau_trough: float,
    flows: Flows,
    pockets: int = POCKETS,
) -> None:
    """Fill `flows` with the residual and its Jacobian at heads `h`.

    Parameters
    ----------
    h : array, shape (n,)
        Heads at the nodes [m].
    held, V_trough : array, shape (n,), (m,)
        Water held by nodes and troughs where the stage begins [m3].
    storing : float
        1 in a time step, 0 for steady state.
    tau, tau_trough : float
        Length of the stage for nodes and for troughs [s]; with 0 the troughs keep their level.
    pockets : int
        `FULL` or `POCKETS`. A full line hangs together at any pressure: good for a guess, and true
        as long as no head is under its limit.
    """
    nodes, among = flows.nodes, flows.among
    for j in range(among.size):
        i = among[j]
        node = nodes[i]
        node.net = 0.0
        node.held, node.storage = held_water(plant, i, h[i], pockets)
        node.pivot = storing * node.storage
    net, slope = root_flow(plant, h[0], inputs.power, inputs.cap, plant.check_k, flows.source)
    nodes[0].net += net
    nodes[0].pivot -= tau * slope
    for j in range(1, among.size):
        i = among[j]
        _run(plant, i, h, tau, pockets, nodes)
    for k in range(V_trough.size):
        trough, flow = plant.troughs[k], flows.troughs[k]
        i = trough.node
        if flow.air == 1.0:
            gone, more = let_in(trough, plant.nodes[i], h[i])
            nodes[i].held -= gone
            nodes[i].storage += more
            nodes[i].pivot += storing * more
        slope = fill_trough(
            trough, h[i], plant.nodes[i].z, V_trough[k], tau_trough, inputs.drinking[k], flow
        )
        nodes[i].net -= flow.inflow
        nodes[i].pivot += tau * slope
    for j in range(flows.leaks.size):
        leak = plant.leaks[j]
        i = leak.node
        q, slope = valve.opening_flow(h[i] - plant.nodes[i].z, leak.k, leak.n)
        flows.leaks[j] = q
        nodes[i].net -= q
        nodes[i].pivot += tau * slope
    g = plant.gauge
    q, slope = valve.relief_flow(h[g] - plant.nodes[g].z, plant.relief_h, plant.relief_k)
    flows.source[RELIEF] = q
    nodes[g].net -= q
    nodes[g].pivot += tau * slope
    for j in range(among.size):
        i = among[j]
        nodes[i].residual = storing * (nodes[i].held - held[i]) - tau * nodes[i].net
