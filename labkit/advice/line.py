"""A site's line made ready for many questions: what pressure stands at the switch, and when."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

import attrs
import numpy as np

from labkit.advice.trial import VISIT, asked
from labkit.engine.demand import used_power
from labkit.engine.pieces import in_pieces, misses_swing
from labkit.engine.plant import make_plant
from labkit.engine.rest import rest
from labkit.engine.steady import settled
from labkit.engine.stopping import lowest_as_it_opens, stop
from labkit.parts import MANIFOLD
from labkit.sun import Sun
from labkit.sun.curve import ZERO_CELSIUS
from labkit.trace.calling import FULLY_OPEN
from labkit.units import si

if TYPE_CHECKING:
    from labkit.engine.layout import Layout
    from labkit.engine.network import Floats, Plant
    from labkit.engine.rest import Rest
    from labkit.engine.steady import Steady
    from labkit.engine.stopping import Stop
    from labkit.site import Site


@attrs.frozen(kw_only=True)
class Line:
    """A line and its plant; every sun is an irradiance [W/m2], every pressure gauge [Pa]."""

    site: Site  # where it comes from
    plant: Plant  # the same as arrays
    layout: Layout  # the names that go with them

    @classmethod
    def of(cls, site: Site) -> Self:
        """Make a site's line ready."""
        plant, layout = make_plant(site)
        return cls(site=site, plant=plant, layout=layout)

    @property
    def is_solar(self) -> bool:
        """Whether the sun has a say."""
        return bool(self.site.drive.kind == "solar")

    @property
    def troughs(self) -> tuple[str, ...]:
        """Names of the troughs."""
        return self.layout.troughs

    def power(self, sun: float) -> float:
        """Shaft power that the pump uses [W]."""
        return float(self.powers(np.array([sun]))[0])

    def powers(self, suns: Floats) -> Floats:
        """Return the same in each of some suns, in the air of the site."""
        air = si(self.site.place.air_temperature) - ZERO_CELSIUS
        times = np.arange(suns.size, dtype=np.float64)
        warmth = np.full(suns.size, air)
        many = Sun(time=times, irradiance=suns, air_temperature=warmth, source="a range")
        return used_power(self.site, many)

    def rest(self, trough: str) -> Rest:
        """Return what the switch sees once the pump stands and a trough's float has run out.

        By the highest ground on the way; a line that hangs far down from the switch breaks off at
        the vapour limit.
        """
        return rest(self.plant, self.layout, trough)

    def lowest(self, trough: str, pressure: float) -> float:
        """Return the least that the gauge shows as stock drink from a line standing at a pressure.

        Where the water's inertia shows, it dips under what it comes to rest at.
        """
        least = self.rest(trough).least
        if in_pieces(self.plant) is self.plant:
            return least
        drunk = sum(asked(self.site, self.site.trough(trough)))
        dips = lowest_as_it_opens(
            self.plant,
            self.layout,
            trough,
            pressure=pressure,
            drinking=drunk / VISIT,
            seconds=VISIT,
        )
        return min(least, dips)

    def with_open(self, sun: float, *, opening: float = 1.0, troughs: tuple[str, ...]) -> Steady:
        """Settle the running line with some floats at an `opening`, the others shut."""
        openings = dict.fromkeys(troughs, opening)
        return settled(self.plant, self.layout, power=self.power(sun), openings=openings)

    def running(self, sun: float, trough: str, *, opening: float = FULLY_OPEN) -> float:
        """Pressure at the switch with one float open as long as it asks for all it can get.

        That is down to nine tenths of its stroke; the pressure is highest there.
        """
        line = self.with_open(sun, opening=opening, troughs=(trough,))
        return line.pressure[MANIFOLD]

    def dead_head(self, sun: float) -> Steady:
        """Settle the running line with every float shut."""
        return self.with_open(sun, troughs=())

    def reach(self, sun: float) -> float:
        """Highest pressure at the switch of the shut line [Pa]; 0 if no water is lifted there."""
        return max(self.dead_head(sun).pressure[MANIFOLD], 0.0)

    def unseen_peak(self, sun: float) -> float:
        """Return how high the gauge goes at a stop where no run shows it [Pa]; mostly 0.

        A bare line's water swings past its cut-out, and only over a mile do runs follow it.
        """
        plant = self.plant
        return self.stop(sun, plant.p_cut_out).peak[MANIFOLD] if misses_swing(plant) else 0.0

    def stop(self, sun: float, cut_out: float) -> Stop:
        """Trip the switch of the running pump at a pressure, every float shut."""
        return stop(self.plant, self.layout, power=self.power(sun), cut_out=cut_out)
