"""The page of the commissioning rig, worked as a learner works it, and its gauge."""

import inspect
import re
from pathlib import Path

import numpy as np
import pytest

from labkit.questions.progress import progress_file, read_progress
from labkit.rigs import Rig, hints
from labkit.text import bundle
from labkit.view.gauge_picture import DIALS, angle_of, dial_for, gauge_figure
from labkit.view.keeping import ProgressStore
from labkit.view.lesson import Lesson
from labkit.view.rig_told import say, turns_words
from labkit.view.rig_view import RigPage, rig
from tests.customary import PSI


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


def test_on_a_page_there_is_one_choice_of_units() -> None:
    page, lesson = rig("first_line"), Lesson()
    lesson.hold(page)

    assert page.units.layout.display == "none"
    lesson.units.value = "metric"
    assert page.units.value == page.system == "metric"


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
    for words in ("Held “elm” up", "1/2 turn looser", "Waited 5 min", "Hung cloths down to 250"):
        assert words in page.log.value
    assert 'scope="col"' in page.log.value
    assert "Work so far: 11 min. Settings tried: 1." in page.status.value
    assert "labkit-status" in page.status._dom_classes, "a status line is read out as it changes"
    assert "labkit-status" in page.said._dom_classes
    assert "held up" in page.stands.value


def test_a_pump_that_is_off_is_said_to_be_off(page: RigPage) -> None:
    page.hands["power off"].click()
    page.hands["wait 1"].click()

    assert "The pump is off." in page.status.value
    assert "is off" in page.log.value
    assert "stands still" not in page.log.value + page.status.value


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


def test_handing_over_a_held_float_is_refused_and_told(page: RigPage) -> None:
    page.hands["always shut elm"].click()
    page.hands["hand over"].click()

    assert "put this right: “elm” is still held" in page.status.value
    page.hands["floats elm"].click()
    page.hands["hand over"].click()
    assert "You turned to go with something held" in page.said.value


def test_the_factory_setting_handed_over_is_no_stop(page: RigPage) -> None:
    page.hands["hand over"].click()

    assert "won&#x27;t stop" in page.said.value
    assert "Not passed yet" in page.said.value
    assert "0 of 4 readings" in page.said.value
    assert "sun at 250\N{NO-BREAK SPACE}W/m²" in page.said.value, "how the reading is taken"


def test_a_setting_without_a_reading_does_not_pass(page: RigPage) -> None:
    page.amount.value = 2
    for _ in range(7):
        page.hands["screw out"].click()
    page.hands["hand over"].click()

    assert page.left is not None
    assert page.left.works
    assert "Not passed yet" in page.said.value
    assert "The gauge decides" not in page.said.value, "the answer is not given away"


def test_the_visit_and_the_days_after_it_are_played(page: RigPage) -> None:
    page.hands["always shut elm"].click()
    page.hands["floats elm"].click()
    page.hands["hand over"].click()

    scene = page.replay.scene
    assert scene is not None
    events = [words for _, words in scene.parts["events"]]
    assert events[1:3] == ["2 · Held “elm” up", "3 · Let “elm” go"]
    marked = [number for _, number in scene.parts["acts"]]
    assert marked == [number for number, _, what in (one.partition(" · ") for one in events)
                      if not what.startswith("Waited")]  # fmt: skip
    assert all(f"<td>{number}</td>" in page.log.value for number in marked)
    for which in ("clear", "hazy"):
        page.which.value = which
        assert page.replay.scene is not None
        assert page.replay.scene.parts["x"]["end"] == pytest.approx(86400.0)


def test_a_night_is_drawn_folded(page: RigPage) -> None:
    page.hands["day"].click()
    page.hands["power on"].click()
    page.hands["hand over"].click()

    scene = page.replay.scene
    assert scene is not None
    ((begin, end, longer),) = scene.parts["x"]["folds"]
    assert end - begin + longer == pytest.approx(24 * 3600.0, rel=0.01)
    assert scene.parts["x"]["end"] < 2000.0
    assert scene.parts["x"]["by_clock"]
    page.which.value = "clear"
    assert page.replay.scene is not None
    assert "folds" not in page.replay.scene.parts["x"]


