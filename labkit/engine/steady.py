"""The line at rest in time: node heads and flows once everything has settled."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.engine.demand import shaft_power
from labkit.engine.network import PUMP, SPEED, Inputs, make_flows
from labkit.engine.newton import solve
from labkit.engine.plant import make_plant
from labkit.errors import RunError, SiteError
from labkit.sun import as_sun

if TYPE_CHECKING:
    from collections.abc import Iterable

    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.units import Quantity

_SETTLED: Final = 1e9
"""Length of the one implicit step [s] that stands for a line left alone: the residual is the very
one of a time step, and what the line still takes up is nothing against the flows."""


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
    """

    head: dict[str, float]
    pressure: dict[str, float]
    inflow: dict[str, float]
    pump_flow: float
    leak_flow: float
    speed: float


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
        With no valve open and no leak it is the dead-head: the pump turns and nothing flows.

    Raises
    ------
    SiteError
        For a trough that is not there.
    """
    plant, layout = make_plant(site)
    plant = plant._replace(tank_volume=0.0)  # a tank that has settled takes nothing more
    names = layout.troughs
    wanted = set(names if open_troughs is None else open_troughs)
    if unknown := sorted(wanted - set(names)):
        raise SiteError("run", "open_troughs", unknown[0], f"the troughs are {', '.join(names)}")
    standing = np.array(
        [0.0 if name in wanted else plant.troughs[k].V_shut for k, name in enumerate(names)]
    )
    n = plant.nodes.size
    power = float(shaft_power(site, as_sun(sun, site))[0])
    h = np.full(n, -plant.lift)
    flows = make_flows(plant)
    solved = solve(
        plant, h, Inputs(power, speed_cap, np.zeros(len(names))), plant.nodes.C * h, standing,
        1.0, _SETTLED, 0.0, 1e-9, flows, np.zeros(n),
    )  # fmt: skip
    if not solved:
        raise RunError(f"line to {names[0]}", 0.0, "running", 0.0, "no steady state was found")
    return Steady(
        head=dict(zip(layout.names, h.tolist(), strict=True)),
        pressure=dict(
            zip(layout.names, (plant.weight * (h - plant.nodes.z)).tolist(), strict=True)
        ),
        inflow=dict(zip(names, flows.troughs.inflow.tolist(), strict=True)),
        pump_flow=float(flows.source[PUMP]),
        leak_flow=float(flows.leaks.sum()),
        speed=float(flows.source[SPEED]),
    )
