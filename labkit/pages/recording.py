"""The run that the home page plays, written down once so that it needs no engine to be shown."""

import json
from pathlib import Path
from typing import Any, Final

import numpy as np

from labkit.engine.run import simulate
from labkit.language import say_clock
from labkit.sitefile import demo_site
from labkit.trace import DriveState
from labkit.units import si
from labkit.units.customary import GPM, PSI

RECORDING: Final = Path(__file__).parent / "home" / "recorded_run.json"
_ROWS: Final = 240
_TELLS: Final = ("float shuts", "switch trips", "float opens", "pump starts")
"""Events from each of which on something else is told."""


def record() -> dict[str, Any]:
    """Run the line of lesson 1 for an hour and return what the home page needs of it."""
    site = demo_site("first_line")
    (trough,) = site.troughs
    trace = simulate(site, "1 hour", sun="700 W/m^2", start="12:00", levels={trough.name: "14 in"})
    time = np.linspace(0.0, float(trace.time[-1]), _ROWS)

    def at(values: Any, places: int) -> list[float]:
        return [round(float(one), places) for one in np.interp(time, trace.time, values)]

    full = float(trace.level[trough.name].max())
    low = full - 0.254  # ten inches of the trough fill the picture's
    rows = np.searchsorted(trace.time, time, side="right") - 1
    told = [(0.0, "at first"), *((t, kind) for kind in _TELLS for t in trace.times(kind))]
    tells = [one for one in sorted(told) if one[1] != "pump starts" or one[0] > 60.0]
    switch = site.pressure_switch
    return {
        "time": [round(float(t), 1) for t in time],
        "clock": [say_clock(trace.clock + float(t), "US") for t in time],
        "pressure": at(trace.pressure / PSI, 1),
        "level": at((trace.level[trough.name] - low) / (full - low), 3),
        "flow": at(trace.inflow[trough.name] / GPM, 2),
        "runs": [int(trace.drive_state[row] == DriveState.RUNNING) for row in rows],
        "cut_in": round(si(switch.cut_in) / PSI),
        "cut_out": round(si(switch.cut_out) / PSI),
        "dial": 80,
        "telling": round((trace.times("switch trips")[0] + 20.0) / float(trace.time[-1]), 3),
        "tells": [[round(float(t), 1), kind] for t, kind in tells],
    }


if __name__ == "__main__":
    RECORDING.write_text(json.dumps(record()), encoding="utf-8")
