"""What the loop remembers between steps, and the codes it writes.

Kept as flat arrays of numbers so that the compiled loop can stop when its room for rows is full
and go on later exactly where it was.
"""

from typing import Final, NamedTuple

import numpy as np

from labkit.engine.network import Floats, Integers, Records
from labkit.engine.wiring import SENSED

# Drive states.
RESTING: Final = 0
"""No sun to speak of."""
STARTING: Final = 1
"""Speed cap climbing (soft start)."""
RUNNING: Final = 2
"""As fast as the sun allows."""
STOPPING: Final = 3
"""Told to stop; speed cap falling, still pumping."""
HELD: Final = 4
"""Told to stop, or waiting out the restart delay."""
LOCKED: Final = 5
"""Stopped by a safety: low water, for a while, or the torque limit, until the sun has gone."""

# Places in `Memory.real`.
TIME: Final = 0
STEP: Final = 1
CAP: Final = 2
CAP_SLOPE: Final = 3
CAP_END: Final = 4
READY: Final = 5

# Places in `Memory.whole`.
STATE: Final = 0
SWITCHED: Final = 1
SEGMENT: Final = 2
FRESH: Final = 3
ROWS: Final = 4
EVENTS: Final = 5
SUCTION: Final = 6
LIFTED: Final = 7
CONTACT: Final = 8
STARTED: Final = 9

# Places in `Memory.totals` [m3].
PUMPED: Final = 0
DELIVERED: Final = 1
LEAKED: Final = 2
RELIEVED: Final = 3
RETURNED: Final = 4
DRUNK: Final = 5
OVERFLOWED: Final = 6
ASKED: Final = 7
EVAPORATED: Final = 8

# Bits of `Memory.seen`, one integer a trough.
AIR: Final = 8
"""Its open valve lets air into the pipe, or has, and the air has not been driven out since."""
OPEN: Final = 1
EMPTY: Final = 2
OVER: Final = 4

# Kinds of events.
PUMP_STARTS: Final = 0
PUMP_STOPS: Final = 1
SWITCH_TRIPS: Final = 2
SWITCH_RESETS: Final = 3
FLOAT_SHUTS: Final = 4
FLOAT_OPENS: Final = 5
DRIVE_RESTS: Final = 6
DRIVE_WAKES: Final = 7
LOW_WATER: Final = 8
TORQUE_LIMIT: Final = 9
TROUGH_EMPTY: Final = 10
OVERFLOW: Final = 11
SUCTION_SEEN: Final = 12
TOLD_TO_STOP: Final = 13
SAYS_FULL: Final = 14
SAYS_ROOM: Final = 15
RADIO_SILENT: Final = 16
RADIO_HEARD: Final = 17

EVENT_WORDS: Final = (
    "pump starts",
    "pump stops",
    "switch trips",
    "switch resets",
    "float shuts",
    "float opens",
    "drive rests",
    "drive wakes",
    "low water",
    "torque limit",
    "trough empty",
    "trough overflows",
    "suction",
    "drive told to stop",
    "sensor says full",
    "sensor says room",
    "radio falls silent",
    "radio is heard again",
)
"""What each kind of event is called."""

# Columns of a row, before the blocks of nodes and troughs.
ROW: Final = (
    "time",
    "power",
    "speed",
    "pump_flow",
    "returned_flow",
    "relief_flow",
    "leak_flow",
    "tank_water",
    "tripped",
    "drive_state",
    "contact",
)
"""Names of the leading columns; then heads (n), and volume, inflow, opening, drunk (m each)."""


class Inputs(NamedTuple):
    """What the run is given: breaks `time` (k,), shaft `power` (k,) [W], `drinking` (k, m) [m3/s].

    Power runs straight between breaks; drinking stays until the next break.
    """

    time: Floats
    power: Floats
    drinking: Floats


class Memory(NamedTuple):
    """All that the loop remembers; see the places named above. `seen` is (m,) bits.

    `q` (n,) [m3/s] is the flow along the run that ends at each node, `fastest` the most it has been
    either way.

    `sensors` is a record for each level sensor, see `labkit.engine.wiring.SENSED`. `first_step` [s]
    says how long a first step went well after the drive came into a state, with the check valve
    down (even places) or lifted (odd): a cycling line repeats itself.
    """

    h: Floats
    held: Floats
    q: Floats
    fastest: Floats
    V_trough: Floats
    real: Floats
    whole: Integers
    totals: Floats
    seen: Integers
    sensors: Records
    first_step: Floats


FIRST_STEP: Final = 1.0
"""Length of the first step after a change of a kind not met before [s]."""


def fresh_memory(h: Floats, V_trough: Floats, sensors: int = 0) -> Memory:
    """Remember a line at rest with heads `h` (n,) [m] and troughs holding `V_trough` (m,) [m3].

    `sensors` is how many level sensors there are.
    """
    return Memory(
        h=h.copy(),
        held=np.zeros_like(h),
        q=np.zeros_like(h),
        fastest=np.zeros_like(h),
        V_trough=V_trough.copy(),
        real=np.array([0.0, 1.0, 0.0, 0.0, np.inf, 0.0]),
        whole=np.zeros(10, dtype=np.int64),
        totals=np.zeros(9),
        seen=np.zeros(V_trough.size, dtype=np.int64),
        sensors=np.zeros(sensors, dtype=SENSED).view(np.recarray),
        first_step=np.full(12, FIRST_STEP),
    )
