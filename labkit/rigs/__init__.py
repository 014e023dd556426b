"""The commissioning rig: a site visit on a simulated new line, worked in its own time.

A `Rig` is frozen; each thing done gives a new one, an hour or a minute later. What is read is what
an instrument on the simulated line would show then. `hand_over` judges the visit: readings,
procedure, outcome and minutes apart.

What can hurt someone is not refused but goes on record as a slip: a refusal teaches the button, not
the danger. The family draws no line whose setting the switch in its hand can't reach, and a visit
may go on another day: a screw that ends before the answer fails whoever works with care. Haze is
cloths over whole strings, since panels covered singly lose power otherwise than in proportion.

What it leaves out
------------------
* Pressure that the check valve holds is told from the pump's own by a steady state at that sun.
* A static reading counts down to 5 psi under its column: water runs on as the pump stops, and no
  air comes in by the open float, which on a real line would bring the gauge to within a tenth.
"""

from labkit.rigs.coming import done_over, start_rig
from labkit.rigs.entry import Entry
from labkit.rigs.hints import Hint, hint
from labkit.rigs.readings import Reading, is_proved, readings
from labkit.rigs.rig import PRICES, SHEET, Rig
from labkit.rigs.scoring import Handover, hand_over, two_days
from labkit.rigs.screw import Screw
from labkit.rigs.timeline import folds, marks, visit
