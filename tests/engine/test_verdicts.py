"""Each way a line can behave, brought about on purpose; and the two wrong ways to wire it."""

from __future__ import annotations

import pytest

from labkit import Site, simulate, steady
from labkit.trace import VERDICTS, DriveState
from tests.customary import PSI
from tests.engine.lines import SHORT, line, plant_of

SMALL = {"volume": "100 gal", "depth": "24 in"}
"""Changes to the trough: it fills within the run."""


def trough(**changes: str) -> dict[str, str]:
    return {f"trough__lane__{name}": value for name, value in {**SMALL, **changes}.items()}


def test_sound_stop() -> None:
    """Running pressure under cut-out, static under cut-in, dead head over cut-out: it fills the
    trough, then stops."""
    site = line(**trough())
    assert steady(site, sun="800 W/m^2").pressure["manifold"] < 40.0 * PSI
    assert steady(site, sun="800 W/m^2", open_troughs=()).pressure["manifold"] > 40.0 * PSI

    trace = simulate(site, "30 min", sun="800 W/m^2", levels={"lane": "18 in"})

    assert trace.verdict == "sound stop"
    measures = trace.measures()
    assert measures.stops >= 1  # a float that closes slowly may call once or twice more
    assert measures.false_stops == 0
    assert trace.level["lane"][-1] == pytest.approx(22 * 0.0254, abs=0.001)
    told = trace.times("drive told to stop")[0]
    assert 21.0 * 0.0254 < trace.at(told).levels["lane"]  # while the float closes, an inch to go


def test_still_filling() -> None:
    trace = simulate(line(), "5 min", sun="800 W/m^2", levels={"lane": "1 in"})

    assert trace.verdict == "still filling"
    assert not trace.times("drive told to stop")


def test_stuck_off() -> None:
    """Static pressure over cut-in: a trough 60 ft up holds 26 psi on a switch that waits for 20."""
    site = line(**trough(), trough__lane__pipe__rise="60 ft")

    trace = simulate(site, "1 hour", sun="800 W/m^2", levels={"lane": "6 in"}, pressure="41 psi")

    assert trace.verdict == "stuck off"
    assert trace.measures().starts == 0
    static = 60.0 * 0.3048 * plant_of(site).weight
    assert trace.pressure[-1] == pytest.approx(static, rel=1e-3)
    assert trace.opening["lane"][-1] == 1.0


def test_no_stop_in_haze() -> None:
    """Dead head under cut-out: a weak sun cannot push the line to 40 psi, the full sun can."""
    site = line(array__rated_power="300 W")
    weak, strong = (
        steady(site, sun=sun, open_troughs=()).pressure["manifold"] / PSI
        for sun in ("700 W/m^2", "1000 W/m^2")
    )
    assert weak < 40.0 < strong

    hazy = simulate(site, "20 min", sun="700 W/m^2")
    clear = simulate(site, "20 min", sun="1000 W/m^2")

    assert hazy.verdict == "no stop"
    assert hazy.measures().dead_head_time > 600.0
    assert hazy.pressure[-1] / PSI == pytest.approx(weak, rel=1e-3)
    assert clear.verdict == "sound stop"


def test_false_stop() -> None:
    """Running pressure over cut-out: a long thin pipe holds back more than 40 psi while the trough
    asks for water."""
    site = line(
        **trough(),
        trough__lane__pipe__length="4000 ft",
        trough__lane__pipe__size="3/4 in PE SIDR 15",
    )
    running = steady(site, sun="1000 W/m^2")
    assert running.pressure["manifold"] > 40.0 * PSI

    trace = simulate(site, "20 min", sun="1000 W/m^2", levels={"lane": "1 in"})

    assert trace.verdict == "false stop"
    told, stopped = trace.measures().false_stops, trace.measures().stops
    assert told - 1 <= stopped <= told  # the last may not have ramped down yet
    assert stopped > 0


def test_cycling() -> None:
    """A dripping seat on a line that stores a cupful."""
    site = line(trough__lane__float_valve={"flow": "8 gpm at 20 psi", "seat_leak": "0.3 gpm at 30 psi"})  # fmt: skip

    trace = simulate(site, "20 min", sun="1000 W/m^2")

    assert trace.verdict == "cycling"
    assert trace.measures().cycles_per_hour > 12.0
    assert trace.measures().false_stops == 0


