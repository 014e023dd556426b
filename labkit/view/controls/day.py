"""Controls of the sun and the days under it, of herd and storage, of the well and its pump."""

from typing import Final

from labkit.advice.curves import other_kind
from labkit.advice.days import Days, MeasuredDays, days, measured_days
from labkit.advice.seasons import MONTHS, yearly_temperatures
from labkit.site import Site
from labkit.sun import Sun, constant
from labkit.text.shared import WORDS
from labkit.units import quantity, si, typed
from labkit.units.customary import DAY
from labkit.view.controls.base import Changes, Setting, as_length, choice, control, of_site
from labkit.view.controls.line import by_field

_KINDS: Final = ("centrifugal", "positive displacement")

_DELAYS: Final = {"none": "0 s", "5 min": "5 min", "30 min": "30 min", "2 h": "2 h"}
"""Restart delays that are offered: words, and as a site file has them."""

SKIES: Final = ("computed", "tucson", "alamosa", "boulder")
"""Whose days: the computed ones of the other controls, or one that was measured, again and again.

A bench names this control last, so that a measured day stands whatever clouds and month say."""


def _water_at(site: Site, value: float) -> Changes:
    """Lower or raise the resting water; the pump stays as deep under it as it was."""
    under = si(site.well.intake_depth) - si(site.well.static_level)
    return {"well.static_level": as_length(value), "well.intake_depth": as_length(value + under)}


def _with_herd(site: Site, value: float) -> Changes:
    """Let so many drink at the far trough; where none did, cows with calves come."""
    trough, head = site.farthest(), round(value)
    if trough.herd is None:
        return {f"trough.{trough.name}.herd": {"head": head, "kind": "cow with calf"}}
    return {f"trough.{trough.name}.herd.head": head}


def _set_clouds(site: Site, sun: Sun, value: float) -> Setting:
    if isinstance(sun, Days):
        return site, days(site, month=sun.month, dull=sun.dull, clouds=value)
    return site, days(site, clouds=value)


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


def _set_sky(site: Site, sun: Sun, sky: str) -> Setting:
    """Put a measured day in place of each computed one, or leave those."""
    if sky == SKIES[0]:
        return site, sun
    return site, measured_days(site, sky, count=max(round(sun.time[-1] / DAY), 1))


def _set_sun(site: Site, sun: Sun, value: float) -> Setting:
    """Set a constant sun; the haze that there was stays."""
    clear = constant(typed(value, "irradiance"), site.place.air_temperature)
    return site, clear.behind(sun.haze)


CONTROLS: Final = (
    control(
        "irradiance", "irradiance", (0, 1000, 10), (0, 1000, 10),
        # the strongest sun there would be without haze
        (lambda _site, sun: float(sun.irradiance.max()) / (1.0 - sun.haze), _set_sun), grip="sun",
    ),
    control(
        "haze", "share", (0, 90, 2), (0, 90, 2),
        (lambda _site, sun: sun.haze, lambda site, sun, value: (site, sun.behind(value))),
    ),
    control(
        "herd", "herd", (0, 120, 1), (0, 120, 1),
        of_site(
            lambda site: float(herd.head) if (herd := site.farthest().herd) else 0.0, _with_herd
        ),
    ),
    control(
        "trough volume", "volume", (100, 3100, 25), (400, 12_000, 100),
        by_field("trough.volume", "volume"),
    ),
    control(
        "clouds", "share", (0, 100, 2), (0, 100, 2),
        (lambda _site, sun: sun.clouds if isinstance(sun, Days) else 0.0, _set_clouds),
    ),
    control(
        "lift", "length", (10, 200, 2), (5, 60, 1),
        of_site(lambda site: si(site.well.static_level), _water_at),
    ),
)  # fmt: skip

CHOICES: Final = (
    choice(
        "month", MONTHS,
        (lambda _, sun: MONTHS[(sun.month if isinstance(sun, Days) else 7) - 1], _set_month),
    ),
    choice(
        "restart delay", tuple(_DELAYS),
        of_site(_delay, lambda _, word: {"drive.restart_delay": _DELAYS[word]}),
    ),
    choice(
        "sky", SKIES,
        (lambda _, sun: sun.name if isinstance(sun, MeasuredDays) else SKIES[0], _set_sky),
        says=lambda sky: WORDS[f"sky {sky}"],
    ),
    choice(
        "pump kind", _KINDS,
        # the other kind hangs in the well for the same flow at the same head
        of_site(
            lambda site: site.pump.kind,
            lambda site, kind: {} if kind == site.pump.kind else {"pump": other_kind(site.pump)},
        ),
        says=WORDS.__getitem__,
    ),
)  # fmt: skip
