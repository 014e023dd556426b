"""What each fault leaves to be seen, held against first principles worked out here by hand."""

from math import log10, pi, sqrt
from typing import Any

import numpy as np
import pytest

from labkit.drills.scene import Scene
from labkit.drills.signature import Placed, scene_of
from labkit.drills.tasks import TASKS
from labkit.engine.steady import steady
from labkit.faults import FAULTS, evidence, morning, stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.trace import DriveState
from tests.customary import FOOT, GALLON, GPM, PSI
from tests.faults.standard import STOCKED

WEIGHT = 9806.65 * 0.9996  # of water at 55 degF [N/m3]
RISE, LIFT = 45 * FOOT, 80 * FOOT  # of the uphill ranch
SHUT_OFF = 245 * FOOT
AIR = 101_325 * (1 - 2.25577e-5 * 5200 * FOOT) ** 5.25588  # standard atmosphere [Pa]


@pytest.fixture(scope="module")
def site() -> Site:
    return stocked(demo_site("one_trough_uphill"))


def met(site: Site, key: str, size: str = "", where: str = "") -> Scene:
    return scene_of(site, [Placed(key=key, size=size, where=where)])


def read(scene: Scene, task: str, where: str = "") -> dict[str, Any]:
    values, _ = TASKS[task].do(scene, where)
    return {value.name: value.value for value in values}


def drop_pipe(pressure: float) -> float:
    """Water that 140 ft of drop pipe takes up, by Korteweg; PE SIDR 9 as ASTM D2239 has it."""
    D, wall, E, bulk = 1.380 * 0.0254, 0.153 * 0.0254, 115_000 * PSI, 2.1e9
    squared = bulk / 1000.0 / (1.0 + bulk * D / (E * wall))
    return 0.25 * pi * D * D * 140 * FOOT * (pressure / WEIGHT) * 9.80665 / squared


def boyle(pressure: float, *, precharge: float, volume: float) -> float:
    """Water in a diaphragm tank at a gauge pressure."""
    return float(max(volume * (1.0 - (precharge + AIR) / (pressure + AIR)), 0.0))


def test_a_worn_seat_passes_by_the_root_of_the_pressure(site: Site) -> None:
    scene = met(site, "worn float seat", "0.3 gpm at 30 psi", "notch")

    trace, _ = scene.pass_time(3.0, turned=scene.held("always shut"), drive="off")

    at_valve = trace.pressure[-1] - WEIGHT * RISE
    assert trace.inflow["notch"][-1] == pytest.approx(
        0.3 * GPM * sqrt(at_valve / (30 * PSI)), rel=0.01
    )


def test_a_lazy_float_an_inch_down_passes_its_share(site: Site) -> None:
    """Three inches to open, one inch down: a third of what the same pressure drives fully open."""
    scene = met(site, "lazy float", "3 in", "notch")
    pressed = scene.site.changed({"trough.notch.freeboard": "1 in"})

    trace, _ = scene.pass_time(0.05, turned=pressed)

    level = trace.level["notch"][-1]
    opening = (23 * 0.0254 - level) / (3 * 0.0254)
    assert 0.2 < opening < 0.45
    drop = WEIGHT * (trace.head["notch"][-1] - RISE)
    full = 9 * GPM * sqrt(drop / (20 * PSI))
    assert trace.inflow["notch"][-1] == pytest.approx(opening * full, rel=0.02)


def test_a_bad_check_valve_lets_the_tank_run_back(site: Site) -> None:
    """What the tank loses by Boyle's law in half a minute is what the leak passes meanwhile."""
    scene = met(site, "bad check valve", "0.3 gpm at 30 psi")

    trace, _ = scene.pass_time(0.5, valve="shut", drive="off")

    start, end = trace.pressure[0], trace.pressure[-1]
    tank = {"precharge": 25 * PSI, "volume": 2 * GALLON}
    lost = boyle(start, **tank) - boyle(end, **tank)
    through = 0.3 * GPM * sqrt((0.5 * (start + end) + WEIGHT * LIFT) / (30 * PSI))
    assert lost == pytest.approx(30.0 * through, rel=0.04)


def test_a_buried_leak_is_beyond_the_valve(site: Site) -> None:
    scene = met(site, "buried leak", "0.3 gpm at 30 psi", "notch")

    assert read(scene, "shut in")["fall"] < 0.5 * PSI
    assert read(scene, "open line")["fall"] > 5.0 * PSI
    assert read(scene, "drip", "notch")["flow"] < 1e-3 * GPM


