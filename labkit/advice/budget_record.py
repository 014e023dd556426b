"""A year's water as a record: a month, and all of them with what they were reckoned from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, TypeAlias

import attrs

from labkit.advice.seasons import MONTHS

if TYPE_CHECKING:
    from labkit.advice.sky_mix import SkyMix
    from labkit.site import Site

Lack: TypeAlias = Literal["nothing", "pumping", "control", "storage"]

_HELD_OFF: Final = ("stuck off", "false stop", "safety stop")
"""Verdicts of a run in which the pump was off though a trough called."""

ENOUGH: Final = 0.99
"""Share of its need that a herd must get for a month to count as enough."""


@attrs.frozen(kw_only=True)
class Month:
    """A month of the budget; water in m3 a day unless said otherwise."""

    number: int  # 1 to 12
    air_temperature: float  # mean of the month [K]
    demand: float  # what the herds drink
    # what the air takes from the open troughs, by the place's depth a day all year
    evaporation: float
    peak_sun_hours: float  # light on the array, a mean day of the mix, as hours of 1000 W/m2 [h]
    # what the line delivers on such a day with every float wide open
    clear: float
    broken: float
    overcast: float
    able: float  # the mean of those in the shares of the mix
    handbook: float  # peak sun hours times the flow at 1000 W/m2
    # what the herds got of what they asked for, ten days of mixed skies from full troughs [-]
    share_met: float
    verdict: str  # the verdict of those ten days
    # days that the least of the full troughs waters its herd with no pump at all [day]
    storage_days: float
    # time from the start of the cloudy days to the first empty trough; infinite for none [s]
    dry_after: float
    dry_time: float  # longest time, all told, that a trough stood empty in the spell [s]
    short_in_spell: float  # water that the herds asked for in the cloudy days and did not get [m3]

    @property
    def name(self) -> str:
        """The month's name."""
        return MONTHS[self.number - 1]

    @property
    def needed(self) -> float:
        """What must be delivered to keep up with herds and air [m3/day]."""
        return self.demand + self.evaporation

    @property
    def enough(self) -> bool:
        """Whether the herds got their water in ten days of mixed skies."""
        return self.share_met >= ENOUGH

    @property
    def lacks(self) -> Lack:
        """What a month that is not enough lacks.

        "control": the pump was held off while a trough called. "pumping": sun and pump cannot
        deliver a day's water in a day. "storage": neither of the two, so the troughs are too small
        for the hours without sun.
        """
        if self.enough:
            return "nothing"
        if self.verdict in _HELD_OFF:
            return "control"
        return "pumping" if self.able < self.needed else "storage"


@attrs.frozen(kw_only=True)
class WaterBudget:
    """A year's water.

    Attributes
    ----------
    site : Site
        The line.
    mix : SkyMix
        The skies it was reckoned with.
    months : tuple of Month
        In the order asked for.
    full_sun_flow : float
        Flow of the whole line at 1000 W/m2, every float open: the handbook's rated flow [m3/s].
    cloudy_days : int
        Length of the cloudy days [day].
    cloudy_light : float
        Its light as a share of a clear day's [-].
    """

    site: Site
    mix: SkyMix
    months: tuple[Month, ...]
    full_sun_flow: float
    cloudy_days: int
    cloudy_light: float

    @property
    def tightest(self) -> Month:
        """The month in which delivery covers the demand least."""
        return min(self.months, key=lambda month: month.able / max(month.needed, 1e-9))

    @property
    def short_months(self) -> tuple[Month, ...]:
        """The months that are not enough."""
        return tuple(month for month in self.months if not month.enough)

    @property
    def dry_months(self) -> tuple[Month, ...]:
        """The months in which the cloudy days leave herds short, by a hundredth of a day's need."""
        return tuple(month for month in self.months if month.short_in_spell > 0.01 * month.demand)
