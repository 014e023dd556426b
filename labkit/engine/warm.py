"""Compile the engine ahead of its first use, and say so while it happens."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from labkit.compiled import CACHE

if TYPE_CHECKING:
    from collections.abc import Callable

_ANY_LINE: Final = """
title = "Any line"
place = { latitude = "40 deg", longitude = "-100 deg", elevation = "3000 ft" }
well = { static_level = "60 ft", intake_depth = "110 ft" }
array = { rated_power = "600 W" }
drive = { kind = "solar" }
pressure_switch = { cut_in = "15 psi", cut_out = "30 psi" }
[pump]
kind = "centrifugal"
shut_off_head = "190 ft"
rated_flow = "7 gpm"
rated_head = "130 ft"
[[trough]]
name = "any"
volume = "300 gal"
depth = "24 in"
pipe = { from = "manifold", length = "500 ft", size = "1 1/4 in PE SIDR 15", rise = "0 ft" }
float_valve = { flow = "6 gpm at 20 psi" }
"""


def is_warm() -> bool:
    """Say whether these very sources were compiled before on this machine."""
    return any(CACHE.glob("**/loop.advance-*.nbi"))


def warm(report: Callable[[str], None]) -> None:
    """Compile the engine and keep the result; `report` is told what is going on.

    Does nothing where it was done before. Takes about twenty seconds otherwise.
    """
    if is_warm():
        return
    report("Preparing the engine. This happens once after an install or an update.")
    from labkit.engine.run import simulate  # noqa: PLC0415 - importing it is part of the work
    from labkit.engine.steady import steady  # noqa: PLC0415
    from labkit.sitefile import loads  # noqa: PLC0415

    site = loads(_ANY_LINE)
    report("Compiling the water's equations …")
    steady(site, sun="800 W/m^2")
    report("Compiling the run through time …")
    simulate(site, "1 min", sun="800 W/m^2")
    report("The engine is ready.")
