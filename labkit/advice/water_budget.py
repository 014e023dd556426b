"""Water through the year: what herds need, what the sun can deliver, how cloudy days end."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Final

import numpy as np

from labkit.advice.budget_record import Month, WaterBudget
from labkit.advice.delivery import deliverable, dry_time, evaporation, herd_demand, storage_days
from labkit.advice.seasons import average_day, yearly_temperatures
from labkit.advice.sky_mix import (
    SkyMix,
    dull_day,
    in_a_row,
    peak_sun_hours,
    some_days,
    three_skies,
)
from labkit.engine.run import simulate
from labkit.engine.steady import steady
from labkit.errors import Said, SiteError
from labkit.units import Quantity, si

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from labkit.site import Site
    from labkit.trace import Trace

BUDGET: Final = "water budget"
"""What it is called in a complaint."""

LIVED_DAYS: Final = 10
"""Days in a row, of mixed skies, that the herds are watched through in each month."""

LONGEST_SPELL: Final = 14
"""Dull days after which nobody goes on counting."""


def water_budget(
    site: Site,
    *,
    temperatures: Sequence[str | Quantity] | None = None,
    mix: SkyMix | None = None,
    peak_sun: Sequence[float] | None = None,
    cloudy_days: int = 3,
    cloudy_light: float = 0.2,
    months: Sequence[int] = range(1, 13),
    seed: int = 1,
    year: int = 2023,
    progress: Callable[[float], None] | None = None,
) -> WaterBudget:
    """Reckon a year's water, month by month, by running representative days.

    Parameters
    ----------
    site : Site
        The line with its herds; its drive must be a solar one.
    temperatures : sequence of 12 quantities, optional
        Mean air temperature of each month; left out, a wave through the year that peaks at the
        place's air temperature (`yearly_temperatures`).
    mix : SkyMix, optional
        Which skies the months have.
    peak_sun : sequence of 12 numbers, optional
        Published peak sun hours for the handbook's method [h]; left out, those of the mix, so that
        both methods have the same light.
    cloudy_days : int
        How many cloudy days come in a row.
    cloudy_light : float
        Light on the cloudy days, as a share of a clear day's [-].
    months : sequence of int
        Which months, 1 to 12, such as those in which stock are out.
    seed : int
        Which clouds, and in which order the days come.
    year : int
        Of the dates.
    progress : callable, optional
        Told the share that is done.

    Returns
    -------
    WaterBudget
        Demand and delivery side by side.

    Raises
    ------
    SiteError
        For a line without herds or without the sun, and for numbers that cannot be.

    Notes
    -----
    What a day can deliver comes from running it from midnight to midnight: the drive rests under
    its start power, the pump lifts nothing in weak sun, the well draws down, a switch set too low
    stops it early, a big array holds full speed for most of the day. Peak sun hours know none of
    that. Troughs are drunk down to the floor. The herd drinks by the catalogue's table and the
    month's temperature, or its stated daily need, which then holds all year.
    """
    _check(site, cloudy_days, cloudy_light, peak_sun)
    warmth = tuple(temperatures) if temperatures is not None else yearly_temperatures(site)
    if len(warmth) != 12:
        raise SiteError(BUDGET, "temperatures", len(warmth), "write one for each of 12 months")
    known = mix or SkyMix()
    flow = steady(site, sun="1000 W/m^2").pump_flow
    wanted = _months(months)
    reckoned = []
    for done, number in enumerate(wanted, start=1):
        here = site.changed({"place.air_temperature": warmth[number - 1]})
        hours = None if peak_sun is None else float(peak_sun[number - 1])
        work = _Work(here, known, number, year, seed)
        reckoned.append(work.month(flow, hours, cloudy_days, cloudy_light))
        if progress is not None:
            progress(done / len(wanted))
    return WaterBudget(
        site=site,
        mix=known,
        months=tuple(reckoned),
        full_sun_flow=flow,
        cloudy_days=cloudy_days,
        cloudy_light=cloudy_light,
    )


def _check(site: Site, days: int, light: float, peak_sun: Sequence[float] | None) -> None:
    """Refuse what no budget can be made of."""
    if site.drive.kind != "solar":
        rule = "a budget by the sun is for a solar drive; the mains pump day and night"
        raise SiteError(BUDGET, "drive.kind", site.drive.kind, rule)
    if not any(t.herd is not None and t.herd.head for t in site.troughs):
        raise SiteError(BUDGET, "herd", None, "no trough of the line has a herd that drinks there")
    if not 1 <= days <= LONGEST_SPELL:
        raise SiteError(BUDGET, "cloudy_days", days, f"it must lie between 1 and {LONGEST_SPELL}")
    if not 0.0 <= light <= 1.0:
        raise SiteError(BUDGET, "cloudy_light", light, "it is a share, 0 (dark) to 1 (clear)")
    if peak_sun is not None and len(peak_sun) != 12:
        raise SiteError(BUDGET, "peak_sun", len(peak_sun), "write one for each of 12 months")


def _months(typed: Sequence[int]) -> list[int]:
    """Take numbers of months."""
    wanted = list(typed)
    if not wanted or not all(number in range(1, 13) for number in wanted):
        rule = "write numbers of months, 1 to 12, such as [5, 6, 7]"
        raise SiteError(BUDGET, "months", Said(", ".join(map(str, wanted)) or "none"), rule)
    return wanted


class _Work:
    """The runs that a month is made of."""

    def __init__(self, site: Site, mix: SkyMix, number: int, year: int, seed: int) -> None:
        self.site, self.mix, self.number = site, mix, number
        self.date = average_day(number, year)
        self.seed = 100 * seed + number

    def month(self, flow: float, hours: float | None, days: int, light: float) -> Month:
        """Run the days and put them together."""
        skies = three_skies(self.site, self.date, self.mix, self.seed)
        each = [deliverable(self.site, sky) for sky in skies]
        if hours is None:
            hours = float(np.dot(self.mix.shares, [peak_sun_hours(sky) for sky in skies]))
        demand = sum(herd_demand(self.site).values())
        lived = self._lived()
        spell = self._spell(days, light)
        dry = [event.time for event in spell.events if event.kind == "trough empty"]
        return Month(
            number=self.number,
            air_temperature=si(self.site.place.air_temperature),
            demand=demand,
            evaporation=sum(evaporation(self.site).values()),
            peak_sun_hours=hours,
            clear=each[0],
            broken=each[1],
            overcast=each[2],
            able=float(np.dot(self.mix.shares, each)),
            handbook=hours * 3600.0 * flow,
            share_met=lived.totals.drunk / lived.totals.asked,
            verdict=lived.verdict,
            storage_days=storage_days(self.site),
            dry_after=min(dry, default=inf),
            dry_time=dry_time(spell),
            short_in_spell=max(spell.measures().unmet, 0.0),
        )

    def _lived(self) -> Trace:
        """Run some days of mixed skies with the herds at the troughs."""
        sun = some_days(self.site, self.date, self.mix, count=LIVED_DAYS, seed=self.seed)
        return simulate(self.site, f"{LIVED_DAYS} day", sun=sun, start="00:00")

    def _spell(self, days: int, light: float) -> Trace:
        """Run the cloudy days from full troughs."""
        sun = in_a_row([dull_day(self.site, self.date, light)], source="cloudy days")
        return simulate(self.site, f"{days} day", sun=sun, start="00:00")
