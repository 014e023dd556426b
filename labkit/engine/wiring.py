"""Level sensors and radio links by themselves: contacts, and which reports get lost.

A radio sends report number k at ``k * every`` from the start of the run; it is heard `delay` later
or never. Whether it gets lost hangs on a key and on k alone, so any report can be asked about
at any time, in any order, and answers the same.
"""

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from labkit.compiled import compiled

SENSOR: Final = np.dtype(
    [(name, "i8") for name in ("trough", "closes", "fixed", "radio", "dead", "hush", "key")]
    + [(name, "f8") for name in ("V_stop", "V_start", "every", "delay", "loss", "silent_after")]
)
"""A level sensor and its way to the drive: its trough, and whether its contact `closes` when full.

`fixed` is -1 for a contact that works, else what it always reads (0 open, 1 closed), a broken pair
of wires included. `radio` and `dead` are 0 or 1, `hush` is what the relay reads while the link is
silent, `key` sets which reports get lost. `V_stop` and `V_start` are the volumes at which it says
full and room [m3]; times [s]; `loss` is a share.
"""

SENSED: Final = np.dtype(
    [(name, "i8") for name in ("full", "relay", "latch", "silent", "number")]
    + [(name, "f8") for name in ("heard", "arrives")]
)
"""What is remembered of a sensor: whether it says `full`, and how the `relay` at the drive reads.

Of its radio: what the report under way says (`latch`) and when it `arrives` (infinite if there is
none), the `number` of the next report that will be heard, when one was last `heard` [s], and
whether the link counts as `silent`.
"""

NEVER: Final = 1 << 52
"""Number of a report that is not heard before the end of any run."""

_MOST_REPORTS: Final = 400 * 86_400
_LOW: Final = 0xFFFFFFFF


@compiled
def scrambled(word: int) -> int:
    """Scatter a number over the 32-bit numbers, so that neighbours are nothing alike.

    Rounds of shift, exclusive or and multiplication, as the common mixing functions have them (from
    memory); the factors are odd and below 2**31, so that no product runs over 63 bits.
    """
    x = int(word) & _LOW
    x = ((x ^ (x >> 16)) * 0x7FEB352D) & _LOW
    x = ((x ^ (x >> 15)) * 0x2C1B3C6D) & _LOW
    x = ((x ^ (x >> 12)) * 0x297A2D39) & _LOW
    return x ^ (x >> 15)


@compiled
def is_lost(sensor: Any, number: int) -> bool:
    """Whether a report gets lost."""
    if sensor.loss <= 0.0:
        return False
    return bool(scrambled(scrambled(number) ^ sensor.key) < sensor.loss * (_LOW + 1.0))


@compiled
def next_heard(sensor: Any, number: int) -> int:
    """Return the first report from `number` on that does not get lost."""
    if sensor.dead == 1 or sensor.loss >= 1.0:
        return NEVER
    while is_lost(sensor, number):
        number += 1
        if number > _MOST_REPORTS:
            return NEVER
    return number


@compiled
def sent(sensor: Any, number: int) -> float:
    """When a report goes out [s]."""
    return float(number * sensor.every)


@compiled
def arrival(sensor: Any, number: int) -> float:
    """When a report is heard [s]."""
    return sent(sensor, number) + float(sensor.delay)


@compiled
def falls_silent(sensor: Any, heard: float) -> float:
    """When a link last heard at a time falls silent [s], if nothing is heard before."""
    return heard + float(sensor.silent_after)


@compiled
def contact(sensor: Any, full: int) -> int:
    """How the contact reads, 0 open or 1 closed; of a wired one, at the drive's end of the pair."""
    if sensor.fixed >= 0:
        return int(sensor.fixed)
    return 1 if full == sensor.closes else 0


@compiled
def quiet_spells(sensors: Any, which: int, duration: float, spells: NDArray[np.float64]) -> int:
    """Fill `spells` (any, 2) with when a link falls silent and is heard again [s].

    Gives their count, which may be more than there is room for.
    """
    sensor = sensors[which]
    count, heard, number = 0, 0.0, 1
    while heard < duration:
        number = next_heard(sensor, number)
        arrives = arrival(sensor, number)
        if arrives > falls_silent(sensor, heard):
            if count < spells.shape[0]:
                spells[count, 0], spells[count, 1] = falls_silent(sensor, heard), arrives
            count += 1
        heard = arrives
        number += 1
    return count
