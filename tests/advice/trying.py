"""Settings tried on a line by brute force: fill one trough, let stock drink, fill it again."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from labkit import load_site
from labkit.advice.rules import LEAST_DIFFERENTIAL
from labkit.advice.trial import trial
from labkit.advice.window import bare_window
from labkit.units import si
from tests.customary import PSI

if TYPE_CHECKING:
    from labkit import Site
    from labkit.advice.window import Window
    from labkit.trace import Trace

SITES: Final = sorted(path.stem for path in (Path(__file__).parent / "sites").glob("*.toml"))
CLEAR_BY: Final = 1.0 * PSI
"""How far outside its window a setting must lie for its failure to be foretold."""
NEVER_STOPS: Final = {"no stop", "still filling"}
"""What a run is called in which the pump pushes on: against shut floats, or in vain against an
open one that it cannot reach."""


class Try(NamedTuple):
    """A setting [psi] in a sun [W/m2] with one trough filling: foretold, and found."""

    site: str
    trough: str
    sun: float
    cut_in: float
    cut_out: float
    foretold: str
    found: str

    @property
    def agrees(self) -> bool:
        if self.foretold == "no stop":
            return self.found in NEVER_STOPS
        return self.found == ("sound stop" if self.foretold == "over pressure" else self.foretold)


def site_named(name: str) -> Site:
    return load_site(Path(__file__).parent / "sites" / f"{name}.toml")


def suns_of(site: Site, count: int) -> list[float]:
    """Suns spread over the range, the weakest one in which the drive runs first."""
    if site.drive.kind == "mains":
        return [1000.0]
    least = bare_window(site, 250.0, 1000.0).sun.least
    return [float(sun) for sun in np.linspace(least + 1e-6, 1000.0, count)]


def foretold(window: Window, trough: str, cut_in: float, cut_out: float) -> str | None:
    """What a window foretells of two points [Pa]; None where it does not commit itself."""
    here = window.predicts(cut_in, cut_out, trough=trough)
    if here == "sound stop":
        return here
    around = {
        window.predicts(cut_in + a, cut_out + b, trough=trough)
        for a in (-CLEAR_BY, 0.0, CLEAR_BY)
        for b in (-CLEAR_BY, 0.0, CLEAR_BY)
    }
    is_sure = any(
        bound.failure == here and bound.fails(cut_in, cut_out, by=CLEAR_BY)
        for bound in window.bounds
        if bound.side == "below" or bound.where == trough
    )
    return here if is_sure and len(around) == 1 else None


def tried(name: str, *, ins: int, outs: int, suns: int) -> list[Try]:
    """Every setting of a grid laid over the window and its surroundings, in every sun."""
    site, found = site_named(name), []
    for sun in suns_of(site, suns):
        window = bare_window(site, sun, sun)
        room = window.room
        bottom = min(trough.static for trough in window.troughs)
        cut_ins = np.linspace(max(bottom - 5.0 * PSI, PSI), room.cut_in_above + 12.0 * PSI, ins)
        cut_outs = np.linspace(
            max(min(room.floor, room.ceiling) - 9.0 * PSI, 1.5 * PSI),
            max(room.floor, room.ceiling) + 9.0 * PSI,
            outs,
        )
        for trough in window.troughs:
            for cut_in in cut_ins:
                for cut_out in cut_outs:
                    one = _one(name, site, window, trough.name, sun, float(cut_in), float(cut_out))
                    if one is not None:
                        found.append(one)
    return found


def _one(
    name: str, site: Site, window: Window, trough: str, sun: float, cut_in: float, cut_out: float
) -> Try | None:
    """Try one setting; None where nothing is foretold or the site could not be set so."""
    relief = site.relief_valve
    if cut_out - cut_in < LEAST_DIFFERENTIAL or (
        relief is not None and cut_out >= si(relief.opens_at)
    ):
        return None
    said = foretold(window, trough, cut_in, cut_out)
    if said is None:
        return None
    changes: dict[str, object] = {}
    if site.pressure_tank is not None:  # charged anew for each cut-in, as the trade has it
        changes["pressure_tank.precharge"] = f"{max(cut_in / PSI - 2.0, 0.0)} psi"
    changes["pressure_switch"] = {"cut_in": f"{cut_in / PSI} psi", "cut_out": f"{cut_out / PSI} psi",
              "action": site.pressure_switch.action}  # fmt: skip
    trace = trial(site.changed(changes), trough).run(f"{sun} W/m^2")
    found = trace.verdict
    if found == "sound stop" and said == "sound stop" and passes_a_limit(trace):
        found = "over pressure"
    return Try(name, trough, sun, cut_in / PSI, cut_out / PSI, said, found)


def passes_a_limit(trace: Trace) -> bool:
    """Whether the pressure anywhere went past 72 % of the pipe's rating, what a float holds, or
    the relief valve's opening point."""
    site = trace.site

    def peak(node: str) -> float:
        height = trace.head[node].max() - trace.elevations[node]
        return float(height * trace.pressure[0] / trace.head["manifold"][0])

    for start, end, pipe in site.runs():
        if max(peak(start), peak(end)) > 0.72 * si(pipe.row.rating):
            return True
    for trough in site.troughs:
        hold = trough.float_valve.holding_pressure
        if hold is not None and peak(trough.name) > si(hold):
            return True
    return bool(trace.relief_flow.max() > 0.0)
