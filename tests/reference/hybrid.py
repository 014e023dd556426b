"""The line's equations once more, written plainly and integrated with every care.

Nothing here is called by labkit. The constants of a line come from its Plant; the equations are set
down again from the textbook, roots are found by bisection, and scipy's LSODA integrates between
events that it locates itself. Slow, simple, and good to about nine digits.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, inf, log, log10, pi, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

if TYPE_CHECKING:
    from labkit.engine.network import Plant

G = 9.80665

Function = TypeVar("Function", bound=Callable[..., object])
Event = tuple[str, float]


def compiled(function: Function) -> Function:
    """Compile, for speed alone."""
    return cast("Function", njit(function))


# --- pumps


class Curves(NamedTuple):
    """Both kinds of pump: centrifugal H0 R m Pr Qr share, displacement swept slip friction weight."""

    displacement: bool
    H0: float
    R: float
    m: float
    Pr: float
    Qr: float
    share: float
    swept: float
    slip: float
    friction: float
    weight: float


@compiled
def centrifugal(H: float, drawdown: float, P: float, cap: float, c: Curves) -> tuple[float, float]:
    """Flow at which the head made meets the head needed, or none; and the speed there.

    H made = s2 H0 - R s**(2-m) Q**m; P = Pr (share s3 + (1 - share) s2 Q / Qr).
    """
    top = min(cap, (P / (c.Pr * c.share)) ** (1.0 / 3.0))
    if top * top * c.H0 <= H:
        return 0.0, top
    s, low, high = cap, 0.0, 2.0 * (c.H0 / c.R) ** (1.0 / c.m)
    Q = 0.0
    for _ in range(56):
        Q = 0.5 * (low + high)
        if s * s * c.H0 - c.R * s ** (2.0 - c.m) * Q**c.m > H + drawdown * Q:
            low = Q
        else:
            high = Q
    if c.Pr * (c.share * s**3 + (1.0 - c.share) * s * s * Q / c.Qr) <= P:
        return Q, s
    low, high = 0.0, top
    for _ in range(56):
        s = 0.5 * (low + high)
        Q = (P / c.Pr - c.share * s**3) * c.Qr / ((1.0 - c.share) * s * s)
        if s * s * c.H0 - c.R * s ** (2.0 - c.m) * Q**c.m > H + drawdown * Q:
            high = s
        else:
            low = s
    return Q, s


@compiled
def displacement(H: float, drawdown: float, P: float, cap: float, c: Curves) -> tuple[float, float]:
    """Flow swept less flow that slips back, at the highest speed that the power allows."""
    low, high = 0.0, cap
    Q = s = 0.0
    for i in range(57):
        s = cap if i == 0 else 0.5 * (low + high)
        Q = max((s * c.swept - c.slip * H) / (1.0 + c.slip * drawdown), 0.0)
        enough = s * (c.friction + c.weight * c.swept * max(H + drawdown * Q, 0.0)) <= P
        if enough and i == 0:
            break
        if enough:
            low = s
        else:
            high = s
    return Q, s


@compiled
def pump(H: float, drawdown: float, P: float, cap: float, c: Curves) -> tuple[float, float]:
    """Flow and speed of the pump that is there."""
    if cap <= 0.0 or P <= 0.0:
        return 0.0, 0.0
    if c.displacement:
        return displacement(H, drawdown, P, cap, c)
    return centrifugal(H, drawdown, P, cap, c)


# --- pipes


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
def smooth_flow(dh: float, L: float, D: float, wall: float, nu: float, by_hazen: bool) -> float:
    """Flow at a loss to friction alone."""
    if by_hazen:
        if dh < 1e-3:
            return smooth_flow(1e-3, L, D, wall, nu, True) * dh / 1e-3
        return float((dh * wall**1.852 * D**4.871 / (10.667 * L)) ** (1.0 / 1.852))
    x = D * sqrt(2.0 * G * D * dh / L) / nu
    return float(reynolds(x, wall / D) * nu * pi * D / 4.0)


@compiled
def pipe_flow(
    dh: float, L: float, D: float, K: float, wall: float, nu: float, by_hazen: bool
) -> float:
    """Flow along a pipe with fittings, of the sign of `dh`."""
    size = abs(dh)
    q = smooth_flow(size, L, D, wall, nu, by_hazen)
    if K > 0.0:
        low, high = 0.0, size
        for _ in range(56):
            friction = 0.5 * (low + high)
            q = smooth_flow(friction, L, D, wall, nu, by_hazen)
            v = q / (pi / 4.0 * D * D)
            if friction + K * v * v / (2.0 * G) > size:
                high = friction
            else:
                low = friction
    return q if dh > 0.0 else -q


@compiled
def pipe_loss(
    q: float, L: float, D: float, K: float, wall: float, nu: float, by_hazen: bool
) -> float:
    """Head that a flow loses along a pipe with fittings, of the sign of `q`."""
    size, low, high = abs(q), 0.0, 1e-3
    while smooth_flow(high, L, D, wall, nu, by_hazen) < size:
        low, high = high, 2.0 * high
    for _ in range(48):
        middle = 0.5 * (low + high)
        if smooth_flow(middle, L, D, wall, nu, by_hazen) < size:
            low = middle
        else:
            high = middle
    v = size / (pi / 4.0 * D * D)
    lost = 0.5 * (low + high) + K * v * v / (2.0 * G)
    return lost if q > 0.0 else -lost


# --- the line


class Tank(NamedTuple):
    """Volume, precharge, exponent; outside air; weight of the water; the node where it sits."""

    V: float
    p0: float
    n: float
    p_air: float
    weight: float
    node: int
    relief_h: float
    relief_k: float


@compiled
def rates(  # noqa: PLR0915 - in one piece, as the textbook has it
    y: Any, P: float, cap: float, drinking: Any, nodes: Any, parents: Any, troughs: Any,
    trough_nodes: Any, leaks: Any, leak_nodes: Any, lift: float, drawdown: float, check_k: float,
    wall: float, nu: float, by_hazen: bool, curves: Curves, tank: Tank,
) -> Any:  # fmt: skip
    """Give dy/dt of heads, troughs, flows along runs with inertia, water pumped, returned, relieved.

    Columns of `nodes`: z C L D K and the share of inertia, none or L / (g A); of `troughs`: valve_k seat_k hold_h V_low V_shut V_band V_rim; of
    `leaks`: k n.
    """
    n, m = nodes.shape[0], troughs.shape[0]
    out = np.zeros(y.size)
    net = np.zeros(n)
    Q, s = pump(y[0] + lift, drawdown, P, cap, curves)
    back = 0.0
    if Q == 0.0 and check_k > 0.0:
        made = s * s * curves.H0
        if curves.displacement:
            made = s * curves.swept / curves.slip if curves.slip > 0.0 else y[0] + lift
        back = check_k * sqrt(max(y[0] + lift - made, 0.0))
    net[0] += Q - back
    for i in range(1, n):
        up = parents[i]
        _, _, L, D, K, heavy = nodes[i]
        if heavy > 0.0:
            q = y[n + m + i]
            lost = pipe_loss(q, L, D, K, wall, nu, by_hazen)
            out[n + m + i] = (y[up] - y[i] - lost) * G * pi / 4.0 * D * D / L
        else:
            q = pipe_flow(y[up] - y[i], L, D, K, wall, nu, by_hazen)
        net[up] -= q
        net[i] += q
    for k in range(m):
        valve_k, seat_k, hold_h, V_low, V_shut, V_band, V_rim = troughs[k]
        i, V = trough_nodes[k], y[n + k]
        dh = max(y[i] - nodes[i, 0], 0.0)
        x = min(max((V_shut - V) / V_band, 0.0), 1.0)
        x = max(x, min(max((dh - hold_h) / (0.1 * hold_h), 0.0), 1.0))
        q = (valve_k * x + seat_k) * sqrt(dh)
        net[i] -= q
        out[n + k] = q - drinking[k] * min(V / V_low, 1.0) - max(V - V_rim, 0.0) / 10.0
    for j in range(leaks.shape[0]):
        i = leak_nodes[j]
        net[i] -= leaks[j, 0] * max(y[i] - nodes[i, 0], 0.0) ** leaks[j, 1]
    g = tank.node
    relieved = tank.relief_k * max(y[g] - nodes[g, 0] - tank.relief_h, 0.0)
    net[g] -= relieved
    for i in range(n):
        C = nodes[i, 1]
        if i == g and tank.V > 0.0:
            pressure = tank.weight * (y[g] - nodes[g, 0])
            if pressure > tank.p0:
                absolute = pressure + tank.p_air
                left = tank.V * ((tank.p0 + tank.p_air) / absolute) ** (1.0 / tank.n)
                C += left / (tank.n * absolute) * tank.weight
        out[i] = net[i] / C
    out[-3], out[-2], out[-1] = Q, back, relieved
    return out


class Line:
    """A plant's numbers, and what acts on it: shaft power and drinking, by time."""

    def __init__(
        self, plant: Plant, power: Callable[[float], float], drinking: Callable[[float], Any]
    ) -> None:
        self.plant, self.power, self.drinking = plant, power, drinking
        at, c, d = plant.nodes, plant.centrifugal, plant.displacement
        self.curves = Curves(bool(plant.is_displacement), *c, *d)
        self.tank = Tank(
            plant.tank_volume, plant.tank_precharge, plant.tank_exponent, plant.p_air, plant.weight,
            plant.gauge, min(plant.relief_h, 1e9), plant.relief_k,
        )  # fmt: skip
        names = ("valve_k", "seat_k", "hold_h", "V_low", "V_shut", "V_band", "V_rim")
        self.arrays = (
            np.column_stack([at[name] for name in ("z", "C", "L", "D", "K", "inertance")]).astype(float),
            np.asarray(at.parent, dtype=np.int64),
            np.column_stack([plant.troughs[name] for name in names]).astype(float),
            np.asarray(plant.troughs.node, dtype=np.int64),
            np.column_stack([plant.leaks.k, plant.leaks.n]).astype(float),
            np.asarray(plant.leaks.node, dtype=np.int64),
            plant.lift, plant.drawdown, plant.check_k, plant.wall, plant.nu, plant.law == 1,
        )  # fmt: skip

    def rates(self, t: float, y: Any, cap: float) -> Any:
        """Give dy/dt."""
        return rates(y, self.power(t), cap, self.drinking(t), *self.arrays, self.curves, self.tank)

    def duty(self, t: float, y: Any, cap: float) -> tuple[float, float]:
        """Flow and speed of the pump."""
        H = float(y[0]) + self.plant.lift
        return pump(H, self.plant.drawdown, self.power(t), cap, self.curves)

    def gauge(self, y: Any) -> float:
        """Pressure at the manifold [Pa]."""
        g = self.plant.gauge
        return float(self.plant.weight * (y[g] - self.plant.nodes.z[g]))


