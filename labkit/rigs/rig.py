"""A new line to be set up: a site visit on a simulated line, worked and read in its own time.

Whatever is done goes through `Rig.act`, so that a log can be done over (`done_over`). What can hurt
someone on a real line is not refused here: it goes on record as a slip, and is told afterwards.
"""

from collections.abc import Callable
from math import ceil
from typing import Any, Final, Literal

import attrs
import numpy as np

from labkit.advice.bounds import RELIEF, limits, peaks, worst
from labkit.advice.line import Line
from labkit.advice.window import Window
from labkit.drills import doing
from labkit.drills.scene import Scene, Value, on_gauge
from labkit.errors import LabkitError
from labkit.parts import Herd, Trough
from labkit.rigs.entry import Entry, Notice, Truth
from labkit.rigs.screw import Screw
from labkit.site import Site
from labkit.sun import Sun, clear_day, clock_seconds, cloudy_day
from labkit.trace import Trace
from labkit.trace.measures import SHUT
from labkit.units import si
from labkit.units.customary import DAY, GALLON, PSI

DATE: Final = "2023-06-21"  # the day on site, and of the sun of every further day
START: Final = "10:00"  # when the technician comes, each day
_FAR: Final = 1_000_003  # how far apart the clouds of a number's days are drawn


def sky(site: Site, number: int, cover: float, day: int = 0) -> Sun:
    """Return the sun of a day on site; each day of a number has clouds of its own."""
    if site.drive.kind != "solar" or cover <= 0.0:
        return clear_day(site, DATE)
    return cloudy_day(site, DATE, seed=number + _FAR * day, cover=cover)


Position = Literal["floats", "always shut", "always open"]
"""A float let go, held up by hand, or pushed down."""

PRICES: Final = {
    "come": 1.0, "wait": 0.0, "screw": 1.0, "nut": 1.0, "meter": 1.0, "float": 3.0, "cloth": 5.0,
    "power": 1.0, "pair": 3.0, "relief": 2.0, "bleed": 4.0, "refill": 2.0, "test gauge": 5.0,
    "air": 5.0, "bucket": 5.0, "plug": 10.0, "sheet": 0.0, "leave": 0.0, "day": 0.0,
}  # fmt: skip
"""Minutes that things take (a judgement; a float has a helper with a radio beside it)."""

FILLED: Final = 0.1  # share of its depth to which a new trough was filled by hand
HIGHEST_AIR: Final = 80.0  # air that the hand pump in the truck can put into a tank [psi]
BLED: Final = 1.0 * PSI  # pressure under which a line counts as bled off [Pa]

PAST: Final = 2.0 * PSI
"""How far past a rating counts as past it [Pa]: a pound for the gauge, one for rounding."""

STRONGER: Final = 1.2  # times the weakest sun from which a sun is no longer that one

SPILLED: Final = 2.0 * GALLON
"""Water over a rim that counts as a trough run over [m3]: two gallons, seen at a glance."""

_A_HEAD: Final = 20.0
"""Water that each head of the herd takes that stands for a trough's open plug [US gal]."""

_READ: Final = 22
_HEARD: Final = ("switch trips", "switch resets", "pump starts", "pump stops")
SHEET: Final = ("filling", "static", "dead head", "peak")
"""The readings that go on the sheet, in the order in which they are taken."""


