"""A cycling line by the method of characteristics, over whole cycles, written down for itself.

One level run from the manifold to a shut float; pump, check valve, tank and a leak at the manifold.
Nothing here comes from labkit: neither equations nor constants nor how a line is laid out. Grid of
``dt = dx / a``, so waves pass from point to point unbent; friction by the trapezoidal rule along each
characteristic, hence of second order; the tank likewise. A switch acts at the next grid time.

    h_P = h_A + B (q_A - q_P) - (J(q_A) + J(q_P)) / 2        along +a,  B = a / (g A)
    h_P = h_B - B (q_B - q_P) + (J(q_B) + J(q_P)) / 2        along -a

Source: Wylie & Streeter 1993, Fluid Transients in Systems, chapter 3.
"""

from __future__ import annotations

from collections.abc import Callable
from math import log10, pi, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit

if TYPE_CHECKING:
    from numpy.typing import NDArray

Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """Compile, for speed alone."""
    return cast("Function", njit(function))


G = 9.80665
PSI = 6894.757293168361
FOOT = 0.3048
GALLON = 3.785411784e-3
GPM = GALLON / 60.0
RHO = 999.1
"""Of water at 15 degC [kg/m3] (tables of the CRC Handbook)."""
NU = 1.139e-6
"""Of the same [m2/s]: 1.138 mPa s over the density."""


class Line(NamedTuple):
    """A line in feet, psi, gallons and gallons a minute; what is left is in SI."""

    length: float
    a: float
    bore: float
    shut_off_head: float
    rated_flow: float
    rated_head: float
    lift: float
    tank: float
    precharge: float
    leak: float
    leak_psi: float
    cut_in: float
    cut_out: float
    soft_start: float
    ramp_down: float
    p_air: float


class Cycles(NamedTuple):
    """When the pump started [s], the highest pressure [psi], and water not accounted for [m3]."""

    starts: NDArray[np.float64]
    peak: float
    lost: float
    pumped: float


def friction(q: float, D: float) -> float:
    """Head lost in a meter of smooth plastic pipe [-] at a flow above zero.

    Poiseuille to Reynolds number 2000, Colebrook from 3700 on, each by its book. Between them the
    line between both ends on a doubly logarithmic sheet: nobody knows better.
    """

    def colebrook(Re: float) -> float:
        f = 0.03
        for _ in range(60):
            f = (-2.0 * log10(1.5e-6 / (3.7 * D) + 2.51 / (Re * sqrt(f)))) ** -2
        return f

    Re = 4.0 * q / (pi * D * NU)
    if Re <= 2000.0:
        f = 64.0 / Re
    elif Re >= 3700.0:
        f = colebrook(Re)
    else:
        low, high = 64.0 / 2000.0, colebrook(3700.0)
        f = low * (high / low) ** (np.log(Re / 2000.0) / np.log(3700.0 / 2000.0))
    v = q / (pi / 4.0 * D * D)
    return f / D * v * v / (2.0 * G)


@compiled
def _lost(q: float, table: Any, step: float) -> tuple[float, float]:
    """Head lost to friction in one cell [m], and its slope, from a table by flow."""
    size = abs(q) / step
    i = min(int(size), table.size - 2)
    rise = table[i + 1] - table[i]
    value = table[i] + (size - i) * rise
    return (value if q >= 0.0 else -value), rise / step


@compiled
def _water(p: float, V: float, p0: float, p_air: float) -> float:
    """Water in the tank by Boyle's law [m3]; `p` gauge [Pa]."""
    if V == 0.0 or p <= p0:
        return 0.0
    return V * (1.0 - (p0 + p_air) / (p + p_air))


class Wellhead(NamedTuple):
    """Pump curve H0 - R Q2 and lift; tank, precharge, outside air; weight of water; leak k sqrt(h)."""

    H0: float
    R: float
    lift: float
    V: float
    p0: float
    p_air: float
    weight: float
    leak: float


@compiled
def _inside(h: Any, q: Any, h1: Any, q1: Any, B: float, table: Any, step: float) -> None:
    """Give heads and flows a step on, at all points but the first."""
    last = h.size - 1
    for i in range(1, last):
        jA, _ = _lost(q[i - 1], table, step)
        jB, _ = _lost(q[i + 1], table, step)
        right = h[i - 1] - h[i + 1] + B * (q[i - 1] + q[i + 1]) - 0.5 * (jA + jB)
        x = q[i]
        for _ in range(4):
            j, slope = _lost(x, table, step)
            x -= (2.0 * B * x + j - right) / (2.0 * B + slope)
        q1[i] = x
        h1[i] = h[i - 1] + B * (q[i - 1] - x) - 0.5 * (jA + _lost(x, table, step)[0])
    q1[last] = 0.0
    h1[last] = h[last - 1] + B * q[last - 1] - 0.5 * _lost(q[last - 1], table, step)[0]


