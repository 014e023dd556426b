"""A new line to be set up: screw, floats and shade are moved, time passes, the gauge is read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, Literal

import attrs
import numpy as np

from labkit.advice.rules import PSI
from labkit.advice.window import Window, operating_window
from labkit.drills import doing
from labkit.drills.scene import Scene, Value, on_gauge
from labkit.engine.standing import standing
from labkit.errors import LabkitError
from labkit.rigs.screw import Screw, from_the_box
from labkit.sitefile import demo_site
from labkit.sun import clear_day, cloudy_day
from labkit.units import si

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.site import Site
    from labkit.trace import Trace

Position = Literal["floats", "always shut", "always open"]
"""A float let go, held up by hand, or pushed down."""

DATE: Final = "2023-06-21"
START: Final = "10:00"
COVER: Final = 0.15
"""The day on site: when the technician comes, and how often a cloud stands before the sun."""

CLOTH: Final = 0.7
"""Share of the sun that a dense shade cloth over the whole array keeps off (common practice: cloths
are sold by that share)."""

PRICES: Final = {"screw": 1.0, "nut": 1.0, "meter": 1.0, "float": 3.0, "cloth": 5.0, "air": 15.0}
"""Minutes that things take (a judgement; a float has a helper with a radio beside it)."""

FILLED: Final = 0.25
"""Share of its depth to which a new trough was filled by hand."""

HIGHEST_AIR: Final = 80.0
"""Air that the hand pump in the truck can put into a tank [psi]."""

_SPRING, _READ = 21, 22
_HEARD: Final = ("switch trips", "switch resets", "pump starts", "pump stops")


@attrs.frozen(kw_only=True)
class Notice:
    """Something heard meanwhile: its kind, and what the gauge showed at that moment."""

    kind: str
    gauge: Value


@attrs.frozen(kw_only=True)
class Entry:
    """A line of the log.

    Attributes
    ----------
    key : str
        What was done: one of `PRICES`, "wait", or "come" for the first look.
    where : str
        The trough, or an empty name.
    amount : float
        Quarter turns, minutes or pressure [Pa]; for a float and the cloth 0.
    state : str
        Where a float or the cloth is now; else empty.
    heard : tuple of Notice
        Clicks of the switch, starts and stops meanwhile.
    values : tuple of Value
        What was read at the end.
    minutes : float
        Spent by then.
    """

    key: str
    where: str = ""
    amount: float = 0.0
    state: str = ""
    heard: tuple[Notice, ...] = ()
    values: tuple[Value, ...] = ()
    minutes: float = 0.0


@attrs.frozen(kw_only=True, eq=False)
class Rig:
    """A line that is being set up.

    Attributes
    ----------
    number : int
        The learner's own number: it seeds the clouds, the spring of the switch and the readings.
    window : Window
        Where the switch must stand; hidden from the learner.
    has_nut : bool
        Whether the switch has the smaller nut for the differential.
    screw : Screw
        How the switch stands.
    is_shaded : bool
        Whether the cloth hangs over the array.
    scene : Scene
        The line at this moment, its floats as they are held.
    trace : Trace
        What happened last.
    log : tuple of Entry
        What was done and read so far.
    tries : int
        Settings of the switch that were tried out, the factory's not counted.
    hints : int
        Hints that were asked for.
    """

    number: int
    window: Window
    has_nut: bool
    screw: Screw
    scene: Scene
    trace: Trace
    is_shaded: bool = False
    log: tuple[Entry, ...] = ()
    tries: int = 0
    hints: int = 0

    @property
    def site(self) -> Site:
        """The line as it is turned now."""
        return self.scene.site

    @property
    def minutes(self) -> float:
        """Minutes spent so far."""
        return self.scene.minutes

    @property
    def clock(self) -> float:
        """Time of day on site [s after midnight]."""
        return self.scene.standing.clock

    @property
    def air(self) -> float | None:
        """Air in the tank, empty of water [Pa gauge]; none without a tank."""
        tank = self.site.pressure_tank
        return None if tank is None else si(tank.precharge)

    def position(self, where: str) -> Position:
        """How the float of a trough is held."""
        return next(t.float_valve.position for t in self.site.troughs if t.name == where)

    def wait(self, minutes: float) -> Rig:
        """Let some minutes pass."""
        if not 0.0 < minutes <= 240.0:
            raise LabkitError("wait for up to 240 minutes at a time")
        return self.after(Entry(key="wait", amount=minutes), minutes)

    def turn(self, quarters: int) -> Rig:
        """Turn the range screw by quarters of a turn, out if positive."""
        return self._set("screw", quarters, self.screw.turned(quarters=quarters))

    def turn_nut(self, quarters: int) -> Rig:
        """Turn the nut of the differential by quarters of a turn, in if positive."""
        if not self.has_nut:
            raise LabkitError("this switch has no nut for the differential")
        return self._set("nut", quarters, self.screw.turned(nut=quarters))

    def hold(self, where: str, position: Position) -> Rig:
        """Hold a trough's float up or down, or let it go."""
        if where not in [trough.name for trough in self.site.troughs]:
            raise LabkitError(f"there is no trough {where!r}")
        changed = self.turned({f"trough.{where}.float_valve.position": position})
        return changed.after(Entry(key="float", where=where, state=position), PRICES["float"])

    def shade(self, *, on: bool) -> Rig:
        """Hang the cloth over the array, or take it off."""
        now = self.scene.standing
        sun = now.sun.behind(CLOTH if on else 0.0)
        scene = attrs.evolve(self.scene, standing=attrs.evolve(now, sun=sun))
        changed = attrs.evolve(self, scene=scene, is_shaded=on)
        return changed.after(Entry(key="cloth", state="on" if on else "off"), PRICES["cloth"])

    def meter(self) -> Rig:
        """Meter the contact of the switch, its pair taken off."""
        return self.after(Entry(key="meter"), PRICES["meter"], see=doing.contact)

    def set_air(self, pressure: float) -> Rig:
        """Drain the tank, pump or let its air to a pressure [Pa], and let the line in again."""
        if self.site.pressure_tank is None:
            raise LabkitError("this line has no pressure tank")
        _, drained = self.scene.pass_time(
            PRICES["air"] - 5.0, turned=self.scene.drained(), valve="shut", drive="off"
        )
        psi = pressure / PSI
        changed = attrs.evolve(self, scene=drained).turned(
            {"pressure_tank.precharge": f"{psi} psi"}
        )
        return changed.after(Entry(key="air", amount=pressure), 5.0)

    def hinted(self) -> Rig:
        """Count a hint."""
        return attrs.evolve(self, hints=self.hints + 1)

    def _set(self, key: str, quarters: int, screw: Screw) -> Rig:
        """Take over what was turned; turns in a row are one setting."""
        points: dict[str, Any] = {
            "pressure_switch.cut_in": f"{screw.cut_in / PSI} psi",
            "pressure_switch.cut_out": f"{screw.cut_out / PSI} psi",
        }
        is_new = self.log[-1].key not in ("screw", "nut")
        changed = attrs.evolve(self.turned(points), screw=screw, tries=self.tries + is_new)
        return changed.after(Entry(key=key, amount=float(quarters)), PRICES[key])

    def turned(self, changes: dict[str, Any]) -> Rig:
        """Give the line with some of its parts turned, and no time passed."""
        return attrs.evolve(self, scene=attrs.evolve(self.scene, site=self.site.changed(changes)))

    def after(
        self,
        entry: Entry,
        minutes: float,
        *,
        see: Callable[[Scene, Trace, int, str], tuple[Value, ...]] = doing.gauge,
    ) -> Rig:
        """Let the line go on for a while, and write down what was heard and read."""
        trace, after = self.scene.pass_time(minutes)
        dice = np.random.default_rng([_READ, self.number, len(self.log)])
        heard = tuple(
            Notice(kind=event.kind, gauge=on_gauge("gauge", trace.at(event.time).pressure))
            for event in trace.events
            if event.kind in _HEARD
        )
        heard = tuple(attrs.evolve(one, gauge=one.gauge.read(dice)) for one in heard)
        seen = [*see(after, trace, -1, ""), light(trace)]
        if see is doing.contact:
            seen.append(doing.gauge(after, trace, -1, "")[1])
        read = tuple(value.read(dice) for value in seen)
        written = attrs.evolve(entry, heard=heard, values=read, minutes=after.minutes)
        return attrs.evolve(self, scene=after, trace=trace, log=(*self.log, written))


