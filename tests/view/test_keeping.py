"""Answers given on a page end in the learner's file, and a right one is recalled on the next visit."""

import datetime as dt
import time
from pathlib import Path

import pytest

from labkit.advice.stop_methods import StopCase
from labkit.questions import ChoiceQuestion, Option, phrase
from labkit.questions.keys import exercise_1, lesson_1
from labkit.questions.progress import ELSEWHERE, read_progress
from labkit.sitefile import demo_site
from labkit.view import keeping
from labkit.view.bench import Bench
from labkit.view.lesson import Lesson
from labkit.view.own_site import EXAMPLE, OwnSite
from labkit.view.setting import Setting
from labkit.view.stop_method_bench import StopMethodBench
from tests.customary import PSI


@pytest.fixture(autouse=True)
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(ELSEWHERE, str(tmp_path / "mine.toml"))
    return tmp_path / "mine.toml"


def does_it() -> ChoiceQuestion:
    options = (
        Option(words=phrase("Yes."), said=phrase("Yes."), is_right=True),
        Option(words=phrase("No."), said=phrase("No.")),
    )
    return ChoiceQuestion(name="does it", ask=phrase("Does it?"), options=options)


def test_answers_of_a_lesson_are_kept(path: Path) -> None:
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    lesson = Lesson("lesson 1")
    asked = lesson.ask(asked_at_rest)

    for words in ("1 psi", "nonsense", "2 psi", f"{asked_at_rest.answer / PSI:.4g} psi"):
        asked.answer.entry.value = words
        asked.press()

    kept = read_progress(path)["lesson 1"].answers[asked_at_rest.name]
    assert (kept.outcome, kept.wrong) == ("right", 2)
    assert "mine.toml" in lesson.keeper.note.value
    again = Lesson("lesson 1").ask(asked_at_rest)
    today = dt.datetime.now().astimezone()
    assert f"You said on {today:%b} {today.day}: {kept.given}" in again.line.value
    assert "Right." in again.line.value
    assert again.answer.value == kept.given
    assert "labkit-done" in again.box._dom_classes


def test_a_prediction_and_the_units_come_back_and_nothing_waits_for_them_again() -> None:
    lesson = Lesson("lesson 1")
    asked = lesson.predict(does_it())
    asked.answer.entry.value = 1
    asked.press()
    lesson.use("metric")

    later = Lesson("lesson 1")
    again = later.predict(does_it())

    assert later.system == later.units.value == "metric"
    assert not later.is_waiting
    assert again.answer.value == 1
    assert again.button.disabled
    assert "You said on" in again.line.value
    assert Lesson("lesson 2").predict(does_it()).is_kept is False


@pytest.mark.parametrize(
    "entry", ["entry = 77", 'entry = "2"', "", "entry = -1"], ids=["far", "text", "none", "minus"]
)
def test_what_can_no_longer_be_given_is_asked_again(path: Path, entry: str) -> None:
    question = does_it()
    path.write_text(
        f'format = 2\n[pages."lesson 1".answers."{question.name}"]\ngiven = "often"\n'
        f'outcome = "predicted"\ndate = 2026-01-05\n{entry}\n'
        '[pages."lesson 1".state.page]\nunits = "cubits"\n'
    )

    lesson = Lesson("lesson 1")

    assert lesson.system == "US"
    assert lesson.predict(question).is_kept is False


def lesson_with_bench() -> tuple[Lesson, Bench]:
    lesson = Lesson("lesson 1")
    return lesson, lesson.bench(demo_site("first_line"), ["irradiance", "head"], duration="5 min")


def test_sliders_come_back_as_they_were_left(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keeping, "QUIET", 0.0)
    _, bench = lesson_with_bench()
    first = bench.sliders["head"].si
    bench.update()
    time.sleep(0.2)
    assert not path.is_file(), "nothing was turned"
    bench.sliders["head"].value = 42.0
    left = bench.sliders["head"].si
    for _ in range(200):
        if path.is_file():
            break
        time.sleep(0.02)

    _, again = lesson_with_bench()

    assert again.sliders["head"].si == pytest.approx(left)
    assert again.sliders["irradiance"].si == again.sliders["irradiance"].start
    assert again.trace is not None
    assert again.site.troughs[0].pipe.rise == bench.site.troughs[0].pipe.rise
    again.on_reset()
    assert again.sliders["head"].si == first


