"""Newton's method on the residual of a tree.

Elimination from the leaves to the root solves its system in O(nodes), and a line search on the
derivative of the residual's convex potential keeps it from overshooting.
"""

from typing import Final

from labkit.compiled import compiled
from labkit.engine.network import (
    FULL,
    POCKETS,
    Floats,
    Flows,
    Inputs,
    Plant,
    Records,
    evaluate,
    has_pocket,
)

_ROUNDS: Final = 60
_AMISS: Final = 100.0
"""Water that a node may have too much where its run has inertia, as a head, in tolerances."""


@compiled
def eliminate(nodes: Records, flows: Flows) -> None:
    """Factor Newton's system from the leaves to the root.

    Leaves the inverse of each pivot in `pivot`, and in `coupling` and `back` their products
    with it.
    """
    flow = flows.nodes
    for j in range(flows.among.size - 1, 0, -1):
        i = flows.among[j]
        node = flow[i]
        node.pivot = 1.0 / node.pivot
        factor = node.back * node.pivot
        flow[nodes[i].parent].pivot -= factor * node.coupling
        node.coupling *= node.pivot
        node.back = factor
    flow[0].pivot = 1.0 / flow[0].pivot


@compiled
def substitute(nodes: Records, flows: Flows) -> None:
    """Solve the factored system for the `step` that stands in `flows`."""
    flow = flows.nodes
    for j in range(flows.among.size - 1, 0, -1):
        i = flows.among[j]
        flow[nodes[i].parent].step -= flow[i].back * flow[i].step
    flow[0].step *= flow[0].pivot
    for j in range(1, flows.among.size):
        i = flows.among[j]
        node = flow[i]
        node.step = node.step * node.pivot - node.coupling * flow[nodes[i].parent].step


@compiled
def _along(flows: Flows, direction: Floats) -> float:
    """Return the slope of the residual's potential along a direction [m3 m]."""
    slope = 0.0
    for j in range(flows.among.size):
        i = flows.among[j]
        slope += flows.nodes[i].residual * direction[i]
    return slope


@compiled
def _follow(
    plant: Plant,
    h: Floats,
    inputs: Inputs,
    held: Floats,
    V_trough: Floats,
    storing: float,
    tau: float,
    tau_trough: float,
    flows: Flows,
    direction: Floats,
) -> None:
    """Move `h` against `direction` until the potential's slope has fallen to half, either way.

    A whole step unless that leads past the valley; then the valley is bracketed, for at a kink
    such as a check valve's the slope may turn a thousand times steeper.
    """
    descent = _along(flows, direction)
    low, high, share, gone = 0.0, 1.0, 1.0, 0.0
    at_low, at_high = descent, 0.0
    for _ in range(12):
        for j in range(flows.among.size):
            i = flows.among[j]
            h[i] -= (share - gone) * direction[i]
        evaluate(plant, h, inputs, held, V_trough, storing, tau, tau_trough, flows, FULL)
        ahead = _along(flows, direction)
        if abs(ahead) <= 0.5 * descent or (share == 1.0 and ahead > 0.0):
            return
        if ahead < 0.0:
            high, at_high = share, ahead
        else:
            low, at_low = share, ahead
        gone = share
        share = low + (high - low) * min(max(at_low / (at_low - at_high), 0.1), 0.9)


@compiled
def _unbalanced(flows: Flows) -> float:
    """Return the sum of what is amiss at all nodes [m3]."""
    amiss = 0.0
    for j in range(flows.among.size):
        i = flows.among[j]
        amiss += abs(flows.nodes[i].residual)
    return amiss


@compiled
def _back_off(
    plant: Plant,
    h: Floats,
    inputs: Inputs,
    held: Floats,
    V_trough: Floats,
    storing: float,
    tau: float,
    tau_trough: float,
    flows: Flows,
    direction: Floats,
) -> None:
    """Move `h` against `direction`, half as far each time until less is amiss than before.

    With a pocket open a run passes news downhill only: the Jacobian is no longer symmetric, and
    the residual no longer the slope of a potential.
    """
    before, gone, share = _unbalanced(flows), 0.0, 1.0
    for _ in range(12):
        for j in range(flows.among.size):
            i = flows.among[j]
            h[i] -= (share - gone) * direction[i]
        evaluate(plant, h, inputs, held, V_trough, storing, tau, tau_trough, flows, POCKETS)
        if _unbalanced(flows) < before:
            return
        gone, share = share, 0.5 * share


@compiled
def _amiss(plant: Plant, flows: Flows) -> float:
    """Return the head that lost water would make at the worst node, where water has inertia.

    In a long stage heads that are right to a hair still leave flows that do not add up: much water,
    where nodes hold little. Without inertia it runs on at once; with it, it would set off a wave.
    """
    worst = 0.0
    for j in range(flows.among.size):
        i = flows.among[j]
        if plant.nodes[i].inertance > 0.0 or i == plant.gauge:
            node = flows.nodes[i]
            worst = max(worst, abs(node.residual) / node.storage)
    return worst


@compiled
def root(
    plant: Plant,
    h: Floats,
    inputs: Inputs,
    held: Floats,
    V_trough: Floats,
    storing: float,
    tau: float,
    tau_trough: float,
    tolerance: float,
    flows: Flows,
    trial: Floats,
    pockets: int,
) -> bool:
    """Find the heads at which the residual vanishes, with or without pockets; see `solve`.

    Without them the answer holds only where no head comes out under its limit.
    """
    nodes, among = flows.nodes, flows.among
    evaluate(plant, h, inputs, held, V_trough, storing, tau, tau_trough, flows, pockets)
    for _ in range(_ROUNDS):
        for j in range(among.size):
            i = among[j]
            nodes[i].step = nodes[i].residual
        eliminate(plant.nodes, flows)
        substitute(plant.nodes, flows)
        largest = 0.0
        for j in range(among.size):
            i = among[j]
            trial[i] = nodes[i].step
            largest = max(largest, abs(trial[i]))
        if not largest < 1e12:
            return False
        if largest <= tolerance and (
            plant.waves == 0.0 or storing == 0.0 or _amiss(plant, flows) <= _AMISS * tolerance
        ):
            return True
        if pockets == POCKETS:
            _back_off(plant, h, inputs, held, V_trough, storing, tau, tau_trough, flows, trial)
        else:
            _follow(plant, h, inputs, held, V_trough, storing, tau, tau_trough, flows, trial)
    return False


@compiled
def solve(
    plant: Plant,
    h: Floats,
    inputs: Inputs,
    held: Floats,
    V_trough: Floats,
    storing: float,
    tau: float,
    tau_trough: float,
    tolerance: float,
    flows: Flows,
    trial: Floats,
    is_full: int,
) -> bool:
    """Find the heads at which the residual vanishes; `h` is the guess and the answer.

    Ends when Newton's next step is under `tolerance` [m] at every node, and leaves it: `flows` are
    those at the heads given back, with their factored Jacobian. `trial` (n,) is working room. Gives
    False if 60 rounds do not suffice. A line that is full of water so far (`is_full`) is taken as
    full until a head comes out under its limit.
    """
    if is_full:
        found = root(
            plant, h, inputs, held, V_trough, storing, tau, tau_trough, tolerance, flows, trial,
            FULL,
        )  # fmt: skip
        if found and not has_pocket(plant, h):
            return True
        for j in range(flows.among.size):
            i = flows.among[j]
            h[i] = max(h[i], plant.nodes[i].h_least)
    return root(
        plant, h, inputs, held, V_trough, storing, tau, tau_trough, tolerance, flows, trial,
        POCKETS,
    )  # fmt: skip
