"""The shortest line of evidence, held against made-up lines and against trying all."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.drills import TASKS, Value
from labkit.drills.marking import Ruled, cheapest, minutes_of, shortest_line
from labkit.drills.signature import Span, span
from labkit.errors import LabkitError
from labkit.faults import stocked
from labkit.site import Site
from labkit.sitefile import demo_site
from tests.drills.working import CHECK, drill_with


@pytest.fixture(scope="module")
def site() -> Site:
    return stocked(demo_site("one_trough_uphill"))


def made(readings: dict[str, float]) -> dict[tuple[str, str, str], Value]:
    return {
        (key, "", "a"): Value(name="a", kind="pressure", value=value)
        for key, value in readings.items()
    }


def test_the_shortest_line_is_the_cheapest_that_rules_all_out() -> None:
    """Made up: `tank` alone (15 min) rules out all three, `gauge` and `lift` (6 min) together do."""
    values = made({"tank": 1.0, "gauge": 1.0, "lift": 1.0, "watch": 1.0})
    same, other = (
        {("x", "", "a"): span([value])}[("x", "", "a")]
        for value in (Value(name="a", kind="pressure", value=1.0),
                      Value(name="a", kind="pressure", value=5.0))
    )  # fmt: skip

    def suspect(**differs: bool) -> dict[tuple[str, str, str], Span]:
        return {(key, "", "a"): other if differs.get(key) else same for key, _, _ in values}

    suspects = [
        suspect(tank=True, gauge=True),
        suspect(tank=True, lift=True, watch=True),
        suspect(tank=True, gauge=True, lift=True),
        suspect(),
    ]
    line, left = shortest_line(values, suspects)

    assert set(line) == {("gauge", ""), ("lift", "")}
    assert minutes_of(line) == 6
    assert left == {3}
    assert shortest_line(values, []) == ((), frozenset())


def test_the_shortest_line_for_a_check_valve_shuts_it_off_from_the_line(site: Site) -> None:
    settling = drill_with(site, CHECK).settled()

    assert settling.left == ()
    assert settling.minutes <= 15
    assert {proof.key for proof in settling.line} & {"shut in", "open line", "drain", "tank"}


def test_a_suspect_that_no_task_rules_out_is_said() -> None:
    with pytest.raises(LabkitError, match="suspect is 7; some task must rule it out"):
        cheapest({("gauge", ""): frozenset((1, 2))}, frozenset((1, 7)))


def test_of_two_lines_as_long_the_one_of_fewer_tasks_is_taken() -> None:
    """Draining takes six minutes, catching a drip and working the lever three each."""
    one, other = ("drip", "notch"), ("lever", "")
    ruled = {one: frozenset((0,)), other: frozenset((1,)), ("drain", ""): frozenset((0, 1))}

    assert minutes_of([one, other]) == minutes_of([("drain", "")])
    assert cheapest(ruled, frozenset((0, 1))) == (("drain", ""),)
    assert cheapest(ruled, frozenset((1,))) == (other,)


def by_trying_all(ruled: Ruled, every: frozenset[int]) -> float:
    """Minutes of the shortest line, by trying every set of tasks there is."""
    lines = (line for count in range(len(ruled) + 1) for line in combinations(sorted(ruled), count))
    return min(
        minutes_of(line) for line in lines if every <= frozenset().union(*(ruled[d] for d in line))
    )


@given(st.lists(st.sets(st.integers(0, 9), max_size=6), min_size=1, max_size=9))
def test_the_shortest_line_is_the_one_that_trying_all_would_find(out: list[set[int]]) -> None:
    ruled = {
        (key, ""): frozenset(one) for key, one in zip(list(TASKS)[::2], out, strict=False) if one
    }
    every = frozenset().union(*ruled.values())

    line = cheapest(ruled, every)

    assert every == frozenset().union(*(ruled[done] for done in line))
    assert minutes_of(line) == by_trying_all(ruled, every)
