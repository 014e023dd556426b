"""The year's water in words: a few sentences, and a row for each month."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from labkit.language import say, say_time
from labkit.text.shared import ADVICE
from labkit.units.customary import DAY, HOUR
from labkit.view.tables import Rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labkit.advice.water_budget import Month, WaterBudget


def budget_lines(budget: WaterBudget, units: str = "US") -> list[str]:
    """Say what a year's water comes to, a sentence or two for each thing."""
    tight = budget.tightest
    return [
        ADVICE["budget tightest"].format(
            month=tight.name,
            needed=_daily(tight.needed, units),
            able=_daily(tight.able, units),
            ratio=f"{tight.able / tight.needed:.1f}",
        ),
        *_shortages(budget),
        _dull(budget, units),
        _handbook(budget, tight, units),
        ADVICE["rule of three"].format(days=f"{tight.storage_days:.1f}", month=tight.name),
    ]


def budget_rows(budget: WaterBudget, units: str = "US") -> Rows:
    """Return a row for each month."""
    words = ("month", "air temperature", "takes", "delivers", "clear day", "overcast day",
             "by handbook", "herds got", "storage")  # fmt: skip
    spell = ADVICE["dull spell"].format(count=budget.cloudy_days)
    return Rows(
        title=budget.site.title,
        headers=(*(ADVICE[word] for word in words), spell),
        cells=tuple(_row(month, units) for month in budget.months),
    )


def _row(month: Month, units: str) -> tuple[str, ...]:
    """Put a month into words."""
    water = (month.needed, month.able, month.clear, month.overcast, month.handbook)
    dry = ADVICE["fine"]
    if isfinite(month.dry_after):
        hours = round(month.dry_after / HOUR) * HOUR
        dry = ADVICE["dry after"].format(time=say_time(hours))
    return (
        month.name,
        say(month.air_temperature, "temperature", units),
        *(_daily(value, units) for value in water),
        f"{100.0 * month.share_met:.0f}%",
        ADVICE["days"].format(days=f"{month.storage_days:.1f}"),
        dry,
    )


def _daily(volume: float, units: str) -> str:
    """Say a volume each day [m3/day]."""
    return say(volume / DAY, "daily volume", units)


def _shortages(budget: WaterBudget) -> list[str]:
    """Say in which months herds went short, and for want of what."""
    if not budget.short_months:
        return [ADVICE["budget enough"]]
    said = [ADVICE["budget short"].format(months=_named(budget.short_months))]
    for lack in ("pumping", "control", "storage"):
        months = [month for month in budget.short_months if month.lacks == lack]
        if months:
            days = min(month.storage_days for month in months)
            words = ADVICE[f"lacks {lack}"]
            said.append(words.format(months=_named(months), days=f"{days:.1f}"))
    return said


def _dull(budget: WaterBudget, units: str) -> str:
    """Say how a run of cloudy days ends."""
    given = {"count": budget.cloudy_days, "light": f"{100.0 * budget.cloudy_light:.0f}%"}
    dry = budget.dry_months
    if not dry:
        return ADVICE["dull fine"].format(**given)
    worst = max(dry, key=lambda month: month.short_in_spell)
    return ADVICE["dull short"].format(
        **given,
        months=_named(dry),
        month=worst.name,
        time=say_time(round(worst.dry_after / HOUR) * HOUR),
        volume=say(worst.short_in_spell, "volume", units),
    )


def _handbook(budget: WaterBudget, month: Month, units: str) -> str:
    """Hold the handbook's way against the run."""
    off = month.handbook / month.able - 1.0
    return ADVICE["budget handbook"].format(
        hours=f"{month.peak_sun_hours:.1f}",
        flow=say(budget.full_sun_flow, "flow", units),
        handbook=_daily(month.handbook, units),
        month=month.name,
        share=f"{100.0 * abs(off):.0f}%",
        than=ADVICE["less" if off < 0.0 else "more"],
    )


def _named(months: Sequence[Month]) -> str:
    """List months by name, or say that it is all the year."""
    if len(months) == 12:
        return ADVICE["every month"]
    names = [month.name for month in months]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
