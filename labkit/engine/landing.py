"""Landing: a step cut short so that it ends where something must happen."""

from math import sqrt
from typing import Final

from labkit.compiled import compiled
from labkit.engine.drive import CHECK, WATCHED, is_turning, signal
from labkit.engine.leap import go
from labkit.engine.memory import LIFTED, STATE, Memory
from labkit.engine.network import Floats, Plant
from labkit.engine.step import GAMMA, Drive, Step, inputs_at
from labkit.physics.pump import idle_speed

_CLOSE: Final = 9e-7
"""How far past its point a step may end, as a share of the gap between a contact's two points."""
_AIMS: Final = 8
"""Rounds of aiming before a step is taken."""
_CHECK_CLOSE: Final = 0.05
"""The same for the check valve, as a share of the error allowed in a step."""


@compiled
def _until_lift(
    plant: Plant, memory: Memory, step: Step, drive: Drive, drinking: Floats, elapsed: float
) -> float:
    """Guess the head by which the pump will lift its check valve a while on [m]."""
    inputs = inputs_at(drive, drinking, elapsed)
    s = idle_speed(inputs.power, inputs.cap, plant.centrifugal)
    head = memory.h[0] + elapsed * (step.rate[0] + elapsed * step.bend[0])
    return float(s * s * plant.centrifugal.shut_off_head - plant.lift - head)


@compiled
def aim(
    plant: Plant, memory: Memory, step: Step, drive: Drive, drinking: Floats, dt: float
) -> float:
    """Shorten a step of `dt` [s] to end about where the pump will lift its check valve.

    Only a guess: it spares a step far beyond, where another law holds, and a slow landing.
    """
    if plant.is_displacement or memory.whole[LIFTED] == 1 or not is_turning(memory.whole[STATE]):
        return dt
    near, far = 0.0, dt
    low = _until_lift(plant, memory, step, drive, drinking, near)
    high = _until_lift(plant, memory, step, drive, drinking, far)
    if not low < 0.0 <= high:
        return dt
    for _ in range(_AIMS):
        trial = near + (far - near) * min(max(-low / (high - low), 0.05), 0.95)
        value = _until_lift(plant, memory, step, drive, drinking, trial)
        if value < 0.0:
            near, low = trial, value
        else:
            far, high = trial, value
    return far if far > 0.02 * dt else dt


@compiled
def _crossing(low: float, middle: float, high: float) -> float:
    """Where, as a share of a step, the parabola through its three stages crosses zero.

    `low` < 0 <= `high`, or a little less where a landing fell short; all of it if they are equal.
    """
    early = (middle - low) / GAMMA
    bend = (high - low - early) / (1.0 - GAMMA)
    rate = early - GAMMA * bend
    inside = rate * rate - 4.0 * bend * low
    if not inside > 0.0:
        return -low / (high - low) if high > low else 1.0
    root = sqrt(inside)
    if rate > 0.0:
        return -2.0 * low / (rate + root)
    return (root - rate) / (2.0 * bend)


@compiled
def _close(plant: Plant, which: int, tolerance: float) -> float:
    """How far past its point signal `which` may be where a step ends [m]."""
    if which >= WATCHED:
        sensor = plant.sensors[which - WATCHED]
        return float(_CLOSE * (sensor.V_stop - sensor.V_start) / plant.troughs[sensor.trough].area)
    differential = (plant.p_cut_out - plant.p_cut_in) / plant.weight
    return float(differential * (_CHECK_CLOSE * tolerance if which == CHECK else _CLOSE))


@compiled
def land(
    plant: Plant,
    memory: Memory,
    step: Step,
    drive: Drive,
    drinking: Floats,
    dt: float,
    error: float,
    tolerance: float,
    which: int,
) -> tuple[float, float]:
    """Shorten a step so that it ends just past the point where signal `which` crosses zero.

    The step is taken again at each try, so the point found is the step's own and not an
    interpolant's: twice where the parabola through its stages crosses, then by the secant, kept
    in its bracket. Gives the step's length and its error; the step itself is left in `step`.
    """
    near, far, at = 0.0, dt, dt
    low = signal(plant, which, memory, memory.h, memory.V_trough, step.start.source)
    value = signal(plant, which, memory, step.h, step.V_trough, step.finish.source)
    close = _close(plant, which, tolerance)
    aim = 0.5 * close
    before, value_before = 0.0, low
    for tries in range(80):
        if 0.0 <= value <= close:
            break
        if tries < 2:
            middle = signal(plant, which, memory, step.h_middle, step.V_middle, step.middle.source)
            trial = at * _crossing(low - aim, middle - aim, value - aim)
        else:
            trial = at - (value - aim) * (at - before) / (value - value_before)
        if not near < trial < far or tries % 8 == 7:  # now and then a safe half
            trial = 0.5 * (near + far)
        if far - near <= 1e-12 * dt:
            trial = far
        before, value_before, at = at, value, trial
        error = go(
            plant, step, memory.h, memory.held, memory.V_trough, drive, drinking, at, tolerance
        )
        value = signal(plant, which, memory, step.h, step.V_trough, step.finish.source)
        if at == far:
            break
        if value >= 0.0:
            far = at
        else:
            near = at
    return at, error