@attrs.frozen(kw_only=True, eq=False)
class Rig:
    """A line that is being set up."""

    # the learner's own number: it seeds line, sky, the spring of the switch and the readings
    number: int
    kind: tuple[str, ...] = ()  # what sets the line apart; empty for one that is none of the family
    window: Window  # where the switch must stand; hidden from the learner
    has_nut: bool  # whether the switch has the smaller nut for the differential
    screw: Screw  # how the switch stands
    scene: Scene  # the line at this moment, its floats as they are held
    traces: tuple[Trace, ...] = ()  # all that happened, action by action
    # controller on; the switch's pair connected; line valve shut and drain open; the test gauge
    # screwed in
    is_on: bool = True
    is_paired: bool = True
    is_bled: bool = False
    has_test_gauge: bool = False
    # share of the sun that the cloths take; share of a day on which a cloud stands before it
    cloth: float = 0.0
    cover: float = 0.0
    day: int = 0  # days since the technician first came
    off: float = 0.0  # by how much the line's own gauge is off [Pa]
    sheet: dict[str, float] = attrs.field(factory=dict)  # readings that were written down [Pa]
    log: tuple[Entry, ...] = ()  # what was done and read so far
    # settings of the switch that were tried out, the factory's not counted; hints asked for
    tries: int = 0
    hints: int = 0

    @property
    def site(self) -> Site:
        """The line as it is turned now."""
        return self.scene.site

    @property
    def trace(self) -> Trace:
        """What happened last."""
        return self.traces[-1]

    @property
    def came(self) -> float:
        """When the technician first came [s after midnight]."""
        return self.traces[0].clock

    @property
    def minutes(self) -> float:
        """Minutes spent so far."""
        return self.scene.minutes

    @property
    def worked(self) -> float:
        """Minutes of work: waiting is not counted."""
        return sum(PRICES[entry.key] for entry in self.log)

    @property
    def clock(self) -> float:
        """Time of day on site [s after midnight]."""
        return self.scene.standing.clock

    @property
    def air(self) -> float | None:
        """Air in the tank, empty of water [Pa gauge]; none without a tank."""
        tank = self.site.pressure_tank
        return None if tank is None else si(tank.precharge)

    @property
    def is_shaded(self) -> bool:
        """Whether cloths hang over the array."""
        return self.cloth > 0.0

    @property
    def slips(self) -> tuple[str, ...]:
        """Every kind of slip so far, in the order in which they first came."""
        return tuple(dict.fromkeys(slip for entry in self.log for slip in entry.slips))

    @property
    def undone(self) -> tuple[str, ...]:
        """What must still be put right before anybody leaves; for a float the trough's name."""
        held = tuple(
            t.name
            for t in self.window.site.troughs
            if self.position(t.name) != t.float_valve.position
        )
        states = {
            "cloth": self.is_shaded, "pair": not self.is_paired, "refill": self.is_bled,
            "power": not self.is_on,
        }  # fmt: skip
        return (*held, *(key for key, is_so in states.items() if is_so))

    def position(self, where: str) -> Position:
        """How the float of a trough is held."""
        return _trough(self, where).float_valve.position

    def act(self, key: str, where: str = "", amount: float = 0.0, state: str = "") -> "Rig":
        """Do something on the line, and write down what is read.

        An amount is as in `Entry`: minutes for "wait", quarter turns (out counts up; for the small
        nut in) for "screw" and "nut", pressure for "air" and "sheet", sun for "cloth". What cannot
        be done on this line, or not as it stands, is an error.
        """
        if key not in _ACTS:
            raise LabkitError(f"nothing on the rig is called {key!r}")
        return _ACTS[key](self, where, amount, state)

    def hinted(self) -> "Rig":
        """Count a hint."""
        return attrs.evolve(self, hints=self.hints + 1)

    def turned(self, changes: dict[str, Any]) -> "Rig":
        """Return the line with some of its parts turned, and no time passed."""
        return attrs.evolve(self, scene=attrs.evolve(self.scene, site=self.site.changed(changes)))

    def written(self, entry: Entry) -> "Rig":
        """Write down something for which no time passes."""
        done = attrs.evolve(entry, minutes=self.minutes, values=self.log[-1].values)
        return attrs.evolve(self, log=(*self.log, done))

    def after(
        self,
        entry: Entry,
        minutes: float | None = None,
        *,
        see: Callable[[Scene, Trace, int, str], tuple[Value, ...]] | None = None,
    ) -> "Rig":
        """Let the line go on for a while, and write down what was heard and read."""
        site = self._wired()
        trace, after = self.scene.pass_time(
            PRICES[entry.key] if minutes is None else minutes,
            turned=attrs.evolve(self.scene, site=site).drained() if self.is_bled else site,
            valve="shut" if self.is_bled else "open",
            drive="on" if self.is_on else "off",
        )
        rng = np.random.default_rng([_READ, self.number, len(self.log)])
        heard = self._heard(trace, rng)
        seen = [self._shown(float(trace.pressure[-1])), *self._looked(trace), light(trace)]
        seen += () if see is None else see(after, trace, -1, entry.where)
        seen += (light(trace, "bare sun", behind=self.cloth),) if self.is_shaded else ()
        slips = (*entry.slips, *self._hurts(trace))
        written = attrs.evolve(
            entry, heard=heard, values=tuple(value.read(rng) for value in seen),
            minutes=after.minutes, truth=_truth(trace), slips=slips,
        )  # fmt: skip
        return attrs.evolve(
            self, scene=after, traces=(*self.traces, trace), log=(*self.log, written)
        )

    def _heard(self, trace: Trace, rng: np.random.Generator) -> tuple[Notice, ...]:
        """Read the gauge at each noise; a needle has gone as high as where the switch clicked."""
        heard: list[Notice] = []
        for kind, pressure in _noises(trace):
            gauge = self._shown(pressure).read(rng)
            if kind == "highest":
                trip = next(one.gauge for one in reversed(heard) if one.kind == "switch trips")
                gauge = max(gauge, trip, key=lambda read: read.value)
            heard.append(Notice(kind=kind, gauge=gauge))
        return tuple(heard)

    def _wired(self) -> Site:
        """Return the line as the controller feels it: with the pair off it is made to run."""
        if self.is_paired:
            return self.site
        runs_when = "stuck open" if self.site.drive.stop_when == "closed" else "stuck closed"
        return self.site.changed({"pressure_switch.contact": runs_when})

    def _shown(self, pressure: float) -> Value:
        """Return what the gauge that is looked at shows: the test gauge, once it is in."""
        off = 0.0 if self.has_test_gauge else self.off
        return on_gauge("gauge", pressure + off)

    def _looked(self, trace: Trace) -> tuple[Value, ...]:
        """Hear the pump; with the test gauge in, look at the line's own gauge as well."""
        pump = doing.gauge(self.scene, trace, -1, "")[1]
        if not self.has_test_gauge:
            return (pump,)
        return pump, on_gauge("own gauge", float(trace.pressure[-1]) + self.off)

    def _hurts(self, trace: Trace) -> tuple[str, ...]:
        """Say what went wrong by itself meanwhile."""
        slips = ["ran over"] if trace.totals.overflowed > SPILLED else []
        is_shut = float(trace.widest_opening[-1]) < SHUT and trace.speed[-1] > 0.0
        is_checked = any(entry.key == "relief" for entry in self.log)
        if is_shut and self.has_displacement_pump and not self.is_paired and not is_checked:
            slips.append("relief unchecked")
        if self._is_past_rating(trace):
            slips.append("past rating")
        return tuple(slips)

    def _is_past_rating(self, trace: Trace) -> bool:
        """Whether the pump pushed pipe or float past what it is good for; a relief valve may open.

        In the weakest sun it may: that is where the line is to be read deadheaded.
        """
        pushed = (trace.speed > 0.0) & (trace.irradiance > STRONGER * self.window.sun.least)
        if not pushed.any():
            return False
        line = Line.of(self.window.site)
        bearable = [one for one in limits(line) if one.name != RELIEF]
        return worst(peaks(trace, line, pushed), bearable)[0] > PAST

    @property
    def has_displacement_pump(self) -> bool:
        """Whether the pump's pressure climbs without end against a shut line."""
        return bool(self.site.pump.kind == "positive displacement")


