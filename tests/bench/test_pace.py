"""How our clock compares with other people's: ratios of two times taken in one run, turn by turn.

To read the figures: ``pytest -m bench -s tests/bench``. Times themselves say as much about the
machine as about the engine, so only ratios are asserted; they are times of the processor, for on a
busy machine long work is interrupted more than short. Ours is `simulate` from a Site to a Trace,
rows and all; the others are timed from the first step to the last.
"""

from __future__ import annotations

from functools import partial
from math import inf
from statistics import median
from time import thread_time
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from labkit import Site, simulate
from labkit.engine.demand import visit_flow
from labkit.engine.plant import make_plant, shut_volume
from labkit.sitefile import demo_site, loads
from labkit.sun import array_power, as_sun
from labkit.units import si
from tests.bench.epanet_day import Day, run_day
from tests.bench.plain import starts
from tests.reference.test_time_integration import LINE, reference, site_with

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from labkit.trace import Trace

pytestmark = pytest.mark.bench

SUN = "800 W/m^2"
NEAR = 5e-4
"""The period must be right to this share, or there is nothing to compare."""


def seconds(work: Callable[[], Any]) -> float:
    start = thread_time()
    work()
    return thread_time() - start


def ratio(ours: Callable[[], Any], theirs: Callable[[], Any], *, turns: int) -> float:
    """Their time over ours, each the median of some turns taken one after the other.

    Ours is so short that each turn takes the median of five.
    """
    ours()
    both = [(median(seconds(ours) for _ in range(5)), seconds(theirs)) for _ in range(turns)]
    return median(b for _, b in both) / median(a for a, _ in both)


