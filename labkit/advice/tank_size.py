"""How big a pressure tank, at what precharge, and how a line's own tank cycles."""

from collections.abc import Sequence
from math import ceil, inf, nan
from typing import Final, Self

import attrs
import numpy as np

from labkit.advice.line import Line
from labkit.advice.rules import MINIMUM_RUN, TANK_SIZES
from labkit.advice.setting import right_air
from labkit.arrays import Floats
from labkit.engine.network import Inputs, evaluate, make_flows
from labkit.engine.run import simulate
from labkit.errors import Said, SiteError, UnitError
from labkit.parts import MANIFOLD, Leak
from labkit.physics.tank import water_volume
from labkit.site import Site
from labkit.sun import Sun, as_sun
from labkit.trace import Trace
from labkit.units import LeakSize, Quantity, leak_size, read_argument, si, ureg, written
from labkit.units.customary import DAY, GALLON


@attrs.frozen(kw_only=True)
class Spans:
    """Times that grow straight with the tank: at none, and for each cubic metre [s, s/m3]."""

    none: float
    per_volume: float

    def at(self, volume: float) -> float:
        """Return the time with a tank [s, m3]."""
        return self.none + self.per_volume * volume

    def volume_for(self, span: float) -> float:
        """Return the smallest tank with which it takes a time [m3, s]."""
        if self.none >= span:
            return 0.0
        return (span - self.none) / self.per_volume

    def less(self, other: Self) -> Self:
        """Return what is left of these times without others."""
        if self.none == inf:
            return self
        return attrs.evolve(
            self, none=self.none - other.none, per_volume=self.per_volume - other.per_volume
        )


@attrs.frozen(kw_only=True)
class Need:
    """A tank just big enough for one wish, as a sum: ``flow * span = volume * share + stretch``."""

    volume: float  # the tank [m3]
    # how long water goes into it while the pump runs, or out of it while the pump rests [s]
    span: float
    share: float  # share of the tank's volume that it gives between cut-out and cut-in
    stretch: float  # water that the stretched pipe takes and gives between the same points [m3]

    @classmethod
    def of(cls, volume: float, spans: Spans, line: Line, share: float) -> Self:
        """Gather the sum for a tank [m3] and the times that it makes.

        The times come first, from tank and line at each pressure; `flow` is reckoned back from
        them, as what the water comes to over the span, so the sum adds up by itself and proves
        nothing.
        """
        stretch = _elastic(line) * (line.plant.p_cut_out - line.plant.p_cut_in)
        return cls(volume=volume, span=spans.at(volume), share=share, stretch=stretch)

    @property
    def drawdown(self) -> float:
        """Water from the tank alone [m3]."""
        return self.share * self.volume

    @property
    def water(self) -> float:
        """Water from tank and pipe [m3]."""
        return self.drawdown + self.stretch

    @property
    def flow(self) -> float:
        """How fast it comes or goes, on the average [m3/s]."""
        return self.water / self.span


RUN: Final = "run"
LEAK: Final = "leak"
LINE: Final = "line"
"""What decides the size: the shortest run, the leak, or nothing, the line itself holding enough."""

_POINTS: Final = 401
_LONGEST: Final = 7.0 * DAY


@attrs.frozen(kw_only=True)
class TankSize:
    """A pressure tank that fits a line.

    Attributes
    ----------
    volume : float
        Smallest that will do [m3].
    usual, count : float, int
        The usual size at or over it [m3], and how many of them; none where the line holds enough.
    precharge : float
        Two psi under cut-in, set with the tank empty of water [Pa gauge].
    drawdown : float
        Water that the usual ones give between cut-out and cut-in [m3].
    governs : {"run", "leak", "line"}
        What decides the size.
    cycle, run : float
        From one start to the next with every float shut, and from a start to cut-out, worked out
        for the usual size [s]; the cycle is infinite where nothing leaks.
    simulated_cycle, simulated_run : float
        The same in a simulated run, soft start and ramp included [s].
    for_run, for_leak : Need
        The sums that lead to the size: for the shortest run, and for the cycle, of which the tank
        feeds the leak while the pump rests; the second None where no cycle was asked for.
    """

    volume: float
    usual: float
    count: int
    precharge: float
    drawdown: float
    governs: str
    cycle: float
    run: float
    simulated_cycle: float
    simulated_run: float
    for_run: Need
    for_leak: Need | None


