"""The settings card of a site, as numbers: the page is laid out by `labkit.view.card_page`.

Each sign that it tells is read off a run, or a settled state, of the very site with the fault in
it, at the fault's middling size. A fault that would not show in a sign on this line is not named.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import attrs
import numpy as np

from labkit.advice.bisect import turning_point
from labkit.advice.curves import lay
from labkit.advice.line import Line
from labkit.advice.proving import WATCHED, Worked, first, prove, with_floats, work
from labkit.advice.rules import ROOM
from labkit.advice.setting import set_so
from labkit.engine.fluid import water_at
from labkit.engine.standing import go_on
from labkit.engine.steady import steady
from labkit.errors import Said, SiteError
from labkit.faults import FAULTS
from labkit.parts import MANIFOLD
from labkit.trace import DriveState
from labkit.units import si, ureg
from labkit.units.customary import HOUR

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from labkit.advice.curves import HeadProfile
    from labkit.advice.proving import Proof
    from labkit.advice.setting import Setting
    from labkit.advice.window import Window
    from labkit.engine.steady import Steady
    from labkit.site import Site
    from labkit.trace import Trace

Amount: TypeAlias = tuple[float, str]  # a value [SI] and its kind
MIDDLING: Final = 0.5  # how bad a fault is taken to be, from slight (0) to bad (1)

_LOOP: Final = (
    "cut wire", "wet splice", "chewed pair", "wrong action", "plugged switch nipple",
    "controller or motor fault", "bad motor lead",
)  # fmt: skip
_WEAK: Final = (
    "dusty or shaded array", "worn pump", "pump turning backward", "check valve stuck shut",
    "weak relief valve",
)  # fmt: skip
_LESS: Final = (
    "dusty or shaded array", "low well", "clogged screen", "worn pump", "pump turning backward",
    "narrowed pipe",
)  # fmt: skip
_EARLY: Final = ("undersized pipe",)
_LESSER: Final = 0.9
_SEEN: Final = 0.5 * ROOM


@attrs.frozen(kw_only=True)
class Telltale:
    """A sign, and what is behind it."""

    # which sign: "runs on", "stays off", "locks out", "stalls", "short of water", "stops early",
    # "never back", "falls shut in", "falls open" or "back at once"
    key: str
    # faults by their key in `labkit.faults.FAULTS`, those that show so on this line
    causes: tuple[str, ...]
    amounts: Mapping[str, Amount]  # what is seen, by name: (value [SI], kind)
    where: str  # the trough whose float is worked


@attrs.frozen(kw_only=True, eq=False)
class _Bench:
    """A set line with what was proved of it, ready to have faults put in."""

    site: Site
    window: Window
    trough: str
    noon: Proof
    haze: Proof

    @property
    def sun(self) -> Any:
        return ureg.Quantity(self.noon.sun, "W/m^2")

    @property
    def cut_in(self) -> float:
        return si(self.site.pressure_switch.cut_in)

    @property
    def cut_out(self) -> float:
        return si(self.site.pressure_switch.cut_out)

    def faulty(self, keys: Iterable[str]) -> dict[str, Site]:
        """Return the line with each of some faults, those left out that it cannot have."""
        found = {}
        for key in keys:
            fault = FAULTS[key]
            if fault.fits(self.site):
                places = fault.places(self.site)
                where = self.trough if self.trough in places else places[-1]
                size = fault.size_at(self.site, where, MIDDLING)
                found[key] = fault.apply(self.site, size, where)
        return found

    def settled(self, keys: Iterable[str], *, is_open: bool) -> dict[str, Steady]:
        """Settle the line with each of some faults, those left out that lock the drive first."""
        floats = [self.trough] if is_open else []
        found = {
            key: steady(bad, sun=self.sun, open_troughs=floats)
            for key, bad in self.faulty(keys).items()
        }
        return {key: line for key, line in found.items() if not line.stopped_by}

    def worked(self, keys: Iterable[str]) -> dict[str, Worked]:
        """Work the line by hand with each of some faults."""
        return {key: self.work(bad) for key, bad in self.faulty(keys).items()}

    def work(self, bad: Site) -> Worked:
        """Work the faulty line by hand, as patiently as without the fault."""
        return work(bad, self.sun, self.trough, refills=self.noon.refills)

    def floated(self, bad: Site) -> Trace:
        """Push the float down once the faulty line has been worked."""
        site, waits = with_floats(bad, [self.trough]), ureg.Quantity(self.noon.waited, "s")
        return go_on(self.work(bad).still, waits, site=site)[0]


def telltales(
    site: Site, window: Window, proofs: tuple[Proof, Proof], trough: str
) -> tuple[Telltale, ...]:
    """Find the signs of a line that is set, with the readings of its proof at noon and in haze."""
    bench = _Bench(site=site, window=window, trough=trough, noon=proofs[0], haze=proofs[1])
    loop = bench.worked(_LOOP)
    found = (
        _runs_on(bench, loop),
        _stays_off(bench, loop),
        _locks_out(bench),
        _stalls(bench),
        _short_of_water(bench),
        _stops_early(bench),
        _never_back(bench),
        _falls(bench, "falls shut in", ("bad check valve",), is_shut=True),
        _falls(bench, "falls open", ("buried leak", "worn float seat"), is_shut=False),
        _back_at_once(bench),
    )
    return tuple(each for each in found if each.causes)


def _told(bench: _Bench, key: str, causes: Iterable[str], **amounts: Amount) -> Telltale:
    return Telltale(key=key, causes=tuple(causes), amounts=amounts, where=bench.trough)


def _runs_on(bench: _Bench, loop: Mapping[str, Worked]) -> Telltale:
    """See the gauge pass cut-out, floats up, and the pump go on."""
    causes = [
        key
        for key, worked in loop.items()
        if worked.filling.speed[-1] > 0.0 and first(worked.lifted, "pump stops") == inf
    ]
    tops = [float(loop[key].lifted.pressure.max()) for key in causes]
    return _told(
        bench, "runs on", causes,
        past=(max(bench.noon.peak, bench.haze.peak), "pressure"),
        top=(max(tops, default=0.0), "pressure"),
    )  # fmt: skip


def _stays_off(bench: _Bench, loop: Mapping[str, Worked]) -> Telltale:
    """See a float down, the gauge under cut-in, and the pump doing nothing."""
    causes = [key for key, worked in loop.items() if not np.any(worked.filling.speed > 0.0)]
    return _told(bench, "stays off", causes, cut_in=(bench.cut_in, "pressure"))


def _locks_out(bench: _Bench) -> Telltale:
    """See the pump stop by itself and not come back, its controller locked out."""
    found: dict[str, float] = {}
    for key, worked in bench.worked(dict.fromkeys((*_WEAK, *_LESS, *_EARLY))).items():
        for trace in (worked.filling, worked.lifted):
            row = np.flatnonzero(trace.drive_state == DriveState.LOCKED)
            if row.size:
                found.setdefault(key, float(trace.pressure[: row[0] + 1].max()))
    return _told(bench, "locks out", found, at=(max(found.values(), default=0.0), "pressure"))


def _stalls(bench: _Bench) -> Telltale:
    """See the gauge level off short of cut-out at noon, floats up, the pump humming."""
    settled = bench.settled(_WEAK, is_open=False)
    low = [key for key, line in settled.items() if line.pressure[MANIFOLD] < bench.cut_out]
    return _told(
        bench, "stalls", low,
        cut_out=(bench.cut_out, "pressure"),
        push=(bench.noon.push, "pressure"),
    )  # fmt: skip


def _short_of_water(bench: _Bench) -> Telltale:
    """See a bucket at the float catch less than it should at noon."""
    name = bench.trough
    good = bench.noon.flow[name]
    settled = bench.settled(_LESS, is_open=True)
    flows = {key: line.inflow[name] for key, line in settled.items()}
    less = {key: flow for key, flow in flows.items() if flow < _LESSER * good}
    under = max(less.values(), default=0.0)
    return _told(bench, "short of water", less, under=(under, "flow"), good=(good, "flow"))


def _stops_early(bench: _Bench) -> Telltale:
    """See the gauge stand too high while a float is down: the switch may trip."""
    name = bench.trough
    good = bench.noon.gauge[name]
    settled = bench.settled(_EARLY, is_open=True)
    high = {key: line.pressure[MANIFOLD] for key, line in settled.items()}
    seen = {key: p for key, p in high.items() if p > good + _SEEN}
    return _told(
        bench, "stops early", seen,
        over=(min(good + _SEEN, bench.cut_out), "pressure"),
        good=(good, "pressure"),
        high=(max(seen.values(), default=0.0), "pressure"),
    )  # fmt: skip


def _never_back(bench: _Bench) -> Telltale:
    """See a float down, the line run out, and the gauge stand above cut-in."""
    key = "cut-in under the static pressure"
    stands = max(each.static for each in bench.window.troughs)
    causes = []
    for bad in bench.faulty((key,)).values():
        after = bench.floated(bad)
        if first(after, "pump starts") == inf:
            causes.append(key)
            stands = float(after.pressure[-1])
    return _told(
        bench, "never back", causes, stands=(stands, "pressure"), cut_in=(bench.cut_in, "pressure")
    )


def _falls(bench: _Bench, key: str, causes: tuple[str, ...], *, is_shut: bool) -> Telltale:
    """See the gauge fall, drive off and floats lifted, the manifold's valve shut or open.

    The fall is watched to cut-in, or for ten minutes; of several faults the slowest is told.
    """
    falls: dict[str, tuple[float, float]] = {}
    for cause, worked in bench.worked(causes).items():
        bad = with_floats(bench.faulty((cause,))[cause])
        trace, _ = go_on(worked.still, WATCHED, site=bad, is_valve_shut=is_shut, is_drive_off=True)
        takes, fall = _fallen(trace, bench.cut_in)
        if fall > _SEEN:
            falls[cause] = (takes, fall)
    takes, fall = max(falls.values(), default=(0.0, 0.0))
    return _told(
        bench, key, falls,
        fall=(fall, "pressure"), takes=(takes, "lapse"), cut_in=(bench.cut_in, "pressure"),
    )  # fmt: skip


def _fallen(trace: Trace, to: float) -> tuple[float, float]:
    """Return how long a gauge took to fall to a pressure [s], or was watched, and its fall."""
    p, time = trace.pressure, trace.time
    below = np.flatnonzero(p <= to)
    if not below.size or below[0] == 0:
        return float(time[-1]), float(p[0] - p[-1])
    row = int(below[0])
    at = float(np.interp(-to, [-p[row - 1], -p[row]], [time[row - 1], time[row]]))
    return at, float(p[0] - to)


def _back_at_once(bench: _Bench) -> Telltale:
    """See the pump back as soon as a float goes down: the tank had nothing to give."""
    quick = {}
    for key, bad in bench.faulty(("waterlogged tank", "wrong precharge")).items():
        waits = first(bench.floated(bad), "pump starts")
        if waits < _LESSER * bench.noon.back_after:
            quick[key] = waits
    return _told(
        bench, "back at once", quick,
        waits=(max(quick.values(), default=0.0), "time"),
        good=(bench.noon.back_after, "time"),
    )  # fmt: skip


@attrs.frozen(kw_only=True)
class Card:
    """What stands on a settings card."""

    window: Window  # the operating window of the site
    setting: Setting  # its recommended setting
    site: Site  # the line as it is set, without stock
    trough: str  # the trough whose float is worked: the one that asks for the highest cut-out
    # what the line shows in the strongest and in the weakest sun of the range
    noon: Proof
    haze: Proof
    lies: HeadProfile  # the line with the head along it at noon, that trough filling
    weight: float  # of the water [N/m3], to put pressures on the scale of heights
    # The weakest sun of the range, or under it, in which the pump still reaches cut-out with every
    # float up [W/m2]; in less it keeps running against the shut line: nothing is broken. Nothing
    # for a pump on the mains.
    stops_from: float
    telltales: tuple[Telltale, ...]  # if you see this, do that


def make_card(window: Window) -> Card:
    """Work out the card of a window.

    Raises SiteError where there is no setting to put on it, or where the line, set as recommended,
    does not stop, stay off and restart.
    """
    chosen, bound = window.recommended, window.tightest("cut-out", "above")
    if chosen is None or bound is None or bound.where is None:
        rule = "there is no setting that works; the window tells why"
        raise SiteError("settings card", "", Said("not to be had"), rule)
    trough = bound.where
    stock = {f"trough.{t.name}.herd": None for t in window.site.troughs}
    alone = {"drive.listens_to": "pressure switch"}  # proved with every level sensor's trough low
    site = set_so(window.site, chosen).changed(stock | alone)
    noon, haze = (prove(site, sun, trough) for sun in (window.sun.most, window.sun.least))
    for proof in (noon, haze):
        if not proof.is_sound:
            raise _unproved(proof)
    light = ureg.Quantity(window.sun.most, "W/m^2")
    return Card(
        window=window,
        setting=chosen,
        site=site,
        trough=trough,
        noon=noon,
        haze=haze,
        lies=lay(site, light, [trough]),
        weight=water_at(site.place).weight,
        stops_from=_stops_from(site, window.sun.least, chosen.cut_out),
        telltales=telltales(site, window, (noon, haze), trough),
    )


def _stops_from(site: Site, least: float, cut_out: float) -> float:
    """Find the weakest sun in which the pump reaches cut-out on the shut line [W/m2]."""
    line = Line.of(site)
    if not line.is_solar:
        return 0.0
    return turning_point(lambda sun: line.reach(sun) >= cut_out, 0.0, least)[1]


def _unproved(proof: Proof) -> SiteError:
    """Say what a line that is set as recommended fails to do."""
    if proof.runs_low:
        rule = (
            f"in a sun of {proof.sun:.0f} W/m² the pump draws the well down to its intake, and no "
            "setting of the switch mends that; give the well a smaller pump, or set it deeper"
        )
        return SiteError("settings card", "", Said("not to be had"), rule)
    if not proof.starts:
        fails = "does not start with a float down"
    elif proof.stops_after == inf:
        fails = f"does not stop within {proof.waited / HOUR:.1f} hours of lifting every float"
    elif proof.restarts:
        fails = "starts again with every float up"
    else:
        fails = "does not come back"
    rule = (
        f"set as recommended, in a sun of {proof.sun:.0f} W/m² the pump {fails}; look for a part "
        "that is stated as stuck, cut, shorted or leaking, or wired the wrong way"
    )
    return SiteError("settings card", "", Said("not to be had"), rule)