@pytest.fixture(autouse=True)
def unheard(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave lines in one piece, as the others take them: they know no waves, or only slowly."""
    monkeypatch.setattr("labkit.engine.pieces.HEARS_AFTER", inf)


def say(words: str) -> None:
    print(f"\n{words}")  # noqa: T201


# --- scipy


def hour() -> Site:
    """A line whose float leaks so that the pump runs 99 times in an hour."""
    return site_with({"trough.north.float_valve.seat_leak": "1.182 gpm at 40 psi"})


def by_scipy(site: Site, minutes: float, **options: Any) -> list[float]:
    """Run the same line by `solve_ivp` on plain Python floats; give the pump's starts [s]."""
    plant, _ = make_plant(site)
    power = float(array_power(as_sun(SUN, site), site.array)[0] * site.drive.efficiency)
    V = [shut_volume(trough) for trough in site.troughs]
    return starts(plant, V, power, 60.0 * minutes, **options)


def last_period(starts: Any) -> float:
    return float(np.diff(starts)[-1])


def test_the_hour_has_99_cycles_and_its_period_is_right() -> None:
    """Source: LSODA at rtol 1e-9, its equations in plain floats and once more as in `hybrid.py`."""
    found = simulate(hour(), "1 hour", sun=SUN).times("pump starts")
    wanted = last_period(by_scipy(hour(), 3.0, rtol=1e-9, atol=1e-12, max_step=5.0))
    again = reference(hour(), minutes=1.5).times("pump starts")

    say(f"{len(found)} cycles, period off by {last_period(found) / wanted - 1.0:+.1e}")
    assert len(found) == 99
    assert last_period(again) == pytest.approx(wanted, rel=1e-7)
    assert last_period(found) == pytest.approx(wanted, rel=NEAR)


@pytest.mark.parametrize(
    ("method", "options", "turns", "at_least"),
    [
        ("LSODA", {"rtol": 1e-6, "atol": 1e-6}, 3, 37.0),
        ("Radau", {"rtol": 1e-8, "atol": 1e-8}, 1, 200.0),
    ],
    ids=["LSODA", "Radau"],
)
def test_the_hour_by_scipy(
    method: str, options: dict[str, float], turns: int, at_least: float
) -> None:
    """`at_least` is two thirds of what is usually seen: machines differ."""
    site = hour()
    runs: list[list[float]] = []
    found = ratio(
        lambda: simulate(site, "1 hour", sun=SUN),
        lambda: runs.append(by_scipy(site, 60.0, method=method, **options)),
        turns=turns,
    )

    say(f"{method}, rtol {options['rtol']:g}: {found:.0f} times our time")
    assert len(runs[0]) == 99
    assert found >= at_least


# --- EPANET

STEADY: dict[str, object] = {
    "well.drawdown": "0 ft/gpm",  # it knows none
    "array.rated_power": "9000 W",  # so that the pump turns at full speed
}


def by_epanet(site: Site, folder: Path) -> tuple[Trace, Day, float]:
    """Run a day by us and by EPANET: our trace, their day, and their time over ours."""

    def ours() -> Trace:
        return simulate(site, "1 day", sun="1000 W/m^2", start="00:00")

    trace, took, days = ours(), [], []
    for _ in range(3):
        took.append(seconds(ours))
        days.append(run_day(site, folder))
    return trace, days[0], median(day.took for day in days) / median(took)


TANK = {"volume": "20 gal", "precharge": "28 psi"}


@pytest.mark.parametrize(
    ("tank", "leak", "at_least"),
    [(TANK, "0.1 gpm at 40 psi", 5.0), (TANK, "0.9 gpm at 40 psi", 1.5), (None, "0.9 gpm at 40 psi", 0.0)],
    ids=["drip", "leak", "leak without a tank, to read"],
)  # fmt: skip
def test_a_leaking_day_by_epanet(
    tank: dict[str, str] | None, leak: str, at_least: float, tmp_path: Path
) -> None:
    """Its cost goes by the second, ours by the cycle: a faulty line that never rests is slower."""
    changes = {"pressure_tank": tank, "trough.north.float_valve.seat_leak": leak}
    site = site_with({**STEADY, **changes})

    trace, theirs, found = by_epanet(site, tmp_path)

    cycles = len(trace.times("pump starts"))
    say(
        f"EPANET, {theirs.steps} steps, {theirs.starts} cycles to our {cycles}: {found:.1f} times our time"
    )
    assert theirs.steps >= 86_400
    assert theirs.starts > 10
    assert found >= at_least


def test_a_day_of_herds_by_epanet(tmp_path: Path) -> None:
    """The demo ranch of three troughs, sound, from one midnight to the next; its herds come to drink.

    Both must pump the same water, or there is nothing to compare. What is drunk is put back, all
    but the last of it: a float shuts at once in EPANET and throttles over its band in ours.
    """
    site = demo_site("three_troughs").changed(STEADY)
    drunk = sum(len(trough.herd.visits) * si(trough.herd.visit_time) * visit_flow(trough, site)
                for trough in site.troughs if trough.herd is not None)  # fmt: skip

    trace, theirs, found = by_epanet(site, tmp_path)

    cycles = len(trace.times("pump starts"))
    say(
        f"three troughs, {theirs.steps} steps, {theirs.starts} cycles to our {cycles}: {found:.0f} times our time"
    )
    say(f"drunk {drunk:.3f}, ours pumped {trace.totals.pumped:.3f}, EPANET {theirs.pumped:.3f} m3")
    assert theirs.steps >= 86_400
    assert trace.totals.drunk == pytest.approx(drunk, rel=1e-6)
    assert trace.totals.pumped == pytest.approx(drunk, rel=0.02)
    assert theirs.pumped == pytest.approx(drunk, rel=0.02)
    assert found >= 5.0


# --- growth


def line_of(troughs: int) -> Site:
    """A trunk with some troughs along it, all with worn seats that leak as much together."""
    one = """
[[pipe]]
from = "{up}"
to = "tee {k}"
length = "{length} ft"
size = "1 1/4 in PE SIDR 15"
rise = "0 ft"
[[trough]]
name = "trough {k}"
volume = "200 gal"
depth = "24 in"
pipe = {{ from = "tee {k}", length = "{length} ft", size = "1 in PE SIDR 15", rise = "0 ft" }}
float_valve = {{ flow = "6 gpm at 20 psi", seat_leak = "{leak} gpm at 40 psi" }}
"""
    text = LINE.split("[[pipe]]")[0]
    for k in range(troughs):
        up = "manifold" if k == 0 else f"tee {k - 1}"
        text += one.format(up=up, k=k, length=2000 / troughs, leak=0.8 / troughs)
    return loads(text)


def test_cost_by_troughs() -> None:
    """No trough may cost more than the ones before."""
    sites = {troughs: line_of(troughs) for troughs in (1, 2, 4, 8, 16, 32)}
    cycles = {
        troughs: len(simulate(site, "1 hour", sun=SUN).times("pump starts"))
        for troughs, site in sites.items()
    }
    assert min(cycles.values()) > 20
    took = dict.fromkeys(sites, inf)
    for _ in range(5):  # in turns: what else the processor does comes and goes
        for troughs, site in sites.items():
            once = seconds(partial(simulate, site, "1 hour", sun=SUN))
            took[troughs] = min(took[troughs], once)
    costs = {troughs: took[troughs] / cycles[troughs] for troughs in sites}
    for troughs, cost in costs.items():
        say(f"{troughs} troughs: {cycles[troughs]} cycles, {cost / costs[1]:.2f} times one trough")

    assert costs[32] <= 32.0 * costs[1]
    assert costs[32] <= 2.5 * costs[16]


def test_cost_by_cycles() -> None:
    """No cycle may cost more than the ones before."""
    site, costs = hour(), {}
    for cycles in (10, 100, 1000, 10_000):
        duration = f"{cycles * 3600 / 99:.0f} s"
        trace = simulate(site, duration, sun=SUN)
        turns = 5 if cycles < 10_000 else 1  # long enough to be no chance
        took = median(seconds(partial(simulate, site, duration, sun=SUN)) for _ in range(turns))
        found = len(trace.times("pump starts"))
        assert found == pytest.approx(cycles, rel=0.1)
        costs[cycles] = took / found
        say(f"{found} cycles: {costs[cycles] / costs[10]:.2f} times the cost of one among ten")

    assert costs[10_000] <= 1.5 * costs[100]
    assert costs[10_000] <= costs[10]
