"""The operating window: where a pressure switch may be set on a line, in a range of sun."""

from __future__ import annotations

from functools import cached_property
from math import inf
from typing import TYPE_CHECKING, Final

import attrs

from labkit.advice.bisect import turning_point
from labkit.advice.bounds import (
    RUNNING,
    STATIC,
    Bound,
    Caution,
    cautions,
    in_full,
    lower_bounds,
    room_of,
    upper_bounds,
)
from labkit.advice.judge import Judgement, judge
from labkit.advice.line import Line, SunRange, read_range, sun_range
from labkit.advice.setting import MOST_OFF, Setting, best_in, set_so, settings
from labkit.parts import MANIFOLD
from labkit.units.customary import PSI

if TYPE_CHECKING:
    from labkit.advice.drinking import SlowDrinking
    from labkit.advice.remedies import NoTank, Remedy
    from labkit.advice.setting import Room
    from labkit.site import Site
    from labkit.units import Quantity

_CORNERS: Final = ((1, -1), (1, 1), (-1, 1), (-1, -1))
"""Ways in which cut-in and cut-out may both be off; nearest each other, where most fails, first."""


@attrs.frozen(kw_only=True)
class TroughPressures:
    """What the switch sees of one trough [Pa gauge]."""

    name: str
    # Once the pump stands and the line has run out of the trough's open float. By the highest
    # ground on the way; while no air has come in there, the gauge may show as little as `at_first`.
    static: float
    at_first: float
    crest: str | None  # that ground, where it is higher than the trough itself
    # while only this trough fills, in the weakest sun in which it does and in the strongest; `most`
    # with the float a tenth closed, where the pressure is highest
    least: float
    most: float
    # the weakest sun of the range in which its water runs [W/m2]; None when in no sun of it
    reached_from: float | None


@attrs.frozen(kw_only=True)
class Window:
    """Where a switch's two points may be on a line, and where they are best.

    The limits are settled states. Whatever asks for runs (`own`, `recommended`, `remedies`,
    `no_tank`, `slow_drinking`) is worked out when it is first wanted, and kept.

    Attributes
    ----------
    site : Site
        The line.
    sun : SunRange
        The range of sun, and its ends that matter.
    deciding : tuple of Bound
        The limits that set the room, by their pressures alone.
    troughs : tuple of TroughPressures
        What the switch sees of each trough.
    all_open : float
        At the switch with every float open, in the strongest sun [Pa gauge].
    dead_head : tuple of float
        At the switch with every float shut, in the weakest and in the strongest sun [Pa gauge].
    cautions : tuple of Caution
        What no setting of the switch can mend.
    """

    site: Site
    sun: SunRange
    deciding: tuple[Bound, ...]
    troughs: tuple[TroughPressures, ...]
    all_open: float
    dead_head: tuple[float, float]
    cautions: tuple[Caution, ...] = ()

    @cached_property
    def bounds(self) -> tuple[Bound, ...]:
        """Every limit, with the trough and the sun that set it."""
        line, sun = Line.of(self.site), self.sun
        found = (*lower_bounds(line, sun), *upper_bounds(line, sun))
        return tuple(in_full(line, sun, bound) for bound in found)

    @property
    def differential(self) -> float:
        """Of the site's switch: its cut-out less its cut-in [Pa]."""
        return self.site.pressure_switch.differential

    @property
    def room(self) -> Room:
        """The room that the bounds leave."""
        return room_of(self.deciding)

    @property
    def width(self) -> float:
        """How far cut-out may be moved with the switch's own differential [Pa]; negative: none."""
        return self.room.width(self.differential)

    @property
    def is_by_switch(self) -> bool:
        """Whether the pressure switch is used to stop this line."""
        return bool(self.site.drive.listens_to != "level sensor")

    @property
    def is_open(self) -> bool:
        """Whether there is any setting to recommend."""
        return self.recommended is not None

    @property
    def best(self) -> Setting | None:
        """The setting farthest from every limit, whether it works or not; None without room."""
        return best_in(self.room, self.site.pressure_switch)

    @property
    def recommended(self) -> Setting | None:
        """The setting to choose; None where no room is left, or no setting in it works."""
        return self._chosen[0]

    @property
    def judged(self) -> Judgement | None:
        """What the recommended setting comes to, or the best one that was refused; None without."""
        return self._chosen[1] or self._refusal

    @cached_property
    def own(self) -> Judgement:
        """What the line comes to as its switch is set now."""
        return self._judge(self.site)

    @cached_property
    def _chosen(self) -> tuple[Setting | None, Judgement | None, Site | None]:
        """Try the settings worth a try, until one works; else give the first that was refused."""
        return choose(self.site, self.sun, self.room) if self.is_by_switch else (None, None, None)

    @cached_property
    def _refusal(self) -> Judgement | None:
        """All that speaks against the best setting, where none works."""
        refused = self._chosen[2]
        return None if refused is None else self._judge(refused)

    def _judge(self, site: Site, *, gives_up_past: float | None = None) -> Judgement:
        """Judge a line in the range of sun of this window."""
        return judge(site, self.sun.low, self.sun.high, gives_up_past=gives_up_past)

    @cached_property
    def off_by(self) -> tuple[float, float]:
        """How far the recommended points may each be off and still count as right [Pa], whole psi.

        Points nearer to each other start the pump more often, a leak may then start it unasked, and
        behind high ground a stop's waves differ: the runs have the last word.
        """
        chosen = self.recommended
        if chosen is None:
            return 0.0, 0.0
        for less in range(MOST_OFF):
            low, high = (max(off - less * PSI, 0.0) for off in chosen.off_by)
            corners = dict.fromkeys((low * a, high * b) for a, b in _CORNERS)
            if len(corners) == 1:  # no room is left, and the points themselves have been tried
                break
            if all(self._works_off(chosen, *corner) for corner in corners):
                return low, high
        return 0.0, 0.0

    def _works_off(self, chosen: Setting, low: float, high: float) -> bool:
        """Whether points so far off a setting [Pa] do, by the switch alone."""
        off = attrs.evolve(chosen, cut_in=chosen.cut_in + low, cut_out=chosen.cut_out + high)
        alone = set_so(self.site, off).changed({"drive.listens_to": "pressure switch"})
        return self._judge(alone, gives_up_past=inf).works

    @cached_property
    def overshoot(self) -> float:
        """How far past the recommended cut-out, or else the site's own, the stop climbs [Pa]."""
        cut_out = self._set_line.plant.p_cut_out
        return self._set_line.hardest_stop(self.sun, cut_out).peak[MANIFOLD] - cut_out

    @cached_property
    def _set_line(self) -> Line:
        """The line as recommended, or else as it is set."""
        chosen = self.recommended
        return Line.of(self.site if chosen is None else set_so(self.site, chosen))

    @cached_property
    def remedies(self) -> tuple[Remedy, ...]:
        """Single changes that open an empty or a narrow window, the easiest first."""
        from labkit.advice.remedies import remedies  # noqa: PLC0415 - it asks for windows itself

        chosen = self.recommended
        is_wide = chosen is not None and not chosen.is_narrow
        return () if is_wide or not self.is_by_switch else remedies(self)

    @cached_property
    def beside_a_tank(self) -> tuple[Remedy, ...]:
        """Changes that do if the line gets a pressure tank, too, where no single one is enough."""
        from labkit.advice.remedies import SIGNAL, beside_a_tank  # noqa: PLC0415 - as above

        is_bare = self.site.pressure_tank is None and self.is_by_switch
        if not is_bare or self.recommended is not None:
            return ()
        is_hard = all(remedy.kind == SIGNAL for remedy in self.remedies)
        return beside_a_tank(self) if is_hard else ()

    @cached_property
    def slow_drinking(self) -> SlowDrinking | None:
        """What stock that keep drinking make of the line as recommended; None without a setting."""
        from labkit.advice.drinking import slow_drinking  # noqa: PLC0415 - as above

        chosen = self.recommended
        return None if chosen is None else slow_drinking(set_so(self.site, chosen), self.sun)

    @cached_property
    def no_tank(self) -> NoTank | None:
        """What it costs to have no pressure tank; None where there is one, or nothing to judge."""
        from labkit.advice.remedies import no_tank  # noqa: PLC0415 - it asks for windows itself

        return no_tank(self) if self.site.pressure_tank is None and self.is_by_switch else None

    def tightest(self, limits: str, side: str) -> Bound | None:
        """Return the bound that decides for a point, such as ``("cut-out", "below")``."""
        found = [b for b in self.deciding if b.limits == limits and b.side == side]
        choose = max if side == "above" else min
        bound = choose(found, key=lambda b: b.pressure, default=None)
        return None if bound is None else in_full(Line.of(self.site), self.sun, bound)


