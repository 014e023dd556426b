"""The standard ranch, made so that it can have every fault of the box."""

from labkit.faults import stocked
from labkit.sitefile import demo_site

UPHILL = demo_site("one_trough_uphill")

RELIEF = {"opens_at": "100 psi", "capacity": "10 gpm at 110 psi"}
"""A relief valve far over the 72 psi that the ranch's pump makes against a shut line."""

GUARDED = UPHILL.changed({"relief_valve": RELIEF})
STOCKED = stocked(GUARDED)
