"""A line as it stands at one moment, and how it goes on from there, a valve or a float changed.

A technician on site turns things while the line is under pressure; a run from rest cannot show
that. `go_on` carries heads, troughs, switch and drive over into the next run.
"""

from collections.abc import Mapping
from typing import Final

import attrs
import numpy as np

from labkit.engine import memory as places
from labkit.engine.demand import make_inputs
from labkit.engine.loop import begin
from labkit.engine.memory import Memory, fresh_memory
from labkit.engine.network import Floats, Integers, Plant
from labkit.engine.plant import level_heads, running_plant_of
from labkit.engine.run import TOLERANCE, _go, _trace, _volumes
from labkit.errors import RunError
from labkit.site import Site
from labkit.sun import Sun, as_sun, clock_seconds
from labkit.trace import Trace
from labkit.units import Quantity, quantity, si
from labkit.units.customary import DAY

SHUT_VALVE: Final = 1e16
"""Loss coefficient of a shut valve [-]: twenty metres of head press a drop through in minutes."""

STUB: Final = 1.0
"""Pipe and fittings between the gauge and a shut valve at the manifold [m] (judgement)."""


@attrs.frozen(kw_only=True, eq=False)
class Standing:
    """A line at one moment."""

    site: Site  # the line
    sun: Sun  # the sun of its day
    clock: float  # time of day [s after midnight]
    _memory: Memory = attrs.field(alias="memory")
    _nodes: tuple[str, ...] = attrs.field(alias="nodes")
    _own: Integers = attrs.field(alias="own")

    @property
    def pressure(self) -> float:
        """Gauge pressure at the manifold [Pa]."""
        plant, _ = running_plant_of(self.site)
        return float(plant.weight * (self._memory.h[plant.gauge] - plant.nodes[plant.gauge].z))

    @property
    def is_tripped(self) -> bool:
        """Whether the pressure switch stands tripped."""
        return bool(self._memory.whole[places.SWITCHED])


def standing(
    site: Site,
    *,
    sun: Sun | str | Quantity,
    start: str,
    levels: Mapping[str, str | Quantity] | None = None,
) -> Standing:
    """Return a line at rest: troughs full to the float, pressure at cut-in, pump still.

    Parameters
    ----------
    site : Site
        The line.
    sun : Sun, str or Quantity
        The sun of its day.
    start : str
        Time of day, such as ``"06:30"``.
    levels : mapping of str to str or Quantity, optional
        Depth of water in troughs that are not full.
    """
    plant, layout = running_plant_of(site)
    volumes = _volumes(site, levels or {})
    heads = level_heads(plant, plant.p_cut_in / plant.weight)
    memory = fresh_memory(heads, volumes, plant.sensors.size)
    begin(plant, memory)
    return Standing(
        site=site,
        sun=as_sun(sun, site),
        clock=clock_seconds(start),
        memory=memory,
        nodes=layout.names,
        own=plant.own,
    )


def go_on(
    now: Standing,
    duration: str | Quantity,
    *,
    site: Site | None = None,
    is_valve_shut: bool = False,
    is_drive_off: bool = False,
) -> tuple[Trace, Standing]:
    """Let a line go on from where it stands.

    Parameters
    ----------
    now : Standing
        Where it stands.
    duration : str or Quantity
        How long.
    site : Site, optional
        The line from now on, if something was turned; its nodes must be the same.
    is_valve_shut : bool
        Whether the valve between manifold and line is shut meanwhile.
    is_drive_off : bool
        Whether the drive is cut off from its power meanwhile.

    Returns
    -------
    trace : Trace
        What happened meanwhile.
    after : Standing
        Where the line stands then. One that chatters for so long that its run ends early is taken
        to stand at the end as it did there, for each of its starts is like the last.

    Raises
    ------
    RunError
        If the new site has other nodes, or the numbers fail.
    """
    changed = now.site if site is None else site
    plant, layout = running_plant_of(changed)
    if layout.names != now._nodes:  # noqa: SLF001 - its own module
        what = "the line cannot go on with pipes or leaks in other places"
        raise RunError("line", 0.0, "as it stood", 0.0, what)
    if is_valve_shut:
        plant = _with_valve_shut(plant)
    seconds = si(quantity(duration, "s"))
    memory = _taken_up(plant, now._memory, now._own)  # noqa: SLF001
    sun = now.sun.between(now.clock, seconds)
    inputs = make_inputs(changed, sun, clock=now.clock, duration=seconds)
    if is_drive_off:
        inputs = inputs._replace(power=np.zeros_like(inputs.power))
    held, volume = memory.held.sum(), memory.V_trough.sum()
    rows, events = _go(plant, layout, inputs, memory, seconds, TOLERANCE, None)
    gains = (float(memory.held.sum() - held), float(memory.V_trough.sum() - volume))
    trace = _trace(changed, sun, now.clock, seconds, plant, layout, rows, events, memory, gains)
    after = attrs.evolve(
        now,
        site=changed,
        clock=(now.clock + seconds) % DAY,
        memory=memory,
        nodes=layout.names,
        own=plant.own,
    )
    return trace, after


