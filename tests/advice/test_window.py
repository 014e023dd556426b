"""The window's bounds against closed forms, and its advice against the window it promises."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Any

import attrs
import pytest

from labkit import Site, SiteError, demo_site, operating_window, simulate, steady
from labkit.advice.bounds import lower_bounds, room_of, upper_bounds
from labkit.advice.curves import dead_head_pressure
from labkit.advice.judge import judge
from labkit.advice.line import Line
from labkit.advice.remedies import EASIEST_FIRST
from labkit.advice.setting import Room, after_turns, set_so, settings
from labkit.sitefile import dumps, loads
from labkit.units import si
from tests.advice.trying import kind_of_site
from tests.customary import FOOT, GPM, PSI
from tests.engine.lines import DISPLACEMENT, line, plant_of, power_at

if TYPE_CHECKING:
    from collections.abc import Callable

    from labkit.advice.bounds import Bound
    from labkit.advice.window import Window

NARROW = 2.0 * PSI


def bound(window: Window, name: str, where: str | None = None) -> Bound:
    return next(b for b in window.bounds if b.name == name and where in (None, b.where))


def test_the_static_pressure_is_the_height_over_two_point_three_one() -> None:
    """Rule of thumb of the trade: 2.31 ft of water weigh one psi.

    The way down to the creek goes over the lower tee, 5 ft up: the water before it cannot run out.
    """
    window = operating_window(demo_site("three_troughs"))

    heights = {"creek": 5.0, "corral": 19.0, "lookout": 33.0}
    for name, feet in heights.items():
        assert bound(window, "static", name).pressure / PSI == pytest.approx(feet / 2.31, abs=0.03)


def test_the_ground_that_sets_the_static_limit_is_named_where_it_is_not_the_trough() -> None:
    level = operating_window(demo_site("one_trough"))
    ridge = operating_window(demo_site("over_the_hill"))

    assert [bound.crest for bound in level.bounds] == [None] * len(level.bounds)
    assert [bound.crest is None for bound in ridge.bounds if bound.name == "static"] == [False]
    assert ridge.bounds[0].crest not in {None, ridge.bounds[0].where}


@pytest.mark.parametrize(
    "kind", ["weak pipe", "weak float valve", "relief valve", "helical_relief"]
)
def test_limits_that_may_decide_leave_the_room_that_all_of_them_do(kind: str) -> None:
    site = kind_of_site(kind)
    window, made_ready = operating_window(site), Line.of(site)

    few = tuple(upper_bounds(made_ready, window.sun, decide=True))

    room = room_of((*lower_bounds(made_ready, window.sun), *few))
    assert room == room_of(window.bounds) == window.room
    assert {bound.name for bound in few} <= {bound.name for bound in window.bounds}


def test_what_a_line_cannot_reach_is_no_limit() -> None:
    """By hand: the pump makes 220 ft and lifts 60 ft, so no more than 69 psi come to the switch,
    well under the pipe's share of its rating; and a centrifugal pump locks no controller out."""
    site = demo_site("first_line")
    assert (220.0 - 60.0) / 2.31 < 0.6 * si(site.troughs[0].pipe.row.rating) / PSI

    assert {bound.name for bound in operating_window(site).bounds} == {
        "static", "running", "dead head",
    }  # fmt: skip


def test_the_dead_head_follows_the_cube_root_of_the_power() -> None:
    """By hand: s0 = (P / (Pr phi0))**(1/3), p = w (s0**2 H0 - lift), phi0 = 0.55, eta = 0.45."""
    site = line(array__rated_power="500 W")
    weight = plant_of(site).weight
    rated = weight * 8.0 * GPM * 170.0 * FOOT / 0.45
    speed = (power_at(site, "300 W/m^2") / (rated * 0.55)) ** (1.0 / 3.0)
    assert speed < 1.0

    window = operating_window(site, sun_range=("300 W/m^2", "900 W/m^2"))

    by_hand = weight * (speed**2 * 230.0 * FOOT - 70.0 * FOOT)
    found = bound(window, "dead head")
    assert found.pressure == pytest.approx(by_hand, rel=1e-6)
    assert found.sun == 300.0
    assert found.failure == "no stop"


