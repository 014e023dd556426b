"""Pressure, wire or radio: what each costs on a line, whether it works there, and how it fails."""

import datetime as dt
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final, Literal, TypeAlias

import attrs
import numpy as np
from numpy.typing import NDArray

from labkit.advice.judge import Judgement, judge
from labkit.advice.method_sites import (
    METHODS,
    BillLine,
    Installation,
    bill,
    failures,
    pipe_ground,
    prices,
    with_stop_method,
)
from labkit.advice.radio_link import Ground, RadioCheck, RadioGear, radio_check
from labkit.advice.setting import Setting, set_so
from labkit.advice.signal_loop import LoopCheck, loop_check
from labkit.advice.sky_mix import dull_day
from labkit.advice.window import bare_window
from labkit.engine.run import simulate
from labkit.errors import SiteError
from labkit.parts.stop_input import StopInput
from labkit.site import Site
from labkit.sun import Sun, clear_day, cloudy_day
from labkit.sun.sky import read_date
from labkit.trace import DriveState, Trace
from labkit.units import Quantity, quantity, si, typed

Outcome: TypeAlias = Literal[
    "as before", "stays off", "herd short", "spills", "pushes on", "cycles", "locks out"
]

DAYS: Final = 2  # days that each failure is watched for, from full troughs
_WATER: Final = 0.02  # water that counts as spilled or missing [m3]: five gallons in the two days
_LONG: Final = 600.0  # time of pushing against shut floats that counts [s]

_SHARE: Final = 0.02
"""Share of what the herds ask for that counts as going short, where nothing is wrong [-]."""

_MORE_STARTS: Final = 3.0  # times as many starts as before that count as cycling


@attrs.frozen(kw_only=True)
class Watched:
    """What two days of a line came to."""

    name: str  # what was wrong
    # what the pump then does: "as before"; "stays off"; "herd short" (it runs too little); "spills"
    # (it runs on over the rim); "pushes on" against shut floats; "cycles"; "locks out"
    outcome: Outcome
    verdict: str  # the run's verdict
    starts: int  # of the pump
    is_cut_short: bool  # whether it started so often that the run ended before the two days
    running: float  # how long the pump turned [s]
    dead_head: float  # how long it turned against shut floats without being told to stop [s]
    # water over the rims; what the herds asked for in vain, and in all [m3]
    spilled: float
    short: float
    asked: float


def two_days(line: Site, sun: Sun) -> Trace:
    """Run a line for two days from midnight, its troughs full."""
    return simulate(line, f"{DAYS} day", sun=sun, start="00:00")


def watched(name: str, trace: Trace, before: Watched | None) -> Watched:
    """Read what a run came to, beside the run with nothing wrong."""
    measures = trace.measures()
    turning = np.isin(
        trace.drive_state[:-1], (DriveState.STARTING, DriveState.RUNNING, DriveState.STOPPING)
    )
    row = Watched(
        name=name,
        outcome="as before",
        verdict=trace.verdict,
        starts=measures.starts,
        is_cut_short=trace.is_cut_short,
        running=float(np.diff(trace.time)[turning].sum()),
        dead_head=measures.dead_head_time,
        spilled=measures.overflowed,
        short=max(measures.unmet, 0.0),
        asked=trace.totals.asked,
    )
    return attrs.evolve(row, outcome=_outcome(row, before))


def _outcome(row: Watched, before: Watched | None) -> Outcome:
    """Name what the pump does, the gravest first."""
    tests: dict[Outcome, bool] = {
        "stays off": row.starts == 0 and _is_missed(row, before),
        "locks out": row.verdict == "safety stop",
        **(_alone(row) if before is None else _beside(row, before)),
    }
    return next((outcome for outcome, holds in tests.items() if holds), "as before")


def _is_missed(row: Watched, before: Watched | None) -> bool:
    """Whether a pump that never starts should have: full troughs may last the two days."""
    return before.starts > 0 if before is not None else row.short > _SHARE * row.asked


def _cycles(row: Watched) -> bool:
    return row.is_cut_short or row.verdict == "cycling"


def _alone(row: Watched) -> dict[Outcome, bool]:
    """Judge a run for itself."""
    return {
        "cycles": _cycles(row),
        "spills": row.spilled > _WATER,
        "pushes on": row.verdict == "no stop",
        "herd short": row.short > _SHARE * row.asked,
    }


