"""Line packing behind a valve that shuts at once, against the telegraph equation's solution.

With friction in proportion to the flow, as in laminar pipes, a column of water obeys the telegraph
equation, and the pressure at a shut valve is known until the wave is back: with ``k = 16 nu / D**2``

    h(t) - h(0) = (a v / g) exp(-k t) ((1 + 2 k t) I0(k t) + 2 k t I1(k t)),

the inverse of ``sqrt(s + 2 k) / s**1.5``, I0 and I1 being modified Bessel functions (worked by hand;
for small k t it is ``(a v / g) (1 + k t)``, Joukowsky's jump and the gradient that runs on into it).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import pytest

from labkit.physics import GRAVITY
from tests.column import BORE, column

if TYPE_CHECKING:
    from labkit.engine.network import Floats

THICK: Final = 1e-4
"""Viscosity [m2/s] that keeps 1 m/s in the column's bore laminar, Reynolds number 350."""


def bessel(order: int, x: Floats) -> Floats:
    """Modified Bessel function I by its integral ``mean of exp(x cos u) cos(order u)``."""
    u = (np.arange(400) + 0.5) * np.pi / 400
    return np.asarray(np.mean(np.exp(np.multiply.outer(x, np.cos(u))) * np.cos(order * u), axis=-1))


def packed(t: Floats, nu: float) -> Floats:
    """Rise of the head at the valve [m]."""
    kt = 16.0 * nu / BORE**2 * t
    grown = (1.0 + 2.0 * kt) * bessel(0, kt) + 2.0 * kt * bessel(1, kt)
    return np.asarray(400.0 / GRAVITY * np.exp(-kt) * grown)


def risen(reaches: int, nu: float) -> tuple[Floats, Floats]:
    """Times [s] before the wave is back at 3 s, and the rise of the head at the valve by then [m]."""
    run = column(nu=nu, h0=600.0, duration=2.99, reaches=reaches)
    before = (run.time > 0.0) & (run.time < 3.0 - 1e-9)
    return run.time[before], run.head[before] - run.head[0]


@pytest.mark.parametrize("nu", [THICK, 2.0 * THICK])
def test_packing_is_the_telegraph_equation_s(nu: float) -> None:
    """The rise is 41 m at once and goes on to 100 m and more; taken to the limit of many reaches."""
    times, fine = risen(800, nu)
    coarse = risen(400, nu)[1]
    limit = 2.0 * fine[3::4] - coarse[1::2]  # both at an even number of steps

    assert packed(times, nu)[-1] > 100.0
    assert limit == pytest.approx(packed(times[3::4], nu), abs=0.02)


def test_order_of_convergence() -> None:
    """Friction is taken at the old flow, hence of first order: twice the reaches, half the error."""
    errors = []
    for reaches in (50, 100, 200, 400):
        times, rise = risen(reaches, THICK)
        errors.append(float(np.abs(rise - packed(times, THICK)).max()))

    assert -np.diff(np.log2(errors)) == pytest.approx(1.0, abs=0.1)
