"""The commissioning rig: a site visit on a simulated new line, worked in its own time.

A `Rig` is frozen; each thing done gives a new one, an hour or a minute later. What is read is what
an instrument on the simulated line would show then. `hand_over` judges the visit: readings,
procedure, outcome and minutes apart.
"""

from labkit.rigs.coming import done_over, start_rig
from labkit.rigs.entry import Entry, Notice
from labkit.rigs.handing import Handover, hand_over, two_days
from labkit.rigs.readings import Reading, is_proved, readings
from labkit.rigs.rig import PRICES, SHEET, Rig
from labkit.rigs.screw import Screw
from labkit.rigs.stuck import Hint, hint
from labkit.rigs.timeline import folds, marks, visit

__all__ = [
    "PRICES",
    "SHEET",
    "Entry",
    "Handover",
    "Hint",
    "Notice",
    "Reading",
    "Rig",
    "Screw",
    "done_over",
    "folds",
    "hand_over",
    "hint",
    "is_proved",
    "marks",
    "readings",
    "start_rig",
    "two_days",
    "visit",
]
