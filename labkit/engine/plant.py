"""From a Site to flat SI arrays: the one place where units are left behind."""

from __future__ import annotations

from math import inf, pi, sqrt
from typing import TYPE_CHECKING, Final

import attrs

from labkit.engine.curves import centrifugal_curve, displacement_line
from labkit.engine.network import LEAK, NODE, TROUGH, Plant, Records, records
from labkit.engine.sensing import LISTENS, make_sensors, reads_always
from labkit.parts import MANIFOLD, DisplacementPump, Pipe
from labkit.physics import GRAVITY, pipe, water
from labkit.units import FlowAt, Hole, LeakSize, si

if TYPE_CHECKING:
    from labkit.parts import Leak, Place, Trough
    from labkit.site import Site

ROUGHNESS: Final = 1.5e-6
"""Height of the roughness of drawn plastic pipe [m] (EPANET 2.2 User Manual, Table 3.2)."""

DISCHARGE: Final = 0.61
"""Discharge coefficient of a sharp-edged hole [-] (Choudhary & Prakash, chapter 6: .61 to .62)."""

PUMP_NODE: Final = "pump (in the well)"
"""The node at the pump, if there is a drop pipe; no typed name can be like it."""

EMPTY_BELOW: Final = 0.01
"""Share of a trough's depth under which stock find nothing more to drink."""

_NEVER: Final = 1e9
_KEPT: Final = {"floats": -1.0, "always open": 1.0, "always shut": 0.0}


@attrs.frozen(kw_only=True)
class Stretch:
    """A run of pipe between two nodes of the plant [m], with the leaks at its end."""

    start: str
    end: str
    pipe: Pipe
    length: float
    rise: float


@attrs.frozen(kw_only=True)
class Layout:
    """Where the nodes of a plant are, in the plant's order.

    Attributes
    ----------
    names : tuple of str
        Nodes from the root to the leaves.
    parents : dict of str
        The node before each node but the manifold, for nodes from the manifold on.
    elevations, distance : dict of float
        Height above the manifold and way along the pipe from it [m].
    troughs : tuple of str
        Troughs in the plant's order.
    """

    names: tuple[str, ...]
    parents: dict[str, str]
    elevations: dict[str, float]
    distance: dict[str, float]
    troughs: tuple[str, ...]


@attrs.frozen(kw_only=True)
class Water:
    """The water in the line and the air around it, SI."""

    rho: float
    nu: float
    bulk: float
    p_air: float
    h_vapour: float
    weight: float


def water_at(place: Place) -> Water:
    """Give the properties of the water and the air at a place."""
    warmth = si(place.water_temperature) - 273.15
    rho = water.density(warmth)
    p_air = water.air_pressure(si(place.elevation))
    return Water(
        rho=rho,
        nu=water.kinematic_viscosity(warmth),
        bulk=water.bulk_modulus(warmth),
        p_air=p_air,
        h_vapour=(water.vapour_pressure(warmth) - p_air) / (rho * GRAVITY),
        weight=rho * GRAVITY,
    )


def flow_coefficient(rating: FlowAt, weight: float, n: float = 0.5) -> float:
    """Flow coefficient k of an opening rated at a pressure [m3/s/m**n]."""
    return float(si(rating.flow) / (si(rating.pressure) / weight) ** n)


def leak_coefficient(size: LeakSize, weight: float, n: float = 0.5) -> float:
    """Flow coefficient k of a leak [m3/s/m**n].

    A hole passes ``Cd a sqrt(2 g dh)``; with another exponent it is matched at ten metres of head.
    """
    if isinstance(size, Hole):
        k = DISCHARGE * 0.25 * pi * si(size.diameter) ** 2 * sqrt(2.0 * GRAVITY)
        return float(k * 10.0 ** (0.5 - n))
    return flow_coefficient(size, weight, n)


def stretches(site: Site) -> list[Stretch]:
    """Give every run from the root to the leaves, split where a leak sits within it.

    The first is the drop pipe, if the site says its size.
    """
    drop = _drop_pipe(site)
    found = [] if drop is None else [drop]
    for start, end, run in site.runs():
        length, rise = si(run.length), si(run.rise)
        places = {_distance(leak, length) for leak in site.leaks if leak.at == end}
        cuts = sorted(places - {0.0}, reverse=True)
        before, gone = start, 0.0
        for cut in cuts:
            name = _leak_node(end, cut)
            piece = (length - cut) - gone
            found.append(
                Stretch(start=before, end=name, pipe=run, length=piece, rise=rise * piece / length)
            )
            before, gone = name, length - cut
        rest = length - gone
        found.append(
            Stretch(start=before, end=end, pipe=run, length=rest, rise=rise * rest / length)
        )
    return found


def _distance(leak: Leak, length: float) -> float:
    """How far back along a run of some `length` a leak sits [m].

    To the decimetre, and as far from the run's other end, for no stretch may be all but nothing.
    """
    return min(round(si(leak.distance), 1), round(length - 0.15, 1))


def _leak_node(end: str, distance: float) -> str:
    """Name the node of a leak within the run that ends at `end`."""
    return end if distance == 0.0 else f"leak: {distance:.6g} m before {end}"


