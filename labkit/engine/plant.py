"""From a Site to flat SI arrays: the one place where units are left behind."""

from math import inf
from typing import Final

import numpy as np

from labkit.engine.curves import centrifugal_curve, displacement_line
from labkit.engine.fluid import Water, flow_coefficient, leak_coefficient, water_at
from labkit.engine.layout import Layout, lay_out, leak_distance, leak_node
from labkit.engine.network import (
    FREE_END,
    FREE_START,
    LEAK,
    TROUGH,
    Floats,
    Plant,
    Records,
    records,
)
from labkit.engine.pieces import in_pieces
from labkit.engine.sensing import LISTENS, make_sensors, reads_always
from labkit.parts import MANIFOLD, DisplacementPump, Trough
from labkit.physics import pipe
from labkit.site import Site
from labkit.units import si

ROUGHNESS: Final = 1.5e-6
"""Height of the roughness of drawn plastic pipe [m] (EPANET 2.2 User Manual, Table 3.2)."""

EMPTY_BELOW: Final = 0.01
"""Share of a trough's depth under which stock find nothing more to drink."""

_NEVER: Final = 1e9
_KEPT: Final = {"floats": -1.0, "always open": 1.0, "always shut": 0.0}


def shut_volume(trough: Trough) -> float:
    """Water in a trough when its float shuts [m3]."""
    return si(trough.volume) * (1.0 - si(trough.freeboard) / si(trough.depth))


def _troughs(site: Site, fluid: Water, layout: Layout) -> Records:
    """Lay out the troughs and their float valves."""
    troughs = records(len(site.troughs), TROUGH)
    for record, trough in zip(troughs, site.troughs, strict=True):
        valve = trough.float_valve
        record.node = layout.names.index(trough.name)
        record.area = si(trough.volume) / si(trough.depth)
        record.valve_k = flow_coefficient(valve.flow, fluid.weight)
        record.seat_k = leak_coefficient(valve.seat_leak, fluid.weight)
        hold = valve.holding_pressure
        record.hold_h = _NEVER if hold is None else si(hold) / fluid.weight
        record.V_rim = si(trough.volume)
        record.V_shut = shut_volume(trough)
        record.V_band = record.area * si(valve.band)
        record.kept = _KEPT[valve.position]
        record.evaporation = record.area * si(site.place.evaporation)
        record.V_low = min(EMPTY_BELOW * record.V_rim, 0.5 * (record.V_shut - record.V_band))
    return troughs


def _leaks(site: Site, fluid: Water, layout: Layout) -> Records:
    """Lay out the leaks."""
    lengths = {run.end: si(run.pipe.length) for run in site.runs()}
    found = records(len(site.leaks), LEAK)
    for record, leak in zip(found, site.leaks, strict=True):
        at = 0.0 if leak.at == MANIFOLD else leak_distance(leak, lengths[leak.at])
        record.node = layout.names.index(leak_node(leak.at, at))
        record.k = leak_coefficient(leak.size, fluid.weight, leak.exponent)
        record.n = leak.exponent
    return found


def level_heads(plant: Plant, head: float) -> Floats:
    """Return the heads of a line whose water stands at one `head` [m] all over.

    What lies higher has run down to that level; under it, water stays in the dips.
    """
    free, parent, least = plant.nodes.free, plant.nodes.parent, plant.nodes.h_least
    floor = least.copy()
    floor[0] = -inf
    floor[free == FREE_END] = least[parent[free == FREE_END]]
    floor[parent[free == FREE_START]] = least[free == FREE_START]
    return np.asarray(np.maximum(head, floor))


def make_plant(site: Site) -> tuple[Plant, Layout]:
    """Turn a Site into flat SI arrays, without units, and give the names of their rows.

    Each run is one, without inertia: what a settled line needs.
    """
    fluid = water_at(site.place)
    nodes, layout = lay_out(site, fluid)
    line, h_torque = displacement_line(site.pump, fluid)
    curve = centrifugal_curve(site.pump, fluid)
    if site.check_valve.position == "stuck shut":  # whatever the pump makes stays under the valve
        curve, h_torque = curve._replace(shut_off_head=0.0), 0.0 if h_torque < inf else inf
    tank, relief = site.pressure_tank, site.relief_valve
    switch, drive = site.pressure_switch, site.drive
    by_roughness = site.friction == "Darcy-Weisbach"
    opens = inf if relief is None else si(relief.opens_at) / fluid.weight
    relief_h = opens if relief is None else relief.spring * opens
    plant = Plant(
        nodes=nodes,
        own=np.arange(nodes.size),
        waves=0.0,
        beat=0.0,
        troughs=_troughs(site, fluid, layout),
        leaks=_leaks(site, fluid, layout),
        law=pipe.DARCY_WEISBACH if by_roughness else pipe.HAZEN_WILLIAMS,
        wall=ROUGHNESS if by_roughness else float(site.hazen_williams_c),
        nu=fluid.nu,
        lift=si(site.well.static_level),
        drawdown=si(site.well.drawdown),
        intake=si(site.well.intake_depth),
        is_displacement=isinstance(site.pump, DisplacementPump),
        centrifugal=curve,
        displacement=line,
        h_torque=h_torque,
        check_k=leak_coefficient(site.check_valve.leak, fluid.weight),
        gauge=layout.names.index(MANIFOLD),
        weight=fluid.weight,
        p_air=fluid.p_air,
        tank_volume=0.0 if tank is None else si(tank.volume),
        tank_precharge=0.0 if tank is None else si(tank.precharge),
        tank_exponent=1.0 if tank is None else float(tank.air_exponent),
        relief_h=relief_h,
        relief_k=0.0
        if relief is None
        else si(relief.capacity.flow) / (si(relief.capacity.pressure) / fluid.weight - opens),
        p_cut_in=si(switch.cut_in),
        p_cut_out=si(switch.cut_out),
        closes_on_rise=switch.action == "closes on rise",
        stops_when_closed=drive.stop_when == "closed",
        soft_start=si(drive.soft_start),
        ramp_down=si(drive.ramp_down),
        restart_delay=si(drive.restart_delay),
        start_power=si(drive.start_power) if drive.fault == "none" else _NEVER,
        low_water_wait=si(drive.low_water_wait),
        listens=LISTENS[drive.listens_to],
        switch_fixed=reads_always(switch.contact, switch.wire, drive.stop_input),
        is_plugged=switch.nipple == "plugged",
        sensors=make_sensors(site),
    )
    return plant, layout


def plant_of(site: Site) -> tuple[Plant, Layout]:
    """Return what `make_plant` makes of a site, made once; nobody may write into its arrays."""
    return site.once(make_plant)


def running_plant_of(site: Site) -> tuple[Plant, Layout]:
    """Return the same for a line in time: its runs in pieces where their inertia shows."""
    return site.once(_in_time)


def _in_time(site: Site) -> tuple[Plant, Layout]:
    plant, layout = plant_of(site)
    return in_pieces(plant), layout
