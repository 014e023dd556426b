"""The contents of a settings card, each number worked out again another way.

Settings from the trade's rules by hand; readings from settled lines and from Boyle's law in
absolute pressures; times as integrals of water held over flow; causes by the truth table of a loop.
"""

from functools import cache
from math import pi
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

import numpy as np
import pytest

from labkit import NoCardError, Site, SiteError, demo_site, operating_window, settings_card, steady
from labkit.advice.card import Card, Telltale, _fallen, make_card
from labkit.advice.curves import line_curve, pump_curve
from labkit.advice.proving import prove, work
from labkit.engine.plant import make_plant
from labkit.language import say_time
from labkit.parts import MANIFOLD
from labkit.units import si
from labkit.view.card_told import alert_lines
from labkit.view.window_told import window_lines
from tests.customary import FOOT, GALLON, PSI
from tests.engine.lines import line

if TYPE_CHECKING:
    from labkit.trace import Trace

OPEN = ("first_line", "one_trough", "one_trough_uphill", "three_troughs", "deep_well")


@cache
def made(name: str) -> Card:
    return make_card(operating_window(demo_site(name)))


def set_by_hand(made: Card) -> Site:
    """The demo ranch with the card's numbers typed in."""
    chosen = made.setting
    return made.window.site.changed(
        {
            "pressure_switch.cut_in": f"{chosen.cut_in / PSI:.6f} psi",
            "pressure_switch.cut_out": f"{chosen.cut_out / PSI:.6f} psi",
            "pressure_tank.precharge": f"{chosen.precharge / PSI:.6f} psi",
        }
    )


def sign(made: Card, key: str) -> Telltale:
    return next(each for each in made.telltales if each.key == key)


def air(made: Card) -> float:
    """Standard air at a height [Pa], U.S. Standard Atmosphere 1976."""
    height = si(made.site.place.elevation)
    return float(101_325.0 * (1.0 - 2.25577e-5 * height) ** 5.25588)


def tank_water(made: Card, p: np.ndarray) -> np.ndarray:
    """Water in the tank by Boyle's law [m3]."""
    tank, outside = made.site.pressure_tank, air(made)
    assert tank is not None
    left = (made.setting.precharge + outside) / (p + outside)
    return np.asarray(si(tank.volume) * np.maximum(1.0 - left, 0.0))


def time_between(made: Card, start: float, end: float, flow: object, storage: float) -> float:
    """Time from one gauge to another [s]: water held over flow, integrated over pressure."""
    p = np.linspace(start, end, 2001)
    held = tank_water(made, p) + storage * p
    middle = 0.5 * (p[1:] + p[:-1])
    return float(np.sum(np.abs(np.diff(held)) / flow(middle)))  # type: ignore[operator]


@pytest.mark.parametrize("name", OPEN)
def test_the_settings_follow_from_the_turns(name: str) -> None:
    """30/50 from the factory, 3.5 and 4.5 psi a turn, 2.5 psi a turn of the nut, two psi under."""
    chosen = made(name).setting

    for point in (chosen.cut_in, chosen.cut_out):
        assert point / PSI == pytest.approx(round(point / PSI), abs=1e-4)  # what a gauge shows
    assert chosen.cut_in / PSI == pytest.approx(30.0 - 3.5 * chosen.turns, abs=1.0)
    cut_out = 50.0 - 4.5 * chosen.turns + 2.5 * chosen.differential_turns
    assert chosen.cut_out / PSI == pytest.approx(cut_out, abs=1.0)  # turns go in quarters
    assert chosen.precharge / PSI == pytest.approx(chosen.cut_in / PSI - 2.0, abs=1e-3)


@pytest.mark.parametrize("name", OPEN)
def test_readings_are_those_of_the_line_with_the_numbers_typed_in(name: str) -> None:
    found = made(name)
    site = set_by_hand(found)
    for proof, sun in ((found.noon, "1000 W/m^2"), (found.haze, "250 W/m^2")):
        for trough in site.troughs:
            line = steady(site, sun=sun, open_troughs=[trough.name])
            assert proof.gauge[trough.name] == pytest.approx(line.pressure["manifold"], abs=1.0)
            assert proof.flow[trough.name] == pytest.approx(line.inflow[trough.name], rel=1e-6)
        shut = steady(site, sun=sun, open_troughs=[])
        assert proof.push == pytest.approx(shut.pressure["manifold"], abs=1.0)


