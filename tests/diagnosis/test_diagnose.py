"""Diagnosis of one's own line, from typed readings to an answer."""

import logging
from itertools import pairwise
from typing import Any

import attrs
import numpy as np
import pytest

import labkit as lab
from labkit.cli import main
from labkit.diagnosis import READINGS, SOUND, TESTS, Diagnosis, diagnose
from labkit.diagnosis.reasoning import Lineup, line_up, typed_readings
from labkit.diagnosis.suspects import UNKNOWNS, Case, as_it_may_be
from labkit.diagnosis.visit import visit
from labkit.errors import SiteError
from labkit.faults import FAULTS
from labkit.text import bundle
from labkit.units import si
from tests.customary import PSI
from tests.diagnosis.playing import play_site, site_of

BINS = (0.0, 0.1, 0.5, 0.9, 1.01)
KINDS: dict[str, tuple[str, dict[str, Any]]] = {
    "flat": ("one_trough", {}),
    "first lessons": ("first_line", {}),
    "uphill": ("one_trough_uphill", {}),
    "three troughs": ("three_troughs", {}),
    "displacement pump": ("deep_well", {}),
    "no tank": ("one_trough", {"pressure_tank": None}),
    "lazy float": ("one_trough", {"trough.lane.float_valve.band": "3 in"}),
    "long": ("one_trough_uphill", {"trough.notch.pipe.length": "5200 ft"}),
    "weeping check": ("one_trough", {"check_valve.leak": "0.02 gpm at 30 psi"}),
    "opens on rise": (
        "one_trough", {"pressure_switch.action": "opens on rise", "drive.stop_when": "open"},
    ),
    "big tank": ("one_trough", {"pressure_tank.volume": "40 gal"}),
}  # fmt: skip
"""Lines that differ in kind, each a demo ranch with something changed."""


@pytest.fixture(scope="module")
def home() -> lab.Site:
    return lab.demo_site("one_trough")


@pytest.fixture(scope="module")
def lineup(home: lab.Site) -> Lineup:
    return line_up(home)


def answered(lineup: Lineup, readings: dict[str, str]) -> Diagnosis:
    """Diagnose with a lineup that is there already."""
    read = typed_readings(lineup.site, readings, lineup.trough)
    after, weighed = lineup.consider(read)
    return after.answer(read, weighed)


LEAKS = {"stop": "stops", "gauge at the stop": "31 psi", "stop to start": "4 min"}
"""A line that starts again by itself."""


def test_a_leak_shows_as_a_leak_and_the_valve_test_parts_it_from_the_check_valve(
    lineup: Lineup,
) -> None:
    """What falls to cut-in in four minutes falls farther in ten, on its own side of the valve."""
    line = answered(lineup, {**LEAKS, "fall shut off": "0 psi"})
    well = answered(lineup, {**LEAKS, "fall shut off": "30 psi"})

    assert {cause.key for cause in line.causes[:2]} == {"buried leak", "worn float seat"}
    assert line.next_tests[0].key == "lifted float"  # it parts the two
    assert {cause.key for cause in well.causes[:2]} == {"bad check valve", "leak at the wellhead"}
    assert sum(cause.chance for cause in well.causes[:2]) > 0.8
    assert well.next_tests[0].key == "wellhead"  # a look parts them before a pump is pulled
    for cause in (one for one in line.causes if one.places):
        assert sum(chance for _, chance in cause.places) == pytest.approx(cause.chance)


def test_readings_at_odds_are_said(lineup: Lineup) -> None:
    """It cannot fall ten pounds shut off from the line and not at all with the line joined."""
    held = {"stop": "stops", "gauge at the stop": "31 psi", "stop to start": "never"}

    found = answered(lineup, {**held, "fall shut off": "30 psi", "fall open": "0 psi"})

    assert not found.fits
    assert ("fall shut off", "") in found.odd


def test_the_same_seed_draws_the_same_lines(lineup: Lineup) -> None:
    first, second, other = (
        attrs.evolve(lineup, particles=(), seed=seed).drawn([Case()], 4) for seed in (4, 4, 5)
    )

    assert [one.shown for one in first.particles] == [one.shown for one in second.particles]
    assert [one.shown for one in first.particles] != [one.shown for one in other.particles]


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ({"gague": "3 psi"}, "write one of pump filling"),
        ({"stop": "sometimes"}, "'stops', 'keeps running'"),
        ({"gauge at the stop": "31"}, "readings: gauge at the stop is '31'"),
        ({"gauge at the stop": "31 ft^2"}, "gauge at the stop"),
        ({"gauge at the stop": "9000 psi"}, "no such instrument"),
        ({"bucket @ nowhere": "3 gpm"}, "the troughs are"),
        ({"stop @ nowhere": "stops"}, "it is not read at a trough"),
    ],
)
def test_a_reading_that_cannot_be_is_said(
    home: lab.Site, readings: dict[str, str], words: str
) -> None:
    with pytest.raises(SiteError, match=words.replace("(", r"\(")):
        diagnose(home, readings)


def test_a_line_stopped_by_a_level_sensor_is_not_for_this() -> None:
    with pytest.raises(SiteError, match="its pressure switch stops"):
        diagnose(lab.demo_site("storage_tank"), {})