def _with_valve_shut(plant: Plant) -> Plant:
    """Shut the valve that all runs leaving the manifold share.

    The manifold's node stores half of what those runs store; beyond the valve, all of it goes to
    their far ends, but for the stub before the valve: with no storage at all a gauge would answer
    in no time, which neither a real one nor the steps can. Water on its way through is stopped.
    """
    nodes = plant.nodes.copy()
    for node in nodes[1:]:
        if node.parent == plant.gauge:
            node.K, node.inertance = SHUT_VALVE, 0.0
            moved = node.half * max(1.0 - 2.0 * STUB / node.L, 0.0)
            node.C += moved
            nodes[plant.gauge].C -= moved
    return plant._replace(nodes=nodes)


def _taken_up(plant: Plant, before: Memory, own: Integers) -> Memory:
    """Take heads, flows, troughs, switch, sensors and drive over into a run with its own clock.

    A radio counts its reports from here on anew. `own` tells where the nodes with a name stood.
    """
    memory = Memory._make(part.copy() for part in before)
    if not np.array_equal(own, plant.own):
        h, q = _cut_anew(plant, before, own)
        memory = memory._replace(h=h, q=q, held=np.zeros_like(h), fastest=np.zeros_like(h))
    passed = memory.real[places.TIME]
    begin(plant, memory)
    memory.whole[:] = before.whole
    memory.whole[places.FRESH] = 1
    memory.whole[[places.SEGMENT, places.ROWS, places.EVENTS, places.SUCTION]] = 0
    memory.seen[:] = before.seen
    for field in ("full", "relay", "latch", "silent"):
        memory.sensors[field] = before.sensors[field]
    for field in ("heard", "arrives"):
        memory.sensors[field] = before.sensors[field] - passed
    memory.real[places.TIME] = 0.0
    memory.real[places.STEP] = 1.0
    memory.real[[places.CAP_END, places.READY]] -= passed
    memory.totals[:] = 0.0
    memory.fastest[:] = np.abs(memory.q)
    return memory


def _cut_anew(plant: Plant, before: Memory, own: Integers) -> tuple[Floats, Floats]:
    """Return heads and flows at the nodes of a line whose runs are cut otherwise than before.

    Heads run straight between the old nodes, flows between the middles of the old pieces.
    """
    h, q = np.empty(plant.nodes.size), np.zeros(plant.nodes.size)
    h[plant.own[0]] = before.h[own[0]]
    for i in range(1, own.size):
        new, old = (slice(cut[i - 1] + 1, cut[i] + 1) for cut in (plant.own, own))
        start = h[plant.nodes[new.start].parent]
        heads, flows = np.concatenate(([start], before.h[old])), before.q[old]
        share = np.linspace(0.0, 1.0, new.stop - new.start + 1)
        h[new] = np.interp(share[1:], np.linspace(0.0, 1.0, heads.size), heads)
        middles = (np.arange(flows.size) + 0.5) / flows.size
        q[new] = np.interp(0.5 * (share[1:] + share[:-1]), middles, flows)
    return h, q
