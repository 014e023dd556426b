"""Units at the door: people write quantities, the inside works with plain SI numbers.

`quantity` reads, `read_argument` for a function that is handed one, `written` writes, `si` gives
the plain number, `flow_at` and `leak_size` read pairs, and `displayed`, `unit_label` and `typed`
turn results into the units that people read.
"""

from labkit.units.display import UNIT_SYSTEMS, Unit, displayed, typed, unit_label
from labkit.units.flows import NO_LEAK, FlowAt, Hole, LeakSize, flow_at, leak_size
from labkit.units.parse import Typed, plain, plain_number, quantity, read_argument, si, written
from labkit.units.registry import UNITS, WORDS, Quantity, ureg
