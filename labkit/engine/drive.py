"""The pressure switch and the drive as a state machine.

When several things happen in one instant the order is: safety, no sun, stop, start.
"""

from math import inf
from typing import Final

from labkit.compiled import compiled
from labkit.engine.memory import (
    CAP,
    CAP_END,
    CAP_SLOPE,
    CONTACT,
    DRIVE_RESTS,
    DRIVE_WAKES,
    FRESH,
    HELD,
    LIFTED,
    LOCKED,
    LOW_WATER,
    PUMP_STARTS,
    PUMP_STOPS,
    READY,
    RESTING,
    RUNNING,
    STARTING,
    STATE,
    STOPPING,
    SWITCH_RESETS,
    SWITCH_TRIPS,
    SWITCHED,
    TIME,
    TOLD_TO_STOP,
    TORQUE_LIMIT,
    Memory,
)
from labkit.engine.network import PUMP, SHUT_IN, SPEED, Floats, Plant
from labkit.engine.signals import level_signal, loop_closed, next_report, note, settle_sensors

RESTS_BELOW: Final = 0.5
"""The drive gives up below this share of the power it needs to start (common practice)."""

CHECK: Final = 0
SWITCH: Final = 1
TORQUE: Final = 2
WATER: Final = 3
WATCHED: Final = 4
"""How many signals are watched for crossing zero from below; those of level sensors come after."""
STICKS: Final = 1e-8
"""Head past balance at which the check valve moves [m]; rounding alone must not rattle it."""


@compiled
def is_told_to_stop(plant: Plant, memory: Memory) -> bool:
    """Whether the loop tells the drive to stop."""
    return bool((memory.whole[CONTACT] == 1) == plant.stops_when_closed)


@compiled
def is_turning(state: int) -> bool:
    """Whether the drive turns the pump in this state."""
    return state in (STARTING, RUNNING, STOPPING)


@compiled
def signal(
    plant: Plant, which: int, memory: Memory, h: Floats, V_trough: Floats, source: Floats
) -> float:
    """Return a quantity that is negative until something must happen [m of head].

    `CHECK`: the pump lifts its check valve, or lets it drop. `SWITCH`: pressure past the point
    that the contact waits for. `TORQUE`: head over the torque limit. `WATER`: the pumping level
    past the intake. From `WATCHED` on: the water past the level that each sensor waits for.
    `source` as in `Flows`.
    """
    if which >= WATCHED:
        return level_signal(plant, which - WATCHED, memory, V_trough)
    value = -1.0
    pumping_level = plant.lift + plant.drawdown * source[PUMP]
    if which == CHECK and not plant.is_displacement:
        spare = source[SHUT_IN] - plant.lift - h[0]
        value = (-spare if memory.whole[LIFTED] == 1 else spare) - STICKS
    elif which == SWITCH and not plant.is_plugged:
        head = h[plant.gauge] - plant.nodes[plant.gauge].z
        if memory.whole[SWITCHED] == 1:
            value = plant.p_cut_in / plant.weight - head
        else:
            value = head - plant.p_cut_out / plant.weight
    elif which == TORQUE and is_turning(memory.whole[STATE]):
        value = h[0] + pumping_level - plant.h_torque
    elif which == WATER and is_turning(memory.whole[STATE]):
        value = pumping_level - plant.intake
    return float(value)


@compiled
def _ramp(memory: Memory, state: int, start: float, seconds: float, goal: float) -> None:
    """Enter `state` with the speed cap running from `start` to `goal`, a full turn in `seconds`."""
    memory.whole[STATE] = state
    memory.real[CAP] = start
    if seconds <= 0.0:
        memory.real[CAP], memory.real[CAP_SLOPE] = goal, 0.0
        memory.real[CAP_END] = memory.real[TIME]
        return
    slope = 1.0 / seconds
    memory.real[CAP_SLOPE] = slope if goal > start else -slope
    memory.real[CAP_END] = memory.real[TIME] + abs(goal - start) * seconds


@compiled
def _stand(memory: Memory, state: int) -> None:
    """Enter a state in which the pump does not turn."""
    memory.whole[STATE] = state
    memory.real[CAP], memory.real[CAP_SLOPE], memory.real[CAP_END] = 0.0, 0.0, inf


