"""What a pressure wave does to a line: a float valve shuts, or the pump stops.

The engine of `simulate` takes the line's water as one; here it is a column that must be braked,
and the word that it was braked travels along it at the speed of sound in that pipe.
"""

from collections.abc import Iterable
from math import ceil, inf, nan
from typing import Final, Literal

import numpy as np

from labkit.engine.demand import steady_power
from labkit.engine.junctions import begin, march
from labkit.engine.layout import Layout
from labkit.engine.network import Plant
from labkit.engine.plant import plant_of
from labkit.engine.reaches import Cut, cut, lay
from labkit.engine.steady import Steady, steady
from labkit.engine.surge_naming import History, SurgeSetup, record
from labkit.engine.surge_options import (
    CLOSINGS,
    FAILURE,
    HEEDS,
    LONGEST,
    TRIP,
    SurgeOptions,
    read_wish,
)
from labkit.engine.surge_record import Surge
from labkit.engine.waves import CAP, SPEED_TOLD, TOLD, Cause, Net
from labkit.errors import RunError, Said, SiteError
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import Quantity

CROSSINGS: Final = 10.0
"""How often a wave could run through all the pipe there is, in the time watched if none is asked
for, once valve or pump have done their part."""
BANDS: Final = 6.0
"""How many times its band a float valve could fill in that time: it closes ever more slowly."""
_MOST_WORK: Final = 400_000_000
_FRAMES: Final = 800
_STILL: Final = 1e-9
_PLENTY: Final = 1e9
"""Power [W] that leaves a pump's speed to its inertia."""


def surge(
    site: Site,
    *,
    trough: str | None = None,
    closing_time: str | Quantity | None = None,
    sun: Sun | str | Quantity = "1000 W/m^2",
    open_troughs: Iterable[str] | None = None,
    event: Literal["valve shuts", "pump trips", "power fails"] = "valve shuts",
    closing: Literal[
        "even area", "quick at the end", "slow at the end", "even flow", "as the trough fills"
    ] = "even area",
    drive: Literal["runs on", "heeds the switch"] = "runs on",
    coast: str | Quantity = "0 s",
    check_valve_delay: str | Quantity = "0 s",
    duration: str | Quantity | None = None,
    reaches: int | None = None,
) -> Surge:
    """Follow the pressure wave that a shutting float valve or a stopping pump sends through a line.

    Parameters
    ----------
    site : Site
        The line. It begins at rest in time: pump running, valves open, see `labkit.steady`.
    trough : str, optional
        Whose float valve shuts, or who is watched when the pump stops; left out, the first.
    closing_time : str or Quantity, optional
        How long the valve takes; ``"0 s"`` for at once; left out, half a second.
    sun : Sun, str or Quantity
        Irradiance on the array, which stays; of a Sun its first point counts.
    open_troughs : iterable of str, optional
        Troughs whose float valve is open at the start, and stays so but for the one that shuts;
        left out, all of them.
    event : {"valve shuts", "pump trips", "power fails"}
        A pump that trips runs down by the drive's ramp; without power it stops at once, or coasts.
    closing : {"even area", "quick at the end", "slow at the end", "even flow", ..}
        Whether the valve's open area or its flow falls evenly with time, or the area at first
        slowly and at last quickly, or the other way round; or ``"as the trough fills"``: by the
        float, as the water rises through the valve's band.
    drive : {"runs on", "heeds the switch"}
        Whether the pump keeps running whatever happens, the worst for the pipe, or ramps down
        once the pressure at the switch has reached cut-out.
    coast : str or Quantity
        How far inertia carries a pump without power: moment of inertia times the square of the
        full speed (in rad/s) over the rated power. A submersible's is short.
    check_valve_delay : str or Quantity
        How long the check valve hangs open after the pump's last push. Water runs back through a
        centrifugal pump by then, as against its curve at standstill, and is caught with a slam.
    duration : str or Quantity, optional
        How long to look; left out, until a wave could run ten times from end to end.
    reaches : int, optional
        How fine to cut: reaches of the run that a wave crosses last; left out, 200 to 600.

    Returns
    -------
    Surge
        Heads, envelopes and what they mean for pipe and switch.

    Raises
    ------
    SiteError
        If something handed in is wrong, or nothing flows at the start.

    Notes
    -----
    Method of characteristics with quasi-steady friction; a wave in plastic pipe dies out faster
    than here. Each run's wave speed is adjusted to a whole number of reaches, see
    `RunSurge.wave_speed_used`. The tank's air and the relief valve follow at once; a pump that has
    power turns as fast as it allows, without delay. A trough does not fill but for the one that
    closes by its float; nobody drinks. A stopped pump lets nothing through upward. Leaks keep to
    the nearest reach. Where the water would boil a pocket of vapour holds the pressure; no air is
    drawn in. Ratings are for water of 73 degF.

    References
    ----------
    Wylie & Streeter 1993, Fluid Transients in Systems. Joukowsky 1898 (``dh = a dv / g``).
    Korteweg 1878 (speed of the wave).
    """
    plant, layout = plant_of(site)
    wish = read_wish(
        layout.troughs,
        event=event,
        closing=closing,
        drive=drive,
        trough=trough,
        opened=frozenset(layout.troughs if open_troughs is None else open_troughs),
        closing_time=closing_time,
        coast=coast,
        check_delay=check_valve_delay,
        duration=duration,
        reaches=reaches,
    )
    start = _begun(site, plant, sun, wish)
    cause = _cause(site, plant, layout, wish, start, sun)
    pieces = cut(site, plant, reaches=reaches)
    net = lay(plant, pieces, np.array([start.head[name] for name in layout.names]))
    net.opening[:] = [name in wish.opened for name in layout.troughs]
    if not wish.shuts:
        net.state[TOLD] = 0.0
        net.state[CAP] = net.state[SPEED_TOLD] = start.speed
    history = follow(plant, net, cause, pieces.dt, _steps(wish, cause, pieces))
    told = SurgeSetup(
        event=event,
        closing=closing,
        trough=wish.trough,
        closing_time=cause.closing_time,
        settled=_settled(site, sun, wish.opened - {wish.trough}) if wish.shuts else nan,
        shut_in=_settled(site, sun, frozenset()),
    )
    return record(site, plant, layout, pieces, net, history, told)


