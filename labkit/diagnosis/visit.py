"""A visit to a line: its tests, and what gauge, watch, bucket and meter would show at each.

Nothing here is asserted about a fault. A line, with a fault in it or sound, is filled, stopped,
left alone and filled again as a person would do it, and what it does is read.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Final

import attrs
import numpy as np

from labkit.advice.proving import WATCHED, first, with_floats
from labkit.engine.demand import steady_power
from labkit.engine.fluid import water_at
from labkit.engine.plant import plant_of
from labkit.engine.standing import go_on, standing
from labkit.engine.steady import settled
from labkit.faults.line import shutoff_valve
from labkit.faults.manifold import ohms, wellhead
from labkit.faults.supply import insulation, lit, metered_power, swapped
from labkit.parts import DisplacementPump
from labkit.text import as_id, sentence
from labkit.trace import DriveState
from labkit.units import si
from labkit.units.customary import FOOT, GPM, HOUR, INCH, PSI

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeAlias

    from labkit.arrays import Floats
    from labkit.engine.standing import Standing
    from labkit.site import Site
    from labkit.trace import Trace

    Shown: TypeAlias = float | str
    """What one thing read comes to [SI], or the word for it."""

WAITS: Final = HOUR  # how long anybody waits for a pump to start by itself [s]
NO_PLACE: Final = ""  # where something is read that a line has once


_FILLING: Final = "15 min"
_STOPPING: Final = "10 min"


@attrs.frozen(kw_only=True)
class Reading:
    """One thing that can be read."""

    key: str  # what it goes by
    kind: str = "word"  # what it measures, as `labkit.units` names it, or "word"
    # standard error of such a reading: fixed [SI], and as a share of the value
    error: float = 0.0
    share: float = 0.0
    words: tuple[str, ...] = ()  # the answers there are, if it is a word
    # whether it is read off the manifold's gauge, and so shares its error with the others
    is_gauge: bool = False
    at_trough: bool = False  # whether it is read at one of the troughs

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """The answers there are, each with the words for it."""
        return tuple((one, sentence("diagnosis", f"word-{as_id(one)}")) for one in self.words)


_CONTACT: Final = ("open", "closed")
_STATES: Final = ("resting", "running", "held", "locked out", "showing a fault code")
_STATE: Final = {"starting": "running", "stopping": "held"}
"""What a drive that is on its way is taken for."""


def _gauge(key: str, *, at_trough: bool = False) -> Reading:
    """Return a reading of the manifold's gauge."""
    return Reading(key=key, kind="pressure", error=0.6 * PSI, is_gauge=True, at_trough=at_trough)


def _flow(key: str, *, error: float = 0.1, share: float) -> Reading:
    """Return a flow at a trough, by bucket and watch; `error` in gpm."""
    return Reading(key=key, kind="flow", error=error * GPM, share=share, at_trough=True)


READINGS: Final[dict[str, Reading]] = {
    one.key: one
    for one in (
        Reading(key="pump filling", words=("runs", "off", "starts and stops"), at_trough=True),
        _gauge("gauge filling", at_trough=True),
        _flow("bucket", share=0.06),
        _flow("bucket one inch down", share=0.08),
        Reading(key="gauge at the float", kind="pressure", error=1.0 * PSI, at_trough=True),
        Reading(key="stop", words=("stops", "keeps running", "locks out", "was off")),
        _gauge("gauge at the stop"),
        _gauge("gauge after ten minutes"),
        Reading(key="stop to start", kind="time", error=10.0, share=0.05),
        Reading(key="start", words=("starts", "stays off")),
        _gauge("gauge at the start"),
        Reading(key="float down to start", kind="time", error=10.0, share=0.05),
        _flow("still runs in", error=0.02, share=0.1),
        Reading(key="fall shut off", kind="pressure", error=0.7 * PSI),
        Reading(key="fall open", kind="pressure", error=0.7 * PSI),
        Reading(key="contact filling", words=_CONTACT),
        Reading(key="contact stopped", words=_CONTACT),
        Reading(key="lever up", words=_CONTACT),
        Reading(key="lever down", words=_CONTACT),
        Reading(key="controller", words=_STATES),
        Reading(key="wellhead", words=("dry", "wet", "relieving")),
        Reading(key="shutoff valve", words=("open", "partly closed")),
        Reading(key="pair filling", words=_CONTACT),
        Reading(key="pair stopped", words=_CONTACT),
        Reading(key="pair ohms", words=("no reading", "a few ohms", "too many ohms")),
        Reading(key="insulation", words=("good", "low")),
        Reading(key="leads swapped", words=("more water", "less water", "no water")),
        Reading(key="gauge drained", kind="pressure", error=0.7 * PSI),
        Reading(key="tank air", kind="pressure", error=1.0 * PSI),
        Reading(key="well at rest", kind="length", error=1.0 * FOOT),
        Reading(key="well pumping", kind="length", error=1.0 * FOOT),
        Reading(key="array power", kind="power", error=5.0, share=0.04),
        Reading(key="pipe size", words=("as designed", "smaller"), at_trough=True),
    )
}
"""Everything that can be read, by its key.

The errors are a judgement: a gauge of 2-2-2 percent, a bucket and a watch, a sounder, a clamp meter
(common practice).
"""


