"""A cycling line as plain Python floats, integrated by scipy against the clock.

Written the way somebody would who wants a fast right-hand side without compiling it: constants
worked out beforehand, lists and `math` instead of arrays (for half a dozen unknowns those are
faster than numpy), the pump's flow by a quadratic where the speed is capped and by a few rounds of
Newton where the power is. For a centrifugal pump whose curve is a parabola and a sound check valve.
"""

from __future__ import annotations

from math import exp, log, log10, pi, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.engine.network import Plant

G = 9.80665


class Run(NamedTuple):
    """A run of pipe, with what its flow takes worked out as far as it goes."""

    up: int
    down: int
    laminar: float
    by_root: float
    rough: float
    smooth: float
    scale: float
    per_root: float
    bridge: tuple[float, float, float]


LAMINAR_TO = sqrt(64.0 * 2000.0)
TURBULENT_FROM = 750.0
GAP = log(TURBULENT_FROM / LAMINAR_TO)


def bridge(rough: float) -> tuple[float, float, float]:
    """Coefficients of the cubic in log Re / 2000, from laminar flow to Colebrook's law.

    It leaves with slope 2 by log x, as Re = x**2 / 64 does, and arrives with Colebrook's.
    """
    inside = rough + 2.51 / TURBULENT_FROM
    rise = log(-2.0 * TURBULENT_FROM * log10(inside) / 2000.0)
    leaves = 2.0 * GAP
    arrives = GAP * (1.0 - 2.51 / TURBULENT_FROM / (inside * log(inside)))
    return leaves, 3.0 * rise - 2.0 * leaves - arrives, leaves + arrives - 2.0 * rise


def pipes(plant: Plant) -> list[Run]:
    """Runs, in the order of their lower ends."""
    runs = []
    for i in range(1, plant.nodes.size):
        node = plant.nodes[i]
        assert node.K == 0.0
        L, D, nu, rough = float(node.L), float(node.D), plant.nu, plant.wall / (3.7 * float(node.D))
        runs.append(
            Run(
                up=int(node.parent), down=i, laminar=pi * G * D**4 / (128.0 * nu * L),
                by_root=2.0 * G * D / L, rough=rough, smooth=2.51 * nu / D, scale=pi / 2.0 * D * D,
                per_root=D / nu, bridge=bridge(rough),
            )
        )  # fmt: skip
    return runs


def pump(plant: Plant) -> Callable[[float, float, float], tuple[float, float]]:
    """Flow and speed by head at the pump, power and cap."""
    c = plant.centrifugal
    assert c.exponent == 2.0
    H0, R = c.shut_off_head, c.bend
    lift, drawdown = plant.lift, plant.drawdown
    idle = c.rated_power * c.idle_share
    rise = (c.rated_power - idle) / c.rated_flow

    def flow(h: float, power: float, cap: float) -> tuple[float, float]:
        if cap <= 0.0 or power <= 0.0:
            return 0.0, 0.0
        H = h + lift
        s = min((power / idle) ** (1.0 / 3.0), cap)
        spare = s * s * H0 - H
        if spare <= 0.0:
            return 0.0, s
        Q = 2.0 * spare / (drawdown + sqrt(drawdown * drawdown + 4.0 * R * spare))
        if s == cap and cap * cap * (idle * cap + rise * Q) <= power:
            return Q, cap
        x = Q / s
        for _ in range(20):
            load = idle + rise * x
            s = (power / load) ** (1.0 / 3.0)
            ds = -s * rise / (3.0 * load)
            eta = H0 - R * x * x
            surplus = s * s * eta - H - drawdown * s * x
            steep = 2.0 * s * ds * eta - 2.0 * s * s * R * x - drawdown * (s + x * ds)
            step = surplus / steep
            x -= step
            if abs(step) < 1e-10 * x:
                break
        return s * x, s

    return flow


