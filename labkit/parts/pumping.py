"""Both kinds of pump."""

from typing import ClassVar, Literal, TypeAlias

import attrs
from attrs import field
from attrs.converters import optional

from labkit.parts import fields as f
from labkit.units import Quantity, si
from labkit.units.customary import FOOT

LEAST_BEND, MOST_BEND = 0.5, 8.0
"""Least and most power of the flow with which a pump's head may fall."""


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class CentrifugalPump:
    """A pump whose head falls as its flow rises; closed off, it makes its shut-off head.

    Attributes
    ----------
    shut_off_head : Quantity
        Head at full speed with no flow.
    rated_flow, rated_head : Quantity
        A second point of the curve at full speed.
    high_flow, high_head : Quantity or None
        A third point with more flow; both or none.
    efficiency : float
        Water power for each shaft power at the rated point [-].
    shut_off_power_share : float
        Shaft power with no flow for each shaft power at the rated point, same speed [-].
    drop_pipe : str or None
        Size of the pipe from pump to manifold, such as ``"1 1/4 in PE SIDR 9"``.
    backward : float or None
        Share of its head and of its flow that is left while it turns the wrong way round [-]; none
        while it turns the right way. It lifts water all the same, for as much power.
    """

    CALLED: ClassVar = "pump"

    kind: Literal["centrifugal"] = "centrifugal"
    shut_off_head: Quantity = field(converter=f.measured, validator=f.between("10 ft", "3000 ft"))
    rated_flow: Quantity = field(converter=f.measured, validator=f.between("0.2 gpm", "200 gpm"))
    rated_head: Quantity = field(converter=f.measured, validator=f.between("5 ft", "3000 ft"))
    high_flow: Quantity | None = field(
        converter=optional(f.measured), validator=f.between("0.2 gpm", "400 gpm"), default=None
    )
    high_head: Quantity | None = field(
        converter=optional(f.measured), validator=f.between("1 ft", "3000 ft"), default=None
    )
    efficiency: float = field(converter=f.number, validator=f.within(0.05, 0.95), default=0.45)
    shut_off_power_share: float = field(
        converter=f.number, validator=f.within(0.1, 0.95), default=0.55
    )
    drop_pipe: str | None = field(converter=optional(f.pipe), default=None)
    backward: float | None = field(
        converter=optional(f.number), validator=f.within(0.1, 1.0), default=None
    )

    def __attrs_post_init__(self) -> None:
        """Hold the points of the curve to their order."""
        f.ordered(self, "rated_head", "shut_off_head")
        if (self.high_flow is None) != (self.high_head is None):
            given, lacking = (
                ("high_flow", "high_head")
                if self.high_flow is not None
                else ("high_head", "high_flow")
            )
            raise f.field_error(self, lacking, None, f"write it as well, or leave {given} out")
        if self.high_flow is not None and self.high_head is not None:
            f.ordered(self, "rated_flow", "high_flow")
            f.ordered(self, "high_head", "rated_head")
            self._check_bend(self.high_flow, self.high_head)

    def _check_bend(self, flow: Quantity, head: Quantity) -> None:
        """Refuse three points that no pump's curve goes through.

        The fall of a curve's head goes with a power of the flow, about 2 in most pumps and near 1
        in the steepest; one half and eight are far beyond any (judgement).
        """
        shut_off, rated, ratio = (
            si(self.shut_off_head), si(self.rated_head),
            si(flow) / si(self.rated_flow),
        )  # fmt: skip
        most, least = (
            shut_off - (shut_off - rated) * ratio**bend for bend in (LEAST_BEND, MOST_BEND)
        )
        if least <= si(head) <= most:
            return
        word, limit = ("at most", most) if si(head) > most else ("at least", least)
        points = f"with the other two points it must be {word} {limit / FOOT:.4g} ft"
        if most <= 0.0:
            points = "the other two points fall too steeply for any head at this flow"
        rule = f"{points}; look them up again, or leave high_flow and high_head out"
        raise f.field_error(self, "high_head", head, rule)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class DisplacementPump:
    """A pump that moves a set volume each turn; closed off, its pressure climbs and climbs.

    Attributes
    ----------
    rated_flow, rated_head : Quantity
        Flow at full speed against that head.
    slip : float
        Share of the swept flow that slips back at the rated head [-].
    efficiency : float
        Water power for each shaft power at the rated point [-]; slip and friction take the rest.
    torque_limit : float
        Torque at which the drive gives up, for each torque at the rated point [-].
    drop_pipe : str or None
        Size of the pipe from pump to manifold.
    """

    CALLED: ClassVar = "pump"

    kind: Literal["positive displacement"] = "positive displacement"
    rated_flow: Quantity = field(converter=f.measured, validator=f.between("0.2 gpm", "200 gpm"))
    rated_head: Quantity = field(converter=f.measured, validator=f.between("5 ft", "3000 ft"))
    slip: float = field(converter=f.number, validator=f.within(0.0, 0.5), default=0.05)
    efficiency: float = field(converter=f.number, validator=f.within(0.05, 0.95), default=0.55)
    torque_limit: float = field(converter=f.number, validator=f.within(1.05, 5.0), default=1.5)
    drop_pipe: str | None = field(converter=optional(f.pipe), default=None)

    def __attrs_post_init__(self) -> None:
        """Leave some of the shaft power for friction, after the water and what slips back."""
        if not self.efficiency + self.slip < 1.0:
            rule = f"with a slip of {self.slip:g} it must be below {1.0 - self.slip:g}"
            raise f.field_error(self, "efficiency", self.efficiency, rule)


Pump: TypeAlias = CentrifugalPump | DisplacementPump  # either kind of pump
