"""A run made by hand, so that what a view should show is known beforehand.

In an hour the pressure stands at 24 psi for half of it, then swings six times from 33 to 15 psi.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from labkit.site import Site
from labkit.sitefile import loads
from labkit.sun import Sun, constant
from labkit.trace import DriveState, Event, Trace
from labkit.trace.record import Totals
from tests.customary import GPM, INCH, PSI

RANCH = """
title = "Made Ranch"
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
[[pipe]]
from = "manifold"
to = "tee"
length = "1000 ft"
size = "1 1/4 in PE SIDR 15"
rise = "10 ft"
[[trough]]
name = "elm"
volume = "300 gal"
depth = "24 in"
pipe = { from = "tee", length = "500 ft", size = "1 in PE SIDR 15", rise = "20 ft" }
float_valve = { flow = "6 gpm at 20 psi" }
[[trough]]
name = "draw"
volume = "300 gal"
depth = "24 in"
pipe = { from = "tee", length = "200 ft", size = "1 in PE SIDR 15", rise = "-25 ft" }
float_valve = { flow = "6 gpm at 20 psi" }
"""

SWINGS = 6
TIMES = np.array([0.0, 1800.0, *np.arange(1950.0, 3601.0, 150.0)])
PRESSURES = np.array([24.0, 24.0, *([33.0, 15.0] * SWINGS)])


@pytest.fixture(scope="session")
def ranch() -> Site:
    return loads(RANCH)


@pytest.fixture(scope="session")
def make() -> Callable[..., Trace]:
    return made_trace


class Counter:
    """Stands in for the simulation: gives the made run, and counts how often it was asked."""

    def __init__(self) -> None:
        self.calls: list[tuple[Site, Sun]] = []
        self.breaks: Exception | None = None

    def __call__(self, site: Site, _duration: object, *, sun: Sun, **_: Any) -> Trace:
        self.calls.append((site, sun))
        if self.breaks is not None:
            raise self.breaks
        return made_trace(site)


@pytest.fixture
def counter() -> Counter:
    return Counter()


def made_trace(site: Site, *, pressures: np.ndarray[Any, Any] = PRESSURES) -> Trace:
    """Make the run of the module's docstring on a site."""
    time, none = TIMES, np.zeros_like(TIMES)
    filling = time <= 1800.0
    running = filling | (pressures < 20.0)
    distance, elevations, parents = {"manifold": 0.0}, {"manifold": 0.0}, {}
    for start, end, pipe in site.runs():
        distance[end] = distance[start] + pipe.length.to("m").magnitude
        elevations[end] = site.elevation(end)
        parents[end] = start
    head = pressures * PSI / 9804.0
    lean = np.where(filling, 2e-2, 0.0)
    troughs = [trough.name for trough in site.troughs]
    states = np.where(running, DriveState.RUNNING, DriveState.HELD).astype(np.int8)
    return Trace(
        site=site,
        sun=constant("700 W/m^2"),
        clock=12 * 3600.0,
        time=time,
        pressure=pressures * PSI,
        pump_flow=np.where(running, 7.0 * GPM, 0.0),
        returned_flow=none,
        relief_flow=none,
        leak_flow=none + 0.25 * GPM,
        speed=np.where(running, 0.86, 0.0),
        power=none,
        irradiance=none + 700.0,
        head={node: head - lean * way for node, way in distance.items()},
        level=dict.fromkeys(troughs, none + 20.0 * INCH),
        inflow={name: np.where(filling, 3.0 * GPM, 0.0) for name in troughs},
        opening={name: np.where(filling, 1.0, 0.0) for name in troughs},
        drinking=dict.fromkeys(troughs, none),
        tank_water=none,
        contact=~running,
        tripped=~running,
        drive_state=states,
        events=happened(),
        totals=Totals(**dict.fromkeys(Totals.__annotations__, 0.0)),
        elevations=elevations,
        distance=distance,
        parents=parents,
    )


def happened() -> tuple[Event, ...]:
    """List what happens in the made run: seven starts, six stops, a shortest run of 22 s."""
    events = [Event(0.0, "pump starts", "wellhead")]
    for swing in range(SWINGS):
        top = 1950.0 + 300.0 * swing
        events += [
            Event(top, "switch trips", "wellhead"),
            Event(top, "drive told to stop", "wellhead"),
            Event(top + 3.0, "pump stops", "wellhead"),
            Event(top + 281.0, "pump starts", "wellhead"),
        ]
    return tuple(events)
