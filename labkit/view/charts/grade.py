"""The grade line along the pipe for several pipe sizes: what moving water costs."""

from typing import Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.curves import HeadProfile, lay
from labkit.catalogue import sizes_like
from labkit.engine.fluid import water_at
from labkit.figures import style
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS
from labkit.units import si
from labkit.view.charts.base import Panel, panels, short

_LOOKS: Final[tuple[dict[str, Any], ...]] = (
    {"color": style.BLUE, "linestyle": "solid", "linewidth": 2.2},
    {"color": style.PLUM, "linestyle": (0, (5, 1.8)), "linewidth": 2.2},
    {"color": style.AMBER, "linestyle": (0, (6, 1.6, 1.2, 1.6)), "linewidth": 2.0},
)

_NAMES: Final[tuple[tuple[float, dict[str, Any]], ...]] = (
    (0.42, {"shift": (4, 5)}),
    (0.06, {"shift": (0, -20), "va": "top"}),
    (0.55, {"shift": (4, 5)}),
)
"""Where along its line a name stands, and on which side of it."""


@attrs.frozen(kw_only=True)
class GradeLines:
    """The way to one trough with the grade line over it, for up to three sizes of its pipe."""

    trough: str
    sun: float  # sun on the array [W/m2]
    lines: dict[str, HeadProfile]  # the line with each size of pipe
    cut_out: float  # the switch's cut-out [Pa]
    weight: float  # of the water [N/m3], to put the cut-out on the scale of heights

    @classmethod
    def of(cls, site: Site, sun: Sun) -> Self:
        """Gather the grade lines of a site's first trough, in its pipe and the next size."""
        trough = site.troughs[0]
        key, own = f"trough.{trough.name}.pipe.size", trough.pipe.row.size
        known = sizes_like(own)
        place = min(known.index(own), len(known) - 2)
        return cls(
            trough=trough.name,
            sun=float(sun.irradiance.max()),
            lines={size: lay(site.changed({key: size}), sun) for size in known[place : place + 2]},
            cut_out=si(site.pressure_switch.cut_out),
            weight=water_at(site.place).weight,
        )

    def words(self, system: str) -> str:
        """Say what each line shows."""
        parts = [
            CHARTS["grade chart"].format(
                sun=short(self.sun, "irradiance", system),
                cut_out=short(self.cut_out, "pressure", system),
            )
        ]
        parts += [
            CHARTS["grade chart line"].format(
                size=size,
                gauge=short(one.gauge, "pressure", system),
                flow=short(one.inflow[self.trough], "flow", system),
                stops=CHARTS["above cut-out" if one.gauge > self.cut_out else "below cut-out"],
            )
            for size, one in self.lines.items()
        ]
        return " ".join(parts)

    def draw(self, system: str) -> Figure:
        """Draw ground, trough, grade lines and the height at which the switch trips."""
        figure, (axes,) = panels(1.0)
        panel = Panel(axes, system, "length", "length")
        any_line = next(iter(self.lines.values()))
        way = any_line.way_to(self.trough)
        trip = self.cut_out / self.weight
        heads = [one.head["manifold"] for one in self.lines.values()]
        ground = [any_line.height[node] for node in way]
        along = [any_line.distance[node] for node in way]
        far, top = along[-1], 1.2 * max(trip, *heads)
        bottom = min(0.0, *ground) - 0.12 * top
        panel.reach(right=1.16 * far, top=top, bottom=bottom)
        panel.scale(CHARTS["grade title"], across=CHARTS["way along"], up=CHARTS["height up"])
        soil = (panel.shown(values, "length") for values in (along, ground, bottom))
        axes.fill_between(*soil, color=style.SOIL, linewidth=0.0)
        panel.curve(along, ground, color=style.GROUND, linewidth=1.6)
        panel.dot(far, ground[-1], marker="s", markersize=8, color=style.GREEN)
        look: dict[str, Any] = {"color": style.GREEN, "fontweight": "bold"}
        panel.write(far, ground[-1], self.trough, (9, -3), **look)
        look = {"color": style.VERMILION, "linewidth": 1.6, "linestyle": (0, (5, 2))}
        panel.curve([0.0, 0.16 * far], [trip] * 2, **look)
        cut_out = CHARTS["trips here"].format(pressure=short(self.cut_out, "pressure", system))
        under = max(heads) > trip
        panel.write(0.0, trip, cut_out, (4, -11 if under else 4), color=style.VERMILION)
        for place, (size, one) in enumerate(self.lines.items()):
            self._draw_line(panel, place, size, one)
        return figure

    def _draw_line(self, panel: Panel, place: int, size: str, one: HeadProfile) -> None:
        """Draw one grade line, its drop through the float valve, and what it means at the gauge."""
        look, way = _LOOKS[place % len(_LOOKS)], one.way_to(self.trough)
        along, heads = [one.distance[node] for node in way], [one.head[node] for node in way]
        panel.curve(along, heads, **look)
        drop = [heads[-1], one.height[self.trough]]
        thin = look | {"linewidth": 1.0, "linestyle": (0, (1, 1.6))}
        panel.curve([along[-1]] * 2, drop, **thin)
        share, look_of_name = _NAMES[place % len(_NAMES)]
        x = share * along[-1]
        said = CHARTS["grade name"].format(
            size=size,
            gauge=short(one.gauge, "pressure", panel.system),
            flow=short(one.inflow[self.trough], "flow", panel.system),
        )
        height = float(np.interp(x, along, heads))
        panel.write(x, height, said, color=look["color"], **look_of_name)
