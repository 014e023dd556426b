"""The four readings that set up a line: whether each was taken as it must be, and written down.

A reading counts where the line, at the end of something done, stood as the reading asks for: what
is on the sheet must be what the gauge showed then.
"""

from collections.abc import Iterator
from typing import Final, cast

import attrs

from labkit.advice.bounds import RUNNING, STATIC
from labkit.rigs.entry import Entry, Truth
from labkit.rigs.hints import dead_head, running
from labkit.rigs.rig import SHEET, Rig
from labkit.units.customary import PSI

OFF: Final = 2.5 * PSI
"""How far what is written may be off: a pound for the gauge, a pound for the moment, half for
rounding."""

DRIFT: Final = 0.7 * PSI  # a needle that moved less in half a minute is at rest [Pa]

SWING: Final = 5.0 * PSI
"""How far under its column a line may come to rest [Pa] (runs of the family: up to 4.4 psi).

Water in motion runs on as the pump stops and leaves suction at the open float. On a real line air
or water from the trough comes in there, by what pipe and tank take up about a quart, and brings the
gauge back to within a tenth of a pound of the column. The engine's open float lets nothing in.
"""

STRONG: Final = 0.85  # share of the day's clear noon from which a sun counts as strong
WEAK: Final = 0.06  # how far the sun under the cloths may be off what was asked for


@attrs.frozen(kw_only=True)
class Reading:
    """One of the four readings."""

    name: str  # one of `SHEET`
    taken: tuple[float, ...]  # what the line truly had each time it stood as it must [Pa gauge]
    written: float | None  # what is on the sheet [Pa]

    @property
    def is_right(self) -> bool:
        """Whether it was taken, and written as it was."""
        return self.written is not None and any(abs(self.written - p) <= OFF for p in self.taken)


def readings(rig: Rig) -> tuple[Reading, ...]:
    """Return the four readings of a visit as far as it has come."""
    taken: dict[str, list[float]] = {name: [] for name in SHEET}
    for entry in rig.log:
        if entry.truth is not None:
            for name, pressure in _shown(rig, entry, entry.truth):
                taken[name].append(pressure)
    return tuple(
        Reading(name=name, taken=tuple(taken[name]), written=rig.sheet.get(name)) for name in SHEET
    )


def _shown(rig: Rig, entry: Entry, truth: Truth) -> Iterator[tuple[str, float]]:
    """Return the readings that the line stood for when something had been done."""
    static, highest = _static_of(rig)
    shown = max(truth.pressure, 0.0)  # a gauge shows no suction
    rests = truth.has_rested and truth.drift < DRIFT
    is_full = static - SWING < shown < static + 1.5 * PSI
    if rests and truth.open_floats & highest and is_full:
        yield "static", shown
    if truth.is_pumping and truth.open_floats and _is_strong(rig, truth.sun):
        running = [b for b in rig.window.bounds if b.name == RUNNING]
        most = max(b.sure for b in running)
        where = {b.where for b in running if b.sure > most - 1.5 * PSI}
        is_alone = len(truth.open_floats) == 1 and truth.open_floats <= where
        if is_alone and truth.drift < DRIFT and _is_filled(rig, truth):
            yield "filling", truth.pressure
    least = rig.window.sun.least
    is_weak = abs(truth.sun - least) <= WEAK * least + 10.0
    is_still = not truth.open_floats and truth.drift < DRIFT
    if truth.is_pumping and is_weak and is_still and _is_own(rig, truth):
        yield "dead head", truth.pressure
    stops = any(one.kind == "switch trips" for one in entry.heard) and not truth.has_rested
    if stops and not truth.open_floats and rig.traces and _is_strong(rig, truth.sun):
        yield "peak", truth.peak


def _static_of(rig: Rig) -> tuple[float, frozenset[str]]:
    """Return the static pressure that binds cut-in [Pa], and the troughs that show it."""
    bounds = [b for b in rig.window.deciding if b.name == STATIC]
    most = max(b.pressure for b in bounds)
    return max(most, 0.0), frozenset(
        cast("str", b.where) for b in bounds if b.pressure > most - PSI
    )


def _is_filled(rig: Rig, truth: Truth) -> bool:
    """Whether the water has got to the trough: while a pipe fills, the needle stands lower."""
    return truth.pressure > running(rig, truth.sun, truth.open_floats) - OFF


def _is_own(rig: Rig, truth: Truth) -> bool:
    """Whether the pump itself holds the pressure, and not the check valve one from before.

    A pump that does not reach the column that stands over high ground leaves the gauge at that.
    """
    column, _ = _static_of(rig)
    own = dead_head(rig, truth.sun)
    return abs(truth.pressure - own) < OFF or (own < column and abs(truth.pressure - column) < OFF)


def _is_strong(rig: Rig, sun: float) -> bool:
    return sun >= STRONG * noon(rig)


def noon(rig: Rig) -> float:
    """Return the strongest sun of the day, clear of cloud and cloth [W/m2]."""
    return float(rig.scene.standing.sun.behind(0.0).irradiance.max())


def is_proved(rig: Rig) -> bool:
    """Whether the line stopped and came back by its switch after the last turn of a nut."""
    turns = [n for n, entry in enumerate(rig.log) if entry.key in ("screw", "nut", "air")]
    later = rig.log[turns[-1] if turns else 0 :]
    heard = [one.kind for entry in later for one in entry.heard]
    if "switch trips" not in heard:
        return False
    after = heard[heard.index("switch trips") :]
    return "switch resets" in after and "pump starts" in after[after.index("switch resets") :]