def test_a_cut_out_too_high_is_over_the_dead_head(site: Site) -> None:
    scene = met(site, "cut-out too high for the sun", "76 psi")

    seen = read(scene, "lift")

    assert seen["high"] == pytest.approx(WEIGHT * (SHUT_OFF - LIFT), rel=0.01)
    assert seen["high"] < 76 * PSI
    assert seen["pump"] == "runs"


def test_a_cut_in_under_the_static_pressure_never_comes(site: Site) -> None:
    """With a tank that outweighs the line, whose water then comes to rest without a swing."""
    calm = site.changed({"pressure_tank.volume": "20 gal"})
    scene = met(calm, "cut-in under the static pressure", "17 psi")

    seen = read(scene, "work", "notch")

    trace, _ = scene.pass_time(30.0, turned=scene.held("always open", ["notch"]))
    assert trace.pressure[-1] == pytest.approx(WEIGHT * RISE, rel=0.01)
    assert seen["low"] > 17 * PSI
    assert seen["on"] == "did not come on"


def test_a_wrong_action_is_closed_without_pressure(site: Site) -> None:
    """The drive stops on a closed contact, so a contact that opens on rise holds it from zero on."""
    scene = met(site, "wrong action")
    trace, _ = morning(scene.site)

    assert trace.times("pump starts") == []
    assert read(scene, "drain")["contact"] == "closed"
    assert read(met(site, "plugged gauge", "20 psi"), "drain")["contact"] == "open"


@pytest.mark.parametrize(
    ("key", "at_drive", "speed"), [("cut wire", "open", 1.0), ("chewed pair", "closed", 0.0)]
)
def test_a_broken_pair_reads_the_same_whatever_the_switch(
    site: Site, key: str, at_drive: str, speed: float
) -> None:
    scene = met(site, key)
    trace, _ = morning(scene.site)

    assert set(trace.contact.tolist()) == {at_drive == "closed"}
    assert read(scene, "pair")["pair"] == at_drive
    assert np.sign(trace.speed[-1]) == speed
    drained = {read(scene, "drain")["contact"], read(scene, "contact")["contact"]}
    assert drained == ({"open", "closed"} if key == "cut wire" else {"open"}), "the switch works"


@pytest.mark.parametrize(
    ("key", "size", "shows"),
    [
        ("cut wire", "", "no reading"),
        ("wet splice", "400 ohm", "too many ohms"),
        ("corroded switch contact", "", "no reading"),
        ("chewed pair", "", "a few ohms"),
        ("plugged gauge", "20 psi", "a few ohms"),
    ],
)
def test_ohms_tell_a_wet_splice_from_a_cut_wire(
    site: Site, key: str, size: str, shows: str
) -> None:
    """A last one that leaves the pair alone; 1000 ft of 18 AWG out and back have 13 ohm."""
    wired = site.changed({"pressure_switch.wire": {"gauge": "18 AWG", "length": "1000 ft"}})

    assert read(met(wired, key, size), "ohms")["ohms"] == shows


def test_a_wet_splice_is_open_to_the_controller(site: Site) -> None:
    """By the divider: 12 V over 2200 ohm and 400 leave 1.8 V, where closed is under 1 V."""
    assert 12.0 * 400.0 / (2200.0 + 400.0) > 1.0
    scene = met(site, "wet splice", "400 ohm")
    trace, _ = morning(scene.site)

    assert not trace.contact.any()
    assert trace.speed[-1] > 0.0


@pytest.mark.parametrize(("key", "insulation"), [("bad motor lead", "low"), ("controller or motor fault", "good")])  # fmt: skip
def test_a_fault_code_stands_for_two_faults_that_an_insulation_test_parts(
    site: Site, key: str, insulation: str
) -> None:
    scene = met(site, key)

    assert read(scene, "lights")["state"] == "showing a fault code"
    assert read(scene, "insulation")["insulation"] == insulation
    assert read(scene, "swap")["water"] == "no water"
    assert read(scene, "power")["power"] > 100.0, "the panels are good"


def test_a_pump_that_turns_backward_makes_its_share_of_the_head(site: Site) -> None:
    """Shut in at full speed: 0.55 of 245 ft, of which 80 ft lift the water to the gauge."""
    scene = met(site, "pump turning backward", "0.55")

    assert read(scene, "lift")["high"] == pytest.approx(WEIGHT * (0.55 * SHUT_OFF - LIFT), rel=0.01)
    assert read(scene, "swap")["water"] == "more water"
    assert read(met(site, "worn pump", "0.55"), "swap")["water"] == "less water"


