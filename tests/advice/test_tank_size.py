"""Tank sizes against published drawdowns and the rule of a gallon a minute, and in a run."""

from __future__ import annotations

from math import inf, isnan, nan, pi
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

import pytest
from scipy.integrate import quad

from labkit import Site, SiteError, demo_site, tank_size
from labkit.advice.tank_size import _cycle_of, _usual
from tests.customary import FOOT, GALLON, GPM, INCH, PSI
from tests.engine.lines import DISPLACEMENT, line

if TYPE_CHECKING:
    from labkit.trace import Trace

SEA = {"latitude": "40 deg", "longitude": "-100 deg", "elevation": "0 ft"}


def set_at(cut_in: float, cut_out: float, **changes: object) -> Site:
    switch = {"cut_in": f"{cut_in} psi", "cut_out": f"{cut_out} psi"}
    return line(pressure_switch=switch, place=SEA, **changes)


@pytest.mark.parametrize(
    ("cut_in", "cut_out", "factor"),
    [(20.0, 40.0, 0.3446), (30.0, 50.0, 0.2953), (40.0, 60.0, 0.2579)],
)
def test_drawdown_is_the_published_share(cut_in: float, cut_out: float, factor: float) -> None:
    """Source: factors for a charge two psi under cut-in at sea level (the
    formula of a trade column on tank sizing, with 14.7 psia). Four digits are printed."""
    size = tank_size(set_at(cut_in, cut_out))

    assert size.drawdown / (size.usual * size.count) == pytest.approx(factor, abs=1.5e-4)
    assert size.precharge == pytest.approx((cut_in - 2.0) * PSI)


def test_a_tank_gives_more_on_high_ground() -> None:
    """Source: a trade column on tank sizing: 85 gal, 30/50, 28 psi charge: 25.1 gal at sea level, 26.1 at 6,000 ft
    (11.8 psia; exact 26.2, the table rounds down)."""
    low = tank_size(set_at(30.0, 50.0))
    high = tank_size(set_at(30.0, 50.0).changed({"place.elevation": "6000 ft"}))

    for size, printed in ((low, 25.1), (high, 26.1)):
        share = size.drawdown / (size.usual * size.count)
        assert 85.0 * share == pytest.approx(printed, abs=0.15)


def test_a_minute_takes_a_gallon_of_drawdown_for_each_gallon_a_minute() -> None:
    """Source: trade columns. A displacement pump without slip moves the
    same flow at every pressure: 4 gpm, so 4 gal over the minute, less what the line itself takes."""
    pump = DISPLACEMENT | {"slip": 0.0, "torque_limit": 4.0}
    size = tank_size(set_at(20.0, 40.0, pump=pump, trough__lane__pipe__wave_speed="1200 m/s"))

    assert size.governs == "run"
    needed = size.volume * size.drawdown / (size.usual * size.count)
    assert needed / GALLON == pytest.approx(4.0, abs=0.02)
    assert size.run == pytest.approx(size.drawdown / (4.0 * GPM), rel=0.005)


def test_a_leak_s_cycle_is_the_drawdown_over_the_leak() -> None:
    """Closed form, integrated by scipy: Boyle's law for the tank, an orifice for the leak, 4 gpm
    from the pump; the line itself holds half a percent."""
    pump = DISPLACEMENT | {"slip": 0.0, "torque_limit": 4.0}
    site = set_at(20.0, 40.0, pump=pump, trough__lane__pipe__wave_speed="1200 m/s")

    size = tank_size(site, leak="0.2 gpm at 30 psi", cycle="2 hour", least_run="1 s")

    def leak(p: float) -> float:
        return float(0.2 * GPM * (p / (30.0 * PSI)) ** 0.5)

    def given_up(p: float) -> float:
        air = (18.0 + 14.696) * PSI / (p + 14.696 * PSI) ** 2
        return float(size.usual * size.count * air)

    span = (20.0 * PSI, 40.0 * PSI)
    fall, _ = quad(lambda p: given_up(p) / leak(p), *span)
    rise, _ = quad(lambda p: given_up(p) / (4.0 * GPM - leak(p)), *span)
    assert size.governs == "leak"
    assert size.cycle >= 7200.0
    assert size.cycle == pytest.approx(fall + rise, rel=0.005)


@pytest.mark.parametrize("name", ["one_trough", "three_troughs", "deep_well"])
@pytest.mark.parametrize(
    ("leak", "cycle"), [("0.1 gpm at 30 psi", "30 min"), ("0.7 gpm at 30 psi", "1 hour")]
)
def test_a_run_confirms_the_size(name: str, leak: str, cycle: str) -> None:
    size = tank_size(demo_site(name), leak=leak, cycle=cycle)

    assert size.simulated_cycle == pytest.approx(size.cycle, rel=0.03)
    assert size.simulated_run >= size.run >= 60.0  # the soft start lengthens a run
    assert size.simulated_cycle >= {"30 min": 1800.0, "1 hour": 3600.0}[cycle]


