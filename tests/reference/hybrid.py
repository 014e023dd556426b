"""The line's equations once more, written plainly and integrated with every care.

Nothing here is called by labkit. The constants of a line come from its Plant; the equations are set
down again from the textbook, roots are found by bisection, and scipy's LSODA integrates between
events that it locates itself. Slow, simple, and good to about nine digits.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log, log10, pi, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

if TYPE_CHECKING:
    from labkit.engine.network import Plant

G = 9.80665

Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """Compile, for speed alone."""
    return cast("Function", njit(function))


@compiled
def speed_for(P: float, Q: float, cap: float, Pr: float, share: float, Qr: float) -> float:
    """Speed s with P = Pr (share s**3 + (1 - share) s**2 Q / Qr), at most `cap`."""
    low, high = 0.0, cap
    for _ in range(100):
        s = 0.5 * (low + high)
        if Pr * (share * s**3 + (1.0 - share) * s * s * Q / Qr) > P:
            high = s
        else:
            low = s
    return 0.5 * (low + high)


@compiled
def pump_flow(
    H: float, drawdown: float, P: float, cap: float,
    H0: float, R: float, m: float, Pr: float, Qr: float, share: float,
) -> float:  # fmt: skip
    """Flow at which the head made meets the head needed, or none."""
    s = speed_for(P, 0.0, cap, Pr, share, Qr)
    if s * s * H0 <= H:
        return 0.0
    low, high = 0.0, 2.0 * (H0 / R) ** (1.0 / m)
    for _ in range(100):
        Q = 0.5 * (low + high)
        s = speed_for(P, Q, cap, Pr, share, Qr)
        if s * s * H0 - R * s ** (2.0 - m) * Q**m > H + drawdown * Q:
            low = Q
        else:
            high = Q
    return float(0.5 * (low + high))


@compiled
def reynolds(x: float, relative: float) -> float:
    """Reynolds number at x = Re sqrt(f): Poiseuille to 2000, Colebrook from x = 750 on, and in
    between log Re as the Hermite cubic of log x."""
    x0, x1 = sqrt(64.0 * 2000.0), 750.0
    if x <= x0:
        return x * x / 64.0
    far = max(x, x1)
    inside = relative / 3.7 + 2.51 / far
    Re = -2.0 * far * log10(inside)
    if x >= x1:
        return Re
    m1 = 1.0 - 2.51 / far / inside / log(inside)
    d = log(x1 / x0)
    t = log(x / x0) / d
    y = (
        (1.0 + 2.0 * t) * (1.0 - t) ** 2 * log(2000.0)
        + t * (1.0 - t) ** 2 * d * 2.0
        + t * t * (3.0 - 2.0 * t) * log(Re)
        + t * t * (t - 1.0) * d * m1
    )
    return float(exp(y))


@compiled
def pipe_flow(dh: float, L: float, D: float, e: float, nu: float) -> float:
    """Flow along a pipe, of the sign of `dh`."""
    x = D * sqrt(2.0 * G * D * abs(dh) / L) / nu
    flow = reynolds(x, e / D) * nu * pi * D / 4.0
    return float(flow if dh > 0.0 else -flow)


class Run(NamedTuple):
    """What came out: times of starts and stops, and water pumped [m3]."""

    starts: list[float]
    stops: list[float]
    pumped: float


def integrate(
    plant: Plant,
    *,
    h: float,
    V: Any,
    power: Callable[[float], float],
    drinking: Any,
    end: float,
    breaks: tuple[float, ...] = (),
) -> Run:
    """Integrate a line with a centrifugal pump and a sound check valve from rest to `end` [s].

    `h` is the head all nodes start with, `V` the water in the troughs; `power` gives shaft power.
    `breaks` are moments at which the power's line bends.
    """
    n, g = plant.nodes.size, plant.gauge
    line = Line(plant, power, np.asarray(drinking))
    y = np.concatenate((np.full(n, h), V, [0.0]))
    now, state = 0.0, "start"
    starts, stops = [0.0], []
    cap0, rate, ends = 0.0, 1.0 / plant.soft_start, plant.soft_start
    while now < end:
        until = min([end, *(b for b in breaks if b > now), ends if ends > now else end])

        def cap(t: float, t0: float = now, c0: float = cap0, r: float = rate) -> float:
            return min(max(c0 + r * (t - t0), 0.0), 1.0)

        waits_for = plant.p_cut_out if state in ("start", "run") else plant.p_cut_in

        def crossing(_t: float, y: Any, p: float = waits_for) -> float:
            return float(plant.weight * (y[g] - plant.nodes.z[g]) - p)

        crossing.terminal = True  # type: ignore[attr-defined]
        crossing.direction = 1.0 if state in ("start", "run") else -1.0  # type: ignore[attr-defined]
        seen = None if state == "stop" else crossing
        found = solve_ivp(
            lambda t, y, cap=cap: line.rates(t, y, cap), (now, until), y, "LSODA",
            rtol=1e-9, atol=1e-12, events=seen, max_step=5.0,
        )  # fmt: skip
        assert found.success, found.message
        now, y = float(found.t[-1]), found.y[:, -1]
        cap0 = cap(now)
        if found.status == 1 and state in ("start", "run"):
            speed = line.speed(now, y, cap0)
            state, cap0, rate, ends = (
                "stop",
                speed,
                -1.0 / plant.ramp_down,
                now + speed * plant.ramp_down,
            )
        elif (found.status == 1 and state == "held") or (
            state == "stop" and now >= ends and plant.weight * y[g] <= plant.p_cut_in
        ):
            if state == "stop":
                stops.append(now)
            starts.append(now)
            state, cap0, rate, ends = "start", 0.0, 1.0 / plant.soft_start, now + plant.soft_start
        elif state == "stop" and now >= ends:
            stops.append(now)
            state, cap0, rate, ends = "held", 0.0, 0.0, end
        elif state == "start" and now >= ends:
            state, cap0, rate, ends = "run", 1.0, 0.0, end
    return Run(starts, stops, float(y[-1]))


class Line:
    """Rates of change of heads, trough volumes and the water pumped."""

    def __init__(self, plant: Plant, power: Callable[[float], float], drinking: Any) -> None:
        self.plant, self.power, self.drinking = plant, power, drinking

    def flow(self, t: float, h0: float, cap: float) -> float:
        """Pump flow."""
        p, c = self.plant, self.plant.centrifugal
        if cap <= 0.0:
            return 0.0
        return float(
            pump_flow(
                h0 + p.lift, p.drawdown, self.power(t), cap, c.shut_off_head, c.bend, c.exponent,
                c.rated_power, c.rated_flow, c.idle_share,
            )
        )  # fmt: skip

    def speed(self, t: float, y: Any, cap: float) -> float:
        """Pump speed."""
        c = self.plant.centrifugal
        Q = self.flow(t, y[0], cap)
        return float(speed_for(self.power(t), Q, cap, c.rated_power, c.idle_share, c.rated_flow))

    def rates(self, t: float, y: Any, cap: Callable[[float], float]) -> Any:
        """Give dy/dt."""
        p = self.plant
        n, m = p.nodes.size, p.troughs.size
        h, V = y[:n], y[n : n + m]
        net = np.zeros(n)
        Q = self.flow(t, h[0], cap(t))
        net[0] += Q
        for i in range(1, n):
            up = int(p.nodes.parent[i])
            q = pipe_flow(h[up] - h[i], p.nodes.L[i], p.nodes.D[i], p.wall, p.nu)
            net[up] -= q
            net[i] += q
        dV = np.zeros(m)
        for k in range(m):
            trough = p.troughs[k]
            i = int(trough.node)
            opening = min(max((trough.V_shut - V[k]) / trough.V_band, 0.0), 1.0)
            q = (trough.valve_k * opening + trough.seat_k) * sqrt(max(h[i] - p.nodes.z[i], 0.0))
            net[i] -= q
            spilled = max(V[k] - trough.V_rim, 0.0) / 10.0
            dV[k] = q - self.drinking[k] * min(V[k] / trough.V_low, 1.0) - spilled
        for leak in p.leaks:
            i = int(leak.node)
            net[i] -= leak.k * max(h[i] - p.nodes.z[i], 0.0) ** leak.n
        C = p.nodes.C.copy()
        if p.tank_volume > 0.0:
            pressure = p.weight * (h[p.gauge] - p.nodes.z[p.gauge])
            if pressure > p.tank_precharge:
                absolute = pressure + p.p_air
                left = p.tank_volume * ((p.tank_precharge + p.p_air) / absolute) ** (
                    1.0 / p.tank_exponent
                )
                C[p.gauge] += left / (p.tank_exponent * absolute) * p.weight
        return np.concatenate((net / C, dV, [Q]))