def tank_size(
    site: Site,
    *,
    leak: LeakSize | str | None = None,
    cycle: str | Quantity | None = None,
    least_run: str | Quantity = f"{MINIMUM_RUN:g} s",
    sun: str | Quantity = "1000 W/m^2",
) -> TankSize:
    """Size a pressure tank for a site's switch: long enough runs, and starts not too often.

    Parameters
    ----------
    site : Site
        The line; a tank that it has is left out of account.
    leak : LeakSize or str, optional
        A leak at the manifold, such as ``"0.1 gpm at 30 psi"``, beside those the site has.
    cycle : str or Quantity, optional
        Shortest time wanted from one start to the next while every float is shut and the leaks run.
    least_run : str or Quantity
        Shortest run wanted against the shut line.
    sun : str or Quantity
        Irradiance; the more, the faster the tank fills and the shorter the runs.

    Returns
    -------
    TankSize
        Worked out, and confirmed by a simulated run.

    Raises
    ------
    SiteError
        For what cannot be read, a cycle without a leak, or a cut-out that the pump cannot reach.

    Notes
    -----
    The air obeys Boyle's law in *absolute* pressure, so the drawdown shrinks with altitude. Filling
    and draining are added up over the pressures between the switch's points; soft start and ramp,
    which lengthen a run, are left out of the sizing.
    """
    wanted_run = _seconds(least_run, "least_run")
    wanted_cycle = None if cycle is None else _seconds(cycle, "cycle")
    bare = bare_line(site, leak)
    line = Line.of(bare)
    light = _read(sun, "W/m^2", "sun")
    precharge = right_air(si(site.pressure_switch.cut_in))
    filling, period = spans(line, light, precharge)
    if wanted_cycle is not None and period.none == inf:
        rule = (
            "nothing leaks, so the pump does not start by itself; give a leak, or leave cycle out"
        )
        raise SiteError("run", "cycle", cycle, rule)
    share, resting = _drawdown(line, precharge), period.less(filling)
    for_run = Need.of(filling.volume_for(wanted_run), filling, line, share)
    for_leak = None
    if wanted_cycle is not None:
        for_leak = Need.of(period.volume_for(wanted_cycle), resting, line, share)
    governs = RUN if for_leak is None or for_run.volume >= for_leak.volume else LEAK
    volume = for_leak.volume if for_leak is not None and governs == LEAK else for_run.volume
    usual, count = _usual(volume)
    total = usual * count
    trace = _tried(bare, total, precharge, light, period.at(total))
    return TankSize(
        volume=volume,
        usual=usual,
        count=count,
        precharge=precharge,
        drawdown=share * total,
        governs=LINE if volume == 0.0 else governs,
        cycle=period.at(total),
        run=filling.at(total),
        simulated_cycle=_cycle_of(trace),
        simulated_run=trace.measures().shortest_run,
        for_run=for_run,
        for_leak=for_leak,
    )


def _read(typed: str | Quantity, like: str, what: str) -> float:
    return si(read_argument(typed, like, part="run", field=what))


def _seconds(typed: str | Quantity, what: str) -> float:
    found = _read(typed, "s", what)
    if not 0.0 < found <= DAY:
        raise SiteError("run", what, Said(str(typed)), "it must be more than 0 s, at most 1 day")
    return found


def bare_line(site: Site, leak: LeakSize | str | None) -> Site:
    """Return the line without its tank and its herds, with one more leak."""
    changes: dict[str, object] = {"pressure_tank": None}
    changes |= {f"trough.{trough.name}.herd": None for trough in site.troughs}
    if leak is not None:
        try:
            size = leak_size(leak)
        except UnitError as problem:
            raise SiteError("run", "leak", leak, str(problem)) from None
        changes["leaks"] = (*site.leaks, Leak(at=MANIFOLD, size=size))
    return site.changed(changes)


def _net_flow(line: Line, pressures: Floats, power: float) -> Floats:
    """Flow into the line as it stands at rest at some pressures, every float shut [m3/s]."""
    plant, flows = line.plant, make_flows(line.plant)
    shut = np.array(plant.troughs.V_shut)
    inputs = Inputs(power, 1.0 if power > 0.0 else 0.0, np.zeros(shut.size))
    held, found = np.zeros(plant.nodes.size), []
    for p in pressures:
        h = np.full(plant.nodes.size, p / plant.weight)
        evaluate(plant, h, inputs, held, shut, 0.0, 1.0, 0.0, flows)
        found.append(float(flows.nodes.net.sum()))
    return np.array(found)


def shut_flows(line: Line, sun: float) -> tuple[Floats, Floats, Floats]:
    """Return pressures from cut-in to cut-out, and the flows of the shut line there [Pa, m3/s].

    Into it while the pump runs in a sun [W/m2], and out of it while the pump rests.
    """
    p = np.linspace(line.plant.p_cut_in, line.plant.p_cut_out, _POINTS)
    return p, _net_flow(line, p, line.power(sun)), -_net_flow(line, p, 0.0)


def takes(line: Line, precharge: float, p: Floats) -> tuple[float, Floats]:
    """Return what each pascal takes at some pressures: the pipe [m3/Pa], a cubic metre of tank."""
    per_volume = np.array([held_share(line, precharge, each)[1] for each in p])
    return _elastic(line), per_volume


def _elastic(line: Line) -> float:
    """Water that the stretching pipe takes with each pascal [m3/Pa]."""
    return float(line.plant.nodes.C.sum()) / line.plant.weight


