"""The page of a drill, worked as a learner works it."""

import html
import re
from pathlib import Path

import attrs
import pytest

from labkit.drills import Judged, Placed, Settling, draw_drill, scene_of
from labkit.drills.drill import Debrief
from labkit.drills.marking import mark
from labkit.faults import FAULTS
from labkit.questions.progress import ELSEWHERE, IN_A_ROW, SERVICE_CALL, Result, in_a_row
from labkit.sitefile import demo_site
from labkit.text import sentence
from labkit.view.drill_view import DrillPage, drill
from labkit.view.drill_words import fault_words
from labkit.view.drill_words import tests_table as table_of_tests
from labkit.view.keeping import ProgressStore
from labkit.view.suspects import recalled


@pytest.fixture
def page() -> DrillPage:
    return drill("one_trough_uphill", 7)


def test_nothing_can_be_done_before_there_is_a_number() -> None:
    page = drill("one_trough_uphill")

    assert page.drill is None
    assert page.board.layout.display == "none"
    assert page.story.value == ""


@pytest.mark.parametrize("typed", ["", "seven", "<b>1</b>"])
def test_a_number_that_is_none_is_refused_in_one_sentence(typed: str) -> None:
    page = drill("one_trough_uphill", typed)

    assert "Write your own number with digits only" in page.status.value
    assert page.drill is None


def test_a_call_and_a_button_for_each_test_with_its_price(page: DrillPage) -> None:
    assert page.drill is not None
    assert all(said in page.story.value for said in page.drill.complaints)
    assert set(page.tasks) == set(page.drill.choices)
    for button in page.tasks.values():
        assert re.search(r"\(\d+ min\)$", button.description)


def test_the_page_does_not_give_the_fault_away(page: DrillPage) -> None:
    page.do("gauge")
    assert page.drill is not None

    shown = page.story.value + page.status.value + page.log.value + page.said.value
    assert page.drill.hidden[0].key not in shown
    assert page.drill.hidden[0].fault.about not in shown


def test_a_reading_goes_into_the_notebook_and_is_said(page: DrillPage) -> None:
    page.tasks["gauge", ""].click()
    page.tasks["drip", "notch"].click()

    assert page.log.value.count("<tr>") == 3
    assert "You get there at 10:00\N{NO-BREAK SPACE}am" in page.story.value, (
        "whatever time it is by now"
    )
    assert 'scope="col"' in page.log.value
    assert "4 min spent" in page.status.value
    assert "With the float lifted" in page.status.value
    assert "labkit-status" in page.status._dom_classes, "a status line is read out as it changes"
    assert "labkit-status" in page.said._dom_classes


def test_every_widget_has_a_name(page: DrillPage) -> None:
    assert page.suspects is not None
    named = [
        *page.tasks.values(),
        page.start_button, page.repair, page.hand, page.hint, page.tell,
        *page.proofs.values(), *page.firsts.values(),
        *page.suspects.parts.values(), page.suspects.way, page.suspects.typed,
        page.number, page.line,
    ]  # fmt: skip

    assert all(widget.description for widget in named)


def finish(page: DrillPage) -> None:
    """Repair what is hidden, every step taken, prove it and hand it back."""
    assert page.drill is not None
    assert page.suspects is not None
    for one in page.drill.hidden:
        page.suspects.choose(one.key, one.where)
        for tick in page.firsts.values():
            tick.value = True
        page.repair.click()
    next(iter(page.proofs.values())).click()
    page.hand.click()


def test_a_wrong_repair_then_the_right_one(page: DrillPage) -> None:
    page.do("shut in")
    page.repair.click()
    assert "Name what is wrong first." in page.said.value

    assert page.suspects is not None
    page.suspects.choose("bad check valve")
    page.repair.click()
    assert "Nobody can tell yet" in page.said.value
    assert "420 min" in page.said.value
    page.hint.click()
    assert "Look again at what you read at 10:10\N{NO-BREAK SPACE}am" in page.said.value
    page.hand.click()
    assert "they called again" in page.said.value

    finish(page)
    assert "It works again" in page.said.value
    assert "A good part was replaced" in page.said.value
    assert "The cheapest way to know" in page.said.value
    assert page.drill is not None
    assert page.drill.hidden[0].fault.repair in page.said.value
    assert page.repair.disabled