@compiled
def _manifold(
    h: float, q: float, net: float, water: float, cap: float, dt: float, B: float, table: Any,
    step: float, at: Wellhead,
) -> Any:  # fmt: skip
    """Head, flow into the line, pumped and leaked flow, net flow and water of the tank, a step on.

    `h` and `q` are those of the first point within the line, the others the wellhead's own before.
    """
    jB, _ = _lost(q, table, step)
    below, above = -step * table.size, step * table.size
    head = Q = out = x = now = held = 0.0
    for _ in range(50):
        x = 0.5 * (below + above)
        head = h - B * (q - x) + 0.5 * (jB + _lost(x, table, step)[0])
        spare = cap * cap * at.H0 - at.lift - head
        Q = sqrt(spare / at.R) if spare > 0.0 and cap > 0.0 else 0.0
        out = at.leak * sqrt(max(head, 0.0))
        now, held = Q - out - x, _water(at.weight * head, at.V, at.p0, at.p_air)
        excess = -now if at.V == 0.0 else held - water - 0.5 * dt * (net + now)
        if excess > 0.0:
            above = x
        else:
            below = x
    return head, x, Q, out, now, held


@compiled
def _switch(state: int, cap: float, tripped: bool, h: float, low: float, high: float) -> Any:
    """State of the drive (0 at rest, 1 starting or running, 2 ramping down) and of the switch."""
    tripped = h > low if tripped else h >= high
    if state == 1 and tripped:
        state = 2
    elif state == 2 and cap == 0.0:
        state = 0
    if state == 0 and not tripped:
        state = 1
    return state, tripped


@compiled
def _march(
    cells: int, dt: float, B: float, table: Any, step: float, at: Wellhead, low: float, high: float,
    soft_start: float, ramp_down: float, end: float,
) -> Any:  # fmt: skip
    """March to `end`; starts of the pump, then heads, highest head, water pumped, leaked, in tank."""
    h, q = np.full(cells + 1, low), np.zeros(cells + 1)
    h1, q1 = h.copy(), q.copy()
    starts, count = np.zeros(4000), 1
    state, cap, tripped, t = 1, 0.0, False, 0.0
    peak, pumped, leaked, net = low, 0.0, 0.0, 0.0
    water, Q, out = _water(at.weight * low, at.V, at.p0, at.p_air), 0.0, at.leak * sqrt(low)
    while t < end and count < 3999:
        t += dt
        cap += dt / soft_start if state == 1 else -dt / ramp_down
        cap = min(max(cap, 0.0), 1.0)
        _inside(h, q, h1, q1, B, table, step)
        Q0, out0 = Q, out
        h1[0], q1[0], Q, out, net, water = _manifold(
            h[1], q[1], net, water, cap, dt, B, table, step, at
        )
        pumped, leaked = pumped + 0.5 * dt * (Q + Q0), leaked + 0.5 * dt * (out + out0)
        h, h1, q, q1 = h1, h, q1, q
        peak = max(peak, h[0])
        was = state
        state, tripped = _switch(state, cap, tripped, h[0], low, high)
        if state == 1 and was != 1:
            starts[count], count, cap = t, count + 1, 0.0
    return starts[:count], h, peak, pumped, leaked, water


def cycle(line: Line, *, cells: int, end: float) -> Cycles:
    """Let the line cycle until `end` [s], begun at its cut-in with the pump just starting."""
    L, weight, D = line.length * FOOT, RHO * G, line.bore
    A = pi / 4.0 * D * D
    dt = L / line.a / cells
    step = 2.0 * line.rated_flow * GPM / 4000
    table = np.array([0.0, *(friction(step * i, D) * L / cells for i in range(1, 4001))])
    Q = line.rated_flow * GPM
    curve = (
        line.shut_off_head * FOOT,
        (line.shut_off_head - line.rated_head) * FOOT / Q**2,
        line.lift * FOOT,
    )
    leak = line.leak * GPM / sqrt(line.leak_psi * PSI / weight)
    low, high = line.cut_in * PSI / weight, line.cut_out * PSI / weight
    tank = (line.tank * GALLON, line.precharge * PSI, line.p_air)
    starts, h, peak, pumped, leaked, water = _march(
        cells, dt, line.a / (G * A), table, step, Wellhead(*curve, *tank, weight, leak), low, high,
        line.soft_start, line.ramp_down, end,
    )  # fmt: skip
    packed = A * L * G / line.a**2 * (np.mean(0.5 * (h[1:] + h[:-1])) - low)
    water -= _water(weight * low, *tank)
    return Cycles(starts, peak * weight / PSI, pumped - leaked - packed - water, pumped)