def choose(
    site: Site, sun: SunRange, room: Room
) -> tuple[Setting | None, Judgement | None, Site | None]:
    """Return the first setting of a room that works, judged; or else the first refused."""
    refused, switch = None, site.pressure_switch
    for one in settings(room, switch.differential, switch):
        line = set_so(site, one)
        alone = line.changed({"drive.listens_to": "pressure switch"})
        judged = judge(line, sun.low, sun.high, gives_up_past=inf)  # first beside its level sensors
        if not judged.works:
            refused = refused or line
        elif alone == line or judge(alone, sun.low, sun.high, gives_up_past=inf).works:
            return one, judged, None
        else:
            refused = refused or alone
    return None, None, refused


def operating_window(
    site: Site, *, sun_range: tuple[str | Quantity, str | Quantity] = ("250 W/m^2", "1000 W/m^2")
) -> Window:
    """Work out where a site's pressure switch may be set.

    Parameters
    ----------
    site : Site
        The line; of its switch only the differential and the steps of its nuts count.
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
    A setting is recommended only if `labkit.advice.judge` finds that it works.
    """
    return bare_window(site, *read_range(sun_range))


def bare_window(site: Site, low: float, high: float) -> Window:
    """Work out a window for a range of sun [W/m2]; see `operating_window`."""
    line = Line.of(site)
    sun = sun_range(line, low, high)
    lower = tuple(lower_bounds(line, sun))
    every = line.with_open(sun.most, troughs=line.troughs)
    troughs = tuple(_pressures(line, sun, name, lower) for name in line.troughs)
    return Window(
        site=site,
        sun=sun,
        deciding=(*lower, *upper_bounds(line, sun, decide=True)),
        troughs=troughs,
        all_open=every.pressure[MANIFOLD],
        dead_head=(line.reach(sun.least), line.reach(sun.most)),
        cautions=cautions(line, sun, troughs, every.stopped_by),
    )


def _pressures(
    line: Line, sun: SunRange, trough: str, bounds: tuple[Bound, ...]
) -> TroughPressures:
    """Gather what the switch sees of a trough."""
    most = next(b.pressure for b in bounds if b.name == RUNNING and b.where == trough)
    found, reached_from = line.rest(trough), _reached_from(line, sun, trough)
    weakest = line.with_open(reached_from or sun.most, troughs=(trough,))
    return TroughPressures(
        name=trough,
        static=found.pressure,
        at_first=found.least,
        crest=next(b.crest for b in bounds if b.name == STATIC and b.where == trough),
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
    return turning_point(gets_water, sun.least, sun.most)[1]
