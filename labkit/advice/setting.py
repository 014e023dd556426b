"""Where to put the switch within its window, in whole psi, and about how many turns that is."""

from collections.abc import Iterator
from math import ceil, floor
from typing import Final

import attrs

from labkit.advice import rules
from labkit.parts import PressureSwitch
from labkit.site import Site
from labkit.units import si
from labkit.units.customary import PSI

MOST_OFF: Final = 5
"""A point is never called right farther off its number than this [whole psi] (a judgement): a
gauge shows so much plainly."""


@attrs.frozen(kw_only=True)
class Room:
    """The room that the bounds leave [Pa gauge]."""

    cut_in_above: float  # cut-in lies above this
    # cut-out lies between these
    floor: float
    ceiling: float

    def nearest(self, cut_in: float, cut_out: float) -> tuple[float, float]:
        """Return the point and the bound that lie closest [Pa], the one meant lower first."""
        pairs = ((self.cut_in_above, cut_in), (self.floor, cut_out), (cut_out, self.ceiling))
        return min(pairs, key=lambda pair: pair[1] - pair[0])

    def margin(self, cut_in: float, cut_out: float) -> float:
        """How far the nearest bound is from two points [Pa]; below zero when one is passed."""
        low, high = self.nearest(cut_in, cut_out)
        return high - low

    def lowest_cut_out(self, differential: float) -> float:
        """Lowest cut-out that keeps to the floor with cut-in a `differential` below it [Pa]."""
        return max(self.floor, max(self.cut_in_above, rules.LEAST_CUT_IN) + differential)

    def width(self, differential: float) -> float:
        """How far a cut-out may be moved with cut-in a `differential` below it [Pa]."""
        return self.ceiling - self.lowest_cut_out(differential)


@attrs.frozen(kw_only=True)
class Setting:
    """A setting of the switch, and about how to get there from the factory's.

    Attributes
    ----------
    cut_in, cut_out : float
        The two points [Pa gauge], whole psi: what a gauge shows.
    precharge : float
        Air pressure of the tank, empty of water: two psi under cut-in [Pa gauge].
    turns : float
        Turns of the range nut from the preset, for a switch with the site's steps; out, which
        lowers both points, counts up.
    differential_turns : float
        Turns of the smaller nut after that; in, which raises cut-out alone, counts up.
    margin : float
        How far the nearest bound is [Pa].
    off_by : tuple of float
        How far cut-in and cut-out may each be off and keep to the limits [Pa], whole psi; what
        the runs make of that is `Window.off_by`.
    """

    cut_in: float
    cut_out: float
    precharge: float
    turns: float
    differential_turns: float
    margin: float
    off_by: tuple[float, float] = (0.0, 0.0)

    @property
    def differential(self) -> float:
        """Cut-out less cut-in [Pa]."""
        return self.cut_out - self.cut_in

    @property
    def is_narrow(self) -> bool:
        """Whether less than two psi either way is left, which a gauge may be off."""
        return self.margin < 0.5 * rules.ROOM


def steps_of(switch: PressureSwitch | None) -> tuple[float, float, float]:
    """Return how far a turn of the range nut moves cut-in and cut-out, and one of the small nut."""
    if switch is None:
        return (*rules.PER_TURN, rules.PER_TURN_OF_DIFFERENTIAL)
    moves = (switch.turn_moves_cut_in, switch.turn_moves_cut_out, switch.nut_moves_cut_out)
    low, high, nut = (si(move) for move in moves)
    return low, high, nut


def after_turns(
    turns: float, nut: float = 0.0, switch: PressureSwitch | None = None
) -> tuple[float, float]:
    """Return cut-in and cut-out [Pa] of a 30/50 switch with its range nut some turns out.

    The smaller `nut`, some turns in, raises cut-out alone. The steps are the `switch`'s own; of
    the usual one without.

    Examples
    --------
    >>> [round(p / 6894.757, 1) for p in after_turns(5.0)]
    [12.5, 27.5]
    """
    low, high, small = steps_of(switch)
    return rules.PRESET[0] - low * turns, rules.PRESET[1] - high * turns + small * nut


def turns_to(
    cut_in: float, cut_out: float, switch: PressureSwitch | None = None
) -> tuple[float, float]:
    """Return the turns out of the range nut and in of the smaller nut to two points [Pa].

    Examples
    --------
    >>> cut_in, cut_out = after_turns(2.0, nut=1.5)
    >>> [round(turns, 6) for turns in turns_to(cut_in, cut_out)]
    [2.0, 1.5]
    """
    low, _, small = steps_of(switch)
    turns = (rules.PRESET[0] - cut_in) / low
    return turns, (cut_out - after_turns(turns, switch=switch)[1]) / small


