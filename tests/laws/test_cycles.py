"""How leak and tank set the cycle of a shut line."""

from __future__ import annotations

from statistics import fmean
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from labkit import simulate
from labkit.engine.pieces import in_pieces
from labkit.engine.plant import make_plant
from labkit.units import si
from tests.customary import PSI
from tests.engine.lines import DISPLACEMENT, after_starts, line
from tests.strategies import tried

if TYPE_CHECKING:
    from labkit import Site
    from labkit.engine.network import Plant

leaks = st.floats(0.03, 1.0)
"""Leaks [gpm at 30 psi], up to an eighth of what the pump lifts; see the test of where that ends."""

ENOUGH = 1000
"""Starts within an hour from which a mean period is known well enough."""


@st.composite
def shapes(draw: st.DrawFn) -> dict[str, Any]:
    """Shut lines: long or short, high or low, either pump, quick or slow drives, any two points."""
    cut_in = draw(st.floats(12.0, 25.0))
    shape: dict[str, Any] = {
        "pressure_switch": {
            "cut_in": f"{cut_in} psi",
            "cut_out": f"{cut_in + draw(st.floats(8.0, 25.0))} psi",
        },
        "place__elevation": f"{draw(st.floats(0.0, 9000.0))} ft",
        "trough__lane__pipe__length": f"{draw(st.floats(30.0, 4000.0))} ft",
        "trough__lane__pipe__wave_speed": f"{draw(st.floats(200.0, 400.0))} m/s",
        "drive__soft_start": f"{draw(st.floats(0.2, 12.0))} s",
        "drive__ramp_down": f"{draw(st.floats(0.2, 6.0))} s",
    }
    if draw(st.booleans()):
        shape["pump"] = DISPLACEMENT | {"rated_flow": "8 gpm", "torque_limit": 4.0}
    return shape


@st.composite
def tanks(draw: st.DrawFn) -> dict[str, Any]:
    """Tanks without their size: any charge and any air."""
    return {
        "precharge": f"{draw(st.floats(3.0, 30.0))} psi",
        "air_exponent": draw(st.floats(1.0, 1.4)),
    }


def with_leak(shape: dict[str, Any], leak: float, tank: dict[str, Any], gallons: float) -> Site:
    """The line with a leak at its far end, and a tank if there is any to speak of."""
    return line(
        **shape,
        leaks=({"at": "lane", "size": f"{leak} gpm at 30 psi"},),
        pressure_tank=None if gallons < 0.02 else tank | {"volume": f"{gallons} gal"},
    )


def periods(site: Site, hours: float) -> list[float]:
    """Times from start to start [s], without the first, by steps a hundred times finer than usual."""
    trace = simulate(
        site, f"{hours} hour", sun="1000 W/m^2", tolerance=2e-6, until=after_starts(ENOUGH)
    )
    return [float(gap) for gap in np.diff(trace.times("pump starts"))[1:]]


def period(site: Site) -> float:
    """Mean time from start to start [s], of a line that has had time for it."""
    for hours in (0.5, 5.0):  # a quick line need not be watched for long
        if found := periods(site, hours):
            return fmean(found)
    assume(False)
    raise AssertionError


def wave(site: Site) -> float:
    """Time [s] of a wave to the float and back, where the water's inertia shows; else none."""
    plant, _ = make_plant(site)
    if in_pieces(plant) is plant:
        return 0.0
    pipe = site.troughs[0].pipe
    assert pipe.wave_speed is not None
    return 2.0 * si(pipe.length) / si(pipe.wave_speed)


@given(leak=leaks, more=st.floats(1.02, 3.0), gallons=st.floats(0.0, 5.0))
@tried(0.2)
def test_a_bigger_leak_never_lengthens_the_cycle(leak: float, more: float, gallons: float) -> None:
    """On one line, with a tank charged under cut-in."""
    bigger, tank = min(leak * more, 1.0), {"precharge": "18 psi"}
    assume(bigger > 1.01 * leak)

    assert period(with_leak({}, bigger, tank, gallons)) < period(with_leak({}, leak, tank, gallons))


