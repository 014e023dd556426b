"""A pressure wave along the line, as a chart of a lesson."""

from typing import TYPE_CHECKING

import attrs
from matplotlib.figure import Figure

from labkit.view.surge_picture import SurgePicture
from labkit.view.surge_words import surge_alt

if TYPE_CHECKING:
    from labkit.engine.surge_record import Surge


@attrs.frozen
class SurgeChart:
    """The head along the line over time, its reach, and the pressure at two gauges."""

    surge: "Surge"

    def draw(self, system: str) -> Figure:
        """Draw it in the units of a system."""
        return SurgePicture(self.surge, system=system).figure

    def words(self, system: str) -> str:
        """Say what it shows."""
        return surge_alt(self.surge, system)
