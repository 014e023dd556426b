"""The page of a drill, worked as a learner works it."""

import re

import attrs
import pytest

from labkit.drills import UNPLACED, Drill, Marking, Placed, Settling, draw_drill, scene_of
from labkit.drills.marking import mark
from labkit.faults import FAULTS
from labkit.view.drill_view import DrillPage, drill
from labkit.view.drill_words import fault_words, marked_words


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
    assert len(page.board.children) == len(page.drill.choices)
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
    assert "You come at 10:00\N{NO-BREAK SPACE}am" in page.story.value, "whatever time it is by now"
    assert 'scope="col"' in page.log.value
    assert "4 min spent" in page.status.value
    assert "With the float lifted" in page.status.value
    assert "labkit-status" in page.status._dom_classes, "a status line is read out as it changes"
    assert "labkit-status" in page.said._dom_classes


def test_every_widget_has_a_name(page: DrillPage) -> None:
    assert page.suspects is not None
    named = [
        *page.tasks.values(),
        page.come,
        page.give,
        page.tell,
        *page.suspects.parts.values(),
        page.number,
    ]

    assert all(widget.description for widget in named)


def test_a_wrong_diagnosis_then_the_right_one(page: DrillPage) -> None:
    page.do("shut in")
    page.give.click()
    assert "Name one fault." in page.said.value

    assert page.suspects is not None
    page.suspects.choose("bad check valve")
    page.give.click()
    assert "Not yet." in page.said.value
    assert "Look again at what you read at 10:10\N{NO-BREAK SPACE}am" in page.said.value

    assert page.drill is not None
    page.suspects.choose(page.drill.hidden[0].key)
    page.give.click()
    assert "Right." in page.said.value
    assert "The shortest way to know" in page.said.value
    assert page.drill.hidden[0].fault.repair in page.said.value


def test_the_whole_page_changes_its_units(page: DrillPage) -> None:
    for key, where in page.tasks:
        page.do(key, where)

    page.units.value = "metric"

    shown = page.story.value + page.status.value + page.log.value
    assert "kPa" in shown
    assert not re.search(r"\d\s(psi|ft|gpm|gal)\b", shown)


def test_two_faults_take_two_answers() -> None:
    page = drill("one_trough_uphill", 7, faults=2)

    assert page.suspects is not None
    assert set(page.suspects.ticks) == set(FAULTS)
    page.suspects.choose("low well")
    page.give.click()
    assert "Name 2 faults." in page.said.value


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

    assert sorted(listed) == sorted(FAULTS)
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

    assert page.suspects.chosen == ["chewed pair"]


def test_a_line_of_several_troughs_asks_for_the_place_where_a_test_can_tell_it() -> None:
    page = drill("three_troughs", 5)
    assert page.suspects is not None

    page.suspects.choose("stuck-shut float")
    (spot,) = page.suspects.spots.values()
    assert [words for words, _ in spot.options[1:]] == ["at “creek”", "at “corral”", "at “lookout”"]
    assert page.suspects.diagnosis == [("stuck-shut float", "")]
    page.suspects.choose("stuck-shut float", "lookout")
    assert page.suspects.diagnosis == [("stuck-shut float", "lookout")]

    page.suspects.choose("undersized pipe")
    assert "in the run to “lower tee”" in [
        words for words, _ in page.suspects.spots["undersized pipe"].options
    ]
    page.suspects.choose("buried leak")
    assert page.suspects.spots == {}
    said = page.answer.children[0].children[-1].children[0].value
    assert UNPLACED["buried leak"] in said
    page.suspects.choose("cut wire")
    assert page.answer.children[0].children[-1].children == ()


def test_a_place_that_is_missing_or_wrong_is_said() -> None:
    page = drill("deep_well", 5)
    assert page.drill is not None
    assert page.suspects is not None
    hidden = (Placed(key="stuck-shut float", size="", where="juniper"),)
    page.drill = attrs.evolve(
        page.drill, hidden=hidden, scene=scene_of(page.drill.site, hidden), log=()
    )

    page.suspects.choose("stuck-shut float")
    page.give.click()
    assert "Say where: stuck-shut float." in page.said.value
    page.suspects.choose("stuck-shut float", "basin")
    page.give.click()
    assert "Stuck-shut float: right, but it sits somewhere else." in page.said.value
    page.suspects.choose("stuck-shut float", "juniper")
    page.give.click()
    assert "stuck-shut float at “juniper”" in page.said.value


@pytest.mark.parametrize(
    ("right", "misplaced", "begins"),
    [
        (2, ("lazy float",), "Faults named right: 2 of 2. Lazy float: right, but it sits some"),
        (1, ("lazy float",), "Faults named right: 1 of 2. Lazy float: right, but it sits some"),
        (1, (), "Faults named right: 1 of 2. It is another one"),
        (0, (), "Faults named right: 0 of 2. It is another one"),
    ],
)
def test_of_two_faults_the_one_that_sits_elsewhere_is_named(
    right: int, misplaced: tuple[str, ...], begins: str
) -> None:
    hidden = (
        Placed(key="lazy float", size="3 in", where="juniper"),
        Placed(key="cut wire", size="", where=""),
    )
    drill = attrs.evolve(draw_drill("deep_well", 5), hidden=hidden)
    marking = Marking(is_right=False, right=right, misplaced=misplaced)

    assert marked_words(drill, marking, "US").startswith(begins)


def test_a_fault_in_the_wrong_place_beside_a_wrong_one_is_marked_as_such() -> None:
    site = draw_drill("deep_well", 5).site
    hidden = tuple(
        Placed(key=key, size="", where=where)
        for key, where in (("stuck-shut float", "juniper"), ("cut wire", ""))
    )

    marking = mark(site, hidden, {"stuck-shut float": "basin", "low well": ""}, [])

    assert (marking.right, marking.misplaced) == (1, ("stuck-shut float",))


def test_the_marking_is_said_before_the_shortest_way_is_known(
    page: DrillPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []

    def settled(_: Drill) -> Settling:
        shown.append(page.said.value)
        return Settling(line=(), minutes=0.0, left=())

    monkeypatch.setattr(Drill, "settled", settled)
    assert page.drill is not None
    assert page.suspects is not None
    page.suspects.choose(page.drill.hidden[0].key)
    page.give.click()

    assert "Right." in shown[0]
    assert "Looking for the shortest way to know" in shown[0]
    assert "Looking for" not in page.said.value
    assert "Right." in page.said.value


def test_a_slip_of_the_pen_keeps_the_open_case(page: DrillPage) -> None:
    page.do("gauge")
    before = page.drill

    page.number.value = "1o"
    page.come.click()

    assert page.drill is before
    assert "Write your own number with digits only" in page.status.value


def test_how_many_faults_counts_for_the_next_call_and_says_so(page: DrillPage) -> None:
    page.faults.value = 2

    assert "counts for the next call" in page.note.value
    page.come.click()
    assert page.note.value == ""