def test_a_check_valve_that_is_stuck_shut_lets_nothing_by(site: Site) -> None:
    scene = met(site, "check valve stuck shut")

    trace, _ = scene.pass_time(20.0, turned=scene.held("always open", ["notch"]))

    assert trace.speed[-1] > 0.5
    assert not trace.pump_flow.any()
    assert read(scene, "well pumping", "notch")["depth"] == pytest.approx(LIFT)
    assert trace.pressure[-1] <= WEIGHT * RISE * 1.001, "no more than the water in the line"


def test_a_displacement_pump_trips_on_a_check_valve_that_is_stuck_shut() -> None:
    scene = met(stocked(demo_site("deep_well")), "check valve stuck shut")
    trace, _ = morning(scene.site)

    assert trace.times("torque limit")
    assert not trace.pump_flow.any()


def test_a_weak_relief_valve_takes_all_that_the_pump_gives() -> None:
    """10 gpm for each 10 psi over its opening, by its capacity; so far up do both come even."""
    scene = met(STOCKED, "weak relief valve", "36 psi")

    trace, _ = scene.pass_time(30.0, turned=scene.held("always shut"))

    assert trace.relief_flow[-1] == pytest.approx(trace.pump_flow[-1], rel=1e-3)
    assert trace.relief_flow[-1] == pytest.approx(
        10.0 * GPM * (trace.pressure[-1] - 36.0 * PSI) / (10.0 * PSI), rel=1e-3
    )
    assert trace.pressure[-1] < 45.0 * PSI, "the cut-out is never reached"
    assert read(scene, "wellhead")["ground"] == "relieving"
    assert read(scene, "shut in")["later"] > 30.0 * PSI, "what it keeps it holds"


def test_a_narrowed_pipe_shows_between_two_gauges(site: Site) -> None:
    """Friction of a smooth pipe as Blasius has it, 0.3164 / Re**0.25, with water of 12.8 degC at
    1.21e-6 m2/s (both from memory); the float passes 9 gpm at 20 psi."""
    scene = met(site, "narrowed pipe", "0.50", "notch")
    far, flow = read(scene, "inlet", "notch"), read(scene, "bucket", "notch")["flow"]
    least, most = (9.0 * GPM * sqrt(far[end] / (20.0 * PSI)) for end in ("low", "high"))
    assert least < flow < most, "its pump comes and goes, and a bucket catches the mean"

    line = steady(scene.site, sun="400 W/m^2")
    bore = 0.5 * 1.380 * 0.0254
    speed = line.inflow["notch"] / (0.25 * pi * bore**2)
    friction = 0.3164 / (speed * bore / 1.21e-6) ** 0.25
    lost = friction * 2200.0 * FOOT / bore * speed**2 / (2.0 * 9.80665)
    between = line.pressure["manifold"] - line.pressure["notch"] - WEIGHT * RISE
    assert between == pytest.approx(WEIGHT * lost, rel=0.03)
    sound = met(site, "plugged gauge", "20 psi")
    assert read(sound, "inlet", "notch")["low"] > far["high"] + 5.0 * PSI


def test_a_waterlogged_tank_gives_next_to_nothing(site: Site) -> None:
    """A 2 gal tank gives 0.4 gal or more down from 32 psi; one with a 25th of its air none."""
    sound, logged = met(site, "plugged gauge", "20 psi"), met(site, "waterlogged tank", "0.04")

    pressure = float(sound.standing.pressure)
    whole = boyle(pressure, precharge=25 * PSI, volume=2 * GALLON) + drop_pipe(pressure)
    assert read(sound, "tank")["water"] == pytest.approx(whole, rel=0.02)
    pressure = float(logged.standing.pressure)
    left = boyle(pressure, precharge=0.0, volume=0.08 * GALLON) + drop_pipe(pressure)
    assert read(logged, "tank")["water"] == pytest.approx(left, rel=0.05)
    assert read(logged, "tank")["air"] == 0.0


def test_a_wrong_precharge_is_read_on_the_empty_tank(site: Site) -> None:
    scene = met(site, "wrong precharge", "48 psi")

    seen = read(scene, "tank")

    assert seen["air"] == pytest.approx(48 * PSI)
    assert scene.standing.pressure < 48 * PSI, "so the tank is empty, and only the pipe gives"
    assert seen["water"] == pytest.approx(drop_pipe(scene.standing.pressure), rel=0.05)