def _always(_site: Site) -> bool:
    return True


def _has_tank(site: Site) -> bool:
    return site.pressure_tank is not None


def _is_solar(site: Site) -> bool:
    return site.drive.kind == "solar"


def _is_centrifugal(site: Site) -> bool:
    return not isinstance(site.pump, DisplacementPump)


@attrs.frozen(kw_only=True)
class FieldTest:
    """Something to do at the line."""

    key: str  # what it goes by
    reads: tuple[str, ...]  # keys of what is read
    minutes: float  # what it takes, the way to a trough not counted
    risk: float = 0.0  # minutes by which its danger makes it dearer: it is asked for later
    needs: Callable[[Site], bool] = _always  # whether a site has what it takes

    @property
    def at_trough(self) -> bool:
        """Whether it is done at one of the troughs."""
        return READINGS[self.reads[0]].at_trough


TESTS: Final[dict[str, FieldTest]] = {
    test.key: test
    for test in (
        FieldTest(key="fill", reads=("pump filling", "gauge filling"), minutes=10),
        FieldTest(key="bucket", reads=("bucket",), minutes=5),
        FieldTest(key="one inch", reads=("bucket one inch down",), minutes=5),
        FieldTest(key="second gauge", reads=("gauge at the float",), minutes=10, risk=2),
        FieldTest(key="stop", reads=("stop", "gauge at the stop"), minutes=10),
        FieldTest(key="ten minutes", reads=("gauge after ten minutes",), minutes=10),
        FieldTest(key="wait", reads=("stop to start",), minutes=40),
        FieldTest(
            key="start", reads=("start", "gauge at the start", "float down to start"), minutes=10
        ),
        FieldTest(key="lifted float", reads=("still runs in",), minutes=5),
        FieldTest(key="shut off", reads=("fall shut off",), minutes=12, risk=2),
        FieldTest(key="open line", reads=("fall open",), minutes=12, risk=2),
        FieldTest(key="wellhead", reads=("wellhead", "shutoff valve"), minutes=2),
        FieldTest(key="lights", reads=("controller",), minutes=2),
        FieldTest(key="lever", reads=("lever up", "lever down"), minutes=4, risk=3),
        FieldTest(key="contact filling", reads=("contact filling",), minutes=3, risk=3),
        FieldTest(key="contact stopped", reads=("contact stopped",), minutes=3, risk=3),
        FieldTest(key="pair filling", reads=("pair filling",), minutes=3, risk=3),
        FieldTest(key="pair stopped", reads=("pair stopped",), minutes=3, risk=3),
        FieldTest(key="ohms", reads=("pair ohms",), minutes=5, risk=3),
        FieldTest(key="drain", reads=("gauge drained",), minutes=6, risk=3),
        FieldTest(key="tank", reads=("tank air",), minutes=15, risk=4, needs=_has_tank),
        FieldTest(key="well at rest", reads=("well at rest",), minutes=15, risk=5),
        FieldTest(key="well pumping", reads=("well pumping",), minutes=15, risk=5),
        FieldTest(key="insulation", reads=("insulation",), minutes=30, risk=30),
        FieldTest(key="swap", reads=("leads swapped",), minutes=30, risk=30, needs=_is_centrifugal),
        FieldTest(key="array", reads=("array power",), minutes=15, risk=30, needs=_is_solar),
        FieldTest(key="pipe", reads=("pipe size",), minutes=30, risk=15),
    )
}
"""Every test by its key, in the order of a visit. Minutes and risk are a judgement."""


