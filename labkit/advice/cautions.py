"""What no setting of the switch can mend."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from labkit.engine.signals import TO_LEVEL, rest_tells_to_stop, trip_tells_to_stop
from labkit.engine.steady import LOW_WATER, TORQUE_LIMIT

if TYPE_CHECKING:
    from labkit.advice.line import Line
    from labkit.advice.sun_range import SunRange
    from labkit.advice.window import TroughPressures


@attrs.frozen(kw_only=True)
class Caution:
    """Something that no setting of the switch can mend."""

    # "low water": the pump draws the well down to its intake. "torque limit": the drive locks while
    # a trough fills. "weak sun": a trough gets no water in part of the range. "no reach": it gets
    # none in all of it. "leaks": with every float shut the line loses water. "never starts", "never
    # stops": so the pressure switch, its contact and its wires speak to the drive as they are.
    name: str
    where: str | None = None  # the trough it is about
    sun: float | None = None  # the sun from which, or in which, it holds [W/m2]


def cautions(
    line: Line, sun: SunRange, troughs: tuple[TroughPressures, ...], stopped_by: str
) -> tuple[Caution, ...]:
    """Look for what no setting can mend."""
    found = []
    light = sun.most if line.is_solar else None
    if rest_tells_to_stop(line.plant):
        found.append(Caution(name="never starts"))
    elif line.plant.listens != TO_LEVEL and not trip_tells_to_stop(line.plant):
        found.append(Caution(name="never stops"))
    if _leaks(line):
        found.append(Caution(name="leaks"))
    if stopped_by == LOW_WATER:
        found.append(Caution(name="low water", sun=light))
    for trough in troughs:
        if line.with_open(sun.most, troughs=(trough.name,)).stopped_by == TORQUE_LIMIT:
            found.append(Caution(name="torque limit", where=trough.name, sun=light))
        elif trough.reached_from is None:
            found.append(Caution(name="no reach", where=trough.name))
        elif trough.reached_from > sun.least:
            found.append(Caution(name="weak sun", where=trough.name, sun=trough.reached_from))
    return tuple(found)


def _leaks(line: Line) -> bool:
    """Whether a shut line that stands loses water: by leaks, float seats or check valve."""
    plant = line.plant
    out = plant.check_k + plant.leaks.k.sum() + plant.troughs.seat_k.sum()
    return bool(out > 0.0)
