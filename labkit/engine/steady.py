"""The line at rest in time: node heads and flows once everything has settled."""

from collections.abc import Iterable, Mapping
from typing import Final

import attrs
import numpy as np

from labkit.engine.demand import steady_power
from labkit.engine.layout import Layout
from labkit.engine.network import (
    FULL,
    POCKETS,
    PUMP,
    SPEED,
    Floats,
    Flows,
    Inputs,
    Plant,
    has_pocket,
    held_water,
    make_flows,
    pump_duty,
)
from labkit.engine.newton import root
from labkit.engine.plant import level_heads, plant_of
from labkit.errors import RunError, SiteError
from labkit.physics.pump import Centrifugal
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import Quantity, plain_number

_SETTLED: Final = (1e9, 1e6)
"""Length of the one implicit step [s] that stands for a line left alone: the residual is the very
one of a time step, and what the line still takes up is nothing against the flows. The shorter is
tried wherever the longer finds nothing, mostly on a few feet of stiff pipe, which take up so little
that it is lost in the rounding of their flow; in the shorter a foot of it takes up a millionth of a
drop. On a long line the shorter is a rest not quite reached: what a mile of soft pipe still takes
up goes for a flow of some 6e-8 m3/s, a teaspoon in a minute and a half, and the pressure comes out
some 1.5 Pa low. No gauge and no bucket shows either."""

TORQUE_LIMIT: Final = "torque limit"
LOW_WATER: Final = "low water"
"""What may stop the drive before the line has settled, as `Steady.stopped_by` says it."""

_GIVE: Final = 0.01
"""How far the pump's head falls from the torque limit's, none to all of its flow [m]."""

_FINE: Final = 1e-9
"""How near heads come to their settled values [m]."""

_SHORTEST: Final = 1e-6
"""Step [s] in the filling of a line below which it is given up."""

_PLENTY: Final = 1e9
"""Power [W] that leaves nothing to be wished."""


@attrs.frozen(kw_only=True)
class Steady:
    """A line that has settled.

    Attributes
    ----------
    head : dict of float
        Hydraulic head above the manifold at each node [m].
    pressure : dict of float
        Gauge pressure at each node [Pa].
    inflow : dict of float
        Flow into each trough [m3/s].
    pump_flow, leak_flow : float
        Of the pump and of all leaks together [m3/s].
    speed : float
        Pump speed as a share of full speed.
    stopped_by : {"", "torque limit", "low water"}
        What locks the drive before the line has settled; empty when nothing does. At the torque
        limit all of the above is as the line stands when the limit is reached: the pump would
        push on to a higher pressure if the drive let it.
    surface : dict of float
        Of nodes where a pocket stands: height above the manifold of the water's surface in the leg
        that falls away there [m].
    """

    head: dict[str, float]
    pressure: dict[str, float]
    inflow: dict[str, float]
    pump_flow: float
    leak_flow: float
    speed: float
    stopped_by: str = ""
    surface: dict[str, float] = attrs.field(factory=dict)


def steady(
    site: Site,
    *,
    sun: Sun | str | Quantity,
    open_troughs: Iterable[str] | None = None,
    speed_cap: float = 1.0,
) -> Steady:
    """Settle a line with some float valves fully open, the others shut, and the pump running.

    Parameters
    ----------
    site : Site
        The line.
    sun : Sun, str or Quantity
        Irradiance on the array; of a Sun its first point counts.
    open_troughs : iterable of str, optional
        Troughs whose float valve is fully open; left out, all of them.
    speed_cap : float
        Highest speed the drive allows, 0 to 1.

    Returns
    -------
    Steady
        With no valve open and no leak it is the dead-head: the pump turns and nothing flows. A
        positive-displacement pump has none; its torque limit or a relief valve ends the climb, and
        `Steady.stopped_by` says so. Over high ground it is the state of a line that was empty at
        first: beyond a crest that the pump does not reach it stays empty.

    Raises
    ------
    SiteError
        For a trough that is not there, or a speed that cannot be.
    """
    plant, layout = plant_of(site)
    names = layout.troughs
    if isinstance(open_troughs, str):
        raise SiteError("run", "open_troughs", open_troughs, f"write a list: [{open_troughs!r}]")
    if not 0.0 <= plain_number(speed_cap) <= 1.0:
        raise SiteError("run", "speed_cap", speed_cap, "it must lie between 0 and 1")
    wanted = set(names if open_troughs is None else open_troughs)
    if unknown := sorted(wanted - set(names)):
        raise SiteError("run", "open_troughs", unknown[0], f"the troughs are {', '.join(names)}")
    power = steady_power(site, sun)
    return settled(plant, layout, power=power, openings=dict.fromkeys(wanted, 1.0), cap=speed_cap)