def _noises(trace: Trace) -> list[tuple[str, float]]:
    """List what was heard with the pressure at each, and the highest after the last trip."""
    heard = [(e.kind, trace.at(e.time).pressure) for e in trace.events if e.kind in _HEARD]
    if trace.times("switch trips") and (trace.speed > 0.0).any():  # not of a nut that is turned
        heard.append(("highest", _peak(trace)))
    return heard


def _peak(trace: Trace) -> float:
    trips = trace.times("switch trips")
    return float(trace.pressure[trace.time >= trips[-1]].max()) if trips else 0.0


def _truth(trace: Trace) -> Truth:
    last = float(trace.time[-1])
    lately = trace.pressure[trace.time >= last - 30.0]
    return Truth(
        pressure=float(trace.pressure[-1]),
        peak=_peak(trace),
        drift=float(np.ptp(lately)),
        sun=float(trace.irradiance[-1]),
        is_pumping=bool(trace.speed[-1] > 0.0),
        has_rested=not bool((trace.speed > 0.0).any()),
        open_floats=frozenset(n for n, o in trace.opening.items() if float(o[-1]) >= SHUT),
    )


def light(trace: Trace, name: str = "sun", *, behind: float = 0.0) -> Value:
    """Read the sun: to 10 W/m2, and at most 5 percent off (common practice).

    On the array, or beside the cloths that take a share of it.
    """
    now = float(trace.irradiance[-1]) / (1.0 - behind)
    return Value(name=name, kind="irradiance", value=now, error=0.05 * now + 5.0, step=10.0)


