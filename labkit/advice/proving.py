"""A line proved after its switch is set: what gauge, bucket and watch show at each step.

A float is held down and the line fills; every float is lifted and the pump must stop; one is
pushed down again and the pump must come back. Nothing is asserted: each reading is a settled line
or a run of the site as it is set.
"""

from collections.abc import Callable, Sequence
from functools import cache
from math import inf
from typing import Final

import attrs

from labkit.advice.line import Line
from labkit.advice.trial import patience
from labkit.engine.standing import Standing, go_on, standing
from labkit.engine.steady import steady
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.trace import Trace
from labkit.units import Quantity, quantity, si, ureg

HELD: Final = 3600.0
"""How long the first float is held down [s]. Where pipe drains meanwhile, four times as long as it
takes to fill again comes on top: till then most of it has drained."""
WATCHED: Final = quantity("10 min", "s")  # how long a still line is watched
NOON: Final = "12:00"


@attrs.frozen(kw_only=True)
class Proof:
    """What a line shows in one sun."""

    sun: float  # irradiance on the array [W/m2]
    # for each trough, while its float alone is held right down: gauge at the switch [Pa], and what
    # a bucket at the float catches [m3/s]
    gauge: dict[str, float]
    flow: dict[str, float]
    starts: bool  # whether the pump starts with the float of the trough held down
    push: float  # where the gauge would end if no switch stopped the pump, every float up [Pa]
    # how long the pump fills pipe that drained while the float was down, and how long it is given
    # to stop and to start again [s]
    refills: float
    waited: float
    # from lifting the floats until the drive is told to stop [s], the last time if the pump came
    # back while pipe that had drained filled up; infinite if it is not told
    stops_after: float
    # highest gauge on the way, gauge when the pump stands, and ten minutes after that [Pa]
    peak: float
    rests_at: float
    later: float
    # from pushing the float down to the pump's start [s]; infinite if it does not come
    back_after: float
    restarts: bool  # whether the pump starts again within those ten minutes, every float up
    runs_low: bool  # whether the pump draws the well down to its intake meanwhile

    @property
    def is_sound(self) -> bool:
        """Whether the pump started, stopped, stood still, and came back, the well holding out."""
        does = self.starts and not self.restarts and not self.runs_low
        return does and max(self.stops_after, self.back_after) < inf


@attrs.frozen(kw_only=True, eq=False)
class Worked:
    """A line worked by hand: filled, floats lifted, and so left to stand."""

    # with the one float down, and with all of them up
    filling: Trace
    lifted: Trace
    # how it stands as the floats are lifted, and once the pump has stopped, or is not awaited more
    full: Standing
    still: Standing


def prove(site: Site, sun: float, trough: str) -> Proof:
    """Take a line that is set through the steps, in one sun [W/m2], with the float of a trough."""
    light = ureg.Quantity(sun, "W/m^2")
    one_open = {t.name: steady(site, sun=light, open_troughs=[t.name]) for t in site.troughs}
    line = Line.of(site)
    refills = line.refilling(sun, trough)
    waits = waiting(site, trough, refills)
    worked = work(site, light, trough, refills=refills)
    held, _ = go_on(worked.still, WATCHED, site=with_floats(site))
    back, _ = go_on(worked.still, ureg.Quantity(waits, "s"), site=with_floats(site, [trough]))
    return Proof(
        sun=sun,
        gauge={name: settled.pressure[MANIFOLD] for name, settled in one_open.items()},
        flow={name: settled.inflow[name] for name, settled in one_open.items()},
        starts=bool(worked.filling.times("pump starts")),
        push=steady(site, sun=light, open_troughs=[]).pressure[MANIFOLD],
        refills=refills,
        waited=waits,
        stops_after=max(worked.lifted.times("drive told to stop"), default=inf),
        peak=float(worked.lifted.pressure.max()),
        rests_at=worked.still.pressure,
        later=float(held.pressure[-1]),
        back_after=first(back, "pump starts"),
        restarts=bool(held.times("pump starts")),
        runs_low=any(run.times("low water") for run in (worked.filling, worked.lifted, back)),
    )


def waiting(site: Site, trough: str, refills: float) -> float:
    """Return how long the pump is given to stop, or to start again [s].

    As long as the judge waits for it. Beyond a crest the hand that holds a float down drains more
    pipe than a trough can take up: the time to fill that, `refills`, comes on top.
    """
    return patience(site, trough) + refills


def work(site: Site, sun: Quantity | str, trough: str, *, refills: float) -> Worked:
    """Fill a line with one float held down, then lift every float until the pump stands.

    `refills` [s] is how long the pump fills pipe that has drained until then: over high ground it
    may stop meanwhile and come back, once its water has run on into that pipe.
    """
    begun = standing(site, sun=sun, start=NOON)
    held = ureg.Quantity(HELD + 4.0 * refills, "s")
    filling, full = go_on(begun, held, site=with_floats(site, [trough]))
    waits = ureg.Quantity(waiting(site, trough, refills), "s")
    lifted, still = go_on(full, waits, site=with_floats(site))
    stops = _stands(lifted)
    if stops < inf:
        lifted, still = go_on(full, ureg.Quantity(stops + 0.1, "s"), site=with_floats(site))
    return Worked(filling=filling, lifted=lifted, full=full, still=still)


def _stands(lifted: Trace) -> float:
    """Return when the pump first stopped for long; or, if it never did, when it first stopped."""
    stops, starts = lifted.times("pump stops"), lifted.times("pump starts")
    watched = si(WATCHED)
    lasting = (
        stop for stop in stops if not any(stop < start <= stop + watched for start in starts)
    )
    return next(lasting, first(lifted, "pump stops"))


def with_floats(site: Site, down: Sequence[str] = ()) -> Site:
    """Return a line with some floats held down and all others held up; one that is stuck stays."""
    return site.once(_floats)(frozenset(down))


def _floats(site: Site) -> Callable[[frozenset[str]], Site]:
    @cache
    def held(down: frozenset[str]) -> Site:
        return site.changed(
            {
                f"trough.{t.name}.float_valve.position": "always open"
                if t.name in down
                else "always shut"
                for t in site.troughs
                if t.float_valve.position == "floats"
            }
        )

    return held


def first(trace: Trace, kind: str) -> float:
    """Return when something first happened in a run [s]; infinite if it did not."""
    return min(trace.times(kind), default=inf)