def test_running_pressure_is_rise_friction_and_valve() -> None:
    """A turbulent run by Blasius, f = 0.316 Re**-0.25, good to some percent under Re 1e5."""
    site = line(trough__lane__pipe__rise="20 ft", trough__lane__pipe__length="3000 ft",
                trough__lane__pipe__size="1 in PE SIDR 9")  # fmt: skip
    site = site.changed({"switch.cut_out": "110 psi"})  # so that nothing stops it
    window = operating_window(site)
    weight, nu = plant_of(site).weight, plant_of(site).nu
    p = bound(window, "running").sure  # the float wide open
    bore = 1.049 * FOOT / 12.0

    def at_switch(flow: float) -> float:
        v = flow / (0.25 * pi * bore**2)
        f = 0.316 * (v * bore / nu) ** -0.25
        friction = f * 3000.0 * FOOT / bore * v**2 / (2.0 * 9.80665)
        return float(weight * (20.0 * FOOT + friction)) + 20.0 * PSI * (flow / (8.0 * GPM)) ** 2

    trace = simulate(site, "15 min", sun="1000 W/m^2", levels={"lane": "1 in"})
    assert p == pytest.approx(at_switch(float(trace.pump_flow[-1])), rel=0.04)


def test_a_pump_at_full_speed_takes_no_notice_of_more_sun() -> None:
    """The worst sun need not be the strongest: with 4 kW on this pump it runs flat out early."""
    window = operating_window(line())

    assert bound(window, "running").sun == 250.0
    assert window.dead_head[0] == pytest.approx(window.dead_head[1], rel=1e-9)


def test_on_a_hot_day_the_most_power_comes_before_the_strongest_sun() -> None:
    """By hand: G (1 + gamma (Ta + G/u - 25)) is largest at (1 + gamma (Ta - 25)) u / (-2 gamma),
    with u = 25 + 6.84 W/m2/K in a wind of 1 m/s (Faiman 2008, the values that pvlib holds)."""
    site = line(
        place={"latitude": "40 deg", "longitude": "-100 deg", "elevation": "3000 ft",
               "air_temperature": "113 degF"},
        array={"rated_power": "300 W", "temperature_coefficient": -0.01},
    )  # fmt: skip

    window = operating_window(site, sun_range=("300 W/m^2", "1800 W/m^2"))

    best = 0.8 * (25.0 + 6.84) / 0.02
    assert best == pytest.approx(1274.0, abs=1.0)
    assert window.sun.most == pytest.approx(best, abs=1500.0 / 59.0)


def test_the_mains_know_no_sun() -> None:
    site = line(drive={"kind": "mains"}, pressure_switch__action="opens on rise")

    window = operating_window(site)

    assert {b.sun for b in window.bounds} == {None}
    by_hand = plant_of(site).weight * (230.0 - 70.0) * FOOT
    assert bound(window, "dead head").pressure == pytest.approx(by_hand, rel=1e-6)
    assert "torque limit" not in {b.name for b in window.bounds}, "a centrifugal pump has none"


def test_a_displacement_pump_is_bounded_by_its_torque_and_never_by_a_dead_head() -> None:
    window = operating_window(line(pump=DISPLACEMENT))

    assert next(b.name for b in window.bounds if b.side == "below") == "torque limit"
    torque = bound(window, "torque limit")
    assert torque.pressure < torque.sure  # the ramp needs room as well
    bigger = line(pump=DISPLACEMENT, pressure_tank={"volume": "20 gal", "precharge": "18 psi"})
    with_tank = bound(operating_window(bigger), "torque limit")
    assert torque.pressure < with_tank.pressure < with_tank.sure
    assert with_tank.sure == pytest.approx(torque.sure)


