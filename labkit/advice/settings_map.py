"""A map of settings: what thousands of trial runs come to, and the window's bounds over it."""

import os
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor, as_completed
from pathlib import Path
from typing import Any, Final, NamedTuple, TypeVar

import attrs
import numpy as np
from numpy.typing import NDArray

from labkit.advice.axes import SUN, SWITCH, Scale, axis_named, scale, set_to
from labkit.advice.bounds import DEAD_HEAD, RUNNING, STATIC
from labkit.advice.judge import GOOD, VERDICTS, judge
from labkit.advice.window import Window, bare_window
from labkit.arrays import Floats
from labkit.errors import RunError, SiteError
from labkit.files import write_table
from labkit.site import Site
from labkit.units import Quantity, read_argument, si

Job = TypeVar("Job")
Result = TypeVar("Result")


def cores() -> int:
    """Count the cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def spread(
    work: Callable[[Job], Result],
    jobs: Sequence[Job],
    *,
    workers: int,
    client: Any = None,
    progress: Callable[[float], None] | None = None,
) -> list[Result]:
    """Do some work for each job, and return the results in the order of the jobs.

    `work` is a function of a module, so that other processes find it. `workers` are threads, which
    are enough since compiled code lets go of the interpreter's lock; with a `client` (an Executor,
    or a dask.distributed.Client) none is started. When the wait is broken off, jobs that have not
    begun are dropped and those that have are waited for. `progress` is told the share that is done,
    in this thread.
    """
    tell = progress if progress is not None else _no_one
    if client is None and workers == 1:
        results = []
        for number, job in enumerate(jobs, 1):
            results.append(work(job))
            tell(number / len(jobs))
        return results
    if client is not None:
        return _gathered(_executor_of(client), work, jobs, tell)
    with ThreadPoolExecutor(workers, thread_name_prefix="labkit") as pool:
        return _gathered(pool, work, jobs, tell)


def _gathered(
    pool: Executor,
    work: Callable[[Job], Result],
    jobs: Sequence[Job],
    tell: Callable[[float], None],
) -> list[Result]:
    """Hand out all jobs and gather the results as they come."""
    futures = {pool.submit(work, job): number for number, job in enumerate(jobs)}
    try:
        for done, future in enumerate(as_completed(futures), 1):
            future.result()
            tell(done / len(jobs))
    finally:
        for future in futures:
            future.cancel()
    return [future.result() for future in futures]


def _executor_of(client: Any) -> Executor:
    """Take an executor as it is, and ask a cluster's client for one."""
    if isinstance(client, Executor):
        return client
    pool: Executor = client.get_executor(pure=False)
    return pool


def _no_one(_share: float) -> None:
    """Take word of progress for nobody."""


Codes = NDArray[np.int8]

NO_SETTING: Final = -1  # code of a cell whose site cannot be, such as a cut-in above its cut-out
NOT_RUN: Final = -2  # code of a cell whose numbers failed
OUTSIDE: Final = {NO_SETTING: "no such setting", NOT_RUN: "not run"}
"""What those two codes are called; all others are places in `labkit.advice.judge.VERDICTS`."""

_A_CHUNK: Final = 32  # cells handed to a worker at once, at most: about a tenth of a second's work


@attrs.frozen(kw_only=True, eq=False)
class SettingsMap:
    """What trial runs of a line come to over two of its numbers.

    Attributes
    ----------
    site : Site
        The line.
    across, up : Scale
        The two axes, with name, kind and values [SI].
    troughs : tuple of str
        The troughs that were tried, each by itself.
    sun : float or None
        Irradiance of every trial [W/m2]; None where it is one of the axes.
    codes : array of int8, shape (up, across)
        Place of each cell's verdict in `labkit.advice.judge.VERDICTS`; `NO_SETTING` or `NOT_RUN`
        where there is none.
    recharged : bool
        Whether the tank was charged anew for each cut-in.
    """

    site: Site
    across: Scale
    up: Scale
    troughs: tuple[str, ...]
    sun: float | None
    codes: Codes
    recharged: bool = False

    def verdict(self, row: int, column: int) -> str:
        """Return the verdict of a cell, or what it is called where there is none."""
        return called(int(self.codes[row, column]))

    def counts(self) -> dict[str, int]:
        """Count the cells of each verdict, the most frequent first."""
        found = Counter(called(int(code)) for code in self.codes.ravel())
        return dict(found.most_common())

    def sound(self, row: int) -> tuple[float, float] | None:
        """Return the ends of the widest sound stretch of a row on the axis across [SI]."""
        is_sound = self.codes[row] == VERDICTS.index(GOOD)
        edges = np.flatnonzero(np.diff(np.concatenate(([False], is_sound, [False])).astype(int)))
        stretches = list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))
        if not stretches:
            return None
        first, past = max(stretches, key=lambda ends: ends[1] - ends[0])
        return self.across.values[first], self.across.values[past - 1]

    def to_csv(self, path: str | Path) -> None:
        """Write a line for each cell, SI units in the heading."""
        heads = [*(f"{axis.name} [{axis.unit}]" for axis in (self.across, self.up)), "verdict"]
        cells = (
            [x, y, self.verdict(row, column)]
            for row, y in enumerate(self.up.values)
            for column, x in enumerate(self.across.values)
        )
        write_table(Path(path), (heads, *cells))


