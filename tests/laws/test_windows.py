"""Laws of the operating window: how its bounds answer sun, array, height, pipe and pump."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from labkit.advice.bounds import RUNNING, STATIC, lower_bounds, room_of, upper_bounds
from labkit.advice.line import Line, sun_range
from labkit.advice.window import bare_window
from labkit.errors import SiteError
from labkit.sitefile import dumps, loads
from labkit.units import si
from tests.laws.working import working_sites
from tests.reference.test_long_lines import B
from tests.reference.test_long_lines import site as long_line
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit import Site
    from labkit.advice.line import SunRange
    from labkit.advice.setting import Room
    from labkit.advice.window import Window

PASCALS = 20.0
"""Rounding and the solver's tolerance of a few micrometres of head."""

FEW = tried(0.2)


def window(site: Site, low: float = 250.0, high: float = 1000.0) -> Window:
    try:
        return bare_window(site, low, high)
    except SiteError:
        assume(False)
        raise


class Settled(NamedTuple):
    """What of a window asks for no run: what keeps the two points up [Pa], and how far the pump goes."""

    sun: SunRange
    static: dict[str | None, float]
    running: dict[str | None, float]
    dead_head: tuple[float, float]


def settled(site: Site, low: float = 250.0, high: float = 1000.0) -> Settled:
    line = Line.of(site)
    try:
        sun = sun_range(line, low, high)
    except SiteError:
        assume(False)
        raise
    found = list(lower_bounds(line, sun))
    static, running = (
        {b.where: b.pressure for b in found if b.name == n} for n in (STATIC, RUNNING)
    )
    return Settled(sun, static, running, (line.reach(sun.least), line.reach(sun.most)))


def room(site: Site, low: float, high: float) -> Room:
    """The room for the two points, without all else that a window tells."""
    line = Line.of(site)
    try:
        sun = sun_range(line, low, high)
    except SiteError:
        assume(False)
        raise
    return room_of([*lower_bounds(line, sun), *upper_bounds(line, sun)])


def no_wider_in_more_sun(text: str, low: float, more: float) -> None:
    site = loads(text)

    found = window(site, low, low + more)
    narrow, wide = room(site, low, low + 0.5 * more), found.room

    assert wide.floor >= narrow.floor - PASCALS
    assert wide.ceiling <= narrow.ceiling + PASCALS
    assert wide.cut_in_above == narrow.cut_in_above
    without_runs = settled(site, low, low + more)
    assert wide.floor == max(0.0, *without_runs.running.values())
    assert wide.cut_in_above == max(0.0, *without_runs.static.values())
    assert found.dead_head == without_runs.dead_head


SWINGS = dumps(
    long_line(B, 8000, 0).changed(
        {
            "array.rated_power": "700 W",
            "trough.far.float_valve.holding_pressure": "50 psi",
        }
    )
)
"""A mile and a half of bare pipe. Waves are left over as it meets its cut-out, and stand otherwise
in every sun: the strongest alone would leave 3 psi more room than a weaker one does."""

suns = {"low": st.floats(200.0, 600.0), "more": st.floats(0.0, 400.0)}
"""The weakest sun, and how much stronger the strongest may be [W/m2]."""


@tried(0.08)
@given(text=working_sites(), **suns)
@example(text=SWINGS, low=250.0, more=750.0)
def test_a_wider_range_of_sun_never_widens_the_window(text: str, low: float, more: float) -> None:
    """Few, for a long line of many troughs takes seconds to be stopped forty times over."""
    no_wider_in_more_sun(text, low, more)


@pytest.mark.slow
@tried(1.0)
@given(text=working_sites(), **suns)
def test_nor_does_it_on_many_lines(text: str, low: float, more: float) -> None:
    no_wider_in_more_sun(text, low, more)


@FEW
@given(text=working_sites(), **suns)
@example(text=SWINGS, low=250.0, more=750.0)
def test_nor_does_it_spare_any_part_of_the_line_as_the_pump_stops(
    text: str, low: float, more: float
) -> None:
    """And every part is asked for what stands there once the whole line is at the cut-out."""
    line = Line.of(loads(text))
    few, many = (settled(loads(text), low, low + share * more).sun for share in (0.5, 1.0))
    cut_out = line.plant.p_cut_out

    narrow, wide = line.hardest_stop(few, cut_out), line.hardest_stop(many, cut_out)

    assert narrow.is_locked <= wide.is_locked
    for name, peak in wide.peak.items():
        assert peak >= narrow.peak[name] - PASCALS
        assert peak >= cut_out - line.plant.weight * line.layout.elevations[name] - PASCALS


