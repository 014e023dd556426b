"""Settings tried on lines by brute force: fill one trough, let stock drink, fill it again.

What a window and its judge say beforehand stands beside what runs show that neither of them made:
in other suns, and just outside the limits.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from labkit import demo_site, load_site
from labkit.advice.judge import judge
from labkit.advice.line import Line
from labkit.advice.rules import LEAST_DIFFERENTIAL
from labkit.advice.setting import set_so, settings
from labkit.advice.trial import trial
from labkit.advice.window import bare_window
from labkit.errors import SiteError
from labkit.units import si
from tests.customary import PSI

if TYPE_CHECKING:
    from labkit import Site
    from labkit.advice.bounds import Bound
    from labkit.advice.window import Window
    from labkit.trace import Trace

_FOLDER: Final = Path(__file__).parent / "sites"
SITES: Final = sorted(path.stem for path in _FOLDER.glob("*.toml"))
CLEAR_BY: Final = 1.0 * PSI
"""How far outside its window a setting must lie for its failure to be foretold."""
NEVER_STOPS: Final = {"no stop", "still filling"}
"""What a run is called in which the pump keeps running: against shut floats, or in vain against an
open one that it cannot reach."""
WORKS: Final = {"sound stop", "sucked empty"}
OTHER_SUNS: Final = (0.03, 0.2, 0.35, 0.65, 0.8, 0.97)
"""Places in the range of sun at which the judge makes no run of its own."""

_TANK: Final = {"volume": "5 gal", "precharge": "20 psi"}
_WITH_TANK: Final[dict[str, Any]] = {"pressure_tank": _TANK}
SENSOR: Final = {
    "trough": "lane", "stops_at": "18 in", "starts_at": "14 in",
    "wire": {"gauge": "18 AWG", "length": "1200 ft"},
}  # fmt: skip


def _band(name: str, inches: float, **more: Any) -> tuple[str, dict[str, Any]]:
    bands = {f"trough.{t.name}.float_valve.band": f"{inches} in" for t in site_named(name).troughs}
    return name, bands | more


def _long(feet: int, **more: Any) -> tuple[str, dict[str, Any]]:
    size = "1 1/2 in PE SIDR 9" if feet > 4000 else "1 1/4 in PE SIDR 9"
    pipe = {"trough.lane.pipe.length": f"{feet} ft", "trough.lane.pipe.size": size}
    return "flat", pipe | {"array.rated_power": "1200 W"} | more


def _ridge(
    *points: tuple[int, int], vents: tuple[int, ...] = (), rise: int = 0, more: Any = None
) -> tuple[str, dict[str, Any]]:
    """Ground between well and trough: feet out, and feet above the well."""
    ground = {
        "trough.lane.pipe.profile": [[f"{out} ft", f"{up} ft"] for out, up in points],
        "trough.lane.pipe.rise": f"{rise} ft",
        "trough.lane.pipe.vents": [f"{out} ft" for out in vents],
    }
    return "flat", ground | {"array.rated_power": "1200 W"} | (more or {})


def site_named(name: str) -> Site:
    if name in SITES:
        return load_site(_FOLDER / f"{name}.toml")
    return demo_site(name)


KINDS: Final[dict[str, tuple[str, dict[str, Any]]]] = {
    **{name: (name, {}) for name in SITES},
    # floats that close ever more slowly, with and without a tank
    "band half an inch, bare": _band("flat", 0.5),
    "band an inch, bare": _band("flat", 1.0),
    "band two inches, bare": _band("flat", 2.0),
    "band six inches, bare": _band("flat", 6.0),
    "band an inch, tank": _band("flat", 1.0, pressure_tank=_TANK),
    "band two inches, tank": _band("flat", 2.0, pressure_tank=_TANK),
    "band four inches, tank": _band("flat", 4.0, pressure_tank=_TANK),
    "band six inches, large tank": _band(
        "flat", 6.0, pressure_tank={"volume": "40 gal", "precharge": "12 psi"}
    ),
    "uphill, slow float, no tank": _band("uphill", 2.0, pressure_tank=None),
    "downhill, slow float": _band("downhill", 2.0),
    "three troughs, slow floats": _band("three_troughs", 2.0),
    "three troughs, no tank": ("three_troughs", {"pressure_tank": None}),
    "helical, slow float": _band("helical", 2.0),
    "grid-powered, slow floats": _band("mains", 3.0),
    # short and long lines
    "a hundred feet": _long(100),
    "a hundred feet, tank": _long(100, pressure_tank=_TANK),
    "four thousand feet, tank": _long(4200, pressure_tank=_TANK),
    "a mile and a half, tank": _long(8000, pressure_tank=_TANK),
    "three miles, tank": _long(15_000, pressure_tank=_TANK),
    # high ground on the way
    "ridge, bare": _ridge((600, 30)),
    "ridge, tank": _ridge((600, 30), more=_WITH_TANK),
    "ridge with a vent": _ridge((600, 30), vents=(600,)),
    "ridge near the well, trough below": _ridge((200, 25), rise=-40, more=_WITH_TANK),
    "ridge near the trough, slow float": _ridge(
        (1000, 35), rise=20, more=_WITH_TANK | {"trough.lane.float_valve.band": "2 in"}
    ),
    "two ridges and a dip": _ridge((300, 35), (600, -10), (900, 28), rise=-15, more=_WITH_TANK),
    "a high ridge, trough below": _ridge(
        (400, 50), rise=-20, more=_WITH_TANK | {"pump.shut_off_head": "230 ft"}
    ),
    # leaks
    "drip at the manifold": ("flat", {"leaks": [{"at": "manifold", "size": "0.01 gpm at 30 psi"}]}),
    "buried leak": ("uphill", {"leaks": [{"at": "top", "size": "0.3 gpm at 30 psi"}]}),
    "weeping check valve": ("big_tank", {"check_valve.leak": "0.02 gpm at 30 psi"}),
    # limits of parts
    "weak float valve": ("uphill", {"trough.top.float_valve.holding_pressure": "75 psi"}),
    "weak pipe": ("big_tank", {"trough.yard.pipe.size": "1 1/4 in PE SIDR 15", "array.rated_power": "2500 W", "pump.shut_off_head": "260 ft"}),
    "relief valve": (
        "big_tank", {"relief_valve": {"opens_at": "45 psi", "capacity": "10 gpm at 60 psi"}},
    ),
    # other signals
    "sensor and switch": (
        "flat", {"level_sensors": [SENSOR], "drive.listens_to": "either"},
    ),
    "one trough of the ranches": ("one_trough", {}),
    "three troughs of the ranches": ("three_troughs_ranch", {}),
    "deep well of the ranches": ("deep_well", {}),
}  # fmt: skip
"""Lines that differ in kind: a base and what is changed of it."""


def kind_of_site(kind: str) -> Site:
    base, changes = KINDS[kind]
    if base == "three_troughs_ranch":
        return demo_site("three_troughs")
    return site_named(base).changed(changes)


class Try(NamedTuple):
    """A setting [psi] in a sun [W/m2] with one trough filling: foretold, and found."""

    kind: str
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
        if self.foretold == "over pressure":  # the hardest stop of all may not come up in a run
            return self.found in {*WORKS, "over pressure", "safety stop"}
        if self.foretold in WORKS:
            return self.found in WORKS
        return self.found == self.foretold


def past(bound: Bound, cut_in: float, cut_out: float) -> float:
    """How far two points are past where a bound's failure is certain [Pa]; below zero short of it."""
    point = cut_in if bound.limits == "cut-in" else cut_out
    return bound.sure - point if bound.side == "above" else point - bound.sure