def test_the_answer_can_be_asked_for(page: DrillPage) -> None:
    page.tell.click()

    assert page.drill is not None
    assert page.drill.hidden[0].fault.about in page.said.value
    assert "You asked for the answer" in page.said.value
    assert all(button.disabled for button in page.tasks.values())


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("bad check valve", "bad check valve"),
        ("Check valve is bad", "bad check valve"),
        ("waterlogged tank", "waterlogged tank"),
        ("water logged tank", "waterlogged tank"),
        ("float stuck open", "stuck-open float"),
        ("float valve stuck closed", "stuck-shut float"),
        ("leak in the ground, buried", "buried leak"),
        ("buried leak", "buried leak"),
        ("wires are chewed", "chewed pair"),
        ("worn pump", "worn pump"),
        ("pump", None),
        ("float", None),
        ("gremlins", None),
        ("", None),
    ],
)
def test_a_fault_is_known_by_what_people_type(typed: str, key: str | None) -> None:
    assert recalled(typed, FAULTS) == key


def test_every_fault_is_known_by_its_own_name() -> None:
    assert {key: recalled(key.upper(), FAULTS) for key in FAULTS} == {key: key for key in FAULTS}


def test_a_fault_can_be_typed_from_memory(page: DrillPage) -> None:
    suspects = page.suspects
    assert suspects is not None
    suspects.way.value = "typed"
    assert suspects.board.layout.display == "none"
    suspects.typed.value = "elves"
    page.repair.click()
    assert "Name what is wrong first." in page.said.value
    suspects.typed.value = "check valve bad"
    assert suspects.diagnosis == [("bad check valve", "")]


def test_an_open_call_and_a_solved_one_come_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(ELSEWHERE, str(tmp_path / "progress.toml"))

    def visit() -> DrillPage:
        page = drill("one_trough_uphill")
        page.come_back(ProgressStore("lesson 12"))
        return page

    first = visit()
    first.begin(7)
    first.do("gauge")
    again = visit()
    assert again.drill is not None
    assert again.log.value == first.log.value
    assert again.number.value == "7"

    finish(again)
    third = visit()
    assert third.drill is not None
    assert third.drill.is_over
    assert third.said.value == again.said.value
    assert "0 of 5 in a row" in third.calls.value, "the lesson's own ranch is no unseen one"
    third.begin(8)
    third.do("gauge")
    third.begin(9)
    assert third.calls.value.count("<tr>") == 3, "a call that is left counts as not found"


def test_unseen_lines_differ_from_number_to_number() -> None:
    page = drill("one_trough_uphill")
    page.line.value = "unseen"
    titles = set()
    for number in (1, 2, 3):
        page.begin(number)
        assert page.drill is not None
        titles.add(page.drill.site.title)

    assert len(titles) == 3


def call(number: int, *, passed: bool, line: str = "unseen") -> Result:
    return Result(task=SERVICE_CALL, passed=passed, figures={"number": number, "line": line})


def test_only_unseen_lines_in_a_row_make_a_master() -> None:
    good = [call(n, passed=True) for n in range(5)]

    assert in_a_row(good) == IN_A_ROW
    assert in_a_row([*good[:2], call(1, passed=True), call(9, passed=True, line="here")]) == 2
    assert in_a_row([*good[:3], call(8, passed=False), call(3, passed=True)]) == 3
    assert in_a_row([]) == 0


def test_the_whole_page_changes_its_units(page: DrillPage) -> None:
    for key, where in page.tasks:
        page.do(key, where)

    page.units.value = "metric"

    shown = page.story.value + page.status.value + page.log.value
    assert "kPa" in shown
    assert not re.search(r"\d\s(psi|ft|gpm|gal)\b", shown)


def test_two_faults_are_repaired_one_at_a_time() -> None:
    page = drill("one_trough_uphill", 7, faults=2)

    assert "There are two faults" in page.story.value
    finish(page)
    assert page.drill is not None
    assert page.drill.is_over
    assert page.drill.wrong == ()


@pytest.mark.parametrize("system", ["US", "metric"])
def test_every_fault_can_be_named(system: str) -> None:
    for key, size in (
        ("worn float seat", "0.3 gpm at 30 psi"),
        ("lazy float", "3 in"),
        ("wrong precharge", "44 psi"),
        ("low well", "132 ft"),
        ("undersized pipe", "3/4 in PE SIDR 9"),
        ("worn pump", "0.65"),
        ("cut wire", ""),
    ):
        where = "notch" if FAULTS[key].kind in ("leak", "small length", "pipe") else ""
        words = fault_words(Placed(key=key, size=size, where=where), system)
        assert words.startswith(key)
        assert ("notch" in words) == bool(where)
        if system == "metric" and key != "undersized pipe":
            assert not re.search(r"psi|gpm|\bft|\bin\b", words)


