"""How each task on site is done: something is turned, the simulated line goes on, and is read.

Nothing is asserted about any fault. The errors are what such instruments and hands allow: a gauge
to 1 psi, a bucket and a watch to 5 percent, a sounder to half a foot, a meter to 3 percent (common
practice). Sentences are chosen by how readings fall out; they stand with the task in the words of
``tasks``. Nobody writes that a gauge "went between 71 and 71 psi".
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Final, TypeAlias

import attrs
import numpy as np

from labkit.arrays import Floats
from labkit.drills.scene import Scene, Value, fallen, on_gauge, word
from labkit.engine.fluid import water_at
from labkit.faults.line import shutoff_valve
from labkit.faults.manifold import ohms, wellhead
from labkit.faults.supply import insulation, lit, metered_power, swapped
from labkit.site import Site
from labkit.text import Words, as_id, template
from labkit.trace import Trace
from labkit.trace.measures import SHUT
from labkit.units import si, written
from labkit.units.customary import FOOT, GALLON, GPM, INCH, PSI

Reads: TypeAlias = Mapping[str, float | str]  # things read, by their names: SI values and words
Saying: TypeAlias = Callable[[Reads], tuple[str, ...]]
"""From things read to the sentences that say it."""

NOTHING: Final = 3.1e-7  # a flow that fills no bucket [m3/s]; less than 0.005 gpm
_NO_WATER: Final = 1.9e-5  # water [m3] that wets a bucket's bottom; less than 0.005 gal
_LEVEL: Final = 1e-3  # water this close under a rim is at the rim [m]
MOST_ROWS: Final = 40  # rows of a run that are looked at
_SAME: Final = 0.5 * PSI
_COUNTED: Final = 2
"""Starts up to which there is a word: none, once, twice."""

WORDS: Final = Words("tasks")


def seen(word: str) -> str:
    """Return how something seen is told; what is read off a print is told as it stands there."""
    return WORDS.get(f"seen {word}", word)


def always(_: Reads) -> tuple[str, ...]:
    """Say the same no matter what is read."""
    return ("read",)


def _number(read: Reads, name: str) -> float:
    value = read[name]
    return 0.0 if isinstance(value, str) else value


def _differ(read: Reads, name: str, other: str) -> bool:
    return abs(_number(read, name) - _number(read, other)) > _SAME


def watched(read: Reads) -> tuple[str, ...]:
    """Say how the gauge went in ten minutes, and how often the pump started."""
    starts = round(_number(read, "starts"))
    gauge = "moved" if _differ(read, "low", "high") else "stood"
    return gauge, f"starts-{starts}" if starts <= _COUNTED else "starts"


def turned(read: Reads) -> tuple[str, ...]:
    """Say how the contact answered the nut."""
    return ("same" if read["before"] == read["contact"] else "turned",)


def held(read: Reads) -> tuple[str, ...]:
    """Say how a pressure held in ten minutes."""
    if _differ(read, "gauge", "later"):
        return ("fell",)
    return ("none" if _number(read, "gauge") < _SAME else "held",)


def lifted(read: Reads) -> tuple[str, ...]:
    """Say how high the gauge went with every float lifted."""
    return ("rose" if _differ(read, "before", "high") else "stayed",)


def worked(read: Reads) -> tuple[str, ...]:
    """Say whether the pump came with a float down, and went with all floats up."""
    return ("moved" if _differ(read, "low", "high") else "stood",)


def passed(read: Reads) -> tuple[str, ...]:
    """Say what a float passes, or that it passes nothing."""
    return ("flow" if _number(read, "flow") > NOTHING else "none",)


def stood(read: Reads) -> tuple[str, ...]:
    """Say where a gauge stood, or between what it swung."""
    return ("swung" if _differ(read, "low", "high") else "read",)


def bucketed(read: Reads) -> tuple[str, ...]:
    """Say what a float passes, and where the gauge stood meanwhile."""
    return *passed(read), *(f"gauge-{one}" for one in stood(read))


def looked(read: Reads) -> tuple[str, ...]:
    """Say how high the water is in a trough."""
    return ("rim" if _number(read, "gap") < _LEVEL else "under",)


def emptied(read: Reads) -> tuple[str, ...]:
    """Say what was found in a drained tank."""
    return ("water" if _number(read, "water") > _NO_WATER else "none",)


def cycled(read: Reads) -> tuple[str, ...]:
    """Say how a full cycle went."""
    return ("fell" if _differ(read, "rest", "later") else "held",)


Result: TypeAlias = tuple[tuple[Value, ...], Scene]  # what is read, and the scene afterwards


@attrs.frozen(kw_only=True)
class Task:
    """Something to do on site."""

    key: str  # what it goes by
    minutes: float  # what it costs, and how long the line goes on meanwhile
    said: Saying = always  # from what was read to the sentences that are written down
    is_at_trough: bool = False  # whether it is done at one of the troughs
    # for a task that turns nothing: from a scene, a trace, a row of it and a trough (or an empty
    # name) to what is read then
    see: Callable[[Scene, Trace, int, str], tuple[Value, ...]] | None = None
    # for the others: from a scene, a trough and the minutes to what is read and the scene then
    turn: Callable[[Scene, str, float], Result] | None = None
    needs: Callable[[Site], bool] = lambda _: True  # whether a site has what it takes

    @property
    def label(self) -> str:
        """What the button says; ``{where}`` stands for a trough, ``{inch}`` for an inch."""
        return template("tasks", as_id(self.key))

    def words(self, values: Iterable[Value]) -> str:
        """Write down what was read, its amounts as names in braces."""
        said = self.said({value.name: value.value for value in values})
        return " ".join(template("tasks", f"{as_id(self.key)}.{one}") for one in said)

    def do(self, scene: Scene, where: str) -> Result:
        """Do it: what is read, exact, and the scene afterwards."""
        if self.turn is not None:
            return self.turn(scene, where, self.minutes)
        trace, after = scene.pass_time(self.minutes)
        return () if self.see is None else self.see(scene, trace, -1, where), after


def pumps(trace: Trace, row: int = -1) -> str:
    """Say whether the pump is heard, at the end of a run or in another row of it."""
    return "runs" if trace.speed[row] > 0.0 else "stands still"


def gauge(scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
    """Read the gauge and hear the pump."""
    shown = on_gauge("gauge", scene.shown(trace.pressure[row]))
    return shown, word("pump", pumps(trace, row))


def watch(scene: Scene, _where: str, minutes: float) -> Result:
    """Watch the gauge for ten minutes and count starts."""
    trace, after = scene.pass_time(minutes)
    shown = scene.needle(trace)
    starts = float(len(trace.times("pump starts")))
    count = Value(name="starts", kind="count", value=starts)
    return (on_gauge("low", shown.min()), on_gauge("high", shown.max()), count), after


def lights(_scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
    """Read what the drive says it is doing."""
    return (word("state", lit(trace, row)),)


def contact(scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
    """Meter the switch's own contact, the pair taken off."""
    found = scene.site.pressure_switch.metered(is_tripped=bool(trace.tripped[row]))
    return word("contact", found), on_gauge("gauge", scene.shown(trace.pressure[row]))


