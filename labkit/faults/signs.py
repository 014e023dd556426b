"""What people notice of a line in a morning, compared with a usual one.

The limits are a judgement of what somebody on site sees without an instrument.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from labkit.trace import DriveState
from labkit.trace.measures import SHUT, dead_headed, stretches
from labkit.units import si

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from labkit.parts import Trough
    from labkit.trace import Trace

_LACKS: Final = 0.05
"""How much lower than usual the water stands in a trough that anybody calls low [m]."""
_OVER: Final = 60.0
"""How long water stands at the rim where it leaves mud [s]."""
_MORE_STARTS: Final = 3
"""More starts in a morning than usual; by two a herd that drinks otherwise differs as well."""
_LONGER: Final = 1.5
_SLOWER: Final = 1.2
_HUMMING: Final = 900.0
_NEEDLE: Final = 7e3


def lacks_water(trace: Trace, usual: Trace, name: str) -> bool:
    """Whether a trough has clearly less water in the end than usual."""
    return bool(trace.level[name][-1] < usual.level[name][-1] - _LACKS)


def runs_over(trace: Trace, usual: Trace, trough: Trough) -> bool:
    """Whether a trough runs over that does not usually, judged by its level."""

    def at_rim(run: Trace) -> float:
        over: NDArray[np.bool_] = run.level[trough.name] >= si(trough.depth) - 1e-3
        return max(stretches(run, over), default=0.0)

    return at_rim(trace) > _OVER >= at_rim(usual)


def fills_slowly(trace: Trace, usual: Trace, name: str) -> bool:
    """Whether the float of a trough is open for much longer than usual."""
    took, takes = (sum(stretches(run, run.opening[name] >= SHUT)) for run in (trace, usual))
    return took > _SLOWER * takes


def shuts_itself_off(trace: Trace) -> bool:
    """Whether the drive takes the pump off for its own sake."""
    return bool(trace.times("low water") or trace.times("torque limit"))


def starts_more(trace: Trace, usual: Trace) -> bool:
    """Whether the pump comes on clearly more often than usual."""
    return bool(trace.measures().starts >= usual.measures().starts + _MORE_STARTS)


def ran(trace: Trace) -> float:
    """How long the pump turned [s]."""
    return sum(stretches(trace, trace.speed > 0.0))


def runs_on(trace: Trace) -> bool:
    """Whether the pump still runs in the end."""
    return bool(trace.drive_state[-1] == DriveState.RUNNING)


def keeps_running(trace: Trace, usual: Trace) -> bool:
    """Whether the pump still runs in the end, against closed floats or much longer than usual."""
    return runs_on(trace) and (hums(trace) or ran(trace) > _LONGER * ran(usual))


def hums(trace: Trace) -> bool:
    """Whether the pump ran against closed floats for long."""
    return max(stretches(trace, dead_headed(trace)), default=0.0) > _HUMMING


def stops_too_soon(trace: Trace, usual: Trace) -> bool:
    """Whether the pump stops more often than usual though a trough still asks for water."""
    return bool(trace.measures().false_stops > usual.measures().false_stops)


def gauge_stands(trace: Trace, *, is_gauge_stopped: bool) -> bool:
    """Whether the gauge does not move while the pump comes and goes."""
    moved = 0.0 if is_gauge_stopped else float(np.ptp(trace.pressure))
    return moved < _NEEDLE and trace.measures().starts > 0
