"""What a visit reads on a sound line, from what its file says; typed readings; lines as drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

import labkit as lab
from labkit.diagnosis import READINGS, TESTS
from labkit.diagnosis.reasoning import irradiance, typed_readings
from labkit.diagnosis.suspects import UNKNOWNS, Case, as_it_may_be, paired, single_cases
from labkit.diagnosis.visit import WAITS, after_a_stop, visit
from labkit.parts import CentrifugalPump
from labkit.units import si
from tests.customary import FOOT, GPM, PSI

if TYPE_CHECKING:
    from labkit.diagnosis.visit import Shown
    from labkit.site import Site

SUN = "900 W/m^2"


def bare(name: str) -> Site:
    site = lab.demo_site(name)
    return site.changed({f"trough.{t.name}.herd": None for t in site.troughs})


@pytest.fixture(scope="module")
def home() -> Site:
    return bare("one_trough")


@pytest.fixture(scope="module")
def shown(home: Site) -> dict[tuple[str, str], Shown]:
    return visit(home, "lane", sun=SUN, built=home)


def test_every_reading_is_read_on_a_sound_line(shown: dict[tuple[str, str], Shown]) -> None:
    assert {key for key, _ in shown} == set(READINGS)
    assert all(where == ("lane" if READINGS[key].at_trough else "") for key, where in shown)
    assert {key for test in TESTS.values() for key in test.reads} == set(READINGS)


@pytest.mark.parametrize(
    ("key", "word"),
    [
        ("pump filling", "runs"), ("stop", "stops"), ("start", "starts"), ("controller", "running"),
        ("contact filling", "open"), ("pair filling", "open"), ("contact stopped", "closed"),
        ("pair stopped", "closed"), ("lever up", "closed"), ("lever down", "open"),
        ("pair ohms", "a few ohms"), ("insulation", "good"), ("leads swapped", "less water"),
        ("wellhead", "dry"), ("shutoff valve", "open"), ("pipe size", "as designed"),
    ],
)  # fmt: skip
def test_a_sound_line_says_so(shown: dict[tuple[str, str], Shown], key: str, word: str) -> None:
    """A switch that closes on rise is open until it trips; two leads swapped turn a pump backward."""
    assert shown[key, "lane" if READINGS[key].at_trough else ""] == word


def test_a_sound_line_reads_what_its_file_says(
    home: Site, shown: dict[tuple[str, str], Shown]
) -> None:
    switch, well, tank = home.pressure_switch, home.well, home.pressure_tank
    settled = lab.steady(home, sun=SUN, open_troughs=["lane"])
    assert tank is not None

    number = {key: float(value) for (key, _), value in shown.items() if not isinstance(value, str)}
    assert number["tank air"] == pytest.approx(si(tank.precharge))
    assert number["well at rest"] == pytest.approx(si(well.static_level))
    drawn = si(well.drawdown) * settled.pump_flow
    assert number["well pumping"] == pytest.approx(number["well at rest"] + drawn, rel=2e-3)
    assert number["gauge at the start"] == pytest.approx(si(switch.cut_in), abs=0.1 * PSI)
    assert number["gauge after ten minutes"] > si(switch.cut_in)
    assert number["stop to start"] == WAITS, "nothing leaks, and nobody waits longer"
    assert 1.0 < number["float down to start"] < 600.0
    for key in ("still runs in", "fall shut off", "fall open", "gauge drained"):
        assert number[key] == pytest.approx(0.0, abs=0.01 * PSI), key
    nominal = 0.9 * si(home.array.rated_power) * home.array.derate
    assert 0.8 * nominal < number["array power"] < nominal, "warm cells give a little less"


ORDERS = {
    "pressure": (0.3 * PSI, 2.0 * PSI), "flow": (0.0, 0.2 * GPM), "time": (2.0, 30.0),
    "length": (0.5 * FOOT, 2.0 * FOOT), "power": (1.0, 20.0),
}  # fmt: skip
"""Kind of reading -> between what its standard error lies (common practice): a cheap gauge, a bucket
and a watch, a sounder, a clamp meter."""


def test_the_error_of_each_reading_is_of_the_order_of_its_instrument() -> None:
    for key, reading in READINGS.items():
        if reading.kind == "word":
            assert (reading.error, reading.share) == (0.0, 0.0), key
            assert len(set(reading.words)) == len(reading.words) >= 2, key
            continue
        least, most = ORDERS[reading.kind]
        assert least <= reading.error <= most, key
        assert 0.0 <= reading.share <= 0.12, key
        assert reading.share > 0.0 or reading.kind in ("pressure", "length"), key


def test_the_minutes_of_a_test_are_minutes_and_danger_is_asked_later() -> None:
    for key, test in TESTS.items():
        assert 2.0 <= test.minutes <= 60.0, key
        assert 0.0 <= test.risk <= 30.0, key
    behind = [TESTS[key].risk for key in ("insulation", "swap", "array")]
    assert min(behind) > max(TESTS[key].risk for key in ("fill", "stop", "well at rest", "tank"))


def test_a_plugged_gauge_shows_the_same_wherever_it_is_read(home: Site) -> None:
    stuck = visit(home, "lane", sun=SUN, stopped_gauge=20 * PSI, built=home)

    read = [key for key, reading in READINGS.items() if reading.is_gauge]
    assert len(read) == 4
    for key in read:
        assert stuck[key, "lane" if READINGS[key].at_trough else ""] == pytest.approx(20 * PSI)
    assert stuck["fall open", ""] == 0.0


def test_on_a_line_with_one_fault_only_its_own_reading_turns(
    home: Site, shown: dict[tuple[str, str], Shown]
) -> None:
    """A smaller pipe is read off its print, bad insulation by a tester, a pair's ohms by a meter."""
    thin = home.changed({"trough.lane.pipe.size": "1 in PE SIDR 15"})
    lead = home.changed({"drive.fault": "motor lead"})

    assert visit(thin, "lane", sun=SUN, built=home)["pipe size", "lane"] == "smaller"
    faulty = visit(lead, "lane", sun=SUN, built=home)
    assert faulty["insulation", ""] == "low"
    assert (faulty["controller", ""], faulty["pump filling", "lane"]) == (
        "showing a fault code", "off",
    )  # fmt: skip
    assert faulty["stop", ""] == "was off"
    assert faulty["start", ""] == "stays off"
    assert ("gauge filling", "lane") not in faulty
    assert faulty["well at rest", ""] == shown["well at rest", ""]