@pytest.mark.parametrize(
    ("name", "changes", "limit"),
    [
        ("pipe rating", {"trough__lane__pipe__size": "1 1/2 in PE SIDR 19"}, 0.72 * 63.0),
        ("float holds", {"trough__lane__float_valve__holding_pressure": "50 psi"}, 50.0),
        ("relief valve",
         {"relief_valve": {"opens_at": "45 psi", "capacity": "8 gpm at 60 psi"}}, None),
    ],
    ids=["pipe", "float", "relief"],
)  # fmt: skip
def test_pipe_float_and_relief_valve_bound_the_peak(
    name: str, changes: dict[str, object], limit: float | None
) -> None:
    """At the trough 40 ft down what 40 ft of water weigh comes on top; so big a tank climbs little
    on the ramp. SIDR 19 is rated 63 psi, of which 72 % may be used."""
    changes = changes | {
        "trough__lane__pipe__rise": "-40 ft",
        "pressure_tank": {"volume": "119 gal", "precharge": "18 psi"},
    }
    site = line(**changes)
    drop = plant_of(site).weight * 40.0 * FOOT

    found = bound(operating_window(site), name)

    most = 45.0 * PSI if limit is None else limit * PSI - drop
    assert most - 0.8 * PSI < found.pressure < most
    assert found.failure == "over pressure"


# --- the screw ---


def test_turns_of_the_screw_land_where_the_trade_says() -> None:
    """Common practice: 30/50 as it comes; five turns out bring it to 10-15 / 25-30 psi."""
    assert after_turns(0.0) == pytest.approx((30.0 * PSI, 50.0 * PSI))
    cut_in, cut_out = after_turns(5.0)
    assert 10.0 <= cut_in / PSI <= 15.0
    assert 25.0 <= cut_out / PSI <= 30.0


def test_the_screw_alone_is_advised_where_it_does() -> None:
    """A flat line with room for it: turns, and the points they lead to, agree."""
    chosen = operating_window(demo_site("one_trough")).recommended

    assert chosen is not None
    assert chosen.differential_turns == 0.0
    assert after_turns(chosen.turns) == pytest.approx((chosen.cut_in, chosen.cut_out), abs=PSI)
    assert chosen.cut_out / PSI == pytest.approx(round(chosen.cut_out / PSI))
    assert chosen.precharge == pytest.approx(chosen.cut_in - 2.0 * PSI)


def test_both_nuts_are_turned_where_the_screw_alone_does_not_do() -> None:
    """Between 28 and 34 psi the screw alone would need a cut-in under 17: it takes both nuts."""
    room = Room(cut_in_above=19.0 * PSI, floor=28.0 * PSI, ceiling=36.0 * PSI)

    chosen = next(settings(room, 10.0 * PSI))

    assert chosen.cut_out - chosen.cut_in == pytest.approx(10.0 * PSI)
    by_screw = after_turns(chosen.turns)
    assert by_screw[0] == pytest.approx(chosen.cut_in)
    assert by_screw[1] + 2.5 * PSI * chosen.differential_turns == pytest.approx(chosen.cut_out)
    assert not list(settings(room, 25.0 * PSI))


@pytest.mark.parametrize("name", ["one_trough", "one_trough_uphill", "deep_well", "first_line"])
@pytest.mark.parametrize("watts", [250, 600, 1000])
def test_the_advice_gives_a_sound_stop_on_the_demo_ranches(name: str, watts: int) -> None:
    site = demo_site(name)
    chosen = operating_window(site).recommended
    assert chosen is not None
    set_so = site.changed(
        {
            "switch.cut_in": f"{chosen.cut_in / PSI} psi",
            "switch.cut_out": f"{chosen.cut_out / PSI} psi",
            "tank.precharge": f"{chosen.precharge / PSI} psi",
        }
        | {f"trough.{trough.name}.herd": None for trough in site.troughs}
    )

    for trough in site.troughs:
        trace = simulate(set_so, "12 hour", sun=f"{watts} W/m^2", levels={trough.name: "12 in"})
        assert trace.verdict == "sound stop", trough.name
        assert trace.measures().peak_pressure < chosen.cut_out + window_overshoot(site) + 1.0


