"""Every flow rises with the head that drives it, and every slope is that of its flow."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from labkit.physics import GRAVITY
from labkit.physics.pipe import (
    DARCY_WEISBACH,
    HAZEN_WILLIAMS,
    LINEAR_BELOW,
    drag,
    friction_flow,
    heavy_flow,
    run_flow,
)
from labkit.physics.pump import Centrifugal, Displacement, Duty, centrifugal, displacement
from labkit.physics.tank import water_volume
from labkit.physics.valve import float_opening, forced_opening, opening_flow, relief_flow

if TYPE_CHECKING:
    from collections.abc import Callable

WEIGHT = 999.1 * GRAVITY

bores = st.floats(0.018, 0.06)
lengths = st.floats(0.5, 5000.0)
losses = st.floats(-6.0, 3.0).map(lambda x: float(10.0**x))
viscosities = st.floats(0.7e-6, 1.8e-6)
roughnesses = st.sampled_from([0.0, 1.5e-6, 5e-5])
laws = st.sampled_from([DARCY_WEISBACH, HAZEN_WILLIAMS])


def is_slope(
    function: Callable[[float], tuple[float, float]], x: float, step: float, *, rel: float = 2e-4
) -> None:
    """Hold a returned slope between the two one-sided differences (they part at a kink)."""
    low, here, high = function(x - step)[0], function(x)[0], function(x + step)[0]
    sides = ((here - low) / step, (high - here) / step)
    noise = 1e-9 * abs(here) / step + rel * max(map(abs, sides)) + 1e-300
    slope = function(x)[1]
    assert min(sides) - noise <= slope <= max(sides) + noise, (sides, slope)


def friction(
    L: float, D: float, nu: float, e: float, law: int
) -> Callable[[float], tuple[float, float]]:
    wall = e if law == DARCY_WEISBACH else 150.0
    return lambda dh: friction_flow(dh, L, D, wall, nu, law)


@given(dh=losses, L=lengths, D=bores, nu=viscosities, e=roughnesses, law=laws)
def test_friction(dh: float, L: float, D: float, nu: float, e: float, law: int) -> None:
    flow = friction(L, D, nu, e, law)

    is_slope(flow, dh, 1e-5 * dh)
    assert 0.0 < flow(dh)[0] < flow(1.001 * dh)[0]
    assert flow(0.0)[0] == 0.0
    assert flow(0.0)[1] > 0.0


@given(dh=losses, L=lengths, D=bores, nu=viscosities, e=roughnesses, law=laws)
def test_more_pipe_and_narrower_pipe_carry_less(
    dh: float, L: float, D: float, nu: float, e: float, law: int
) -> None:
    q = friction(L, D, nu, e, law)(dh)[0]

    assert friction(1.01 * L, D, nu, e, law)(dh)[0] < q
    assert friction(L, 0.99 * D, nu, e, law)(dh)[0] < q


@given(
    dh=losses, sign=st.sampled_from([1.0, -1.0]), L=lengths, D=bores, nu=viscosities,
    K=st.floats(0.0, 300.0), law=laws,
)  # fmt: skip
def test_a_run_with_fittings(
    dh: float, sign: float, L: float, D: float, nu: float, K: float, law: int
) -> None:
    wall = 1.5e-6 if law == DARCY_WEISBACH else 150.0

    def flow(head: float, K: float = K) -> tuple[float, float]:
        return run_flow(head, L, D, K, wall, nu, law)

    q = flow(sign * dh)[0]
    is_slope(flow, sign * dh, 1e-4 * dh, rel=1e-3)
    assert q == -flow(-sign * dh)[0]
    assert 0.0 < sign * q <= sign * flow(sign * dh, 0.0)[0] * (1.0 + 1e-9)
    assert abs(flow(sign * dh, K + 1.0)[0]) < abs(q)


@given(
    dh=st.floats(-200.0, 200.0), q_start=st.floats(-1e-2, 1e-2), M=st.floats(1.0, 1e9),
    guess=st.floats(0.0, 300.0), L=lengths, D=bores, nu=viscosities, K=st.floats(0.0, 300.0), law=laws,
)  # fmt: skip
def test_a_run_with_inertia(
    dh: float,
    q_start: float,
    M: float,
    guess: float,
    L: float,
    D: float,
    nu: float,
    K: float,
    law: int,
) -> None:
    """It meets its own equation, wherever the search begins; the slope is that of the answer."""
    wall = 1.5e-6 if law == DARCY_WEISBACH else 150.0

    def flow(head: float) -> tuple[float, float]:
        run = (L, D, K, wall, nu, law)
        lost = heavy_flow(head, M, q_start, guess, *run)[2]
        return heavy_flow(head, M, q_start, lost, *run)[:2]

    q, slope = flow(dh)
    lost = q * drag(q, L, D, K, wall, nu, law)
    size = abs(dh) + abs(M * q_start)
    assert M * (q - q_start) + lost == pytest.approx(dh, abs=2e-6 * size + 1e-9)
    assert 0.0 < slope * M < 1.0 + 1e-9
    assert slope <= run_flow(0.0, L, D, 0.0, wall, nu, law)[1] * (1.0 + 1e-9)


@given(dh=losses, k=st.floats(1e-9, 1e-3), n=st.floats(0.4, 2.5))
def test_openings(dh: float, k: float, n: float) -> None:
    is_slope(lambda h: opening_flow(h, k, n), dh, 1e-5 * dh)
    assert 0.0 < opening_flow(dh, k, n)[0] < opening_flow(1.001 * dh, k, n)[0]
    assert opening_flow(-dh, k, n) == (0.0, 0.0)


@given(V=st.floats(0.0, 2.0), shut=st.floats(0.5, 1.5), band=st.floats(1e-3, 0.4))
def test_float_valves(V: float, shut: float, band: float) -> None:
    step = 1e-6
    is_slope(lambda v: float_opening(v, shut, band), V, step)
    assert 0.0 <= float_opening(V + step, shut, band)[0] <= float_opening(V, shut, band)[0] <= 1.0


@given(h=st.floats(0.0, 100.0), hold=st.floats(1.0, 80.0))
def test_float_valves_forced_open(h: float, hold: float) -> None:
    is_slope(lambda x: forced_opening(x, hold), h, 1e-6)
    assert forced_opening(min(h, hold), hold)[0] == 0.0
    assert forced_opening(1.11 * hold, hold)[0] == 1.0


@given(h=st.floats(-10.0, 100.0), opens=st.floats(1.0, 80.0), k=st.floats(1e-7, 1e-3))
def test_relief_valves(h: float, opens: float, k: float) -> None:
    is_slope(lambda x: relief_flow(x, opens, k), h, 1e-4)
    assert (relief_flow(h, opens, k)[0] > 0.0) == (h > opens)


@given(
    p=st.floats(-5e4, 1.5e6), V=st.floats(1e-3, 1.0), precharge=st.floats(0.0, 5e5),
    air=st.floats(7e4, 1.05e5), n=st.floats(1.0, 1.4),
)  # fmt: skip
def test_pressure_tanks(p: float, V: float, precharge: float, air: float, n: float) -> None:
    def water(p: float) -> tuple[float, float]:
        return water_volume(p, V=V, p_precharge=precharge, p_air=air, n=n)

    is_slope(water, p, 10.0, rel=1e-3)
    assert 0.0 <= water(p)[0] <= water(p + 100.0)[0] < V
    assert (water(p)[0] > 0.0) == (p > precharge) or 0.0 < p - precharge < 1e-3


@st.composite
def centrifugals(draw: st.DrawFn) -> Centrifugal:
    """Curves through a shut-off head, a rated and a high point."""
    H0 = draw(st.floats(10.0, 250.0))
    H = H0 * draw(st.floats(0.5, 0.9))
    Q = draw(st.floats(1e-4, 1e-3))
    m = draw(st.one_of(st.just(2.0), st.floats(1.1, 4.0)))
    P = WEIGHT * Q * H / draw(st.floats(0.2, 0.7))
    return Centrifugal(H0, (H0 - H) / Q**m, m, P, Q, draw(st.floats(0.3, 0.8)))


drawdowns = st.one_of(st.just(0.0), st.floats(0.0, 2e4))
caps = st.floats(0.05, 1.0)
shares = st.floats(0.02, 3.0)


def as_pair(duty: Duty) -> tuple[float, float]:
    return duty.flow, duty.slope


@given(pump=centrifugals(), H=st.floats(0.01, 1.2), dd=drawdowns, cap=caps, share=shares)
def test_centrifugal_pumps(
    pump: Centrifugal, H: float, dd: float, cap: float, share: float
) -> None:
    """`H` as a share of the shut-off head, `share` of the rated power."""
    P = share * pump.rated_power
    head = H * pump.shut_off_head
    duty = centrifugal(head, dd, P, cap, pump)
    spare = duty.shut_in_head - head
    assume(abs(spare) > 0.01)

    assert 0.0 <= duty.speed <= cap
    assert (duty.flow > 0.0) == (spare > 0.0)
    is_slope(lambda h: as_pair(centrifugal(h, dd, P, cap, pump)), head, 1e-4 * abs(spare), rel=2e-3)
    assert centrifugal(head, dd, 1.01 * P, cap, pump).flow >= duty.flow * (1.0 - 1e-9)
    assert centrifugal(head + 0.1, dd, P, cap, pump).flow <= duty.flow


@given(pump=centrifugals(), H=st.floats(0.0, 0.999), dd=drawdowns, cap=caps, share=shares)
def test_centrifugal_pumps_keep_to_their_two_curves(
    pump: Centrifugal, H: float, dd: float, cap: float, share: float
) -> None:
    """Head made is head needed; power taken is power there, or the speed stands at its cap.

    `H` as a share of the head that the pump makes shut in, so that it always lifts its valve.
    """
    P = share * pump.rated_power
    shut_in = centrifugal(0.0, dd, P, cap, pump).shut_in_head
    head = H * shut_in
    assume(shut_in - head > 0.01)
    duty = centrifugal(head, dd, P, cap, pump)
    s, Q = duty.speed, duty.flow
    H0, R, m = pump.shut_off_head, pump.bend, pump.exponent

    made = s * s * H0 - R * s ** (2.0 - m) * Q**m
    idle = pump.idle_share
    taken = pump.rated_power * s**3 * (idle + (1.0 - idle) * Q / (s * pump.rated_flow))

    assert abs(made - head - dd * Q) <= 1e-6 * H0
    assert taken <= P * (1.0 + 1e-6)
    assert s == cap or taken >= P * (1.0 - 1e-6)


@given(
    pump=centrifugals(), dd=drawdowns, cap=caps, tens=st.floats(-300.0, 3.0),
    H=st.floats(-60.0, 5.0), more=st.floats(1e-6, 1.0),
)  # fmt: skip
def test_hardly_any_power_on_a_line_below_the_well(
    pump: Centrifugal, dd: float, cap: float, tens: float, H: float, more: float
) -> None:
    """Where water would run by itself: never more than the run-out flow, falling without a jump."""
    P = 10.0**tens
    runs_out = (pump.shut_off_head / pump.bend) ** (1.0 / pump.exponent)

    duty = centrifugal(H, dd, P, cap, pump)
    higher = centrifugal(H + more, dd, P, cap, pump)

    assert 0.0 <= higher.flow <= duty.flow * (1.0 + 1e-9)
    assert duty.flow <= cap * runs_out * (1.0 + 1e-9)
    assert -2e3 * cap * runs_out <= duty.slope <= 0.0  # all of it within half a millimetre, no more
    for edge in (duty.shut_in_head - LINEAR_BELOW, duty.shut_in_head, -dd * duty.speed * runs_out):
        under, over = (centrifugal(edge + gap, dd, P, cap, pump).flow for gap in (-1e-7, 1e-7))
        assert abs(under - over) <= 1e-3 * cap * runs_out


@st.composite
def displacements(draw: st.DrawFn) -> Displacement:
    """Pumps by rated point, slip and efficiency, as a site makes them."""
    H, Q = draw(st.floats(20.0, 300.0)), draw(st.floats(5e-5, 8e-4))
    slip = draw(st.one_of(st.just(0.0), st.floats(0.001, 0.3)))
    swept = Q / (1.0 - slip)
    efficiency = draw(st.floats(0.2, 0.95)) * (1.0 - slip)
    return Displacement(
        swept, slip * swept / H, WEIGHT * H * (Q / efficiency - swept), WEIGHT
    )  # fmt: skip


@given(pump=displacements(), H=st.floats(1.0, 400.0), dd=drawdowns, cap=caps, P=st.floats(1.0, 3e3))
def test_displacement_pumps(pump: Displacement, H: float, dd: float, cap: float, P: float) -> None:
    duty = displacement(H, dd, P, cap, pump)
    Q, s = duty.flow, duty.speed
    lift = H + dd * Q

    assert 0.0 <= s <= cap
    assert 0.0 <= Q <= cap * pump.displaced
    if Q > 0.0:
        made = s * pump.displaced - pump.slip * lift
        taken = s * (pump.friction_power + WEIGHT * pump.displaced * lift)
        assert abs(made - Q) <= 1e-9 * pump.displaced
        assert taken <= P * (1.0 + 1e-9)
        assert s == cap or taken >= P * (1.0 - 1e-9)
    if 0.01 * pump.displaced < Q:
        is_slope(lambda h: as_pair(displacement(h, dd, P, cap, pump)), H, 1e-4 * H, rel=5e-3)
    assert displacement(H + 1.0, dd, P, cap, pump).flow <= Q
    assert displacement(H, dd, 1.01 * P, cap, pump).flow >= Q * (1.0 - 1e-12)


def test_the_slope_check_can_fail() -> None:
    """A wrong slope, by a thousandth, is caught."""
    try:
        is_slope(lambda x: (log(x), 1.001 / x), 3.0, 1e-4)
    except AssertionError:
        return
    raise AssertionError("a wrong slope went through")
