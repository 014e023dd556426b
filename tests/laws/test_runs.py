"""What must hold for any run of any site."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit import simulate
from labkit.engine import run as engine_run
from labkit.engine.demand import make_inputs
from labkit.engine.plant import make_plant
from labkit.engine.strain import COUNTED
from labkit.sitefile import demo_site, loads
from labkit.sun import as_sun
from tests.engine.lines import after_starts
from tests.laws.wide import wide_sites
from tests.laws.working import any_sites, arrays, in_si, low_levels, suns, working_sites
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit import Site
    from labkit.trace import Trace


def check(trace: Trace) -> None:
    """Water is found again to the last millilitre, and every number is one."""
    measures = trace.measures()
    assert measures.balance_error <= 1e-6 * measures.pumped + 1e-6
    for name, array in arrays(trace).items():
        assert np.isfinite(array).all(), name
    assert np.all(np.diff(trace.time) >= 0.0)
    assert trace.time[0] == 0.0
    for flow in (trace.pump_flow, trace.returned_flow, trace.relief_flow, trace.leak_flow):
        assert flow.min() >= 0.0
    for name, level in trace.level.items():
        assert level.min() >= -1e-9, name
        assert 0.0 <= trace.opening[name].min() <= trace.opening[name].max() <= 1.0
    assert 0.0 <= trace.speed.min() <= trace.speed.max() <= 1.0
    times = [event.time for event in trace.events]
    assert times == sorted(times)
    assert all(0.0 <= time <= trace.time[-1] for time in times)
    starts, stops = len(trace.times("pump starts")), len(trace.times("pump stops"))
    assert starts - stops in {0, 1}


every_site = st.one_of(any_sites(), wide_sites())
"""Ranches, and sites at the ends of every range, in equal parts."""


def run(text: str, sun: str, long: str) -> Trace:
    """Run a site with every other trough low; one that chatters, till it has started often enough."""
    site = loads(text)
    return simulate(site, long, sun=sun, levels=low_levels(site), until=after_starts(COUNTED))


@given(text=every_site, sun=suns)
@tried(1.2)
def test_water_is_never_lost_and_numbers_stay_numbers(text: str, sun: str) -> None:
    check(run(text, sun, "40 min"))


@pytest.mark.slow
@given(text=every_site, sun=suns)
@tried(200.0)
def test_water_is_never_lost_in_very_many_runs(text: str, sun: str) -> None:
    check(run(text, sun, "3 hour"))


@given(text=working_sites(), sun=suns)
@tried(0.2)
def test_a_run_repeats_itself_to_the_last_bit(text: str, sun: str) -> None:
    one, two = (run(text, sun, "30 min") for _ in range(2))

    assert one.events == two.events
    for (name, a), b in zip(arrays(one).items(), arrays(two).values(), strict=True):
        assert a.tobytes() == b.tobytes(), name


def is_the_same_in_any_room(text: str, sun: str, room: int, long: str) -> None:
    site = loads(text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine_run, "_MOST_CHATTERED", engine_run._MOST_ROWS)
        wide = simulate(site, long, sun=sun, levels=low_levels(site))
        patch.setattr(engine_run, "_ROOM", room)
        narrow = simulate(site, long, sun=sun, levels=low_levels(site))

    assert wide.events == narrow.events
    assert wide.totals.pumped == narrow.totals.pumped
    assert wide.time[-1] == narrow.time[-1]
    _, first = np.unique(narrow.time, return_index=True)
    _, rows = np.unique(wide.time, return_index=True)
    assert wide.pressure[rows].tobytes() == narrow.pressure[first].tobytes()


@given(text=working_sites(), sun=suns, room=st.integers(40, 200))
@tried(0.2)
def test_events_do_not_depend_on_how_rows_are_stored(text: str, sun: str, room: int) -> None:
    """The room for rows only says how often the loop comes up for air. A line that chatters shows
    it within a minute."""
    brief = run(text, sun, "1 min")
    long = "1 min" if len(brief.times("pump starts")) > 20 else "30 min"
    is_the_same_in_any_room(text, sun, room, long)


@pytest.mark.slow
@given(text=every_site, sun=suns, room=st.integers(40, 2000))
@tried(2.0)
def test_nor_do_those_of_a_line_that_starts_however_often(text: str, sun: str, room: int) -> None:
    is_the_same_in_any_room(text, sun, room, "30 min")


def numbers(site: Site) -> dict[str, Any]:
    """All that the loop is given of a site: the plant, and a day of sun and herds."""
    plant, _ = make_plant(site)
    given_to_the_loop: dict[str, Any] = {}
    for name, value in plant._asdict().items():
        if isinstance(value, np.ndarray):
            columns = value.dtype.names or ()
            given_to_the_loop |= {f"{name}.{column}": value[column] for column in columns}
        else:
            given_to_the_loop[name] = np.asarray(value, dtype=np.float64)
    sun = as_sun("700 W/m^2", site).between(0.0, 86_400.0)
    day = make_inputs(site, sun, clock=0.0, duration=86_400.0)
    return given_to_the_loop | {f"day.{name}": value for name, value in day._asdict().items()}


@given(text=any_sites())
@tried(0.3)
def test_a_site_spelled_in_si_gives_the_loop_the_same_numbers(text: str) -> None:
    """A unit changed there and back may move a number by its last bits, and no more."""
    site = loads(text)

    us, metric = numbers(site), numbers(in_si(site))

    assert us.keys() == metric.keys()
    for name, value in us.items():
        assert value == pytest.approx(metric[name], rel=1e-11, abs=1e-14), name


@pytest.mark.parametrize("ranch", ["one_trough", "one_trough_uphill", "three_troughs", "deep_well"])
def test_a_ranch_spelled_in_si_runs_the_same(ranch: str) -> None:
    """Steps are chosen by error estimates that feel the last bits; their own error then shows."""
    site = demo_site(ranch)

    us, metric = (
        simulate(spelling, "2 hour", sun="800 W/m^2", levels=low_levels(site))
        for spelling in (site, in_si(site))
    )

    assert [(e.kind, e.where) for e in us.events] == [(e.kind, e.where) for e in metric.events]
    times = [[event.time for event in trace.events] for trace in (us, metric)]
    assert times[0] == pytest.approx(times[1], rel=1e-4, abs=0.05)
    assert us.measures().pumped == pytest.approx(metric.measures().pumped, rel=1e-6)
    assert us.pressure[-1] == pytest.approx(metric.pressure[-1], rel=1e-4)