def light(trace: Trace) -> Value:
    """Read the sun on the array: to 10 W/m2, and at most 5 percent off (common practice)."""
    now = float(trace.irradiance[-1])
    return Value(name="sun", kind="irradiance", value=now, error=0.05 * now + 5.0, step=10.0)


def start_rig(site: Site | str, number: int, *, has_nut: bool | None = None) -> Rig:
    """Come to a new line.

    Parameters
    ----------
    site : Site or str
        The line, or the name of a demo ranch. Its switch is replaced by one from the box.
    number : int
        The learner's own number.
    has_nut : bool, optional
        Whether the switch has the nut for the differential; left out, it has one where the range
        screw alone cannot set this line.

    Raises
    ------
    LabkitError
        For a line that the pressure switch does not stop, or that no setting suits.
    """
    built = demo_site(site) if isinstance(site, str) else site
    if built.drive.listens_to == "level sensor":
        raise LabkitError("this line is stopped by its level sensors; there is no screw to set")
    screw = from_the_box(np.random.default_rng([_SPRING, number]))
    new = _as_new(built, screw)
    window = operating_window(new)
    chosen = window.best
    if chosen is None:
        raise LabkitError("no setting of the switch suits this line; its window is empty")
    wants_nut = round(4.0 * chosen.differential_turns) != 0 or chosen.is_narrow
    nut = wants_nut if has_nut is None else has_nut
    sun = cloudy_day(new, DATE, seed=number, cover=COVER) if new.drive.kind == "solar" else None
    full = standing(
        new,
        sun=clear_day(new, DATE) if sun is None else sun,
        start=START,
        levels={t.name: f"{FILLED * si(t.depth)} m" for t in new.troughs},
    )
    scene = Scene(site=new, standing=full)
    trace, _ = scene.pass_time(1.0)
    there = Rig(number=number, window=window, has_nut=nut, screw=screw, scene=scene, trace=trace)
    return there.after(Entry(key="come"), 1.0)


def _as_new(site: Site, screw: Screw) -> Site:
    """Give a line without stock, every float free, its switch from the box."""
    changes: dict[str, Any] = {f"trough.{t.name}.herd": None for t in site.troughs}
    changes["pressure_switch.cut_in"] = f"{screw.cut_in / PSI} psi"
    changes["pressure_switch.cut_out"] = f"{screw.cut_out / PSI} psi"
    return site.changed(changes)
