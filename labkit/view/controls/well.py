"""Controls of the well and the pump in it."""

from typing import Final

from labkit.advice.curves import other_kind
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si
from labkit.view.controls.base import Choice, Setting, as_length, control
from labkit.view.words import WORDS

KINDS: Final = ("centrifugal", "positive displacement")


def _lift(site: Site, _sun: Sun) -> float:
    return si(site.well.static_level)


def _set_lift(site: Site, sun: Sun, value: float) -> Setting:
    """Lower or raise the resting water; the pump stays as deep under it as it was."""
    under = si(site.well.intake_depth) - si(site.well.static_level)
    changes = {
        "well.static_level": as_length(value),
        "well.intake_depth": as_length(value + under),
    }
    return site.changed(changes), sun


def _kind(site: Site, _sun: Sun) -> str:
    return site.pump.kind


def _set_kind(site: Site, sun: Sun, kind: str) -> Setting:
    """Hang the other kind of pump into the well, for the same flow at the same head."""
    if kind == site.pump.kind:
        return site, sun
    return site.changed({"pump": other_kind(site.pump)}), sun


CONTROLS: Final = (control("lift", "length", (10, 200, 2), (5, 60, 1), (_lift, _set_lift)),)

CHOICES: Final = (
    Choice(
        name="pump kind",
        words=WORDS["pump kind"],
        options=lambda _site: KINDS,
        option_words=lambda kind: WORDS[kind],
        read=_kind,
        apply=_set_kind,
    ),
)
