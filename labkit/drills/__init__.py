"""Drills: a hidden fault, what people say of it, field tests by simulation, and a marking.

The simulated clock moves on with every task. What is read is what an instrument on the line, as it
stands then, would show; no reading is written down beforehand.
"""

from labkit.drills.doing import Task
from labkit.drills.drill import Drill, Entry, draw_drill
from labkit.drills.marking import UNPLACED, Marking, Proof, Settling
from labkit.drills.record import PRICES, Price, Recorded, commissioning_record
from labkit.drills.scene import Value
from labkit.drills.signature import ANYWHERE, Placed, pieces, readings, scene_of, telling
from labkit.drills.tasks import TASKS, choices

__all__ = [
    "ANYWHERE",
    "PRICES",
    "TASKS",
    "UNPLACED",
    "Drill",
    "Entry",
    "Marking",
    "Placed",
    "Price",
    "Proof",
    "Recorded",
    "Settling",
    "Task",
    "Value",
    "choices",
    "commissioning_record",
    "draw_drill",
    "pieces",
    "readings",
    "scene_of",
    "telling",
]
