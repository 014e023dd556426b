"""What happens where runs end: pump, manifold, tees, float valves, leaks; and the march in time.

At each node what the runs bring, a falling straight line of the head there, meets what leaves the
line, a rising function of it: one scalar root, found by Newton within a bracket.
"""

from math import inf

from labkit.compiled import compiled
from labkit.engine.network import PUMP, RELIEF, SPEED, Floats, Plant, root_flow
from labkit.engine.signals import trip_tells_to_stop
from labkit.engine.waves import (
    BY_FLOW,
    BY_LEVEL,
    CAP,
    CHECK_K,
    HEADS,
    LEAKS,
    LOCKED,
    PUSHED,
    SPEED_TOLD,
    TANK,
    TOLD,
    TRIPPED,
    Cause,
    Net,
    meet,
    send,
)
from labkit.physics import tank, valve


@compiled
def _trough_flow(plant: Plant, net: Net, k: int, h: float) -> tuple[float, float]:
    """Flow into a trough [m3/s] and its slope [m2/s] with head `h` [m] at its inlet."""
    trough = plant.troughs[k]
    dh = h - plant.nodes[trough.node].z
    full, full_slope = valve.opening_flow(dh, trough.valve_k, valve.HOLE)
    seat, seat_slope = valve.opening_flow(dh, trough.seat_k, valve.HOLE)
    forced, forced_slope = valve.forced_opening(dh, trough.hold_h)
    q, slope = net.opening[k] * full, net.opening[k] * full_slope
    if q > net.limit[k]:
        q, slope = net.limit[k], 0.0
    if forced * full > q:
        q, slope = forced * full, forced * full_slope + forced_slope * full
    return q + seat, slope + seat_slope


@compiled
def _manifold(
    plant: Plant, net: Net, h: float, held: float, dt: float
) -> tuple[float, float, float]:
    """Flow [m3/s] into tank and relief valve, its slope, and the water in the tank [m3]."""
    dh = h - plant.nodes[plant.gauge].z
    out, slope = valve.relief_flow(dh, plant.relief_h, plant.relief_k)
    net.flows[RELIEF] = out
    water, per_pascal = tank.water_volume(
        plant.weight * dh, plant.tank_volume, plant.tank_precharge, plant.p_air, plant.tank_exponent
    )
    return out + (water - held) / dt, slope + per_pascal * plant.weight / dt, water


@compiled
def _leave(
    plant: Plant, net: Net, power: float, i: int, h: float, held: float, dt: float
) -> tuple[float, float]:
    """Flow [m3/s] that leaves the line at node `i` and its slope [m2/s]; writes the flows."""
    out, slope = 0.0, 0.0
    if i == 0:
        q, steep = root_flow(plant, h, power, net.state[CAP], net.state[CHECK_K], net.flows)
        out -= q
        slope -= steep
    if i == net.place[plant.gauge]:
        q, steep, net.flows[TANK] = _manifold(plant, net, h, held, dt)
        out += q
        slope += steep
    at_troughs = HEADS + net.nodes.size
    for k in range(net.opening.size):
        if net.place[plant.troughs[k].node] == i:
            q, steep = _trough_flow(plant, net, k, h)
            net.flows[at_troughs + k] = q
            out += q
            slope += steep
    for j in range(plant.leaks.size):
        leak = plant.leaks[j]
        if net.place[leak.node] == i:
            q, steep = valve.opening_flow(h - plant.nodes[leak.node].z, leak.k, leak.n)
            net.leaks[j] = q
            out += q
            slope += steep
    return out, slope


@compiled
def _balanced_head(plant: Plant, net: Net, power: float, i: int, held: float, dt: float) -> float:
    """Head [m] at which what arrives at node `i` leaves again; Newton within a bracket."""
    node = net.nodes[i]
    h, low, high = node.h, -inf, inf
    for _ in range(200):
        out, slope = _leave(plant, net, power, i, h, held, dt)
        spare = node.arriving - node.pocket / dt - node.ease * h - out
        if spare > 0.0:
            low = h
        else:
            high = h
        step = spare / (node.ease + slope)
        if abs(step) <= 1e-10 or high - low <= 1e-13 * abs(h):
            break
        h += step
        if not low < h < high:
            h = 0.5 * (low + high)
    return float(h)


@compiled
def _gather(net: Net) -> None:
    """Sum up what the runs bring to each node."""
    nodes, points = net.nodes, net.points
    for i in range(nodes.size):
        nodes[i].arriving, nodes[i].ease = 0.0, 0.0
    for i in range(1, nodes.size):
        run = net.runs[i]
        if run.reaches == 0:
            continue
        end, start = points[run.first + run.reaches - 1], points[run.first + 1]
        nodes[i].arriving += end.down_ease * end.down
        nodes[i].ease += end.down_ease
        nodes[run.up].arriving += start.back_ease * start.back
        nodes[run.up].ease += start.back_ease


