"""A pair of wires from a contact to a stop input: whether it will do, where it is shorted."""

from __future__ import annotations

from math import inf
from typing import Final, Literal, TypeAlias

import attrs

from labkit.advice.asked import asked
from labkit.catalogue import wire_gauges, wire_resistance
from labkit.errors import SiteError, UnitError
from labkit.parts.stop_input import Sight, StopInput
from labkit.units import Quantity, quantity, written

Condition: TypeAlias = Literal["sound", "cut", "shorted"]

PAIR: Final = "signal wire"  # what the pair is called in a complaint

CONTROLLER: Final = "controller end"
SWITCH: Final = "switch end"
SWITCH_JOINED: Final = "switch end, far ends joined"
PLACES: Final = (CONTROLLER, SWITCH, SWITCH_JOINED)
"""Where a meter is put across the two wires, each time lifted off what they are screwed to there:
the drive's terminals; the contact; the contact, while the two ends at the drive are twisted
together."""

OFF: Final = "off the pair"  # how the contact stands when the wires are taken off it

CONDITIONS: Final[tuple[Condition, ...]] = ("sound", "cut", "shorted")


@attrs.frozen(kw_only=True)
class Reading:
    """What a meter shows across a pair, and what the drive makes of it."""

    where: str  # one of `PLACES`
    contact: str  # ``"open"``, ``"closed"``, or ``"off the pair"``
    condition: Condition  # how the pair is: "sound", "cut", "shorted"
    ohms: float  # reading of an ohmmeter, the pair lifted off there; infinite for no reading [ohm]
    # voltage across the drive's terminals with the pair on them [V]; None at the switch end
    volts: float | None
    drive_sees: Sight | None  # what the stop input then makes of it: "closed", "open", "in between"


@attrs.frozen(kw_only=True)
class LoopCheck:
    """A pair of wires to a stop input.

    Attributes
    ----------
    gauge : str
        Of each wire.
    distance : float
        One way [m].
    temperature : float
        Of the wires [K].
    each_meter : float
        Resistance of one wire for each meter [ohm/m].
    short_at : float
        How far from the controller end the short of the rows "shorted" lies [m].
    stop_input : StopInput
        What the pair goes to.
    readings : tuple of Reading
        What a meter shows, a row for each place, contact and condition.
    """

    gauge: str
    distance: float
    temperature: float
    each_meter: float
    short_at: float
    stop_input: StopInput
    readings: tuple[Reading, ...]

    @property
    def loop_resistance(self) -> float:
        """Out and back [ohm]."""
        return 2.0 * self.distance * self.each_meter

    @property
    def works(self) -> bool:
        """Whether the drive sees a closed contact at the far end as closed."""
        return self.stop_input.sees(self.loop_resistance) == "closed"

    @property
    def farthest(self) -> float:
        """Longest pair of this gauge with which it would [m]."""
        return self.stop_input.limit / (2.0 * self.each_meter)

    def reading(self, where: str, contact: str, condition: str) -> Reading:
        """Return the row for a place, a contact and a condition."""
        return next(
            row
            for row in self.readings
            if (row.where, row.contact, row.condition) == (where, contact, condition)
        )


def loop_check(
    gauge: str,
    distance: str | Quantity,
    *,
    temperature: str | Quantity = "68 degF",
    short_at: str | Quantity | None = None,
    stop_input: StopInput | None = None,
) -> LoopCheck:
    """Say whether a pair of wires will do, and what a meter shows at either end.

    Parameters
    ----------
    gauge : str
        Of each of the two wires, ``"14 AWG"`` to ``"22 AWG"``.
    distance : str or Quantity
        One way, along the pair.
    temperature : str or Quantity
        Of the wires.
    short_at : str or Quantity, optional
        Where a pair chewed together is chewed, from the controller end; left out, half way.
    stop_input : StopInput, optional
        What the pair goes to; left out, an ordinary input for a dry contact.

    Returns
    -------
    LoopCheck
        Resistance, limit, and the readings to expect.

    Raises
    ------
    SiteError
        For a gauge, a distance or a temperature that cannot be.

    Notes
    -----
    A contact and a short are taken as having no resistance of their own, a meter's leads neither:
    take off what the leads show when touched together. The two wires are alike, so which one goes
    to which terminal does not matter. A cut pair reads as an open contact, a pair chewed together
    as a closed one: from the controller end alone nobody can tell them apart.
    """
    length = asked(distance, "ft", "distance", limits=("1 ft", "50 km"), part=PAIR)
    warmth = asked(temperature, "degF", "temperature", limits=("-60 degF", "200 degF"), part=PAIR)
    try:
        each = wire_resistance(gauge, quantity(temperature, "degF"))
    except UnitError as problem:
        raise SiteError(PAIR, "gauge", gauge, str(problem)) from None
    at = 0.5 * length
    if short_at is not None:
        at = asked(short_at, "ft", "short_at", limits=("0 ft", "50 km"), part=PAIR)
        if at > length:
            rule = f"it must not be beyond the far end, {written(quantity(distance, 'ft'))} away"
            raise SiteError(PAIR, "short_at", short_at, rule)
    known = stop_input or StopInput()
    rows = _readings(known, near=2.0 * each * at, far=2.0 * each * (length - at))
    return LoopCheck(
        gauge=" ".join(gauge.upper().split()),
        distance=length,
        temperature=warmth,
        each_meter=each,
        short_at=at,
        stop_input=known,
        readings=rows,
    )


def _readings(stop_input: StopInput, *, near: float, far: float) -> tuple[Reading, ...]:
    """List what a meter shows, from the resistances before and beyond the short [ohm]."""
    whole = near + far
    at_controller = {
        "open": {"sound": inf, "cut": inf, "shorted": near},
        "closed": {"sound": whole, "cut": inf, "shorted": near},
    }
    at_switch = {
        SWITCH: {"sound": inf, "cut": inf, "shorted": far},
        SWITCH_JOINED: {"sound": whole, "cut": inf, "shorted": far},
    }
    rows = [
        Reading(
            where=CONTROLLER,
            contact=contact,
            condition=condition,
            ohms=ohms[condition],
            volts=stop_input.voltage(ohms[condition]),
            drive_sees=stop_input.sees(ohms[condition]),
        )
        for contact, ohms in at_controller.items()
        for condition in CONDITIONS
    ]
    rows += [
        Reading(
            where=where,
            contact=OFF,
            condition=condition,
            ohms=ohms[condition],
            volts=None,
            drive_sees=None,
        )
        for where, ohms in at_switch.items()
        for condition in CONDITIONS
    ]
    return tuple(rows)


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
