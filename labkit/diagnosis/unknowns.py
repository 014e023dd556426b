"""What nobody knows exactly of a line, and how far off it may be.

A line is drawn as it may really be: its well, pump, pipe, floats and switch a little off what the
site file says. Each range is told with the answer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs

from labkit.parts import DisplacementPump
from labkit.units import si, written
from labkit.units.customary import PSI

if TYPE_CHECKING:
    from collections.abc import Mapping

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
    """Return changes to the well."""
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