def wave_speed(run: Pipe, fluid: Water) -> float:
    """Speed of a pressure wave in a run of pipe [m/s]: as measured, or else by Korteweg."""
    if run.wave_speed is not None:
        return si(run.wave_speed)
    row = run.row
    return pipe.wave_speed(
        si(run.bore), wall=si(row.wall), E=si(row.modulus), bulk=fluid.bulk, rho=fluid.rho
    )


def _drop_pipe(site: Site) -> Stretch | None:
    """Make the pipe from the pump up to the manifold, if the site says its size."""
    if site.pump.drop_pipe is None:
        return None
    depth = si(site.well.intake_depth)
    run = Pipe(
        from_=MANIFOLD,
        length=site.well.intake_depth,
        size=site.pump.drop_pipe,
        rise=site.well.intake_depth,
    )
    return Stretch(start=PUMP_NODE, end=MANIFOLD, pipe=run, length=depth, rise=depth)


def _nodes(site: Site, fluid: Water) -> tuple[Records, Layout]:
    """Lay out the nodes with their runs, and where they are."""
    runs = stretches(site)
    root = runs[0].start
    names = [root, *(stretch.end for stretch in runs)]
    place = {name: i for i, name in enumerate(names)}
    nodes = records(len(names), NODE)
    elevations = {MANIFOLD: 0.0}
    if root == PUMP_NODE:
        elevations[root] = -runs[0].rise
    distance = {MANIFOLD: 0.0}
    parents: dict[str, str] = {}
    nodes[0].parent, nodes[0].z = -1, elevations[root]
    for stretch in runs:
        i, up = place[stretch.end], place[stretch.start]
        bore = si(stretch.pipe.bore)
        if stretch.start != PUMP_NODE:
            elevations[stretch.end] = elevations[stretch.start] + stretch.rise
            distance[stretch.end] = distance[stretch.start] + stretch.length
            parents[stretch.end] = stretch.start
        node = nodes[i]
        node.parent, node.z = up, elevations[stretch.end]
        node.L, node.D = stretch.length, bore
        node.K = stretch.pipe.fittings * stretch.length / si(stretch.pipe.length)
        half = 0.5 * pipe.storage(stretch.length, bore, wave_speed(stretch.pipe, fluid))
        node.C += half
        nodes[up].C += half
    nodes.h_vapour = nodes.z + fluid.h_vapour
    layout = Layout(
        names=tuple(names),
        parents=parents,
        elevations=elevations,
        distance=distance,
        troughs=tuple(trough.name for trough in site.troughs),
    )
    return nodes, layout


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
        at = 0.0 if leak.at == MANIFOLD else _distance(leak, lengths[leak.at])
        record.node = layout.names.index(_leak_node(leak.at, at))
        record.k = leak_coefficient(leak.size, fluid.weight, leak.exponent)
        record.n = leak.exponent
    return found


def rated_power(site: Site) -> float:
    """Shaft power of the site's pump at its rated point [W]."""
    weight = water_at(site.place).weight
    return weight * si(site.pump.rated_flow) * si(site.pump.rated_head) / site.pump.efficiency


def make_plant(site: Site) -> tuple[Plant, Layout]:
    """Turn a Site into flat SI arrays, without units, and give the names of their rows."""
    fluid = water_at(site.place)
    nodes, layout = _nodes(site, fluid)
    line, h_torque = displacement_line(site.pump, fluid)
    tank, relief = site.pressure_tank, site.relief_valve
    switch, drive = site.pressure_switch, site.drive
    by_roughness = site.friction == "Darcy-Weisbach"
    relief_h = inf if relief is None else si(relief.opens_at) / fluid.weight
    plant = Plant(
        nodes=nodes,
        troughs=_troughs(site, fluid, layout),
        leaks=_leaks(site, fluid, layout),
        law=pipe.DARCY_WEISBACH if by_roughness else pipe.HAZEN_WILLIAMS,
        wall=ROUGHNESS if by_roughness else float(site.hazen_williams_c),
        nu=fluid.nu,
        lift=si(site.well.static_level),
        drawdown=si(site.well.drawdown),
        intake=si(site.well.intake_depth),
        is_displacement=isinstance(site.pump, DisplacementPump),
        centrifugal=centrifugal_curve(site.pump, fluid),
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
        else si(relief.capacity.flow) / (si(relief.capacity.pressure) / fluid.weight - relief_h),
        p_cut_in=si(switch.cut_in),
        p_cut_out=si(switch.cut_out),
        closes_on_rise=switch.action == "closes on rise",
        stops_when_closed=drive.stop_when == "closed",
        soft_start=si(drive.soft_start),
        ramp_down=si(drive.ramp_down),
        restart_delay=si(drive.restart_delay),
        start_power=si(drive.start_power),
        low_water_wait=si(drive.low_water_wait),
        listens=LISTENS[drive.listens_to],
        switch_fixed=reads_always(switch.contact, switch.wire),
        is_plugged=switch.nipple == "plugged",
        sensors=make_sensors(site),
    )
    return plant, layout
