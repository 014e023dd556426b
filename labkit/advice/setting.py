"""Where to put the switch within its window, and how many turns of the screw that is."""

from __future__ import annotations

import attrs
import numpy as np

from labkit.advice.rules import (
    LEAST_CUT_IN,
    MOST_TURNS,
    PER_TURN,
    PER_TURN_OF_DIFFERENTIAL,
    PRESET,
    QUARTER,
    ROOM,
    UNDER_CUT_IN,
)


@attrs.frozen(kw_only=True)
class Room:
    """The room that the bounds leave [Pa gauge].

    Attributes
    ----------
    cut_in_above : float
        Cut-in lies above this.
    floor, ceiling : float
        Cut-out lies between these.
    """

    cut_in_above: float
    floor: float
    ceiling: float

    def nearest(self, cut_in: float, cut_out: float) -> tuple[float, float]:
        """Give the point and the bound that lie closest [Pa], the one meant lower first."""
        pairs = ((self.cut_in_above, cut_in), (self.floor, cut_out), (cut_out, self.ceiling))
        return min(pairs, key=lambda pair: pair[1] - pair[0])

    def margin(self, cut_in: float, cut_out: float) -> float:
        """How far the nearest bound is from two points [Pa]; below zero when one is passed."""
        low, high = self.nearest(cut_in, cut_out)
        return high - low

    def lowest_cut_out(self, differential: float) -> float:
        """Lowest cut-out that keeps to the floor with cut-in a `differential` below it [Pa]."""
        return max(self.floor, max(self.cut_in_above, LEAST_CUT_IN) + differential)

    def width(self, differential: float) -> float:
        """How far a cut-out may be moved with cut-in a `differential` below it [Pa]."""
        return self.ceiling - self.lowest_cut_out(differential)


@attrs.frozen(kw_only=True)
class Setting:
    """A setting of the switch, and how to get there from the factory's.

    Attributes
    ----------
    cut_in, cut_out : float
        The two points [Pa gauge].
    precharge : float
        Air pressure of the tank, empty of water: two psi under cut-in [Pa gauge].
    turns : float
        Turns of the range screw from the preset; out, which lowers both points, counts up.
    differential_turns : float
        Turns of the smaller nut after that; in, which raises cut-out alone, counts up.
    margin : float
        How far the nearest bound is [Pa].
    """

    cut_in: float
    cut_out: float
    precharge: float
    turns: float
    differential_turns: float
    margin: float

    @property
    def differential(self) -> float:
        """Cut-out less cut-in [Pa]."""
        return self.cut_out - self.cut_in

    @property
    def is_narrow(self) -> bool:
        """Whether less than two psi either way is left."""
        return self.margin < 0.5 * ROOM


def after_turns(turns: float, nut: float = 0.0) -> tuple[float, float]:
    """Cut-in and cut-out [Pa] of the usual switch with its range screw some turns out.

    The smaller `nut`, some turns in, raises cut-out alone.

    Examples
    --------
    >>> [round(p / 6894.757, 1) for p in after_turns(5.0)]
    [12.5, 27.5]
    """
    cut_out = PRESET[1] - PER_TURN[1] * turns + PER_TURN_OF_DIFFERENTIAL * nut
    return PRESET[0] - PER_TURN[0] * turns, cut_out


def turns_to(cut_in: float, cut_out: float) -> tuple[float, float]:
    """Give the turns out of the range screw and in of the smaller nut to two points [Pa].

    Examples
    --------
    >>> cut_in, cut_out = after_turns(2.0, nut=1.5)
    >>> [round(turns, 6) for turns in turns_to(cut_in, cut_out)]
    [2.0, 1.5]
    """
    turns = (PRESET[0] - cut_in) / PER_TURN[0]
    return turns, (cut_out - after_turns(turns)[1]) / PER_TURN_OF_DIFFERENTIAL


def setting(room: Room, differential: float) -> Setting | None:
    """Choose a setting within a room, or none where there is no room.

    The range screw alone, if that leaves two psi either way; else the switch's own `differential`
    in the middle of what it leaves; else whatever the screw alone can reach.
    """
    one = _by_one_screw(room)
    if one is not None and not one.is_narrow:
        return one
    both = _by_both(room, differential)
    found = [each for each in (one, both) if each is not None and each.margin > 0.0]
    return max(found, key=lambda each: each.margin, default=None)


def _by_one_screw(room: Room) -> Setting | None:
    """Find the turns of the range screw, in quarters, that stay farthest from every bound."""
    best: Setting | None = None
    for turns in np.arange(-MOST_TURNS[0], MOST_TURNS[1] + QUARTER, QUARTER):
        cut_in, cut_out = after_turns(float(turns))
        if cut_in < LEAST_CUT_IN:
            break
        margin = room.margin(cut_in, cut_out)
        if best is None or margin > best.margin:
            best = Setting(
                cut_in=cut_in,
                cut_out=cut_out,
                precharge=_precharge(cut_in),
                turns=float(turns),
                differential_turns=0.0,
                margin=margin,
            )
    return best


def _by_both(room: Room, differential: float) -> Setting | None:
    """Put the switch, its points a `differential` apart, in the middle of what they leave."""
    if room.width(differential) <= 0.0:
        return None
    cut_out = 0.5 * (room.lowest_cut_out(differential) + room.ceiling)
    cut_in = cut_out - differential
    turns, nut = turns_to(cut_in, cut_out)
    return Setting(
        cut_in=cut_in,
        cut_out=cut_out,
        precharge=_precharge(cut_in),
        turns=turns,
        differential_turns=nut,
        margin=room.margin(cut_in, cut_out),
    )


def _precharge(cut_in: float) -> float:
    return max(cut_in - UNDER_CUT_IN, 0.0)
