"""What the pump gives and what the line asks, on the scale of the gauge at the well."""

from typing import TYPE_CHECKING, Any, Final, Self

import attrs
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from labkit.advice.curves import (
    Curve,
    dead_head_pressure,
    dead_head_pressures,
    line_curve,
    other_kind,
    pump_curve,
)
from labkit.engine.steady import steady
from labkit.figures import style
from labkit.text.shared import CHARTS, WORDS
from labkit.units import displayed, si, typed
from labkit.view.charts.base import (
    Floats,
    curve,
    dot,
    level,
    panels,
    reach,
    scale,
    short,
    sun_mark,
    write,
)

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.sun import Sun

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
    def of(cls, site: "Site", sun: "Sun") -> Self:
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
        top = displayed(
            1.18 * max(most, min(float(self.of_other.max()), 2.0 * most)), "pressure", system
        )
        flow = displayed(1.05 * float(self.full.flow.max()), "flow", system)
        self._meet(left, system, flow=flow, top=top)
        self._against_sun(right, system, top=top)
        return figure

    def _meet(self, axes: Axes, system: str, *, flow: float, top: float) -> None:
        gauge, kinds = (CHARTS["gauge"], "pressure"), ("flow", "pressure")
        reach(axes, right=flow, top=top)
        scale(
            axes,
            system,
            across=(CHARTS["flow"], "flow"),
            up=gauge,
            words=CHARTS["give and ask"],
        )
        level(axes, displayed(self.cut_out, "pressure", system), WORDS["cut-out control"].lower())
        drawn = (self.full, _FULL), (self.line, _LINE), (self.pump, _NOW)
        for one, look in drawn:
            curve(axes, one.flow, one.pressure, kinds=kinds, system=system, **look)
        x, y = displayed(self.flow, "flow", system), displayed(self.filling, "pressure", system)
        dot(axes, x, y)
        write(axes, x, y, CHARTS["filling point"], shift=(6, -11))
        y = displayed(self.dead_head, "pressure", system)
        dot(axes, 0.0, y, marker="s", clip_on=False, zorder=5)
        write(axes, 0.0, y, CHARTS["dead head point"], shift=(7, 5 if self.stops else -11))
        self._name(axes, self.full, CHARTS["pump full sun"], system, style.QUIET, share=0.72)
        meets = x / flow
        share = 0.93 * meets if meets > _HALF else 0.95  # clear of the point where they meet
        look = {"share": share, "ha": "right"}
        self._name(axes, self.line, CHARTS["line asks"], system, style.GREEN, **look)

    def _name(
        self,
        axes: Axes,
        one: Curve,
        words: str,
        system: str,
        color: str,
        *,
        share: float,
        ha: str = "left",
    ) -> None:
        """Write a curve's name where it has come a share of the way across the panel."""
        x = share * axes.get_xlim()[1]
        flows, pressures = (
            displayed(one.flow, "flow", system),
            displayed(one.pressure, "pressure", system),
        )
        y = float(np.interp(x, flows, pressures))
        write(axes, x, y, words, shift=(4, 6), color=color, ha=ha)

    def _against_sun(self, axes: Axes, system: str, *, top: float) -> None:
        reach(axes, right=_CLEAR, top=top)
        across, up = (WORDS["irradiance"], "irradiance"), (CHARTS["highest gauge"], "pressure")
        scale(axes, system, across=across, up=up, words=CHARTS["dead head and sun"])
        level(axes, displayed(self.cut_out, "pressure", system), WORDS["cut-out control"].lower())
        kinds = ("irradiance", "pressure")
        curve(axes, _SUNS, self.of_other, kinds=kinds, system=system, **_OTHER)
        curve(axes, _SUNS, self.of_kind, kinds=kinds, system=system, **_NOW)
        for values, kind, color in (
            (self.of_other, self.other, style.PLUM),
            (self.of_kind, self.kind, style.BLUE),
        ):
            at = displayed(float(values[-1]), "pressure", system)
            write(
                axes,
                _CLEAR,
                min(at, 0.97 * top),
                WORDS[kind],
                shift=(-2, -11),
                ha="right",
                color=color,
            )
        dot(axes, self.sun, displayed(self.dead_head, "pressure", system), marker="s")
        sun_mark(axes, self.sun, 0.02 * top)