def test_a_pump_that_its_switch_never_stops_keeps_running(home: Site) -> None:
    """A cut-out of 70 psi lies over all that 190 ft of head can push against 60 ft of lift."""
    weak = home.changed({"pressure_switch.cut_out": "70 psi"})

    read = visit(weak, "lane", sun=SUN, built=home)

    assert read["stop", ""] == "keeps running"
    assert ("start", "") not in read
    assert ("stop to start", "") not in read
    head = 130 * FOOT * 9806.65
    assert 0.95 * head < float(read["gauge at the stop", ""]) < 1.05 * head
    assert after_a_stop(weak, "lane", sun=SUN, lasts=60.0) is None


def test_after_a_stop_a_sound_line_holds(home: Site, shown: dict[tuple[str, str], Shown]) -> None:
    held = after_a_stop(home, "lane", sun=SUN, lasts=600.0)

    assert held is not None
    time, pressure = held
    assert (time[0], time[-1]) == (0.0, pytest.approx(600.0))
    assert pressure[-1] == pytest.approx(float(shown["gauge after ten minutes", ""]), rel=1e-6)
    assert float(np.ptp(pressure)) < 3 * PSI


def test_a_relief_valve_that_opens_on_the_way_to_the_stop_is_seen(home: Site) -> None:
    weak = home.changed({"relief_valve": {"opens_at": "30.1 psi", "capacity": "9 gpm at 60 psi"}})

    assert visit(weak, "lane", sun=SUN, built=home)["wellhead", ""] == "relieving"


def test_where_there_are_several_troughs_each_is_filled_for_itself() -> None:
    site = bare("three_troughs")
    names = [trough.name for trough in site.troughs]

    read = visit(site, names[-1], sun=SUN, built=site)

    for name in names:
        alone = lab.steady(site, sun=SUN, open_troughs=[name])
        assert read["bucket", name] == pytest.approx(alone.inflow[name], rel=5e-3)
        assert read["gauge at the float", name] == pytest.approx(alone.pressure[name], rel=5e-3)
        assert read["still runs in", name] == 0.0


