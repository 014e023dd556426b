"""The line and what it feeds: pipe, float valve, herd, trough, leak."""

import re
from collections.abc import Iterable
from typing import ClassVar, Final, Literal

import attrs
from attrs import field
from attrs.converters import optional

from labkit.catalogue import PipeSize, daily_need, pipe_size, stock_kinds
from labkit.errors import UnitError
from labkit.parts import fields as f
from labkit.parts import ground
from labkit.units import NO_LEAK, FlowAt, LeakSize, Quantity, si, written

MANIFOLD: Final = "manifold"
"""The node at the wellhead where the line begins; heights count from it."""

_CLOCK: Final = re.compile(
    r"(?P<hour>[01]?[0-9]|2[0-3])(?::(?P<minute>[0-5][0-9]))?(?: ?(?P<half>[ap])\.?m\.?)?"
)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Pipe:
    """A run of pipe from one node to the next.

    Attributes
    ----------
    from_, to : str
        The nodes at its ends, the one nearer the well first; a trough's own pipe has no `to`.
    length : Quantity
        Along the pipe.
    size : str
        Nominal size and standard, such as ``"1 1/4 in PE SIDR 15"``.
    rise : Quantity
        Height of its far end above its near end; negative downhill.
    fittings : float
        Sum of the loss coefficients of its fittings [-].
    inside_diameter : Quantity or None
        Measured, in place of the table's.
    wave_speed : Quantity or None
        Of pressure waves, in place of one computed from the wall.
    profile : tuple of pairs of Quantity
        The ground between its ends: distance out along the pipe, and height there above its near
        end, from near to far; straight from one to the next.
    vents : tuple of Quantity
        Distances out along the pipe at which an air vent sits: no pressure there falls below the
        air's.
    """

    CALLED: ClassVar = "pipe"

    from_: str = field(converter=f.name)
    to: str | None = field(converter=optional(f.name), default=None)
    length: Quantity = field(converter=f.measured, validator=f.between("1 ft", "50 km", like="ft"))
    size: str = field(converter=f.pipe)
    rise: Quantity = field(converter=f.measured, validator=f.between("-3000 ft", "3000 ft"))
    fittings: float = field(converter=f.number, validator=f.within(0.0, 100_000.0), default=0.0)
    inside_diameter: Quantity | None = field(
        converter=optional(f.measured), validator=f.between("0.2 in", "8 in"), default=None
    )
    wave_speed: Quantity | None = field(
        converter=optional(f.measured),
        validator=f.between("50 m/s", "1500 m/s", like="ft/s"),
        default=None,
    )
    profile: tuple[tuple[Quantity, Quantity], ...] = field(converter=ground.profile, default=())
    vents: tuple[Quantity, ...] = field(converter=ground.vents, default=())

    def __attrs_post_init__(self) -> None:
        """No pipe climbs more than its own length, as a whole or from one point to the next."""
        if not abs(si(self.rise)) <= si(self.length):
            raise f.field_error(
                self,
                "rise",
                self.rise,
                f"it must not be more than the length {written(self.length)}",
            )
        ground.check_ground(self)

    @property
    def row(self) -> PipeSize:
        """Its row in the table of pipe sizes: diameter, wall, rating, modulus, source."""
        return pipe_size(self.size)

    @property
    def bore(self) -> Quantity:
        """Its inside diameter: measured, or else from the table."""
        return self.row.inside_diameter if self.inside_diameter is None else self.inside_diameter


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class FloatValve:
    """The valve that shuts as a trough fills.

    Attributes
    ----------
    flow : FlowAt
        What it passes, fully open.
    band : Quantity
        Fall of the water from shut to fully open.
    seat_leak : FlowAt or Hole
        What its seat lets through when shut.
    holding_pressure : Quantity or None
        Gauge pressure above which the float cannot keep it shut; none when it always can.
    position : {"floats", "always open", "always shut"}
        Whether it follows the water; stuck or held by hand it does not, and an open pipe end
        without a float valve is always open.
    """

    CALLED: ClassVar = "float valve"

    flow: FlowAt = field(converter=f.rated, validator=f.flow_between("0.05 gpm", "200 gpm"))
    band: Quantity = field(
        converter=f.measured, validator=f.between("0.05 in", "24 in"), default="0.5 in"
    )
    seat_leak: LeakSize = field(
        converter=f.leak, validator=f.flow_between("0 gpm", "50 gpm"), default=NO_LEAK
    )
    holding_pressure: Quantity | None = field(
        converter=optional(f.measured), validator=f.between("2 psi", "400 psi"), default=None
    )
    position: Literal["floats", "always open", "always shut"] = "floats"


