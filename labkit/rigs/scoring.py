"""Handing a line over: what was read, how it was worked, what it comes to, how long it took.

The points are a judgement of what makes a good visit. Readings, procedure and outcome are told
apart, and a visit passes only with all three: a setting that works by luck has not been found.
"""

from math import floor
from typing import Final

import attrs

from labkit.advice.judge import Judgement, judge
from labkit.advice.setting import right_air
from labkit.advice.trial import VISIT
from labkit.engine.run import simulate
from labkit.errors import LabkitError
from labkit.parts import Herd
from labkit.rigs.readings import Reading, is_proved, readings
from labkit.rigs.rig import DATE, Rig
from labkit.site import Site
from labkit.sun import clear_day
from labkit.trace import Trace
from labkit.units.customary import PSI

MOST: Final = {"readings": 30.0, "procedure": 30.0, "outcome": 30.0, "minutes": 10.0}
"""Most points for each part."""

A_SLIP: Final = 10.0  # what each kind of slip costs

FREE_MINUTES: Final = 240.0
MINUTES_A_POINT: Final = 6.0
"""Minutes of work that the trade's order takes, half as many again for readings that clouds spoil,
and how many more cost a point; waiting costs nothing."""

AIR_OFF: Final = 3.0 * PSI
"""How far the tank's air may be off: a pound for the gauge, two for finding cut-in by it."""

_COUNTS: Final = 0.9  # share of the day's strongest sun from which a verdict counts a dead head

_HERD: Final = Herd(
    head=30, kind="cow with calf", daily_need="6 gal/day", visits=("07:00", "11:00", "15:00"),
    visit_time=f"{VISIT:g} s",
)  # fmt: skip
"""Stock that drink as the judge's do."""


@attrs.frozen(kw_only=True, eq=False)
class Handover:
    """How a line was left."""

    remedy: str  # the remedy that was handed over in place of a setting; empty for a setting
    remedies: tuple[str, ...]  # those that would have done, on a line that no setting suits
    # what the one judge says of the line as it was set, in the range of sun of its window
    judged: Judgement
    days: tuple[Trace, Trace]  # the clear day and the hazy one, with stock on the line
    readings: tuple[Reading, ...]  # the readings that this visit needed
    slips: tuple[str, ...]  # what was done against safety or procedure
    # the setting [Pa gauge]
    cut_in: float
    cut_out: float
    margin: float  # how far the nearest bound is [Pa]; below zero when one is passed
    minutes: float  # minutes of work
    works: bool  # whether the setting works in every sun, or the remedy is one that the line needs
    points: dict[str, int]  # what each part earned, in whole points, by the names of `MOST`

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
    def missed(self) -> tuple[str, ...]:
        """Readings that were not taken, or not written as they were."""
        return tuple(one.name for one in self.readings if not one.is_right)

    @property
    def is_passed(self) -> bool:
        """Whether nothing was missed, nobody put at risk, and the line works."""
        return self.works and not self.missed and not self.slips


def hand_over(rig: Rig, remedy: str = "") -> Handover:
    """Leave a line to its stock, or with word of what it needs, and judge the visit.

    The remedy is one of `labkit.advice.remedies.EASIEST_FIRST`, where no setting suits the line.
    While a float is held, a cloth hangs, or the controller, the pair or a valve is off it is an
    error: nobody leaves a line like that.
    """
    if rig.undone:
        raise LabkitError(f"put this right before you leave: {', '.join(rig.undone)}")
    window = rig.window
    judged = judge(rig.site, window.sun.low, window.sun.high)
    wanted = () if window.is_open else tuple(one.kind for one in window.remedies)
    works = remedy in wanted if remedy else judged.works
    needed = tuple(one for one in readings(rig) if not (remedy and one.name == "peak"))
    slips = (*rig.slips, *(() if remedy else _unfinished(rig)))
    right = sum(one.is_right for one in needed) / len(needed)
    earned = {
        "readings": right,
        "procedure": 1.0 - A_SLIP / MOST["procedure"] * len(slips),
        "outcome": float(works) if remedy else _outcome(judged),
        "minutes": works
        * (1.0 - max(rig.worked - FREE_MINUTES, 0.0) / MINUTES_A_POINT / MOST["minutes"]),
    }
    return Handover(
        remedy=remedy,
        remedies=wanted,
        judged=judged,
        days=two_days(rig.site, window.sun.least),
        readings=needed,
        slips=slips,
        cut_in=rig.screw.cut_in,
        cut_out=rig.screw.cut_out,
        margin=window.room.margin(rig.screw.cut_in, rig.screw.cut_out),
        minutes=rig.worked,
        works=works,
        points={
            name: floor(min(max(share, 0.0), 1.0) * MOST[name] + 0.5)
            for name, share in earned.items()
        },
    )


def _unfinished(rig: Rig) -> tuple[str, ...]:
    """Say what a setting was handed over without."""
    has_air = rig.air is None or abs(rig.air - right_air(rig.screw.cut_in)) <= AIR_OFF
    found = {"unproved": not is_proved(rig), "air off": not has_air}
    return tuple(name for name, is_so in found.items() if is_so)


def _outcome(judged: Judgement) -> float:
    """Return the share of weak, middling and strong sun in which a line works."""
    if judged.works:
        return 1.0
    if judged.sun is None or any(one.sun is None or one.cause != "run" for one in judged.reasons):
        return 0.0
    return max(1.0 - len({one.sun for one in judged.reasons}) / 3.0, 0.0)


def two_days(site: Site, least: float) -> tuple[Trace, Trace]:
    """Run a clear day, and one whose haze leaves hardly more than a sun `least` [W/m2], with stock.

    A verdict counts what happens from nine tenths of a cloudy day's strongest sun; that is `least`.
    """
    stocked = site.changed({f"trough.{trough.name}.herd": _HERD for trough in site.troughs})
    clear = clear_day(stocked, DATE)
    hazy = clear.behind(max(1.0 - least / _COUNTS / float(clear.irradiance.max()), 0.0))
    first, second = (simulate(stocked, "1 day", sun=sun, start="00:00") for sun in (clear, hazy))
    return first, second
