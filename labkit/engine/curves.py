"""What a pump can do, from its stated points to the numbers of its curve."""

from math import inf, log

from labkit.engine.fluid import Water, water_at
from labkit.parts import CentrifugalPump, DisplacementPump, Pump
from labkit.physics.pump import Centrifugal, Displacement, torque_head
from labkit.site import Site
from labkit.units import si


def centrifugal_curve(pump: Pump, fluid: Water) -> Centrifugal:
    """Draw the curve through the pump's points; any curve where it is of the other kind."""
    if not isinstance(pump, CentrifugalPump):
        return Centrifugal(1.0, 1.0, 2.0, 1.0, 1.0, 0.5)
    H0, H, Q = si(pump.shut_off_head), si(pump.rated_head), si(pump.rated_flow)
    m = 2.0
    if pump.high_flow is not None and pump.high_head is not None:
        m = log((H0 - si(pump.high_head)) / (H0 - H)) / log(si(pump.high_flow) / Q)
    left = 1.0 if pump.backward is None else pump.backward
    return Centrifugal(
        shut_off_head=left * H0,
        bend=(H0 - H) * left / (left * Q) ** m,
        exponent=m,
        rated_power=fluid.weight * Q * H / pump.efficiency,
        rated_flow=left * Q,
        idle_share=pump.shut_off_power_share,
    )


def displacement_line(pump: Pump, fluid: Water) -> tuple[Displacement, float]:
    """Draw the line of a positive-displacement pump and the head of its torque limit [m].

    Friction takes what the stated efficiency leaves over at the rated point.
    """
    if not isinstance(pump, DisplacementPump):
        return Displacement(1.0, 0.0, 1.0, fluid.weight), inf
    H, Q = si(pump.rated_head), si(pump.rated_flow)
    swept = Q / (1.0 - pump.slip)
    friction = fluid.weight * H * (Q / pump.efficiency - swept)
    line = Displacement(swept, pump.slip * swept / H, friction, fluid.weight)
    return line, torque_head(line, pump.torque_limit, H)


def rated_power(site: Site) -> float:
    """Shaft power of the site's pump at its rated point [W]."""
    weight = water_at(site.place).weight
    return weight * si(site.pump.rated_flow) * si(site.pump.rated_head) / site.pump.efficiency
