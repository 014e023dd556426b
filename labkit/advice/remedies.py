"""Single changes that open an empty or a narrow window, each held to the window that it gives."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Any, Final

from labkit.advice.bounds import DEAD_HEAD, PIPE
from labkit.advice.remedy import (
    ARRAY,
    DIFFERENTIAL,
    EASIEST_FIRST,
    FLOAT_VALVE,
    PIPE_UP,
    SIGNAL,
    STRONGER,
    TANK,
    WEAK_SUN,
    Remedy,
    least_change,
    wide,
)
from labkit.advice.rules import (
    GALLON,
    LEAST_CUT_IN,
    LEAST_DIFFERENTIAL,
    PSI,
    ROOM,
    TANK_SIZES,
    UNDER_CUT_IN,
)
from labkit.catalogue import pipe_sizes
from labkit.parts import MANIFOLD
from labkit.units import displayed, si

if TYPE_CHECKING:
    from collections.abc import Iterator

    from labkit.advice.window import Window
    from labkit.catalogue import PipeSize
    from labkit.parts.tree import Run

_ROUNDS: Final = 8
_LARGEST_ARRAY: Final = 20_000.0
_LARGEST_VALVE: Final = 4.0


def remedies(window: Window) -> tuple[Remedy, ...]:
    """Look for every single change that leaves two psi either way, the easiest first."""
    found = [
        remedy
        for look in (_differential, _valve, _tank, _array, _stronger, _bigger, _weak_sun)
        if (remedy := look(window)) is not None
    ]
    found.append(Remedy(kind=SIGNAL))
    return tuple(sorted(found, key=lambda remedy: EASIEST_FIRST.index(remedy.kind)))


def _differential(window: Window) -> Remedy | None:
    """Bring the two points closer together."""
    room = window.room
    most = room.ceiling - ROOM - max(room.cut_in_above, LEAST_CUT_IN)
    smaller = floor(most / PSI) * PSI
    if not LEAST_DIFFERENTIAL <= smaller < window.differential:
        return None
    cut_out = room.ceiling - 0.5 * ROOM
    changes = {
        "pressure_switch.cut_in": _psi(cut_out - smaller),
        "pressure_switch.cut_out": _psi(cut_out),
    }
    after = wide(window, changes)
    if after is None:
        return None
    return Remedy(
        kind=DIFFERENTIAL,
        before=window.differential,
        after=smaller,
        changes=changes,
        window=after,
    )


def _valve(window: Window) -> Remedy | None:
    """Fit a float valve that holds the water up less, at the trough that sets the floor."""
    bound = window.tightest("cut-out", "above")
    if bound is None:
        return None
    trough = next(t for t in window.site.troughs if t.name == bound.where)
    rating = trough.float_valve.flow
    flow = displayed(si(rating.flow), "flow")

    def changes(gpm: float) -> dict[str, Any]:
        at = displayed(si(rating.pressure), "pressure")
        return {f"trough.{trough.name}.float_valve.flow": f"{gpm:.1f} gpm at {at:.6g} psi"}

    found = least_change(window, changes, flow, _LARGEST_VALVE * flow, step=0.5)
    if found is None:
        return None
    return Remedy(
        kind=FLOAT_VALVE,
        where=trough.name,
        before=si(rating.flow),
        after=found[0] * GALLON / 60.0,
        changes=changes(found[0]),
        window=found[1],
    )


def _tank(window: Window) -> Remedy | None:
    """Fit a bigger tank, where the peak of the stop is in the way."""
    bound, tank = window.tightest("cut-out", "below"), window.site.pressure_tank
    if bound is None or bound.name == DEAD_HEAD:
        return None
    before = 0.0 if tank is None else si(tank.volume)
    cut_in = si(window.site.pressure_switch.cut_in)
    for gallons in TANK_SIZES:
        if gallons * GALLON <= 1.01 * before:
            continue
        table = {"volume": f"{gallons} gal", "precharge": _psi(max(cut_in - UNDER_CUT_IN, 0.0))}
        after = wide(window, {"pressure_tank": table})
        if after is not None:
            return Remedy(
                kind=TANK,
                before=before,
                after=gallons * GALLON,
                changes={"pressure_tank": table},
                window=after,
            )
    return None


def _array(window: Window) -> Remedy | None:
    """Set up more panels."""
    if window.site.drive.kind != "solar":
        return None
    before = si(window.site.array.rated_power)

    def changes(watts: float) -> dict[str, Any]:
        return {"array.rated_power": f"{watts:.0f} W"}

    found = least_change(window, changes, before, _LARGEST_ARRAY, step=10.0)
    if found is None:
        return None
    return Remedy(
        kind=ARRAY, before=before, after=found[0], changes=changes(found[0]), window=found[1]
    )


def _stronger(window: Window) -> Remedy | None:
    """Lay pipe of a higher rating, where the rating is in the way."""
    bound = window.tightest("cut-out", "below")
    if bound is None or bound.name != PIPE:
        return None
    run = next(run for run in window.site.runs() if run.end == bound.where)
    old = run.pipe.row
    nominal = old.size.split(" in ")[0]
    for row in sorted(pipe_sizes().values(), key=lambda row: si(row.rating)):
        is_same = row.size.split(" in ")[0] == nominal
        if is_same and si(row.rating) > si(old.rating):
            changes = _laid(run, row)
            after = wide(window, changes)
            if after is not None:
                return Remedy(
                    kind=STRONGER, where=run.end, before=old.size, after=row.size,
                    changes=changes, window=after,
                )  # fmt: skip
    return None


def _bigger(window: Window) -> Remedy | None:
    """Lay bigger pipe towards the trough that sets the floor: one run, or else the whole way."""
    bound = window.tightest("cut-out", "above")
    if bound is None:
        return None
    way = _way(window, str(bound.where))
    for steps in range(1, 5):
        for run in sorted(way, key=lambda run: si(run.pipe.length)):
            row = _sizes_up(run.pipe.row, steps)
            if row is None:
                continue
            after = wide(window, _laid(run, row))
            if after is not None:
                return Remedy(
                    kind=PIPE_UP, where=run.end, before=run.pipe.row.size, after=row.size,
                    changes=_laid(run, row), window=after,
                )  # fmt: skip
    return _whole_way(window, way)


def _whole_way(window: Window, way: list[Run]) -> Remedy | None:
    """Lay every run on the way to a trough some sizes bigger."""
    for steps in range(1, 5):
        changes: dict[str, Any] = {}
        rows = []
        for run in way:
            row = _sizes_up(run.pipe.row, steps)
            rows.append(run.pipe.row if row is None else row)
            changes |= _laid(run, rows[-1])
        after = wide(window, changes)
        if after is not None:
            return Remedy(
                kind=PIPE_UP,
                before=" + ".join(run.pipe.row.size for run in way),
                after=" + ".join(row.size for row in rows),
                changes=changes,
                window=after,
            )
    return None


def _weak_sun(window: Window) -> Remedy | None:
    """Let the weakest sun go, in which the pump then pushes on against the shut line."""
    if window.site.drive.kind != "solar":
        return None
    low, high = window.sun.low, window.sun.high
    if wide(window, {}, low=high) is None:
        return None
    far = high
    for _ in range(_ROUNDS):
        middle = 0.5 * (low + far)
        if wide(window, {}, low=middle) is None:
            low = middle
        else:
            far = middle
    after = min(ceil(far / 10.0) * 10.0, high)
    return Remedy(
        kind=WEAK_SUN, before=window.sun.low, after=after, window=wide(window, {}, low=after)
    )


def _way(window: Window, trough: str) -> list[Run]:
    """List the runs from the manifold to a trough, the last one first."""
    by_end = {run.end: run for run in window.site.runs()}
    way, node = [], trough
    while node != MANIFOLD:
        way.append(by_end[node])
        node = by_end[node].start
    return way


def _laid(run: Run, row: PipeSize) -> dict[str, Any]:
    """Give the change that lays a run in another size."""
    return {f"{run.key}.size": row.size, f"{run.key}.inside_diameter": None}


def _sizes_up(row: PipeSize, steps: int) -> PipeSize | None:
    """Give the size some steps up in the same series, if the catalogue has it."""
    return next((each for i, each in enumerate(_bigger_ones(row), 1) if i == steps), None)


def _bigger_ones(row: PipeSize) -> Iterator[PipeSize]:
    """List the bigger sizes of a series, the next one first."""
    series = row.size.split(" in ", 1)[1]
    same = [each for each in pipe_sizes().values() if each.size.split(" in ", 1)[1] == series]
    for each in sorted(same, key=lambda each: si(each.inside_diameter)):
        if si(each.inside_diameter) > si(row.inside_diameter):
            yield each


def _psi(pascals: float) -> str:
    return f"{pascals / PSI:.1f} psi"
