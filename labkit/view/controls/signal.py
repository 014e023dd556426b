"""Controls of how the drive is told to stop: contact, drive, pair of wires and its faults."""

from typing import Any, Final

import attrs

from labkit.advice.stop_table import ACTIONS, KINDS, drive_of
from labkit.parts import SignalPair
from labkit.parts.signals import GAUGES
from labkit.site import Site
from labkit.text.shared import WORDS
from labkit.units import si
from labkit.view.controls.base import Changes, as_length, choice, control, of_site

FAULTS: Final = ("none", "cut", "shorted", "stuck open", "stuck closed")
"""What may be wrong between the switch and the drive: nothing, its pair, its contact."""

_ORDINARY: Final = SignalPair(gauge="18 AWG", length="100 ft")


def pair_of(site: Site) -> SignalPair:
    """Return the pair from the switch to the drive; where there is none, an ordinary short one."""
    return site.pressure_switch.wire or _ORDINARY


def _with_pair(site: Site, **fields: Any) -> Changes:
    return {"switch.wire": attrs.evolve(pair_of(site), **fields)}


def fault_of(site: Site) -> str:
    """Say what is wrong between the switch and the drive, as one of `FAULTS`."""
    contact, condition = site.pressure_switch.contact, pair_of(site).condition
    if condition != "sound":
        return condition
    return "none" if contact == "works" else contact


def _broken(site: Site, fault: str) -> Changes:
    """Break one thing; the others are mended."""
    contact = fault if fault.startswith("stuck") else "works"
    condition = fault if fault in {"cut", "shorted"} else "sound"
    return {"switch.contact": contact, **_with_pair(site, condition=condition)}


_LENGTH: Final = of_site(
    lambda site: si(pair_of(site).length),
    lambda site, value: _with_pair(site, length=as_length(value)),
)
_ACTION: Final = of_site(
    lambda site: site.pressure_switch.action, lambda _, action: {"switch.action": action}
)
_DRIVE: Final = of_site(
    lambda site: site.drive.kind, lambda site, kind: {"drive": drive_of(site, kind)}
)
_GAUGE: Final = of_site(
    lambda site: pair_of(site).gauge, lambda site, gauge: _with_pair(site, gauge=gauge)
)
_FAULT: Final = of_site(fault_of, _broken)

CONTROLS: Final = (control("pair length", "length", (100, 6000, 100), (40, 1800, 40), _LENGTH),)

CHOICES: Final = (
    choice("action", ACTIONS, _ACTION),
    choice("drive kind", KINDS, _DRIVE, says=lambda kind: WORDS[f"drive {kind}"]),
    choice("gauge", GAUGES, _GAUGE, words="gauge of pair"),
    choice("wire fault", FAULTS, _FAULT, says=lambda fault: WORDS[f"fault {fault}"]),
)