@pytest.mark.parametrize(
    ("action", "stop_when"), [("opens on rise", "closed"), ("closes on rise", "open")]
)
def test_a_switch_of_the_wrong_action_keeps_the_pump_off(action: str, stop_when: str) -> None:
    """At rest the contact already stands where the drive is told to stop."""
    site = line(drive={"kind": "solar", "stop_when": stop_when}).changed(
        {"pressure_switch.action": action}
    )

    trace = simulate(site, "30 min", sun="1000 W/m^2", levels={"lane": "1 in"})

    assert trace.verdict == "stuck off"
    assert trace.measures().starts == 0
    assert set(trace.drive_state[1:]) == {DriveState.HELD}
    assert bool(trace.contact[-1]) == (stop_when == "closed")


@pytest.mark.parametrize(
    ("action", "stop_when"), [("opens on rise", "closed"), ("closes on rise", "open")]
)
def test_a_switch_of_the_wrong_action_never_stops_a_pump_that_runs(
    action: str, stop_when: str
) -> None:
    """Once tripped, the same switch tells the drive to run on, at any pressure over cut-in."""
    site = line(drive={"kind": "solar", "stop_when": stop_when}, **SHORT).changed(
        {"pressure_switch.action": action}
    )

    trace = simulate(site, "30 min", sun="1000 W/m^2", pressure="41 psi")

    assert trace.verdict == "no stop"
    assert trace.measures().stops == 0
    dead_head = steady(site, sun="1000 W/m^2", open_troughs=()).pressure["manifold"]
    assert trace.pressure[-1] == pytest.approx(dead_head, rel=1e-3)


@pytest.mark.parametrize(
    ("action", "stop_when"), [("opens on rise", "open"), ("closes on rise", "closed")]
)
def test_both_right_pairings_run_alike(action: str, stop_when: str) -> None:
    """Only the contact is the other way round."""

    def run(site: Site) -> list[tuple[float, str]]:
        trace = simulate(site, "10 min", sun="1000 W/m^2", levels={"lane": "21 in"})
        return [(event.time, event.kind) for event in trace.events]

    site = line(drive={"kind": "solar", "stop_when": stop_when}).changed(
        {"pressure_switch.action": action}
    )

    assert run(site) == run(line())


def test_every_verdict_is_on_the_list() -> None:
    assert len(set(VERDICTS)) == len(VERDICTS) == 9


# --- lines that listen to a level sensor

PAIR = {"gauge": "18 AWG", "length": "900 ft"}
SENSOR = {"trough": "lane", "stops_at": "15 in", "starts_at": "12 in", "wire": PAIR}
RADIO = {"wire": None, "radio": {"report_every": "60 s"}}


def by_level(sensor: dict[str, object] | None = None, **changes: object) -> Site:
    """An open pipe end over a trough whose level sensor stops the pump."""
    open_end = {"flow": "8 gpm at 20 psi", "position": "always open"}
    return line(trough__lane__float_valve=open_end).changed(
        {
            "level_sensors": [SENSOR | (sensor or {})],
            "drive.listens_to": "level sensor",
            **{name.replace("__", "."): new for name, new in changes.items()},
        }
    )


@pytest.mark.parametrize("sensor", [{}, RADIO], ids=["wire", "radio"])
def test_sound_stop_by_level(sensor: dict[str, object]) -> None:
    """Although the pipe end stands open all the time, and no pressure is ever reached."""
    trace = simulate(by_level(sensor), "40 min", sun="1000 W/m^2", levels={"lane": "13 in"})

    assert trace.verdict == "sound stop"
    assert trace.measures().false_stops == 0
    assert trace.measures().overflowed == 0.0
    assert not trace.times("switch trips")


@pytest.mark.parametrize("condition", ["cut", "shorted"])
def test_a_broken_pair_to_a_closes_to_stop_input(condition: str) -> None:
    """Cut, the pump never hears and the trough runs over; shorted, it never starts."""
    site = by_level({"wire": PAIR | {"condition": condition}})

    trace = simulate(site, "60 min", sun="1000 W/m^2", levels={"lane": "13 in"})

    if condition == "cut":
        assert trace.verdict == "no stop"
        assert trace.measures().overflowed > 0.0
    else:
        assert trace.verdict == "stuck off"
        assert trace.measures().starts == 0


