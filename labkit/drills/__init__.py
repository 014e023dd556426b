"""Drills: a hidden fault, what people say of it, field tests by simulation, and a marking.

The simulated clock moves on with every task. What is read is what an instrument on the line, as it
stands then, would show; no reading is written down beforehand.

Nothing tells whether a repair was right: the line is tested again, proved and handed back. A name
that is marked at once can be guessed; on site a wrong one is a dug trench. A suspect is ruled out
only past both reading errors, over its sizes and over sampled points of its cycle: what a person
can tell apart, not what the numbers can. A gauge is off by the same within one test, since a needle
that does not move is read as not moving.

Where the pump comes and goes during a test, a bucket catches the mean of a whole cycle and a gauge
is read at both ends of its swing: at one instant they would hang on seconds that nobody knows. So
does the pressure at which a line that short-cycles came to rest, which rules nothing out inside
its swing.

What it leaves out
------------------
* On which run a buried leak lies is not asked, for no test of the box tells it.
* Beside a tank of some 40 gal a slow leak on the well side and one on the line can fall alike in
  the ten minutes that a gauge is watched.
* Hours of a repair are on the bill, not on the clock: the line is met as after its morning.
* The cheapest way to know reads each test as if it came first; a notebook is therefore checked
  against each fault in the very sequence (`marking`). What a fault reads after a test that turned
  something is sampled at some seven moments, and at the ends of the swing that the test left the
  line in. On three troughs the first search takes some fifteen seconds.
* The case sheet on paper does not tell what the line read when it was commissioned; the page does.
"""

from labkit.drills.doing import Task
from labkit.drills.drill import Debrief, Drill, Entry, draw_drill, replayed
from labkit.drills.marking import UNPLACED, Judged, Settling
from labkit.drills.mending import CYCLE, PAR, needed, steps
from labkit.drills.scene import Value
from labkit.drills.signature import (
    CALLED_BACK,
    PRICES,
    Placed,
    commissioning_record,
    distinguishing_tests,
    pieces,
    readings,
    scene_of,
)
from labkit.drills.tasks import TASKS, choices