def inside(kind: str) -> list[Try]:
    """Settings that are called good, in suns that the judge did not try."""
    site, found = kind_of_site(kind), []
    window = bare_window(site, 250.0, 1000.0)
    for one in settings(window.room, window.differential, site.pressure_switch):
        line = set_so(site, one)
        if not judge(line).works:
            continue
        for trough in window.troughs:
            for sun in _suns(window):
                run = trial(line, trough.name).run(f"{sun} W/m^2")
                points = one.cut_in / PSI, one.cut_out / PSI
                seen = "over pressure" if passes_a_limit(run) else run.verdict
                found.append(Try(kind, trough.name, sun, *points, "sound stop", seen))
    return found


def outside(kind: str) -> list[Try]:
    """Settings one psi past a limit, run in the sun and with the trough of that limit."""
    site, found = kind_of_site(kind), []
    window = bare_window(site, 250.0, 1000.0)
    best = window.best
    if best is None:
        return []
    for bound in window.bounds:
        away = CLEAR_BY if bound.side == "below" else -CLEAR_BY
        point = bound.sure + away
        if bound.name == "static" and site.pressure_tank is not None:
            air = f"{max(point / PSI - 2.0, 0.0)} psi"  # with less air the water may swing further
            line = Line.of(site.changed({"pressure_tank.precharge": air}))
            point = min(point, line.lowest(str(bound.where), line.reach(window.sun.most)) + away)
        cut_in = point if bound.limits == "cut-in" else min(best.cut_in, point - LEAST_DIFFERENTIAL)
        cut_out = max(best.cut_out, cut_in + PSI) if bound.limits == "cut-in" else point
        broken = {b.failure for b in window.bounds if not b.holds(cut_in, cut_out)}
        if cut_in < 0.5 * PSI or broken != {bound.failure} or bound.name == "relief valve":
            continue
        one = _one(kind, site, window, bound, cut_in, cut_out)
        if one is not None:
            found.append(one)
    return found