@pytest.mark.parametrize("name", OPEN)
def test_a_sound_line_holds_what_the_stop_left(name: str) -> None:
    found = made(name)
    for proof in (found.noon, found.haze):
        assert proof.is_sound
        assert found.setting.cut_out <= proof.peak <= found.setting.cut_out + found.window.overshoot
        assert proof.later == pytest.approx(proof.rests_at, abs=2.0)
        assert found.setting.cut_out - 0.1 * PSI < proof.rests_at <= proof.peak


@pytest.mark.parametrize("name", ["first_line", "one_trough", "one_trough_uphill"])
def test_time_to_stop_is_the_water_taken_up_over_the_pump_s_flow(name: str) -> None:
    """In haze little flows: the line first levels out, then all of it is at the gauge's head."""
    found = made(name)
    plant, layout = make_plant(found.site)
    C = plant.nodes.C[plant.gauge :]  # beyond the check valve
    storage = float(np.sum(C)) / found.weight
    line = steady(found.site, sun="250 W/m^2", open_troughs=[found.trough])
    heads = np.array([line.head[node] for node in layout.names[plant.gauge :]])
    to_level = float(np.sum(C * (line.head["manifold"] - heads)))
    curve = pump_curve(found.site, "250 W/m^2")

    def flow(p: np.ndarray) -> np.ndarray:
        return np.asarray(np.interp(p, curve.pressure[::-1], curve.flow[::-1]))

    start = found.haze.gauge[found.trough]
    by_hand = time_between(found, start, found.setting.cut_out, flow, storage)
    by_hand += to_level / line.pump_flow
    assert found.haze.stops_after == pytest.approx(by_hand, rel=0.05)


def test_behind_a_crest_the_stop_waits_for_the_pipe_to_fill() -> None:
    """By hand: 2,000 ft of pipe fall 60 ft from the crest. While the trough fills, its water stands
    as high over the float as lets the pump's flow through: p = 20 psi (q / 8 gpm)^2. The rest must be
    filled before the gauge climbs."""
    ground = {"profile": [["2000 ft", "60 ft"]], "vents": ["2000 ft"], "rise": "0 ft"}
    site = line(
        array__rated_power="1200 W",
        trough__lane__pipe={
            "from": "manifold", "length": "4000 ft", "size": "2 in PE SIDR 15", **ground
        },
    )  # fmt: skip
    found = make_card(operating_window(site))

    flow = found.haze.flow["lane"]
    stands = 20.0 * PSI * (flow / (8.0 * GALLON / 60.0)) ** 2 / found.weight
    pipe = 0.25 * np.pi * (2.067 * FOOT / 12.0) ** 2 * 2000.0 * FOOT
    by_hand = pipe * (1.0 - stands / (60.0 * FOOT)) / flow
    assert by_hand > 3600.0
    assert found.haze.stops_after == pytest.approx(by_hand, rel=0.05)
    assert found.haze.refills == pytest.approx(by_hand, rel=0.05)
    assert found.noon.stops_after < 60.0
    (caution,) = found.window.cautions
    assert caution.name == "late stop"
    assert say_time(60.0 * round(caution.lasts / 60.0)) in alert_lines(found, "US")[0]
    grid = {"kind": "mains", "stop_when": "closed"}
    weak = {"shut_off_head": "190 ft", "rated_flow": "3 gpm", "rated_head": "150 ft"}
    small = site.changed({"drive": grid, "pump": {"kind": "centrifugal", **weak}})
    said = window_lines(operating_window(small), "US")
    assert any("drains while lane fills. The pump takes about" in line for line in said)


@pytest.mark.parametrize("name", ["first_line", "one_trough", "one_trough_uphill"])
def test_time_until_the_pump_is_back_is_the_tank_s_water_over_the_line_s_flow(name: str) -> None:
    found = made(name)
    plant, _ = make_plant(found.site)
    storage = float(np.sum(plant.nodes.C[plant.gauge :])) / found.weight
    curve = line_curve(found.site, [found.trough])

    def flow(p: np.ndarray) -> np.ndarray:
        return np.asarray(np.interp(p, curve.pressure, curve.flow))

    by_hand = time_between(found, found.noon.rests_at, found.setting.cut_in, flow, storage)
    delay = si(found.site.drive.restart_delay)
    assert found.noon.back_after == pytest.approx(by_hand + delay, rel=0.05)


