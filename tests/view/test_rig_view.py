"""The page of the commissioning rig, worked as a learner works it, and its gauge."""

import re

import numpy as np
import pytest

from labkit.rigs import Rig
from labkit.view.gauge_picture import DIALS, angle_of, dial_for, gauge_figure
from labkit.view.lesson import Lesson
from labkit.view.rig_view import RigPage, rig
from labkit.view.rig_words import RIG_WORDS, turns_words

PSI = 6894.757


@pytest.fixture
def page() -> RigPage:
    return rig("first_line", 7)


@pytest.mark.parametrize("is_paper", [False, True])
def test_a_lesson_has_the_sheet_of_the_rig_worked_out_for_paper_only(
    is_paper: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []

    def sheet(*given: object) -> str:
        made.append(given)
        return "<p>Commissioning sheet</p>"

    monkeypatch.setattr("labkit.view.rig_view.rig_sheet", sheet)
    page, lesson = rig("first_line"), Lesson()
    if is_paper:
        lesson.for_paper()
    lesson.hold(page)
    bundle = page.box._repr_mimebundle_()

    assert "application/vnd.jupyter.widget-view+json" in bundle
    assert ("Commissioning sheet" in bundle.get("text/html", "")) is is_paper
    assert len(made) == is_paper
    assert "Commissioning sheet" in rig("first_line").box._repr_mimebundle_()["text/html"]


def test_nothing_can_be_done_before_there_is_a_number() -> None:
    page = rig("first_line")

    assert page.rig is None
    assert page.board.layout.display == "none"
    assert page.view.value == ""


@pytest.mark.parametrize("typed", ["", "seven", "<b>1</b>"])
def test_a_number_that_is_none_is_refused_in_one_sentence(typed: str) -> None:
    page = rig("first_line", typed)

    assert "Write your own number with digits only" in page.status.value
    assert page.rig is None


def test_what_the_learner_must_find_is_not_on_the_page(page: RigPage) -> None:
    page.hands["always shut elm"].click()
    assert page.rig is not None

    shown = page.story.value + page.status.value + page.stands.value + page.said.value
    for point in (page.rig.screw.cut_in, page.rig.screw.cut_out):
        assert f"{point / PSI:.1f}" not in shown
    assert "30\N{NO-BREAK SPACE}psi and 50\N{NO-BREAK SPACE}psi" in page.story.value, "the label"


def test_each_thing_done_goes_into_the_log_and_is_said(page: RigPage) -> None:
    page.amount.value = 2
    for name in ("always shut elm", "screw out", "wait 5", "meter", "cloth on"):
        page.hands[name].click()

    assert page.log.value.count("<tr>") == 7
    for words in ("Held the float at", "1/2 turn out", "Waited 5 min", "Hung the shade cloth"):
        assert words in page.log.value
    assert 'scope="col"' in page.log.value
    assert "16 min spent, settings tried: 1." in page.status.value
    assert "labkit-status" in page.status._dom_classes, "a status line is read out as it changes"
    assert "labkit-status" in page.said._dom_classes
    assert "held up" in page.stands.value


def test_the_needle_stands_where_it_was_read(page: RigPage) -> None:
    page.hands["wait 1"].click()
    assert page.rig is not None
    (read,) = (one.value for one in page.rig.log[-1].values if one.name == "gauge")

    assert f"The gauge shows {float(read) / PSI:.0f}\N{NO-BREAK SPACE}psi" in page.view.value
    assert 'alt="A pressure gauge' in page.view.value


def test_a_hint_is_said_and_goes_with_the_next_thing_done(page: RigPage) -> None:
    page.hands["always shut elm"].click()
    page.hands["hint"].click()
    assert page.rig is not None
    assert page.rig.hints == 1
    assert "<p" in page.said.value

    page.hands["wait 1"].click()
    assert page.said.value == ""


def test_handing_over_a_held_float_is_refused(page: RigPage) -> None:
    page.hands["always shut elm"].click()
    page.hands["hand over"].click()

    assert "Let the float at &#x27;elm&#x27; go" in page.status.value


def test_the_factory_setting_handed_over_is_no_stop(page: RigPage) -> None:
    page.hands["hand over"].click()

    assert "On the hazy day: won&#x27;t stop" in page.said.value
    assert "Not yet" in page.said.value
    assert "All together" in page.said.value


def test_a_sound_line_tells_its_window(page: RigPage) -> None:
    page.amount.value = 2
    for _ in range(7):
        page.hands["screw out"].click()
    page.air.value = page.air.options[14][1]
    page.hands["air"].click()
    page.hands["hand over"].click()

    assert page.left is not None
    assert page.left.is_sound
    assert "Sound." in page.said.value
    assert "The gauge decides" in page.said.value
    assert page.left.tries == 1


def test_the_end_of_the_screw_is_said(page: RigPage) -> None:
    page.amount.value = 8
    for _ in range(5):
        page.hands["screw out"].click()

    assert "slack" in page.status.value


def test_every_widget_has_a_name_and_every_phrase_is_filled(page: RigPage) -> None:
    named = [*page.hands.values(), page.come, page.number, page.amount, page.air]

    assert all(widget.description for widget in named)
    assert not any("{" in widget.description for widget in named)


@pytest.mark.parametrize("name", ["first_line", "three_troughs"])
def test_the_whole_page_changes_its_units(name: str) -> None:
    page = rig(name, 7)
    for hand, button in page.hands.items():
        if hand not in ("wait 60", "hand over"):
            button.click()
    page.hands["hint"].click()
    page.units.value = "metric"

    shown = [page.story, page.status, page.stands, page.log, page.said]
    text = " ".join(part.value for part in shown) + str(page.air.options)
    assert "kPa" in text
    assert "{" not in text
    assert not re.search(r"\d\s(psi|ft|gpm|gal|in)\b(?! the)", text.replace("turns in", ""))


def test_a_failure_reaches_the_learner(page: RigPage, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: Rig, __: float) -> Rig:
        raise ValueError("x")

    monkeypatch.setattr(Rig, "wait", fails)
    page.hands["wait 1"].click()

    assert "ValueError" in page.said.value


@pytest.mark.parametrize(
    ("quarters", "words"),
    [(1, "1/4 turn out"), (-4, "1 turn in"), (14, "3 1/2 turns out"), (-6, "1 1/2 turns in")],
)
def test_turns_are_written_as_people_count_them(quarters: int, words: str) -> None:
    assert turns_words(quarters) == words


@pytest.mark.parametrize("system", ["US", "metric"])
def test_a_gauge_reaches_past_what_the_line_can_see(system: str) -> None:
    unit = {"US": PSI, "metric": 1000.0}[system]
    for highest in (10.0, 59.0, 61.0, 150.0):
        dial = dial_for(highest * PSI, system)
        assert dial * unit >= highest * PSI
        assert dial == min(one for one in DIALS[system] if one * unit >= highest * PSI)


def test_the_needle_turns_clockwise_from_lower_left_to_lower_right() -> None:
    """A usual dial sweeps 270 degrees: zero at half past seven, the middle at the top."""
    assert np.degrees(angle_of(0.0, 100)) == pytest.approx(225.0)
    assert np.degrees(angle_of(50.0, 100)) == pytest.approx(90.0)
    assert np.degrees(angle_of(100.0, 100)) == pytest.approx(-45.0)
    assert angle_of(140.0, 100) == angle_of(100.0, 100), "it stops at the pin"


def test_the_drawn_needle_points_at_the_number() -> None:
    (axes,) = gauge_figure(40.0 * PSI, 70.0 * PSI).axes
    needle = max(axes.lines, key=lambda line: line.get_linewidth())
    x, y = (float(np.asarray(data)[1]) for data in (needle.get_xdata(), needle.get_ydata()))
    forty = next(text for text in axes.texts if text.get_text() == "40")

    at = forty.get_position()
    assert np.arctan2(y, x) == pytest.approx(np.arctan2(at[1], at[0]), abs=1e-3)


def test_every_hint_has_words() -> None:
    for key in ("no stop in this sun", "never trips", "still climbing", "weak sun", "locked",
                "over rating", "over torque", "holds", "comes back while full", "stuck off", "false stop",
                "still falling", "air over cut-in", "fills", "fills in haze", "fills several", "dark",
                "under the cloth", "holds in haze", "holds from before"):  # fmt: skip
        assert key in RIG_WORDS


@pytest.mark.parametrize("system", ["US", "metric"])
@pytest.mark.parametrize("quarters", [0, 7])
def test_the_points_are_told_and_add_up(page: RigPage, system: str, quarters: int) -> None:
    """Read as a person with a pencil reads the table."""
    assert "<details>" in page.story.value
    assert "80 are free" in page.story.value
    page.amount.value = 2
    for _ in range(quarters):
        page.hands["screw out"].click()
    page.hands["hand over"].click()
    page.units.value = system

    rows = [re.findall("<td>(.*?)</td>", row) for row in page.said.value.split("<tr>")[2:]]
    points, most = ([int(row[column]) for row in rows] for column in (1, 2))
    assert sum(points[:-1]) == points[-1]
    assert sum(most[:-1]) == most[-1] == 100
    assert all(row[3].endswith(".") for row in rows[:-1])
    assert "{" not in page.said.value
    if system == "metric":
        assert "psi" not in page.said.value + page.story.value
    assert page.left is not None
    assert ("does not work on both days" in page.said.value) == (not page.left.works)


def test_the_list_of_airs_stands_where_the_air_stands(page: RigPage) -> None:
    assert page.air.value == pytest.approx(28.0 * PSI)
    page.air.value = page.air.options[14][1]
    page.hands["air"].click()

    assert "Air of the tank: 16\N{NO-BREAK SPACE}psi" in page.stands.value


def test_a_turn_past_the_end_leaves_it_as_it_stood(page: RigPage) -> None:
    page.amount.value = 8
    for _ in range(4):
        page.hands["screw in"].click()
    assert "It was left as it stood." in page.status.value
    assert "6 turns in" in page.stands.value

    page.hands["hint"].click()
    assert "It was left" not in page.status.value
