"""What a pump delivers for the power and the speed it is allowed.

Both kinds are asked the same question: with the line standing at a head, how much water comes, how
fast does the pump turn, and how does the flow answer a small change of that head? The pump turns
as fast as its power allows, and never faster than its cap.
"""

from math import inf, sqrt
from typing import NamedTuple

import numpy as np

from labkit.compiled import compiled
from labkit.physics.pipe import LINEAR_BELOW


class Centrifugal(NamedTuple):
    """Curve of a centrifugal pump: ``H = s2 H0 - R s**(2-m) Q**m``, ``P = s3 Pr (..)``.

    `shut_off_head` H0 [m]; `bend` R [m/(m3/s)**m]; `exponent` m [-]; `rated_power` Pr [W] at
    `rated_flow` [m3/s] and full speed; `idle_share` of Pr drawn at no flow [-].
    """

    shut_off_head: float
    bend: float
    exponent: float
    rated_power: float
    rated_flow: float
    idle_share: float


class Displacement(NamedTuple):
    """A positive-displacement pump: ``Q = s Qd - slip H``, ``P = s (Pf + rho g Qd H)``.

    `displaced` Qd [m3/s] at full speed; `slip` [m3/s/m]; `friction_power` Pf [W] at full speed;
    `weight` rho g [N/m3] of the water.
    """

    displaced: float
    slip: float
    friction_power: float
    weight: float


class Duty(NamedTuple):
    """What the pump does.

    `flow` Q [m3/s]; `slope` dQ/dH [m2/s]; `speed` s [-]; `shut_in_head` that it makes with nothing
    flowing [m], and `shut_in_slope`, how that one answers the line's head [-].
    """

    flow: float
    slope: float
    speed: float
    shut_in_head: float
    shut_in_slope: float


@compiled
def idle_speed(P: float, cap: float, pump: Centrifugal) -> float:
    """Speed of a shut-in centrifugal pump: ``(P / (Pr idle_share))**(1/3)``, at most `cap`."""
    return _speed(P, cap, pump.rated_power * pump.idle_share)


@compiled
def _speed(P: float, cap: float, power: float) -> float:
    """Speed at shaft power `P` [W] where full speed takes `power` [W]: their cube root, or `cap`.

    A cube root takes as long as the rest of a pump's sums: it is left out where the cap holds.
    """
    if cap * cap * cap * power <= P:
        return cap
    return float(np.cbrt(max(P, 0.0) / power))


@compiled
def _centrifugal_flow(
    H: float, drawdown: float, P: float, cap: float, s: float, pump: Centrifugal
) -> tuple[float, float, float]:
    """Flow, slope and speed where the pump surely lifts its check valve, from its idle speed `s`.

    Solved for ``x = Q / s``, with which both curves lose their speed: head ``s2 eta(x)``, power
    ``s3 p(x)``. Head made less head needed then falls steadily with x, on the power limit and on
    the cap alike, so one bracketed Newton serves both. A parabola on the cap needs no search.
    Where water would run by itself, the pump passes what it does without any head (its run-out).
    """
    H0, R, m = pump.shut_off_head, pump.bend, pump.exponent
    idle = pump.rated_power * pump.idle_share
    rise = (pump.rated_power - idle) / pump.rated_flow
    if H <= 0.0:
        x = (H0 / R) ** (1.0 / m)
        fast = _speed(P, cap, idle + rise * x)
        if H + drawdown * fast * x <= 0.0:
            return fast * x, 0.0, fast
    if m == 2.0 and s == cap:
        spare = cap * cap * H0 - H
        steep = sqrt(drawdown * drawdown + 4.0 * R * spare)
        q = 2.0 * spare / (drawdown + steep)
        if cap * cap * (idle * cap + rise * q) <= P:
            return q, -1.0 / steep, cap
    low, high = 0.0, (H0 / R) ** (1.0 / m)
    x = high * max(1.0 - H / (s * s * H0), 0.01) ** (1.0 / m)
    q = slope = 0.0
    for _ in range(100):
        power = idle + rise * x
        s = _speed(P, cap, power)
        ds = -s * rise / (3.0 * power) if s < cap else 0.0
        bend = R * x * x if m == 2.0 else R * x**m
        eta = H0 - bend
        q, dq = s * x, s + x * ds
        surplus = s * s * eta - H - drawdown * q
        steep = 2.0 * s * ds * eta - s * s * m * bend / x - drawdown * dq
        slope = dq / steep
        if surplus > 0.0:
            low = x
        else:
            high = x
        step = surplus / steep
        if abs(step) <= 1e-10 * x or high - low <= 1e-15 * high:
            break
        x -= step
        if not low < x < high:
            x = 0.5 * (low + high)
    return q, slope, s


