"""Repair and proof: a wrong one costs, the line itself shows it, skipped steps are told."""

import pytest

from labkit.drills import CYCLE, PRICES, TASKS, needed, replayed, steps
from labkit.drills.mending import HINT
from labkit.errors import LabkitError
from labkit.faults import FAULTS, stocked
from labkit.sitefile import demo_site
from labkit.view.drill_words import bill_words, repaired_words
from tests.customary import GPM
from tests.drills.working import CHECK, LEAK, drill_with, placed

SITE = stocked(demo_site("one_trough_uphill"))
DEEP = stocked(demo_site("deep_well"))
ALL = steps(SITE)
"""Gallons a minute [m3/s], NIST SP 811."""

SAID = {
    "bleed": ("Bleed",),
    "locate": ("811",),
    "hands clear": ("hands",),
    "licensed": ("licensed",),
}
"""Step -> a word of the cautions that asks for it."""


def test_every_step_that_a_caution_asks_for_is_needed() -> None:
    for key, fault in FAULTS.items():
        for step, words in SAID.items():
            asked = any(word in fault.caution for word in words)
            assert not asked or step in needed(SITE, key), (key, step)
    assert "relief" not in ALL
    assert needed(DEEP, "") == {"relief"}, "a displacement pump is not deadheaded untried"


def test_a_wrong_repair_costs_and_the_line_stays_as_it_was() -> None:
    drill = drill_with(SITE, CHECK).repaired(["buried leak"], ALL)

    assert drill.wrong == ("buried leak",)
    assert drill.left == CHECK
    assert drill.bill == PRICES["buried leak"]
    assert "360 min" in repaired_words(drill), "what it took is told, not whether it was right"
    cycle = drill.proved("notch", ALL).log[-1]
    assert cycle.key == CYCLE.key
    read = {one.name: one.value for one in cycle.values}
    assert read["held"] == "started by itself", "0.3 gpm still drains the tank in minutes"
    assert drill.proved("notch", ALL).handed_back().trips == 1
    assert "1 gauge" not in bill_words(drill)


def test_the_right_repair_mends_the_line_and_a_cycle_shows_it() -> None:
    drill = drill_with(SITE, CHECK).tried("shut in").repaired(["bad check valve"], ALL)

    assert drill.left == ()
    assert not drill.is_proved
    proved = drill.proved("notch", ALL)
    read = {one.name: one.value for one in proved.log[-1].values}
    assert (read["on"], read["off"], read["held"]) == ("runs", "stopped", "stayed off")
    assert read["again"] in ("restarted", "runs")
    assert proved.is_proved
    assert proved.handed_back().is_over
    assert drill.clock == drill.came + 60.0 * TASKS["shut in"].minutes


def test_a_cycle_shows_a_pump_that_runs_on() -> None:
    """With the pair cut a drive that stops on a closed contact never hears of one."""
    drill = drill_with(SITE, placed("cut wire")).proved("notch", ALL)

    assert {one.name: one.value for one in drill.log[-1].values}["off"] == "kept running"


def test_a_flow_is_timed_as_well_as_a_bucket_can_be() -> None:
    """A twentieth, and a tenth of a gallon a minute at least (common practice)."""
    result, _ = CYCLE.do(drill_with(SITE, CHECK).met, "notch")
    (flow,) = (one for one in result if one.name == "flow")

    assert isinstance(flow.value, float)
    assert flow.value > 2.0 * GPM
    assert flow.error == pytest.approx(0.05 * flow.value)


def test_of_two_faults_one_repair_leaves_the_other() -> None:
    drill = drill_with(SITE, (*CHECK, *LEAK)).repaired(["buried leak"], ALL)

    assert drill.left == CHECK
    assert drill.wrong == ()
    assert drill.repaired(["bad check valve"], ALL).left == ()


def test_a_skipped_step_is_told_by_what_it_came_before() -> None:
    drill = drill_with(SITE, LEAK).repaired(["buried leak"], ["bleed"])

    assert drill.skipped == (("buried leak", "locate"),)
    deep = drill_with(DEEP, CHECK).proved("juniper")
    assert deep.skipped == (("", "relief"),)


def test_what_was_done_brings_the_same_drill_again() -> None:
    first = drill_with(SITE, LEAK)
    drill = (
        first.tried("gauge").tried("drip", "notch").hinted()
        .repaired([("worn float seat", "notch")], ["bleed"]).handed_back()
        .repaired(["buried leak"], ALL).proved("notch", ALL).handed_back()
    )  # fmt: skip

    again = replayed(first, drill.acts)

    assert (again.log, again.bill, again.skipped) == (drill.log, drill.bill, drill.skipped)
    assert again.is_over
    assert again.on_tests == TASKS["gauge"].minutes + TASKS["drip"].minutes + HINT


@pytest.mark.parametrize("act", [("test", "gauge"), ("dance",), ("repair", "gremlins@", "")])
def test_an_act_that_cannot_be_is_refused(act: tuple[str, ...]) -> None:
    with pytest.raises(LabkitError):
        replayed(drill_with(SITE, LEAK), [act])


def test_what_each_test_told_is_told_in_its_order() -> None:
    """Behind the shut valve a bad check valve is found; a bucket told nothing after that."""
    drill = drill_with(SITE, CHECK).tried("shut in").tried("shut in").tried("bucket", "notch")

    first, second, bucket = (
        drill.repaired(["bad check valve"], ALL).proved("notch", ALL).handed_back().debriefed()
    ).tests

    assert first.why == "told"
    assert {"buried leak", "worn float seat"} <= set(first.out)
    assert second.why == "late"
    assert bucket.why in ("told", "narrowed", "late", "alike")
    assert not set(bucket.out) & set(first.out)


def test_luck_and_haste_do_not_count() -> None:
    lucky = drill_with(SITE, CHECK).repaired(["bad check valve"], ALL)

    assert lucky.handed_back().debriefed().missed == ("unproved", "luck")
    assert drill_with(SITE, CHECK).debriefed().missed == ("left",)