def window_overshoot(site: Site) -> float:
    return operating_window(site).overshoot


# --- remedies ---

LONG = {
    "trough__lane__pipe__length": "2500 ft",
    "trough__lane__pipe__size": "1 in PE SIDR 9",
    "array__rated_power": "1000 W",
}
TIGHT = {
    "trough__lane__float_valve__flow": "5 gpm at 20 psi",
    "trough__lane__pipe__size": "2 in PE SIDR 9",
    "array__rated_power": "800 W",
}
HELD = {
    "trough__lane__float_valve__holding_pressure": "41 psi",
    "trough__lane__pipe__wave_speed": "1200 m/s",
}
FAR_APART = {
    "pressure_switch": {"cut_in": "8 psi", "cut_out": "40 psi"},
    "trough__lane__pipe__rise": "56 ft",
    "trough__lane__pipe__size": "2 in PE SIDR 9",
    "trough__lane__float_valve__flow": "16 gpm at 20 psi",
    "array__rated_power": "1000 W",
}
WEAK_PIPE = {
    "trough__lane__pipe__size": "1 1/2 in PE SIDR 19",
    "trough__lane__pipe__rise": "-40 ft",
    "pressure_tank": {"volume": "20 gal", "precharge": "18 psi"},
}


def tank_volume(site: Site) -> float:
    return 0.0 if site.pressure_tank is None else si(site.pressure_tank.volume)


SAID: dict[str, Callable[[Site, str], float]] = {
    "bigger float valve": lambda site, where: si(site.trough(where).float_valve.flow.flow),
    "more array": lambda site, _: si(site.array.rated_power),
    "tank": lambda site, _: tank_volume(site),
    "smaller differential": lambda site, _: (
        si(site.pressure_switch.cut_out) - si(site.pressure_switch.cut_in)
    ),
}
"""Kind of remedy -> what it says that it changes, as it stands in the line."""


@pytest.mark.parametrize(
    ("changes", "kinds"),
    [
        (LONG, {"more array", "bigger pipe", "weak sun left out"}),
        (TIGHT, {"bigger float valve", "more array"}),
        (HELD, {"tank"}),
        (FAR_APART, {"smaller differential"}),
        (WEAK_PIPE, {"stronger pipe"}),
    ],
    ids=["long thin pipe", "small valve", "weak float", "points far apart", "weak pipe"],
)
def test_each_remedy_opens_the_window_when_it_is_carried_out(
    changes: dict[str, object], kinds: set[str]
) -> None:
    site = line(**changes)
    window = operating_window(site)

    assert window.recommended is None or window.recommended.is_narrow
    assert kinds <= {remedy.kind for remedy in window.remedies}
    ranks = [EASIEST_FIRST.index(remedy.kind) for remedy in window.remedies]
    assert ranks == sorted(ranks)
    assert window.remedies[-1].kind == "another stop signal"
    for remedy in window.remedies[:-1]:
        low = 250.0
        if remedy.kind == "weak sun left out":
            low = float(remedy.after)
            assert low % 10.0 == 0.0, "a sun that people can name"
        after = operating_window(
            loads(dumps(site.changed(remedy.changes))), sun_range=(f"{low} W/m^2", "1000 W/m^2")
        )
        assert after.recommended is not None, remedy.kind
        if remedy.kind in SAID:
            told = SAID[remedy.kind]
            assert told(site.changed(remedy.changes), remedy.where or "") == pytest.approx(
                remedy.after
            )
            assert told(site, remedy.where or "") == pytest.approx(remedy.before or 0.0)
        assert after.recommended.margin >= NARROW - 1.0
        assert after.remedies == ()


def test_less_array_than_advised_is_not_enough() -> None:
    site = line(**LONG)
    remedy = next(r for r in operating_window(site).remedies if r.kind == "more array")

    assert isinstance(remedy.after, float)
    watts = remedy.after - 20.0
    short = operating_window(site.changed({"array.rated_power": f"{watts} W"}))
    assert short.recommended is None or short.recommended.is_narrow