def _trough(rig: Rig, where: str) -> Trough:
    for trough in rig.site.troughs:
        if trough.name == where:
            return trough
    raise LabkitError(f"there is no trough {where!r}")


# what can be done, each from (rig, where, amount, state)


def _wait(rig: Rig, _where: str, amount: float, _state: str) -> Rig:
    if not 0.0 < amount <= 240.0:
        raise LabkitError("wait for up to 240 minutes at a time")
    return rig.after(Entry(key="wait", amount=amount), amount)


def _float(rig: Rig, where: str, _amount: float, state: str) -> Rig:
    _trough(rig, where)
    changed = rig.turned({f"trough.{where}.float_valve.position": state})
    return changed.after(Entry(key="float", where=where, state=state))


def _cloth(rig: Rig, _where: str, amount: float, _state: str) -> Rig:
    now = rig.scene.standing
    bare = now.sun.behind(0.0)
    clear = float(bare.at(rig.clock + 60.0 * PRICES["cloth"]))
    if amount and clear < 1.05 * amount:
        raise LabkitError(f"the bare sun gives only {clear:.0f} W/m² now; wait for the cloud")
    share = 1.0 - amount / clear if amount else 0.0
    scene = attrs.evolve(rig.scene, standing=attrs.evolve(now, sun=bare.behind(share)))
    changed = attrs.evolve(rig, scene=scene, cloth=share)
    return changed.after(Entry(key="cloth", amount=amount, state="on" if amount else "off"))


def _power(rig: Rig, _where: str, _amount: float, state: str) -> Rig:
    return attrs.evolve(rig, is_on=state == "on").after(Entry(key="power", state=state))


def _pair(rig: Rig, _where: str, _amount: float, state: str) -> Rig:
    slips = ("live wires",) if rig.is_on else ()
    changed = attrs.evolve(rig, is_paired=state == "on")
    return changed.after(Entry(key="pair", state=state, slips=slips))


