"""A site: parts joined into a line, and changed copies of it."""

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any, ClassVar, Literal, Self, TypeVar

import attrs

from labkit.parts import (
    MANIFOLD,
    Array,
    CheckValve,
    Drive,
    Leak,
    LevelSensor,
    Pipe,
    Place,
    PressureSwitch,
    PressureTank,
    Pump,
    ReliefValve,
    Trough,
    Well,
)
from labkit.parts import fields as f
from labkit.parts.build import changed
from labkit.parts.sensing import check_sensors
from labkit.parts.tree import Run, check_leaks, elevations, joined
from labkit.units import si, written

Made = TypeVar("Made")


@attrs.frozen(kw_only=True, field_transformer=f.name_errors)
class Site:
    """A ranch's water line: one well and its controls, a tree of pipe, and the troughs it feeds.

    Attributes
    ----------
    title : str
        What the site is called.
    place, well, array, pump, drive, pressure_switch, check_valve : parts
        One of each.
    pressure_tank, relief_valve : parts or None
        None where the line has none.
    pipes : tuple of Pipe
        The runs between the manifold and the tees; each trough brings its own.
    troughs : tuple of Trough
        One or more.
    leaks : tuple of Leak
        Leaks in the line.
    level_sensors : tuple of LevelSensor
        At most one in a trough. Contacts that close when full are joined one after the other,
        such that open when full side by side: the drive is told to stop when all say full.
    friction : {"Darcy-Weisbach", "Hazen-Williams"}
        The law that the line's friction follows.
    hazen_williams_c : float
        Smoothness in the second of them [-].
    """

    CALLED: ClassVar = "site"

    title: str = attrs.field(converter=f.one_line)
    place: Place
    well: Well
    array: Array
    pump: Pump
    drive: Drive
    pressure_switch: PressureSwitch
    pressure_tank: PressureTank | None = None
    check_valve: CheckValve = attrs.field(factory=CheckValve)
    relief_valve: ReliefValve | None = None
    pipes: tuple[Pipe, ...] = ()
    troughs: tuple[Trough, ...]
    leaks: tuple[Leak, ...] = ()
    level_sensors: tuple[LevelSensor, ...] = ()
    friction: Literal["Darcy-Weisbach", "Hazen-Williams"] = attrs.field(
        default="Darcy-Weisbach", validator=f.one_of("Darcy-Weisbach", "Hazen-Williams")
    )
    hazen_williams_c: float = attrs.field(
        converter=f.number, validator=f.within(80.0, 160.0), default=150.0
    )

    def __attrs_post_init__(self) -> None:
        """Hold the parts to the rules between them."""
        check_leaks(self.leaks, self.runs())
        check_sensors(self.level_sensors, self.troughs, self.drive)
        relief, cut_out = self.relief_valve, self.pressure_switch.cut_out
        if relief is not None and not si(cut_out) < si(relief.opens_at):
            rule = f"it must be above the switch's cut_out {written(cut_out)}, or it opens first"
            raise f.field_error(
                relief, "opens_at", relief.opens_at, rule, key="relief_valve.opens_at"
            )

    @cached_property
    def _runs(self) -> tuple[Run, ...]:
        return joined(self.pipes, self.troughs)

    @cached_property
    def _elevations(self) -> Mapping[str, float]:
        return elevations(self._runs)

    def runs(self) -> tuple[Run, ...]:
        """Return every run of pipe, the troughs' own included, each after the run that feeds it."""
        return self._runs

    def distances(self) -> dict[str, float]:
        """Return the way along the pipe from the manifold to it and to each node [m]."""
        return self._distances.copy()

    @cached_property
    def _distances(self) -> dict[str, float]:
        found = {MANIFOLD: 0.0}
        for start, end, pipe in self._runs:
            found[end] = found[start] + si(pipe.length)
        return found

    def farthest(self) -> Trough:
        """Return the trough at the longest way along the pipe."""
        return max(self.troughs, key=lambda trough: self._distances[trough.name])

    def trough(self, name: str) -> Trough:
        """Return a trough by its name."""
        return next(trough for trough in self.troughs if trough.name == name)

    def elevation(self, node: str) -> float:
        """Return the height of a node above the manifold [m]; a trough's is its float valve's."""
        return self._elevations[node]

    def once(self, make: Callable[[Self], Made]) -> Made:
        """Return what is made of this very line, made at the first call; nobody may write into it.

        Its arrays, what it stands, how it lies: all that only a change of the line can change.
        """
        if make not in self._made:
            self._made[make] = make(self)
        found: Made = self._made[make]
        return found

    @cached_property
    def _made(self) -> dict[object, Any]:
        return {}

    def changed(self, changes: Mapping[str, Any]) -> Self:
        """Return a copy with some fields changed, by dotted names.

        Parameters
        ----------
        changes : mapping
            From names such as ``"pressure_switch.cut_out"`` (or ``"switch.cut_out"``),
            ``"trough.north.pipe.rise"``, ``"pipe.TO.length"`` or ``"leaks"`` to values as a site
            file has them: text with units, plain numbers, tables; or ready-made parts; None takes
            a part away.

        Raises
        ------
        SiteError
            As for a site file; this site stays as it is.
        """
        return changed(self, changes)
