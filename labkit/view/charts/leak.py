"""How the gauge falls after the stop, with the valve at the manifold open and shut."""

from collections.abc import Mapping
from typing import Any, Final, Self

import attrs
import numpy as np
from matplotlib.figure import Figure

from labkit.advice.leak_down import PLACES, Fall, at_stop, closed_form_fall, fall, with_single_leak
from labkit.figures import style
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import CHARTS, WORDS
from labkit.units.customary import MINUTE
from labkit.view.charts.base import Panel, panels, short

WATCHED: Final = 30.0  # how long the gauge is watched [min]
TEST: Final = 10.0  # how long a technician watches it [min]
_LOOKS: Final[tuple[dict[str, Any], ...]] = (
    {"color": style.BLUE, "linestyle": "solid", "linewidth": 2.2},
    {"color": style.GREEN, "linestyle": (0, (5, 1.8)), "linewidth": 2.2},
    {"color": style.VERMILION, "linestyle": (0, (6, 1.6, 1.2, 1.6)), "linewidth": 2.0},
)


@attrs.frozen(kw_only=True)
class Watched:
    """One line watched: with the valve open, with it shut, and as worked out on paper."""

    opened: Fall
    shut: Fall
    paper: Fall | None = None


@attrs.frozen(kw_only=True)
class LeakDown:
    """Left, the gauge after the stop with the valve to the line open; right, with it shut."""

    lines: Mapping[str, Watched]  # the lines, by what leaks in them
    # points of the switch [Pa]
    cut_in: float
    cut_out: float

    @classmethod
    def of(cls, site: Site, sun: Sun) -> Self:
        """Watch a site as it stands."""
        return cls._made(site, {CHARTS["your line"]: _watched(site, sun)})

    @classmethod
    def each(cls, site: Site, sun: Sun | str, size: str) -> Self:
        """Watch a site with one leak of a size at a time: check valve, float, line."""
        lines = {}
        for place in PLACES:
            leaky = with_single_leak(site, place, size)
            seen = _watched(leaky, sun)
            paper = closed_form_fall(leaky, place, size, float(seen.opened.pressure[0]), 0.0)
            lines[CHARTS[f"leak at {place}"]] = attrs.evolve(seen, paper=paper)
        return cls._made(site, lines)

    @classmethod
    def _made(cls, site: Site, lines: Mapping[str, Watched]) -> Self:
        cut_in, cut_out = site.pressure_switch.points
        return cls(lines=lines, cut_in=cut_in, cut_out=cut_out)

    def words(self, system: str) -> str:
        """Say how far the gauge falls in the first minutes, valve open and shut."""
        falls = [
            CHARTS["leak chart line"].format(
                name=name,
                opened=short(_lost(one.opened), "pressure", system),
                shut=short(_lost(one.shut), "pressure", system),
            )
            for name, one in self.lines.items()
        ]
        begin = CHARTS["leak chart"].format(
            minutes=f"{TEST:g}", cut_in=short(self.cut_in, "pressure", system)
        )
        return " ".join([begin, *falls])

    def draw(self, system: str) -> Figure:
        """Draw both panels on one scale."""
        figure, (left, right) = panels(1.0, 1.0)
        opened = Panel(left, system, up="pressure")
        self._draw(opened, "open", [one.opened for one in self.lines.values()])
        shut = Panel(right, system, up="pressure")
        self._draw(shut, "shut", [one.shut for one in self.lines.values()])
        for look, one in zip(_LOOKS, self.lines.values(), strict=False):
            if one.paper is not None:
                opened.curve(
                    one.paper.time / MINUTE, one.paper.pressure, linewidth=0.0, marker="o",
                    markersize=4.5, color=look["color"], markerfacecolor=style.PAPER, zorder=4,
                )  # fmt: skip
        return figure

    def _draw(self, panel: Panel, valve: str, falls: list[Fall]) -> None:
        """Draw the falls; over the cut-out, where no line comes, is what each lost in minutes."""
        top = 1.45 * self.cut_out
        panel.reach(right=WATCHED, top=top)
        across = CHARTS["minutes after the stop"]
        panel.scale(CHARTS[f"valve {valve}"], across=across, up=CHARTS["gauge"])
        panel.level(self.cut_in, WORDS["cut-in control"].lower())
        for one, look in zip(falls, _LOOKS, strict=False):
            panel.curve(one.time / MINUTE, np.maximum(one.pressure, 0.0), **look)
        for place, (name, one) in enumerate(zip(self.lines, falls, strict=True)):
            height, look = (0.95 - 0.075 * place) * top, _LOOKS[place]
            panel.curve([1.0, 4.5], [height] * 2, **look)
            lost = short(_lost(one), "pressure", panel.system)
            said = CHARTS["leak name"].format(name=name, lost=lost, minutes=f"{TEST:g}")
            panel.write(5.2, height, said, va="center", color=look["color"])


def _watched(site: Site, sun: Sun | str) -> Watched:
    now = at_stop(site, sun)
    return Watched(opened=fall(now, WATCHED), shut=fall(now, WATCHED, is_valve_shut=True))


def _lost(one: Fall) -> float:
    """Return what a gauge falls in the first minutes [Pa]; one that is empty shows nothing less."""
    return float(one.pressure[0]) - max(one.at(TEST * MINUTE), 0.0)
