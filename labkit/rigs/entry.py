"""A visit's log: what was done, heard and read, and how the line truly was."""

import attrs

from labkit.drills.scene import Value


@attrs.frozen(kw_only=True)
class Notice:
    """Something heard meanwhile: its kind, and what the gauge showed at that moment."""

    kind: str
    gauge: Value


@attrs.frozen(kw_only=True)
class Truth:
    """How the line really was when something had been done; hidden from the learner."""

    # at the end, and the highest since the switch tripped [Pa gauge]; `peak` is 0 if it did not
    pressure: float
    peak: float
    drift: float  # by how much the pressure moved in the last half minute [Pa]
    sun: float  # on the array [W/m2]
    # whether the pump turned at the end; whether it stood all the while
    is_pumping: bool
    has_rested: bool
    open_floats: frozenset[str]  # troughs whose float valve was open at the end


@attrs.frozen(kw_only=True)
class Entry:
    """A line of the log."""

    key: str  # what was done: one of `PRICES`
    where: str = ""  # the trough, or the reading that was written down; may be empty
    amount: float = 0.0  # quarter turns, minutes, pressure [Pa] or sun [W/m2]; else 0
    state: str = ""  # where a float, the cloth, the controller or the pair is now; else empty
    # clicks of the switch, starts and stops meanwhile, and the highest after a stop
    heard: tuple[Notice, ...] = ()
    values: tuple[Value, ...] = ()  # what was read at the end
    minutes: float = 0.0  # spent by then
    truth: Truth | None = None  # how the line was; none where no time passed
    slips: tuple[str, ...] = ()  # what was done against the rules of safety or of the trade