def _beside(row: Watched, before: Watched) -> dict[Outcome, bool]:
    """Judge a run beside the one with nothing wrong."""
    return {
        "cycles": _cycles(row) or row.starts > _MORE_STARTS * max(before.starts, 2),
        "spills": row.spilled > before.spilled + _WATER,
        "pushes on": row.dead_head > before.dead_head + _LONG,
        "herd short": row.short > before.short + _WATER,
    }


CLEAR: Final = "nothing wrong"  # two clear days and a line that is sound

SUN_RANGE: Final = (250.0, 1000.0)
"""Sun in which a pressure switch must work [W/m2], as for `operating_window`."""


@attrs.frozen(kw_only=True)
class Method:
    """One way to say stop, on one line."""

    name: str  # which: "pressure", "wire", "radio"
    # whether it works there: by the one judge, in the run with nothing wrong, and by a setting of
    # the switch, the pairs or the radio paths
    feasible: bool
    # of the line so stopped, in all the sun that counts; by pressure with the recommended setting,
    # or else as it is set
    judged: Judgement
    sensors: int  # how many it needs to serve all troughs
    loops: Mapping[str, LoopCheck]  # the pair to each trough; empty unless by wire
    paths: Mapping[str, RadioCheck]  # the radio path to each trough; empty unless by radio
    bill: tuple[BillLine, ...]  # what it takes
    # with nothing wrong; by pressure with the recommended setting, where there is one
    sound: Watched
    failures: tuple[Watched, ...]  # with each thing wrong; empty if they were not asked for
    # by pressure: the recommended setting; None where no setting works in all of the sun
    setting: Setting | None = None
    as_set: Judgement | None = None  # by pressure: of the line with its switch as it is set now

    @property
    def cost(self) -> float:
        """What it costs [US dollars]."""
        return sum(line.cost for line in self.bill)

    def failure(self, name: str) -> Watched | None:
        """Return what came of a failure; None where there is nothing that could fail so."""
        return next((row for row in self.failures if row.name == name), None)


@attrs.frozen(kw_only=True)
class StopMethods:
    """The three ways side by side.

    Attributes
    ----------
    site : Site
        The line.
    methods : tuple of Method
        Pressure, wire, radio.
    """

    site: Site
    methods: tuple[Method, ...]

    def __getitem__(self, name: str) -> Method:
        """Return a method by its name."""
        return next(method for method in self.methods if method.name == name)

    @property
    def failure_names(self) -> tuple[str, ...]:
        """Every failure that any of them can have."""
        names = [row.name for method in self.methods for row in method.failures]
        return tuple(dict.fromkeys(names))


