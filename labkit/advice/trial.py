"""One trial of a line: a trough fills, its float shuts, stock drink, and it fills again.

Where the drive listens to a level sensor in the trough, its word stands for the float's.

What goes wrong with a setting shows within these two fillings: a stop while the float is still
wide open, no stop once it is shut, starts that nobody asked for, no start when water is called for.
"""

from math import ceil
from typing import Final

import attrs
import numpy as np

from labkit.advice.repeats import cycle_of, gone_on, idle_starts
from labkit.arrays import Floats
from labkit.engine.layout import stretches
from labkit.engine.memory import PUMP_STARTS
from labkit.engine.run import simulate
from labkit.engine.strain import COUNTED, has_started, most_starts
from labkit.parts import MANIFOLD, Trough
from labkit.physics.pipe import area
from labkit.site import Site
from labkit.trace import Trace
from labkit.units import Quantity, si, typed, ureg
from labkit.units.customary import DAY, GALLON

LACKING: Final = 12.0 * GALLON
"""Water that the trough lacks at first where it calls for some [m3], twelve US gallons: enough for
the line to settle while it fills. Twice the pressure tank's size comes on top, which is more than
line and tank can give between cut-out and cut-in; and what stands in the pipe beyond a crest,
which fills a trough below it whether the pump restarts or not."""

MOST_OF_IT: Final = 0.8  # share of a small trough's water that may be lacking at most

SLOW: Final = 0.1
"""Share of the pump's rated flow at which a filling counts as slow; slower ones are not awaited."""

SHUTTING: Final = 5.0
"""Bands of water that a float lets by until it is shut: its flow dies away by a factor e with each
band, and a hundredth of the opening counts as shut."""

IDLE: Final = 5400.0
"""Time left to a full trough [s]: three starts within an hour show in it, whenever they begin."""

LONGEST_WAIT: Final = 36_000.0  # the stock come after ten hours at the latest

VISIT: Final = 120.0
AFTERWARDS: Final = 900.0
"""How long the stock drink, and what is watched past the second filling [s]."""

_HEAD: Final = 1000


