"""How big a pressure tank, and at what precharge."""

from __future__ import annotations

from math import ceil, inf, nan
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.advice.line import Line
from labkit.advice.rules import MINIMUM_RUN, TANK_SIZES
from labkit.advice.setting import right_air
from labkit.advice.tank_need import Need, Spans
from labkit.engine.network import Inputs, evaluate, make_flows
from labkit.engine.run import simulate
from labkit.errors import Said, SiteError, UnitError
from labkit.parts import MANIFOLD, Leak
from labkit.physics.tank import water_volume
from labkit.units import leak_size, quantity, si, ureg, written
from labkit.units.customary import DAY, GALLON

if TYPE_CHECKING:
    from labkit.engine.network import Floats
    from labkit.site import Site
    from labkit.trace import Trace
    from labkit.units import LeakSize, Quantity

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
    try:
        return si(quantity(typed, like))
    except UnitError as problem:
        raise SiteError("run", what, typed, str(problem)) from None


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


def spans(line: Line, sun: float, precharge: float) -> tuple[Spans, Spans]:
    """Work out how filling and cycle grow with the tank; `sun` in W/m2, `precharge` in Pa."""
    plant = line.plant
    p = np.linspace(plant.p_cut_in, plant.p_cut_out, _POINTS)
    into, out = _net_flow(line, p, line.power(sun)), -_net_flow(line, p, 0.0)
    if not into.min() > 0.0:
        rule = f"the pump cannot reach it in a sun of {sun:g} W/m^2"
        cut_out = line.site.pressure_switch.cut_out
        raise SiteError("switch", "cut_out", Said(written(cut_out)), rule)
    elastic = float(plant.nodes.C.sum()) / plant.weight
    per_volume = np.array([held_share(line, precharge, each)[1] for each in p])
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
    tank = {
        "volume": ureg.Quantity(volume, "m^3"),
        "precharge": ureg.Quantity(precharge, "Pa"),
    }
    site = bare.changed({"pressure_tank": tank}) if volume > 0.0 else bare
    seconds = min(3.5 * cycle + 600.0, _LONGEST) if cycle < inf else 3600.0
    return simulate(site, ureg.Quantity(seconds, "s"), sun=ureg.Quantity(sun, "W/m^2"))


def _cycle_of(trace: Trace) -> float:
    """Return the time from one start to the next, the first left out [s]; nan without any."""
    starts = trace.times("pump starts")
    return starts[2] - starts[1] if len(starts) > 2 else nan
