"""A line worked out by hand: the friction by `fluids`, everything else by these few lines.

None of the formulas knows the engine. Water of 55 degF is read off printed tables (999.4 kg/m3;
1.307 and 1.138 mPa s at 10 and 15 degC, straight in the logarithm between), an array's warmth and
power are pvlib's.
"""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Any

import fluids
import pvlib
from scipy.optimize import brentq

from labkit.sitefile import loads
from tests.customary import FOOT, GPM, INCH, PSI

if TYPE_CHECKING:
    from collections.abc import Callable

    import labkit as lab

G, RHO, NU = 9.80665, 999.4, 1.210e-3 / 999.4
WEIGHT = RHO * G
BORE = 1.380 * INCH
"""Of 1 1/4 in SIDR pipe (ASTM D2239)."""

TEXT = """
title = "By hand"
place = { latitude = "35 deg", longitude = "-104 deg", elevation = "0 ft" }
well = { static_level = "60 ft", drawdown = "0.5 ft/gpm", intake_depth = "110 ft" }
array = { rated_power = "5000 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "15 psi", cut_out = "30 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "190 ft"
rated_flow = "7 gpm"
rated_head = "130 ft"
[[trough]]
name = "lane"
volume = "300 gal"
depth = "24 in"
pipe = { from = "manifold", length = "1500 ft", size = "1 1/4 in PE SIDR 15", rise = "0 ft" }
float_valve = { flow = "9 gpm at 20 psi" }
"""
FULL = "1000 W/m^2"


def site(**changes: Any) -> lab.Site:
    return loads(TEXT).changed({name.replace("__", "."): new for name, new in changes.items()})


def lost(Q: float, length: float, bore: float = BORE) -> float:
    """Head lost to friction [m], Colebrook's law or Poiseuille's."""
    v = Q / (pi / 4.0 * bore**2)
    f = fluids.friction_factor(Re=v * bore / NU, eD=1.5e-6 / bore)
    return float(f * length / bore * v * v / (2.0 * G))


def through(Q: float, gpm: float, psi: float) -> float:
    """Head that an opening rated at a pressure takes [m]."""
    return (Q / (gpm * GPM)) ** 2 * psi * PSI / WEIGHT


def pumped(Q: float, *, shut_off: float, gpm: float, rated: float, watts: float = 1e9) -> float:
    """Head of a pump [ft, ft] that turns as fast as its shaft power allows [m]."""
    full = WEIGHT * gpm * GPM * rated * FOOT / 0.45

    def spare(s: float) -> float:
        return float(s**3 * full * (0.55 + 0.45 * Q / (s * gpm * GPM)) - watts)

    s = 1.0 if spare(1.0) <= 0.0 else brentq(spare, 1e-3, 1.0)
    return float(s * s * shut_off - (shut_off - rated) * (Q / (gpm * GPM)) ** 2) * FOOT


def settled(
    needed: Callable[[float], float], *, lift: float = 60.0, shut_off: float = 190.0,
    gpm: float = 7.0, rated: float = 130.0, watts: float = 1e9,
) -> float:  # fmt: skip
    """Flow [m3/s] at which the pump makes the head that a line needs over the well's level."""
    return float(
        brentq(
            lambda Q: (
                pumped(Q, shut_off=shut_off, gpm=gpm, rated=rated, watts=watts)
                - (lift + 0.5 * Q / GPM) * FOOT
                - needed(Q)
            ),
            1e-9,
            1.7 * gpm * GPM,
        )
    )


def on_the_shaft(sun: float, rated: float) -> float:
    """Of a solar drive [W], as the parts' defaults have it: derate 0.85, drive 0.95, 70 degF."""
    cells = pvlib.temperature.faiman(sun, (70.0 - 32.0) / 1.8, 1.0)
    return float(pvlib.pvsystem.pvwatts_dc(sun, cells, rated, -0.004)) * 0.85 * 0.95
