"""Who may have done it: a sound line, or one or two faults in their places; drawn as particles.

A line is drawn as it may really be: its well, pump, pipe, floats and switch a little off what the
site file says. Each range is told with the answer.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, Final

import attrs
from scipy.stats import qmc

from labkit.diagnosis.visit import visit
from labkit.errors import RunError, SiteError
from labkit.faults import FAULTS
from labkit.parts import DisplacementPump
from labkit.units import quantity, si, written
from labkit.units.customary import PSI

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from labkit.arrays import Floats
    from labkit.diagnosis.visit import Shown
    from labkit.site import Site


@attrs.frozen(kw_only=True)
class Unknown:
    """One thing that nobody knows exactly."""

    key: str  # what it goes by
    # its range, as a share of the site's value or as an offset [SI]
    least: float
    most: float
    kind: str = "share"  # what the offset measures, or "share"

    def at(self, share: float) -> float:
        """Return its value some share of the way through its range, 0 to 1."""
        return self.least + share * (self.most - self.least)


UNKNOWNS: Final[dict[str, Unknown]] = {
    one.key: one
    for one in (
        Unknown(key="water level", least=0.92, most=1.08),
        Unknown(key="well drawdown", least=0.6, most=1.6),
        Unknown(key="pump head", least=0.94, most=1.02),
        Unknown(key="array", least=0.88, most=1.06),
        Unknown(key="pipe bore", least=0.97, most=1.01),
        Unknown(key="float flow", least=0.75, most=1.3),
        Unknown(key="float band", least=0.6, most=2.0),
        Unknown(key="switch", least=-1.5 * PSI, most=1.5 * PSI, kind="pressure"),
        Unknown(key="differential", least=-1.0 * PSI, most=1.0 * PSI, kind="pressure"),
        Unknown(key="precharge", least=-2.0 * PSI, most=1.0 * PSI, kind="pressure"),
    )
}
"""What is drawn for each line, and its range (a judgement, as wide as people are off)."""


def as_it_may_be(site: Site, drawn: Mapping[str, float]) -> Site:
    """Return a site with what nobody knows exactly put to drawn places in their ranges, 0 to 1.

    Those left out keep the file's value. A value that the rules of a site would refuse stays within
    them: the water stays above the pump's intake, and the cut-in under the cut-out.
    """
    put = {key: UNKNOWNS[key].at(share) for key, share in drawn.items()}
    changes: dict[str, Any] = {**_of_the_well(site, put), **_of_the_pump(site, put)}
    if "array" in put:
        changes["array.derate"] = min(site.array.derate * put["array"], 1.0)
    for trough in site.troughs:
        valve, name = trough.float_valve, trough.name
        if "float flow" in put:
            flow = attrs.evolve(valve.flow, flow=valve.flow.flow * put["float flow"])
            changes[f"trough.{name}.float_valve.flow"] = flow
        if "float band" in put:
            widest = 0.8 * (si(trough.depth) - si(trough.freeboard))
            band = min(si(valve.band) * put["float band"], widest)
            changes[f"trough.{name}.float_valve.band"] = f"{band * 1e3:.4f} mm"
    if "pipe bore" in put:
        for run in site.runs():
            bore = f"{si(run.pipe.bore) * 1e3 * put['pipe bore']:.5f} mm"
            is_of_trough = run.end in {trough.name for trough in site.troughs}
            where = f"trough.{run.end}.pipe" if is_of_trough else f"pipe.{run.end}"
            changes[f"{where}.inside_diameter"] = bore
    changes |= _of_the_switch(site, put)
    return site.changed(changes)


def _of_the_well(site: Site, put: Mapping[str, float]) -> dict[str, Any]:
    well, changes = site.well, {}
    if "water level" in put:
        deepest = si(well.intake_depth) - 0.5
        level = min(si(well.static_level) * put["water level"], deepest)
        changes["well.static_level"] = f"{level:.4f} m"
    if "well drawdown" in put:
        changes["well.drawdown"] = written(well.drawdown * put["well drawdown"])
    return changes


def _of_the_pump(site: Site, put: Mapping[str, float]) -> dict[str, Any]:
    """Return changes to the pump: all its heads by the same share."""
    pump, share = site.pump, put.get("pump head")
    if share is None or isinstance(pump, DisplacementPump):
        return {}
    keys = ("shut_off_head", "rated_head", "high_head")
    return {
        f"pump.{key}": written(getattr(pump, key) * share)
        for key in keys
        if getattr(pump, key) is not None
    }


def _of_the_switch(site: Site, put: Mapping[str, float]) -> dict[str, Any]:
    """Return changes to the switch's two points and the tank's air."""
    switch, tank = site.pressure_switch, site.pressure_tank
    moved, wider = put.get("switch", 0.0), put.get("differential", 0.0)
    cut_in = max(si(switch.cut_in) + moved, 0.5 * PSI)
    cut_out = max(si(switch.cut_out) + moved + wider, cut_in + PSI)
    changes: dict[str, Any] = {
        "pressure_switch.cut_in": f"{cut_in:.2f} Pa",
        "pressure_switch.cut_out": f"{cut_out:.2f} Pa",
    }
    if tank is not None and "precharge" in put:
        air = max(si(tank.precharge) + put["precharge"], 0.0)
        changes["pressure_tank.precharge"] = f"{air:.2f} Pa"
    return changes


SOUND: Final = "nothing wrong"  # what a line without a fault goes by


@attrs.frozen(kw_only=True)
class Case:
    """What may be wrong: faults with their places; none for a sound line."""

    faults: tuple[tuple[str, str], ...] = ()  # each fault's key and its place

    @property
    def key(self) -> str:
        """The names of its faults, without their places."""
        return " + ".join(sorted(key for key, _ in self.faults)) or SOUND


@attrs.frozen(kw_only=True, eq=False)
class Particle:
    """One way in which a case may be: drawn sizes and unknowns, and what a visit would show."""

    case: Case  # what is wrong
    sizes: tuple[str, ...]  # size of each fault as it is typed
    line: Site  # the line itself
    sun: float  # irradiance on its array [W/m2]
    shown: dict[tuple[str, str], Shown]  # what a visit shows, as `labkit.diagnosis.visit.visit`


def single_cases(site: Site) -> list[Case]:
    """Return a sound line and every fault that a site can have, in each of its places."""
    return [
        Case(),
        *(
            Case(faults=((key, where),))
            for key, fault in FAULTS.items()
            if fault.fits(site)
            for where in fault.places(site)
        ),
    ]


def paired(first: Case, second: Case) -> Case | None:
    """Return two faults together; nothing if they are the same fault."""
    faults = tuple(sorted({*first.faults, *second.faults}))
    return Case(faults=faults) if len({key for key, _ in faults}) == 2 else None


def draw(
    site: Site,
    cases: Sequence[Case],
    *,
    trough: str,
    sun: tuple[float, float],
    count: int,
    seed: int,
    progress: Callable[[float], None] | None = None,
) -> list[Particle]:
    """Draw `count` particles of each case: sizes and unknowns spread evenly, each line visited.

    They come from a scrambled Sobol sequence, which fills their ranges more evenly than dice
    (`scipy.stats.qmc`); the same seed draws the same. The `sun` is between two irradiances [W/m2].
    A line that cannot be, or cannot be run, cannot be met with.
    """
    sobol = qmc.Sobol(d=len(UNKNOWNS) + _EXTRA, seed=seed)
    points = sobol.random_base2(max(count - 1, 1).bit_length())[:count]
    tasks = [(case, point) for case in cases for point in points]

    def one(task: tuple[Case, Floats]) -> Particle | None:
        return _particle(site, *task, trough=trough, sun=sun)

    found: list[Particle] = []
    with ThreadPoolExecutor() as pool:
        for done, particle in enumerate(pool.map(one, tasks)):
            if particle is not None:
                found.append(particle)
            if progress is not None and done % 16 == 0:
                progress(done / len(tasks))
    return found


_EXTRA: Final = 3
"""Places of a point that are no unknowns: how bad each of two faults is, and the sun."""


def _particle(
    site: Site, case: Case, point: Floats, *, trough: str, sun: tuple[float, float]
) -> Particle | None:
    """Draw one line, put the faults in and visit it."""
    first, second, light, *others = point.tolist()
    unknowns = dict(zip(UNKNOWNS, others, strict=True))
    irradiance = sun[0] + light * (sun[1] - sun[0])
    stopped, sizes = None, []
    try:
        line = as_it_may_be(site, unknowns)
        for (key, where), severity in zip(case.faults, (first, second), strict=False):
            fault = FAULTS[key]
            size = fault.size_at(line, where, severity)
            line = fault.apply(line, size, where)
            sizes.append(size)
            if fault.stops_gauge:
                stopped = si(quantity(size, "psi"))
        seen = visit(line, trough, sun=f"{irradiance:.3f} W/m^2", stopped_gauge=stopped, built=site)
    except (SiteError, RunError):
        return None
    return Particle(case=case, sizes=tuple(sizes), line=line, sun=irradiance, shown=seen)
