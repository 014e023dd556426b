"""Level sensors and their ways to the drive, from a Site to flat arrays."""

from typing import Any, Final

import numpy as np

from labkit.engine.network import Records
from labkit.engine.signals import TO_EITHER, TO_LEVEL, TO_PRESSURE
from labkit.engine.wiring import SENSOR, scrambled
from labkit.parts import LevelSensor, SignalPair, StopInput
from labkit.site import Site
from labkit.units import si

LISTENS: Final = {"pressure switch": TO_PRESSURE, "level sensor": TO_LEVEL, "either": TO_EITHER}
"""What a drive listens to, in a site's words -> in the plant."""

_CONTACTS: Final = {"works": -1, "stuck open": 0, "stuck closed": 1}
_PAIRS: Final = {"cut": 0, "shorted": 1}


def reads_always(contact: str, wire: SignalPair | None, stop_input: StopInput) -> int:
    """Return how a contact at the end of a pair always reads, 0 open or 1 closed; -1 if it works.

    A pair that is too long or too thin for the `stop_input` never reads closed, as a cut one.
    """
    if wire is None:
        return _CONTACTS[contact]
    if wire.condition == "sound":
        carries = stop_input.sees(wire.loop_resistance) == "closed"
        return _CONTACTS[contact] if carries else _PAIRS["cut"]
    return _PAIRS[wire.condition]


def make_sensors(site: Site) -> Records:
    """Lay out the level sensors."""
    sensors = np.zeros(len(site.level_sensors), dtype=SENSOR).view(np.recarray)
    names = [trough.name for trough in site.troughs]
    for number, (record, sensor) in enumerate(zip(sensors, site.level_sensors, strict=True)):
        record.trough = names.index(sensor.trough)
        trough = site.troughs[record.trough]
        area = si(trough.volume) / si(trough.depth)
        record.V_stop, record.V_start = area * si(sensor.stops_at), area * si(sensor.starts_at)
        record.closes = int(sensor.action == "closes when full")
        record.fixed = reads_always(sensor.contact, sensor.wire, site.drive.stop_input)
        _lay_out_radio(record, sensor, number)
    return sensors


def _lay_out_radio(record: Any, sensor: LevelSensor, number: int) -> None:
    """Write a sensor's radio into its record, if it has one; no two share their losses."""
    radio = sensor.radio
    if radio is None:
        return
    record.radio, record.dead = 1, int(radio.condition == "dead")
    record.hush = record.closes if radio.when_silent == "stop" else 1 - record.closes
    record.key = scrambled(scrambled(radio.seed) ^ number)
    record.every, record.delay = si(radio.report_every), si(radio.delay)
    record.loss, record.silent_after = radio.loss, si(radio.silent_after)
