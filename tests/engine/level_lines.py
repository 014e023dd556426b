"""Lines whose pump is stopped by a level sensor in the trough, by wire or by radio."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from tests.customary import GALLON, INCH
from tests.engine.lines import line

if TYPE_CHECKING:
    from labkit import Site
    from labkit.trace import Trace

PAIR = {"gauge": "18 AWG", "length": "900 ft"}
SENSOR = {"trough": "lane", "stops_at": "15 in", "starts_at": "12 in", "wire": PAIR}
AREA = 200.0 * GALLON / (24.0 * INCH)


def level_line(sensor: dict[str, Any] | None = None, **changes: Any) -> Site:
    """An open pipe end over a trough whose level sensor alone stops the pump."""
    return line(
        drive={"kind": "solar"},
        trough__lane__float_valve={"flow": "8 gpm at 20 psi", "position": "always open"},
    ).changed(
        {
            "level_sensors": [SENSOR | (sensor or {})],
            "drive.listens_to": "level sensor",
            **{name.replace("__", "."): new for name, new in changes.items()},
        }
    )


def by_radio(**radio: Any) -> dict[str, Any]:
    return {"wire": None, "radio": radio}


def table_of_trough() -> dict[str, Any]:
    return {
        "volume": "200 gal", "depth": "24 in",
        "pipe": {"from": "manifold", "length": "400 ft", "size": "2 in PE SIDR 15", "rise": "0 ft"},
        "float_valve": {"flow": "8 gpm at 20 psi", "position": "always open"},
    }  # fmt: skip


def steady_inflow(trace: Trace) -> float:
    """Flow into the trough long after the start [m3/s]; nothing that happens there changes it."""
    return float(np.interp(60.0, trace.time, trace.inflow["lane"]))