@compiled
def _join(plant: Plant, net: Net, power: float, dt: float) -> None:
    """Find the heads at the nodes and the flows at the ends of their runs."""
    held = net.flows[TANK]
    for i in range(net.nodes.size):
        if net.place[i] != i:
            continue
        node = net.nodes[i]
        h = max(_balanced_head(plant, net, power, i, held, dt), node.h_vapour)
        out, _ = _leave(plant, net, power, i, h, held, dt)
        node.pocket += dt * (out - node.arriving + node.ease * h)
        if h > node.h_vapour:
            node.pocket = 0.0
        node.h = h
    for i in range(1, net.nodes.size):
        run = net.runs[i]
        if run.reaches == 0:
            continue
        first, last = net.points[run.first], net.points[run.first + run.reaches]
        before, after = net.points[run.first + run.reaches - 1], net.points[run.first + 1]
        first.h, last.h = net.nodes[run.up].h, net.nodes[i].h
        first.q_out = after.back_ease * (first.h - after.back)
        last.q_in = before.down_ease * (before.down - last.h)
        first.q_in, last.q_out = first.q_out, last.q_in


@compiled
def begin(plant: Plant, net: Net, power: float) -> None:
    """Fill ``net.flows`` for the line as it stands before anything happens."""
    for i in range(net.nodes.size):
        if net.place[i] == i:
            _leave(plant, net, power, i, net.nodes[i].h, 0.0, 1.0)
    _note(net)


@compiled
def _note(net: Net) -> None:
    """Write heads and the sum of the leaks to ``net.flows``."""
    for i in range(net.nodes.size):
        net.flows[HEADS + i] = net.nodes[net.place[i]].h
    leaked = 0.0
    for j in range(net.leaks.size):
        leaked += net.leaks[j]
    net.flows[LEAKS] = leaked


@compiled
def _close(plant: Plant, net: Net, cause: Cause, t: float, dt: float) -> None:
    """Set the float valve that closes for the step of `dt` [s] that ends at time `t` [s]."""
    k = cause.trough
    if cause.law == BY_LEVEL:
        risen = dt * net.flows[HEADS + net.nodes.size + k] / plant.troughs[k].V_band
        net.opening[k] = max(net.opening[k] - risen, 0.0)
        return
    left = max(1.0 - t / cause.closing_time, 0.0) if cause.closing_time > 0.0 else 0.0
    if cause.law == BY_FLOW:
        net.limit[k] = left**cause.exponent * cause.q_start
    else:
        net.opening[k] = left**cause.exponent


@compiled
def _slow_down(net: Net, cause: Cause, t: float) -> float:
    """Highest speed [-] of a pump that was told to stop, by its ramp or by its inertia.

    Left to itself it loses speed by its torque, which goes with the square of the speed:
    ``ds/dt = -s**2 / coast`` (affinity laws).
    """
    gone, start = t - net.state[TOLD], net.state[SPEED_TOLD]
    if cause.coast > 0.0:
        return float(start / (1.0 + start * gone / cause.coast))
    if cause.ramp_down > 0.0:
        return float(max(start - gone / cause.ramp_down, 0.0))
    return 0.0


@compiled
def _act(plant: Plant, net: Net, cause: Cause, t: float, dt: float) -> None:
    """Set float valve, drive and check valve for the step of `dt` [s] that ends at time `t` [s]."""
    state = net.state
    if cause.trough >= 0:
        _close(plant, net, cause, t, dt)
    if state[LOCKED] < inf:
        state[CAP] = 0.0
    elif state[TOLD] <= t:
        state[CAP] = _slow_down(net, cause, t)
    hangs = t <= state[PUSHED] + cause.hangs
    state[CHECK_K] = plant.check_k + (cause.open_k if hangs else 0.0)


@compiled
def _watch(plant: Plant, net: Net, cause: Cause, t: float) -> None:
    """See at time `t` [s] whether the switch trips or a safety stops the pump."""
    state = net.state
    if net.flows[PUMP] > 0.0:
        state[PUSHED] = t
    gauge = net.nodes[net.place[plant.gauge]].h - plant.nodes[plant.gauge].z
    if state[TRIPPED] == inf and plant.weight * gauge >= plant.p_cut_out:
        state[TRIPPED] = t
        if cause.heeds and state[TOLD] == inf and trip_tells_to_stop(plant):
            state[TOLD], state[SPEED_TOLD] = t, net.flows[SPEED]
    pumping_level = plant.lift + plant.drawdown * net.flows[PUMP]
    strained = net.nodes[0].h + pumping_level >= plant.h_torque
    if state[LOCKED] == inf and state[CAP] > 0.0 and (strained or pumping_level >= plant.intake):
        state[LOCKED] = t


@compiled
def march(
    plant: Plant, net: Net, cause: Cause, dt: float, rows: Floats, frames: Floats, stride: int
) -> None:
    """Carry the waves through steps of `dt` [s], from the state that stands in `net`.

    Fills `rows` (steps + 1, ..) with a row a step, and `frames` (.., k) with the head at each point
    every `stride` steps; the first of both must stand already.
    """
    points = net.points
    for row in range(1, rows.shape[0]):
        t = row * dt
        _act(plant, net, cause, t, dt)
        send(plant, net)
        meet(net, dt)
        _gather(net)
        _join(plant, net, cause.power, dt)
        _watch(plant, net, cause, t)
        _note(net)
        for column in range(net.flows.size):
            rows[row, column] = net.flows[column]
        for j in range(points.size):
            point = points[j]
            point.lowest = min(point.lowest, point.h)
            point.highest = max(point.highest, point.h)
            if row % stride == 0:
                frames[row // stride, j] = point.h
