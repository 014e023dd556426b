"""Where a technician stands: the faulty line at this moment, and what instruments show of it."""

from collections.abc import Callable, Sequence
from typing import Any, Final, Literal, cast

import attrs
import numpy as np

from labkit.arrays import Floats
from labkit.engine.standing import Standing, go_on
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.trace import Trace
from labkit.units.customary import PSI

_NOW: Final = "now"
_DRAIN: Final = {"at": MANIFOLD, "size": "8 gpm at 20 psi"}


@attrs.frozen(kw_only=True)
class Value:
    """One thing read."""

    name: str  # what it is called in the words around it
    # what it measures, as `labkit.units` names it; "count" for a number of things, "word" for words
    kind: str
    value: float | str  # the value [SI], or the word
    error: float = 0.0  # how far a reading may be off [SI]
    step: float = 0.0  # what the instrument's scale is divided in [SI]; 0 for no division
    # for a fall that is reckoned and not read: the names of the two readings
    between: tuple[str, str] | None = None
    # what the same comes to at other moments of a cycle that the pump goes through meanwhile
    swings: tuple["Value", ...] = ()

    def read(self, rng: np.random.Generator) -> "Value":
        """Read it off an instrument, with its error and on its scale."""
        return self.seen(float(rng.uniform(-1.0, 1.0)))

    def seen(self, share: float) -> "Value":
        """Read it with a share of its error, from -1 to 1, and on its scale.

        Where nothing comes there is nothing to measure, and so no error: only a scale can be off.
        """
        if isinstance(self.value, str) or (not self.step and self.value == 0.0):
            return self
        seen = float(self.value) + share * max(self.error - 0.5 * self.step, 0.0)
        if self.step:
            seen = round(seen / self.step) * self.step
        return attrs.evolve(self, value=max(seen, 0.0), swings=())


def word(name: str, said: str) -> Value:
    """Return something that is seen and not measured."""
    return Value(name=name, kind="word", value=said)


def on_gauge(name: str, pressure: float) -> Value:
    """Return a pressure as the manifold's gauge shows it: to 1 psi, and at most 1 psi off."""
    return Value(name=name, kind="pressure", value=max(float(pressure), 0.0), error=PSI, step=PSI)


def fallen(name: str, before: Value, after: Value) -> Value:
    """Return the fall between two readings of the gauge, each at most 1 psi off."""
    return Value(
        name=name, kind="pressure", value=_less(before, after), error=2.0 * PSI, step=PSI,
        between=(before.name, after.name),
    )  # fmt: skip


def _less(before: Value, after: Value) -> float:
    """Return how much less one reading is than one before; nothing where it is more."""
    first, second = (one.value for one in (before, after))
    return 0.0 if isinstance(first, str) or isinstance(second, str) else max(first - second, 0.0)


def read_together(
    values: Sequence[Value], rng: np.random.Generator | None = None
) -> tuple[Value, ...]:
    """Read what one task shows; without an `rng` as one reads who makes no error.

    An instrument with a scale is off by as much each time within a task, so that a needle that
    stands is read as standing; a fall is reckoned from the two readings.
    """
    shares: dict[str, float] = {}
    read: dict[str, Value] = {}
    for value in values:
        if value.between is None:
            thrown = 0.0 if rng is None else float(rng.uniform(-1.0, 1.0))
            share = shares.setdefault(value.kind, thrown) if value.step else thrown
            read[value.name] = value.seen(share)
        else:
            before, after = (read[name] for name in value.between)
            read[value.name] = attrs.evolve(value, value=_less(before, after))
    return tuple(read.values())


@attrs.frozen(kw_only=True, eq=False)
class Scene:
    """A faulty line as a technician meets it.

    Many tests are tried from one scene, and most turn the same for the same time. What was worked
    out from a scene is therefore kept with it, and what was turned with the line.
    """

    site: Site  # the line with its faults, nothing held or shut
    _start: Standing | Callable[[], Standing] = attrs.field(alias="standing")
    stopped_gauge: float | None = None  # what a plugged gauge shows [Pa]; none if the gauge works
    minutes: float = 0.0  # spent so far
    _turned: dict[Any, tuple[Site, Site]] = attrs.field(alias="turned", factory=dict)
    _kept: dict[Any, Any] = attrs.field(init=False, factory=dict)

    @property
    def standing(self) -> Standing:
        """Where it stands."""
        if not callable(self._start):
            return self._start
        if _NOW not in self._kept:
            self._kept[_NOW] = self._start()
        return cast("Standing", self._kept[_NOW])

    def afresh(self) -> "Scene":
        """Return the scene as it stands, without what else was worked out from it."""
        return attrs.evolve(self, standing=self.standing)

    def later(self, minutes: float, *, drive: Literal["on", "off"] = "on") -> "Scene":
        """Return the scene after some minutes in which nobody looks.

        They are worked out once the line is looked at again, if it is.
        """
        return attrs.evolve(
            self,
            standing=lambda: self.pass_time(minutes, drive=drive)[1].standing,
            minutes=self.minutes + minutes,
        )

    def shown(self, pressure: float) -> float:
        """Return what the gauge shows at a pressure [Pa]."""
        return pressure if self.stopped_gauge is None else self.stopped_gauge

    def needle(self, trace: Trace) -> Floats:
        """Return what the gauge shows in a run [Pa]."""
        stopped = self.stopped_gauge
        return trace.pressure if stopped is None else np.full_like(trace.pressure, stopped)

    def pass_time(
        self,
        minutes: float,
        *,
        turned: Site | None = None,
        valve: Literal["open", "shut"] = "open",
        drive: Literal["on", "off"] = "on",
    ) -> tuple[Trace, "Scene"]:
        """Let some minutes go by, with a line turned otherwise, the valve shut, the drive off."""
        site = self.site if turned is None else turned
        passed = minutes, id(site), valve, drive
        if passed not in self._kept:
            trace, after = go_on(
                self.standing,
                f"{minutes} min",
                site=site,
                is_valve_shut=valve == "shut",
                is_drive_off=drive == "off",
            )
            turned_back = attrs.evolve(after, site=self.site)
            self._kept[passed] = site, trace, turned_back  # with the site: its id must stay its own
        _, trace, then = self._kept[passed]
        return trace, attrs.evolve(self, standing=then, minutes=self.minutes + minutes)

    def held(self, position: str, troughs: Sequence[str] = ()) -> Site:
        """Return the line with some floats held by hand, or all; a stuck one does not move."""
        changes: dict[str, Any] = {
            f"trough.{trough.name}.float_valve.position": position
            for trough in self.site.troughs
            if trough.float_valve.position == "floats" and (not troughs or trough.name in troughs)
        }
        return self.turned_by((position, *troughs), changes)

    def drained(self) -> Site:
        """Return the line with the drain cock at the manifold open."""
        return self.turned_by("drained", {"leaks": [*self.site.leaks, _DRAIN]})

    def turned_by(self, how: object, changes: dict[str, Any]) -> Site:
        """Return the line with something turned, which `how` names; made once for a line."""
        key = id(self.site), how
        if key not in self._turned:
            self._turned[key] = self.site, self.site.changed(changes)
        return self._turned[key][1]