class Run(NamedTuple):
    """What came out: what happened and when, and water pumped, returned and relieved [m3]."""

    events: list[Event]
    pumped: float
    returned: float
    relieved: float

    def times(self, kind: str) -> list[float]:
        """When something happened [s]."""
        return [time for what, time in self.events if what == kind]


class Machine:
    """The drive, told to stop while the contact is tripped."""

    def __init__(self, line: Line) -> None:
        self.line, self.state, self.tripped = line, "rest", False
        self.cap, self.slope, self.since = 0.0, 0.0, 0.0
        self.until, self.ready = inf, 0.0
        self.events: list[Event] = []

    @property
    def turns(self) -> bool:
        """Whether the pump turns."""
        return self.state in ("start", "run", "stop")

    def cap_at(self, t: float) -> float:
        """Highest speed allowed now."""
        return min(max(self.cap + self.slope * (t - self.since), 0.0), 1.0)

    def enter(self, state: str, t: float, cap: float = 0.0, slope: float = 0.0) -> None:
        """Go over to a state."""
        self.state, self.cap, self.slope, self.since = state, cap, slope, t
        self.until = inf
        if slope > 0.0:
            self.until = t + (1.0 - cap) / slope
        elif slope < 0.0:
            self.until = t - cap / slope

    def note(self, t: float, *kinds: str) -> None:
        """Write down what happened."""
        self.events += [(kind, t) for kind in kinds]

    def strains(self, t: float, y: Any) -> tuple[float, float]:
        """How far the torque and the pumping level are past their limits [m]."""
        p = self.line.plant
        Q, _ = self.line.duty(t, y, self.cap_at(t))
        level = p.lift + p.drawdown * Q
        torque = min(p.h_torque, 1e9)
        return float(y[0]) + level - torque, level - p.intake

    def settle(self, t: float, y: Any) -> None:
        """Change states until nothing changes: safety, no sun, stop, start."""
        while self.change(t, y):
            pass

    def change(self, t: float, y: Any) -> bool:
        """Change the state once; say whether it did."""
        p, power = self.line.plant, self.line.power(t)
        if self.turns:
            torque, water = self.strains(t, y)
            for kind, past in (("torque limit", torque), ("low water", water)):
                if past >= -1e-9:
                    self.note(t, kind, "pump stops")
                    self.enter("locked", t)
                    return True
        if self.state != "rest" and power <= 0.5 * p.start_power + 1e-6:
            self.note(t, *(["pump stops"] if self.turns else []), "drive rests")
            self.enter("rest", t)
        elif self.state in ("start", "run") and self.tripped:
            _, speed = self.line.duty(t, y, self.cap_at(t))
            self.enter("stop", t, min(speed, self.cap_at(t)), -1.0 / p.ramp_down)
        elif self.state == "stop" and t >= self.until:
            self.note(t, "pump stops")
            self.ready = t + p.restart_delay
            self.enter("held", t)
        elif self.state == "start" and t >= self.until:
            self.enter("run", t, 1.0)
        elif self.state == "rest" and power >= p.start_power - 1e-6:
            self.note(t, "drive wakes")
            self.enter("held", t)
        elif self.state == "held" and not self.tripped and t >= self.ready:
            self.note(t, "pump starts")
            self.enter("start", t, 0.0, 1.0 / p.soft_start)
        else:
            return False
        return True


