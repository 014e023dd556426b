"""What a tank must give, and the sum that leads from there to its size."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Self

import attrs

if TYPE_CHECKING:
    from labkit.advice.line import Line


@attrs.frozen(kw_only=True)
class Spans:
    """Times that grow straight with the tank: at none, and for each cubic metre [s, s/m3]."""

    none: float
    per_volume: float

    def at(self, volume: float) -> float:
        """Return the time with a tank [s, m3]."""
        return self.none + self.per_volume * volume

    def volume_for(self, span: float) -> float:
        """Return the smallest tank with which it takes a time [m3, s]."""
        if self.none >= span:
            return 0.0
        return (span - self.none) / self.per_volume

    def less(self, other: Self) -> Self:
        """Return what is left of these times without others."""
        if self.none == inf:
            return self
        return attrs.evolve(
            self, none=self.none - other.none, per_volume=self.per_volume - other.per_volume
        )


@attrs.frozen(kw_only=True)
class Need:
    """A tank just big enough for one wish, as a sum: ``flow * span = volume * share + stretch``."""

    volume: float  # the tank [m3]
    # how long water goes into it while the pump runs, or out of it while the pump rests [s]
    span: float
    share: float  # share of the tank's volume that it gives between cut-out and cut-in
    stretch: float  # water that the stretched pipe takes and gives between the same points [m3]

    @classmethod
    def of(cls, volume: float, spans: Spans, line: Line, share: float) -> Self:
        """Gather the sum for a tank [m3] and the times that it makes.

        The times come first, from tank and line at each pressure; `flow` is reckoned back from
        them, as what the water comes to over the span, so the sum adds up by itself and proves
        nothing.
        """
        plant = line.plant
        elastic = float(plant.nodes.C.sum()) / plant.weight
        stretch = elastic * (plant.p_cut_out - plant.p_cut_in)
        return cls(volume=volume, span=spans.at(volume), share=share, stretch=stretch)

    @property
    def drawdown(self) -> float:
        """Water from the tank alone [m3]."""
        return self.share * self.volume

    @property
    def water(self) -> float:
        """Water from tank and pipe [m3]."""
        return self.drawdown + self.stretch

    @property
    def flow(self) -> float:
        """How fast it comes or goes, on the average [m3/s]."""
        return self.water / self.span
