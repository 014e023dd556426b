"""From weighed lines to an answer: made-up lines, their chances added up by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs
import numpy as np
import pytest

import labkit as lab
from labkit.diagnosis import SOUND, Diagnosis, reasoning
from labkit.diagnosis.reasoning import FIRST, PAIRED, Lineup, line_up, typed_readings
from labkit.diagnosis.suspects import Case, Particle
from labkit.diagnosis.visit import WAITS
from labkit.diagnosis.weighing import Weighed, weigh
from tests.customary import PSI
from tests.diagnosis.playing import particle

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

NEAR = Case(faults=(("buried leak", "lane"),))
FAR = Case(faults=(("buried leak", "manifold"),))
CHECK = Case(faults=(("bad check valve", ""),))
BOTH = Case(faults=(("bad check valve", ""), ("buried leak", "lane")))
WORN = Case(faults=(("worn pump", ""),))
STOP = ("gauge at the stop", "")
FALL = ("fall open", "")


def sized(case: Case, *sizes: str) -> Particle:
    return attrs.evolve(particle(case), sizes=sizes)


@pytest.fixture(scope="module")
def empty() -> Lineup:
    return line_up(lab.demo_site("one_trough"), draw=False)


@pytest.fixture(scope="module")
def weighed() -> Weighed:
    """Their chances come to 0.98 with none of these: the rest is not needed."""
    chances = [
        (Case(), (), 0.2),
        (NEAR, ("small",), 0.1),
        (NEAR, ("big",), 0.28),
        (FAR, ("middling",), 0.15),
        (FAR, ("tiny",), 0.004),
        (BOTH, ("any", "big"), 0.2),
        (CHECK, ("any",), 0.006),
        (WORN, ("0.7",), 0.004),
    ]
    return Weighed(
        particles=tuple(sized(case, *sizes) for case, sizes, _ in chances),
        weights=np.array([chance for *_, chance in chances]), none=0.04, distance=0.0,
    )  # fmt: skip


def test_a_cause_has_the_chances_of_its_places_and_its_likeliest_sizes(
    empty: Lineup, weighed: Weighed
) -> None:
    found = empty.answer({}, weighed)

    leak = found.causes[0]
    assert leak.key == "buried leak"
    assert leak.chance == pytest.approx(0.1 + 0.28 + 0.15 + 0.004 + 0.2)
    assert [where for where, _ in leak.places] == ["lane", "manifold"]
    assert [chance for _, chance in leak.places] == pytest.approx([0.58, 0.154])
    assert leak.sizes == ("big", "middling", "small")
    assert found.best is weighed.particles[2]


def test_what_has_less_than_one_chance_in_a_hundred_is_not_open(
    empty: Lineup, weighed: Weighed
) -> None:
    found = empty.answer({}, weighed)

    assert {one.key for one in found.open} == {"buried leak", "bad check valve", SOUND, "none"}
    assert "worn pump" in {one.key for one in found.causes}
    assert dict(found.pairs) == pytest.approx({"bad check valve + buried leak": 0.2})


def drawn(
    empty: Lineup, monkeypatch: pytest.MonkeyPatch, case: Mapping[Case, dict[str, Any]],
    read: dict[tuple[str, str], float], *, paired: Sequence[Case] = (),
) -> list[tuple[set[Case], int]]:  # fmt: skip
    """Say what is drawn more of as some readings come in, in a lineup of made-up lines."""
    asked: list[tuple[set[Case], int]] = []

    def draw(_: object, cases: list[Case], *, count: int, **_more: object) -> list[Particle]:
        asked.append((set(cases), count))
        return []

    monkeypatch.setattr(reasoning, "draw", draw)
    lines = [particle(one, **shown) for one, shown in case.items() for _ in range(FIRST)]
    lines += [particle(one, **case[NEAR]) for one in paired for _ in range(PAIRED)]
    attrs.evolve(empty, particles=tuple(lines)).consider(read)
    return asked


SHOWN: dict[Case, dict[str, Any]] = {
    Case(): {"gauge_at_the_stop": 40 * PSI, "fall_open": 0.0},
    NEAR: {"gauge_at_the_stop": 40 * PSI, "fall_open": 20 * PSI},
    CHECK: {"gauge_at_the_stop": 40 * PSI, "fall_open": 5 * PSI},
}


def test_the_likely_ones_and_the_sound_line_are_drawn_more_closely(
    empty: Lineup, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fall of 20 psi speaks for the leak alone; where it fits, no two faults are tried."""
    asked = drawn(empty, monkeypatch, SHOWN, {STOP: 40 * PSI, FALL: 20 * PSI})

    assert [cases for cases, _ in asked] == [{Case(), NEAR}]
    assert asked[0][1] > FIRST


@pytest.mark.parametrize(
    "fall", [60.0, 22.7], ids=["far off", "off, but none of these is unlikely"]
)
def test_two_faults_are_tried_where_no_single_one_fits_and_only_once(
    empty: Lineup, monkeypatch: pytest.MonkeyPatch, fall: float
) -> None:
    """Nothing that was drawn falls 60 psi; 2.7 psi are four standard errors of two gauge readings."""
    read = {STOP: 40 * PSI, FALL: fall * PSI}
    asked = drawn(empty, monkeypatch, SHOWN, read)
    again = drawn(empty, monkeypatch, SHOWN, read, paired=[BOTH])

    assert asked[-1] == ({BOTH}, PAIRED)
    assert ({BOTH}, PAIRED) not in again


def test_a_wait_of_more_than_an_hour_and_one_without_end_are_the_same(empty: Lineup) -> None:
    read = [
        typed_readings(empty.site, {"stop to start": typed}, empty.trough)["stop to start", ""]
        for typed in ("4 min", "never", "3 hours")
    ]

    assert read == [240.0, WAITS, WAITS]


def test_the_last_trough_is_worked_and_a_measured_sun_lies_midway_of_what_it_may_be() -> None:
    site = lab.demo_site("three_troughs")
    lineup = line_up(site, sun="700 W/m^2", draw=False)
    low, high = lineup.sun

    assert lineup.trough == site.troughs[-1].name != site.troughs[0].name
    assert low < 700.0 < high
    assert low + high == pytest.approx(2 * 700.0)


def test_the_reading_at_odds_is_named_and_none_where_all_fit(empty: Lineup) -> None:
    """No line here falls 60 psi; without that reading the leak and the others fit."""
    lines = [
        attrs.evolve(particle(case, **shown), sizes=("any",) * len(case.faults))
        for case, shown in SHOWN.items()
    ]

    def answered(fall: float) -> Diagnosis:
        read = {STOP: 40 * PSI, FALL: fall}
        return empty.answer(read, weigh(lines, read))

    assert (answered(20 * PSI).fits, answered(20 * PSI).odd) == (True, ())
    far = answered(60 * PSI)
    assert (far.fits, far.odd) == (False, (FALL,))
    assert far.best.case == NEAR, "the nearest of them, however far"
    assert far.causes[0].chance == pytest.approx(1.0)