@compiled
def _flip_switch(plant: Plant, memory: Memory, events: Floats, source: Floats) -> None:
    """Trip or reset the switch if its waited point has been reached; mind the check valve."""
    if signal(plant, CHECK, memory, memory.h, memory.V_trough, source) >= 0.0:
        memory.whole[LIFTED] = 1 - memory.whole[LIFTED]
    if signal(plant, SWITCH, memory, memory.h, memory.V_trough, source) >= 0.0:
        switched = 1 - memory.whole[SWITCHED]
        memory.whole[SWITCHED] = switched
        note(memory, events, SWITCH_TRIPS if switched else SWITCH_RESETS, -1, memory.real[TIME])
        memory.whole[FRESH] = 1


@compiled
def _change_while_turning(
    plant: Plant, memory: Memory, events: Floats, power: float, source: Floats
) -> bool:
    """Let a turning drive change its state once; say whether it did."""
    state, now = memory.whole[STATE], memory.real[TIME]
    told = is_told_to_stop(plant, memory)
    for which in (TORQUE, WATER):
        if signal(plant, which, memory, memory.h, memory.V_trough, source) >= 0.0:
            note(memory, events, TORQUE_LIMIT if which == TORQUE else LOW_WATER, -1, now)
            note(memory, events, PUMP_STOPS, -1, now)
            _stand(memory, LOCKED)
            memory.real[READY] = inf if which == TORQUE else now + plant.low_water_wait
            return True
    if power < RESTS_BELOW * plant.start_power:
        note(memory, events, PUMP_STOPS, -1, now)
        note(memory, events, DRIVE_RESTS, -1, now)
        _stand(memory, RESTING)
        return True
    if told and state != STOPPING:
        note(memory, events, TOLD_TO_STOP, -1, now)
        _ramp(memory, STOPPING, min(source[SPEED], memory.real[CAP]), plant.ramp_down, 0.0)
        return True
    if now >= memory.real[CAP_END]:
        if state == STOPPING:
            note(memory, events, PUMP_STOPS, -1, now)
            _stand(memory, HELD)
            memory.real[READY] = now + plant.restart_delay
        else:
            memory.whole[STATE] = RUNNING
            memory.real[CAP], memory.real[CAP_SLOPE], memory.real[CAP_END] = 1.0, 0.0, inf
        return True
    return False


@compiled
def _change_while_standing(plant: Plant, memory: Memory, events: Floats, power: float) -> bool:
    """Let a standing drive change its state once; say whether it did."""
    state, now = memory.whole[STATE], memory.real[TIME]
    told = is_told_to_stop(plant, memory)
    if state == RESTING:
        if power < plant.start_power:
            return False
        note(memory, events, DRIVE_WAKES, -1, now)
        _stand(memory, HELD)
        return True
    if power < RESTS_BELOW * plant.start_power:
        note(memory, events, DRIVE_RESTS, -1, now)
        if state == LOCKED:
            memory.real[READY] = now
        _stand(memory, RESTING)
        return True
    if state == LOCKED and now >= memory.real[READY]:
        _stand(memory, HELD)
        return True
    if state == HELD and not told and now >= memory.real[READY]:
        note(memory, events, PUMP_STARTS, -1, now)
        _ramp(memory, STARTING, 0.0, plant.soft_start, 1.0)
        return True
    return False


@compiled
def settle(plant: Plant, memory: Memory, events: Floats, power: float, source: Floats) -> None:
    """Bring switch, sensors and drive to rest at this instant, one change after another."""
    _flip_switch(plant, memory, events, source)
    settle_sensors(plant, memory, events)
    memory.whole[CONTACT] = 1 if loop_closed(plant, memory) else 0
    for _ in range(8):
        if is_turning(memory.whole[STATE]):
            changed = _change_while_turning(plant, memory, events, power, source)
        else:
            changed = _change_while_standing(plant, memory, events, power)
        if not changed:
            return
        memory.whole[FRESH] = 1


@compiled
def next_change(plant: Plant, memory: Memory, power: float, slope: float) -> float:
    """When [s] the drive changes by the clock or the sun alone, as far as can be told now."""
    state, now = memory.whole[STATE], memory.real[TIME]
    change = min(memory.real[CAP_END], next_report(plant, memory))
    if state == LOCKED or (state == HELD and not is_told_to_stop(plant, memory)):
        change = min(change, memory.real[READY])
    point = plant.start_power if state == RESTING else RESTS_BELOW * plant.start_power
    if slope != 0.0 and (power < point) == (state == RESTING):
        wait = (point - power) / slope
        if wait >= 0.0:
            change = min(change, now + wait + 1e-6)
    return float(change)
