"""Compile the engine ahead of its first use, and say so while it happens."""

from collections.abc import Callable
from typing import Final

from labkit.compiled import is_ready
from labkit.text import speaker

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
[[level_sensor]]
trough = "any"
stops_at = "20 in"
starts_at = "16 in"
radio = {}
"""


say = speaker("commands")


def is_warm() -> bool:
    """Whether these very sources were compiled before on this machine."""
    from labkit.engine.loop import advance  # noqa: PLC0415 - only when it is asked

    return is_ready(advance)


def knows_waves() -> bool:
    """Whether these very sources of the surge model were compiled before on this machine."""
    from labkit.engine.junctions import march  # noqa: PLC0415 - only when it is asked

    return is_ready(march)


def warm(report: Callable[[str], None], *, waves: bool = False) -> None:
    """Compile the engine and keep the result; `report` is told what is going on.

    Does nothing where it was done before. Takes about twenty seconds otherwise, and with `waves`,
    which few lessons need, ten more.
    """
    if not is_warm():
        _compile_runs(report)
    if waves and not knows_waves():
        report(say("compiling-waves"))
        from labkit.engine.surge import surge  # noqa: PLC0415 - importing it is part of the work
        from labkit.sitefile import loads  # noqa: PLC0415

        surge(loads(_ANY_LINE), duration="1 s", reaches=4)


def _compile_runs(report: Callable[[str], None]) -> None:
    """Compile what every bench needs."""
    report(say("preparing"))
    from labkit.engine.run import simulate  # noqa: PLC0415 - importing it is part of the work
    from labkit.engine.steady import steady  # noqa: PLC0415
    from labkit.sitefile import loads  # noqa: PLC0415

    site = loads(_ANY_LINE)
    report(say("compiling-water"))
    steady(site, sun="800 W/m^2")
    report(say("compiling-run"))
    simulate(site, "1 min", sun="800 W/m^2")
    report(say("engine-ready"))
