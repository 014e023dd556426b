"""The bench for a slam: held until it is predicted, and its picture follows the sliders."""

import pytest

from labkit.questions.marking import ChoiceQuestion, Option
from labkit.questions.phrase import phrase
from labkit.sitefile import demo_site
from labkit.view.lesson import Lesson
from labkit.view.surge_bench import SurgeBench
from tests.customary import PSI


def question() -> ChoiceQuestion:
    options = (
        Option(words=phrase("yes"), said=phrase("yes"), is_right=True),
        Option(words=phrase("no"), said=phrase("no")),
    )
    return ChoiceQuestion(name="does it", ask=phrase("Does it?"), options=options)


def given(lesson: Lesson) -> SurgeBench:
    made = lesson.surge_bench(
        demo_site("first_line"), ["pipe material"], trough="elm", closing_time="0.5 s"
    )
    assert isinstance(made, SurgeBench)
    return made


def test_no_wave_is_shown_before_the_prediction() -> None:
    lesson = Lesson()
    asked = lesson.predict(question())
    made = given(lesson)
    assert made.text == ""
    assert "<img" not in made.draw_charts()
    assert made.sliders["closing time"].disabled

    asked.answer.entry.value = 0
    asked.press()

    assert " psi" in made.text
    assert "<img" in made.draw_charts()
    assert not made.sliders["closing time"].disabled


def test_the_closing_time_is_that_of_the_slider() -> None:
    made = given(Lesson())

    made.sliders["closing time"].value = 12.0

    assert made.surge is not None
    assert made.surge.closing_time == 12.0
    assert "12 s" in made.page.said


def test_a_stiffer_pipe_makes_a_faster_wave_and_a_higher_peak() -> None:
    """Korteweg 1878: the stiffer the wall, the faster the wave; Joukowsky 1898: the higher it is."""
    made = given(Lesson())
    assert made.surge is not None
    soft = made.surge

    made.sliders["pipe material"].value = "1 1/4 in PVC Sch 40"

    assert made.surge.path()[-1].wave_speed > 1.4 * soft.path()[-1].wave_speed
    assert made.surge.peak_pressure["elm"] > soft.peak_pressure["elm"] + 5.0 * PSI


def test_units_and_handout_are_those_of_the_page() -> None:
    lesson = Lesson()
    made = given(lesson)
    assert " psi" in made.text

    lesson.use("metric")

    assert " kPa" in made.text
    assert " psi" not in made.alt
    assert made.snapshot_html().count(" kPa") > 1


def test_reset_brings_the_first_closing_time_back() -> None:
    made = given(Lesson())
    made.sliders["closing time"].value = 20.0

    made.on_reset()

    assert made.surge is not None
    assert made.surge.closing_time == pytest.approx(0.5)
