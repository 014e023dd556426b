"""Where the water and the power come from: place, well, array, drive."""

import re
from typing import Any, ClassVar, Final, Literal

import attrs
from attrs import field
from attrs.converters import optional

from labkit.errors import UnitError
from labkit.parts import fields as f
from labkit.parts.stop_input import StopInput
from labkit.units import Quantity, Typed, quantity, si, written

COMPASS: Final = {
    "north": "0 deg", "north-east": "45 deg", "east": "90 deg", "south-east": "135 deg",
    "south": "180 deg", "south-west": "225 deg", "west": "270 deg", "north-west": "315 deg",
}  # fmt: skip
"""Point of the compass -> angle clockwise from north."""


def _letters(typed: str) -> str:
    """Return the letters of a point of the compass, however it is hyphenated."""
    return re.sub("[^a-z]", "", typed[:20].lower())


_POINTS: Final = {
    name: point
    for point in COMPASS
    for name in (_letters(point), "".join(half[0] for half in point.split("-")))
}
"""Letters of a point, in full or as on a map, to the point."""

_ONE_TURN: Final = f.between("0 deg", "360 deg")


def _faces(typed: Typed) -> str:
    """Read a point of the compass, or an angle clockwise from north, kept as text."""
    if isinstance(typed, str) and (point := _POINTS.get(_letters(typed))):
        return point
    try:
        return written(quantity(typed, "deg"))
    except UnitError as problem:
        advice = str(problem).rpartition("write ")[2]
        rule = f"write a point of the compass such as 'south', or write {advice}"
        raise UnitError(rule) from None


def _check_faces(part: "Array", field: f.Field, _faces: str) -> None:
    """Hold the direction to one turn of the compass."""
    _ONE_TURN(part, field, part.azimuth)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Place:
    """Where the site lies, and how warm it is there.

    Attributes
    ----------
    latitude, longitude : Quantity
        North and east count as positive.
    elevation : Quantity
        Above the sea; it sets the air pressure.
    air_temperature, water_temperature : Quantity
        Of an ordinary day, and of the water in the line.
    evaporation : Quantity
        Depth of water that leaves open troughs, such as ``"0.3 in/day"``.
    """

    CALLED: ClassVar = "place"

    latitude: Quantity = field(converter=f.measured, validator=f.between("-90 deg", "90 deg"))
    longitude: Quantity = field(converter=f.measured, validator=f.between("-180 deg", "180 deg"))
    elevation: Quantity = field(converter=f.measured, validator=f.between("-1500 ft", "15000 ft"))
    air_temperature: Quantity = field(
        converter=f.measured, validator=f.between("-40 degF", "130 degF"), default="70 degF"
    )
    water_temperature: Quantity = field(
        converter=f.measured, validator=f.between("32 degF", "104 degF"), default="55 degF"
    )
    evaporation: Quantity = field(
        converter=f.measured, validator=f.between("0 in/day", "3 in/day"), default="0 in/day"
    )


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Well:
    """The well and how its water level falls as it is pumped.

    Attributes
    ----------
    static_level : Quantity
        Depth of the resting water below the manifold.
    drawdown : Quantity
        How much further the level falls for each flow, such as ``1.2 ft/gpm``.
    intake_depth : Quantity
        Depth of the pump's intake below the manifold.
    """

    CALLED: ClassVar = "well"

    static_level: Quantity = field(converter=f.measured, validator=f.between("0 ft", "2500 ft"))
    drawdown: Quantity = field(
        converter=f.measured, validator=f.between("0 ft/gpm", "50 ft/gpm"), default="0 ft/gpm"
    )
    intake_depth: Quantity = field(converter=f.measured, validator=f.between("1 ft", "3000 ft"))

    def __attrs_post_init__(self) -> None:
        """Keep the intake under water."""
        f.ordered(self, "static_level", "intake_depth")

    def level(self, flow: float) -> float:
        """Depth of the water below the manifold while a flow [m3/s] is pumped [m]."""
        return si(self.static_level) + si(self.drawdown) * flow


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Array:
    """The solar array.

    Attributes
    ----------
    rated_power : Quantity
        At 1000 W/m2 and a cell temperature of 25 degC.
    tilt : Quantity
        Angle from the level.
    faces : str
        Point of the compass, or an angle clockwise from north such as ``"200 deg"``.
    temperature_coefficient : float
        Change of power with cell temperature [1/K].
    derate : float
        Share of the power left after dirt, wiring and mismatch [-].
    """

    CALLED: ClassVar = "array"

    rated_power: Quantity = field(converter=f.measured, validator=f.between("20 W", "20000 W"))
    tilt: Quantity = field(
        converter=f.measured, validator=f.between("0 deg", "90 deg"), default="35 deg"
    )
    faces: str = field(converter=_faces, validator=_check_faces, default="south")
    temperature_coefficient: float = field(
        converter=f.number, validator=f.within(-0.01, 0.0), default=-0.004
    )
    derate: float = field(converter=f.number, validator=f.within(0.05, 1.0), default=0.85)

    @property
    def azimuth(self) -> Quantity:
        """The direction it faces, as an angle clockwise from north."""
        return quantity(COMPASS.get(self.faces, self.faces), "deg")


