"""The judge's rules, each by hand: settled limits without a run, and runs that are made up."""

from __future__ import annotations

from collections import defaultdict
from math import inf
from types import SimpleNamespace
from typing import Any, Final

import pytest

from labkit import Site, demo_site, steady
from labkit.advice import judge as judge_module
from labkit.advice.judge import Judgement, judge
from labkit.engine.strain import COUNTED, starts_limit
from tests.advice.trying import SENSOR
from tests.customary import PSI
from tests.engine.lines import DISPLACEMENT, line

Seen = tuple[str, float]
"""A trough, and the sun in which it is tried [W/m2]."""

SUNS: Final = (1000.0, 625.0, 250.0)


TWO: Final[dict[str, Any]] = {
    "trough": [
        {
            "name": name, "volume": "200 gal", "depth": "24 in",
            "pipe": {"from": "manifold", "length": "400 ft", "size": "2 in PE SIDR 15", "rise": "0 ft"},
            "float_valve": {"flow": "8 gpm at 20 psi"},
        }
        for name in ("lane", "far")
    ]
}  # fmt: skip


class Runs:
    """Made-up trials: a verdict, starts and a pressure at every node [Pa]; sound ones but for `odd`."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, odd: dict[Seen, dict[str, Any]]) -> None:
        self.asked: list[Seen] = []
        self.enough: list[int] = []
        self.odd = odd
        monkeypatch.setattr(judge_module, "trial", lambda _, name: _Script(self, name))
        monkeypatch.setattr(
            judge_module, "peaks", lambda trace, _: defaultdict(lambda: trace.pressure)
        )


class _Script:
    def __init__(self, runs: Runs, name: str) -> None:
        self.runs, self.name = runs, name

    def run(self, sun: Any, *, enough: int) -> SimpleNamespace:
        seen = self.name, float(sun.magnitude)
        self.runs.asked.append(seen)
        self.runs.enough.append(enough)
        usual = {"verdict": "sound stop", "starts": 1, "pressure": 0.0}
        return SimpleNamespace(**(usual | self.runs.odd.get(seen, {})))

    def starts(self, trace: Any) -> int:
        return int(trace.starts)


def tried(
    monkeypatch: pytest.MonkeyPatch, site: Site, odd: dict[Seen, dict[str, Any]], **asked: Any
) -> tuple[Judgement, Runs]:
    runs = Runs(monkeypatch, odd)
    return judge(site, **asked), runs


# --- runs


def test_each_trough_is_tried_in_strong_middling_and_weak_sun(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    site = line(**TWO)

    judged, runs = tried(monkeypatch, site, {})
    _, one = tried(monkeypatch, site, {}, troughs=["far"])

    assert runs.asked == [(name, sun) for name in ("lane", "far") for sun in SUNS]
    assert one.asked == [("far", sun) for sun in SUNS]
    assert judged.verdict == "sound stop"


def test_on_the_mains_each_trough_is_tried_once_and_no_sun_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    site = demo_site("one_trough").changed({"drive.kind": "mains"})

    judged, runs = tried(monkeypatch, site, {("lane", 1000.0): {"verdict": "cycling"}})

    assert len(runs.asked) == 1
    assert [(reason.verdict, reason.sun) for reason in judged.reasons] == [("cycling", None)]


def test_what_any_run_shows_counts_and_starts_are_the_most_of_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    odd: dict[Seen, dict[str, Any]] = {
        ("lane", 1000.0): {"starts": 7},
        ("lane", 625.0): {"verdict": "false stop"},
        ("lane", 250.0): {"starts": 3, "verdict": "stuck off"},
    }

    judged, _ = tried(monkeypatch, demo_site("one_trough"), odd)

    assert judged.starts == 7
    assert [(reason.verdict, reason.sun) for reason in judged.reasons] == [
        ("stuck off", 250.0), ("false stop", 625.0),
    ]  # fmt: skip
    assert not judged.works


def test_a_run_that_passes_what_a_part_stands_is_no_sound_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    site = demo_site("one_trough").changed({"trough.lane.float_valve.holding_pressure": "45 psi"})
    pressures = {("lane", 625.0): 44.0, ("lane", 250.0): 46.0}
    odd = {seen: {"pressure": psi * PSI} for seen, psi in pressures.items()}

    judged, _ = tried(monkeypatch, site, odd)

    (reason,) = judged.reasons
    assert (reason.verdict, reason.cause, reason.where, reason.sun) == (
        "over pressure", "float holds", "lane", 250.0,
    )  # fmt: skip


def test_a_line_that_is_sucked_empty_works_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    odd = {("lane", 1000.0): {"verdict": "sucked empty"}}

    judged, runs = tried(monkeypatch, demo_site("one_trough"), odd, gives_up_past=inf)

    assert judged.works
    assert judged.verdict == "sucked empty"
    assert len(runs.asked) == 3, "nothing keeps it from working, so all is run"


@pytest.mark.parametrize(
    ("odd", "gives_up_past", "runs"),
    [
        ({"starts": 3}, 2.0, 1),
        ({"starts": 2}, 2.0, 3),
        ({"verdict": "false stop"}, 2.0, 1),
        ({"verdict": "false stop"}, None, 3),
        ({"starts": 3}, None, 3),
        ({"pressure": 1e9}, inf, 1),
    ],
)
def test_who_asks_whether_a_line_works_need_not_hear_the_rest(
    monkeypatch: pytest.MonkeyPatch, odd: dict[str, Any], gives_up_past: float | None, runs: int
) -> None:
    """Past the starts that are asked about, or past anything that keeps it from working."""
    first = {("lane", 1000.0): odd}

    _, seen = tried(monkeypatch, demo_site("one_trough"), first, gives_up_past=gives_up_past)

    assert len(seen.asked) == runs


def test_no_further_run_is_needed_past_four_times_what_a_motor_stands(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    site = demo_site("one_trough")
    most = int(4.0 * starts_limit(site))

    for starts, runs in ((most, 3), (most + 1, 1)):
        judged, seen = tried(monkeypatch, site, {("lane", 1000.0): {"starts": starts}})
        assert len(seen.asked) == runs
        assert judged.starts == starts


def test_one_start_more_than_a_motor_stands_shows_that_it_cycles(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    site = demo_site("one_trough")

    _, all_counted = tried(monkeypatch, site, {})
    _, for_the_verdict = tried(monkeypatch, site, {}, counts=False)

    assert set(all_counted.enough) == {COUNTED}
    assert set(for_the_verdict.enough) == {int(starts_limit(site)) + 1}


# --- settled limits


def refused(site: Site, low: float = 250.0) -> list[tuple[str, str | None, float | None]]:
    """What speaks against a line without a run of it: verdict, trough and sun."""
    judged = judge(site, low)
    assert judged.starts is None, "a run was needed"
    return [(reason.verdict, reason.where, reason.sun) for reason in judged.reasons]


def test_a_trough_that_the_strongest_sun_fills_over_the_cut_out_stops_it_too_soon() -> None:
    """The line settles far under its cut-out in the weakest sun, and over it in the strongest."""
    site = line(array__rated_power="2000 W", switch__cut_out="12 psi", switch__cut_in="4 psi")
    free = site.changed({"switch.cut_out": "100 psi"})
    weak, strong = (
        steady(free, sun=f"{sun} W/m^2", open_troughs=["lane"]).pressure["manifold"]
        for sun in (50.0, 1000.0)
    )
    assert weak < 6.0 * PSI < 12.0 * PSI < strong

    assert ("false stop", "lane", 1000.0) in refused(site, 50.0)


def shut(site: Site, sun: float) -> float:
    """Highest pressure of the shut line [psi], whatever the switch says."""
    free = site.changed({"switch.cut_out": "200 psi"})
    return steady(free, sun=f"{sun} W/m^2", open_troughs=[]).pressure["manifold"] / PSI


@pytest.mark.parametrize(
    ("changes", "low", "cut_out"),
    [
        ({"array__rated_power": "500 W"}, 250.0, 40.0),
        ({"pump": DISPLACEMENT, "array__rated_power": "300 W", "drive__start_power": "10 W"},
         100.0, 85.0),
    ],
    ids=["centrifugal", "displacement, locked out in strong sun alone"],
)  # fmt: skip
def test_a_cut_out_that_the_weakest_sun_does_not_reach_never_stops_it(
    changes: dict[str, Any], low: float, cut_out: float
) -> None:
    site = line(**changes, switch__cut_out=f"{cut_out} psi")
    assert shut(site, low) < cut_out - 2.0 < cut_out + 2.0 < shut(site, 1000.0)

    assert refused(site, low) == [("no stop", None, low)]


def test_a_cut_out_that_is_not_reached_is_not_held_to_what_lies_over_it() -> None:
    """The float lets go at 30 psi, which no stop in the weakest sun comes to; one thing is told."""
    site = line(array__rated_power="500 W", trough__lane__float_valve__holding_pressure="30 psi")

    assert [verdict for verdict, *_ in refused(site)] == ["no stop"]


@pytest.mark.parametrize(
    ("listens", "troughs", "verdicts"),
    [
        ("either", ("lane", "far"), set()),
        ("either", ("lane",), {"no stop"}),
        ("pressure switch", ("lane", "far"), {"no stop"}),
        ("level sensor", ("lane", "far"), set()),
    ],
)
def test_sensors_in_every_trough_stop_a_pump_that_never_meets_its_cut_out(
    monkeypatch: pytest.MonkeyPatch, listens: str, troughs: tuple[str, ...], verdicts: set[str]
) -> None:
    site = line(
        **TWO, array__rated_power="500 W", drive__listens_to=listens,
        level_sensors=[SENSOR | {"trough": name} for name in troughs],
    )  # fmt: skip

    judged, _ = tried(monkeypatch, site, {})

    assert {reason.verdict for reason in judged.reasons} == verdicts


@pytest.mark.parametrize(("listens", "counts"), [("either", True), ("level sensor", False)])
def test_the_switch_counts_wherever_the_drive_listens_to_it_too(
    monkeypatch: pytest.MonkeyPatch, listens: str, counts: bool
) -> None:
    """40 ft of water weigh 17.3 psi, over a cut-in of 12."""
    site = line(
        trough__lane__pipe__rise="40 ft", switch__cut_in="12 psi", drive__listens_to=listens,
        level_sensors=[SENSOR],
    )  # fmt: skip

    judged, _ = tried(monkeypatch, site, {})

    assert ("stuck off" in {reason.verdict for reason in judged.reasons}) is counts


def test_a_stop_that_climbs_past_what_a_float_holds_is_over_pressure() -> None:
    site = line(
        trough__lane__float_valve__holding_pressure="45 psi",
        switch__cut_in="26 psi",
        switch__cut_out="46 psi",
    )

    assert refused(site) == [("over pressure", "lane", 1000.0)]
