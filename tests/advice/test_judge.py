"""One judge: nobody who judges a line may contradict another, on any line."""

from __future__ import annotations

from math import inf
from pathlib import Path

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from labkit import Site, demo_site, simulate
from labkit.advice.days import day_water
from labkit.advice.judge import VERDICTS, judge
from labkit.advice.line import Line, find_range
from labkit.advice.stop_methods import stop_methods
from labkit.advice.window import bare_window
from labkit.engine import run as engine_run
from labkit.engine.strain import COUNTED
from labkit.errors import RunError, SiteError
from labkit.sitefile import DEMO_SITES, loads
from labkit.sun import clear_day
from labkit.trace import VERDICTS as OF_RUNS
from labkit.units import si
from labkit.view.advice_told import outcome
from labkit.view.judge_words import JUDGE, cause, judged_words
from tests.advice.asking import contradictions
from tests.advice.trying import KINDS, SENSOR, kind_of_site
from tests.customary import PSI
from tests.engine.lines import line
from tests.laws.working import working_sites

RANCHES = sorted(path.stem for path in DEMO_SITES.glob("*.toml"))
SHORT = ("flat", "mains", "band two inches, bare", "weak pipe", "sensor and switch", "buried leak")


@pytest.mark.parametrize("name", RANCHES)
def test_nobody_contradicts_another_on_the_ranches(name: str) -> None:
    assert contradictions(demo_site(name)) == []


@pytest.mark.parametrize("kind", SHORT)
def test_nobody_contradicts_another(kind: str) -> None:
    assert contradictions(kind_of_site(kind)) == []


@pytest.mark.parametrize("kind", SHORT)
def test_who_only_asks_whether_a_line_works_hears_the_same(kind: str) -> None:
    whole = judge(kind_of_site(kind))

    brief = judge(kind_of_site(kind), gives_up_past=inf)

    assert brief.works == whole.works
    assert set(brief.reasons) <= set(whole.reasons)
    if whole.works:
        assert brief == whole


@pytest.mark.slow
@pytest.mark.parametrize("kind", sorted(set(KINDS) - set(SHORT)))
def test_nobody_contradicts_another_on_every_other_line(kind: str) -> None:
    assert contradictions(kind_of_site(kind)) == []


@pytest.mark.parametrize("contact", ["stuck closed", "stuck open"])
@pytest.mark.parametrize("action", ["closes when full", "opens when full"])
def test_a_sensor_that_is_stuck_leaves_no_setting_to_recommend(contact: str, action: str) -> None:
    """The switch alone would do; with a sensor that always says one thing nothing does."""
    sensor = SENSOR | {"contact": contact, "action": action}
    site = kind_of_site("sensor and switch").changed({"level_sensors": [sensor]})

    assert contradictions(site, with_form=False) == []
    assert bare_window(site, 250.0, 1000.0).recommended is None


def _asked(text: str, *, with_rig: bool) -> None:
    """The form passes on what the window says, on named lines enough to see it."""
    site = loads(text)
    if find_range(Line.of(site), 250.0, 1000.0) is None:  # the pump never starts
        assert judge(site).verdict == "at rest"
        with pytest.raises(SiteError, match="never starts"):
            bare_window(site, 250.0, 1000.0)
        reject()
    with_methods = len(site.troughs) < 4
    said = contradictions(
        site, with_methods=with_methods, with_rig=with_rig and with_methods, with_form=False
    )
    assert said == []


@settings(max_examples=3)  # some take half a minute
@given(text=working_sites())
def test_nobody_contradicts_another_on_random_lines(text: str) -> None:
    _asked(text, with_rig=False)


@pytest.mark.slow
@settings(max_examples=300)
@given(text=working_sites())
def test_nobody_contradicts_another_on_300_random_lines(text: str) -> None:
    _asked(text, with_rig=True)


def test_every_verdict_has_a_headline_and_every_run_s_verdict_is_the_judge_s() -> None:
    assert all(f"headline {verdict}" in JUDGE for verdict in VERDICTS)
    assert set(OF_RUNS) <= set(VERDICTS)


@pytest.mark.parametrize("inches", [0.5, 1.0, 2.0, 4.0])
def test_a_slow_float_starts_a_bare_line_ever_more_often(inches: float) -> None:
    """By hand: while a float lets by a share q of the pump's flow Q, a cycle takes V / q Q to fall
    and V / (1 - q) Q to rise, V the water the line gives between its points; so over a band of water
    B the starts come to B / V times the integral of (1 - q), a half. Doubling the band doubles them.
    """
    bare = demo_site("one_trough").changed({"pressure_tank": None})
    name = bare.troughs[0].name
    band = f"trough.{name}.float_valve.band"
    one, two = (judge(bare.changed({band: f"{b} in"})) for b in (inches, 2.0 * inches))

    assert one.starts is not None
    assert two.starts is not None
    assert two.starts == pytest.approx(2.0 * one.starts, rel=0.25)