def test_no_stop_before_the_water_is_at_the_rim() -> None:
    """The sensor said full minutes ago and nobody heard: that is enough to know."""
    site = by_level({"contact": "stuck open"})

    trace = simulate(site, "6 min", sun="1000 W/m^2", levels={"lane": "14 in"})

    assert trace.verdict == "no stop"
    assert trace.measures().overflowed == 0.0


def test_a_float_shut_below_the_sensor_leaves_the_pump_against_a_shut_line() -> None:
    site = by_level(
        trough__lane__float_valve={"flow": "8 gpm at 20 psi"}, trough__lane__freeboard="10 in"
    )

    trace = simulate(site, "40 min", sun="1000 W/m^2", levels={"lane": "13 in"})

    assert trace.verdict == "no stop"
    assert trace.measures().dead_head_time > 600.0


def test_either_stops_behind_a_float_that_shuts_below_the_sensor() -> None:
    """The pressure switch is there for that."""
    site = by_level(
        trough__lane__float_valve={"flow": "8 gpm at 20 psi"}, trough__lane__freeboard="10 in",
        drive__listens_to="either",
    )  # fmt: skip

    trace = simulate(site, "40 min", sun="1000 W/m^2", levels={"lane": "13 in"})

    assert trace.verdict == "sound stop"
    assert trace.times("switch trips")
    assert not trace.times("sensor says full")


def test_a_silent_radio_that_stops_the_pump_makes_a_false_stop() -> None:
    """It goes silent while the trough still calls, and comes back before long."""
    radio = {"report_every": "60 s", "loss": 0.7, "seed": 3, "silent_after": "90 s"}
    site = by_level({"wire": None, "radio": radio, "stops_at": "20 in"})

    trace = simulate(site, "20 min", sun="1000 W/m^2", levels={"lane": "8 in"})

    silent = trace.times("radio falls silent")
    assert silent
    assert trace.measures().false_stops >= 1
    assert trace.verdict in {"false stop", "stuck off"}  # by how long it stays silent


def test_either_is_stopped_too_soon_by_pressure() -> None:
    """Running pressure over cut-out while the sensor says room."""
    site = by_level(
        drive__listens_to="either",
        trough__lane__pipe__length="4000 ft",
        trough__lane__pipe__size="3/4 in PE SIDR 15",
    )

    trace = simulate(site, "20 min", sun="1000 W/m^2", levels={"lane": "8 in"})

    assert trace.verdict == "false stop"


def test_an_open_pipe_end_on_a_pressure_switch_runs_over() -> None:
    open_end = {"flow": "8 gpm at 20 psi", "position": "always open"}

    trace = simulate(
        line(trough__lane__float_valve=open_end),
        "40 min",
        sun="1000 W/m^2",
        levels={"lane": "20 in"},
    )

    assert trace.verdict == "no stop"
    assert trace.measures().overflowed > 0.0


def test_waiting_out_a_long_restart_delay_is_not_being_stuck() -> None:
    """The trough calls again at once, and the drive starts when its ten minutes are over."""
    site = line(**trough(), drive={"kind": "solar", "restart_delay": "10 min"}).changed(
        {"trough.lane.herd": {"head": 60, "kind": "cow with calf", "visits": ["12:20"]}}
    )

    trace = simulate(site, "50 min", sun="800 W/m^2", start="12:00", levels={"lane": "21 in"})

    assert trace.measures().starts >= 2


def test_a_big_tank_that_fills_slowly_is_no_dead_head() -> None:
    """In weak sun 44 gallons take the pump many minutes; then the pressure reaches cut-out."""
    tank = {"volume": "44 gal", "precharge": "18 psi"}
    site = line(pressure_tank=tank, array__rated_power="400 W")
    sun = "640 W/m^2"
    assert steady(site, sun=sun, open_troughs=()).pressure["manifold"] > 41.0 * PSI

    trace = simulate(site, "3 hour", sun=sun, pressure="18 psi")

    assert trace.times("drive told to stop")[0] > 2.0 * 120.0
    assert trace.measures().dead_head_time > 120.0
    assert trace.verdict == "sound stop"
