"""Round numbers for axes, and labels moved apart: numbers only, nothing is drawn here."""

from collections.abc import Sequence
from functools import lru_cache
from math import ceil, floor, log10
from typing import Final

import numpy as np

from labkit.language import say_hour
from labkit.text.shared import WORDS
from labkit.units.customary import HOUR, MINUTE

_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
_TIME_STEPS: Final = (1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0)
_HOURS: Final = (1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 168.0, 720.0, 2400.0)
_MOST_HOURS: Final = 6
_MOST_TICKS: Final = 8
_CLOCK_FROM: Final = 4.0 * HOUR


@lru_cache(maxsize=256)  # axes stay as they are while a slider is moved
def nice_step(span: float, *, count: int) -> float:
    """Return the round step that cuts a span into about `count` parts."""
    rough = span / count
    power = 10.0 ** floor(log10(rough))
    return next(step * power for step in _STEPS if step * power >= 0.999 * rough)


def plain_tick(value: float, _: float = 0.0) -> str:
    """Write a tick without useless zeros and with a true minus sign."""
    return f"{round(value, 9) + 0.0:,.10g}".replace("-", "\N{MINUS SIGN}")


def spread(wanted: Sequence[float], *, gap: float, low: float, high: float) -> list[float]:
    """Move labels apart as little as needed, within the room that they have [dots]."""
    order = np.argsort(wanted, kind="stable")
    places = np.clip(np.asarray(wanted, dtype=float)[order], low, high)
    for _ in range(60):
        for i in range(1, len(places)):
            short = gap - (places[i] - places[i - 1])
            if short > 0.0:
                places[i - 1] -= short / 2.0
                places[i] += short / 2.0
        places = np.clip(places, low, high)
    placed = np.empty_like(places)
    placed[order] = places
    return [float(place) for place in placed]


@lru_cache(maxsize=256)
def time_ticks(
    duration: float, clock: float, system: str
) -> tuple[tuple[float, ...], tuple[str, ...], str]:
    """Return round ticks for a time axis: where they stand [min], what they say, the axis's name.

    A run longer than four hours is ticked by the time of day, from the `clock` at its start [s].
    """
    if duration <= _CLOCK_FROM:
        size, unit = (1.0, "s") if duration < 3.0 * MINUTE else (MINUTE, "min")
        step = nice_time_step(duration / size)
        counts = np.arange(0.0, duration / size + 1e-6, step)
        name = WORDS["time title"].format(unit=unit)
        places = tuple(float(n) * size / MINUTE for n in counts)
        return places, tuple(f"{n:g}" for n in counts), name
    step = next(hours for hours in _HOURS if hours * HOUR * _MOST_HOURS >= duration) * HOUR
    first = -(-clock // step) * step
    times = np.arange(first, clock + duration + 1.0, step)
    places = tuple((float(time) - clock) / MINUTE for time in times)
    said = tuple(say_hour(float(time), system) for time in times)
    return places, said, WORDS["clock title"]


def nice_time_step(span: float) -> float:
    """Return the round step in seconds or minutes for an axis of that length."""
    return next(step for step in _TIME_STEPS if step * _MOST_TICKS >= span)


@lru_cache(maxsize=256)
def round_ticks(low: float, high: float, *, step: float) -> tuple[tuple[float, str], ...]:
    """Return the multiples of a step between two ends, with words."""
    steps = np.arange(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)
    return tuple((at, plain_tick(at)) for at in (steps * step).tolist())


@lru_cache(maxsize=256)
def round_top(top: float, *, count: int) -> tuple[float, tuple[tuple[float, str], ...]]:
    """Return the end of an axis from nothing past `top`, and its round ticks with words."""
    step = nice_step(top, count=count)
    end = step * ceil(top / step - 1e-9)
    return end, round_ticks(0.0, end, step=step)
