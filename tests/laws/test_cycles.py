"""How leak and tank set the cycle of a shut line."""

from __future__ import annotations

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from labkit import simulate
from tests.engine.lines import line

leaks = st.floats(0.03, 1.0)
"""Leaks [gpm at 30 psi], up to an eighth of what the pump lifts. A cycle is V / leak and V / (pump -
leak) one after the other, so a leak of more than half the pump's flow would lengthen it again."""


def period(leak: float, tank: float) -> float:
    """Time from start to start [s]."""
    site = line(
        leaks=({"at": "home", "size": f"{leak} gpm at 30 psi"},),
        pressure_tank=None if tank < 0.02 else {"volume": f"{tank} gal", "precharge": "18 psi"},
    )
    trace = simulate(site, "5 hour", sun="1000 W/m^2", tolerance=2e-5)
    starts = np.diff(trace.times("pump starts"))[1:]
    assume(starts.size > 0)
    return float(starts[0])


@given(leak=leaks, more=st.floats(1.02, 3.0), tank=st.floats(0.0, 5.0))
@settings(max_examples=60)
def test_a_bigger_leak_never_lengthens_the_cycle(leak: float, more: float, tank: float) -> None:
    bigger = min(leak * more, 1.0)
    assume(bigger > 1.01 * leak)

    assert period(bigger, tank) < period(leak, tank)


@given(leak=leaks, tank=st.floats(0.0, 5.0), more=st.floats(0.05, 5.0))
@settings(max_examples=60)
def test_a_bigger_tank_never_shortens_the_cycle(leak: float, tank: float, more: float) -> None:
    assert period(leak, tank + more) > period(leak, tank)