def test_a_bad_check_valve_lets_the_tank_s_water_back_down_the_well() -> None:
    """Its leak grows with the root of gauge and lift together; Torricelli's law."""
    found = made("first_line")
    told = sign(found, "falls shut in")
    lift = found.weight * 60 * FOOT
    size = 0.38 * GALLON / 60.0 / np.sqrt(30.0 * PSI)

    fall, takes = (told.amounts[key][0] for key in ("fall", "takes"))
    start = found.setting.cut_in + fall
    by_hand = time_between(
        found, start, found.setting.cut_in, lambda p: size * np.sqrt(p + lift), 0.0
    )
    assert start == pytest.approx(found.noon.rests_at, abs=0.5 * PSI)
    assert takes == pytest.approx(by_hand, rel=0.03)


def test_a_buried_leak_takes_the_tank_s_water_and_the_line_s() -> None:
    found = made("first_line")
    told = sign(found, "falls open")
    plant, _ = make_plant(found.site)
    storage = float(np.sum(plant.nodes.C[plant.gauge :])) / found.weight
    above = found.weight * 0.6 * 20 * FOOT  # four tenths of the way back from a trough 20 ft up
    size = 0.38 * GALLON / 60.0 / np.sqrt(30.0 * PSI)

    fall, takes = (told.amounts[key][0] for key in ("fall", "takes"))
    start = found.setting.cut_in + fall
    slower = [
        time_between(found, start, found.setting.cut_in,
                     lambda p, up=up: size * np.sqrt(p - up), storage)
        for up in (above, found.weight * 20 * FOOT)
    ]  # fmt: skip
    assert told.causes == ("buried leak", "worn float seat")
    assert takes == pytest.approx(max(slower), rel=0.03)


@pytest.mark.parametrize("name", OPEN)
def test_standing_water_is_what_never_lets_the_pump_back(name: str) -> None:
    found = made(name)
    high = max(found.window.site.elevation(t.name) for t in found.window.site.troughs) / FOOT
    told = [each for each in found.telltales if each.key == "never back"]
    if high <= 0.0:
        assert told == []
        return
    if told:
        assert told[0].amounts["stands"][0] / PSI == pytest.approx(high / 2.31, rel=5e-3)
        return
    # No sign may promise it where the moving water, as the tank runs out, can dip the gauge under
    # that cut-in: by Joukowsky, at 250 m/s in polyethylene (from memory: 200 to 350).
    settled = steady(set_by_hand(found), sun="1000 W/m^2", open_troughs=[found.trough])
    (run,) = [run for run in found.window.site.runs() if run.start == MANIFOLD]
    speed = settled.inflow[found.trough] / (0.25 * pi * si(run.pipe.bore) ** 2)
    assert 250.0 * speed / 9.81 / FOOT / 2.31 > (1.0 - 0.755) * high / 2.31


@pytest.mark.parametrize(
    ("stop_when", "action", "runs_on", "stays_off"),
    [
        ("closed", "closes on rise", "cut wire", "chewed pair"),
        ("open", "opens on rise", "chewed pair", "cut wire"),
    ],
)
def test_what_a_bad_loop_does_follows_from_its_logic(
    stop_when: str, action: str, runs_on: str, stays_off: str
) -> None:
    """Truth table: a loop that cannot say stop runs on, one that always says it stays off.

    A wet splice reads open, as a cut wire does; a controller with a fault code runs nothing.
    """
    site = demo_site("first_line").changed(
        {"drive.stop_when": stop_when, "pressure_switch.action": action}
    )
    found = make_card(operating_window(site))

    like = {"cut wire": {"wet splice"}, "chewed pair": set()}
    codes = {"controller or motor fault", "bad motor lead"}

    assert set(sign(found, "runs on").causes) == {
        runs_on, *like[runs_on], "plugged switch nipple",
    }  # fmt: skip
    assert set(sign(found, "stays off").causes) == {
        stays_off, *like[stays_off], "wrong action", *codes,
    }  # fmt: skip


