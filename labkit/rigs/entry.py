"""A visit's log: what was done, heard and read, and how the line truly was."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

if TYPE_CHECKING:
    from labkit.drills.scene import Value


@attrs.frozen(kw_only=True)
class Notice:
    """Something heard meanwhile: its kind, and what the gauge showed at that moment."""

    kind: str
    gauge: Value


@attrs.frozen(kw_only=True)
class Truth:
    """How the line really was when something had been done; hidden from the learner.

    Attributes
    ----------
    pressure, peak : float
        At the end, and the highest since the switch tripped [Pa gauge]; `peak` is 0 if it did not.
    drift : float
        By how much the pressure moved in the last half minute [Pa].
    sun : float
        On the array [W/m2].
    is_pumping, has_rested : bool
        Whether the pump turned at the end; whether it stood all the while.
    open_floats : frozenset of str
        Troughs whose float valve was open at the end.
    """

    pressure: float
    peak: float
    drift: float
    sun: float
    is_pumping: bool
    has_rested: bool
    open_floats: frozenset[str]


@attrs.frozen(kw_only=True)
class Entry:
    """A line of the log.

    Attributes
    ----------
    key : str
        What was done: one of `PRICES`.
    where : str
        The trough, or the reading that was written down; may be empty.
    amount : float
        Quarter turns, minutes, pressure [Pa] or sun [W/m2]; else 0.
    state : str
        Where a float, the cloth, the controller or the pair is now; else empty.
    heard : tuple of Notice
        Clicks of the switch, starts and stops meanwhile, and the highest after a stop.
    values : tuple of Value
        What was read at the end.
    minutes : float
        Spent by then.
    truth : Truth or None
        How the line was; none where no time passed.
    slips : tuple of str
        What was done against the rules of safety or of the trade.
    """

    key: str
    where: str = ""
    amount: float = 0.0
    state: str = ""
    heard: tuple[Notice, ...] = ()
    values: tuple[Value, ...] = ()
    minutes: float = 0.0
    truth: Truth | None = None
    slips: tuple[str, ...] = ()
