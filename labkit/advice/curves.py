"""What pump and line do at each flow and under each sun: the curves that pictures and keys need.

Every point is a settled line (`labkit.engine.steady`); nothing here is solved anew.
"""

from collections.abc import Iterable, Sequence
from typing import Any, Final

import attrs
import numpy as np

from labkit.arrays import Floats
from labkit.engine.demand import steady_power
from labkit.engine.fluid import water_at
from labkit.engine.plant import plant_of
from labkit.engine.steady import steady
from labkit.parts import CentrifugalPump, DisplacementPump, Leak, Pump
from labkit.site import Site
from labkit.sun import Sun, as_sun
from labkit.units import FlowAt, Quantity, si, typed

_POINTS: Final = 40
_DRIP: Final = 1e-6
"""Flow under which a line counts as standing still [m3/s]."""
_STRONGER: Final = 1.6
"""How much stronger than the site's own a pump is that draws the line's curve to its end."""
_BLEED_AT: Final = typed(68947.57, "pressure")
"""The pressure at which the bleed valve of `pump_curve` is stated: 10 psi."""
_SHUT_OFF: Final = 1.5
"""Shut-off head of a centrifugal pump for its head at the rated point, where a site has none to
say (common practice, from the curves of small submersibles)."""


@attrs.frozen(kw_only=True)
class Curve:
    """Pressure at the manifold's gauge against flow."""

    flow: Floats  # flow [m3/s]
    pressure: Floats  # gauge pressure at the manifold [Pa]


@attrs.frozen(kw_only=True)
class HeadProfile:
    """How a line lies, and the head along it in a settled state."""

    # way along the pipe, height above the manifold and head there, for each node [m]
    distance: dict[str, float]
    height: dict[str, float]
    head: dict[str, float]
    parent: dict[str, str]  # the node before each node but the manifold
    inflow: dict[str, float]  # flow into each trough [m3/s]
    gauge: float  # pressure at the manifold [Pa]

    def way_to(self, node: str) -> tuple[str, ...]:
        """Return the nodes from the manifold to a node."""
        before = self.parent.get(node)
        return (node,) if before is None else (*self.way_to(before), node)


def pump_curve(site: Site, sun: Sun | str | Quantity) -> Curve:
    """Return what the gauge shows when every float is shut and a valve at the manifold bleeds.

    That is how the curve of a pump in its well is measured in the field: lift, drawdown and drop
    pipe are in it. It ends where the gauge shows nothing.
    """
    light = as_sun(sun, site)
    most = 4.0 * si(site.pump.rated_flow)
    pressures, flows = [dead_head_pressure(site, light)], [0.0]
    for size in most * np.linspace(0.0, 1.0, _POINTS)[1:] ** 2:
        bleed = Leak(at="manifold", size=FlowAt(flow=typed(size, "flow"), pressure=_BLEED_AT))
        settled = steady(site.changed({"leaks": (bleed,)}), sun=light, open_troughs=[])
        pressures.append(min(settled.pressure["manifold"], pressures[0]))
        flows.append(settled.leak_flow)
    return Curve(flow=np.array(flows), pressure=np.array(pressures))


def line_curve(site: Site, open_troughs: Iterable[str] | None = None) -> Curve:
    """Return what the gauge shows at each flow into the line: climb, friction, float valves.

    Left out, every float valve is open.
    """
    strong = _with_stronger_pump(site)
    names = [one.name for one in site.troughs] if open_troughs is None else list(open_troughs)
    weight = water_at(site.place).weight
    flows, pressures = [0.0], [weight * min(site.elevation(name) for name in names)]
    for cap in np.linspace(0.2, 1.0, _POINTS):
        settled = steady(strong, sun="1000 W/m^2", open_troughs=names, speed_cap=float(cap))
        flow = sum(settled.inflow.values())
        if flow > _DRIP:
            flows.append(flow)
            pressures.append(settled.pressure["manifold"])
    return Curve(flow=np.array(flows), pressure=np.array(pressures))


def dead_head_pressure(site: Site, sun: Sun | str | Quantity) -> float:
    """Return the highest pressure that a shut line can reach under a sun [Pa].

    A relief valve holds it down, and a positive-displacement pump's drive gives up at its torque
    limit. Where the sun is too weak for the drive to start, it is none.
    """
    plant, _ = plant_of(site)
    if steady_power(site, sun) < plant.start_power:
        return 0.0
    reached = steady(site, sun=sun, open_troughs=[]).pressure["manifold"]
    return max(min(reached, plant.weight * (plant.h_torque - plant.lift)), 0.0)


def dead_head_pressures(site: Site, suns: Sequence[float] | Floats) -> Floats:
    """Return the highest pressure of a shut line [Pa] for each irradiance [W/m2]."""
    return np.array([dead_head_pressure(site, typed(sun, "irradiance")) for sun in suns])


def shares(
    site: Site, suns: Sequence[float] | Floats, open_troughs: Iterable[str] | None = None
) -> dict[str, Floats]:
    """Return the flow into each trough [m3/s] for each irradiance [W/m2]."""
    names = None if open_troughs is None else list(open_troughs)
    settled = [steady(site, sun=typed(sun, "irradiance"), open_troughs=names) for sun in suns]
    return {
        trough.name: np.array([one.inflow[trough.name] for one in settled])
        for trough in site.troughs
    }


def lay(
    site: Site, sun: Sun | str | Quantity, open_troughs: Iterable[str] | None = None
) -> HeadProfile:
    """Return the ground under a line and the head along it, with some float valves open."""
    settled = steady(site, sun=sun, open_troughs=open_troughs)
    _, layout = plant_of(site)
    return HeadProfile(
        distance=layout.distance,
        height={node: layout.elevations[node] for node in layout.distance},
        head={node: settled.head[node] for node in layout.distance},
        parent=layout.parents,
        inflow=settled.inflow,
        gauge=settled.pressure["manifold"],
    )


def other_kind(pump: Pump) -> Pump:
    """Return a pump of the other kind for the same flow at the same head."""
    flow, head, pipe = pump.rated_flow, pump.rated_head, pump.drop_pipe
    if isinstance(pump, CentrifugalPump):
        return DisplacementPump(rated_flow=flow, rated_head=head, drop_pipe=pipe)
    shut_off = typed(_SHUT_OFF * si(head), "length")
    return CentrifugalPump(shut_off_head=shut_off, rated_flow=flow, rated_head=head, drop_pipe=pipe)


def _with_stronger_pump(site: Site) -> Site:
    """Return the same line with a pump that reaches beyond what its own can push through it."""
    pump = site.pump
    stretched: tuple[str, ...] = ("shut_off_head", "rated_head", "high_head")
    if isinstance(pump, DisplacementPump):
        stretched = ("rated_flow",)
    changes: dict[str, Any] = {"array.rated_power": "20000 W"}
    for name in stretched:
        value = getattr(pump, name)
        if value is not None:
            changes[f"pump.{name}"] = value * _STRONGER
    return site.changed(changes)