def _clock(typed: object) -> str:
    """Read a time of day such as ``07:00``, ``7:00`` or ``6:30 pm``; empty for what is none."""
    match = _CLOCK.fullmatch(typed[:12].strip().lower()) if isinstance(typed, str) else None
    if match is None or not (match["half"] or match["minute"]):
        return ""
    hour, minute = int(match["hour"]), int(match["minute"] or 0)
    if match["half"]:
        if not 1 <= hour <= 12:
            return ""
        hour = hour % 12 + 12 * (match["half"] == "p")
    return f"{hour:02d}:{minute:02d}"


def _clock_times(typed: Iterable[str]) -> tuple[str, ...]:
    """Read the hours at which a herd comes to drink."""
    times = tuple(map(_clock, typed)) if isinstance(typed, list | tuple) else ()
    if not 1 <= len(times) <= 24 or "" in times or sorted(set(times)) != list(times):
        raise UnitError("write 1 to 24 clock times from early to late, such as ['07:00', '18:00']")
    return times


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Herd:
    """The stock that drinks at a trough.

    Attributes
    ----------
    head : int
        How many.
    kind : str
        A kind of the stock-water table, such as ``"cow with calf"``.
    daily_need : Quantity or None
        What one head drinks in a day, such as ``"15 gal/day"``, in place of the table's.
    visits : tuple of str
        Clock times at which they come.
    visit_time : Quantity
        How long one visit lasts.
    """

    CALLED: ClassVar = "herd"

    head: int = field(converter=f.count, validator=f.within(0, 10_000))
    kind: str = field(converter=f.stock, validator=f.one_of(*stock_kinds()))
    daily_need: Quantity | None = field(
        converter=optional(f.measured),
        validator=f.between("0 gal/day", "100 gal/day"),
        default=None,
    )
    visits: tuple[str, ...] = field(converter=_clock_times, default=("07:00", "12:30", "18:00"))
    visit_time: Quantity = field(
        converter=f.measured, validator=f.between("1 min", "1440 min", like="s"), default="20 min"
    )

    def need(self, air_temperature: Quantity) -> Quantity:
        """Return what one head drinks, as a flow in gallons a day."""
        return (
            daily_need(self.kind, air_temperature) if self.daily_need is None else self.daily_need
        )


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Trough:
    """A trough with its own run of pipe, its float valve and its herd.

    Attributes
    ----------
    name : str
        Its name, and the name of the node where its pipe ends.
    pipe : Pipe
        The run that feeds it.
    volume, depth : Quantity
        Water when full to the rim, and height of the rim above the floor.
    freeboard : Quantity
        How far below the rim the water stands when the float is shut.
    float_valve : FloatValve
        The valve at its inlet.
    herd : Herd or None
        Who drinks there.
    """

    CALLED: ClassVar = "trough"

    name: str = field(converter=f.name)
    pipe: Pipe
    volume: Quantity = field(converter=f.measured, validator=f.between("5 gal", "100000 gal"))
    depth: Quantity = field(converter=f.measured, validator=f.between("4 in", "240 in"))
    freeboard: Quantity = field(
        converter=f.measured, validator=f.between("0 in", "100 in"), default="2 in"
    )
    float_valve: FloatValve
    herd: Herd | None = None

    def __attrs_post_init__(self) -> None:
        """Leave room for the float to open before the trough is dry."""
        if not si(self.freeboard) + si(self.float_valve.band) < si(self.depth):
            depth = written(self.depth)
            rule = f"with the float valve's band it must leave some of the depth {depth}"
            raise f.field_error(self, "freeboard", self.freeboard, rule)
        if self.pipe.to is not None:
            rule = "leave it out, for a trough's own pipe ends at the trough"
            raise f.field_error(self.pipe, "to", self.pipe.to, rule, key="pipe.to")


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Leak:
    """A leak in the line.

    Attributes
    ----------
    at : str
        The node where the leaking run ends: the manifold, a tee, or a trough.
    distance : Quantity
        Back along that run from the node, towards the well.
    size : FlowAt or Hole
        How much it loses.
    exponent : float
        Power of the pressure that its flow follows: 0.5 for a hole that keeps its shape [-].
    """

    CALLED: ClassVar = "leak"

    at: str = field(converter=f.name)
    distance: Quantity = field(
        converter=f.measured, validator=f.between("0 ft", "50 km", like="ft"), default="0 ft"
    )
    size: LeakSize = field(converter=f.leak, validator=f.flow_between("0 gpm", "50 gpm"))
    exponent: float = field(converter=f.number, validator=f.within(0.4, 2.5), default=0.5)