def visit(
    site: Site, trough: str, *, sun: str, stopped_gauge: float | None = None, built: Site
) -> dict[tuple[str, str], Shown]:
    """Return all that a visit to a line without stock would show, exact, by reading and trough.

    `site` is the line with its faults, and `built` the one that the print on its pipes is compared
    with. A plugged gauge shows `stopped_gauge` [Pa]. What could not be read is left out.
    """
    found: dict[tuple[str, str], Shown] = {}
    begun = standing(site, sun=sun, start="12:00")

    def gauge(pressure: float) -> float:
        return max(pressure if stopped_gauge is None else stopped_gauge, 0.0)

    for each in site.troughs:
        filling, _ = go_on(begun, _FILLING, site=with_floats(site, [each.name]))
        _read_filling(found, each.name, filling, gauge)
    filling, full = _filled(begun, site, trough)
    _read_floats(found, site, built, sun)
    found["contact filling", NO_PLACE] = site.pressure_switch.metered(
        is_tripped=bool(filling.tripped[-1])
    )
    found["pair filling", NO_PLACE] = _CONTACT[int(filling.contact[-1])]
    state = lit(filling)
    found["controller", NO_PLACE] = _STATE.get(state, state)
    found["pair ohms", NO_PLACE] = ohms(site)
    found["insulation", NO_PLACE] = insulation(site)
    if _is_centrifugal(site):
        found["leads swapped", NO_PLACE] = swapped(site, sun)
    found["lever up", NO_PLACE] = site.pressure_switch.metered(is_tripped=True)
    found["lever down", NO_PLACE] = site.pressure_switch.metered(is_tripped=False)
    found["shutoff valve", NO_PLACE] = shutoff_valve(site)
    found["well pumping", NO_PLACE] = site.well.level(float(filling.pump_flow[-1]))
    still, relieved = _read_stop(found, site, filling, full, gauge)
    found["wellhead", NO_PLACE] = wellhead(site, relieves=relieved)
    _read_rest(found, site, still, trough, gauge)
    found["well at rest", NO_PLACE] = site.well.level(0.0)
    found["array power", NO_PLACE] = metered_power(filling)
    if site.pressure_tank is not None:
        found["tank air", NO_PLACE] = si(site.pressure_tank.precharge)
    return found


def _read_filling(
    found: dict[tuple[str, str], Shown], name: str, filling: Trace, gauge: Callable[[float], float]
) -> None:
    """Read what shows while one trough fills."""
    late = filling.time > 0.5 * filling.time[-1]
    turning = filling.speed[late] > 0.0
    if not turning.any():
        found["pump filling", name] = "off"
    elif turning.all():
        found["pump filling", name] = "runs"
        found["gauge filling", name] = gauge(float(filling.pressure[-1]))
    else:
        found["pump filling", name] = "starts and stops"
    found["bucket", name] = _mean(filling.time[late], filling.inflow[name][late])
    head = _mean(filling.time[late], filling.head[name][late]) - filling.elevations[name]
    found["gauge at the float", name] = max(water_at(filling.site.place).weight * head, 0.0)


def _mean(time: Floats, value: Floats) -> float:
    """Return the mean of a value that runs straight between its rows."""
    lasted = float(time[-1] - time[0])
    return float(np.trapezoid(value, time)) / lasted if lasted > 0.0 else float(value[-1])


def _read_floats(found: dict[tuple[str, str], Shown], site: Site, built: Site, sun: str) -> None:
    """Read each float an inch below where it shuts, and the print on the pipe to it."""
    plant, layout = plant_of(site)
    before = {run.end: run for run in built.runs()}
    runs = {run.end: run for run in site.runs()}
    power = steady_power(site, sun)
    for trough in site.troughs:
        valve = trough.float_valve
        opening = {"always open": 1.0, "always shut": 0.0}.get(
            valve.position, min(INCH / si(valve.band), 1.0)
        )
        state = settled(plant, layout, power=power, openings={trough.name: opening})
        found["bucket one inch down", trough.name] = state.inflow[trough.name]
        end, smaller = trough.name, False
        while end in runs:
            smaller |= si(runs[end].pipe.row.inside_diameter) < si(
                before[end].pipe.row.inside_diameter
            )
            end = runs[end].start
        found["pipe size", trough.name] = "smaller" if smaller else "as designed"


