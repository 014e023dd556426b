"""The operating window: where a pressure switch must stand on a line, in a range of sun."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from labkit.advice.bounds import RUNNING, Bound, lower_bounds, upper_bounds
from labkit.advice.cautions import Caution, cautions
from labkit.advice.line import Line
from labkit.advice.setting import Room, Setting, setting
from labkit.advice.sun_range import SunRange, read_range, sun_range
from labkit.parts import MANIFOLD
from labkit.units import si

if TYPE_CHECKING:
    from labkit.advice.remedy import Remedy
    from labkit.site import Site
    from labkit.units import Quantity

SOUND: Final = "sound stop"
_ORDER: Final = ("safety stop", "no stop", "stuck off", "false stop", "over pressure")
"""Failures in the order in which a run would come to them."""

_ROUNDS: Final = 20


@attrs.frozen(kw_only=True)
class TroughPressures:
    """What the switch sees of one trough [Pa gauge].

    Attributes
    ----------
    name : str
        The trough.
    static : float
        Once the pump stands and the line has run out of the trough's open float.
    least, most : float
        While only this trough fills, in the weakest sun in which it does and in the strongest;
        `most` with the float a tenth closed, where the pressure is highest.
    reached_from : float or None
        The weakest sun of the range in which its water runs [W/m2]; None when in no sun of it.
    """

    name: str
    static: float
    least: float
    most: float
    reached_from: float | None


@attrs.frozen(kw_only=True)
class Window:
    """Where a switch's two points may lie on a line, and where they had best lie.

    Attributes
    ----------
    site : Site
        The line.
    sun : SunRange
        The range of sun, and its ends that matter.
    differential : float
        Of the site's switch: its cut-out less its cut-in [Pa].
    bounds : tuple of Bound
        Every limit, with the trough and the sun that set it.
    troughs : tuple of TroughPressures
        What the switch sees of each trough.
    all_open : float
        At the switch with every float open, in the strongest sun [Pa gauge].
    dead_head : tuple of float
        At the switch with every float shut, in the weakest and in the strongest sun [Pa gauge].
    recommended : Setting or None
        The setting to choose; None when the window is empty.
    overshoot : float
        How far the pressure may climb past the recommended cut-out, or else the site's own, while
        the pump ramps down in the strongest sun [Pa].
    remedies : tuple of Remedy
        Single changes that open an empty or a narrow window, the easiest first.
    cautions : tuple of Caution
        What no setting of the switch can mend.
    """

    site: Site
    sun: SunRange
    differential: float
    bounds: tuple[Bound, ...]
    troughs: tuple[TroughPressures, ...]
    all_open: float
    dead_head: tuple[float, float]
    recommended: Setting | None
    overshoot: float
    remedies: tuple[Remedy, ...] = ()
    cautions: tuple[Caution, ...] = ()

    @property
    def room(self) -> Room:
        """The room that the bounds leave."""
        return _room(self.bounds)

    @property
    def width(self) -> float:
        """How far cut-out may be moved with the switch's own differential [Pa]; negative: none."""
        return self.room.width(self.differential)

    @property
    def is_open(self) -> bool:
        """Whether there is any setting to recommend."""
        return self.recommended is not None

    def tightest(self, limits: str, side: str) -> Bound | None:
        """Give the bound that decides for a point, such as ``("cut-out", "below")``."""
        found = [b for b in self.bounds if b.limits == limits and b.side == side]
        choose = max if side == "above" else min
        return choose(found, key=lambda b: b.pressure) if found else None

    def predicts(self, cut_in: float, cut_out: float, *, trough: str | None = None) -> str:
        """Say what a switch set to two points [Pa gauge] comes to in the worst sun of the range.

        Parameters
        ----------
        cut_in, cut_out : float
            The two points [Pa gauge].
        trough : str, optional
            Ask about this trough's filling alone; left out, about every trough's.

        Returns
        -------
        str
            "sound stop", "stuck off", "false stop", "no stop", "safety stop" or "over pressure".
        """
        failures = {
            bound.failure
            for bound in self.bounds
            if not bound.holds(cut_in, cut_out)
            and (trough is None or bound.side == "below" or bound.where == trough)
        }
        return next((failure for failure in _ORDER if failure in failures), SOUND)


