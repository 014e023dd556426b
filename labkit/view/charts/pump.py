"""What the pump gives and what the line asks, on the scale of the gauge at the well."""

from typing import Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.curves import (
    Curve,
    dead_head_pressure,
    dead_head_pressures,
    line_curve,
    other_kind,
    pump_curve,
)
from labkit.arrays import Floats
from labkit.engine.steady import steady
from labkit.figures import style
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WORDS
from labkit.units import si, typed
from labkit.view.charts.base import Panel, panels, short

_CLEAR: Final = 1000.0
_HALF: Final = 0.5
_SUNS: Final = np.array([*range(10, 100, 10), *range(100, 500, 25), *range(500, 1001, 100)], float)
_NOW: Final[dict[str, Any]] = {"color": style.BLUE, "linestyle": "solid", "linewidth": 2.2}
_FULL: Final[dict[str, Any]] = {"color": style.QUIET, "linestyle": (0, (1.2, 1.4))}
_LINE: Final[dict[str, Any]] = {"color": style.GREEN, "linestyle": (0, (5, 1.8))}
_OTHER: Final[dict[str, Any]] = {"color": style.PLUM, "linestyle": (0, (6, 1.6, 1.2, 1.6))}


@attrs.frozen(kw_only=True)
class PumpMeetsLine:
    """Left, the pump's curve and the line's curve where they meet; right, dead head against sun."""

    sun: float  # sun on the array now [W/m2]
    # kind of the pump that hangs in the well, and the other kind
    kind: str
    other: str
    # the pump under this sun and under full sun, and the line with every float open
    pump: Curve
    full: Curve
    line: Curve
    # where pump and line meet: flow [m3/s] and pressure at the gauge [Pa]
    flow: float
    filling: float
    # highest pressure of the shut line under this sun, and the switch's cut-out [Pa]
    dead_head: float
    cut_out: float
    # highest pressure of the shut line at each sun, for both kinds of pump [Pa]
    of_kind: Floats
    of_other: Floats

    @classmethod
    def of(cls, site: Site, sun: Sun) -> Self:
        """Gather the curves of a site under a sun."""
        settled, changed = steady(site, sun=sun), site.changed({"pump": other_kind(site.pump)})
        return cls(
            sun=float(sun.irradiance.max()),
            kind=site.pump.kind,
            other=changed.pump.kind,
            pump=pump_curve(site, sun),
            full=pump_curve(site, typed(_CLEAR, "irradiance")),
            line=line_curve(site),
            flow=settled.pump_flow,
            filling=settled.pressure["manifold"],
            dead_head=dead_head_pressure(site, sun),
            cut_out=si(site.pressure_switch.cut_out),
            of_kind=dead_head_pressures(site, _SUNS),
            of_other=dead_head_pressures(changed, _SUNS),
        )

    @property
    def stops(self) -> bool:
        """Whether the shut line reaches the cut-out."""
        return self.dead_head > self.cut_out

    def words(self, system: str) -> str:
        """Say what the curves show."""
        return CHARTS["pump chart"].format(
            sun=short(self.sun, "irradiance", system),
            filling=short(self.filling, "pressure", system),
            flow=short(self.flow, "flow", system),
            dead_head=short(self.dead_head, "pressure", system),
            cut_out=short(self.cut_out, "pressure", system),
            stops=CHARTS["reaches" if self.stops else "stays under"],
        )

    def draw(self, system: str) -> Figure:
        """Draw both panels on one scale of pressure."""
        figure, (left, right) = panels(1.0, 1.0)
        most = max(float(self.of_kind.max()), self.cut_out)
        top = 1.18 * max(most, min(float(self.of_other.max()), 2.0 * most))
        self._meet(Panel(left, system, "flow", "pressure"), top)
        self._against_sun(Panel(right, system, "irradiance", "pressure"), top)
        return figure

    def _meet(self, panel: Panel, top: float) -> None:
        right = 1.05 * float(self.full.flow.max())
        panel.reach(right=right, top=top)
        panel.scale(CHARTS["give and ask"], across=CHARTS["flow"], up=CHARTS["gauge"])
        panel.level(self.cut_out, WORDS["cut-out control"].lower())
        for one, look in ((self.full, _FULL), (self.line, _LINE), (self.pump, _NOW)):
            panel.curve(one.flow, one.pressure, **look)
        panel.dot(self.flow, self.filling)
        panel.write(self.flow, self.filling, CHARTS["filling point"], (6, -11))
        panel.dot(0.0, self.dead_head, marker="s", clip_on=False, zorder=5)
        shift = (7, 5 if self.stops else -11)
        panel.write(0.0, self.dead_head, CHARTS["dead head point"], shift)
        meets = self.flow / right
        asks = 0.93 * meets if meets > _HALF else 0.95  # clear of the point where they meet
        for one, key, color, share, side in (
            (self.full, "pump full sun", style.QUIET, 0.72, "left"),
            (self.line, "line asks", style.GREEN, asks, "right"),
        ):
            x = share * right
            y = float(np.interp(x, one.flow, one.pressure))
            panel.write(x, y, CHARTS[key], (4, 6), color=color, ha=side)

    def _against_sun(self, panel: Panel, top: float) -> None:
        panel.reach(right=_CLEAR, top=top)
        across, up = WORDS["irradiance"], CHARTS["highest gauge"]
        panel.scale(CHARTS["dead head and sun"], across=across, up=up)
        panel.level(self.cut_out, WORDS["cut-out control"].lower())
        for values, kind, look in (
            (self.of_other, self.other, _OTHER), (self.of_kind, self.kind, _NOW),
        ):  # fmt: skip
            panel.curve(_SUNS, values, **look)
            y = min(float(values[-1]), 0.97 * top)
            panel.write(_CLEAR, y, WORDS[kind], (-2, -11), ha="right", color=look["color"])
        panel.dot(self.sun, self.dead_head, marker="s")
        panel.sun_mark(self.sun, 0.02 * top)