def pair(_scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
    """Meter the loop where the drive feels it."""
    return (word("pair", "closed" if trace.contact[row] else "open"),)


def drain(scene: Scene, _where: str, minutes: float) -> Result:
    """Drain the manifold, valve shut and drive off, and meter the contact."""
    trace, after = scene.pass_time(4.0, turned=scene.drained(), valve="shut", drive="off")
    found = scene.site.pressure_switch.metered(is_tripped=bool(trace.tripped[-1]))
    after = after.later(minutes - 4.0)
    return (word("contact", found), on_gauge("gauge", scene.shown(trace.pressure[-1]))), after


def screw(scene: Scene, _where: str, minutes: float) -> Result:
    """Turn both points of the switch down to half, meter the contact, and turn them back."""
    switch = scene.site.pressure_switch
    halves = {
        "pressure_switch.cut_in": written(switch.cut_in * 0.5),
        "pressure_switch.cut_out": written(switch.cut_out * 0.5),
    }
    turned = scene.turned_by("halved", halves)
    was = scene.site.pressure_switch.metered(is_tripped=scene.standing.is_tripped)
    _, open_box = scene.pass_time(1.9)
    trace, after = open_box.pass_time(0.1, turned=turned)  # metered before the line can answer
    found = scene.site.pressure_switch.metered(is_tripped=bool(trace.tripped[-1]))
    after = after.later(minutes - 2.0)
    return (word("before", was), word("contact", found)), after


def lever(scene: Scene, _where: str, minutes: float) -> Result:
    """Work the switch's lever by hand, up and down, and meter the contact each time."""
    after = scene.later(minutes, drive="off")
    up, down = (
        scene.site.pressure_switch.metered(is_tripped=is_tripped) for is_tripped in (True, False)
    )
    return (word("up", up), word("down", down)), after


def meter_ohms(scene: Scene, _where: str, minutes: float) -> Result:
    """Meter the pair's ohms at the controller, the drive off and the switch's lever held closed."""
    after = scene.later(minutes, drive="off")
    return (word("ohms", ohms(scene.site)),), after


def motor_lead(scene: Scene, _where: str, minutes: float) -> Result:
    """Have the insulation of the lead to the motor tested."""
    after = scene.later(minutes, drive="off")
    return (word("insulation", insulation(scene.site)),), after


def swap(scene: Scene, _where: str, minutes: float) -> Result:
    """Have two leads of the motor swapped, compare the water at the troughs, and swap them back."""
    after = scene.later(minutes, drive="off")
    return (word("water", swapped(scene.site, scene.standing.sun)),), after


def look_at_wellhead(scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
    """Look at the fittings at the wellhead, and at the handle of the line shutoff valve."""
    ground = wellhead(scene.site, relieves=bool(trace.relief_flow[row] > NOTHING))
    return word("ground", ground), word("valve", shutoff_valve(scene.site))


def _hold(scene: Scene, minutes: float, *, valve: str) -> Result:
    trace, after = scene.pass_time(
        minutes,
        turned=scene.held("always shut"),
        valve="shut" if valve == "shut" else "open",
        drive="off",
    )
    before, later = (scene.shown(trace.pressure[row]) for row in (0, -1))
    shown = on_gauge("gauge", before), on_gauge("later", later)
    return (*shown, fallen("fall", *shown)), after


def shut_in(scene: Scene, _where: str, minutes: float) -> Result:
    """Watch what stands at the wellhead hold its pressure by itself."""
    return _hold(scene, minutes, valve="shut")


def open_line(scene: Scene, _where: str, minutes: float) -> Result:
    """Watch wellhead and line together hold their pressure."""
    return _hold(scene, minutes, valve="open")


def lift(scene: Scene, _where: str, minutes: float) -> Result:
    """Lift every float that will move."""
    trace, after = scene.pass_time(minutes, turned=scene.held("always shut"))
    shown = scene.needle(trace)
    before, high = on_gauge("before", shown[0]), on_gauge("high", shown.max())
    return (before, high, word("pump", pumps(trace))), after


def work_switch(scene: Scene, where: str, minutes: float) -> Result:
    """Push a float down until the pump comes, then lift all until it stops.

    A pump that comes and goes under the open float is caught at any moment of its swing.
    """
    opened, after = scene.pass_time(6.0, turned=scene.held("always open", [where]))
    lifted, after = after.pass_time(minutes - 6.0, turned=scene.held("always shut"))
    comes, stops = (
        trace.times(kind) for trace, kind in ((opened, "pump starts"), (lifted, "pump stops"))
    )
    shown = scene.needle(opened)
    low, high = on_gauge("low", shown.min()), on_gauge("high", scene.needle(lifted).max())
    was_on = opened.speed[0] > 0.0
    on = "was running" if was_on else "came on" if comes else "did not come on"
    stood = "had stopped by itself" if was_on or comes else "stood still as before"
    off = word(
        "off",
        "stopped" if stops else "did not stop" if lifted.speed[-1] > 0.0 else stood,
    )
    rows, _ = cycling(opened)
    if rows.stop:
        met = thinned(rows.start, rows.stop)
        rests = [row for row in met if opened.speed[row] == 0.0]
        tops = tuple(on_gauge("high", float(shown[row])) for row in rests)
        off = attrs.evolve(off, swings=tuple(word("off", one) for one in ("stopped", stood)))
        high = attrs.evolve(high, swings=tops)
    return (word("on", on), low, off, high), after


def thinned(first: int, size: int) -> range:
    """Return rows of a run from a first one on, thinned out to those that show how it went."""
    return range(first, size, max((size - first) // MOST_ROWS, 1))


def cycling(trace: Trace) -> tuple[slice, bool]:
    """Return the rows of a line's last cycle, and whether they are a whole one.

    There are none unless the pump both comes and goes: a line on its way to stand, or to run, is
    read in the end.
    """
    comes, goes = trace.times("pump starts"), trace.times("pump stops")
    if not comes or not goes:
        return slice(0), False
    whole = [tuple(times[-2:]) for times in (comes, goes) if len(times) > 1]
    begins, ends = max(whole) if whole else (min(comes[0], goes[0]), trace.time[-1])
    first, last = trace.time.searchsorted((begins, ends)).tolist()
    return slice(first, last + 1), bool(whole)


def _at_any_moment(value: Value, trace: Trace, read: Callable[[int], Value]) -> Value:
    """Return what is read of a part of a cycle, with what it might have been in that part.

    Where the part begins hangs on how the line stood, to the second: nobody knows that.
    """
    rows, is_whole = cycling(trace)
    if is_whole or rows.stop == 0:
        return value
    return attrs.evolve(value, swings=tuple(map(read, thinned(rows.start, rows.stop))))


def caught(trace: Trace, where: str, *, least: float = 0.1) -> Value:
    """Time what runs into a trough; it may be off by 5 percent, and by `least` [gpm].

    Under a float whose pump comes and goes a bucket catches the whole swing, and so the mean.
    """
    inflow = trace.inflow[where]

    def flow(value: float) -> Value:
        error = max(0.05 * value, least * GPM)
        return Value(name="flow", kind="flow", value=value, error=error)

    rows, is_whole = cycling(trace)
    if is_whole:
        time = trace.time[rows]
        return flow(float(np.trapezoid(inflow[rows], time)) / float(time[-1] - time[0]))
    return _at_any_moment(flow(float(inflow[-1])), trace, lambda row: flow(float(inflow[row])))


def swung(trace: Trace, shown: Floats) -> tuple[Value, Value]:
    """Read a gauge in the end; where the pump comes and goes, between what its needle swings."""
    rows, _ = cycling(trace)
    part = shown[rows] if rows.stop else shown[-1:]

    def end(name: str, value: float) -> Value:
        read = on_gauge(name, value)
        return _at_any_moment(read, trace, lambda row: on_gauge(name, float(shown[row])))

    return end("low", part.min()), end("high", part.max())


def bucket(scene: Scene, where: str, minutes: float) -> Result:
    """Time a bucket at a float pushed all the way down."""
    trace, after = scene.pass_time(minutes, turned=scene.held("always open", [where]))
    return (caught(trace, where), *swung(trace, scene.needle(trace))), after


def inlet(scene: Scene, where: str, minutes: float) -> Result:
    """Read a second gauge just ahead of a float valve, its float pushed all the way down."""
    trace, after = scene.pass_time(5.0, turned=scene.held("always open", [where]))
    head = trace.head[where] - trace.elevations[where]
    shown = water_at(scene.site.place).weight * head
    return swung(trace, shown), after.later(minutes - 5.0)


def lowered(scene: Scene, where: str) -> Site:
    """Return the line with a float held an inch lower: the same as a trough shut an inch higher.

    An inch below the water, if an earlier test has filled the trough past its float; the rim does
    not stop a hand, so it gives way in the reckoning.
    """
    trough = scene.site.trough(where)
    depth, volume = si(trough.depth), si(trough.volume)
    now, _ = scene.pass_time(0.02)
    shut = max(float(now.level[where][-1]), depth - si(trough.freeboard)) + INCH
    rim = max(depth, shut)
    return scene.site.changed(
        {
            f"trough.{where}.depth": f"{rim * 1e3:.4f} mm",
            f"trough.{where}.volume": f"{volume * rim / depth * 1e3:.6f} L",
            f"trough.{where}.freeboard": f"{(rim - shut) * 1e3:.4f} mm",
        }
    )


def press(scene: Scene, where: str, minutes: float) -> Result:
    """Hold the float an inch lower than it floats, and time a bucket."""
    trace, after = scene.pass_time(1.0, turned=lowered(scene, where))
    return (caught(trace, where),), after.later(minutes - 1.0)


def drip(scene: Scene, where: str, minutes: float) -> Result:
    """Catch what a lifted float still lets by."""
    trace, after = scene.pass_time(minutes, turned=scene.held("always shut", [where]))
    return (caught(trace, where, least=0.02),), after


def look_at_float(scene: Scene, trace: Trace, row: int, where: str) -> tuple[Value, ...]:
    """Look at the water's height under the rim, and at the float."""
    trough = scene.site.trough(where)
    gap = si(trough.depth) - float(trace.level[where][row])
    stands = "shut" if trace.opening[where][row] < SHUT else "open"
    read = Value(name="gap", kind="small length", value=max(gap, 0.0), error=0.013, step=0.0127)
    return read, word("float", stands)


def power(_scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
    """Meter what the array can give."""
    power = metered_power(trace, row)
    return (Value(name="power", kind="power", value=power, error=0.03 * power, step=1.0),)


def _depth(name: str, trace: Trace, row: int = -1) -> Value:
    """Sound the well: depth of the water below the manifold, half a foot off at most."""
    depth = trace.site.well.level(float(trace.pump_flow[row]))
    return Value(name=name, kind="length", value=depth, error=0.5 * FOOT, step=0.5 * FOOT)


def well_at_rest(scene: Scene, _where: str, minutes: float) -> Result:
    """Sound the well with the drive off."""
    trace, after = scene.pass_time(minutes, drive="off")
    return (_depth("depth", trace),), after


def well_pumping(scene: Scene, where: str, minutes: float) -> Result:
    """Sound the well while a trough takes water."""
    trace, after = scene.pass_time(minutes, turned=scene.held("always open", [where]))
    rows, _ = cycling(trace)
    depth = _depth("depth", trace)
    if rows.stop:  # a sounder is let down at any moment of the cycle
        met = thinned(rows.start, rows.stop)
        depth = attrs.evolve(depth, swings=tuple(_depth("depth", trace, row) for row in met))
    turns = "starts and stops" if rows.stop else pumps(trace)
    return (depth, word("pump", turns)), after


def tank(scene: Scene, _where: str, minutes: float) -> Result:
    """Drain the tank into a bucket and read its air."""
    trace, after = scene.pass_time(10.0, turned=scene.drained(), valve="shut", drive="off")
    tank = scene.site.pressure_tank
    air = 0.0 if tank is None else si(tank.precharge)
    water = float(trace.totals.leaked)
    after = after.later(minutes - 10.0)
    return (
        Value(name="air", kind="pressure", value=air, error=PSI, step=PSI),
        Value(
            name="water", kind="volume", value=water, error=max(0.05 * water, 0.05 * GALLON)
        ),
    ), after  # fmt: skip


def read_print(scene: Scene, where: str, minutes: float) -> Result:
    """Read the print on every pipe on the way to a trough."""
    after = scene.later(minutes)
    runs = {run.end: run for run in scene.site.runs()}
    found, end = [], where
    while end in runs:
        found.append((end, runs[end].pipe.size))
        end = runs[end].start
    read = [f"“{end}” {size}" for end, size in reversed(found)]
    return (word("sizes", ", ".join(read)),), after
