"""The door for a line in trouble: what it says comes from the fault box, whatever is in it."""

from functools import cache
from typing import Any

import attrs
import pytest

from labkit.drills.scene import Value, word
from labkit.drills.tasks import TASKS
from labkit.faults import FAULTS, PARTS
from labkit.pages import wrong
from labkit.pages.home import lessons
from labkit.shipped import SHIPPED


@cache
def worked_out() -> dict[str, dict[str, Any]]:
    return {one["key"]: one for one in wrong.work_out()}


def suspects(symptom: str) -> set[str]:
    return {one["name"] for one in worked_out()[symptom]["suspects"]}


def test_every_fault_is_somewhere_and_every_symptom_has_one() -> None:
    assert set.union(*map(suspects, worked_out())) == set(FAULTS)
    assert all(map(suspects, worked_out()))


@pytest.mark.parametrize(
    ("symptom", "known"),
    [
        ("stop", {"cut-out too high for the sun", "plugged switch nipple"}),
        ("start", {"cut-in under the static pressure", "stuck-shut float"}),
        ("cycles", {"bad check valve", "buried leak", "waterlogged tank"}),
        ("over", {"stuck-open float", "worn float seat"}),
        ("drip", {"worn float seat"}),
        ("falls", {"bad check valve", "buried leak", "worn float seat"}),
        ("haze", {"dusty or shaded array"}),
        ("gauge", {"plugged gauge"}),
    ],
)
def test_what_the_trade_suspects_is_among_the_suspects(symptom: str, known: set[str]) -> None:
    """Common practice: what any installer would name first."""
    assert known <= suspects(symptom)


def test_the_checks_tell_each_suspect_from_a_good_line() -> None:
    for symptom in worked_out().values():
        shown = {
            name
            for check in symptom["checks"]
            for one in check["readings"]
            if not one["is_good"]
            for name in one["means"]
        }
        assert shown == {one["name"] for one in symptom["suspects"]}, symptom["title"]


def test_each_part_is_explained_by_a_lesson_that_is_there() -> None:
    there = {one["number"] for one in lessons(SHIPPED)}
    assert set(wrong.EXPLAINED) == set(PARTS)
    assert set(wrong.EXPLAINED.values()) <= there


def test_each_suspect_comes_with_a_caution_and_a_repair() -> None:
    for symptom in worked_out().values():
        for one in symptom["suspects"]:
            assert one["cautions"]
            assert one["repair"]


def test_a_fault_that_is_added_to_the_box_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    added = attrs.evolve(FAULTS["worn float seat"], key="gnawed float seat")
    monkeypatch.setitem(FAULTS, added.key, added)

    found = wrong.case(added.key)

    assert found is not None
    assert {"over", "drip"} <= found.symptoms


def amount(value: float, error: float) -> tuple[Value, ...]:
    return (Value(name="gauge", kind="pressure", value=value, error=error),)


def test_readings_within_both_errors_tell_nothing() -> None:
    assert not wrong.tells_apart(amount(10.0, 1.0), amount(11.9, 1.0))
    assert wrong.tells_apart(amount(10.0, 1.0), amount(12.1, 1.0))
    assert wrong.tells_apart((word("pump", "runs"),), (word("pump", "stands still"),))
    assert wrong.tells_apart((word("pump", "runs"),), ())


def test_the_quick_test_comes_before_the_slow_one_that_tells_the_same() -> None:
    quick, slow = ("gauge", ""), ("tank", "")
    assert TASKS["gauge"].minutes < TASKS["tank"].minutes
    lines = [{quick: amount(x, 0.1), slow: amount(x, 0.1)} for x in (1.0, 2.0, 3.0)]

    assert wrong.order(lines) == [quick]


def test_lines_that_no_test_tells_apart_end_the_search() -> None:
    same = {("gauge", ""): amount(1.0, 0.1)}
    assert wrong.order([same, dict(same)]) == []
    assert wrong.order([same]) == []
