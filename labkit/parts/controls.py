"""What stands at the manifold: pressure switch, pressure tank, check valve, relief valve."""

from functools import cached_property
from typing import Any, ClassVar, Final, Literal

import attrs
from attrs import field

from labkit.parts import fields as f
from labkit.parts.signals import Contact, SignalPair
from labkit.units import NO_LEAK, FlowAt, LeakSize, Quantity, si, written

_A_TURN: Final = f.between("0.2 psi", "20 psi")
_ACTION: Final = f.spelled(
    "closes on rise", "opens on rise", reverse_acting="closes on rise", standard="opens on rise"
)


def _action(typed: str) -> Any:
    """Read what a contact does, by either of its names."""
    return _ACTION(typed)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class PressureSwitch:
    """A pressure switch on the manifold.

    Attributes
    ----------
    cut_in, cut_out : Quantity
        Gauge pressures at which the contact resets (falling) and trips (rising).
    action : {"closes on rise", "opens on rise"}
        What the contact does when it trips.
    wire : SignalPair or None
        The pair from the switch to the drive; none where the two sit side by side.
    contact : {"works", "stuck open", "stuck closed"}
        How the contact is.
    nipple : {"clear", "plugged"}
        The small pipe by which it feels the line; plugged, the switch keeps the position it has
        as the run begins.
    turn_moves_cut_in, turn_moves_cut_out, nut_moves_cut_out : Quantity
        How far one turn of the range nut moves each point, and one turn of the smaller
        differential nut the cut-out alone. No two switches are alike: these are the steps of the
        usual 30/50 switch (common practice) until yours have been measured by a gauge.
    """

    CALLED: ClassVar = "switch"

    cut_in: Quantity = field(converter=f.measured, validator=f.between("0.5 psi", "400 psi"))
    cut_out: Quantity = field(converter=f.measured, validator=f.between("1 psi", "400 psi"))
    action: Literal["closes on rise", "opens on rise"] = field(
        converter=_action, default="closes on rise"
    )
    wire: SignalPair | None = None
    contact: Contact = "works"
    nipple: Literal["clear", "plugged"] = "clear"
    turn_moves_cut_in: Quantity = field(converter=f.measured, validator=_A_TURN, default="3.5 psi")
    turn_moves_cut_out: Quantity = field(converter=f.measured, validator=_A_TURN, default="4.5 psi")
    nut_moves_cut_out: Quantity = field(converter=f.measured, validator=_A_TURN, default="2.5 psi")

    def __attrs_post_init__(self) -> None:
        """Hold the two points to their order."""
        f.ordered(self, "cut_in", "cut_out")

    @cached_property
    def points(self) -> tuple[float, float]:
        """Cut-in and cut-out [Pa]."""
        return si(self.cut_in), si(self.cut_out)

    @cached_property
    def differential(self) -> float:
        """How far cut-out is above cut-in [Pa]."""
        cut_in, cut_out = self.points
        return cut_out - cut_in

    def metered(self, *, is_tripped: bool) -> Literal["open", "closed"]:
        """Return how a meter finds the switch's own contact, with the pair taken off."""
        if self.contact != "works":
            return "open" if self.contact == "stuck open" else "closed"
        return "closed" if is_tripped == (self.action == "closes on rise") else "open"


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class PressureTank:
    """A small diaphragm tank at the manifold.

    Attributes
    ----------
    volume : Quantity
        Of the whole shell.
    precharge : Quantity
        Gauge pressure of the air, measured with the tank empty of water.
    air_exponent : float
        1 when the air has time to keep its temperature, up to 1.4 when it has not [-].
    """

    CALLED: ClassVar = "tank"

    volume: Quantity = field(converter=f.measured, validator=f.between("0.01 gal", "1000 gal"))
    precharge: Quantity = field(converter=f.measured, validator=f.between("0 psi", "200 psi"))
    air_exponent: float = field(converter=f.number, validator=f.within(1.0, 1.4), default=1.0)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class CheckValve:
    """The valve that keeps the line's water from running back into the well.

    Attributes
    ----------
    leak : FlowAt or Hole
        What it lets back.
    position : {"works", "stuck shut"}
        Stuck shut it lets nothing through from the pump, which then turns against it.
    """

    CALLED: ClassVar = "check valve"

    leak: LeakSize = field(
        converter=f.leak, validator=f.flow_between("0 gpm", "50 gpm"), default=NO_LEAK
    )
    position: Literal["works", "stuck shut"] = "works"


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class ReliefValve:
    """A valve at the manifold that lets water out before the line bursts.

    Attributes
    ----------
    opens_at : Quantity
        Gauge pressure at which it begins to open.
    capacity : FlowAt
        What it passes, fully open, at a stated pressure above that.
    spring : float
        Share of `opens_at` at which it really opens: less than 1 where its spring is weak [-].
    """

    CALLED: ClassVar = "relief valve"

    opens_at: Quantity = field(converter=f.measured, validator=f.between("5 psi", "450 psi"))
    capacity: FlowAt = field(converter=f.rated, validator=f.flow_between("0.1 gpm", "400 gpm"))
    spring: float = field(converter=f.number, validator=f.within(0.05, 1.0), default=1.0)

    def __attrs_post_init__(self) -> None:
        """Keep the stated capacity above the opening point."""
        if not si(self.capacity.pressure) > si(self.opens_at):
            rule = f"it must be stated at a pressure above opens_at {written(self.opens_at)}"
            raise f.field_error(self, "capacity", self.capacity, rule)
