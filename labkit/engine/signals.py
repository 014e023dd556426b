"""The loop as the drive's stop input sees it: contacts, pairs of wires, radio links.

Contacts of one kind are joined so that the drive stops when all sensors say full: those that close
when full one after the other, those that open side by side. The pressure switch and the sensors
are joined so that either can tell the drive to stop: side by side to an input that stops on a
closed contact, one after the other to one that stops on an open contact.
"""

from math import inf
from typing import Final

from labkit.compiled import compiled
from labkit.engine.memory import (
    EVENTS,
    RADIO_HEARD,
    RADIO_SILENT,
    SAYS_FULL,
    SAYS_ROOM,
    SWITCHED,
    TIME,
    Memory,
)
from labkit.engine.network import Floats, Plant
from labkit.engine.wiring import arrival, contact, falls_silent, next_heard, sent

TO_PRESSURE: Final = 0
TO_LEVEL: Final = 1
TO_EITHER: Final = 2
"""What a drive may listen to."""


@compiled
def note(memory: Memory, events: Floats, kind: int, where: int, time: float) -> None:
    """Write an event; `where` is a trough's number, or -1 for the wellhead."""
    row = memory.whole[EVENTS]
    if row < events.shape[0]:
        events[row, 0], events[row, 1], events[row, 2] = time, kind, where
        memory.whole[EVENTS] = row + 1


@compiled
def _switch_closed(plant: Plant, tripped: int) -> bool:
    """Whether the pressure switch, tripped (1) or not, reads closed at the drive's end."""
    if plant.switch_fixed >= 0:
        return plant.switch_fixed == 1
    return bool((tripped == 1) == plant.closes_on_rise)


@compiled
def rest_tells_to_stop(plant: Plant) -> bool:
    """Whether the drive is told to stop while the pressure switch rests, sensors aside."""
    if plant.listens == TO_LEVEL:
        return False
    return bool(_switch_closed(plant, 0) == plant.stops_when_closed)


@compiled
def trip_tells_to_stop(plant: Plant) -> bool:
    """Whether the drive is told to stop once the pressure switch trips, sensors aside."""
    if plant.is_plugged or plant.listens == TO_LEVEL:
        return False
    return bool(_switch_closed(plant, 1) == plant.stops_when_closed)


@compiled
def _sensors_closed(plant: Plant, memory: Memory) -> bool:
    """Whether the level sensors, joined, read closed."""
    in_series = bool(plant.sensors[0].closes == 1)
    for j in range(plant.sensors.size):
        if (memory.sensors[j].relay == 1) != in_series:
            return not in_series
    return in_series


@compiled
def loop_closed(plant: Plant, memory: Memory) -> bool:
    """Whether the loop at the drive's stop input is closed."""
    if plant.listens == TO_PRESSURE:
        return _switch_closed(plant, memory.whole[SWITCHED])
    level = _sensors_closed(plant, memory)
    if plant.listens == TO_LEVEL:
        return level
    pressure = _switch_closed(plant, memory.whole[SWITCHED])
    return (pressure or level) if plant.stops_when_closed else (pressure and level)


@compiled
def level_signal(plant: Plant, which: int, memory: Memory, V_trough: Floats) -> float:
    """How far the water is past the level that a sensor waits for [m]."""
    sensor = plant.sensors[which]
    V, area = V_trough[sensor.trough], plant.troughs[sensor.trough].area
    if memory.sensors[which].full == 1:
        return float((sensor.V_start - V) / area)
    return float((V - sensor.V_stop) / area)


@compiled
def begin_sensing(plant: Plant, memory: Memory) -> None:
    """Let each sensor take stock of its trough; a receiver holds what it heard as the run began."""
    for j in range(plant.sensors.size):
        sensor, sensed = plant.sensors[j], memory.sensors[j]
        sensed.full = 1 if memory.V_trough[sensor.trough] >= sensor.V_stop else 0
        sensed.relay = sensed.latch = contact(sensor, sensed.full)
        sensed.heard, sensed.arrives = 0.0, inf
        sensed.number = next_heard(sensor, 1)
        sensed.silent = sensor.dead
        if sensor.dead == 1:
            sensed.relay = sensor.hush


@compiled
def _listen(plant: Plant, which: int, memory: Memory, events: Floats) -> None:
    """Bring one receiver up to this moment; its sensor has not moved since the last time."""
    sensor, sensed, now = plant.sensors[which], memory.sensors[which], memory.real[TIME]
    while True:
        sends = sent(sensor, sensed.number)
        hushes = falls_silent(sensor, sensed.heard) if sensed.silent == 0 else inf
        if min(sends, hushes, sensed.arrives) > now:
            return
        if sensed.arrives <= min(sends, hushes):
            sensed.relay, sensed.heard, sensed.arrives = sensed.latch, sensed.arrives, inf
            if sensed.silent == 1:
                note(memory, events, RADIO_HEARD, sensor.trough, sensed.heard)
            sensed.silent = 0
        elif hushes <= sends:
            sensed.silent, sensed.relay = 1, sensor.hush
            note(memory, events, RADIO_SILENT, sensor.trough, hushes)
        else:
            sensed.latch = contact(sensor, sensed.full)
            sensed.arrives = arrival(sensor, sensed.number)
            sensed.number = next_heard(sensor, sensed.number + 1)


@compiled
def settle_sensors(plant: Plant, memory: Memory, events: Floats) -> None:
    """Bring sensors and receivers up to this moment; a report knows nothing of a later move."""
    for j in range(plant.sensors.size):
        sensor, sensed = plant.sensors[j], memory.sensors[j]
        if sensor.radio == 1:
            _listen(plant, j, memory, events)
        if level_signal(plant, j, memory, memory.V_trough) >= 0.0:
            sensed.full = 1 - sensed.full
            kind = SAYS_FULL if sensed.full == 1 else SAYS_ROOM
            note(memory, events, kind, sensor.trough, memory.real[TIME])
        if sensor.radio == 0:
            sensed.relay = contact(sensor, sensed.full)


@compiled
def next_report(plant: Plant, memory: Memory) -> float:
    """When [s] a report moves a relay, if the sensors stay as they are; silences are breaks."""
    change = inf
    for j in range(plant.sensors.size):
        sensor, sensed = plant.sensors[j], memory.sensors[j]
        if sensor.radio == 0:
            continue
        if sensed.arrives < inf and sensed.latch != sensed.relay:
            change = min(change, sensed.arrives)
        elif contact(sensor, sensed.full) != sensed.relay:
            change = min(change, arrival(sensor, sensed.number))
    return float(change)
