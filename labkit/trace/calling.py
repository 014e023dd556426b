"""Whether a line calls for water, by what the drive listens to.

To a drive that listens to the pressure alone a trough calls while its float valve stands wide
open. A level sensor knows better: its trough calls while the sensor says room and the valve lets
water in. A drive that listens to both hears the troughs without a sensor through the pressure.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from labkit.units import si

if TYPE_CHECKING:
    from labkit.arrays import Bools
    from labkit.parts import LevelSensor
    from labkit.trace.record import Trace


FULLY_OPEN = 0.9  # opening from which a float valve asks for all it can get


def says_full(trace: Trace, sensor: LevelSensor) -> Bools:
    """Where the water is up to a sensor's mark, whatever becomes of its word, shape (n,)."""
    kinds = {"sensor says full": True, "sensor says room": False}
    moves = [e for e in trace.events if e.where == sensor.trough and e.kind in kinds]
    depth = float(trace.level[sensor.trough][0])
    first = not kinds[moves[0].kind] if moves else depth >= si(sensor.stops_at)
    where = np.full(trace.time.size, first)
    for move in moves:
        where[np.searchsorted(trace.time, move.time, side="left") :] = kinds[move.kind]
    return where


def all_full(trace: Trace) -> Bools:
    """Where all level sensors that the drive listens to say full; nowhere if it listens to none."""
    if trace.site.drive.listens_to == "pressure switch":
        return np.zeros(trace.time.size, dtype=np.bool_)
    every = [says_full(trace, sensor) for sensor in trace.site.level_sensors]
    return np.asarray(np.all(np.vstack(every), axis=0))


def calls(trace: Trace) -> Bools:
    """Where a trough calls for water, shape (n,)."""
    listens = trace.site.drive.listens_to
    if listens == "pressure switch":
        return trace.widest_opening >= FULLY_OPEN
    calling = np.zeros(trace.time.size, dtype=np.bool_)
    sensors = {sensor.trough: sensor for sensor in trace.site.level_sensors}
    for name, opening in trace.opening.items():
        if name in sensors:
            calling |= (opening >= FULLY_OPEN) & ~says_full(trace, sensors[name])
        elif listens == "either":
            calling |= opening >= FULLY_OPEN
    return calling & ~all_full(trace)


def patience(trace: Trace) -> float:
    """How long a sound drive may take to act on its signals [s]: radio reports, restart delay."""
    radios = [sensor.radio for sensor in trace.site.level_sensors if sensor.radio is not None]
    if trace.site.drive.listens_to == "pressure switch":
        radios = []
    slowest = max((si(radio.report_every) + si(radio.delay) for radio in radios), default=0.0)
    return slowest + si(trace.site.drive.restart_delay)