def spans(line: Line, sun: float, precharge: float) -> tuple[Spans, Spans]:
    """Work out how filling and cycle grow with the tank; `sun` in W/m2, `precharge` in Pa."""
    p, into, out = shut_flows(line, sun)
    if not into.min() > 0.0:
        rule = f"the pump cannot reach it in a sun of {sun:g} W/m^2"
        cut_out = line.site.pressure_switch.cut_out
        raise SiteError("switch", "cut_out", Said(written(cut_out)), rule)
    elastic, per_volume = takes(line, precharge, p)
    filling = Spans(
        none=float(np.trapezoid(elastic / into, p)),
        per_volume=float(np.trapezoid(per_volume / into, p)),
    )
    if not out.min() > 0.0:
        return filling, Spans(none=inf, per_volume=0.0)
    return filling, Spans(
        none=filling.none + float(np.trapezoid(elastic / out, p)),
        per_volume=filling.per_volume + float(np.trapezoid(per_volume / out, p)),
    )


def held_share(line: Line, precharge: float, p: float) -> tuple[float, float]:
    """Share of a tank that is water at a pressure, and its slope [1/Pa]; the air slow."""
    return water_volume(p, 1.0, precharge, line.plant.p_air, 1.0)


def _drawdown(line: Line, precharge: float) -> float:
    """Share of a tank's volume that it gives from cut-out down to cut-in."""
    full, low = (
        held_share(line, precharge, p)[0] for p in (line.plant.p_cut_out, line.plant.p_cut_in)
    )
    return full - low


def _usual(volume: float) -> tuple[float, int]:
    """Return the usual size for a volume, and how many of it."""
    if volume == 0.0:
        return TANK_SIZES[0] * GALLON, 0
    largest = TANK_SIZES[-1] * GALLON
    if volume > largest:
        return largest, ceil(volume / largest)
    return next(size * GALLON for size in TANK_SIZES if size * GALLON >= volume), 1


def _tried(bare: Site, volume: float, precharge: float, sun: float, cycle: float) -> Trace:
    """Run the line with its tank against shut floats, for three cycles or one run."""
    tank = {"volume": ureg.Quantity(volume, "m^3"), "precharge": ureg.Quantity(precharge, "Pa")}
    site = bare.changed({"pressure_tank": tank}) if volume > 0.0 else bare
    seconds = min(3.5 * cycle + 600.0, _LONGEST) if cycle < inf else 3600.0
    return simulate(site, ureg.Quantity(seconds, "s"), sun=ureg.Quantity(sun, "W/m^2"))


def _cycle_of(trace: Trace) -> float:
    """Return the time from one start to the next, the first left out [s]; nan without any."""
    starts = trace.times("pump starts")
    return starts[2] - starts[1] if len(starts) > 2 else nan


@attrs.frozen(kw_only=True)
class TankCycle:
    """A tank between cut-in and cut-out."""

    # of the tank [m3, Pa]
    volume: float
    precharge: float
    # points of the switch [Pa]
    cut_in: float
    cut_out: float
    # water in the tank there, the air slow [m3]
    at_cut_in: float
    at_cut_out: float
    volumes: Floats  # tanks of other sizes [m3]
    # from start to start with each of them, every float shut, for the tank's own precharge and for
    # one of 2 psi under cut-in [s]; infinite where nothing leaks, nan where the pump does not reach
    # cut-out
    own: Floats
    usual: Floats
    cycle: float  # the same for the tank as it is [s]

    @classmethod
    def of(cls, site: Site, sun: Sun | str, volumes: Sequence[float] | Floats) -> Self:
        """Work out a site's tank, and how its line would cycle with others."""
        line, sizes = Line.of(bare_line(site, None)), np.asarray(volumes, dtype=float)
        low, high = line.plant.p_cut_in, line.plant.p_cut_out
        usual = right_air(low)
        tank = site.pressure_tank
        volume, charge = (0.0, usual) if tank is None else (si(tank.volume), si(tank.precharge))
        light = float(as_sun(sun, site).irradiance.max())
        with_own = _cycles(line, light, charge, np.append(sizes, volume))
        return cls(
            volume=volume,
            precharge=charge,
            cut_in=low,
            cut_out=high,
            at_cut_in=volume * held_share(line, charge, low)[0],
            at_cut_out=volume * held_share(line, charge, high)[0],
            volumes=sizes,
            own=with_own[:-1],
            usual=_cycles(line, light, usual, sizes),
            cycle=float(with_own[-1]),
        )

    @property
    def drawdown(self) -> float:
        """Water that the tank gives from cut-out down to cut-in [m3]."""
        return self.at_cut_out - self.at_cut_in


def _cycles(line: Line, sun: float, precharge: float, volumes: Floats) -> Floats:
    try:
        _, period = spans(line, sun, precharge)
    except SiteError:
        return np.full(volumes.size, np.nan)
    if period.none == np.inf:
        return np.full(volumes.size, np.inf)
    return np.array([period.at(float(volume)) for volume in volumes])
