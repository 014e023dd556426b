"""The commissioning rig: a new line, its screw, its floats and its gauge, worked in simulated time.

A `Rig` is frozen; each thing done gives a new one, an hour or a minute later. What is read is what
an instrument on the simulated line would show then.
"""

from labkit.rigs.handing import Handover, hand_over, two_days
from labkit.rigs.rig import CLOTH, PRICES, Entry, Notice, Rig, start_rig
from labkit.rigs.screw import Screw
from labkit.rigs.stuck import Hint, hint

__all__ = [
    "CLOTH",
    "PRICES",
    "Entry",
    "Handover",
    "Hint",
    "Notice",
    "Rig",
    "Screw",
    "hand_over",
    "hint",
    "start_rig",
    "two_days",
]
