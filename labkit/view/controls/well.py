"""Controls of the well and the pump in it."""

from typing import Final

from labkit.advice.curves import other_kind
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.units import si
from labkit.view.controls.base import Changes, as_length, choice, control, of_site


def _water_at(site: Site, value: float) -> Changes:
    """Lower or raise the resting water; the pump stays as deep under it as it was."""
    under = si(site.well.intake_depth) - si(site.well.static_level)
    return {
        "well.static_level": as_length(value),
        "well.intake_depth": as_length(value + under),
    }


def _hung(site: Site, kind: str) -> Changes:
    """Hang the other kind of pump into the well, for the same flow at the same head."""
    return {} if kind == site.pump.kind else {"pump": other_kind(site.pump)}


_LIFT: Final = of_site(lambda site: si(site.well.static_level), _water_at)
_KIND: Final = of_site(lambda site: site.pump.kind, _hung)
_KINDS: Final = ("centrifugal", "positive displacement")

CONTROLS: Final = (control("lift", "length", (10, 200, 2), (5, 60, 1), _LIFT),)

CHOICES: Final = (choice("pump kind", _KINDS, _KIND, says=WORDS.__getitem__),)
