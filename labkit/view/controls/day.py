"""Controls of days on the range: herd, storage, month, clouds, restart delay."""

from typing import Final

from labkit.advice.days import Days, MeasuredDays, days, measured_days
from labkit.advice.seasons import MONTHS, yearly_temperatures
from labkit.site import Site
from labkit.sun import Sun
from labkit.text.shared import WORDS
from labkit.units import quantity, si
from labkit.units.customary import DAY
from labkit.view.controls.base import Changes, Setting, choice, control, of_site
from labkit.view.controls.line import by_field

_DELAYS: Final = {"none": "0 s", "5 min": "5 min", "30 min": "30 min", "2 h": "2 h"}
"""Restart delays that are offered: words, and as a site file has them."""

SKIES: Final = ("computed", "tucson", "alamosa", "boulder")
"""Whose days: the computed ones of the other controls, or one that was measured, again and again.

A bench names this control last, so that a measured day stands whatever clouds and month say."""


def _herd(site: Site) -> float:
    herd = site.farthest().herd
    return float(herd.head) if herd is not None else 0.0


def _with_herd(site: Site, value: float) -> Changes:
    """Let so many drink at the far trough; where none did, cows with calves come."""
    trough, head = site.farthest(), round(value)
    if trough.herd is None:
        return {f"trough.{trough.name}.herd": {"head": head, "kind": "cow with calf"}}
    return {f"trough.{trough.name}.herd.head": head}


def _clouds(_site: Site, sun: Sun) -> float:
    return sun.clouds if isinstance(sun, Days) else 0.0


def _set_clouds(site: Site, sun: Sun, value: float) -> Setting:
    if isinstance(sun, Days):
        return site, days(site, month=sun.month, dull=sun.dull, clouds=value)
    return site, days(site, clouds=value)


def _month(_site: Site, sun: Sun) -> str:
    return MONTHS[(sun.month if isinstance(sun, Days) else 7) - 1]


def _set_month(site: Site, sun: Sun, name: str) -> Setting:
    """Go to a month: its sun, and its air, of which the site's own is the warmest month's."""
    number = MONTHS.index(name) + 1
    there = site.changed({"place.air_temperature": yearly_temperatures(site)[number - 1]})
    if isinstance(sun, Days):
        return there, days(there, month=number, dull=sun.dull, clouds=sun.clouds)
    return there, days(there, month=number)


def _delay(site: Site) -> str:
    seconds = si(site.drive.restart_delay)
    return min(_DELAYS, key=lambda word: abs(si(quantity(_DELAYS[word], "s")) - seconds))


def _sky(_site: Site, sun: Sun) -> str:
    return sun.name if isinstance(sun, MeasuredDays) else SKIES[0]


def _set_sky(site: Site, sun: Sun, sky: str) -> Setting:
    """Put a measured day in place of each computed one, or leave those."""
    if sky == SKIES[0]:
        return site, sun
    return site, measured_days(site, sky, count=max(round(sun.time[-1] / DAY), 1))


_DELAY: Final = of_site(_delay, lambda _, word: {"drive.restart_delay": _DELAYS[word]})

CONTROLS: Final = (
    control("herd", "herd", (0, 120, 1), (0, 120, 1), of_site(_herd, _with_herd)),
    control(
        "trough volume", "volume", (100, 3100, 25), (400, 12_000, 100),
        by_field("trough.volume", "volume"),
    ),
    control("clouds", "share", (0, 100, 2), (0, 100, 2), (_clouds, _set_clouds)),
)  # fmt: skip

CHOICES: Final = (
    choice("month", MONTHS, (_month, _set_month)),
    choice("restart delay", tuple(_DELAYS), _DELAY),
    choice("sky", SKIES, (_sky, _set_sky), says=lambda sky: WORDS[f"sky {sky}"]),
)