@compiled
def centrifugal(H: float, drawdown: float, P: float, cap: float, pump: Centrifugal) -> Duty:
    """Duty of a centrifugal pump.

    Parameters
    ----------
    H : float
        Head from the resting water level in the well to the line [m].
    drawdown : float
        Head by which the well's level falls per unit of flow [m/(m3/s)].
    P : float
        Shaft power there is [W].
    cap : float
        Highest speed allowed, 0 to 1 [-].
    pump : Centrifugal
        The pump's curve.

    Returns
    -------
    Duty
        Flow is zero, never less, where the pump cannot lift its check valve.

    Notes
    -----
    The last millimetre of head before the valve shuts is a chord, to keep the slope finite.

    References
    ----------
    Affinity laws: Cengel & Cimbala, Fluid Mechanics, chapter 14. The straight power line of a
    submersible is common practice.
    """
    s = idle_speed(P, cap, pump)
    shut_in = s * s * pump.shut_off_head
    spare = shut_in - H
    if spare <= 0.0 or s <= 0.0:
        return Duty(0.0, 0.0, max(s, 0.0), shut_in, 0.0)
    if spare >= LINEAR_BELOW:
        q, slope, s = _centrifugal_flow(H, drawdown, P, cap, s, pump)
        return Duty(q, slope, s, shut_in, 0.0)
    q, _, _ = _centrifugal_flow(shut_in - LINEAR_BELOW, drawdown, P, cap, s, pump)
    return Duty(q * spare / LINEAR_BELOW, -q / LINEAR_BELOW, s, shut_in, 0.0)


@compiled
def displacement(H: float, drawdown: float, P: float, cap: float, pump: Displacement) -> Duty:
    """Duty of a positive-displacement pump; parameters as in `centrifugal`.

    It has no useful shut-off head: shut in, it pushes until its slip takes all it displaces, far
    above what a line stands. The drive's torque limit or a relief valve must act first.

    References
    ----------
    Common practice: flow in proportion to speed, nearly independent of pressure but for slip.
    """
    if cap <= 0.0 or P <= 0.0:
        return Duty(0.0, 0.0, 0.0, 0.0, 0.0)
    low, high = 0.0, cap * pump.displaced
    q = 0.0
    s = slope = 0.0
    for _ in range(100):
        lift = max(H + drawdown * q, 0.0)
        load = pump.friction_power + pump.weight * pump.displaced * lift
        s = P / load if load > 0.0 else inf
        ds = -s * pump.weight * pump.displaced / load if load > 0.0 else 0.0
        if s >= cap:
            s, ds = cap, 0.0
        surplus = s * pump.displaced - pump.slip * lift - q
        per_head = ds * pump.displaced - pump.slip
        slope = per_head / (1.0 - drawdown * per_head)
        if surplus > 0.0:
            low = q
        elif q == 0.0:
            if pump.slip == 0.0:
                return Duty(0.0, 0.0, s, H, 1.0)
            turns = pump.displaced / pump.slip
            return Duty(0.0, 0.0, s, s * turns, ds * turns)
        else:
            high = q
        step = surplus / (1.0 - drawdown * per_head)
        if abs(step) <= 1e-13 * high or high - low <= 1e-15 * high:
            break
        q += step
        if not low < q < high:
            q = 0.5 * (low + high)
    return Duty(q, slope, s, inf, 0.0)


@compiled
def torque_head(pump: Displacement, limit: float, rated_head: float) -> float:
    """Head [m] at which the pump's torque reaches `limit` times its torque at `rated_head`.

    Torque is power over speed, hence in proportion to ``Pf + rho g Qd H``.
    """
    per_head = pump.weight * pump.displaced
    return (limit * (pump.friction_power + per_head * rated_head) - pump.friction_power) / per_head