def test_where_the_switch_works_as_it_stands_nobody_is_told_that_nothing_does() -> None:
    """A slow float on a bare line: it starts too often at every setting but the highest, where the
    pump has little left to give."""
    site = line(
        well={"static_level": "244 ft", "intake_depth": "324 ft", "drawdown": "0.5 ft/gpm"},
        array={"rated_power": "5100 W"},
        pump={
            "kind": "centrifugal", "shut_off_head": "364 ft", "rated_flow": "9.2 gpm",
            "rated_head": "273 ft",
        },
        drive={"kind": "solar", "soft_start": "1 s", "ramp_down": "0.5 s"},
        pressure_switch={"cut_in": "31 psi", "cut_out": "51 psi"},
        trough__lane__pipe__length="668 ft",
        trough__lane__pipe__size="1 1/2 in PE SIDR 9",
        trough__lane__float_valve={"flow": "9 gpm at 20 psi", "band": "2 in"},
    )  # fmt: skip
    low = site.changed({"switch.cut_in": "19 psi", "switch.cut_out": "36 psi"})

    assert not judge(low).works
    assert judge(site).works
    assert bare_window(site, 250.0, 1000.0).is_open


def test_the_motor_s_own_figure_rules() -> None:
    bare = demo_site("one_trough").changed({"pressure_tank": None})
    usual = judge(bare)
    assert usual.works
    assert usual.starts is not None

    strict = judge(bare.changed({"drive.most_starts": usual.starts - 1.0}))

    assert strict.verdict == "cycling"
    assert "motor can take about" in judged_words(strict, "US")


def _chatters() -> Site:
    return line(
        drive={"kind": "solar", "soft_start": "0.2 s", "ramp_down": "0.2 s"},
        trough__lane__pipe__length="20 ft",
        leaks=({"at": "lane", "size": "1 gpm at 30 psi"},),
    )


def test_everyone_has_a_verdict_of_a_line_that_chatters_for_days(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Window, map, card, methods, rig and form; their longest runs end where it starts too often."""
    monkeypatch.setattr(engine_run, "_MOST_CHATTERED", 0)
    site = _chatters()

    assert contradictions(site, with_methods=False) == []
    by_pressure = stop_methods(site, with_failures=False)["pressure"]
    assert not by_pressure.feasible
    assert by_pressure.sound.is_cut_short
    assert by_pressure.sound.outcome == "cycles"
    assert f"pump starts {by_pressure.sound.starts:,}+ times" in outcome(by_pressure.sound, "US")
    with pytest.raises(RunError, match="starts more than 1,000 times an hour"):
        day_water(site, clear_day(site, "2023-07-17"))


def test_starts_of_a_line_that_chatters_are_not_counted_to_the_end() -> None:
    """By hand: starting and stopping take 0.4 s, and 20 ft of line give up their water in as little,
    so trials of two hours and more would see thousands of starts."""
    judged = judge(_chatters())

    assert judged.verdict == "cycling"
    assert judged.starts == COUNTED
    assert "up to 1,000+ times an hour" in judged_words(judged, "US")


def test_a_torque_limit_is_a_safety_stop_only_where_the_ramp_runs_into_it() -> None:
    """The limit would hold the shut line at 77 psi, whatever the switch says."""
    deep = (Path(__file__).parent / "sites" / "helical.toml").read_text(encoding="utf-8")
    limit = Line.of(loads(deep)).dead_head(1000.0).pressure["manifold"] / PSI
    assert 60.0 < limit < 90.0

    def set_at(cut_out: float) -> str:
        cut_in = cut_out - 20.0
        switch = {"switch.cut_in": f"{cut_in} psi", "switch.cut_out": f"{cut_out} psi"}
        return judge(loads(deep).changed(switch)).verdict

    assert set_at(38.0) == "sound stop"
    assert set_at(limit - 0.5) == "safety stop"


def test_a_run_that_sucked_its_line_empty_is_not_headed_good() -> None:
    """A trough far below an open line that the pump cannot keep full in weak sun."""
    low = demo_site("one_trough").changed({"pressure_tank": None})
    name = low.troughs[0].name
    low = low.changed({f"trough.{name}.pipe.rise": "-90 ft"})

    trace = simulate(low, "3 hour", sun="300 W/m^2", levels={name: "4 in"})

    assert trace.times("suction")
    assert trace.verdict != "sound stop"


@given(psi=st.integers(5, 60), apart=st.integers(8, 30))
@settings(max_examples=25)
def test_reasons_come_the_gravest_first_and_each_has_its_sentence(psi: int, apart: int) -> None:
    site = demo_site("three_troughs").changed(
        {"switch.cut_in": f"{psi} psi", "switch.cut_out": f"{psi + apart} psi"}
    )
    judged = judge(site)

    ranks = [VERDICTS.index(reason.verdict) for reason in judged.reasons]
    assert ranks == sorted(ranks)
    for reason in judged.reasons:
        said = cause(judged, reason, "US")
        assert "{" not in said
        assert "None" not in said
    high = max(site.elevation(t.name) for t in site.troughs) * 9790.0
    is_low = si(site.pressure_switch.cut_in) < high - 0.2 * PSI
    assert not is_low or "stuck off" in {reason.verdict for reason in judged.reasons}
