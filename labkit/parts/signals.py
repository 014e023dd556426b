"""How a trough far off says that it is full: level sensor, pair of wires, radio link."""

from typing import ClassVar, Final, Literal

import attrs
from attrs import field

from labkit.catalogue import wire_gauges
from labkit.errors import Said
from labkit.parts import fields as f
from labkit.units import Quantity, si, written

GAUGES: Final = tuple(wire_gauges())  # wire gauges that a signal pair may have, the thickest first

Contact = Literal["works", "stuck open", "stuck closed"]
"""How the contact of a switch or a sensor is."""


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class SignalPair:
    """A pair of wires from a contact to the drive's stop input.

    Attributes
    ----------
    gauge : str
        Of each wire, such as ``"18 AWG"``.
    length : Quantity
        One way, from the contact to the drive.
    condition : {"sound", "cut", "shorted"}
        A cut pair reads as an open contact, a pair chewed together as a closed one. A sound pair
        reads as open too, if its resistance is more than the drive's stop input takes for closed.
    splice : Quantity
        What its splices add to the resistance of the loop: next to nothing while they are dry.
    """

    CALLED: ClassVar = "signal wire"

    gauge: str = field(converter=f.gauge, validator=f.one_of(*GAUGES))
    length: Quantity = field(converter=f.measured, validator=f.between("1 ft", "50 km", like="ft"))
    condition: Literal["sound", "cut", "shorted"] = "sound"
    splice: Quantity = field(
        converter=f.measured, validator=f.between("0 ohm", "100000 ohm"), default="0 ohm"
    )

    @property
    def loop_resistance(self) -> float:
        """Out and back, in soil of 68 degF, with its splices [ohm]."""
        return 2.0 * si(self.length) * wire_gauges()[self.gauge] + si(self.splice)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class RadioLink:
    """A radio from a sensor to a receiver whose relay goes to the drive's stop input.

    Attributes
    ----------
    report_every : Quantity
        From one report to the next; the first goes out as the run begins.
    delay : Quantity
        From sending a report to the relay's move.
    loss : float
        Share of the reports that get lost [-].
    seed : int
        Which reports those are; the same seed loses the same ones.
    silent_after : Quantity
        Time without a report after which the receiver takes the link for silent.
    when_silent : {"stop", "run"}
        What the relay then tells the drive, until a report comes again.
    condition : {"works", "dead"}
        A dead radio has been silent since before the run.
    """

    CALLED: ClassVar = "radio link"

    report_every: Quantity = field(
        converter=f.measured, validator=f.between("1 s", "86400 s"), default="60 s"
    )
    delay: Quantity = field(
        converter=f.measured, validator=f.between("0 s", "3600 s"), default="1 s"
    )
    loss: float = field(converter=f.number, validator=f.within(0.0, 1.0), default=0.0)
    seed: int = field(converter=f.count, validator=f.within(0, 1_000_000), default=1)
    silent_after: Quantity = field(
        converter=f.measured, validator=f.between("1 s", "604800 s"), default="10 min"
    )
    when_silent: Literal["stop", "run"] = "stop"
    condition: Literal["works", "dead"] = "works"

    def __attrs_post_init__(self) -> None:
        """Let each report arrive before the next goes out, and silence be longer than that."""
        f.ordered(self, "delay", "report_every")
        if not si(self.silent_after) >= si(self.report_every) + si(self.delay):
            rule = (
                f"it must not be shorter than report_every {written(self.report_every)} and"
                f" delay {written(self.delay)} together, or the link is silent between reports"
            )
            raise f.field_error(self, "silent_after", self.silent_after, rule)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class LevelSensor:
    """A contact that goes by the depth of water in a trough or storage tank.

    Attributes
    ----------
    trough : str
        The trough it sits in.
    stops_at, starts_at : Quantity
        Depths of water at which it says full (rising) and room (falling).
    action : {"closes when full", "opens when full"}
        What its contact does when it says full.
    contact : {"works", "stuck open", "stuck closed"}
        How the contact is.
    wire, radio : SignalPair or RadioLink
        How the word gets to the drive: one of the two.
    """

    CALLED: ClassVar = "level sensor"

    trough: str = field(converter=f.name)
    stops_at: Quantity = field(converter=f.measured, validator=f.between("0.5 in", "240 in"))
    starts_at: Quantity = field(converter=f.measured, validator=f.between("0.25 in", "240 in"))
    action: Literal["closes when full", "opens when full"] = "closes when full"
    contact: Contact = "works"
    wire: SignalPair | None = None
    radio: RadioLink | None = None

    def __attrs_post_init__(self) -> None:
        """Hold the two depths to their order, and the sensor to one way of speaking."""
        f.ordered(self, "starts_at", "stops_at")
        if self.wire is None and self.radio is None:
            raise f.field_error(self, "wire", None, "write a table wire, or a table radio")
        if self.wire is not None and self.radio is not None:
            rule = "write a table wire or a table radio, not both"
            raise f.field_error(self, "radio", Said("given as well as a wire"), rule)
