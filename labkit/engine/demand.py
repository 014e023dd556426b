"""What acts on a line through a run: the sun's power and the herds' drinking, as one table."""

from typing import Final

import numpy as np

from labkit.engine.curves import rated_power
from labkit.engine.memory import Inputs
from labkit.engine.network import Floats, Records
from labkit.engine.plant import plant_of
from labkit.engine.wiring import quiet_spells
from labkit.parts import Trough
from labkit.site import Site
from labkit.sun import Sun, array_power, as_sun, clock_seconds
from labkit.units import Quantity, si
from labkit.units.customary import DAY

MAINS: Final = 1000.0
"""Power of the mains as a multiple of the pump's rated power: as good as without limit."""


def visits(trough: Trough, *, clock: float, duration: float) -> list[tuple[float, float]]:
    """When the herd drinks at a trough: (from, to) [s from the start], within the run."""
    if trough.herd is None:
        return []
    length, hours = si(trough.herd.visit_time), [clock_seconds(at) for at in trough.herd.visits]
    found = []
    for day in range(-2, int((clock + duration) // DAY) + 1):
        for hour in hours:
            start = hour + day * DAY - clock
            if start + length > 0.0 and start < duration:
                found.append((max(start, 0.0), min(start + length, duration)))
    return found


def herd_need(trough: Trough, site: Site) -> float:
    """Flow that a trough's herd drinks, in the air of the site, if it drank all day [m3/s]."""
    herd = trough.herd
    return 0.0 if herd is None else float(herd.head * si(herd.need(site.place.air_temperature)))


def visit_flow(trough: Trough, site: Site) -> float:
    """Flow that the herd drinks during a visit [m3/s]: the day's need, shared by the visits."""
    herd = trough.herd
    if herd is None:
        return 0.0
    return herd_need(trough, site) * DAY / (len(herd.visits) * si(herd.visit_time))


def _visit_flows(site: Site) -> list[float]:
    return [visit_flow(trough, site) for trough in site.troughs]


def quiet_breaks(sensors: Records, duration: float) -> list[float]:
    """When a radio falls silent or is heard again, within a run [s from the start]."""
    breaks: list[float] = []
    for j in np.flatnonzero((sensors.radio == 1) & (sensors.dead == 0)):
        spells = np.zeros((64, 2))
        count = quiet_spells(sensors, int(j), duration, spells)
        if count > spells.shape[0]:
            spells = np.zeros((count, 2))
            quiet_spells(sensors, int(j), duration, spells)
        breaks += spells[:count].ravel().tolist()
    return [moment for moment in breaks if 0.0 < moment < duration]


def shaft_power(site: Site, sun: Sun) -> Floats:
    """Shaft power on offer at each point of the sun [W]."""
    if site.drive.kind == "mains":
        return np.full(sun.time.size, MAINS * rated_power(site))
    return array_power(sun, site.array) * site.drive.efficiency


def used_power(site: Site, sun: Sun) -> Floats:
    """Shaft power at each point of the sun [W]; none where a fault keeps the drive from turning."""
    return shaft_power(site, sun) * (site.drive.fault == "none")


def steady_power(site: Site, sun: Sun | str | Quantity) -> float:
    """Shaft power that the pump uses at a sun's first moment [W]."""
    return float(used_power(site, as_sun(sun, site))[0])


def make_inputs(site: Site, sun: Sun, *, clock: float, duration: float) -> Inputs:
    """Lay sun, herds and silences of radios on one table of breaks, from 0 past `duration` [s].

    `sun` must already be cut to the run. Power runs straight between breaks; drinking holds from
    each break to the next.
    """
    power = shaft_power(site, sun)
    calls = [visits(trough, clock=clock, duration=duration) for trough in site.troughs]
    edges = [edge for spans in calls for span in spans for edge in span]
    inside = sun.time[(sun.time > 0.0) & (sun.time < duration)]
    quiet = quiet_breaks(plant_of(site)[0].sensors, duration)
    time = np.unique(np.concatenate(([0.0, duration, duration + DAY], inside, edges, quiet)))
    drinking = np.zeros((time.size, len(site.troughs)))
    for k, (flow, spans) in enumerate(zip(site.once(_visit_flows), calls, strict=True)):
        for start, stop in spans:
            drinking[(time >= start) & (time < stop), k] += flow
    return Inputs(time, np.interp(time, sun.time, power), drinking)