def rates(  # noqa: C901, PLR0915 - in one piece, for calls take time
    plant: Plant, power: float
) -> Callable[[float, Any, Callable[[float], float]], list[float]]:
    """Rates of change of heads and of water in troughs: ``rates(t, y, cap)``; nobody drinks."""
    n, m = plant.nodes.size, plant.troughs.size
    runs, pump_flow = pipes(plant), pump(plant)
    C, z = plant.nodes.C.tolist(), plant.nodes.z.tolist()
    names = ("node", "valve_k", "seat_k", "V_shut", "V_band", "V_rim")
    troughs: list[Any] = [
        (k, *(float(trough[name]) for name in names)) for k, trough in enumerate(plant.troughs)
    ]
    leaks = [(int(leak.node), float(leak.k), float(leak.n)) for leak in plant.leaks]
    g = plant.gauge
    has_tank = plant.tank_volume > 0.0
    air = plant.tank_precharge + plant.p_air
    water = plant.tank_volume * plant.weight / plant.tank_exponent
    share = 1.0 / plant.tank_exponent

    def rate(  # noqa: C901
        t: float, y: Any, cap: Callable[[float], float]
    ) -> list[float]:
        y = y.tolist()
        net: list[float] = [0.0] * (n + m)
        net[0], _ = pump_flow(y[0], power, cap(t))
        for up, i, laminar, by_root, rough, smooth, scale, per_root, (b1, b2, b3) in runs:
            dh = y[up] - y[i]
            size = abs(dh)
            root = sqrt(by_root * size)
            x = root * per_root
            if x <= LAMINAR_TO:
                q = laminar * size
            elif x < TURBULENT_FROM:
                u = log(x / LAMINAR_TO) / GAP
                q = 1000.0 * scale / per_root * exp(u * (b1 + u * (b2 + u * b3)))
            else:
                q = -scale * root * log10(rough + smooth / root)
            if dh < 0.0:
                q = -q
            net[up] -= q
            net[i] += q
        for k, node, valve, seat, V_shut, V_band, V_rim in troughs:
            i, V = int(node), y[n + k]
            opening = (V_shut - V) / V_band
            opening = 0.0 if opening < 0.0 else min(opening, 1.0)
            dh = y[i] - z[i]
            q = (valve * opening + seat) * sqrt(dh) if dh > 0.0 else 0.0
            net[i] -= q
            net[n + k] = q
            if V > V_rim:
                net[n + k] -= (V - V_rim) / 10.0
        for i, k_leak, exponent in leaks:
            dh = y[i] - z[i]
            if dh > 0.0:
                net[i] -= k_leak * dh**exponent
        for i in range(n):
            net[i] /= C[i]
        if has_tank:
            pressure = plant.weight * (y[g] - z[g])
            if pressure > plant.tank_precharge:
                absolute = pressure + plant.p_air
                net[g] *= C[g] / (C[g] + water * (air / absolute) ** share / absolute)
        return net

    return rate


def starts(
    plant: Plant, V: list[float], power: float, end: float, *, method: str = "LSODA", **options: Any
) -> list[float]:
    """When the pump starts, up to `end` [s], by `solve_ivp`.

    The line begins at its cut-in point with `V` [m3] in its troughs, on a steady shaft `power` [W];
    what is left over goes to scipy.
    """
    n, g = plant.nodes.size, plant.gauge
    rate, (low, high) = rates(plant, power), (plant.p_cut_in, plant.p_cut_out)
    y = np.concatenate((np.full(n, low / plant.weight), V))
    now, state, found = 0.0, "start", [0.0]
    cap0, slope, ends = 0.0, 1.0 / plant.soft_start, plant.soft_start

    def pressure(y: Any) -> float:
        return float(plant.weight * (y[g] - plant.nodes.z[g]))

    while now < end:

        def cap(t: float, t0: float = now, c0: float = cap0, r: float = slope) -> float:
            return min(max(c0 + r * (t - t0), 0.0), 1.0)

        rises = state in ("start", "run")

        def crossing(_t: float, y: Any, p: float = high if rises else low) -> float:
            return pressure(y) - p

        crossing.terminal = True  # type: ignore[attr-defined]
        crossing.direction = 1.0 if rises else -1.0  # type: ignore[attr-defined]
        piece = solve_ivp(
            lambda t, y, cap=cap: rate(t, y, cap), (now, min(end, ends)), y, method,
            events=None if state == "stop" else crossing, **options,
        )  # fmt: skip
        assert piece.success, piece.message
        now, y = float(piece.t[-1]), piece.y[:, -1]
        cap0 = cap(now)
        if piece.status == 1 and rises:
            cap0 = pump(plant)(y[0], power, cap0)[1]
            state, slope, ends = "stop", -1.0 / plant.ramp_down, now + cap0 * plant.ramp_down
        elif (piece.status == 1) or (state == "stop" and now >= ends and pressure(y) <= low):
            found.append(now)
            state, cap0, slope, ends = "start", 0.0, 1.0 / plant.soft_start, now + plant.soft_start
        elif state == "stop" and now >= ends:
            state, cap0, slope, ends = "held", 0.0, 0.0, end
        elif state == "start" and now >= ends:
            state, cap0, slope, ends = "run", 1.0, 0.0, end
    return found