def _read_stop(
    found: dict[tuple[str, str], Shown],
    site: Site,
    filling: Trace,
    full: Standing,
    gauge: Callable[[float], float],
) -> tuple[Standing, bool]:
    """Lift every float and read the stop.

    Return the line as it rests, and whether its relief valve let water out on the way there.
    """
    lifted, still, stops = _lifted(site, full)
    locked = any(
        lifted.times(kind) or filling.times(kind) for kind in ("torque limit", "low water")
    )
    if locked:
        found["stop", NO_PLACE] = "locks out"
    elif lifted.speed[0] == 0.0 and not lifted.times("pump starts"):
        found["stop", NO_PLACE] = "was off"
    elif stops < inf:
        found["stop", NO_PLACE] = "stops"
    else:
        found["stop", NO_PLACE] = "keeps running"
    found["gauge at the stop", NO_PLACE] = gauge(float(lifted.pressure.max()))
    found["contact stopped", NO_PLACE] = site.pressure_switch.metered(is_tripped=still.is_tripped)
    return still, bool(np.any(lifted.relief_flow > 0.0))


def _filled(begun: Standing, site: Site, trough: str) -> tuple[Trace, Standing]:
    """Fill a trough until its line is read and its floats are lifted.

    One that short-cycles is taken up in the middle of a run: nobody lifts floats to see a pump stop
    that is off, and at one instant of a cycle all that follows would hang on seconds.
    """
    held = with_floats(site, [trough])
    filling, full = go_on(begun, _FILLING, site=held)
    starts, stops = filling.times("pump starts"), filling.times("pump stops")
    runs = [(start, stop) for start in starts for stop in stops if stop > start > stops[0]]
    if not runs or filling.drive_state[-1] not in (DriveState.HELD, DriveState.STOPPING):
        return filling, full
    start = max(start for start, _ in runs)
    stop = min(stop for began, stop in runs if began == start)
    return go_on(begun, f"{0.5 * (start + stop):.2f} s", site=held)


def _lifted(site: Site, full: Standing) -> tuple[Trace, Standing, float]:
    """Lift every float: the run, the line as it rests, and when its pump stopped [s].

    The line rests as it is just after the stop; where there is none, as it is in the end.
    """
    shut = with_floats(site)
    lifted, still = go_on(full, _STOPPING, site=shut)
    stops = first(lifted, "pump stops")
    if stops < inf:
        _, still = go_on(full, f"{stops + 0.1} s", site=shut)
    return lifted, still, stops


def _read_rest(
    found: dict[tuple[str, str], Shown],
    site: Site,
    still: Standing,
    trough: str,
    gauge: Callable[[float], float],
) -> None:
    """Read the line left alone, shut off, drained, and filling again."""
    shut = with_floats(site)
    held, _ = go_on(still, f"{WAITS} s", site=shut)
    found["pair stopped", NO_PLACE] = _CONTACT[int(held.contact[0])]
    row = int(held.time.searchsorted(600.0))
    found["gauge after ten minutes", NO_PLACE] = gauge(
        float(held.pressure[min(row, held.time.size - 1)])
    )
    if found["stop", NO_PLACE] == "stops":
        found["stop to start", NO_PLACE] = min(first(held, "pump starts"), WAITS)
    for each in site.troughs:
        found["still runs in", each.name] = float(held.inflow[each.name][0])
    for key, is_shut in (("fall shut off", True), ("fall open", False)):
        watched, _ = go_on(still, WATCHED, site=shut, is_valve_shut=is_shut, is_drive_off=True)
        fall = gauge(float(watched.pressure[0])) - gauge(float(watched.pressure[-1]))
        found[key, NO_PLACE] = max(fall, 0.0)
    found["gauge drained", NO_PLACE] = gauge(0.0)
    again, _ = go_on(still, f"{WAITS} s", site=with_floats(site, [trough]))
    starts = first(again, "pump starts")
    if found["stop", NO_PLACE] != "keeps running":
        found["start", NO_PLACE] = "starts" if starts < inf else "stays off"
        if starts < inf:
            row = int(again.time.searchsorted(starts))
            found["gauge at the start", NO_PLACE] = gauge(float(again.pressure[row]))
            found["float down to start", NO_PLACE] = starts


def after_a_stop(
    site: Site, trough: str, *, sun: str, lasts: float
) -> tuple[Floats, Floats] | None:
    """Return time [s] and pressure at the manifold [Pa] from a stop on, every float up.

    Nothing where the pump does not stop within ten minutes.
    """
    begun = standing(site, sun=sun, start="12:00")
    _, full = _filled(begun, site, trough)
    _, still, stops = _lifted(site, full)
    if stops == inf:
        return None
    held, _ = go_on(still, f"{lasts} s", site=with_floats(site))
    return held.time, held.pressure
