"""The room for the switch, with its two points as they stand now."""

from typing import TYPE_CHECKING, Final, Self

import attrs
from matplotlib.figure import Figure

from labkit.advice.window import Window, bare_window
from labkit.text.shared import CHARTS
from labkit.view.charts.base import short
from labkit.view.window_picture import window_figure
from labkit.view.window_told import own_words, trough_lines

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.sun import Sun

FULL_SUN: Final = 1000.0  # the strongest sun that a switch is set for [W/m2]


@attrs.frozen(kw_only=True)
class SwitchWindow:
    """Where the switch may stand so that it works in every sun from the present one to full sun."""

    sun: float  # the weakest sun, that of the bench [W/m2]
    window: Window  # the room for the two points

    @classmethod
    def of(cls, site: "Site", sun: "Sun") -> Self:
        """Work out the room of a site, from a sun up to full sun."""
        weakest = float(sun.irradiance.max())
        return cls(sun=weakest, window=bare_window(site, min(weakest, FULL_SUN), FULL_SUN))

    def words(self, system: str) -> str:
        """Say what the switch sees, what room that leaves, and what its setting comes to."""
        room = self.window.room
        low, high = (short(point, "pressure", system) for point in (room.floor, room.ceiling))
        key = "window chart" if room.floor < room.ceiling else "window chart closed"
        said = CHARTS[key].format(
            sun=short(self.sun, "irradiance", system),
            cut_in=short(room.cut_in_above, "pressure", system),
            low=low,
            high=high,
        )
        return " ".join([said, *trough_lines(self.window, system), own_words(self.window, system)])

    def draw(self, system: str) -> Figure:
        """Draw the room with the switch's own two points."""
        return window_figure(self.window, system, own=True)