@pytest.mark.parametrize("sun", ["moonlight", "-3 W/m^2", "2000 W/m^2"])
def test_a_sun_that_cannot_be_is_said(home: lab.Site, sun: str) -> None:
    with pytest.raises(SiteError, match="sun"):
        line_up(home, sun=sun)


@pytest.mark.parametrize("kind", KINDS)
def test_what_nobody_knows_stays_within_its_range_and_the_rules(kind: str) -> None:
    site = site_of(*KINDS[kind])
    low, high = (as_it_may_be(site, dict.fromkeys(UNKNOWNS, at)) for at in (0.0, 1.0))

    assert si(low.well.static_level) == pytest.approx(0.92 * si(site.well.static_level), rel=1e-3)
    assert si(high.well.static_level) < si(high.well.intake_depth)
    assert si(low.pressure_switch.cut_in) == pytest.approx(
        si(site.pressure_switch.cut_in) - 1.5 * PSI, rel=1e-3
    )
    for run, thin in zip(site.runs(), low.runs(), strict=True):
        assert si(thin.pipe.bore) == pytest.approx(0.97 * si(run.pipe.bore), rel=1e-3)


def test_a_visit_reads_what_a_run_shows(home: lab.Site) -> None:
    """The gauge while filling and the bucket are those of the settled line."""
    bare = home.changed({f"trough.{t.name}.herd": None for t in home.troughs})
    name = bare.troughs[0].name

    shown = visit(bare, name, sun="800 W/m^2", built=bare)

    settled = lab.steady(bare, sun="800 W/m^2", open_troughs=[name])
    assert shown["gauge filling", name] == pytest.approx(settled.pressure["manifold"], rel=2e-3)
    assert shown["bucket", name] == pytest.approx(settled.inflow[name], rel=2e-3)
    assert shown["stop", ""] == "stops"
    assert float(shown["gauge at the stop", ""]) >= si(bare.pressure_switch.cut_out)


def test_a_line_that_short_cycles_is_read_and_its_floats_lifted_while_its_pump_runs() -> None:
    """A long run, its float passing a quarter less than its sheet says: nothing hangs on seconds."""
    site = site_of(*KINDS["long"]).changed({"trough.notch.herd": None})
    lines = [
        as_it_may_be(site, {"float flow": 0.05 * n, "pipe bore": 0.0, "pump head": 1.0})
        for n in range(6)
    ]
    read = [visit(line, "notch", sun="1000 W/m^2", built=site) for line in lines]
    cycling = [one for one in read if one["pump filling", "notch"] == "starts and stops"]

    assert len(cycling) >= 4
    cut_out = si(site.pressure_switch.cut_out)
    for one in cycling:
        assert one["stop", ""] == "stops"
        assert float(one["gauge at the stop", ""]) > cut_out
        assert (one["controller", ""], one["contact stopped", ""]) == ("running", "closed")
        assert one["contact filling", ""] == one["pair filling", ""] == "open"


def test_every_reading_and_test_has_its_words() -> None:
    words = bundle("diagnosis")

    for key in READINGS:
        assert words.has_message(f"reading-{key.replace(' ', '-')}"), key
    for key in TESTS:
        message = words.get_message(f"test-{key.replace(' ', '-')}")
        assert "how" in message.attributes, key
        if TESTS[key].risk:
            assert "caution" in message.attributes or key == "open line", key


def test_the_command_refuses_a_reading_without_a_value(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["diagnose", "one_trough", "--read", "stop"]) == 2
    assert "NAME=VALUE" in capsys.readouterr().err


def _held_to_the_marks(kinds: list[str], count: int) -> None:
    played = [
        one
        for number, kind in enumerate(kinds)
        for one in play_site(site_of(*KINDS[kind]), count, 10 + number)
    ]
    faulty = [one for one in played if one.hidden != (SOUND,)]
    sound = [one for one in played if one.hidden == (SOUND,)]
    told = np.array([(c, k in one.hidden) for one in played for k, c in one.told.items()], float)
    rows = [told[(told[:, 0] >= low) & (told[:, 0] < high)] for low, high in pairwise(BINS)]
    table = [(len(part), *part.mean(axis=0).tolist()) for part in rows if part.size]
    among = np.mean([one.rank < 2 for one in faulty])
    called = np.mean([one.rank == 0 for one in sound])
    figures = f"first two {among:.3f} of {len(faulty)}, sound {called:.3f} of {len(sound)}, {table}"
    logging.getLogger(__name__).info("number, told, found: %s", figures)
    assert among >= 0.9, figures
    assert called >= 0.95, figures
    for number, said, found in table:  # three standard errors of a share, and a fortieth
        error = np.sqrt(max(said * (1.0 - said), 0.01) / number)
        assert abs(said - found) <= 3.0 * error + 0.025, figures


def test_hidden_faults_are_found_on_one_line() -> None:
    _held_to_the_marks(["flat"], 8)


@pytest.mark.slow
def test_five_hundred_hidden_faults_are_found_on_eleven_lines() -> None:
    _held_to_the_marks(list(KINDS), 46)


def test_every_fault_that_fits_is_a_suspect(home: lab.Site, lineup: Lineup) -> None:
    keys = {key for one in lineup.particles for key, _ in one.case.faults}

    assert keys == {key for key, fault in FAULTS.items() if fault.fits(home)}