def _ends(function: Callable[[float, Any], float], direction: float) -> Any:
    """Make an event at which solve_ivp stops."""
    function.terminal, function.direction = True, direction  # type: ignore[attr-defined]
    return function


def _at_pressure(line: Line, point: float, direction: float) -> Any:
    return _ends(lambda _t, y: line.gauge(y) - point, direction)


def _at_strain(drive: Machine, which: int) -> Any:
    return _ends(lambda t, y: drive.strains(t, y)[which], 1.0)


def integrate(
    plant: Plant,
    *,
    h: float,
    V: Any,
    power: Callable[[float], float],
    drinking: Callable[[float], Any],
    end: float,
    breaks: tuple[float, ...] = (),
) -> Run:
    """Integrate a line from rest to `end` [s].

    `h` is the head all nodes start with, `V` the water in the troughs; `power` gives shaft power and
    `drinking` what the herds ask for. `breaks` are moments at which either bends or jumps, or the
    power passes a point that the drive waits for.
    """
    line = Line(plant, power, drinking)
    drive = Machine(line)
    n, m = plant.nodes.size, plant.troughs.size
    y = np.concatenate((np.full(n, h), V, np.zeros(n + 3)))
    now = 0.0
    drive.tripped = line.gauge(y) >= plant.p_cut_out
    shut = [plant.troughs[k].V_shut - 0.01 * plant.troughs[k].V_band for k in range(m)]
    while True:
        drive.settle(now, y)
        if now >= end:
            break
        waits = [b for b in (*breaks, drive.until) if b > now + 1e-9]
        if drive.state == "held" and drive.ready > now:
            waits.append(drive.ready)
        until = min([end, *waits])
        point = plant.p_cut_in if drive.tripped else plant.p_cut_out
        watched = [_at_pressure(line, point, -1.0 if drive.tripped else 1.0)]
        if drive.turns:
            watched += [_at_strain(drive, which) for which in (0, 1)]
        closes = [lambda _t, y, k=k: y[n + k] - shut[k] for k in range(m)]
        for function in closes:
            function.direction = 1.0  # type: ignore[attr-defined]
        inside = (now + 1e-9, until - 1e-9)  # at a jump, this side of it
        found = solve_ivp(
            lambda t, y, i=inside: line.rates(min(max(t, i[0]), i[1]), y, drive.cap_at(t)),
            (now, until), y, "LSODA", rtol=1e-8, atol=1e-10, events=[*watched, *closes], max_step=5.0,
        )  # fmt: skip
        assert found.success, found.message
        now, y = float(found.t[-1]), found.y[:, -1]
        for k in range(m):
            drive.events += [
                (f"float shuts {k}", float(t)) for t in found.t_events[len(watched) + k]
            ]
        if found.t_events[0].size:
            drive.tripped = not drive.tripped
            drive.note(now, "switch trips" if drive.tripped else "switch resets")
        elif found.status == 0:
            now = until
    drive.events.sort(key=lambda event: event[1])
    return Run(drive.events, *(float(x) for x in y[-3:]))
