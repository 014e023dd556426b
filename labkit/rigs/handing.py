"""Handing a line over: two days of stock on it, one clear and one hazy, and a score.

The points are a judgement of what makes a good setting: that it works counts most, then the room
that is left, then what it took. On a line that does not work few tries and minutes earn nothing.
"""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING, Final

import attrs

from labkit.advice.judge import GOOD, SUCKED, judge
from labkit.advice.rules import PSI, ROOM
from labkit.advice.setting import right_air
from labkit.engine.run import simulate
from labkit.errors import LabkitError
from labkit.parts import Herd
from labkit.rigs.rig import DATE
from labkit.sun import clear_day

if TYPE_CHECKING:
    from labkit.advice.judge import Judgement
    from labkit.rigs.rig import Rig
    from labkit.site import Site
    from labkit.trace import Trace

MOST: Final = {
    "clear day": 20.0, "hazy day": 20.0, "room": 20.0, "air": 10.0, "tries": 15.0, "minutes": 15.0,
}  # fmt: skip
"""Most points for each part."""

FREE_TRIES: Final = 2
A_TRY: Final = 5.0
"""Settings that cost nothing, and what each more costs."""

FREE_MINUTES: Final = 80.0
MINUTES_A_POINT: Final = 4.0
"""Minutes that the trade's order takes, with some to spare, and how many more cost a point."""

AIR_OFF: Final = 3.0 * PSI
"""How far the tank's air may be off: a pound for the gauge, two for finding cut-in by it."""

ROOM_FOR_ALL: Final = 0.5 * ROOM
"""Room to the nearest limit that earns all points [Pa]; less where a switch cannot have as much."""

_GOOD: Final = (GOOD, SUCKED, "still filling")
_COUNTS: Final = 0.9
"""Share of the day's strongest sun from which a verdict counts a dead head."""

_HERD: Final = Herd(
    head=30, kind="cow with calf", daily_need="6 gal/day", visits=("07:00", "11:00", "15:00"),
    visit_time="4 min",
)  # fmt: skip


@attrs.frozen(kw_only=True, eq=False)
class Handover:
    """How a line was left.

    Attributes
    ----------
    days : tuple of Trace
        The clear day and the hazy one.
    judged : Judgement
        What the one judge says of the line as it was set, in the range of sun of its window.
    cut_in, cut_out : float
        The setting [Pa gauge].
    margin : float
        How far the nearest bound is [Pa]; below zero when one is passed.
    best : float
        The most that this switch can have on this line [Pa].
    air : float or None
        Air in the tank [Pa]; none without a tank.
    tries, hints : int
        Settings tried, hints asked for.
    minutes : float
        Minutes spent.
    points : dict of int
        What each part earned, in whole points, by the names of `MOST`.
    """

    days: tuple[Trace, Trace]
    judged: Judgement
    cut_in: float
    cut_out: float
    margin: float
    best: float
    air: float | None
    tries: int
    hints: int
    minutes: float
    points: dict[str, int]

    @property
    def verdicts(self) -> tuple[str, str]:
        """What the clear and the hazy day showed."""
        clear, hazy = (day.verdict for day in self.days)
        return clear, hazy

    @property
    def score(self) -> int:
        """All points, of a hundred."""
        return sum(self.points.values())

    @property
    def works(self) -> bool:
        """Whether both days went well."""
        return all(verdict in _GOOD for verdict in self.verdicts)

    @property
    def enough_room(self) -> float:
        """Room that earns all its points [Pa]."""
        return min(ROOM_FOR_ALL, self.best)

    @property
    def is_sound(self) -> bool:
        """Whether both days went well and the judge agrees."""
        return self.judged.works and self.works


def hand_over(rig: Rig) -> Handover:
    """Leave a line to its stock and judge how it was set up.

    Raises
    ------
    LabkitError
        While a float is held or the cloth hangs: nobody leaves a line like that.
    """
    if held := [t.name for t in rig.site.troughs if rig.position(t.name) != "floats"]:
        raise LabkitError(f"let the float at {held[0]!r} go before you leave")
    if rig.is_shaded:
        raise LabkitError("take the cloth off the array before you leave")
    days = two_days(rig.site, rig.window.sun.least)
    cut_in, cut_out = rig.screw.cut_in, rig.screw.cut_out
    room = rig.window.room
    every = rig.screw.every(has_nut=rig.has_nut)
    margin = room.margin(cut_in, cut_out)
    best = max(room.margin(one.cut_in, one.cut_out) for one in every)
    clear, hazy = (float(day.verdict in _GOOD) for day in days)
    works = clear * hazy
    earned = {
        "clear day": clear,
        "hazy day": hazy,
        "room": _share(margin / min(ROOM_FOR_ALL, best)) if best > 0.0 else 0.0,
        "air": float(rig.air is None or abs(rig.air - right_air(cut_in)) <= AIR_OFF),
        "tries": works * _share(1.0 - A_TRY / MOST["tries"] * max(rig.tries - FREE_TRIES, 0)),
        "minutes": works
        * _share(1.0 - max(rig.minutes - FREE_MINUTES, 0.0) / MINUTES_A_POINT / MOST["minutes"]),
    }
    return Handover(
        days=days,
        judged=judge(rig.site, rig.window.sun.low, rig.window.sun.high),
        cut_in=cut_in,
        cut_out=cut_out,
        margin=margin,
        best=best,
        air=rig.air,
        tries=rig.tries,
        hints=rig.hints,
        minutes=rig.minutes,
        points={name: floor(share * MOST[name] + 0.5) for name, share in earned.items()},
    )


def _share(value: float) -> float:
    return min(max(value, 0.0), 1.0)


def two_days(site: Site, least: float) -> tuple[Trace, Trace]:
    """Run a clear day, and one whose haze leaves hardly more than a sun `least` [W/m2], with stock.

    A verdict counts what happens from nine tenths of a dull day's strongest sun; that is `least`.
    """
    stocked = _stocked(site)
    clear = clear_day(stocked, DATE)
    hazy = clear.behind(max(1.0 - least / _COUNTS / float(clear.irradiance.max()), 0.0))
    first, second = (simulate(stocked, "1 day", sun=sun, start="00:00") for sun in (clear, hazy))
    return first, second


def _stocked(site: Site) -> Site:
    return site.changed({f"trough.{trough.name}.herd": _HERD for trough in site.troughs})
