"""Water through the year: what herds need, what the sun can deliver, how cloudy days end."""

from collections.abc import Callable, Sequence
from math import inf
from typing import Final, Literal, TypeAlias

import attrs
import numpy as np

from labkit.advice.days import LONGEST_SPELL
from labkit.advice.seasons import MONTHS, average_day, yearly_temperatures
from labkit.advice.sky_mix import SkyMix, dull_day, in_a_row, peak_sun_hours, some_days, three_skies
from labkit.engine.demand import herd_need
from labkit.engine.plant import shut_volume
from labkit.engine.run import simulate
from labkit.engine.steady import steady
from labkit.errors import Said, SiteError
from labkit.site import Site
from labkit.sun import Sun
from labkit.trace import Trace
from labkit.units import Quantity, si
from labkit.units.customary import DAY

Lack: TypeAlias = Literal["nothing", "pumping", "control", "storage"]

_HELD_OFF: Final = ("stuck off", "false stop", "safety stop")
"""Verdicts of a run in which the pump was off though a trough called."""

ENOUGH: Final = 0.99  # share of its need that a herd must get for a month to count as enough


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


_BOTTOMLESS: Final = "100000 gal"

_DRY: Final = 1e-3  # depth of water that counts as none [m]


def herd_demand(site: Site) -> dict[str, float]:
    """Return what each trough's herd drinks in the air of the site [m3/day]."""
    return {
        trough.name: herd_need(trough, site) * DAY
        for trough in site.troughs
        if trough.herd is not None
    }


def evaporation(site: Site) -> dict[str, float]:
    """Return what leaves each open trough into the air [m3/day], by the place's depth a day."""
    depth = si(site.place.evaporation) * DAY
    return {t.name: depth * si(t.volume) / si(t.depth) for t in site.troughs}


def bottomless(site: Site) -> Site:
    """Return the line with troughs that never fill, nobody drinking, no water lost to the air."""
    changes: dict[str, str | None] = {"place.evaporation": "0 in/day"}
    for trough in site.troughs:
        changes[f"trough.{trough.name}.volume"] = _BOTTOMLESS
        if trough.herd is not None:
            changes[f"trough.{trough.name}.herd"] = None
    return site.changed(changes)


def deliverable(site: Site, sun: Sun) -> float:
    """Return what the line delivers on a day with every float wide open [m3]."""
    empty = {trough.name: "0 in" for trough in site.troughs}
    day = simulate(bottomless(site), "1 day", sun=sun, start="00:00", levels=empty, to_the_end=True)
    return float(day.measures().delivered)


def storage_days(site: Site) -> float:
    """Days that the least of the full troughs waters its herd with no pump at all [day]."""
    demand, lost = herd_demand(site), evaporation(site)
    return min(
        shut_volume(trough) / (demand[trough.name] + lost[trough.name])
        for trough in site.troughs
        if demand.get(trough.name)
    )


def dry_time(trace: Trace) -> float:
    """Longest time, all told, that any one trough stood empty in a run [s]."""
    steps = np.diff(trace.time)
    return max(
        float(steps[(level[:-1] < _DRY) & (level[1:] < _DRY)].sum())
        for level in trace.level.values()
    )


BUDGET: Final = "water budget"  # what it is called in a complaint

LIVED_DAYS: Final = 10
"""Days in a row, of mixed skies, that the herds are watched through in each month."""


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
        return simulate(self.site, f"{LIVED_DAYS} day", sun=sun, start="00:00", to_the_end=True)

    def _spell(self, days: int, light: float) -> Trace:
        """Run the cloudy days from full troughs."""
        sun = in_a_row([dull_day(self.site, self.date, light)], source="cloudy days")
        return simulate(self.site, f"{days} day", sun=sun, start="00:00", to_the_end=True)
