"""The fault box: each fault is a change to a site; the evidence that it leaves is simulated.

What reads the same in every test as a fault that is here (ice in the nipple, a pair that lightning
fused, a wire while it is loose) is named with it, `Fault.alike`: a second copy would only split its
chance.

What it leaves out
------------------
* An air lock is named with a narrowed pipe: how air gathers and what it holds back is not computed.
* Of faults that come and go only the hours are met in which they show.
* How much head a pump keeps that turns backward differs widely from pump to pump.
"""

from typing import Final

from labkit.faults import line, manifold, supply
from labkit.faults.fault import PARTS, Fault, Price, part_name
from labkit.faults.signs import complaints, evidence, morning, stocked

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
    "wet splice",
    "bad motor lead",
    "pump turning backward",
    "check valve stuck shut",
    "weak relief valve",
    "narrowed pipe",
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