def stop_methods(
    site: Site,
    *,
    ground: Mapping[str, Ground] | None = None,
    gauge: str = "18 AWG",
    own_trench: bool = False,
    stop_input: StopInput | None = None,
    gear: RadioGear | None = None,
    well_antenna: str | Quantity = "10 ft",
    trough_antenna: str | Quantity = "6 ft",
    price_changes: Mapping[str, float] | None = None,
    date: str = "2023-07-17",
    seed: int = 1,
    with_failures: bool = True,
) -> StopMethods:
    """Put pressure, wire and radio side by side for a line.

    Parameters
    ----------
    site : Site
        The line. Its pressure switch is judged as it is set now, and with the setting that
        `operating_window` recommends.
    ground : dict, optional
        The ground from the well to each trough, by its name, for `radio_check`; left out, the lie
        of the pipe.
    gauge : str
        Of the pairs.
    own_trench : bool
        Whether the pairs need a trench of their own: one along all of the pipe.
    stop_input, gear : optional
        What the pairs go to, in place of the drive's own; which radios.
    well_antenna, trough_antenna : str or Quantity
        Heights of the antennas above the ground.
    price_changes : dict, optional
        Your own prices, by item.
    date : str
        Day of the sun.
    seed : int
        Which clouds.
    with_failures : bool
        Whether to run the failures too.

    Returns
    -------
    StopMethods
        Feasibility, cost and failures of each.

    Notes
    -----
    A way is feasible if the one judge finds that it works in weak, middling and strong sun (by
    pressure: with some setting), and it serves the herds on two clear days. Every failure is a
    changed line that is run for two days from full troughs; the outcome is read off that run beside
    the run with nothing wrong. Pairs are taken to be as long as the pipe. Sensors sit in every
    trough and the drive stops when all say full, with the floats still there.
    """
    checked = prices(price_changes)
    if stop_input is not None:
        site = site.changed({"drive.stop_input": stop_input})
    skies = _skies(site, read_date(date), seed)
    way = site.distances()
    far = {trough.name: way[trough.name] for trough in site.troughs}
    loops = {
        name: loop_check(gauge, f"{max(d, 1.0):.3f} m", stop_input=site.drive.stop_input)
        for name, d in far.items()
    }
    paths = {
        name: radio_check(
            (ground or {}).get(name) or pipe_ground(site, name),
            well_antenna=well_antenna,
            trough_antenna=trough_antenna,
            gear=gear,
        )
        for name in far
    }
    laid = Installation(
        distances=tuple(far.values()),
        gauge=next(iter(loops.values())).gauge,
        trench=sum(si(run.pipe.length) for run in site.runs()) if own_trench else 0.0,
        masts=_masts(list(paths.values())),
        new_floats=sum(t.float_valve.position != "floats" for t in site.troughs),
    )
    window = bare_window(with_stop_method(site, "pressure", gauge=laid.gauge), *SUN_RANGE)
    chosen = window.recommended
    reach = {"pressure": chosen is not None, "wire": _all_work(loops), "radio": _all_work(paths)}
    found = []
    for name in METHODS:
        line = window.site if name == "pressure" else with_stop_method(site, name, gauge=laid.gauge)
        best = line if name != "pressure" or chosen is None else set_so(line, chosen)
        judged = judge(best, *SUN_RANGE)
        sound, failed = _watch_all(best, name, skies if with_failures else {CLEAR: skies[CLEAR]})
        method = Method(
            name=name,
            feasible=reach[name] and judged.works and sound.outcome == "as before",
            judged=judged,
            sensors=1 if name == "pressure" else len(far),
            loops=loops if name == "wire" else {},
            paths=paths if name == "radio" else {},
            bill=bill(name, checked, laid),
            sound=sound,
            failures=failed,
            setting=chosen if name == "pressure" else None,
            as_set=window.own if name == "pressure" else None,
        )
        found.append(method)
    return StopMethods(site=site, methods=tuple(found))


def _skies(site: Site, day: dt.date, seed: int) -> dict[str, Sun]:
    """Return the sun of a run with nothing wrong, and of runs under other skies."""
    return {
        CLEAR: clear_day(site, day),
        "passing clouds": cloudy_day(site, day, seed=seed, cover=0.6),
        "two cloudy days": dull_day(site, day, 0.2),
    }


def _masts(paths: list[RadioCheck]) -> float:
    """Height of all masts together, that at the well counted once [m]."""
    at_well = max(float(path.ray[0] - path.ground[0]) for path in paths)
    return at_well + sum(float(path.ray[-1] - path.ground[-1]) for path in paths)


def _all_work(checks: Mapping[str, LoopCheck] | Mapping[str, RadioCheck]) -> bool:
    return all(check.works for check in checks.values())


def _watch_all(
    line: Site, method: str, skies: Mapping[str, Sun]
) -> tuple[Watched, tuple[Watched, ...]]:
    """Run a line with its method when nothing is wrong, under other skies, and with each fault.

    With no other sky than the clear one, nothing else is run.
    """
    clear = skies[CLEAR]
    sound = watched(CLEAR, two_days(line, clear), None)
    if len(skies) == 1:
        return sound, ()
    rows = [
        watched(name, two_days(line, sun), sound) for name, sun in skies.items() if name != CLEAR
    ]
    rows += [
        watched(name, two_days(line.changed(changes), clear), sound)
        for name, changes in failures(line, method).items()
    ]
    return sound, tuple(rows)


BETWEEN: Final = {"open ground": 0.0, "a knoll": 9.0, "a ridge": 36.0}
"""What can stand between well and trough, and how high above the straight ground [m]."""

_WHERE: Final = (0.15, 0.25, 0.32)
"""Begin, top and end of it, as shares of the way to the far trough; the pipe goes around it."""

