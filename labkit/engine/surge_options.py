"""What may be asked of a surge: the words that are known, and the limits of numbers."""

from __future__ import annotations

from typing import Final

import attrs

from labkit.engine.waves import BY_AREA, BY_FLOW, BY_LEVEL
from labkit.errors import SiteError
from labkit.units import Quantity, read_argument, si

VALVE: Final = "valve shuts"
TRIP: Final = "pump trips"
FAILURE: Final = "power fails"
EVENTS: Final = (VALVE, TRIP, FAILURE)
"""What can set off a wave."""

BY_THE_FLOAT: Final = "as the trough fills"
CLOSINGS: Final = {
    "even area": (BY_AREA, 1.0),
    "quick at the end": (BY_AREA, 0.5),
    "slow at the end": (BY_AREA, 2.0),
    "even flow": (BY_FLOW, 1.0),
    BY_THE_FLOAT: (BY_LEVEL, 1.0),
}
"""How a float valve closes: what falls with time, and the exponent E of ``(1 - t / T)**E`` (Wylie &
Streeter, from memory; one over E of 0.5 and 2 stand for the two ways to be uneven)."""

HEEDS: Final = "heeds the switch"
DRIVES: Final = ("runs on", HEEDS)
"""What the drive does when the switch trips."""

LONGEST: Final = 600.0
"""Longest time that is computed [s]."""
_CLOSING: Final = "0.5 s"
_SLOWEST_CHECK: Final = 10.0
_FEWEST: Final = 4
_FINEST: Final = 2000


@attrs.frozen(kw_only=True)
class SurgeOptions:
    """What was asked for, times in seconds."""

    # one word each of `EVENTS`, `CLOSINGS`, `DRIVES`
    event: str
    closing: str
    drive: str
    trough: str  # whose valve shuts, or who is watched
    opened: frozenset[str]  # troughs whose float valve is open at the start
    # of the float valve, of the pump without power, of the check valve [s]
    closing_time: float
    coast: float
    check_delay: float
    duration: float | None  # how long to look [s]
    reaches: int | None  # how fine to cut

    @property
    def shuts(self) -> bool:
        """Whether a float valve shuts, rather than the pump stops."""
        return self.event == VALVE

    @property
    def fills(self) -> bool:
        """Whether the float valve closes as its trough fills."""
        return self.closing == BY_THE_FLOAT


def read_wish(
    troughs: tuple[str, ...],
    *,
    event: str,
    closing: str,
    drive: str,
    trough: str | None,
    opened: frozenset[str],
    closing_time: str | Quantity | None,
    coast: str | Quantity,
    check_delay: str | Quantity,
    duration: str | Quantity | None,
    reaches: int | None,
) -> SurgeOptions:
    """Read what was asked for of a line with `troughs`, or say what is wrong with it."""
    wish = SurgeOptions(
        event=_one_of("event", event, EVENTS),
        closing=_one_of("closing", closing, tuple(CLOSINGS)),
        drive=_one_of("drive", drive, DRIVES),
        trough=troughs[0] if trough is None else trough,
        opened=opened,
        closing_time=_asked("closing_time", closing_time or _CLOSING, high=LONGEST),
        coast=_asked("coast", coast, high=LONGEST),
        check_delay=_asked("check_valve_delay", check_delay, high=_SLOWEST_CHECK),
        duration=None if duration is None else _asked("duration", duration, high=LONGEST),
        reaches=reaches,
    )
    names = ", ".join(troughs)
    for what, asked in (("trough", {wish.trough}), ("open_troughs", opened)):
        if unknown := sorted(asked - set(troughs)):
            raise SiteError("run", what, unknown[0], f"the troughs are {names}")
    if wish.shuts and wish.trough not in opened:
        rule = f"it must hold {wish.trough}, whose valve shuts"
        raise SiteError("run", "open_troughs", ", ".join(sorted(opened)) or "none", rule)
    if wish.fills and closing_time is not None:
        rule = "leave it out: the trough's own water sets the time"
        raise SiteError("run", "closing_time", closing_time, rule)
    if reaches is not None and not _FEWEST <= reaches <= _FINEST:
        rule = f"it must be a whole number from {_FEWEST} to {_FINEST}"
        raise SiteError("run", "reaches", reaches, rule)
    return wish


def _asked(what: str, typed: str | Quantity, *, high: float) -> float:
    """Read a time [s] of at most `high`."""
    seconds = si(read_argument(typed, "s", part="run", field=what))
    if not 0.0 <= seconds <= high:
        raise SiteError("run", what, typed, f"it must be from 0 s to {high:g} s")
    return seconds


def _one_of(what: str, typed: str, words: tuple[str, ...]) -> str:
    """Hold a word to a closed list."""
    if typed not in words:
        raise SiteError("run", what, typed, f"write {', '.join(map(repr, words))}")
    return typed