def _if_solar(solar: str, mains: str) -> str:
    """Make a default that depends on the kind of drive."""
    return attrs.Factory(lambda drive: solar if drive.kind == "solar" else mains, takes_self=True)


_KIND: Final = f.spelled(
    "solar", "mains",
    panels="solar", solar_panels="solar", pv="solar",
    grid="mains", grid_powered="mains", grid_power="mains", power_line="mains",
    utility="mains", utility_power="mains", line_power="mains",
)  # fmt: skip


def _kind(typed: str) -> Any:
    """Read what a drive runs on, by any of its names."""
    return _KIND(typed)


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Drive:
    """What turns the pump: a drive that runs on the array's power, or the mains.

    Attributes
    ----------
    kind : {"solar", "mains"}
        A solar drive turns as fast as its power allows; the mains at full speed.
    soft_start, ramp_down : Quantity
        Time from rest to full speed and back.
    efficiency : float
        Shaft power for each electrical power [-].
    start_power : Quantity
        Shaft power without which it stays at rest.
    stop_when : {"closed", "open"}
        State of the contact that tells it to stop.
    restart_delay : Quantity
        How long it waits after the contact lets it run again.
    listens_to : {"pressure switch", "level sensor", "either"}
        Whose contact lies on its stop input. Of either the one or the other tells it to stop: to
        an input that stops on a closed contact they stand side by side, else one after the other.
    low_water_wait : Quantity
        How long it waits after low water before it tries again (common practice).
    stop_input : StopInput
        What it takes for a closed contact at the end of a pair of wires.
    fault : {"none", "own", "motor lead"}
        What keeps it from turning the pump and has it show a fault code: something in itself or in
        the motor, or a lead to the motor that has lost its insulation.
    most_starts : float or None
        Starts an hour that the motor stands, as its plate or manual says; None for common
        practice.
    """

    CALLED: ClassVar = "drive"

    kind: Literal["solar", "mains"] = field(converter=_kind)
    soft_start: Quantity = field(
        converter=f.measured,
        validator=f.between("0.1 s", "300 s"),
        default=_if_solar("10 s", "0.2 s"),
    )
    ramp_down: Quantity = field(
        converter=f.measured,
        validator=f.between("0.1 s", "300 s"),
        default=_if_solar("3 s", "0.2 s"),
    )
    efficiency: float = field(converter=f.number, validator=f.within(0.2, 1.0), default=0.95)
    start_power: Quantity = field(
        converter=f.measured, validator=f.between("0 W", "5000 W"), default="40 W"
    )
    stop_when: Literal["closed", "open"] = field(default=_if_solar("closed", "open"))
    restart_delay: Quantity = field(
        converter=f.measured, validator=f.between("0 s", "86400 s"), default="0 s"
    )
    listens_to: Literal["pressure switch", "level sensor", "either"] = "pressure switch"
    low_water_wait: Quantity = field(
        converter=f.measured, validator=f.between("10 s", "86400 s"), default="30 min"
    )
    stop_input: StopInput = field(factory=StopInput)
    fault: Literal["none", "own", "motor lead"] = "none"
    most_starts: float | None = field(
        converter=optional(f.number), validator=f.within(1.0, 240.0), default=None
    )