def called(code: int) -> str:
    """Return the word for a code."""
    return OUTSIDE[code] if code < 0 else VERDICTS[code]


class _Chunk(NamedTuple):
    """Some cells of a map, from `first` on and short of `past`, row by row."""

    plan: SettingsMap
    first: int
    past: int


def settings_map(
    site: Site,
    across: str = "cut-out",
    up: str = SUN,
    *,
    across_range: tuple[str | Quantity, str | Quantity] | None = None,
    up_range: tuple[str | Quantity, str | Quantity] | None = None,
    cells: tuple[int, int] = (40, 30),
    sun: str | Quantity = "800 W/m^2",
    trough: str | None = None,
    recharge: bool = False,
    workers: int | None = None,
    client: Any = None,
    progress: Callable[[float], None] | None = None,
) -> SettingsMap:
    """Try a line at every point of a grid over two of its numbers.

    Parameters
    ----------
    site : Site
        The line.
    across, up : str
        Names of two axes of `labkit.advice.axes.AXES`: "sun", "cut-out", "cut-in",
        "differential", "rise", "pipe length", "float leak", "line leak", "tank", "array".
    across_range, up_range : pair of str or Quantity, optional
        Their ends; left out, a range around what the site has.
    cells : pair of int
        Number of values across and up.
    sun : str or Quantity
        The sun of every trial, if it is none of the axes.
    trough : str, optional
        The trough to try. Left out, each is tried by itself, and a cell is as bad as the worst.
    recharge : bool
        Whether the tank is charged anew for each cut-in, two psi under it.
    workers : int, optional
        Threads to use; left out, as many as there are cores.
    client : Executor or dask.distributed.Client, optional
        Who runs the trials instead: other processes, or a cluster.
    progress : callable, optional
        Told the share of the trials that is done, now and then.

    Returns
    -------
    SettingsMap
        The same numbers, whoever ran the trials and in whatever order.

    Raises
    ------
    SiteError
        For an axis, a range, a trough or a sun that is none.

    Notes
    -----
    A cell is what `labkit.advice.judge.judge` finds in that one sun. Where a settled limit is
    broken no run is needed; else each trough fills, its float shuts, stock drink, and it fills
    again.
    """
    plan = _planned(site, across, up, (across_range, up_range), cells, sun, trough, recharge)
    threads = cores() if workers is None else workers
    if threads < 1:
        raise SiteError("map", "workers", workers, "write 1 or more")
    chunks = _chunks(plan)
    found = spread(try_cells, chunks, workers=threads, client=client, progress=progress)
    codes = np.concatenate(found).reshape(plan.codes.shape)
    codes.setflags(write=False)
    return attrs.evolve(plan, codes=codes)


def _planned(
    site: Site,
    across: str,
    up: str,
    ends: tuple[Any, Any],
    cells: tuple[int, int],
    sun: str | Quantity,
    trough: str | None,
    recharge: bool,  # noqa: FBT001 - known by its place, in one call only
) -> SettingsMap:
    """Lay out a map that has not been tried yet."""
    names = tuple(each.name for each in site.troughs)
    if trough is not None and trough not in names:
        raise SiteError("map", "trough", trough, f"the troughs are {', '.join(names)}")
    tried = names if trough is None else (trough,)
    for name in (across, up):
        _check_axis(site, name, tried)
    if across == up:
        raise SiteError("map", "axis", up, "write two different ones")
    part = site.trough(tried[0])
    scales = [
        scale(name, site, part, ends=reach, count=count)
        for name, reach, count in zip((across, up), ends, cells, strict=True)
    ]
    return SettingsMap(
        site=site,
        across=scales[0],
        up=scales[1],
        troughs=tried,
        sun=None if SUN in (across, up) else _light(sun),
        codes=np.full((cells[1], cells[0]), NOT_RUN, dtype=np.int8),
        recharged=recharge,
    )