@FEW
@given(text=working_sites(), factor=st.floats(1.0, 3.0))
def test_more_array_lifts_running_pressure_and_dead_head(text: str, factor: float) -> None:
    site = loads(text)
    watts = min(si(site.array.rated_power) * factor, 20_000.0)

    less, more = settled(site), settled(site.changed({"array.rated_power": f"{watts} W"}))

    assume(less.sun.least == more.sun.least)  # a drive that starts earlier is asked for more
    for where, pressure in less.running.items():
        assert more.running[where] >= pressure - PASCALS
    assert more.dead_head[0] >= less.dead_head[0] - PASCALS
    assert more.dead_head[1] >= less.dead_head[1] - PASCALS


@FEW
@given(text=working_sites(), feet=st.floats(0.0, 40.0), which=st.integers(0, 7))
def test_a_higher_trough_lifts_its_static_and_its_running_pressure(
    text: str, feet: float, which: int
) -> None:
    site = loads(text)
    trough = site.troughs[which % len(site.troughs)]
    rise = si(trough.pipe.rise) + 0.3048 * feet
    assume(rise <= si(trough.pipe.length))
    try:
        higher = site.changed({f"trough.{trough.name}.pipe.rise": f"{rise} m"})
    except SiteError:  # steeper than its pipe is long, beyond the last point of its profile
        assume(not trough.pipe.profile)
        raise

    before, after = settled(site), settled(higher)

    assert after.static[trough.name] >= before.static[trough.name] - PASCALS
    assert after.running[trough.name] >= before.running[trough.name] - PASCALS
    shuts = all(t.float_valve.position != "always open" for t in site.troughs)
    holds = all(t.float_valve.holding_pressure is None for t in site.troughs)
    if shuts and holds and not site.leaks:  # else some height lies in what the shut line lets by
        seat = trough.float_valve.seat_leak
        assume(seat == type(trough.float_valve)(flow="1 gpm at 20 psi").seat_leak)
        assert abs(after.dead_head[0] - before.dead_head[0]) <= PASCALS


@FEW
@given(text=working_sites(), factor=st.floats(1.0, 2.0), which=st.integers(0, 7))
def test_a_longer_run_lifts_the_running_pressure(text: str, factor: float, which: int) -> None:
    """Without leaks: a longer run of the same rise is less steep, and so lays its leak higher or lower.

    Fittings are spread along their run. With a vented crest only those before it count, and they
    would be fewer on a longer run, were there not more of them in all.
    """
    site = loads(text).changed({"leaks": ()})
    trough = site.troughs[which % len(site.troughs)]
    length = si(trough.pipe.length) * factor
    run = f"trough.{trough.name}.pipe"
    fittings = trough.pipe.fittings * factor
    longer = site.changed({f"{run}.length": f"{length} m", f"{run}.fittings": fittings})

    before, after = settled(site), settled(longer)

    assert after.running[trough.name] >= before.running[trough.name] - PASCALS


@FEW
@given(text=working_sites(), lower=st.floats(0.0, 60.0))
def test_a_deeper_well_lowers_the_dead_head(text: str, lower: float) -> None:
    site = loads(text)
    level = si(site.well.static_level) + 0.3048 * lower
    assume(level < si(site.well.intake_depth))

    before, after = settled(site), settled(site.changed({"well.static_level": f"{level} m"}))

    assert after.dead_head[0] <= before.dead_head[0] + PASCALS


@FEW
@given(text=working_sites())
def test_the_advice_lies_within_the_bounds(text: str) -> None:
    found = window(loads(text))

    if found.recommended is not None:
        chosen = found.recommended
        assert chosen.margin > 0.0
        assert all(bound.holds(chosen.cut_in, chosen.cut_out) for bound in found.bounds)
        assert found.judged is not None
        assert found.judged.works
        assert 0.0 <= chosen.precharge < chosen.cut_in < chosen.cut_out