@pytest.mark.parametrize("left", ["1e9", "nan", "inf", '"steep"', "true", "-1e9"])
def test_a_setting_that_no_slider_can_have_is_left_out(path: Path, left: str) -> None:
    path.write_text(f'format = 2\n[pages."lesson 1".state."bench 1"]\nhead = {left}\nold = 3\n')

    _, bench = lesson_with_bench()

    assert bench.sliders["head"].si == bench.sliders["head"].start
    assert bench.error is None


def test_a_sheet_of_paper_holds_nobodys_answers(path: Path) -> None:
    first = Lesson("lesson 1").predict(does_it())
    lesson = Lesson("lesson 1")
    first.answer.entry.value = 0
    first.press()
    before = path.read_bytes()

    lesson.for_paper()
    lesson.use("metric")

    assert lesson.predict(does_it()).is_kept is False
    assert path.read_bytes() == before


def test_starting_over_takes_two_presses_and_forgets_the_page(path: Path) -> None:
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    for page in ("lesson 1", "lesson 2"):
        asked = Lesson(page).ask(asked_at_rest)
        asked.answer.entry.value = "1 psi"
        asked.press()
    lesson = Lesson("lesson 1")

    lesson.keeper.again.click()
    assert set(read_progress(path)) == {"lesson 1", "lesson 2"}

    lesson.keeper.again.click()
    assert set(read_progress(path)) == {"lesson 2"}
    assert "labkit-anew" in lesson.keeper.again._dom_classes
    assert "You said" not in Lesson("lesson 1").ask(asked_at_rest).line.value


def test_a_page_without_a_name_keeps_nothing(path: Path) -> None:
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    asked = Lesson().ask(asked_at_rest)
    asked.answer.entry.value = "1 psi"
    asked.press()
    assert not path.exists()


def test_a_file_that_cannot_be_read_is_said_and_the_marking_goes_on(path: Path) -> None:
    path.write_text("damaged")
    asked_at_rest, _, _ = lesson_1.checks(demo_site("first_line"))
    lesson = Lesson("lesson 1")
    asked = lesson.ask(asked_at_rest)
    asked.answer.entry.value = "1 psi"
    asked.press()
    assert "Not yet" in asked.line.value
    assert "delete it" in lesson.keeper.note.value
    assert path.read_text() == "damaged"


def test_answers_of_an_exercise_are_kept_by_the_learners_number(path: Path) -> None:
    setting = Setting(exercise_1.exercise, "exercise 1")
    setting.number.value = "17"
    setting.start()
    first = setting.questions[0]
    first.answer.entry.value = 0 if hasattr(first.question, "options") else "3 psi"
    first.press()
    assert read_progress(path)["exercise 1, number 17"].answers

    later = Setting(exercise_1.exercise, "exercise 1")

    assert later.number.value == "17"
    assert "You said" in later.questions[0].line.value
    later.keeper.again.click()
    later.keeper.again.click()
    assert read_progress(path) == {}
    assert Setting(exercise_1.exercise, "exercise 1").questions == []


def test_the_lists_of_the_ways_to_stop_come_back(path: Path) -> None:
    """They are kept like a bench's sliders: once they stand still for a moment."""

    def made() -> StopMethodBench:
        return Lesson("lesson 13").weigh(StopCase(start=demo_site("first_line"), way=900.0))

    made().sliders["between"].value = "a ridge"
    for _ in range(200):
        if path.is_file():
            break
        time.sleep(0.02)

    again = made()

    assert again.case.between == "a ridge"
    assert "as you left them" in again.page.said
    again.on_reset()
    assert again.case.between == "open ground"


def test_a_line_of_ones_own_comes_back_and_a_file_that_no_longer_reads_does_not(path: Path) -> None:
    own = OwnSite(Lesson("lesson 14"))
    mine = EXAMPLE.replace('title = "Willow Bend"', 'title = "Nine Gates"')
    own.text.value = mine
    own.text.value = mine.replace("[well]", "[wall]")

    again = OwnSite(Lesson("lesson 14"))

    assert (again.site.title, again.text.value) == ("Nine Gates", mine)
    assert "as you left it" in again.status.value
    assert OwnSite(Lesson("my line")).text.value == mine, "asked once, for both pages"
    again.start_over()
    assert OwnSite(Lesson("lesson 14")).site.title == "Willow Bend"
    path.write_text('format = 2\n[pages."my line".state."site file"]\n0000 = "title = 3"\n')
    assert OwnSite(Lesson("lesson 14")).site.title == "Willow Bend"
