"""What happened: the result of a run, its measures and its verdict."""

from labkit.trace.measures import Measures
from labkit.trace.record import Event, Flag, Moment, Trace
from labkit.trace.states import DriveState
from labkit.trace.verdict import VERDICTS
