"""A site's line made ready for many questions, and the worst suns of a range."""

from collections.abc import Sequence
from functools import cached_property
from typing import Final, Self

import attrs
import numpy as np

from labkit.advice.bisect import turning_point
from labkit.advice.trial import VISIT, asked
from labkit.arrays import Floats
from labkit.engine.demand import used_power
from labkit.engine.layout import Layout
from labkit.engine.network import Plant
from labkit.engine.plant import plant_of, running_plant_of
from labkit.engine.rest import Rest, rest
from labkit.engine.steady import Steady, settled
from labkit.engine.stopping import (
    Stop,
    hardest_stop,
    highest_climb,
    level_stop,
    lowest_as_it_opens,
)
from labkit.errors import Said, SiteError
from labkit.parts import MANIFOLD
from labkit.site import Site
from labkit.sun import Sun
from labkit.sun.curve import ZERO_CELSIUS
from labkit.trace.calling import FULLY_OPEN
from labkit.units import Quantity, read_argument, si, written

_STANDS: Final = 6
"""Pressures tried between rest and the highest that a line can stand at, for the deepest dip."""


@attrs.frozen(kw_only=True)
class Line:
    """A line and its plant; every sun is an irradiance [W/m2], every pressure gauge [Pa]."""

    site: Site  # where it comes from
    plant: Plant  # the same as arrays
    layout: Layout  # the names that go with them

    @classmethod
    def of(cls, site: Site) -> Self:
        """Make a site's line ready, once."""
        return site.once(cls._made)

    @classmethod
    def _made(cls, site: Site) -> Self:
        plant, layout = plant_of(site)
        return cls(site=site, plant=plant, layout=layout)

    @cached_property
    def _settled(self) -> dict[tuple[float, float, tuple[str, ...]], Steady]:
        """States that were asked for: many limits hang on the same few."""
        return {}

    @cached_property
    def _stops(self) -> dict[tuple["SunRange", float], Stop]:
        return {}

    @property
    def is_solar(self) -> bool:
        """Whether the sun has a say."""
        return bool(self.site.drive.kind == "solar")

    @property
    def troughs(self) -> tuple[str, ...]:
        """Names of the troughs."""
        return self.layout.troughs

    @property
    def swings(self) -> bool:
        """Whether its water's inertia shows."""
        return running_plant_of(self.site)[0].waves > 0.0

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

        Or at any lower one. Where the water's inertia shows, it dips under what it comes to rest
        at, and over high ground not deepest from the highest.
        """
        least = self.rest(trough).least
        if not self.swings:
            return least
        return lowest_as_it_opens(
            self.plant,
            self.layout,
            trough,
            pressures=np.linspace(least, pressure, _STANDS),
            drinking=sum(asked(self.site, self.site.trough(trough))) / VISIT,
            seconds=VISIT,
        )

    def with_open(self, sun: float, *, opening: float = 1.0, troughs: tuple[str, ...]) -> Steady:
        """Settle the running line with some floats at an `opening`, the others shut."""
        asked = (sun, opening, troughs)
        if asked not in self._settled:
            openings = dict.fromkeys(troughs, opening)
            self._settled[asked] = settled(
                self.plant, self.layout, power=self.power(sun), openings=openings
            )
        return self._settled[asked]

    def running(self, sun: float, trough: str, *, opening: float = FULLY_OPEN) -> float:
        """Pressure at the switch with one float open as long as it asks for all it can get.

        That is down to nine tenths of its stroke; the pressure is highest there.
        """
        line = self.with_open(sun, opening=opening, troughs=(trough,))
        return line.pressure[MANIFOLD]

    def refilling(self, sun: float, trough: str) -> float:
        """Return how long the pump fills pipe that drains as a trough fills beyond a crest [s].

        From the moment its float shuts, at the flow of that sun, which stays the same until the
        pipe is full; only then does the pressure climb. 0 without such a crest.
        """
        filling = self.with_open(sun, troughs=(trough,))
        flow, lacking, node = filling.pump_flow - filling.leak_flow, 0.0, trough
        while node in self.layout.parents:
            if node in filling.surface:
                record = self.plant.nodes[self.layout.names.index(node)]
                lacking += record.S * (record.z - filling.surface[node])
            node = self.layout.parents[node]
        return float(lacking / flow) if flow > 0.0 else 0.0

    def climbs(self, sun: float) -> float:
        """Return the highest that the gauge shows as the pump runs against shut floats [Pa].

        Where the water's inertia shows, it swings past the pressure that it comes to rest at.
        """
        reach = self.reach(sun)
        if not self.swings or self.plant.is_displacement:
            return reach
        begins = max(min(self.rest(trough).least for trough in self.troughs), 0.0)
        climbed = highest_climb(
            self.plant, self.layout, power=self.power(sun), pressure=min(begins, reach)
        )
        return max(reach, climbed)

    def dead_head(self, sun: float) -> Steady:
        """Settle the running line with every float shut."""
        return self.with_open(sun, troughs=())

    def reach(self, sun: float) -> float:
        """Highest pressure at the switch of the shut line [Pa]; 0 if no water is lifted there."""
        return max(self.dead_head(sun).pressure[MANIFOLD], 0.0)

    def level_stop(self, sun: float, cut_out: float) -> Stop:
        """Trip the switch of the running pump while the shut line stands at a pressure all over."""
        return level_stop(self.plant, self.layout, power=self.power(sun), cut_out=cut_out)

    def hardest_stop(self, sun: "SunRange", cut_out: float) -> Stop:
        """Trip it at a pressure in every sun of a range, and take the worst of all."""
        if (sun, cut_out) not in self._stops:
            powers = (self.power(sun.least), self.power(sun.most))
            self._stops[sun, cut_out] = hardest_stop(
                self.plant, self.layout, powers=powers, cut_out=cut_out
            )
        return self._stops[sun, cut_out]


_STEPS: Final = 60
"""Suns tried over a range; power bends too gently with the sun to hide a peak between them."""

_ROUNDS: Final = 30


@attrs.frozen(kw_only=True)
class SunRange:
    """A range of sun, and its two ends as the pump sees them [W/m2]."""

    # as asked
    low: float
    high: float
    least: float  # the weakest in which the drive runs: `low`, or where it starts if that is later
    # The one with the most power. On a hot day that may not be the strongest: the array loses more
    # to the heat than it gains.
    most: float


def read_range(typed: tuple[str | Quantity, str | Quantity]) -> tuple[float, float]:
    """Read a range of sun as two irradiances [W/m2], or say which of them is wrong."""
    found = []
    if not _are_two(typed):
        raise SiteError("run", "sun_range", Said(str(typed)), "write two, the weaker sun first")
    for one in typed:
        asked = read_argument(one, "W/m^2", part="run", field="sun_range")
        if not 0.0 < si(asked) <= 2000.0:
            rule = "it must lie between 0 W/m^2 and 2000 W/m^2"
            raise SiteError("run", "sun_range", Said(written(asked)), rule)
        found.append(si(asked))
    low, high = found
    if low > high:
        raise SiteError(
            "run", "sun_range", Said(f"{low:g} to {high:g} W/m^2"), "write the weaker sun first"
        )
    return low, high


def _are_two(typed: object) -> bool:
    """Whether two things were handed over; a text is one thing."""
    return isinstance(typed, Sequence) and not isinstance(typed, str) and len(typed) == 2


def sun_range(line: Line, low: float, high: float) -> SunRange:
    """Return the ends of a range of sun [W/m2] that matter on a line that starts in some of it."""
    if (fault := line.site.drive.fault) != "none":
        rule = "with it the pump never starts; write 'none' to see what settings the line needs"
        raise SiteError("drive", "fault", fault, rule)
    found = find_range(line, low, high)
    if found is None:
        rule = (
            f"in all of it the array gives less than start_power "
            f"{written(line.site.drive.start_power)}, and the pump never starts"
        )
        raise SiteError("run", "sun_range", Said(f"{low:g} to {high:g} W/m^2"), rule)
    return found


def find_range(line: Line, low: float, high: float) -> SunRange | None:
    """Find the same; None if the drive does not start anywhere in the range."""
    if not line.is_solar:
        return SunRange(low=low, high=high, least=high, most=high)
    suns = np.linspace(low, high, _STEPS) if high > low else np.array([low])
    powers = line.powers(suns)
    starts = powers >= line.plant.start_power
    if not starts.any():
        return None
    first = int(np.argmax(starts))
    least = float(suns[first])
    if first > 0:
        _, least = turning_point(
            lambda sun: line.power(sun) >= line.plant.start_power,
            float(suns[first - 1]),
            least,
            rounds=_ROUNDS,
        )
    weakest = float(suns[starts][np.argmin(powers[starts])])
    least = min(least, weakest, key=line.power)
    return SunRange(low=low, high=high, least=least, most=float(suns[np.argmax(powers)]))
