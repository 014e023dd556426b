"""Rules between level sensors, the troughs they sit in, and the drive that listens."""

from collections.abc import Sequence

from labkit.errors import SiteError
from labkit.parts import fields as f
from labkit.parts.line import Trough
from labkit.parts.signals import LevelSensor
from labkit.parts.supply import Drive
from labkit.units import si, written


def check_sensors(sensors: Sequence[LevelSensor], troughs: Sequence[Trough], drive: Drive) -> None:
    """Hold level sensors to their troughs and to one another, and the drive to what is there.

    Raises
    ------
    SiteError
        For a sensor that sits nowhere or over a rim, for two in one trough, for contacts that
        cannot be joined, and for a drive that listens to sensors where there are none.
    """
    seen: set[str] = set()
    for number, sensor in enumerate(sensors, start=1):
        depth = next((trough.depth for trough in troughs if trough.name == sensor.trough), None)
        if depth is None:
            names = f.listed([trough.name for trough in troughs], sensor.trough)
            raise _misplaced(sensor, number, f"no trough has that name; write {names}")
        if sensor.trough in seen:
            raise _misplaced(sensor, number, "another sensor sits there; a trough has one at most")
        seen.add(sensor.trough)
        if not si(sensor.stops_at) < si(depth):
            rule = f"it must be below the rim of the trough, whose depth is {written(depth)}"
            raise f.field_error(
                sensor, "stops_at", sensor.stops_at, rule, key=f"{_key(sensor)}.stops_at"
            )
        if sensor.action != sensors[0].action:
            rule = f"all sensors of a line act alike; write {sensors[0].action!r}"
            raise f.field_error(sensor, "action", sensor.action, rule, key=f"{_key(sensor)}.action")
    if drive.listens_to != "pressure switch" and not sensors:
        rule = "the line has no level sensor; write 'pressure switch', or add a [[level_sensor]]"
        raise f.field_error(drive, "listens_to", drive.listens_to, rule, key="drive.listens_to")


def _key(sensor: LevelSensor) -> str:
    """Where a site file has it."""
    return f"level_sensor.{sensor.trough}"


def _misplaced(sensor: LevelSensor, number: int, rule: str) -> SiteError:
    """Make the error for a sensor in a trough where it may not be."""
    return f.field_error(sensor, "trough", sensor.trough, rule, key=f"level_sensor.{number}.trough")