def test_the_sheet_is_filled_in_and_comes_back(
    page: RigPage, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("LABKIT_PROGRESS", str(tmp_path / "mine.toml"))
    page.come_back(ProgressStore("lesson 11"))
    page.boxes["static"].value = "9"
    page.boxes["filling"].value = "200 kPa"
    page.boxes["peak"].value = "much"
    page.hands["write"].click()
    page.hands["always shut elm"].click()
    page.amount.value = 8
    page.hands["screw out"].click()

    again = rig("first_line")
    again.come_back(ProgressStore("lesson 11"))
    assert page.rig is not None
    assert again.rig is not None
    assert again.rig.log == page.rig.log
    assert again.rig.sheet["static"] == pytest.approx(9.0 * PSI)
    assert again.rig.sheet["filling"] == pytest.approx(200e3)
    assert again.boxes["static"].value == "9 psi"
    assert "as you left it" in again.status.value


def test_only_the_first_visit_to_a_line_counts(
    page: RigPage, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("LABKIT_PROGRESS", str(tmp_path / "mine.toml"))
    page.come_back(ProgressStore("lesson 11"))
    page.hands["hand over"].click()
    page.hands["hand over"].click()

    (kept,) = read_progress(progress_file())["lesson 11"].results
    assert (kept.task, kept.passed, kept.figures["number"]) == ("rig visit", False, 7)
    assert kept.figures["readings missed"] == 4
    assert "Visits passed so far: 0 of 1" in page.said.value


def test_what_a_box_cannot_hold_is_said(page: RigPage) -> None:
    page.boxes["peak"].value = "much"
    page.hands["write"].click()

    assert "“Highest at the stop”: write a pressure such as 30" in page.status.value


def test_the_end_of_the_screw_is_said(page: RigPage) -> None:
    page.amount.value = 8
    for _ in range(5):
        page.hands["screw out"].click()

    assert "slack" in page.status.value


def test_every_widget_has_a_name_and_every_phrase_is_filled(page: RigPage) -> None:
    named = [*page.hands.values(), page.start_button, page.number, page.amount, page.air]

    assert all(widget.description for widget in named)
    assert not any("{" in widget.description for widget in named)


@pytest.mark.parametrize("name", ["first_line", "three_troughs"])
def test_the_whole_page_changes_its_units(name: str) -> None:
    page = rig(name, 7)
    for hand, button in page.hands.items():
        if hand not in ("wait 60", "hand over", "again"):
            button.click()
    page.hands["hint"].click()
    page.units.value = "metric"

    shown = [page.story, page.status, page.stands, page.log, page.said]
    text = " ".join(part.value for part in shown) + str(page.air.options)
    assert "kPa" in text
    assert "{" not in text
    assert not re.search(r"\d\s(psi|ft|gpm|gal|in)\b(?! the)", text.replace("turns in", ""))


def test_a_failure_reaches_the_learner(page: RigPage, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> Rig:
        raise ValueError("x")

    monkeypatch.setattr(Rig, "act", fails)
    page.hands["wait 1"].click()

    assert "ValueError" in page.said.value


@pytest.mark.parametrize(
    ("quarters", "words"),
    [
        (1, "1/4 turn looser"),
        (-4, "1 turn tighter"),
        (14, "3 1/2 turns looser"),
        (-6, "1 1/2 turns tighter"),
    ],
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


def test_every_hint_slip_and_action_has_words() -> None:
    keys = re.findall(r'key="([a-z ]+)"', inspect.getsource(hints))
    keys += ["over rating", "over torque", "bled", "controller off", "locked", "dark", "holds"]
    for key in keys:
        assert bundle("rig").has_message(f"hint-{key.replace(' ', '-')}"), key
    for slip in ("live wires", "under pressure", "relief unchecked", "ran over", "left undone",
                 "unproved", "air off"):  # fmt: skip
        assert say(f"slip-{slip}", under="2 psi")


@pytest.mark.parametrize("system", ["US", "metric"])
def test_the_points_are_told_and_add_up(page: RigPage, system: str) -> None:
    """Read as a person with a pencil reads the table."""
    page.hands["hand over"].click()
    page.units.value = system

    table = page.said.value.split("</table>")[0]
    rows = [re.findall("<td>(.*?)</td>", row) for row in table.split("<tr>")[2:]]
    points, most = ([int(row[column]) for row in rows] for column in (1, 2))
    assert sum(points[:-1]) == points[-1]
    assert sum(most[:-1]) == most[-1] == 100
    assert all(row[3].endswith(".") for row in rows[:-1])
    if system == "metric":
        assert "psi" not in page.said.value + page.story.value


def test_the_precharge_is_set_once_the_manifold_is_bled(page: RigPage) -> None:
    page.air.value = page.air.options[14][1]
    for name in ("power off", "bleed", "air"):
        page.hands[name].click()

    assert "Precharge: 16\N{NO-BREAK SPACE}psi" in page.stands.value
    assert "The line valve is closed and the drain open." in page.stands.value


def test_a_turn_past_the_end_leaves_it_as_it_was(page: RigPage) -> None:
    page.amount.value = 8
    for _ in range(4):
        page.hands["screw in"].click()
    assert "Nothing was changed." in page.status.value
    assert "6 turns tighter" in page.stands.value

    page.hands["hint"].click()
    assert "Nothing was changed." not in page.status.value


def test_each_number_has_a_line_and_cautions_of_its_own() -> None:
    one, other = rig(None, 3), rig(None, 8)

    assert one.story.value.split("”")[0] != other.story.value.split("”")[0]
    words = " ".join(part.value for group in one.board.children for part in group.children[:1])
    assert "Bleed pressure to zero before you open anything." in words
    assert "Turn the controller off before you touch a wire." in words
