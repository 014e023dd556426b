"""The record of a run."""

from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

import attrs
import numpy as np
from numpy.typing import NDArray

from labkit.arrays import Floats
from labkit.files import write_table
from labkit.site import Site
from labkit.sun import Sun
from labkit.trace import calling
from labkit.trace import measures as measuring
from labkit.trace import verdict as judging
from labkit.trace.states import DriveState


class Flag(NamedTuple):
    """One thing to mind; the view puts it into words and units.

    `kind` is one of:

    * ``"suction"``: the line was sucked empty somewhere; `where` is the wellhead, no numbers.
    * ``"velocity"``: water in the run to `where` reached `value`, over `limit` [m/s].
    * ``"pressure"``: pipe of the run to `where` saw `value`, over its derated rating `limit` [Pa].
    * ``"drop pipe"``: the same for the drop pipe in the well.
    * ``"starts"``: the motor started `value` times within an hour, over `limit`.
    * ``"cut short"``: the pump started so often that the run ended at `value`, for `limit` [s].
    """

    kind: str
    where: str = "wellhead"
    value: float = 0.0
    limit: float = 0.0


class Event(NamedTuple):
    """Something that happened: `time` [s], `kind` in words, `where` (a trough or "wellhead")."""

    time: float
    kind: str
    where: str


class Moment(NamedTuple):
    """The line at one moment.

    `time` [s], `pressure` at the manifold [Pa], `heads` of the nodes [m], `levels` of the troughs
    [m], `inflows` and `openings` of their valves [m3/s, 0 to 1], `pump_flow` [m3/s], `speed`
    [0 to 1], `contact` closed or not, `drive_state`.
    """

    time: float
    pressure: float
    heads: dict[str, float]
    levels: dict[str, float]
    inflows: dict[str, float]
    openings: dict[str, float]
    pump_flow: float
    speed: float
    contact: bool
    drive_state: DriveState


@attrs.frozen(kw_only=True, eq=False)
class Totals:
    """Water of a whole run [m3]."""

    # lifted by the pump, and lost back down through a bad check valve
    pumped: float
    returned: float
    # through the float valves, the leaks and the relief valve
    delivered: float
    leaked: float
    relieved: float
    # drunk by stock, wanted by them, spilled over the rims
    drunk: float
    asked: float
    overflowed: float
    # held more at the end than at the start, by line and tank, and by the troughs
    line_gain: float
    trough_gain: float
    evaporated: float = 0.0  # gone into the air


