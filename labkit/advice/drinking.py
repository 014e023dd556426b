"""Stock that drink slowly, one after another: how often they start a pump, and what tank helps.

Their float valve stands part open and lets by what they drink, for as long as they stay, so tank
and pump take turns as in any house. How long they stay is theirs: this speaks against no setting,
but is told beside it.
"""

from typing import Final, Self

import attrs
import numpy as np

from labkit.advice.line import Line, SunRange
from labkit.advice.remedies import round_tanks
from labkit.advice.tank_size import shut_flows, takes
from labkit.advice.trial import LONGEST_WAIT, settling, visited
from labkit.engine.run import simulate
from labkit.engine.strain import most_starts, starts_limit
from labkit.site import Site
from labkit.units import si, ureg
from labkit.units.customary import HOUR

_SHARES: Final = np.linspace(0.01, 0.99, 99)
"""Flows tried, as shares of the least that the pump gives between the points."""

_WORTH_A_RUN: Final = 0.5
"""Share of the cycle wanted from which a run may find it long enough: starting takes time, too."""


@attrs.frozen(kw_only=True)
class SlowDrinking:
    """What stock that keep drinking make of a line."""

    starts: int  # most starts within an hour
    most_starts: float  # starts an hour that the motor stands
    volume: float | None  # smallest round volume of a tank that keeps to these [m3]; None: none

    @property
    def is_bearable(self) -> bool:
        """Whether the motor stands it as it is."""
        return self.starts <= self.most_starts


def slow_drinking(site: Site, sun: SunRange) -> SlowDrinking | None:
    """Let stock drink at each trough in turn, as fast as starts the pump most often.

    Parameters
    ----------
    site : Site
        The line, set as it will be; its herds are sent away.
    sun : SunRange
        The strongest is taken: the faster the pump, the more starts.

    Returns
    -------
    SlowDrinking or None
        None where the pump does not reach cut-out against the shut line.

    Notes
    -----
    Between the switch's points the line takes a volume V, and gives it back to who drinks a flow q
    while the pump gives Q: a cycle lasts t = V / (Q - q) + V / q, least where q is half of Q: V =
    t Q / 4 (UFC 3-240-04A, 1997, ch. 7, storage of a wet well). Here Q and V go by the pressure,
    and leaks drink, too. The counts come from runs, which know how long a soft start takes, at that
    flow and at half of it: a start's pause puts the worst lower.
    """
    worst = _Drinkers.of(site, sun)
    if worst is None:
        return None
    starts, most = worst.starts(), starts_limit(site)
    volume = None if starts <= most else _enough(site, sun, most)
    return SlowDrinking(starts=starts, most_starts=most, volume=volume)


def _enough(site: Site, sun: SunRange, most: float) -> float | None:
    """Find the smallest round volume of a tank that keeps to so many starts an hour [m3]."""
    own = 0.0 if site.pressure_tank is None else si(site.pressure_tank.volume)
    for volume, tank in round_tanks(si(site.pressure_switch.cut_in), over=own):
        drinkers = _Drinkers.of(site.changed(tank), sun)
        if drinkers is None or drinkers.cycle < _WORTH_A_RUN * HOUR / most:
            continue
        if drinkers.starts() <= most:
            return volume
    return None


@attrs.frozen(kw_only=True)
class _Drinkers:
    """Stock that drink as fast as starts a line's pump most often."""

    site: Site
    sun: float  # the strongest [W/m2]
    flow: float  # [m3/s]
    cycle: float  # from start to start, with no time for starting and stopping [s]

    @classmethod
    def of(cls, site: Site, sun: SunRange) -> Self | None:
        """Find that flow; None where the pump does not reach cut-out."""
        line, tank = Line.of(site), site.pressure_tank
        p, into, out = shut_flows(line, sun.most)
        if not into.min() > 0.0:
            return None
        volume, charge = (0.0, 0.0) if tank is None else (si(tank.volume), si(tank.precharge))
        elastic, per_volume = takes(line, charge, p)
        held = elastic + volume * per_volume
        flows = _SHARES * into.min()
        drunk = flows[:, None]
        cycles = np.trapezoid(held / (into - drunk) + held / (out + drunk), p)
        least = int(np.argmin(cycles))
        return cls(site=site, sun=sun.most, flow=float(flows[least]), cycle=float(cycles[least]))

    def starts(self) -> int:
        """Run them at each trough; return the most starts within an hour."""
        names = [trough.name for trough in self.site.troughs]
        return max(self._run(name, flow) for name in names for flow in (self.flow, self.flow / 2.0))

    def _run(self, trough: str, flow: float) -> int:
        lasts = min(settling(self.site.trough(trough)) / flow, LONGEST_WAIT) + HOUR
        trace = simulate(
            visited(self.site, trough, flow * lasts, lasts=lasts), ureg.Quantity(lasts, "s"),
            sun=ureg.Quantity(self.sun, "W/m^2"), start=0.0,
        )  # fmt: skip
        return most_starts(np.array(trace.times("pump starts")))