_BRANCH: Final = "20 ft"  # from the line to a trough that stands beside it

GAUGE: Final = "18 AWG"
MAST: Final = ("10 ft", "6 ft")
"""Of the pairs; of the antennas at the well and at each trough."""


@attrs.frozen(kw_only=True)
class StopCase:
    """A line with its far trough, others on the way, and the ground that a radio must cross."""

    start: Site  # a line with one trough; pump, switch and size of pipe are its own
    way: float  # pipe from the well to the far trough [m]
    troughs: int = 1  # how many, evenly along the pipe, the far one last
    between: str = "open ground"  # one of `BETWEEN`
    # whether the pipe lies in the ground already, so that pairs need a trench of their own
    own_trench: bool = False
    money: float = 1000.0  # what may be spent [US dollars]

    def __attrs_post_init__(self) -> None:
        """Hold to a known ground."""
        if self.between not in BETWEEN:
            rule = f"write one of {', '.join(BETWEEN)}"
            raise SiteError("stop case", "between", self.between, rule)

    @property
    def line(self) -> Site:
        """The line: one pipe with its troughs, at the slope that it starts with."""
        (far,) = self.start.troughs
        count = self.troughs
        rise = si(far.pipe.rise) / count
        run = {"length": f"{self.way / count:.3f} m", "size": far.pipe.row.size}
        stops = ["manifold", *(f"tee {n}" for n in range(1, count))]
        pipes = [
            {"from": before, "to": after, "rise": f"{rise:.3f} m", **run}
            for before, after in pairwise(stops)
        ]
        last = attrs.evolve(
            far.pipe, from_=stops[-1], length=run["length"], rise=typed(rise, "length")
        )
        herd = None if far.herd is None else attrs.evolve(far.herd, head=far.herd.head // count)
        side = attrs.evolve(far.pipe, length=_BRANCH, rise="0 ft")
        near = [
            attrs.evolve(
                far, name=f"trough {n}", pipe=attrs.evolve(side, from_=f"tee {n}"), herd=herd
            )
            for n in range(1, count)
        ]
        troughs = (*near, attrs.evolve(far, pipe=last, herd=herd))
        return self.start.changed({"pipes": pipes, "troughs": troughs})

    @property
    def ground(self) -> dict[str, list[tuple[str, str]]]:
        """The straight ground to each trough, with what stands on it."""
        line, (far,) = self.line, self.start.troughs
        slope = si(far.pipe.rise) / self.way
        names = [trough.name for trough in line.troughs]
        shares = [(n + 1) / self.troughs for n in range(self.troughs)]
        found = {}
        for name, share in zip(names, shares, strict=True):
            points = [(0.0, 0.0), (share * self.way, slope * share * self.way)]
            if BETWEEN[self.between]:
                begin, top, end = (part * self.way for part in _WHERE)
                points[1:1] = [
                    (begin, slope * begin),
                    (top, slope * top + BETWEEN[self.between]),
                    (end, slope * end),
                ]
            found[name] = [(f"{x:.3f} m", f"{y:.3f} m") for x, y in points]
        return found

    def compared(self, *, with_failures: bool = False) -> StopMethods:
        """Put the three ways side by side."""
        well, trough = MAST
        return stop_methods(
            self.line,
            ground=self.ground,
            gauge=GAUGE,
            own_trench=self.own_trench,
            well_antenna=well,
            trough_antenna=trough,
            with_failures=with_failures,
        )

    def costs(self, ways: Sequence[float]) -> dict[str, NDArray[np.float64]]:
        """Return what each way to say stop costs [US dollars], were the far trough that far [m]."""
        known = prices()
        well, trough = (si(quantity(mast, "ft")) for mast in MAST)
        found = {name: np.zeros(len(ways)) for name in METHODS}
        for place, way in enumerate(ways):
            laid = Installation(
                distances=tuple(way * (n + 1) / self.troughs for n in range(self.troughs)),
                gauge=GAUGE,
                trench=way if self.own_trench else 0.0,
                masts=well + self.troughs * trough,
                new_floats=0,
            )
            for name in METHODS:
                found[name][place] = sum(line.cost for line in bill(name, known, laid))
        return found