def test_every_suspect_stands_in_its_part_with_a_few_words(page: DrillPage) -> None:
    assert page.suspects is not None
    listed = [key for radio in page.suspects.parts.values() for _, key in radio.options]

    assert sorted(listed) == sorted(set(FAULTS) - {"weak relief valve"}), "it has no relief valve"
    for part, radio in page.suspects.parts.items():
        assert radio.description.lower() == part
        for words, key in radio.options:
            assert FAULTS[key].part == part
            assert words == f"{key}: {FAULTS[key].brief}"


def test_a_choice_in_one_part_takes_back_that_in_another(page: DrillPage) -> None:
    assert page.suspects is not None
    page.suspects.choose("low well")
    page.suspects.choose("cut wire")
    page.suspects.choose("chewed pair")

    assert page.suspects.chosen == "chewed pair"


def test_a_line_of_several_troughs_asks_for_the_place_where_a_test_can_tell_it() -> None:
    page = drill("three_troughs", 5)
    suspects = page.suspects
    assert suspects is not None

    suspects.choose("stuck-shut float")
    assert suspects.spot is not None
    assert [words for words, _ in suspects.spot.options[1:]] == [
        "at “creek”", "at “corral”", "at “lookout”",
    ]  # fmt: skip
    assert suspects.diagnosis == [("stuck-shut float", "")]
    suspects.choose("stuck-shut float", "lookout")
    assert suspects.diagnosis == [("stuck-shut float", "lookout")]

    suspects.choose("undersized pipe")
    assert "in the run to “lower tee”" in [words for words, _ in suspects.spot.options]
    suspects.choose("buried leak")
    assert suspects.diagnosis == [("buried leak", "")]
    said = page.answer.children[0].children[-1].children[0].value
    assert sentence("drill", "unplaced") in html.unescape(said)
    suspects.choose("cut wire")
    assert page.answer.children[0].children[-1].children == ()


def test_a_place_that_is_missing_is_said_and_a_wrong_one_mends_nothing() -> None:
    page = drill("deep_well", 5)
    assert page.drill is not None
    assert page.suspects is not None
    hidden = (Placed(key="stuck-shut float", size="", where="juniper"),)
    met = scene_of(page.drill.site, hidden)
    page.drill = attrs.evolve(page.drill, hidden=hidden, met=met, scene=met, log=())

    page.suspects.choose("stuck-shut float")
    page.repair.click()
    assert "Say where: stuck-shut float." in page.status.value
    page.suspects.choose("stuck-shut float", "basin")
    page.repair.click()
    assert page.drill.wrong == ("stuck-shut float",)
    page.suspects.choose("stuck-shut float", "juniper")
    page.repair.click()
    assert not page.drill.left


def test_a_fault_in_the_wrong_place_beside_a_wrong_one_is_marked_as_such() -> None:
    site = draw_drill("deep_well", 5).site
    hidden = tuple(
        Placed(key=key, size="", where=where)
        for key, where in (("stuck-shut float", "juniper"), ("cut wire", ""))
    )

    marking = mark(site, hidden, {"stuck-shut float": "basin", "low well": ""}, [])

    assert (marking.right, marking.misplaced) == (1, ("stuck-shut float",))


def test_a_slip_of_the_pen_keeps_the_open_case(page: DrillPage) -> None:
    page.do("gauge")
    before = page.drill

    page.number.value = "1o"
    page.start_button.click()

    assert page.drill is before
    assert "Write your own number with digits only" in page.status.value


def test_how_many_faults_counts_for_the_next_call_and_says_so(page: DrillPage) -> None:
    page.faults.value = 2

    assert "counts for the next call" in page.note.value
    page.start_button.click()
    assert page.note.value == ""


def test_a_trough_below_the_gauge_is_told_as_such() -> None:
    page = drill(demo_site("one_trough").changed({"trough.lane.pipe.rise": "-5 ft"}), 7)

    assert "5\N{NO-BREAK SPACE}ft below the gauge" in page.story.value


def test_a_debrief_names_what_is_left_where_that_is_shorter() -> None:
    """Two faults together and a fault in its place are wrong answers too, with names of their own."""
    both, placed = "chewed pair and low well", "worn float seat at “creek”"
    tests = (
        Judged(
            key="gauge", where="", out=("lazy float", "cut wire", both, "worn pump"), why="told"
        ),
        Judged(key="lights", where="", out=(placed,), why="told"),
    )
    settling = Settling(line=(), minutes=0.0, left=())
    debrief = Debrief(
        drill=draw_drill("one_trough_uphill", 7), tests=tests, open=("bad check valve",),
        settling=settling,
    )  # fmt: skip

    told = html.unescape(re.sub("<[^>]+>", " ", table_of_tests(debrief, "US")))

    assert f"Ruled out 4 causes. Still open after it: {placed}, bad check valve." in told
    assert f"Ruled out: {placed}." in told