@attrs.frozen(kw_only=True)
class Trial:
    """A line made ready for its trial."""

    site: Site  # the line, with stock at the tried trough alone
    trough: str  # the trough that is tried; all others are full and stay so
    level: float  # depth of water in it at the start [m]
    comes: float  # when the stock come [s]
    duration: float  # length of the trial [s]

    def run(self, sun: str | Quantity, *, enough: int = COUNTED) -> Trace:
        """Run it in a constant sun, to its end or until its starts within an hour are enough.

        Starts that repeat with every float shut do so until the stock come. Once that shows they
        are left out: the run begins later by a whole number of cycles, so that the stock come soon.
        To whom fewer are enough than are ever counted, repeating starts have told all.
        """
        trace = self._run(sun, enough, skipped=None)
        starts, left = np.array(trace.times("pump starts")), self.comes - float(trace.time[-1])
        if not trace.is_cut_short or enough < COUNTED or most_starts(starts) >= COUNTED:
            return trace
        cycle = cycle_of(starts).sum()
        return self._run(sun, enough, skipped=left // cycle * cycle) if left > 0.0 else trace

    def _run(self, sun: str | Quantity, enough: int, *, skipped: float | None) -> Trace:
        """Run it, its stock `skipped` [s] sooner; None: at their time, as long as starts differ."""
        clock = skipped or 0.0
        tried = [trough.name for trough in self.site.troughs].index(self.trough)

        def is_told(events: Floats) -> bool:
            starts = events[events[:, 1] == PUMP_STARTS, 0]
            now = float(events[:, 0].max(initial=0.0))
            if has_started(starts, enough, now):
                return True
            if self.site.drive.listens_to != "pressure switch":
                return False
            if skipped is not None and now < self.comes - clock:
                return False
            return cycle_of(idle_starts(events, tried)).size > 0

        return simulate(
            self.site,
            ureg.Quantity(self.duration - clock, "s"),
            sun=sun,
            start=clock,
            levels={self.trough: ureg.Quantity(self.level, "m")},
            until=is_told,
        )

    def starts(self, trace: Trace) -> int:
        """Return the most starts within an hour of the whole trial, `COUNTED` at most."""
        starts = np.array(trace.times("pump starts"))
        if trace.clock > 0.0:  # some were left out before the stock came
            before, after = np.split(starts, [np.searchsorted(starts, self.comes - trace.clock)])
            before = gone_on(before, cycle_of(before), self.comes)
            starts = np.concatenate((before, after + trace.clock))
        if trace.is_cut_short and (cycle := cycle_of(starts)).size:
            starts = gone_on(starts, cycle, self.duration)
        return min(most_starts(starts), COUNTED)


def trial(site: Site, trough: str) -> Trial:
    """Script the trial of a line with one trough filling; its herds are sent away."""
    part = site.trough(trough)
    surface = si(part.volume) / si(part.depth)
    _, calling = _marks(site, part)
    lacking, gap = asked(site, part)
    filling, come = _filling(site, part), ceil(patience(site, trough) / 60.0)
    return Trial(
        site=visited(site, trough, lacking + gap, minutes=come),
        trough=trough,
        level=calling - lacking / surface,
        comes=60.0 * come,
        duration=60.0 * come + VISIT + min(filling, LONGEST_WAIT) + AFTERWARDS,
    )


def patience(site: Site, trough: str) -> float:
    """Return how long a line is given to fill a trough and then to stop [s]."""
    return min(_filling(site, site.trough(trough)) + IDLE, LONGEST_WAIT)


def _filling(site: Site, trough: Trough) -> float:
    """Return how long a filling may take [s]; slower ones are not awaited."""
    lacking, gap = asked(site, trough)
    return (lacking + max(gap, settling(trough))) / (SLOW * si(site.pump.rated_flow))


def settling(trough: Trough) -> float:
    """Return the water that a trough takes or gives until its float has found its place [m3]."""
    surface = si(trough.volume) / si(trough.depth)
    return SHUTTING * surface * si(trough.float_valve.band)


def asked(site: Site, trough: Trough) -> tuple[float, float]:
    """Return what a trough lacks where it calls for water, and what it lacked before [m3]."""
    surface = si(trough.volume) / si(trough.depth)
    full, calling = _marks(site, trough)
    tank = 0.0 if site.pressure_tank is None else si(site.pressure_tank.volume)
    lacking = LACKING + 2.0 * tank + _over_the_crest(site, trough.name)
    return min(lacking, MOST_OF_IT * surface * calling), surface * (full - calling)


def _over_the_crest(site: Site, trough: str) -> float:
    """Water in the pipe from a crest on the way to a trough beyond it [m3]; none without one."""
    before = {piece.end: piece for piece in stretches(site)}
    node, height, water = trough, 0.0, 0.0
    highest = beyond = 0.0
    while before[node].start != MANIFOLD:
        piece = before[node]
        height -= piece.rise
        water += area(si(piece.pipe.bore)) * piece.length
        if height > highest:
            highest, beyond = height, water
        node = piece.start
    return beyond if height - before[node].rise < highest else 0.0


def _marks(site: Site, trough: Trough) -> tuple[float, float]:
    """Return the depths at which a trough is full, and under which it calls for water [m].

    By its float valve, or by its level sensor if the drive listens to that and it acts first.
    """
    full = si(trough.depth) - si(trough.freeboard)
    calling = full - si(trough.float_valve.band)
    if site.drive.listens_to != "pressure switch":
        for sensor in site.level_sensors:
            if sensor.trough == trough.name:
                full, calling = min(full, si(sensor.stops_at)), min(calling, si(sensor.starts_at))
    return full, calling


def visited(
    site: Site, trough: str, drunk: float, *, minutes: int = 0, lasts: float = VISIT
) -> Site:
    """Send all herds away, and let stock come once, after minutes, and drink so much in a time.

    Water in m3, the time in s.
    """
    herds: dict[str, object] = {f"trough.{each.name}.herd": None for each in site.troughs}
    herds[f"trough.{trough}.herd"] = {
        "head": _HEAD,
        "kind": "horse",
        "daily_need": typed(drunk / _HEAD / DAY, "daily volume"),
        "visits": [f"{minutes // 60:02d}:{minutes % 60:02d}"],
        "visit_time": ureg.Quantity(lasts, "s"),
    }
    return site.changed(herds)
