"""Who may have done it: what is drawn of a line, and what each case puts into it; visits are made up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

import labkit as lab
from labkit.diagnosis import suspects
from labkit.diagnosis.suspects import (
    UNKNOWNS,
    Case,
    Particle,
    as_it_may_be,
    draw,
    paired,
    single_cases,
)
from labkit.errors import RunError
from labkit.faults import FAULTS
from labkit.units import quantity, si
from tests.customary import FOOT, INCH, PSI
from tests.engine.lines import DISPLACEMENT, line

if TYPE_CHECKING:
    from labkit.site import Site

WORN = Case(faults=(("worn pump", ""),))
LEAK = Case(faults=(("buried leak", "lane"),))
DUSTY_AND_WORN = Case(faults=(("dusty or shaded array", ""), ("worn pump", "")))


@pytest.fixture(scope="module")
def site() -> Site:
    return lab.demo_site("one_trough")


def of(site: Site) -> dict[str, float]:
    """What of a line nobody knows exactly, by what it goes by [SI]."""
    pump, switch, tank = site.pump, site.pressure_switch, site.pressure_tank
    valve = site.troughs[0].float_valve
    assert tank is not None
    assert pump.kind == "centrifugal"
    return {
        "water level": si(site.well.static_level),
        "well drawdown": si(site.well.drawdown),
        "pump head": si(pump.shut_off_head),
        "array": site.array.derate,
        "pipe bore": si(site.troughs[0].pipe.bore),
        "float flow": si(valve.flow.flow),
        "float band": si(valve.band),
        "switch": si(switch.cut_in),
        "differential": si(switch.cut_out) - si(switch.cut_in),
        "precharge": si(tank.precharge),
    }


@pytest.mark.parametrize("key", UNKNOWNS)
@pytest.mark.parametrize("at", [0.0, 0.25, 1.0])
def test_one_thing_is_put_where_it_was_drawn_and_all_else_stays(
    site: Site, key: str, at: float
) -> None:
    """By hand: so far of the way through its range. A switch that is off keeps its differential."""
    unknown, whole = UNKNOWNS[key], of(site)
    value = (1.0 - at) * unknown.least + at * unknown.most
    expected = whole | {key: whole[key] * value if unknown.kind == "share" else whole[key] + value}

    assert of(as_it_may_be(site, {key: at})) == pytest.approx(expected, rel=1e-4)


def test_every_head_of_the_pump_is_off_by_the_same_share_and_a_displacement_pump_s_by_none(
    site: Site,
) -> None:
    pump, curve = {"high_flow": "10 gpm", "high_head": "60 ft"}, {}
    three = site.changed({f"pump.{key}": value for key, value in pump.items()})
    for key in ("shut_off_head", "rated_head", "high_head"):
        low = as_it_may_be(three, {"pump head": 0.0})
        curve[key] = si(getattr(low.pump, key)) / si(getattr(three.pump, key))

    assert list(curve.values()) == pytest.approx([0.94, 0.94, 0.94], rel=1e-4)
    helical = line(pump=DISPLACEMENT)
    assert as_it_may_be(helical, {"pump head": 0.0}).pump == helical.pump


def test_every_run_and_every_float_is_off() -> None:
    ranch = lab.demo_site("three_troughs")

    low = as_it_may_be(ranch, {"pipe bore": 0.0, "float flow": 0.0})

    assert len(list(ranch.runs())) == 5
    for sound, thin in zip(ranch.runs(), low.runs(), strict=True):
        assert si(thin.pipe.bore) == pytest.approx(0.97 * si(sound.pipe.bore), rel=1e-4)
    for full, less in zip(ranch.troughs, low.troughs, strict=True):
        assert si(less.float_valve.flow.flow) == pytest.approx(
            0.75 * si(full.float_valve.flow.flow), rel=1e-4
        )


def test_what_the_rules_of_a_site_would_refuse_stays_within_them() -> None:
    """By hand: water half a meter over an intake 72 ft down, no cut-in under half a psi nor nearer
    to cut-out than one, no air under the outside's, a float that has four fifths of its trough's 23
    in, and an array that gives all it is rated."""
    edge = line(
        well={"static_level": "70 ft", "intake_depth": "72 ft"},
        array={"rated_power": "4000 W", "derate": 0.98},
        pressure_switch={"cut_in": "1 psi", "cut_out": "2.5 psi"},
        pressure_tank={"volume": "2 gal", "precharge": "0.5 psi"},
        trough__lane__freeboard="1 in",
        trough__lane__float_valve={"flow": "8 gpm at 20 psi", "band": "12 in"},
    )

    low, high = (of(as_it_may_be(edge, dict.fromkeys(UNKNOWNS, at))) for at in (0.0, 1.0))

    assert high["water level"] == pytest.approx(72.0 * FOOT - 0.5, rel=1e-4)
    assert high["array"] == 1.0
    assert high["float band"] == pytest.approx(0.8 * 23.0 * INCH, rel=1e-3)
    assert low["switch"] == pytest.approx(0.5 * PSI, rel=1e-3)
    assert low["differential"] == pytest.approx(1.0 * PSI, rel=1e-3)
    assert low["precharge"] == 0.0


def test_a_line_is_a_suspect_of_each_fault_that_it_can_have_in_each_of_its_places() -> None:
    """Without a tank no tank is wrong; a leak may be in each of the runs."""
    bare = lab.demo_site("three_troughs").changed({"pressure_tank": None})

    cases = single_cases(bare)

    assert cases[0] == Case()
    assert {one.key for one in cases[1:]} == {
        key for key, fault in FAULTS.items() if fault.fits(bare)
    }
    assert "wrong precharge" not in {one.key for one in cases}
    leaks = [one.faults[0][1] for one in cases if one.key == "buried leak"]
    assert leaks == list(FAULTS["buried leak"].places(bare))
    assert len(leaks) > 1


def test_two_faults_make_one_case_whichever_comes_first_and_one_in_two_places_makes_none() -> None:
    elsewhere = Case(faults=(("buried leak", "manifold"),))

    both = paired(WORN, LEAK)

    assert both == paired(LEAK, WORN)
    assert both is not None
    assert both.key == Case(faults=(*WORN.faults, *LEAK.faults)).key == "buried leak + worn pump"
    assert paired(LEAK, elsewhere) is None
    assert paired(LEAK, LEAK) is None


class Visits:
    """What was asked of a visit, which shows nothing."""

    def __init__(self, *, fails: bool = False) -> None:
        self.asked: list[dict[str, Any]] = []
        self.fails = fails

    def __call__(self, site: Site, trough: str, **more: Any) -> dict[tuple[str, str], float]:
        self.asked.append({"line": site, "trough": trough, **more})
        if self.fails:
            raise RunError("line", 0.0, "stopping", 0.0, "no step could be solved")
        return {}


def drawn(
    site: Site, case: Case, monkeypatch: pytest.MonkeyPatch, visits: Visits, count: int = 32
) -> list[Particle]:
    monkeypatch.setattr(suspects, "visit", visits)
    return draw(site, [case], trough="lane", sun=(600.0, 1000.0), count=count, seed=3)


def test_suns_are_spread_evenly_over_their_range(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Source: the first 2**5 points of a base-2 sequence leave none of as many equal parts empty."""
    visits = Visits()

    found = drawn(site, Case(), monkeypatch, visits)

    parts = [int((one.sun - 600.0) / 400.0 * 32.0) for one in found]
    assert sorted(parts) == list(range(32))
    asked = [float(str(one["sun"]).split()[0]) for one in visits.asked]
    assert sorted(asked) == pytest.approx(sorted(one.sun for one in found), abs=1e-3)
    assert {(one["trough"], one["built"].title) for one in visits.asked} == {("lane", site.title)}
    assert all(one["built"] == site for one in visits.asked)