def _one(
    kind: str, site: Site, window: Window, bound: Bound, cut_in: float, cut_out: float
) -> Try | None:
    """Run one setting that a bound forbids; None where the site cannot be set so."""
    changes: dict[str, object] = {
        "pressure_switch.cut_in": f"{cut_in / PSI} psi",
        "pressure_switch.cut_out": f"{cut_out / PSI} psi",
    }
    if site.pressure_tank is not None:  # charged anew for each cut-in, as the trade has it
        changes["pressure_tank.precharge"] = f"{max(cut_in / PSI - 2.0, 0.0)} psi"
    try:
        line = site.changed(changes)
    except SiteError:
        return None
    names = [trough.name for trough in window.troughs]
    trough = bound.where if bound.where in names else names[0]
    sun = window.sun.most if bound.sun is None else bound.sun
    if bound.name == "running":
        sun = window.sun.most
    if bound.name == "dead head":
        sun += 1e-6
    run = trial(line, str(trough)).run(f"{sun} W/m^2")
    points = cut_in / PSI, cut_out / PSI
    foretold = judge(line).verdict
    return Try(kind, str(trough), sun, *points, foretold, run.verdict)


def _suns(window: Window) -> list[float]:
    if window.site.drive.kind == "mains":
        return [1000.0]
    low, high = window.sun.least, window.sun.most
    return [float(low + share * (high - low)) for share in OTHER_SUNS]


def passes_a_limit(trace: Trace) -> bool:
    """Whether the pressure anywhere went past 72 % of the pipe's rating, what a float holds, or
    the relief valve's opening point."""
    site = trace.site

    def peak(node: str) -> float:
        height, top = trace.head[node].max() - trace.elevations[node], trace.pressure.argmax()
        return float(height * trace.pressure[top] / trace.head["manifold"][top])

    for start, end, pipe in site.runs():
        if max(peak(start), peak(end)) > 0.72 * si(pipe.row.rating):
            return True
    for trough in site.troughs:
        hold = trough.float_valve.holding_pressure
        if hold is not None and peak(trough.name) > si(hold):
            return True
    return bool(np.max(trace.relief_flow) > 0.0)
