"""The fault box: each fault is a change to a site; the evidence that it leaves is simulated."""

from typing import Final

from labkit.faults import line, manifold, supply
from labkit.faults.evidence import Evidence, complaints, evidence, morning, stocked
from labkit.faults.fault import PARTS, Fault, Price, part_name
from labkit.faults.manifold import FAIR_SUN

_ORDER: Final = (
    "worn float seat",
    "lazy float",
    "bad check valve",
    "buried leak",
    "cut-out too high for the sun",
    "cut-in under the static pressure",
    "wrong action",
    "cut wire",
    "chewed pair",
    "waterlogged tank",
    "wrong precharge",
    "plugged gauge",
    "plugged switch nipple",
    "worn pump",
    "dusty or shaded array",
    "low well",
    "clogged screen",
    "undersized pipe",
    "stuck-open float",
    "stuck-shut float",
    "clogged float valve",
    "valve left partly closed",
    "leak at the wellhead",
    "welded switch contact",
    "corroded switch contact",
    "controller or motor fault",
)
"""Numbers draw faults in this order, so it never changes; a fault that is not here comes after."""

_BOX: Final = {
    fault.key: fault
    for module in (line, manifold, supply)
    for fault in vars(module).values()
    if isinstance(fault, Fault)
}

FAULTS: Final[dict[str, Fault]] = {key: _BOX[key] for key in dict.fromkeys((*_ORDER, *_BOX))}
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
