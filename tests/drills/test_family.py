"""The family of lines: one for every number, each judged, each with an answer of its own."""

from collections import Counter
from itertools import pairwise
from math import inf

import numpy as np
import pytest

from labkit.advice.judge import judge
from labkit.advice.line import Line, find_range
from labkit.advice.window import bare_window
from labkit.drills.family import (
    _BANDS,
    _LEAST_MARGIN,
    NO_SETTING,
    FamilyLine,
    _drawn,
    _may_lie,
    family_line,
)
from labkit.errors import LabkitError
from labkit.site import Site
from tests.customary import PSI


def has_tank(site: Site) -> bool:
    return site.pressure_tank is not None


def check(lines: list[FamilyLine]) -> None:
    """Each line works as it is set, or no setting on a grid of five psi does; answers differ."""
    for line in lines:
        if NO_SETTING not in line.kind:
            assert judge(line.site).works, line.number
            continue
        if line.site.relief_valve is not None:
            continue
        for cut_out in range(15, 90, 5):
            for cut_in in range(5, cut_out - 7, 5):
                so = {"cut_in": f"{cut_in} psi", "cut_out": f"{cut_out} psi"}
                tried = {f"pressure_switch.{name}": value for name, value in so.items()}
                judged = judge(line.site.changed(tried), gives_up_past=inf)
                assert not judged.works, (line.number, so)
    answers = {n.number: n.window.recommended for n in lines if NO_SETTING not in n.kind}
    points = {n: (round(a.cut_in), round(a.cut_out)) for n, a in answers.items() if a is not None}
    for one, other in pairwise(sorted(points)):
        assert other != one + 1 or points[one] != points[other], (one, other)
    commonest = Counter(points.values()).most_common(1)[0][1]
    assert commonest <= max(2, 0.05 * len(points))


def test_each_of_ten_lines_has_an_answer_of_its_own() -> None:
    check([family_line(number, with_hopeless=True) for number in range(10)])


@pytest.mark.slow
def test_each_of_two_hundred_lines_has_an_answer_of_its_own() -> None:
    lines = [family_line(number, with_hopeless=True) for number in range(200)]
    check(lines)
    hopeless = [line for line in lines if NO_SETTING in line.kind]
    assert 0.05 <= len(hopeless) / len(lines) <= 0.25
    seen = {kind for line in lines for kind in line.kind}
    assert {
        "uphill", "downhill", "two troughs", "three troughs", "no tank", "long", "standard switch",
        "high ground", "positive-displacement pump", "no setting",
    } <= seen  # fmt: skip


def test_the_same_number_brings_the_same_line() -> None:
    assert family_line(8).site == family_line(8).site


def test_what_a_line_must_have_is_asked_for() -> None:
    assert all(has_tank(family_line(number, suits=has_tank).site) for number in (2, 3, 11))


def test_a_number_below_zero_is_refused() -> None:
    with pytest.raises(LabkitError, match="number is -1; it must be 0 or more"):
        family_line(-1)


def test_no_line_that_suits_a_band_is_refused_before_its_stops() -> None:
    rng, sun = np.random.default_rng(3), (250.0, 1000.0)
    suits = refused = 0
    for _ in range(40):
        site, _kind = _drawn(rng)
        found = find_range(Line.of(site), *sun)
        if found is None or site.pressure_tank is None:  # whose stops take longest
            continue
        best = bare_window(site, *sun).best
        for low, high in _BANDS:
            may = _may_lie(Line.of(site), found, low * PSI, high * PSI)
            lies = best is not None and low * PSI <= best.cut_out < high * PSI
            if best is not None and lies and best.margin >= _LEAST_MARGIN:
                suits += 1
                assert may, (site.title, low)
            refused += not may
    assert suits >= 5
    assert refused >= 50