@attrs.frozen(kw_only=True, eq=False)
class Trace:
    """What happened on a line, at the steps that were taken.

    All arrays have shape (n,) and SI units; pressures are gauge. Between two rows everything runs
    straight, but `contact`, `tripped` and `drive_state`, which hold until the next row.

    Attributes
    ----------
    site : Site
        The line.
    sun : Sun
        The sun that it was given.
    clock : float
        Time of day at time zero [s after midnight].
    time : array
        Time from the start [s], never falling.
    pressure : array
        At the manifold, where gauge and switch sit [Pa].
    pump_flow, returned_flow, relief_flow, leak_flow : array
        Of the pump, back through the check valve, relief valve, all leaks together [m3/s].
    speed : array
        Pump speed as a share of full speed.
    power, irradiance : array
        Shaft power on offer [W]; irradiance on the array [W/m2].
    head : dict of array
        Hydraulic head above the manifold at each node [m]: the grade line.
    level, inflow, opening, drinking : dict of array
        Of each trough: depth of water [m], flow in [m3/s], float valve's opening [0 to 1], flow
        drunk [m3/s].
    tank_water : array
        Water in the pressure tank [m3].
    contact, tripped : array of bool
        The loop closed, as the drive's stop input sees it; pressure switch in its tripped position.
    drive_state : array of int
        `DriveState`.
    events : tuple of Event
        In order of time.
    totals : Totals
        Water of the whole run [m3].
    elevations, distance : dict of float
        Of the nodes: height above the manifold, and way along the pipe from it [m].
    parents : dict of str
        The node before each node but the manifold.
    flags : tuple of Flag
        What the run strained, and oddities of the physics.
    kinds : dict of str
        What each node is: "pump", "manifold", "tee", "trough", "leak", "ground" or "far side": the
        top of a second leg that falls away from high ground.
    vents : frozenset of str
        Nodes where an air vent sits.
    surface : dict of array
        Where a pocket opened in the run: height above the manifold of the water's surface in the
        leg that falls away from the node [m], the node's own height while there is no pocket.
    legs : dict of str
        The lower end of that leg, for every node that has one.
    """

    site: Site
    sun: Sun
    clock: float
    time: Floats
    pressure: Floats
    pump_flow: Floats
    returned_flow: Floats
    relief_flow: Floats
    leak_flow: Floats
    speed: Floats
    power: Floats
    irradiance: Floats
    head: Mapping[str, Floats]
    level: Mapping[str, Floats]
    inflow: Mapping[str, Floats]
    opening: Mapping[str, Floats]
    drinking: Mapping[str, Floats]
    tank_water: Floats
    contact: NDArray[np.bool_]
    tripped: NDArray[np.bool_]
    drive_state: NDArray[np.int8]
    events: tuple[Event, ...]
    totals: Totals
    elevations: Mapping[str, float]
    distance: Mapping[str, float]
    parents: Mapping[str, str]
    flags: tuple[Flag, ...] = ()
    kinds: Mapping[str, str] = attrs.field(factory=dict)
    vents: frozenset[str] = frozenset()
    surface: Mapping[str, Floats] = attrs.field(factory=dict)
    legs: Mapping[str, str] = attrs.field(factory=dict)

    def measures(self) -> measuring.Measures:
        """Return what the run comes to in numbers."""
        return self._measures

    @cached_property
    def verdict(self) -> str:
        """How the line behaved, one of `labkit.trace.VERDICTS`."""
        return judging.verdict(self)

    @cached_property
    def _measures(self) -> measuring.Measures:
        return measuring.measure(self)

    @cached_property
    def widest_opening(self) -> Floats:
        """Opening of the float valve that is open widest, shape (n,)."""
        return np.asarray(np.max(np.vstack(list(self.opening.values())), axis=0))

    @cached_property
    def calls(self) -> NDArray[np.bool_]:
        """Where a trough calls for water, as far as the drive's signals go by it, shape (n,)."""
        return calling.calls(self)

    @property
    def is_cut_short(self) -> bool:
        """Whether the pump started so often that the run ended before its time."""
        return any(flag.kind == "cut short" for flag in self.flags)

    def times(self, kind: str) -> list[float]:
        """When events of a kind happened [s]."""
        return self._times.get(kind, []).copy()

    @cached_property
    def _times(self) -> dict[str, list[float]]:
        found: dict[str, list[float]] = {}
        for event in self.events:
            found.setdefault(event.kind, []).append(event.time)
        return found

    def at(self, time: float) -> Moment:
        """Return the line at a moment [s from the start]; outside the run its nearest end."""
        row = max(int(np.searchsorted(self.time, time, side="right")) - 1, 0)

        def there(values: Floats) -> float:
            return float(np.interp(time, self.time, values))

        def each(values: Mapping[str, Floats]) -> dict[str, float]:
            return dict(zip(values, map(there, values.values()), strict=True))

        return Moment(
            time=float(np.clip(time, self.time[0], self.time[-1])),
            pressure=there(self.pressure),
            heads=each(self.head),
            levels=each(self.level),
            inflows=each(self.inflow),
            openings=each(self.opening),
            pump_flow=there(self.pump_flow),
            speed=there(self.speed),
            contact=bool(self.contact[row]),
            drive_state=DriveState(int(self.drive_state[row])),
        )

    def to_csv(self, path: str | Path) -> None:
        """Write every row as a table, SI units in the heading."""
        columns: dict[str, object] = {
            "time [s]": self.time,
            "irradiance [W/m2]": self.irradiance,
            "shaft power [W]": self.power,
            "pump speed [-]": self.speed,
            "pressure at the manifold [Pa]": self.pressure,
            "pump flow [m3/s]": self.pump_flow,
            "leak flow [m3/s]": self.leak_flow,
            "relief flow [m3/s]": self.relief_flow,
            "flow back to the well [m3/s]": self.returned_flow,
            "water in the tank [m3]": self.tank_water,
            "contact closed": self.contact.astype(int),
            "drive state": self.drive_state,
        }
        for name, series in self.head.items():
            columns[f"head at {name} [m]"] = series
        for name in self.level:
            columns[f"level of {name} [m]"] = self.level[name]
            columns[f"flow into {name} [m3/s]"] = self.inflow[name]
            columns[f"float opening of {name} [-]"] = self.opening[name]
            columns[f"drunk from {name} [m3/s]"] = self.drinking[name]
        write_table(Path(path), (columns, *zip(*columns.values(), strict=True)))
