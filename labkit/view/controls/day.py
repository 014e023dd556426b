"""Controls of days on the range: herd, storage, month, clouds, restart delay."""

from typing import Final

from labkit.advice.days import Days, MeasuredDays, days, measured_days
from labkit.advice.seasons import MONTHS, yearly_temperatures
from labkit.advice.sky_mix import DAY
from labkit.parts import Herd
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si
from labkit.view.controls.base import Choice, Setting, control
from labkit.view.controls.line import by_field
from labkit.view.words import WORDS

_DELAYS: Final = {"none": "0 s", "5 min": "5 min", "30 min": "30 min", "2 h": "2 h"}
"""Restart delays that are offered: words, and as a site file has them."""

SKIES: Final = ("computed", "tucson", "alamosa", "boulder")
"""Whose days: the computed ones of the other controls, or one that was measured, again and again.

A bench names this control last, so that a measured day stands whatever clouds and month say."""


def _herd(site: Site, _sun: Sun) -> float:
    herd = site.farthest().herd
    return float(herd.head) if herd is not None else 0.0


def _set_herd(site: Site, sun: Sun, value: float) -> Setting:
    """Let so many drink at the far trough; where none did, cows with calves come."""
    trough, head = site.farthest(), round(value)
    if trough.herd is None:
        herd = Herd(head=head, kind="cow with calf")
        return site.changed({f"trough.{trough.name}.herd": {"head": head, "kind": herd.kind}}), sun
    return site.changed({f"trough.{trough.name}.herd.head": head}), sun


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


def _delay(site: Site, _sun: Sun) -> str:
    seconds = si(site.drive.restart_delay)
    return min(_DELAYS, key=lambda word: abs(_seconds(word) - seconds))


def _seconds(word: str) -> float:
    number, unit = _DELAYS[word].split()
    return float(number) * {"s": 1.0, "min": 60.0, "h": 3600.0}[unit]


def _set_delay(site: Site, sun: Sun, word: str) -> Setting:
    return site.changed({"drive.restart_delay": _DELAYS[word]}), sun


def _sky(_site: Site, sun: Sun) -> str:
    return sun.name if isinstance(sun, MeasuredDays) else SKIES[0]


def _set_sky(site: Site, sun: Sun, sky: str) -> Setting:
    """Put a measured day in place of each computed one, or leave those."""
    if sky == SKIES[0]:
        return site, sun
    return site, measured_days(site, sky, count=max(round(sun.time[-1] / DAY), 1))


CONTROLS: Final = (
    control("herd", "herd", (0, 120, 1), (0, 120, 1), (_herd, _set_herd)),
    control(
        "trough volume", "volume", (100, 3100, 25), (400, 12_000, 100),
        by_field("trough.volume", "volume"),
    ),
    control("clouds", "share", (0, 100, 2), (0, 100, 2), (_clouds, _set_clouds)),
)  # fmt: skip

CHOICES: Final = (
    Choice(
        name="month",
        words=WORDS["month"],
        options=lambda _site: MONTHS,
        read=_month,
        apply=_set_month,
    ),
    Choice(
        name="restart delay",
        words=WORDS["restart delay"],
        options=lambda _site: tuple(_DELAYS),
        read=_delay,
        apply=_set_delay,
    ),
    Choice(
        name="sky",
        words=WORDS["sky"],
        options=lambda _site: SKIES,
        option_words=lambda sky: WORDS[f"sky {sky}"],
        read=_sky,
        apply=_set_sky,
    ),
)
