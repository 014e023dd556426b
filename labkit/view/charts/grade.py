"""The grade line along the pipe for several pipe sizes: what moving water costs."""

from typing import TYPE_CHECKING, Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.curves import HeadProfile, lay
from labkit.catalogue import sizes_like
from labkit.engine.fluid import water_at
from labkit.figures import style
from labkit.text.shared import CHARTS
from labkit.units import displayed, si
from labkit.view.charts.base import curve, dot, panels, reach, scale, short, write

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from labkit.site import Site
    from labkit.sun import Sun

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
    def of(cls, site: "Site", sun: "Sun") -> Self:
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
        any_line = next(iter(self.lines.values()))
        way = any_line.way_to(self.trough)
        trip = self.cut_out / self.weight
        heads = [one.head["manifold"] for one in self.lines.values()]
        ground = [displayed(any_line.height[node], "length", system) for node in way]
        along = [displayed(any_line.distance[node], "length", system) for node in way]
        top = displayed(1.2 * max(trip, *heads), "length", system)
        bottom = min(0.0, *ground) - 0.12 * top
        reach(axes, right=1.16 * along[-1], top=top, bottom=bottom)
        scale(
            axes, system,
            across=(CHARTS["way along"], "length"), up=(CHARTS["height up"], "length"),
            words=CHARTS["grade title"],
        )  # fmt: skip
        axes.fill_between(along, ground, bottom, color=style.SOIL, linewidth=0.0)
        axes.plot(along, ground, color=style.GROUND, linewidth=1.6)
        dot(axes, along[-1], ground[-1], marker="s", markersize=8, color=style.GREEN)
        write(
            axes,
            along[-1],
            ground[-1],
            self.trough,
            shift=(9, -3),
            color=style.GREEN,
            fontweight="bold",
        )
        trip_at = displayed(trip, "length", system)
        axes.plot(
            [0.0, 0.16 * along[-1]],
            [trip_at] * 2,
            color=style.VERMILION,
            linewidth=1.6,
            linestyle=(0, (5, 2)),
        )
        cut_out = CHARTS["trips here"].format(pressure=short(self.cut_out, "pressure", system))
        above = max(heads) > trip
        write(axes, 0.0, trip_at, cut_out, shift=(4, -11 if above else 4), color=style.VERMILION)
        for place, (size, one) in enumerate(self.lines.items()):
            self._draw_line(axes, system, place, size, one)
        return figure

    def _draw_line(
        self, axes: "Axes", system: str, place: int, size: str, one: HeadProfile
    ) -> None:
        """Draw one grade line, its drop through the float valve, and what it means at the gauge."""
        look, way = _LOOKS[place % len(_LOOKS)], one.way_to(self.trough)
        along, heads = [one.distance[node] for node in way], [one.head[node] for node in way]
        kinds = ("length", "length")
        curve(axes, along, heads, kinds=kinds, system=system, **look)
        drop = [heads[-1], one.height[self.trough]]
        thin = look | {"linewidth": 1.0, "linestyle": (0, (1, 1.6))}
        curve(axes, [along[-1]] * 2, drop, kinds=kinds, system=system, **thin)
        share, look_of_name = _NAMES[place % len(_NAMES)]
        x = displayed(share * along[-1], "length", system)
        y = displayed(float(np.interp(share * along[-1], along, heads)), "length", system)
        said = CHARTS["grade name"].format(
            size=size,
            gauge=short(one.gauge, "pressure", system),
            flow=short(one.inflow[self.trough], "flow", system),
        )
        write(axes, x, y, said, color=look["color"], **look_of_name)
