"""Pressure, wire or radio: what each costs on a line, whether it works there, and how it fails."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from labkit.advice.judge import judge
from labkit.advice.method_bill import BillLine, Installation, bill, prices
from labkit.advice.method_sites import METHODS, failures, pipe_ground, with_stop_method
from labkit.advice.radio_link import RadioCheck, radio_check
from labkit.advice.setting import set_so
from labkit.advice.signal_loop import LoopCheck, loop_check
from labkit.advice.sky_mix import dull_day
from labkit.advice.watching import Watched, two_days, watched
from labkit.advice.window import bare_window
from labkit.sun import clear_day, cloudy_day
from labkit.sun.sky import read_date
from labkit.units import si

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from labkit.advice.judge import Judgement
    from labkit.advice.radio_link import Ground, RadioGear
    from labkit.advice.setting import Setting
    from labkit.parts.stop_input import StopInput
    from labkit.site import Site
    from labkit.sun import Sun
    from labkit.units import Quantity

CLEAR: Final = "nothing wrong"
"""Two clear days and a line that is sound."""

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
