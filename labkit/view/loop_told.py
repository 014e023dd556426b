"""A pair of wires and a radio path in words: will it do, and what will a meter show."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from labkit.language import say, say_under
from labkit.text.shared import ADVICE
from labkit.view.tables import Rows

if TYPE_CHECKING:
    from labkit.advice.radio_link import RadioCheck
    from labkit.advice.signal_loop import LoopCheck, Reading, Short


def ohms(value: float) -> str:
    """Say a resistance [ohm]."""
    return ADVICE["meter ohms"].format(ohms=f"{value:.1f}" if value < 9.95 else f"{value:,.0f}")


def loop_lines(check: LoopCheck, units: str = "US") -> list[str]:
    """Say whether a pair of wires will do, and how to meter it."""
    return [
        ADVICE["loop works" if check.works else "loop fails"].format(
            ohms=ohms(check.loop_resistance),
            limit=ohms(check.stop_input.limit),
            gauge=check.gauge,
            farthest=say_under(check.farthest, "length", units),
        ),
        ADVICE["loop polarity"],
        ADVICE["loop short"].format(distance=say(check.short_at, "length", units)),
        ADVICE["loop care"],
    ]


def short_line(short: Short, units: str = "US") -> str:
    """Say where a pair is chewed together."""
    return ADVICE["short found"].format(
        distance=say(short.distance, "length", units), ohms=ohms(short.resistance)
    )


def loop_rows(check: LoopCheck, units: str = "US") -> Rows:
    """Return a row for each place of the meter, contact and condition of the pair."""
    words = ("loop where", "loop contact", "loop pair", "loop shows", "loop volts", "loop drive")
    return Rows(
        title=ADVICE["loop title"].format(
            gauge=check.gauge,
            distance=say(check.distance, "length", units),
            temperature=say(check.temperature, "temperature", units),
        ),
        headers=tuple(ADVICE[word] for word in words),
        cells=tuple(_row(reading) for reading in check.readings),
    )


def _row(reading: Reading) -> tuple[str, ...]:
    """Put a reading into words."""
    volts = "-" if reading.volts is None else f"{reading.volts:.1f} V"
    contact = ADVICE.get(reading.contact, reading.contact)
    return (
        ADVICE[reading.where],
        contact,
        ADVICE[reading.condition],
        ADVICE["meter open line"] if reading.ohms == inf else ohms(reading.ohms),
        volts,
        ADVICE[f"sees {reading.drive_sees}"] if reading.drive_sees else "-",
    )


def path_lines(check: RadioCheck, units: str = "US") -> list[str]:
    """Say whether a radio path carries."""
    said = [
        ADVICE[f"path {check.sight}"],
        ADVICE["path budget"].format(
            free=f"{check.free_space_loss:.0f}",
            edge=f"{check.diffraction_loss:.1f}",
            margin=f"{check.margin:.0f}",
            wanted=f"{check.gear.wanted_margin:.0f}",
        ),
        ADVICE["path holds" if check.works else "path fails"],
    ]
    if check.higher_far_mast > 0.0:
        height = say(check.higher_far_mast, "length", units)
        said.append(ADVICE["path mast"].format(height=height))
    return said
