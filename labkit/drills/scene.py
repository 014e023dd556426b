"""Where a technician stands: the faulty line at this moment, and what instruments show of it."""

from collections.abc import Sequence
from typing import Any, Final, Literal

import attrs
import numpy as np

from labkit.engine.standing import Standing, go_on
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.trace import Trace

PSI: Final = 6894.757
_DRAIN: Final = {"at": MANIFOLD, "size": "8 gpm at 20 psi"}


@attrs.frozen(kw_only=True)
class Value:
    """One thing read.

    Attributes
    ----------
    name : str
        What it is called in the words around it.
    kind : str
        What it measures, as `labkit.units` names it; "count" for a number of things, "word" for
        words.
    value : float or str
        The value [SI], or the word.
    error : float
        How far a reading may be off [SI].
    step : float
        What the instrument's scale is divided in [SI]; 0 for no division.
    """

    name: str
    kind: str
    value: float | str
    error: float = 0.0
    step: float = 0.0

    def read(self, dice: np.random.Generator) -> "Value":
        """Read it off an instrument, with its error and on its scale."""
        if isinstance(self.value, str):
            return self
        off = float(dice.uniform(-1.0, 1.0)) * max(self.error - 0.5 * self.step, 0.0)
        seen = float(self.value) + off
        if self.step:
            seen = round(seen / self.step) * self.step
        return attrs.evolve(self, value=max(seen, 0.0))


def word(name: str, said: str) -> Value:
    """Give something that is seen and not measured."""
    return Value(name=name, kind="word", value=said)


def on_gauge(name: str, pressure: float) -> Value:
    """Give a pressure as the manifold's gauge shows it: to 1 psi, and at most 1 psi off."""
    return Value(name=name, kind="pressure", value=max(float(pressure), 0.0), error=PSI, step=PSI)


def fallen(name: str, before: float, after: float) -> Value:
    """Give the fall between two readings of the gauge, each at most 1 psi off."""
    fall = max(before, 0.0) - max(after, 0.0)
    return Value(name=name, kind="pressure", value=max(float(fall), 0.0), error=2.0 * PSI, step=PSI)


@attrs.frozen(kw_only=True, eq=False)
class Scene:
    """A faulty line as a technician meets it.

    Attributes
    ----------
    site : Site
        The line with its faults, nothing held or shut.
    standing : Standing
        Where it stands.
    stopped_gauge : float or None
        What a plugged gauge shows [Pa]; none if the gauge works.
    minutes : float
        Spent so far.
    """

    site: Site
    standing: Standing
    stopped_gauge: float | None = None
    minutes: float = 0.0

    def shown(self, pressure: float) -> float:
        """Give what the gauge shows at a pressure [Pa]."""
        return pressure if self.stopped_gauge is None else self.stopped_gauge

    def pass_time(
        self,
        minutes: float,
        *,
        turned: Site | None = None,
        valve: Literal["open", "shut"] = "open",
        drive: Literal["on", "off"] = "on",
    ) -> tuple[Trace, "Scene"]:
        """Let some minutes go by, with a line turned otherwise, the valve shut, the drive off."""
        trace, after = go_on(
            self.standing,
            f"{minutes} min",
            site=self.site if turned is None else turned,
            is_valve_shut=valve == "shut",
            is_drive_off=drive == "off",
        )
        turned_back = attrs.evolve(after, site=self.site)
        return trace, attrs.evolve(self, standing=turned_back, minutes=self.minutes + minutes)

    def held(self, position: str, troughs: Sequence[str] = ()) -> Site:
        """Give the line with floats held by hand; one that is stuck does not move.

        Parameters
        ----------
        position : {"always open", "always shut"}
            How they are held.
        troughs : sequence of str
            Which; empty for all.
        """
        changes: dict[str, Any] = {
            f"trough.{trough.name}.float_valve.position": position
            for trough in self.site.troughs
            if trough.float_valve.position == "floats" and (not troughs or trough.name in troughs)
        }
        return self.site.changed(changes)

    def drained(self) -> Site:
        """Give the line with the drain cock at the manifold open."""
        return self.site.changed({"leaks": [*self.site.leaks, _DRAIN]})