def operating_window(
    site: Site, *, sun_range: tuple[str | Quantity, str | Quantity] = ("250 W/m^2", "1000 W/m^2")
) -> Window:
    """Work out where a site's pressure switch must stand.

    Parameters
    ----------
    site : Site
        The line; of its switch only the differential counts.
    sun_range : pair of str or Quantity
        The weakest sun in which the switch must still stop the pump, and the strongest.

    Returns
    -------
    Window
        Bounds, a recommended setting, and what would open a window that is empty.

    Raises
    ------
    SiteError
        For a range that is none, or in which the pump never starts.

    Notes
    -----
    Each bound but the peaks is a steady state of the line. For the peaks the switch trips while
    the pump runs and every float is shut, the hardest stop that a line can see short of a surge.
    """
    from labkit.advice.remedies import remedies  # noqa: PLC0415 - it asks for windows itself

    low, high = read_range(sun_range)
    window = bare_window(site, low, high)
    chosen = window.recommended
    if chosen is not None and not chosen.is_narrow:
        return window
    return attrs.evolve(window, remedies=remedies(window))


def bare_window(site: Site, low: float, high: float) -> Window:
    """Work out a window for a range of sun [W/m2], without remedies."""
    line = Line.of(site)
    sun = sun_range(line, low, high)
    bounds = (*lower_bounds(line, sun), *upper_bounds(line, sun))
    switch = site.pressure_switch
    differential = si(switch.cut_out) - si(switch.cut_in)
    chosen = setting(_room(bounds), differential)
    every = line.with_open(sun.most, troughs=line.troughs)
    troughs = tuple(_pressures(line, sun, name, bounds) for name in line.troughs)
    return Window(
        site=site,
        sun=sun,
        differential=differential,
        bounds=bounds,
        troughs=troughs,
        all_open=every.pressure[MANIFOLD],
        dead_head=(line.reach(sun.least), line.reach(sun.most)),
        recommended=chosen,
        overshoot=_overshoot(line, sun, chosen),
        cautions=cautions(line, sun, troughs, every.stopped_by),
    )


def _overshoot(line: Line, sun: SunRange, chosen: Setting | None) -> float:
    """Give how far past cut-out the stop climbs, the tank charged for the setting [Pa]."""
    cut_out = line.plant.p_cut_out
    if chosen is not None:
        cut_out = chosen.cut_out
        charged = line.plant._replace(tank_precharge=chosen.precharge)
        line = attrs.evolve(line, plant=charged)
    return line.stop(sun.most, cut_out).peak[MANIFOLD] - cut_out


def _room(bounds: tuple[Bound, ...]) -> Room:
    """Add up the bounds."""

    def edge(limits: str, side: str) -> list[float]:
        return [b.pressure for b in bounds if b.limits == limits and b.side == side]

    return Room(
        cut_in_above=max(0.0, *edge("cut-in", "above")),
        floor=max(0.0, *edge("cut-out", "above")),
        ceiling=min(edge("cut-out", "below")),
    )


def _pressures(
    line: Line, sun: SunRange, trough: str, bounds: tuple[Bound, ...]
) -> TroughPressures:
    """Gather what the switch sees of a trough."""
    most = next(b.pressure for b in bounds if b.name == RUNNING and b.where == trough)
    reached_from = _reached_from(line, sun, trough)
    weakest = line.with_open(reached_from or sun.most, troughs=(trough,))
    return TroughPressures(
        name=trough,
        static=line.static(trough),
        least=weakest.pressure[MANIFOLD],
        most=most,
        reached_from=reached_from,
    )


def _reached_from(line: Line, sun: SunRange, trough: str) -> float | None:
    """Find the weakest sun in which a trough gets water."""

    def gets_water(light: float) -> bool:
        return line.with_open(light, troughs=(trough,)).inflow[trough] > 0.0

    if gets_water(sun.least):
        return sun.least
    if not gets_water(sun.most):
        return None
    low, high = sun.least, sun.most
    for _ in range(_ROUNDS):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if gets_water(middle) else (middle, high)
    return high