def test_a_window_with_room_needs_no_remedy() -> None:
    assert operating_window(demo_site("one_trough")).remedies == ()


# --- what is asked wrongly ---


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (("250", "1000 W/m^2"), "run: sun_range is '250'; it has no unit; write an irradiance as a number"),
        (("0 W/m^2", "900 W/m^2"), "run: sun_range is 0 W/m^2; it must lie between"),
        (("900 W/m^2", "300 W/m^2"), "900 to 300 W/m^2; write the weaker sun first"),
        (("900 W/m^2",), "write two, the weaker sun first"),
        (None, "run: sun_range is None; write two, the weaker sun first"),
        (900, "run: sun_range is 900; write two, the weaker sun first"),
        ("900 W/m^2", "run: sun_range is 900 W/m^2; write two, the weaker sun first"),
        (("1 W/m^2", "2 W/m^2"), "1 to 2 W/m^2; in all of it the array gives less than start_power"),
    ],
)  # fmt: skip
def test_a_wrong_range_of_sun_is_said(asked: Any, sentence: str) -> None:
    with pytest.raises(SiteError) as problem:
        operating_window(line(), sun_range=asked)

    assert sentence in str(problem.value)


@pytest.mark.parametrize("kind", ["solar", "mains"])
def test_a_drive_that_a_fault_keeps_from_turning_has_no_window_and_no_pressure(kind: str) -> None:
    good = demo_site("one_trough").changed({"drive.kind": kind})
    broken = good.changed({"drive.fault": "motor lead"})

    with pytest.raises(SiteError, match="drive: fault is 'motor lead'; with it the pump never"):
        operating_window(broken)

    assert dead_head_pressure(good, "900 W/m^2") > 10.0 * PSI
    assert dead_head_pressure(broken, "900 W/m^2") == 0.0
    assert steady(broken, sun="900 W/m^2").pump_flow == 0.0


def test_a_window_is_frozen() -> None:
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        operating_window(demo_site("one_trough")).differential = 1.0  # type: ignore[misc]


def in_runs(window: Window, off: tuple[float, float]) -> str:
    """What a line comes to with its points nearer to each other than recommended."""
    chosen = window.recommended
    assert chosen is not None
    low, high = chosen.cut_in + off[0], chosen.cut_out - off[1]
    return judge(set_so(window.site, attrs.evolve(chosen, cut_in=low, cut_out=high))).verdict


def test_what_counts_as_right_starts_the_pump_no_oftener_than_it_stands() -> None:
    """Without a tank, points that near each other by all that the limits allow cycle the pump, if
    moving water does not trip the switch before."""
    window = operating_window(demo_site("one_trough_uphill").changed({"pressure_tank": None}))
    assert window.recommended is not None

    assert in_runs(window, window.recommended.off_by) in {"cycling", "false stop"}
    assert in_runs(window, window.off_by) == "sound stop"
    with_tank = operating_window(demo_site("one_trough_uphill"))
    assert with_tank.recommended is not None
    assert with_tank.off_by == with_tank.recommended.off_by


def test_what_counts_as_right_lets_no_leak_start_the_pump_unasked() -> None:
    """By hand: 5 gal charged to 24 psi in air of 13.2 psi hold 0.26 gal of water at 26 psi and 1.80
    at 45 (Boyle), and the pipe swells by some 0.2 more. A seat that lets by 0.054 gpm at 35 psi
    takes 32 minutes for it: three starts are 65 minutes apart, but 58 with either point one psi
    nearer, and three within an hour are cycling."""
    tank = {"volume": "5 gal", "precharge": "18 psi"}
    leak = {"trough__lane__float_valve__seat_leak": "0.05 gpm at 30 psi"}
    window = operating_window(line(pressure_tank=tank, **leak))
    assert window.recommended is not None

    assert in_runs(window, window.recommended.off_by) == "cycling"
    assert in_runs(window, window.off_by) == "sound stop"
