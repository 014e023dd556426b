"""How far a pair may reach, and where along it a short lies."""

import attrs

from labkit.advice.asked import asked
from labkit.advice.signal_loop import LoopCheck
from labkit.catalogue import wire_gauges, wire_resistance
from labkit.errors import SiteError
from labkit.parts.stop_input import StopInput
from labkit.units import Quantity, quantity

_METER = ("0 ohm", "1000000 ohm")


@attrs.frozen(kw_only=True)
class Short:
    """Where a pair is chewed together."""

    distance: float  # from the controller end [m]
    resistance: float  # of the short itself [ohm]


def find_short(
    check: LoopCheck, *, at_controller: str | Quantity, at_switch: str | Quantity
) -> Short:
    """Find a short from the readings at both ends, the pair lifted off at both.

    Parameters
    ----------
    check : LoopCheck
        The pair as it was laid.
    at_controller, at_switch : str or Quantity
        What the meter shows at either end.

    Raises
    ------
    SiteError
        If no short along this pair gives such readings.

    Notes
    -----
    ``R_c = 2 r x + R_s`` and ``R_w = 2 r (L - x) + R_s``, so ``x = L/2 + (R_c - R_w) / (4 r)``
    whatever the short's own resistance ``R_s``; that one follows.
    """
    near = asked(at_controller, "ohm", "at_controller", limits=_METER, part="signal wire")
    far = asked(at_switch, "ohm", "at_switch", limits=_METER, part="signal wire")
    distance = 0.5 * check.distance + (near - far) / (4.0 * check.each_meter)
    resistance = 0.5 * (near + far - check.loop_resistance)
    slack = 0.02 * check.loop_resistance + 0.2
    if not -slack <= 2.0 * check.each_meter * distance <= check.loop_resistance + slack:
        rule = "with the other reading it would lie off the pair: check length, gauge and readings"
        raise SiteError("signal wire", "at_controller", at_controller, rule)
    if resistance < -slack:
        rule = "with the other reading it is less than the whole pair has: check length and gauge"
        raise SiteError("signal wire", "at_controller", at_controller, rule)
    within = min(max(distance, 0.0), check.distance)
    return Short(distance=within, resistance=max(resistance, 0.0))


def farthest_pairs(
    stop_input: StopInput | None = None, *, temperature: str | Quantity = "68 degF"
) -> dict[str, float]:
    """Return, for each gauge, the longest pair that an input still reads as closed, one way [m]."""
    limit = (stop_input or StopInput()).limit
    warmth = quantity(temperature, "degF")
    return {gauge: limit / (2.0 * wire_resistance(gauge, warmth)) for gauge in wire_gauges()}
