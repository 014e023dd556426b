"""The fault box: each fault is a change to a site; the evidence that it leaves is simulated."""

from typing import Final

from labkit.faults import afterwards, line, manifold, supply
from labkit.faults.evidence import Evidence, complaints, evidence, morning, stocked
from labkit.faults.fault import PARTS, Fault, Price, part_name
from labkit.faults.manifold import FAIR_SUN

FAULTS: Final[dict[str, Fault]] = {
    fault.key: fault
    for fault in (
        line.WORN_SEAT,
        line.LAZY_FLOAT,
        manifold.BAD_CHECK,
        line.BURIED_LEAK,
        manifold.HIGH_CUT_OUT,
        manifold.LOW_CUT_IN,
        manifold.WRONG_ACTION,
        manifold.CUT_WIRE,
        manifold.CHEWED_PAIR,
        manifold.WATERLOGGED,
        manifold.WRONG_PRECHARGE,
        manifold.PLUGGED_GAUGE,
        manifold.PLUGGED_NIPPLE,
        supply.WORN_PUMP,
        supply.DUSTY_ARRAY,
        supply.LOW_WELL,
        supply.CLOGGED_SCREEN,
        line.UNDERSIZED,
        line.STUCK_OPEN,
        line.STUCK_SHUT,
        afterwards.CLOGGED_FLOAT,
        afterwards.THROTTLED_VALVE,
        afterwards.WELLHEAD_LEAK,
        afterwards.WELDED,
        afterwards.CORRODED,
        afterwards.NO_START,
    )
}
"""Every fault by its key."""

__all__ = [
    "FAIR_SUN",
    "FAULTS",
    "PARTS",
    "Evidence",
    "Fault",
    "Price",
    "complaints",
    "evidence",
    "morning",
    "part_name",
    "stocked",
]