# --- lines as they may be ---


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_each_unknown_moves_its_own_part_of_the_line(share: float) -> None:
    """By its share of its range, and nothing else."""
    site = bare("one_trough")

    def parts(site: Site) -> dict[str, float]:
        (run,), (trough,), switch = site.runs(), site.troughs, site.pressure_switch
        assert site.pressure_tank is not None
        assert isinstance(site.pump, CentrifugalPump)
        return {
            "water level": si(site.well.static_level),
            "well drawdown": si(site.well.drawdown),
            "pump head": si(site.pump.shut_off_head),
            "rated head": si(site.pump.rated_head),
            "array": site.array.derate,
            "pipe bore": si(run.pipe.bore),
            "float flow": si(trough.float_valve.flow.flow),
            "float band": si(trough.float_valve.band),
            "switch": si(switch.cut_in),
            "differential": si(switch.cut_out) - si(switch.cut_in),
            "precharge": si(site.pressure_tank.precharge),
        }

    before = parts(site)
    for key, unknown in UNKNOWNS.items():
        after = parts(as_it_may_be(site, {key: share}))
        at = unknown.least + share * (unknown.most - unknown.least)
        expected = dict(before)
        for moved in (key, "rated head") if key == "pump head" else (key,):
            expected[moved] = before[moved] * at if unknown.kind == "share" else before[moved] + at
        assert after == pytest.approx(expected, rel=1e-4), key


def test_an_unknown_that_the_rules_refuse_stays_within_them() -> None:
    """Water over the pump's intake, cut-in above nothing and under the cut-out, no air under none."""
    site = bare("one_trough").changed(
        {
            "well.static_level": "105 ft", "pressure_switch.cut_in": "1.5 psi",
            "pressure_switch.cut_out": "3 psi", "pressure_tank.precharge": "1 psi",
            "trough.lane.float_valve.band": "15 in", "array.derate": 0.98,
        }
    )  # fmt: skip
    low, high = (as_it_may_be(site, dict.fromkeys(UNKNOWNS, at)) for at in (0.0, 1.0))

    assert si(high.well.static_level) == pytest.approx(110 * FOOT - 0.5, abs=0.01)
    assert si(low.pressure_switch.cut_in) == pytest.approx(0.5 * PSI, rel=1e-3)
    assert si(low.pressure_switch.cut_out) == pytest.approx(1.5 * PSI, rel=1e-3)
    assert low.pressure_tank is not None
    assert si(low.pressure_tank.precharge) == 0.0
    trough = site.trough("lane")
    deepest = si(trough.depth) - si(trough.freeboard)
    assert si(high.trough("lane").float_valve.band) == pytest.approx(0.8 * deepest, rel=1e-4)
    assert high.array.derate == 1.0


def test_two_faults_are_paired_once_and_never_with_themselves() -> None:
    cases = single_cases(bare("three_troughs"))
    shut = [case for case in cases if case.key == "stuck-shut float"]

    assert cases[0] == Case()
    assert len(shut) == 3
    assert paired(shut[0], shut[1]) is None
    one, other = shut[0], next(case for case in cases if case.key == "low well")
    assert paired(one, other) == paired(other, one)
    both = paired(one, other)
    assert both is not None
    assert both.key == "low well + stuck-shut float"


# --- what is typed ---


@pytest.mark.parametrize(
    ("name", "typed", "key", "place", "value"),
    [
        ("gauge at the stop", "31 psi", "gauge at the stop", "", 31 * PSI),
        ("bucket", "3 gpm", "bucket", "the last", 3 * GPM),
        ("bucket @ the first", "3 gpm", "bucket", "the first", 3 * GPM),
        ("stop to start", "4 min", "stop to start", "", 240.0),
        ("stop to start", "3 hour", "stop to start", "", WAITS),
        ("stop to start", "Never", "stop to start", "", WAITS),
        ("stop", " Keeps  running ", "stop", "", "keeps running"),
        ("gauge drained", "0 psi", "gauge drained", "", 0.0),
    ],
)
def test_what_is_typed_is_read(
    name: str, typed: str, key: str, place: str, value: float | str
) -> None:
    site = lab.demo_site("three_troughs")
    first, *_, last = (trough.name for trough in site.troughs)
    names = {"the first": first, "the last": last}

    read = typed_readings(site, {name.replace("the first", first): typed}, last)

    found = read[key, names.get(place, "")]
    assert found == (value if isinstance(value, str) else pytest.approx(value, rel=1e-5))


def test_the_sun_is_what_was_seen_or_measured() -> None:
    assert irradiance("full sun")[0] < 1000.0 < irradiance("full sun")[1]
    assert irradiance("overcast")[1] <= irradiance("thin cloud")[0] < irradiance("light haze")[0]
    assert irradiance("500 W/m^2") == pytest.approx((460.0, 540.0))
    assert irradiance("20 W/m^2") == pytest.approx((18.4, 21.6))
    assert irradiance("1400 W/m^2")[1] > 1400.0