def settled(
    plant: Plant, layout: Layout, *, power: float, openings: Mapping[str, float], cap: float = 1.0
) -> Steady:
    """Settle a plant whose float valves stand at some `openings`, 0 to 1; those not named are shut.

    As `steady`, for a shaft `power` on offer [W] and a `cap` on the speed.
    """
    plant = plant._replace(tank_volume=0.0)  # a tank that has settled takes nothing more
    standing = np.array(
        [
            trough.V_shut - openings.get(name, 0.0) * trough.V_band
            for name, trough in zip(layout.troughs, plant.troughs, strict=True)
        ]
    )
    inputs = Inputs(power, cap, np.zeros(standing.size))
    found = _solved(plant, inputs, standing, np.full(plant.nodes.size, -plant.lift))
    if plant.is_displacement and (found is None or _surplus(plant, *found) > 0.0):
        held, found = _held_at_limit(plant, standing), None
        if held is not None:
            duty = pump_duty(plant, held[0][0], power, cap)
            if duty.flow >= held[1].source[PUMP]:
                return _named(plant, layout, *held, float(duty.speed), TORQUE_LIMIT)
            found = _solved(plant, inputs, standing, held[0])  # from above: it lies below the limit
    if found is None:
        what = "no steady state was found"
        raise RunError(f"line to {layout.troughs[0]}", 0.0, "running", 0.0, what)
    h, flows = found
    is_dry = plant.lift + plant.drawdown * flows.source[PUMP] > plant.intake
    return _named(plant, layout, h, flows, float(flows.source[SPEED]), LOW_WATER if is_dry else "")


def _solved(
    plant: Plant, inputs: Inputs, standing: Floats, guess: Floats
) -> tuple[Floats, Flows] | None:
    """Find heads and flows with the troughs standing still, or nothing where there are none.

    First as a line full of water; where that puts a head under its limit, by filling an empty one.
    """
    held = plant.nodes.C * np.full(guess.size, -plant.lift)
    for tau in _SETTLED:
        h, flows = guess.copy(), make_flows(plant)
        if root(
            plant, h, inputs, held, standing, 1.0, tau, 0.0, _FINE, flows, np.zeros(h.size), FULL
        ):
            break
    else:
        return _filled(plant, inputs, standing)
    return _filled(plant, inputs, standing) if has_pocket(plant, h) else (h, flows)


def _filled(plant: Plant, inputs: Inputs, standing: Floats) -> tuple[Floats, Flows] | None:
    """Fill an empty line and let it settle, in steps three times as long each.

    With nothing flowing over a crest a line can come to rest with any water in its far legs, and
    still be at rest: the state meant is the one that a line comes to which begins empty. Taken in
    one stride a far leg would have to be filled and drained within one round of Newton's.
    """
    h = level_heads(plant, float(plant.nodes.z[plant.gauge :].min()))
    flows, trial = make_flows(plant), np.zeros(h.size)
    tau, last = 1.0, _SETTLED[0]
    while True:
        held = np.array([held_water(plant, i, head)[0] for i, head in enumerate(h)])
        tried = h.copy()
        if root(plant, tried, inputs, held, standing, 1.0, tau, 0.0, _FINE, flows, trial, POCKETS):
            h = tried
            if tau >= last:
                return h, flows
            tau = min(3.0 * tau, last)
        else:
            tau, last = 0.25 * tau, max(0.25 * last, _SETTLED[1])
            if tau < _SHORTEST:
                return None


def _surplus(plant: Plant, h: Floats, flows: Flows) -> float:
    """Head by which a turning pump is past its torque limit [m]."""
    if not flows.source[SPEED] > 0.0:
        return -np.inf
    return float(h[0] + plant.lift + plant.drawdown * flows.source[PUMP] - plant.h_torque)


def _held_at_limit(plant: Plant, standing: Floats) -> tuple[Floats, Flows] | None:
    """Settle the line with the torque limit's head held at its pump.

    A curve as good as level stands in the pump's place: whatever the line lets out, the head stays
    what the limit allows.
    """
    level = Centrifugal(
        shut_off_head=plant.h_torque,
        bend=_GIVE / plant.displacement.displaced**2,
        exponent=2.0,
        rated_power=1.0,
        rated_flow=plant.displacement.displaced,
        idle_share=0.5,
    )
    source = plant._replace(is_displacement=False, centrifugal=level)
    guess = np.full(plant.nodes.size, -plant.lift)
    return _solved(source, Inputs(_PLENTY, 1.0, np.zeros(standing.size)), standing, guess)


def surfaces(plant: Plant, layout: Layout, h: Floats) -> dict[str, float]:
    """Return the height of the water's surface [m] by each node at which a pocket stands."""
    under = plant.nodes.h_least - h
    return {
        name: float(plant.nodes.z[i] - under[i])
        for i, name in enumerate(layout.names)
        if under[i] > 0.0
    }


def _named(
    plant: Plant, layout: Layout, h: Floats, flows: Flows, speed: float, stopped_by: str
) -> Steady:
    """Return heads and flows their names."""
    heads = np.maximum(h, plant.nodes.h_least)
    pressures = plant.weight * (heads - plant.nodes.z)
    return Steady(
        head=dict(zip(layout.names, heads.tolist(), strict=True)),
        pressure=dict(zip(layout.names, pressures.tolist(), strict=True)),
        inflow=dict(zip(layout.troughs, flows.troughs.inflow.tolist(), strict=True)),
        pump_flow=float(flows.source[PUMP]),
        leak_flow=float(flows.leaks.sum()),
        speed=speed,
        stopped_by=stopped_by,
        surface=surfaces(plant, layout, h),
    )
