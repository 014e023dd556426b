"""Landing: a step cut short so that it ends where something must happen."""

from math import inf, isfinite, nan
from typing import Final

from labkit.compiled import compiled
from labkit.engine.drive import SWITCH, WATCHED, signal
from labkit.engine.memory import SWITCHED, Memory
from labkit.engine.network import Floats, Flows, Plant, held_water
from labkit.engine.step import Drive, Step, take_step

_CLOSE: Final = 1e-6


@compiled
def _signal_slope(plant: Plant, which: int, memory: Memory, h: Floats, flows: Flows) -> float:
    """How fast a level or the switch's pressure passes its point [m/s]; nan for all others."""
    if which >= WATCHED:
        j = which - WATCHED
        k = plant.sensors[j].trough
        climbs = flows.troughs[k].net / plant.troughs[k].area
        return float(-climbs if memory.sensors[j].full == 1 else climbs)
    if which != SWITCH:
        return nan
    g = plant.gauge
    rate = flows.nodes[g].net / held_water(plant, g, h[g])[1]
    return float(-rate if memory.whole[SWITCHED] == 1 else rate)


@compiled
def _cubic_root(low: float, high: float, low_slope: float, high_slope: float, dt: float) -> float:
    """Where, as a share of a step of `dt`, the cubic through both ends and slopes crosses zero.

    `low` < 0 <= `high`; a straight line serves where the slopes are not numbers.
    """
    share = -low / (high - low)
    a, b = dt * low_slope, dt * high_slope
    if not (isfinite(a) and isfinite(b)):
        return share
    lower, upper = 0.0, 1.0
    for _ in range(30):
        u = share
        value = low + u * (
            a + u * (3.0 * (high - low) - 2.0 * a - b + u * (a + b - 2.0 * (high - low)))
        )
        slope = a + u * (
            2.0 * (3.0 * (high - low) - 2.0 * a - b) + u * 3.0 * (a + b - 2.0 * (high - low))
        )
        if value >= 0.0:
            upper = u
        else:
            lower = u
        share = u - value / slope if slope != 0.0 else 0.5 * (lower + upper)
        if not lower < share < upper:
            share = 0.5 * (lower + upper)
        if abs(share - u) < 1e-9:
            break
    return share


@compiled
def land(
    plant: Plant,
    memory: Memory,
    step: Step,
    drive: Drive,
    drinking: Floats,
    dt: float,
    tolerance: float,
    which: int,
) -> tuple[float, float]:
    """Shorten a step so that it ends just past the point where signal `which` crosses zero.

    The step is taken again at each try, so the point found is the step's own and not an
    interpolant's: first where a cubic crosses, then by the secant, kept in its bracket. Gives
    the step's length and its error; the step itself is left in `step`.
    """
    near, far, at = 0.0, dt, dt
    low = signal(plant, which, memory, memory.h, memory.V_trough, step.start.source)
    value = signal(plant, which, memory, step.h, step.V_trough, step.finish.source)
    close = _CLOSE * (value - low)
    aim = 0.5 * close
    trial = dt * _cubic_root(
        low - aim,
        value,
        _signal_slope(plant, which, memory, memory.h, step.start),
        _signal_slope(plant, which, memory, step.h, step.finish),
        dt,
    )
    error = inf
    for tries in range(80):
        if not near < trial < far or tries % 8 == 7:  # now and then a safe half
            trial = 0.5 * (near + far)
        if far - near <= 1e-12 * dt:
            trial = far
        before, value_before, at = at, value, trial
        error = take_step(
            plant, step, memory.h, memory.held, memory.V_trough, drive, drinking, at, tolerance
        )
        value = signal(plant, which, memory, step.h, step.V_trough, step.finish.source)
        if at == far or 0.0 <= value <= close:
            break
        if value >= 0.0:
            far = at
        else:
            near = at
        trial = at - (value - aim) * (at - before) / (value - value_before)
    return at, error
