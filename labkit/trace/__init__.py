"""What happened: the result of a run, its measures and its verdict."""

from labkit.trace.flags import Flag
from labkit.trace.measures import Measures
from labkit.trace.record import Event, Moment, Trace
from labkit.trace.states import DriveState
from labkit.trace.verdict import VERDICTS

__all__ = ["VERDICTS", "DriveState", "Event", "Flag", "Measures", "Moment", "Trace"]
