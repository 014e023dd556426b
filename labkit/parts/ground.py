"""The ground that a run of pipe lies on between its ends: a profile, and the vents along it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final, TypeAlias

from labkit.errors import Said, UnitError, shown
from labkit.parts import fields as f
from labkit.units import Quantity, quantity, si, written
from labkit.units.customary import FOOT

if TYPE_CHECKING:
    from labkit.parts.line import Pipe

Profile: TypeAlias = "tuple[tuple[Quantity, Quantity], ...]"
"""Pairs of distance out along a run and height there above its near end."""

MOST_POINTS: Final = 50  # points of a profile, or vents, that one run may have

NEAREST: Final = FOOT
"""How near to each other, and to the ends of the run, points of a profile may lie [m]: a foot."""

_PAIRS: Final = (
    "write pairs of distance out and height, such as [['1000 ft', '60 ft'], ['1500 ft', '20 ft']]"
)
_VENTS: Final = "write a list of distances out along the pipe, such as ['1000 ft']"


def profile(typed: Any) -> Profile:
    """Read a profile: pairs of distance out and height."""
    if not isinstance(typed, list | tuple) or not all(
        isinstance(pair, list | tuple) and len(pair) == 2 for pair in typed
    ):
        raise UnitError(_PAIRS)
    if len(typed) > MOST_POINTS:
        raise UnitError(f"write {MOST_POINTS} pairs at most")
    return tuple((_one(out), _one(height)) for out, height in typed)


def vents(typed: Any) -> tuple[Quantity, ...]:
    """Read where the vents of a run sit: distances out along it."""
    if not isinstance(typed, list | tuple):
        raise UnitError(_VENTS)
    if len(typed) > MOST_POINTS:
        raise UnitError(f"write {MOST_POINTS} vents at most")
    return tuple(_one(out) for out in typed)


def _one(typed: Any) -> Quantity:
    """Read one length of a list, and name it where it cannot be read."""
    try:
        return quantity(typed, "ft")
    except UnitError as problem:
        raise UnitError(f"of what is in it {shown(typed)} cannot be read: {problem}") from None


def corners(pipe: Pipe) -> list[tuple[float, float]]:
    """Return distance out and height above its near end of every corner of a run, ends included."""
    inner = [(si(out), si(height)) for out, height in pipe.profile]
    return [(0.0, 0.0), *inner, (si(pipe.length), si(pipe.rise))]


def height(pipe: Pipe, out: float) -> float:
    """Return the height of a run above its near end some distance `out` along it [m]."""
    before, z_before = 0.0, 0.0
    for at, z in corners(pipe)[1:]:
        if out <= at:
            return z_before + (z - z_before) * (out - before) / (at - before)
        before, z_before = at, z
    return z_before


def check_ground(pipe: Pipe) -> None:
    """Hold the profile and the vents of a run to its length, and each stretch to its own."""
    length = si(pipe.length)
    before, ahead = 0.0, "the pipe's near end"
    for out, high in pipe.profile:
        if not before + NEAREST <= si(out) <= length - NEAREST:
            rule = (
                f"it must be at least 1 ft past {ahead}, and 1 ft short of the pipe's far end,"
                f" {written(pipe.length)} out"
            )
            raise f.field_error(pipe, "profile", Said(f"{written(out)} out"), rule)
        if abs(si(high)) > si(quantity("3000 ft", "ft")):
            rule = "a height must lie between -3000 ft and 3000 ft"
            raise f.field_error(pipe, "profile", Said(f"{written(high)} high"), rule)
        before, ahead = si(out), f"the point before it, {written(out)} out"
    points = corners(pipe)
    for number, (near, far) in enumerate(pairwise(points)):
        steepest = (far[0] - near[0]) * (1.0 + 1e-9)  # feet to meters and back may cost a digit
        if abs(far[1] - near[1]) > steepest and pipe.profile:
            rule = (
                f"on the way there from {_named(pipe, number)} the ground may not climb or fall by"
                " more than the length of pipe"
            )
            raise f.field_error(pipe, "profile", Said(_named(pipe, number + 1)), rule)
    before = -NEAREST
    for out in pipe.vents:
        if not before + NEAREST <= si(out) <= length:
            rule = (
                "write the vents' distances from near to far, at least 1 ft apart and none past"
                f" the pipe's far end, {written(pipe.length)} out"
            )
            raise f.field_error(pipe, "vents", Said(f"{written(out)} out"), rule)
        before = si(out)


def _named(pipe: Pipe, number: int) -> str:
    """Say which corner of a run is meant."""
    if number == 0:
        return "the near end"
    if number > len(pipe.profile):
        return f"{written(pipe.rise)} high at the far end"
    out, high = pipe.profile[number - 1]
    return f"{written(high)} high {written(out)} out"
