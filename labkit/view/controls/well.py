"""Controls of the well and the pump in it."""

from math import floor
from typing import Final

from labkit.parts import CentrifugalPump, DisplacementPump, Pump
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si
from labkit.view.controls.base import Choice, Setting, as_length, control
from labkit.view.words import WORDS

KINDS: Final = ("centrifugal", "positive displacement")

_SHUT_OFF: Final = 1.5
"""Shut-off head of a centrifugal pump for its head at the rated point, where a site has none to
say (from the curves of small submersibles; common practice)."""


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
    return site.changed({"pump": _other(site.pump)}), sun


def _other(pump: Pump) -> Pump:
    flow, head, pipe = pump.rated_flow, pump.rated_head, pump.drop_pipe
    if isinstance(pump, CentrifugalPump):
        return DisplacementPump(rated_flow=flow, rated_head=head, drop_pipe=pipe)
    shut_off = as_length(floor(_SHUT_OFF * si(head)))
    return CentrifugalPump(shut_off_head=shut_off, rated_flow=flow, rated_head=head, drop_pipe=pipe)


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