def settings(
    room: Room, differential: float, switch: PressureSwitch | None = None
) -> Iterator[Setting]:
    """List the settings worth a try within a room, the best first; none where there is no room.

    The range nut alone, if that leaves two psi either way; else the switch's own `differential`
    in the middle of what it leaves; else whatever the nut alone can reach. After the best of them
    come lower and higher ones, then the highest, and some with the points as far apart as they can
    be: a pump starts more or less often there, and presses on a line less or more. Last comes how
    the switch stands now: where that works, nobody may be told that nothing does.
    """
    one, both = _by_one_nut(room, switch), _by_both(room, differential, switch)
    first = [each for each in (one, both) if each is not None and each.margin > 0.0]
    if one is None or one.is_narrow:
        first.sort(key=lambda each: -each.margin)
    yield from first[:1]
    for best in first[:1]:
        low = max(room.cut_in_above + 0.5 * rules.ROOM, rules.LEAST_CUT_IN)
        moves = [(psi * PSI, psi * PSI) for psi in (-4, 4, -8, 8)]
        high = floor((room.ceiling - 0.5 * rules.ROOM) / PSI) * PSI
        down, up = low - best.cut_in, high - best.cut_out
        moves += [(down, 0.0), (up, up), (0.0, up), (down, up)]
        for cut_in, cut_out in dict.fromkeys(moves):
            moved = _at(room, best.cut_in + cut_in, best.cut_out + cut_out, switch)
            if moved.margin >= min(0.5 * rules.ROOM, best.margin):
                yield moved
        if switch is not None:
            now = _at(room, *switch.points, switch)
            if now.margin > 0.0:
                yield now


def best_in(room: Room, switch: PressureSwitch) -> Setting | None:
    """Return the setting farthest from every limit; None without room."""
    return next(settings(room, switch.differential, switch), None)


def _by_one_nut(room: Room, switch: PressureSwitch | None) -> Setting | None:
    """Find the whole psi of cut-out, by the range nut alone, that stay farthest from any bound."""
    into, out = rules.MOST_TURNS
    step, found = steps_of(switch)[1], []
    lowest, highest = (after_turns(turns, switch=switch)[1] for turns in (out, -into))
    for psi in range(ceil(lowest / PSI), floor(highest / PSI) + 1):
        turns = (rules.PRESET[1] - psi * PSI) / step
        cut_in, cut_out = after_turns(turns, switch=switch)
        whole = _at(room, cut_in, cut_out, switch)
        if whole.cut_in >= rules.LEAST_CUT_IN:
            quarters = round(turns / rules.QUARTER) * rules.QUARTER
            found.append(attrs.evolve(whole, turns=quarters, differential_turns=0.0))
    return max(found, key=lambda each: each.margin, default=None)


def _by_both(room: Room, differential: float, switch: PressureSwitch | None) -> Setting | None:
    """Put the switch, its points a `differential` apart, in the middle of what they leave."""
    apart = round(differential / PSI) * PSI
    if room.width(apart) <= 0.0:
        return None
    middle = 0.5 * (room.lowest_cut_out(apart) + room.ceiling) / PSI
    whole = (floor(middle) * PSI, ceil(middle) * PSI)
    both = [_at(room, cut_out - apart, cut_out, switch) for cut_out in whole]
    return max(both, key=lambda each: each.margin)


def _at(room: Room, cut_in: float, cut_out: float, switch: PressureSwitch | None) -> Setting:
    """Set the switch to whole psi near two points."""
    cut_in, cut_out = (max(round(p / PSI), 1) * PSI for p in (cut_in, cut_out))
    turns, nut = turns_to(cut_in, cut_out, switch)
    apart = 0.5 * (cut_out - cut_in - rules.LEAST_DIFFERENTIAL)
    return Setting(
        cut_in=cut_in,
        cut_out=cut_out,
        precharge=right_air(cut_in),
        turns=turns,
        differential_turns=nut,
        margin=room.margin(cut_in, cut_out),
        off_by=(
            _whole(min(cut_in - room.cut_in_above, cut_in - rules.LEAST_CUT_IN, apart)),
            _whole(min(cut_out - room.floor, room.ceiling - cut_out, apart)),
        ),
    )


def set_so(site: Site, chosen: Setting) -> Site:
    """Return a site with its switch set, and the air of its tank with it."""
    changes = {
        "pressure_switch.cut_in": _psi(chosen.cut_in),
        "pressure_switch.cut_out": _psi(chosen.cut_out),
    }
    if site.pressure_tank is not None:
        changes["pressure_tank.precharge"] = _psi(chosen.precharge)
    return site.changed(changes)


def _psi(pascals: float) -> str:
    return f"{pascals / PSI:.6g} psi"


def _whole(pascals: float) -> float:
    """Round down to whole psi, within what is ever allowed."""
    return min(max(floor(pascals / PSI), 0), MOST_OFF) * PSI


def right_air(cut_in: float) -> float:
    """Return the air that goes with a cut-in [Pa]: a little under it."""
    return max(cut_in - rules.UNDER_CUT_IN, 0.0)
