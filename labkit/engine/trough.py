"""A trough and its float valve within one stage of a step."""

from math import inf
from typing import Any, Final

from labkit.compiled import compiled
from labkit.physics import valve

RIM: Final = 10.0
"""Seconds in which water above the rim of a trough runs off [s]."""

_EXACT: Final = 1e-14


@compiled
def _trough_balance(
    trough: Any, V: float, full_flow: float, forced: float, seat: float, demand: float
) -> tuple[float, float, float, float, float, float]:
    """Net inflow of a trough holding `V`, its slope, opening, that one's slope, share, overflow.

    The share is how much of what stock and air want the trough has to give.
    """
    x, dx = valve.float_opening(V, trough.V_shut, trough.V_band)
    if forced > x:
        x, dx = forced, 0.0
    if trough.kept >= 0.0:
        x, dx = trough.kept, 0.0
    share, dshare = 1.0, 0.0
    if trough.V_low > V:
        share, dshare = (V / trough.V_low, 1.0 / trough.V_low) if V > 0.0 else (0.0, 0.0)
    over, dover = 0.0, 0.0
    if trough.V_rim < V:
        over, dover = (V - trough.V_rim) / RIM, 1.0 / RIM
    wanted = demand + trough.evaporation
    net = full_flow * x + seat - wanted * share - over
    return net, full_flow * dx - wanted * dshare - dover, x, dx, share, over


@compiled
def _inside_piece(
    trough: Any, V_start: float, tau: float, full_flow: float, forced: float, seat: float,
    demand: float,
) -> float:  # fmt: skip
    """Find a volume inside the linear piece on which the stage's balance has its root [m3]."""
    low, high = -inf, inf
    for kink in (
        0.0,
        trough.V_low,
        trough.V_shut - trough.V_band,
        trough.V_shut - forced * trough.V_band,
        trough.V_shut,
        trough.V_rim,
    ):
        net = _trough_balance(trough, kink, full_flow, forced, seat, demand)[0]
        if kink - V_start - tau * net <= 0.0:
            low = max(low, kink)
        else:
            high = min(high, kink)
    if high == inf:
        return low + 1.0
    if low == -inf:
        return high - 1.0
    return 0.5 * (low + high)


@compiled
def let_in(trough: Any, node: Any, h: float) -> tuple[float, float]:
    """Return the water that air by an open valve has let out of its node [m3], its slope [m2].

    That is what the node holds less than if its pipe were full at a head `h` under the valve.
    """
    sunk, more = node.z - h, trough.leg_S - node.C
    if not sunk > 0.0:
        return 0.0, 0.0
    if sunk < trough.leg_depth:
        return more * sunk, more
    return more * trough.leg_depth, 0.0


@compiled
def fill_trough(
    trough: Any, h: float, z: float, V_start: float, tau: float, demand: float, flow: Any
) -> float:
    """Solve a trough for its stage: ``V = V_start + tau net(V, h)``.

    Writes the trough's `flow` and gives the slope of its inflow by head [m2/s], the trough's own
    answer included. The balance is piecewise linear in V, so finding the piece solves it exactly.
    """
    full_flow, full_slope = valve.opening_flow(h - z, trough.valve_k, valve.HOLE)
    seat, seat_slope = valve.opening_flow(h - z, trough.seat_k, valve.HOLE)
    forced, forced_slope = valve.forced_opening(h - z, trough.hold_h)
    V = V_start
    net, slope, x, dx, share, over = _trough_balance(trough, V, full_flow, forced, seat, demand)
    if tau > 0.0:
        V += tau * net / (1.0 - tau * slope)
        net, slope, x, dx, share, over = _trough_balance(trough, V, full_flow, forced, seat, demand)
        if abs(V - V_start - tau * net) > _EXACT * trough.V_rim:  # the root is in another piece
            V = _inside_piece(trough, V_start, tau, full_flow, forced, seat, demand)
            net, slope, _, _, _, _ = _trough_balance(trough, V, full_flow, forced, seat, demand)
            V -= (V - V_start - tau * net) / (1.0 - tau * slope)
            net, slope, x, dx, share, over = _trough_balance(
                trough, V, full_flow, forced, seat, demand
            )
    flow.inflow, flow.opening = full_flow * x + seat, x
    flow.net, flow.slope = net, slope
    flow.drunk, flow.evaporated, flow.overflow = demand * share, trough.evaporation * share, over
    by_head = full_slope * x + seat_slope
    if dx == 0.0 and x == forced:
        by_head += full_flow * forced_slope
    return by_head + full_flow * dx * tau * by_head / (1.0 - tau * slope)
