"""Drills: a hidden fault, what people say of it, field tests by simulation, and a marking.

The simulated clock moves on with every task. What is read is what an instrument on the line, as it
stands then, would show; no reading is written down beforehand.
"""

from labkit.drills.doing import Task
from labkit.drills.drill import Act, Debrief, Drill, Entry, draw_drill, replayed
from labkit.drills.marking import UNPLACED, Judged, Marking, Proof, Settling
from labkit.drills.mending import CYCLE, PAR, needed, steps
from labkit.drills.record import CALLED_BACK, PRICES, Recorded, commissioning_record
from labkit.drills.scene import Value
from labkit.drills.signature import ANYWHERE, Placed, pieces, readings, scene_of, telling
from labkit.drills.tasks import TASKS, choices
from labkit.faults import Price

__all__ = [
    "ANYWHERE",
    "CALLED_BACK",
    "CYCLE",
    "PAR",
    "PRICES",
    "TASKS",
    "UNPLACED",
    "Act",
    "Debrief",
    "Drill",
    "Entry",
    "Judged",
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
    "needed",
    "pieces",
    "readings",
    "replayed",
    "scene_of",
    "steps",
    "telling",
]