def _relief(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    if rig.site.relief_valve is None:
        raise LabkitError("this line has no relief valve")
    opens = si(rig.site.relief_valve.opens_at)
    read = Value(name="opens at", kind="pressure", value=opens)
    return rig.after(Entry(key="relief"), see=lambda *_: (read,))


def _meter(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    def contact(scene: Scene, trace: Trace, row: int, where: str) -> tuple[Value, ...]:
        return doing.contact(scene, trace, row, where)[:1]

    return rig.after(Entry(key="meter"), see=contact)


def _bucket(rig: Rig, where: str, _amount: float, _state: str) -> Rig:
    _trough(rig, where)

    def caught(_scene: Scene, trace: Trace, _row: int, name: str) -> tuple[Value, ...]:
        return (doing.caught(trace, name, least=0.0),)

    return rig.after(Entry(key="bucket", where=where), see=caught)


def _plug(rig: Rig, where: str, _amount: float, _state: str) -> Rig:
    """Let a trough's water out by its plug: as a herd would drink it, in as many minutes."""
    trough = _trough(rig, where)
    depth = float(rig.trace.level[where][-1]) - FILLED * si(trough.depth)
    if depth <= 0.0:
        raise LabkitError(f"there is hardly any water in {where!r}")
    hours, minutes = divmod(int(rig.clock // 60.0) % 1440, 60)
    gallons = si(trough.volume) * depth / si(trough.depth) / GALLON
    outlet = Herd(
        head=ceil(gallons / _A_HEAD), kind="cow with calf", daily_need=f"{_A_HEAD:g} gal/day",
        visits=(f"{hours:02d}:{minutes:02d}",), visit_time=f"{PRICES['plug']:g} min",
    )  # fmt: skip
    key = f"trough.{where}.herd"
    drained = rig.turned({key: outlet}).after(Entry(key="plug", where=where))
    return drained.turned({key: None})


def _bleed(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    return attrs.evolve(rig, is_bled=True).after(Entry(key="bleed"))


def _refill(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    return attrs.evolve(rig, is_bled=False).after(Entry(key="refill"))


def _under_pressure(rig: Rig) -> tuple[str, ...]:
    """Say so if a fitting is opened that still holds water under pressure."""
    return () if rig.is_bled and rig.scene.standing.pressure < BLED else ("under pressure",)


def _test_gauge(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    if rig.has_test_gauge:
        raise LabkitError("the test gauge is already in")
    slips = _under_pressure(rig)
    return attrs.evolve(rig, has_test_gauge=True).after(Entry(key="test gauge", slips=slips))


def _air(rig: Rig, _where: str, amount: float, _state: str) -> Rig:
    """Read the tank's air, and set it where an amount is given and no water holds against it."""
    if rig.air is None:
        raise LabkitError("this line has no pressure tank")
    if not 0.0 <= amount <= HIGHEST_AIR * PSI:
        raise LabkitError(f"the hand pump makes up to {HIGHEST_AIR:.0f} psi")
    slips = _under_pressure(rig)
    if slips:
        tried = "refused" if amount else "read"
        entry = Entry(key="air", amount=amount, state=tried, slips=slips if amount else ())
    else:
        entry = Entry(key="air", amount=amount, state="set" if amount else "read")
        if amount:
            rig = rig.turned({"pressure_tank.precharge": f"{amount / PSI} psi"})
    charge = rig.air or 0.0

    def on_air_gauge(_scene: Scene, trace: Trace, row: int, _where: str) -> tuple[Value, ...]:
        held = max(charge, float(trace.pressure[row]))  # water behind the diaphragm pushes back
        return (Value(name="air", kind="pressure", value=held, error=PSI, step=PSI),)

    return rig.after(entry, see=on_air_gauge)


def _screw(rig: Rig, _where: str, amount: float, _state: str) -> Rig:
    return _set(rig, "screw", amount, rig.screw.turned(quarters=round(amount)))


def _nut(rig: Rig, _where: str, amount: float, _state: str) -> Rig:
    if not rig.has_nut:
        raise LabkitError("this switch has no nut for the differential")
    return _set(rig, "nut", amount, rig.screw.turned(nut=round(amount)))


def _set(rig: Rig, key: str, quarters: float, screw: Screw) -> Rig:
    """Take over what was turned; turns in a row are one setting."""
    points: dict[str, Any] = {
        "pressure_switch.cut_in": f"{screw.cut_in / PSI} psi",
        "pressure_switch.cut_out": f"{screw.cut_out / PSI} psi",
    }
    relief = rig.site.relief_valve
    if relief is not None and screw.cut_out >= si(relief.opens_at):
        raise LabkitError("cut-out would come to where the relief valve opens")
    is_new = rig.log[-1].key not in ("screw", "nut")
    changed = attrs.evolve(rig.turned(points), screw=screw, tries=rig.tries + is_new)
    return changed.after(Entry(key=key, amount=float(quarters)))


def _sheet(rig: Rig, where: str, amount: float, _state: str) -> Rig:
    if where not in SHEET:
        raise LabkitError(f"the sheet has no line for {where!r}")
    changed = attrs.evolve(rig, sheet={**rig.sheet, where: amount})
    return changed.written(Entry(key="sheet", where=where, amount=amount))


def _day(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    """Leave the line safe for the night, and come again: another day has another sky."""
    day, site = rig.day + 1, rig.window.site
    free = {f"trough.{t.name}.float_valve.position": t.float_valve.position for t in site.troughs}
    evening = attrs.evolve(rig.scene.standing, sun=sky(site, rig.number, rig.cover, day))
    scene = attrs.evolve(rig.scene, standing=evening)
    safe = attrs.evolve(rig, scene=scene, cloth=0.0, is_on=False, day=day).turned(free)
    return safe.after(Entry(key="day"), ((clock_seconds(START) - rig.clock) % DAY or DAY) / 60.0)


def _leave(rig: Rig, _where: str, _amount: float, _state: str) -> Rig:
    """Turn to go: what is left undone goes on record."""
    return rig.written(Entry(key="leave", slips=("left undone",) if rig.undone else ()))


_ACTS: Final = {
    "wait": _wait, "float": _float, "cloth": _cloth, "power": _power, "pair": _pair,
    "relief": _relief, "meter": _meter, "bucket": _bucket, "plug": _plug, "bleed": _bleed,
    "refill": _refill, "test gauge": _test_gauge, "air": _air, "screw": _screw, "nut": _nut,
    "sheet": _sheet, "day": _day, "leave": _leave,
}  # fmt: skip