def test_nothing_cycles_where_nothing_leaks() -> None:
    size = tank_size(demo_site("one_trough"))

    assert size.cycle == inf
    assert isnan(size.simulated_cycle)


def test_several_tanks_where_one_is_too_small() -> None:
    size = tank_size(demo_site("one_trough"), leak="1 gpm at 30 psi", cycle="1 hour")

    assert size.count == 2
    assert size.usual == pytest.approx(120.0 * GALLON)
    assert size.usual < size.volume <= 2.0 * size.usual


def test_a_line_that_holds_enough_needs_no_tank() -> None:
    size = tank_size(demo_site("one_trough"), least_run="1 s")

    assert (size.governs, size.count, size.drawdown) == ("line", 0, 0.0)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"cycle": "1 hour"}, "run: cycle is '1 hour'; nothing leaks"),
        ({"leak": "a lot"}, "run: leak is 'a lot'; write a flow at a pressure or a hole"),
        ({"least_run": "60"}, "run: least_run is '60'; it has no unit; write a time"),
        ({"least_run": "0 s"}, "run: least_run is 0 s; it must be more than 0 s"),
        ({"sun": "100 W/m^2"}, "switch: cut_out is 30 psi; the pump cannot reach it in a sun of"),
    ],
)  # fmt: skip
def test_what_cannot_be_sized_is_said(asked: dict[str, str], sentence: str) -> None:
    with pytest.raises(SiteError) as problem:
        tank_size(demo_site("one_trough"), **asked)

    assert sentence in str(problem.value)


def test_the_sum_behind_a_size_adds_up() -> None:
    """Closed form, integrated by scipy: on the average between the points the leak takes its hole's
    flow, weighted by what tank and pipe give up at each pressure, and the pump 4 gpm less that."""
    pump = DISPLACEMENT | {"slip": 0.0, "torque_limit": 4.0}
    site = set_at(20.0, 40.0, pump=pump, trough__lane__pipe__wave_speed="1200 m/s")

    size = tank_size(site, leak="0.2 gpm at 30 psi", cycle="2 hour")

    need, rest = size.for_run, size.for_leak
    assert rest is not None
    # what 400 ft of 2.067 in (2 in PE SIDR 15) take: V dp / (rho a^2), for a wave of 1200 m/s
    pipe = 400.0 * FOOT * pi / 4.0 * (2.067 * INCH) ** 2
    stretch = pipe * 20.0 * PSI / (1000.0 * 1200.0**2)
    assert (need.stretch, rest.stretch) == pytest.approx((stretch, stretch), rel=0.01)
    assert need.span == pytest.approx(60.0)
    assert size.governs == "leak"
    for one in (need, rest):
        assert one.stretch < 0.01 * one.drawdown  # the stiff pipe of this line
        assert one.share == pytest.approx(0.3446, abs=1.5e-4)  # the factor published for 20/40
    given_up = [
        quad(lambda p, power: (p + 14.696) ** -2 * p**power, 20.0, 40.0, (power,))[0]
        for power in (0.0, -0.5)
    ]
    leak = 0.2 * GPM * given_up[0] / given_up[1] / 30.0**0.5
    assert rest.flow == pytest.approx(leak, rel=0.01)
    assert need.flow == pytest.approx(4.0 * GPM - leak, rel=0.01)
    assert max(need.volume, rest.volume) == size.volume


@pytest.mark.parametrize(
    ("gallons", "size", "count"),
    [(0.01, 2, 1), (9.99, 10, 1), (10.0, 10, 1), (10.01, 20, 1), (81.0, 120, 1), (120.0, 120, 1),
     (120.1, 120, 2), (240.0, 120, 2), (240.1, 120, 3)],
)  # fmt: skip
def test_the_usual_tank_is_the_next_size_up(gallons: float, size: int, count: int) -> None:
    """Sizes of the trade from 2 to 120 gal; of the largest there may be several."""
    assert _usual(gallons * GALLON) == pytest.approx((size * GALLON, count))


@pytest.mark.parametrize(
    ("starts", "cycle"), [([10.0, 100.0, 400.0], 300.0), ([10.0, 100.0], nan), ([], nan)]
)
def test_the_first_start_from_an_empty_line_is_no_part_of_a_cycle(
    starts: list[float], cycle: float
) -> None:
    trace = cast("Trace", SimpleNamespace(times=lambda _: starts))

    assert _cycle_of(trace) == pytest.approx(cycle, nan_ok=True)


def test_without_a_cycle_there_is_one_sum() -> None:
    assert tank_size(demo_site("one_trough")).for_leak is None