def follow(plant: Plant, net: Net, cause: Cause, dt: float, steps: int) -> History:
    """Carry the waves through `steps` of `dt` [s] and keep what is to be kept."""
    begin(plant, net, cause.power)
    stride = ceil(steps / _FRAMES)
    rows = np.zeros((steps + 1, net.flows.size))
    frames = np.zeros((steps // stride + 1, net.points.size))
    rows[0], frames[0] = net.flows, net.points.h
    march(plant, net, cause, dt, rows, frames, stride)
    return History(time=dt * np.arange(steps + 1.0), rows=rows, frames=frames, stride=stride)


def _cause(
    site: Site,
    plant: Plant,
    layout: Layout,
    wish: SurgeOptions,
    start: Steady,
    sun: Sun | str | Quantity,
) -> Cause:
    """Turn what was asked for into what acts."""
    law, exponent = CLOSINGS[wish.closing]
    k = layout.troughs.index(wish.trough)
    q_start = start.inflow[wish.trough]
    fails = wish.event == FAILURE
    return Cause(
        power=_PLENTY if fails else steady_power(site, sun),
        trough=k if wish.shuts else -1,
        closing_time=plant.troughs[k].V_band / q_start if wish.fills else wish.closing_time,
        law=law,
        exponent=exponent,
        q_start=q_start,
        ramp_down=0.0 if fails else plant.ramp_down,
        coast=wish.coast if fails else 0.0,
        heeds=wish.drive == HEEDS,
        hangs=wish.check_delay,
        open_k=_standing_k(plant),
    )


def _standing_k(plant: Plant) -> float:
    """Flow coefficient [m3/s/m**0.5] of the pump at standstill, by its curve at the rated flow.

    The curve at no speed, ``H = -R Q**m``, is taken to hold both ways (from memory: a pump that
    stands lets about its rated flow back under the head it loses within). A positive-displacement
    pump seals.
    """
    if plant.is_displacement:
        return 0.0
    pump = plant.centrifugal
    return float(pump.rated_flow / (pump.bend * pump.rated_flow**pump.exponent) ** 0.5)


def _begun(site: Site, plant: Plant, sun: Sun | str | Quantity, wish: SurgeOptions) -> Steady:
    """Return the line before anything happens: full of water, and moving where it is braked."""
    weak = steady_power(site, sun) < plant.start_power
    start = None if weak else steady(site, sun=sun, open_troughs=wish.opened)
    if start is None or start.pump_flow <= _STILL:
        rule = "no water flows then, so nothing can be braked; give more sun, or open a trough"
        raise SiteError("run", "sun", Said(str(sun)), rule)
    if start.surface:
        rule = (
            "the line is sucked empty then even before, or beyond high ground it runs only partly"
            " full, where no wave passes; give more sun, or shut the low trough"
        )
        raise SiteError("run", "sun", Said(str(sun)), rule)
    if wish.shuts and start.inflow[wish.trough] <= _STILL:
        rule = "no water flows into it then; leave the lower troughs out of open_troughs"
        raise SiteError("run", "trough", wish.trough, rule)
    return start


def _settled(site: Site, sun: Sun | str | Quantity, opened: frozenset[str]) -> float:
    """Pressure at the switch [Pa] with some troughs open, once all waves are gone."""
    try:
        return steady(site, sun=sun, open_troughs=opened).pressure[MANIFOLD]
    except RunError:  # shut in, a pump without slip knows no bound
        return inf


def _steps(wish: SurgeOptions, cause: Cause, pieces: Cut) -> int:
    """Return how many steps to take."""
    acting = 0.0
    if wish.shuts:
        acting = (BANDS if wish.fills else 1.0) * cause.closing_time
    elif wish.event == TRIP:
        acting = cause.ramp_down
    length = acting + CROSSINGS * pieces.dt * float(pieces.reaches.sum())
    if wish.duration is not None:
        length = wish.duration
    steps = max(ceil(min(length, LONGEST) / pieces.dt - 1e-9), 1)
    if steps * pieces.reaches.sum() > _MOST_WORK:
        rule = "that is too much for so fine a cut; write less, or fewer reaches"
        raise SiteError("run", "duration", Said(f"{length:.0f} s"), rule)
    return steps