def test_past_half_of_what_the_pump_lifts_a_bigger_leak_lengthens_the_cycle() -> None:
    """Where the law ends: a cycle is V / leak and V / (pump - leak), one after the other, and the sum
    is least where the leak is half of the pump's flow. This pump lifts 11 gpm at cut-in and 9 at
    cut-out, so 5 gpm is about half; near 8 gpm at 30 psi the leak takes all that the pump lifts at
    cut-out, and there is no cycle any more."""
    tank = {"precharge": "18 psi"}
    shape = {"drive__soft_start": "0.2 s", "drive__ramp_down": "0.2 s"}

    small, half, more = (
        periods(with_leak(shape, leak, tank, 10.0), 1.0)[0] for leak in (3.0, 5.0, 6.5)
    )

    assert half < 0.9 * small
    assert half < 0.95 * more


@given(
    shape=shapes(), tank=tanks(), leak=leaks, gallons=st.floats(0.0, 8.0), more=st.floats(0.05, 8.0)
)
@tried(0.2)
def test_a_bigger_tank_never_shortens_the_cycle(
    shape: dict[str, Any], tank: dict[str, Any], leak: float, gallons: float, more: float
) -> None:
    """Of the same charge: a tank charged over the cut-out holds nothing and changes nothing.

    Where the water's inertia shows, a wave meets the switch at one of its dips, and a little more
    water in the tank may let it meet the dip before: not more than one wave's way out and back.
    """
    small, big = (with_leak(shape, leak, tank, size) for size in (gallons, gallons + more))

    assert period(big) > period(small) * (1.0 - 1e-4) - max(wave(small), wave(big))


def held(plant: Plant, h: float) -> float:
    """Water that the line and its tank give up per metre of head [m2], by Boyle's law."""
    C = float(plant.nodes.C.sum())
    p, charge = plant.weight * h, plant.tank_precharge
    if plant.tank_volume > 0.0 and p > charge:
        air = plant.tank_volume * ((charge + plant.p_air) / (p + plant.p_air)) ** (
            1.0 / plant.tank_exponent
        )
        C += plant.weight * air / (plant.tank_exponent * (p + plant.p_air))
    return C


@given(
    tank=tanks(), gallons=st.floats(0.0, 8.0), leak=leaks, exponent=st.floats(0.5, 1.5),
    elevation=st.floats(0.0, 9000.0), cut_in=st.floats(12.0, 25.0), gap=st.floats(8.0, 20.0),
)  # fmt: skip
@tried(0.2)
def test_a_shut_line_leaks_down_as_the_integral_says(
    tank: dict[str, Any], gallons: float, leak: float, exponent: float, elevation: float,
    cut_in: float, gap: float,
) -> None:  # fmt: skip
    """Source: C(h) dh/dt = -k h**n, so t = integral of C / (k h**n), from where the pump stopped to
    cut-in: the greater part of a cycle. On a line of 20 ft, whose own friction is nothing."""
    site = line(
        place__elevation=f"{elevation} ft",
        pressure_switch={"cut_in": f"{cut_in} psi", "cut_out": f"{cut_in + gap} psi"},
        trough__lane__pipe__length="20 ft",
        trough__lane__pipe__wave_speed="100 m/s",
        pressure_tank=None if gallons < 0.02 else tank | {"volume": f"{gallons} gal"},
        leaks=({"at": "manifold", "size": f"{leak} gpm at 30 psi", "exponent": exponent},),
    )
    plant, _ = make_plant(site)
    trace = simulate(site, "4 hour", sun="1000 W/m^2", tolerance=2e-5)
    stops, resets = trace.times("pump stops"), trace.times("switch resets")
    assume(len(stops) > 1)
    later = [time for time in resets if time > stops[1]]
    assume(bool(later))
    k, n = float(plant.leaks[0].k), float(plant.leaks[0].n)
    top, bottom = (p / plant.weight for p in (trace.at(stops[1]).pressure, cut_in * PSI))
    assume(top > bottom)  # a bare line may be down at cut-in before its pump has come to rest
    kink = plant.tank_precharge / plant.weight

    wanted, _ = quad(
        lambda h: held(plant, h) / (k * h**n), bottom, top,
        points=[kink] if bottom < kink < top else None, limit=200,
    )  # fmt: skip

    assert later[0] - stops[1] == pytest.approx(wanted, rel=1e-3, abs=2e-3)
