"""A run as a table of plain numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labkit.files import write_table

if TYPE_CHECKING:
    from pathlib import Path

    from labkit.trace.record import Trace


def write_csv(trace: Trace, path: Path) -> None:
    """Write a trace as CSV, SI units in the heading, one row a step."""
    columns: dict[str, object] = {
        "time [s]": trace.time,
        "irradiance [W/m2]": trace.irradiance,
        "shaft power [W]": trace.power,
        "pump speed [-]": trace.speed,
        "pressure at the manifold [Pa]": trace.pressure,
        "pump flow [m3/s]": trace.pump_flow,
        "leak flow [m3/s]": trace.leak_flow,
        "relief flow [m3/s]": trace.relief_flow,
        "flow back to the well [m3/s]": trace.returned_flow,
        "water in the tank [m3]": trace.tank_water,
        "contact closed": trace.contact.astype(int),
        "drive state": trace.drive_state,
    }
    for name, series in trace.head.items():
        columns[f"head at {name} [m]"] = series
    for name in trace.level:
        columns[f"level of {name} [m]"] = trace.level[name]
        columns[f"flow into {name} [m3/s]"] = trace.inflow[name]
        columns[f"float opening of {name} [-]"] = trace.opening[name]
        columns[f"drunk from {name} [m3/s]"] = trace.drinking[name]
    write_table(path, (columns, *zip(*columns.values(), strict=True)))