def _check_axis(site: Site, name: str, tried: tuple[str, ...]) -> None:
    if axis_named(name).of_trough and len(tried) > 1:
        rule = f"it belongs to one trough; give trough as one of {', '.join(tried)}"
        raise SiteError("map", "axis", name, rule)
    if name in {SUN, "array"} and site.drive.kind == "mains":
        raise SiteError("map", "axis", name, "a pump on the mains takes no notice of it")


def _light(sun: str | Quantity) -> float:
    """Read the sun of every trial [W/m2]."""
    return si(read_argument(sun, "W/m^2", part="map", field="sun"))


def _chunks(plan: SettingsMap) -> list[_Chunk]:
    """Cut a map into jobs."""
    count = plan.codes.size
    size = max(1, min(_A_CHUNK, count // 16))
    return [_Chunk(plan, first, min(first + size, count)) for first in range(0, count, size)]


def try_cells(chunk: _Chunk) -> Codes:
    """Try some cells of a map, row by row; the same cell comes to the same in any company."""
    plan = chunk.plan
    found = np.empty(chunk.past - chunk.first, dtype=np.int8)
    for place in range(found.size):
        row, column = divmod(chunk.first + place, len(plan.across.values))
        found[place] = _tried(plan, row, column)
    return found


def _tried(plan: SettingsMap, row: int, column: int) -> int:
    """Try one cell; give its code."""
    values = {plan.across.name: plan.across.values[column], plan.up.name: plan.up.values[row]}
    light = values[SUN] if plan.sun is None else plan.sun
    try:
        site = set_to(plan.site, values, trough=plan.troughs[0], recharge=plan.recharged)
        return VERDICTS.index(judge(site, light, light, troughs=plan.troughs, counts=False).verdict)
    except SiteError:
        return NO_SETTING
    except RunError:
        return NOT_RUN


CEILING: Final = "ceiling"
"""What limits cut-out from above besides the pump's reach: a pipe, a float, the relief valve, the
torque limit."""

_CURVES: Final = {"cut-in": (STATIC,), "cut-out": (RUNNING, DEAD_HEAD, CEILING)}
"""Point of the switch -> the bounds that it has."""


@attrs.frozen(kw_only=True, eq=False)
class Curve:
    """A bound of the operating window over a map."""

    name: str  # "static", "running", "dead head" or "ceiling"; "recommended" for the cut-out to set
    # its points on the map's axes [SI]; nan where there is no such bound, shape (n,)
    across: Floats
    up: Floats


def window_curves(found: SettingsMap) -> tuple[Curve, ...]:
    """Return the bounds that run over a map; none if no axis is a point of the switch.

    Each point is a window for one sun, that of the trials there, and for the troughs tried.
    """
    curves = []
    for point, other, is_across in (
        (found.across, found.up, True),
        (found.up, found.across, False),
    ):
        if point.name not in _CURVES:
            continue
        windows = [_window(found, other, value) for value in other.values]
        along = np.array(other.values)
        for name in _CURVES[point.name]:
            limits = np.array([_limit(window, name, found.troughs) for window in windows])
            if np.isfinite(limits).any():
                across, up = (limits, along) if is_across else (along, limits)
                curves.append(Curve(name=name, across=across, up=up))
    return tuple(curves)


def _window(found: SettingsMap, other: Scale, value: float) -> Window | None:
    """Work out the window at one value of the other axis, if the pump runs there at all."""
    sun = value if other.name == SUN else found.sun
    assert sun is not None  # noqa: S101 - one of the axes is the sun, or there is one for all
    try:
        site = found.site
        if other.name not in SWITCH:  # the window takes no notice of where the switch stands
            site = set_to(site, {other.name: value}, trough=found.troughs[0])
        return bare_window(site, sun, sun)
    except SiteError:
        return None


def _limit(window: Window | None, name: str, troughs: tuple[str, ...]) -> float:
    """Return the tightest bound of a name [Pa], nan where there is none."""
    if window is None:
        return float("nan")
    if name in {STATIC, RUNNING}:
        lower = [b.pressure for b in window.deciding if b.name == name and b.where in troughs]
        return max(lower, default=float("nan"))
    upper = [
        bound.pressure
        for bound in window.bounds
        if bound.side == "below" and (bound.name == DEAD_HEAD) == (name == DEAD_HEAD)
    ]
    return min(upper, default=float("nan"))
