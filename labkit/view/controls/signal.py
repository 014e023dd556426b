"""Controls of how the drive is told to stop: contact, drive, pair of wires and its faults."""

from typing import Final

import attrs

from labkit.advice.stop_table import ACTIONS, KINDS, drive_of
from labkit.parts import SignalPair
from labkit.parts.signals import GAUGES
from labkit.site import Site
from labkit.sun import Sun
from labkit.units import si
from labkit.view.controls.base import Choice, Setting, as_length, control
from labkit.view.words import WORDS

FAULTS: Final = ("none", "cut", "shorted", "stuck open", "stuck closed")
"""What may be wrong between the switch and the drive: nothing, its pair, its contact."""

_ORDINARY: Final = SignalPair(gauge="18 AWG", length="100 ft")


def pair_of(site: Site) -> SignalPair:
    """Give the pair from the switch to the drive; where there is none, an ordinary short one."""
    return site.pressure_switch.wire or _ORDINARY


def _with_pair(site: Site, sun: Sun, pair: SignalPair) -> Setting:
    return site.changed({"switch.wire": pair}), sun


def _length(site: Site, _sun: Sun) -> float:
    return si(pair_of(site).length)


def _set_length(site: Site, sun: Sun, value: float) -> Setting:
    return _with_pair(site, sun, attrs.evolve(pair_of(site), length=as_length(value)))


def _set_gauge(site: Site, sun: Sun, gauge: str) -> Setting:
    return _with_pair(site, sun, attrs.evolve(pair_of(site), gauge=gauge))


def _set_action(site: Site, sun: Sun, action: str) -> Setting:
    return site.changed({"switch.action": action}), sun


def _set_drive(site: Site, sun: Sun, kind: str) -> Setting:
    return site.changed({"drive": drive_of(site, kind)}), sun


def fault_of(site: Site) -> str:
    """Say what is wrong between the switch and the drive, as one of `FAULTS`."""
    contact, condition = site.pressure_switch.contact, pair_of(site).condition
    if condition != "sound":
        return condition
    return "none" if contact == "works" else contact


def _set_fault(site: Site, sun: Sun, fault: str) -> Setting:
    """Break one thing; the others are mended."""
    contact = fault if fault.startswith("stuck") else "works"
    condition = fault if fault in {"cut", "shorted"} else "sound"
    changed = site.changed({"switch.contact": contact})
    pair = attrs.evolve(pair_of(site), condition=condition)  # type: ignore[arg-type]
    return _with_pair(changed, sun, pair)


CONTROLS: Final = (
    control("pair length", "length", (100, 6000, 100), (40, 1800, 40), (_length, _set_length)),
)

CHOICES: Final = (
    Choice(
        name="action",
        words=WORDS["action"],
        options=lambda _site: ACTIONS,
        read=lambda site, _sun: site.pressure_switch.action,
        apply=_set_action,
    ),
    Choice(
        name="drive kind",
        words=WORDS["drive kind"],
        options=lambda _site: KINDS,
        option_words=lambda kind: WORDS[f"drive {kind}"],
        read=lambda site, _sun: site.drive.kind,
        apply=_set_drive,
    ),
    Choice(
        name="gauge",
        words=WORDS["gauge of pair"],
        options=lambda _site: GAUGES,
        read=lambda site, _sun: pair_of(site).gauge,
        apply=_set_gauge,
    ),
    Choice(
        name="wire fault",
        words=WORDS["wire fault"],
        options=lambda _site: FAULTS,
        option_words=lambda fault: WORDS[f"fault {fault}"],
        read=lambda site, _sun: fault_of(site),
        apply=_set_fault,
    ),
)