def test_a_line_without_a_tank_has_no_sign_of_one() -> None:
    found = make_card(operating_window(demo_site("first_line").changed({"pressure_tank": None})))

    assert all(each.key != "back at once" for each in found.telltales)
    assert found.noon.back_after < made("first_line").noon.back_after


def test_the_sun_from_which_it_stops_brings_the_shut_line_to_cut_out() -> None:
    found = made("first_line")
    shut = steady(set_by_hand(found), sun=f"{found.stops_from:.4f} W/m^2", open_troughs=[])

    assert shut.pressure["manifold"] == pytest.approx(found.setting.cut_out, abs=0.05 * PSI)


def test_a_pump_that_comes_back_only_until_drained_pipe_is_full_is_no_fault() -> None:
    """Behind a vent the pipe runs empty while the hand holds the float down. The first stop comes
    before it is full again, and the pump comes back once its water has run on; then it stands."""
    ground = {
        "profile": [["286 ft", "59 ft"], ["597 ft", "30.8 ft"]], "vents": ["286 ft"],
        "rise": "-21.9 ft", "length": "1228 ft", "size": "1 1/4 in PE SIDR 11.5",
    }  # fmt: skip
    site = line(
        **{f"trough__lane__pipe__{key}": value for key, value in ground.items()},
        trough__lane__float_valve={"flow": "18.95 gpm at 28.1 psi", "band": "1 in"},
        well={"static_level": "160.1 ft", "drawdown": "1.5 ft/gpm", "intake_depth": "219.2 ft"},
        pump__shut_off_head="287.7 ft", pump__rated_flow="11.97 gpm", pump__rated_head="186 ft",
        array__rated_power="2135 W", place__elevation="5547 ft",
        switch__cut_in="26 psi", switch__cut_out="40 psi",
    )  # fmt: skip
    noon = prove(site, 1000.0, "lane")

    lifted = work(site, "1000 W/m^2", "lane", refills=noon.refills).lifted

    assert len(lifted.times("pump stops")) > 1, "or nothing is tried here"
    assert noon.stops_after == lifted.times("drive told to stop")[-1]
    assert noon.is_sound


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"pressure_switch.contact": "stuck open"}, "Won't stop"),
        ({"pressure_switch.action": "opens on rise"}, "sees a stop signal even at zero pressure"),
        ({"leaks": [{"at": "manifold", "size": "3 gpm at 30 psi"}]}, "Short-cycles"),
        ({"check_valve.leak": "50 gpm at 1 psi"}, "Short-cycles"),
        ({"well.drawdown": "50 ft/gpm"}, "draws the well down to its intake"),
    ],
)
def test_a_line_that_fails_when_tried_gets_no_card(
    change: dict[str, object], says: str, tmp_path: Path
) -> None:
    bad = demo_site("first_line").changed(change)

    with pytest.raises(NoCardError, match=says):
        settings_card(bad, tmp_path / "card.html")
    with pytest.raises(SiteError, match="no setting that works"):
        make_card(operating_window(bad))


def test_a_line_stopped_by_a_level_sensor_is_told_so(tmp_path: Path) -> None:
    with pytest.raises(NoCardError, match="stopped by a level sensor") as refused:
        settings_card(demo_site("storage_tank"), tmp_path / "card.html")

    assert "no stop" not in str(refused.value).lower()
    assert "another stop signal" not in str(refused.value).lower()


def test_an_empty_window_gives_reasons_and_remedies_and_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "card.html"
    weak = demo_site("first_line").changed({"array.rated_power": "300 W"})
    window = operating_window(weak)
    assert not window.is_open

    with pytest.raises(NoCardError) as refused:
        settings_card(weak, path)

    text = str(refused.value)
    assert "empty" in text
    assert f"{int(window.room.ceiling / PSI)} psi" in text
    assert "1. " in text
    assert not path.exists()


def test_a_fall_is_timed_to_its_point_or_for_as_long_as_it_was_watched() -> None:
    """By hand: from 44 psi at one minute to 20 at ten, 32 psi is half of the way, at 330 s."""
    fall = SimpleNamespace(time=np.array([0.0, 60.0, 600.0]), pressure=np.array([50.0, 44.0, 20.0]))

    assert _fallen(cast("Trace", fall), 32.0) == pytest.approx((330.0, 18.0))
    assert _fallen(cast("Trace", fall), 10.0) == pytest.approx((600.0, 30.0))