def test_a_plugged_gauge_changes_the_reading_and_nothing_else(site: Site) -> None:
    scene = met(site, "plugged gauge", "23 psi")
    (faulty, _), (usual, _) = morning(scene.site), morning(site)

    assert faulty.events == usual.events
    assert read(scene, "gauge")["gauge"] == pytest.approx(23 * PSI)
    assert read(scene, "drain")["gauge"] == pytest.approx(23 * PSI)
    assert read(scene, "open line")["fall"] == 0.0


def test_a_plugged_nipple_keeps_the_switch_where_it_was(site: Site) -> None:
    scene = met(site, "plugged switch nipple")
    trace, _ = morning(scene.site)

    assert not trace.tripped.any()
    assert trace.pressure.max() > 45 * PSI
    assert read(scene, "screw") == {"before": "open", "contact": "open"}


def test_a_worn_pump_has_a_lower_dead_head(site: Site) -> None:
    seen = read(met(site, "worn pump", "0.65"), "lift")

    assert seen["high"] == pytest.approx(WEIGHT * (0.65 * SHUT_OFF - LIFT), rel=0.01)


def test_a_dusty_array_gives_its_share(site: Site) -> None:
    dusty = read(met(site, "dusty or shaded array", "0.35"), "power")["power"]
    clean = read(met(site, "plugged gauge", "20 psi"), "power")["power"]

    assert dusty / clean == pytest.approx(0.35)


def test_a_low_well_is_sounded_at_rest(site: Site) -> None:
    assert read(met(site, "low well", "132 ft"), "well at rest")["depth"] == pytest.approx(
        132 * FOOT
    )


def test_a_clogged_screen_shows_only_under_pumping(site: Site) -> None:
    """At the pump's rated 7 gpm it draws 1.2 times the 60 ft of water over the intake."""
    scene = met(site, "clogged screen", "1.2")
    trace, _ = scene.pass_time(12.0, turned=scene.held("always open"))

    assert read(scene, "well at rest")["depth"] == pytest.approx(LIFT)
    drawn = 1.2 * 60 * FOOT / (7 * GPM) * trace.pump_flow[-1]
    assert read(scene, "well pumping", "notch")["depth"] == pytest.approx(LIFT + drawn, rel=1e-3)
    assert drawn > 30 * FOOT


def test_a_small_pipe_takes_the_pressure(site: Site) -> None:
    """Friction by Swamee and Jain's explicit factor, 0.824 in (ASTM D2239) at 50 to 60 degF."""
    scene = met(site, "undersized pipe", "3/4 in PE SIDR 9", "notch")
    trace, _ = scene.pass_time(5.0, turned=scene.held("always open", ["notch"]))

    flow, D, nu = trace.inflow["notch"][-1], 0.824 * 0.0254, 1.2e-6
    speed = flow / (0.25 * pi * D * D)
    factor = 0.25 / log10(1.5e-6 / (3.7 * D) + 5.74 / (speed * D / nu) ** 0.9) ** 2
    friction = factor * 2200 * FOOT / D * speed**2 / 19.6133
    valve = 20 * PSI * (flow / (9 * GPM)) ** 2 / WEIGHT
    assert trace.pressure[-1] / WEIGHT == pytest.approx(RISE + friction + valve, rel=0.1)
    assert friction > 0.5 * RISE


def test_a_float_stuck_open_runs_over(site: Site) -> None:
    scene = met(site, "stuck-open float", "", "notch")

    assert read(scene, "look", "notch")["gap"] == pytest.approx(0.0, abs=1e-3)
    assert read(scene, "drip", "notch")["flow"] > 3 * GPM
    assert any(
        "over the rim" in said
        for said in evidence(site, FAULTS["stuck-open float"], "", "notch").complaints
    )


def test_a_float_stuck_shut_gives_nothing_to_an_empty_trough(site: Site) -> None:
    scene = met(site, "stuck-shut float", "", "notch")

    assert read(scene, "bucket", "notch")["flow"] == 0.0
    drunk = 50 * site.troughs[0].herd.need(site.place.air_temperature).to("m^3/s").magnitude  # type: ignore[union-attr]
    left = 420 * GALLON * 22 / 24 - drunk * 86_400 / 3
    assert scene.standing.pressure > WEIGHT * RISE
    trace, _ = scene.pass_time(1.0)
    assert trace.level["notch"][-1] == pytest.approx(left / (420 * GALLON) * 24 * 0.0254, rel=1e-3)
    assert trace.drive_state[-1] == DriveState.HELD
