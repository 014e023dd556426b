"""Each way a line can behave, brought about on purpose; and the two wrong ways to wire it."""

from __future__ import annotations

import pytest

from labkit import Site, simulate, steady
from labkit.trace import VERDICTS, DriveState
from tests.customary import PSI
from tests.engine.lines import line, plant_of

SMALL = {"volume": "100 gal", "depth": "24 in"}
"""Changes to the trough: it fills within the run."""


def trough(**changes: str) -> dict[str, str]:
    return {f"trough__home__{name}": value for name, value in {**SMALL, **changes}.items()}


def test_sound_stop() -> None:
    """Running pressure under cut-out, static under cut-in, dead head over cut-out: it fills the
    trough, then stops."""
    site = line(**trough())
    assert steady(site, sun="800 W/m^2").pressure["manifold"] < 40.0 * PSI
    assert steady(site, sun="800 W/m^2", open_troughs=()).pressure["manifold"] > 40.0 * PSI

    trace = simulate(site, "30 min", sun="800 W/m^2", levels={"home": "18 in"})

    assert trace.verdict == "sound stop"
    measures = trace.measures()
    assert measures.stops >= 1  # a float that closes slowly may call once or twice more
    assert measures.false_stops == 0
    assert trace.level["home"][-1] == pytest.approx(22 * 0.0254, abs=0.001)
    told = trace.times("drive told to stop")[0]
    assert 21.0 * 0.0254 < trace.at(told).levels["home"]  # while the float closes, an inch to go


def test_still_filling() -> None:
    trace = simulate(line(), "5 min", sun="800 W/m^2", levels={"home": "1 in"})

    assert trace.verdict == "still filling"
    assert not trace.times("drive told to stop")


def test_stuck_off() -> None:
    """Static pressure over cut-in: a trough 60 ft up holds 26 psi on a switch that waits for 20."""
    site = line(**trough(), trough__home__pipe__rise="60 ft")

    trace = simulate(site, "1 hour", sun="800 W/m^2", levels={"home": "6 in"}, pressure="41 psi")

    assert trace.verdict == "stuck off"
    assert trace.measures().starts == 0
    static = 60.0 * 0.3048 * plant_of(site).weight
    assert trace.pressure[-1] == pytest.approx(static, rel=1e-3)
    assert trace.opening["home"][-1] == 1.0


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
        trough__home__pipe__length="4000 ft",
        trough__home__pipe__size="3/4 in PE SIDR 15",
    )
    running = steady(site, sun="1000 W/m^2")
    assert running.pressure["manifold"] > 40.0 * PSI

    trace = simulate(site, "20 min", sun="1000 W/m^2", levels={"home": "1 in"})

    assert trace.verdict == "false stop"
    assert trace.measures().false_stops == trace.measures().stops > 0


def test_cycling() -> None:
    """A dripping seat on a line that stores a cupful."""
    site = line(trough__home__float_valve={"flow": "8 gpm at 20 psi", "seat_leak": "0.3 gpm at 30 psi"})  # fmt: skip

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

    trace = simulate(site, "30 min", sun="1000 W/m^2", levels={"home": "1 in"})

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
    site = line(drive={"kind": "solar", "stop_when": stop_when}).changed(
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
        trace = simulate(site, "10 min", sun="1000 W/m^2", levels={"home": "21 in"})
        return [(event.time, event.kind) for event in trace.events]

    site = line(drive={"kind": "solar", "stop_when": stop_when}).changed(
        {"pressure_switch.action": action}
    )

    assert run(site) == run(line())


def test_every_verdict_is_on_the_list() -> None:
    assert len(set(VERDICTS)) == len(VERDICTS) == 8