def test_only_as_many_are_drawn_as_are_asked_for(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    for count in (1, 2, 3, 8, 9):
        assert len(drawn(site, Case(), monkeypatch, Visits(), count)) == count


def test_two_faults_are_bad_by_themselves_on_a_line_that_is_a_little_off(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each is bad by its own draw, so that all four quarters of slight and bad come up."""
    visits = Visits()

    found = drawn(site, DUSTY_AND_WORN, monkeypatch, visits)

    dusty, worn = (np.array([float(one.sizes[i]) for one in found]) for i in (0, 1))
    quarters = {
        (bool(a), bool(b))
        for a, b in zip(dusty > np.median(dusty), worn > np.median(worn), strict=True)
    }
    assert len(quarters) == 4
    lines = [one["line"] for one in visits.asked]
    assert all(one.line in lines for one in found), "the line with its faults is visited"
    both = [
        FAULTS["worn pump"].apply(site, size, "").pump for size in {one.sizes[1] for one in found}
    ]
    assert all(one.line.pump not in both for one in found)
    assert all(one.line.array.derate < 0.88 * site.array.derate for one in found)


def test_a_gauge_that_stands_still_shows_its_size_and_no_other_fault_stops_it(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    stuck, leaks = Visits(), Visits()

    found = drawn(site, Case(faults=(("plugged gauge", ""),)), monkeypatch, stuck)
    drawn(site, LEAK, monkeypatch, leaks)

    shown = sorted(float(one["stopped_gauge"]) for one in stuck.asked)
    assert shown == pytest.approx(sorted(si(quantity(one.sizes[0], "psi")) for one in found))
    assert {one["stopped_gauge"] for one in leaks.asked} == {None}


def test_a_line_that_cannot_be_run_cannot_be_met_with(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert drawn(site, LEAK, monkeypatch, Visits(fails=True)) == []
