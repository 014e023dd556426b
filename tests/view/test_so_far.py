"""A bench that shows only the beginning of a run, until it is predicted, says so."""

import re

import pytest

from labkit.engine.run import simulate
from labkit.questions import ChoiceQuestion, Option, phrase
from labkit.sitefile import demo_site
from labkit.view.bench import Bench
from labkit.view.lesson import Lesson

BEGUN = "This shows the first 15 s of 1 h. Make your predictions to see the rest."


@pytest.fixture
def lesson() -> Lesson:
    made = Lesson()
    options = (
        Option(words=phrase("yes"), said=phrase("yes"), is_right=True),
        Option(words=phrase("no"), said=phrase("no")),
    )
    made.predict(ChoiceQuestion(name="does it", ask=phrase("Does it?"), options=options))
    return made


def bench_of(lesson: Lesson, so_far: str | None = "15 s") -> Bench:
    return lesson.bench(demo_site("first_line"), ["irradiance"], so_far=so_far)


def test_the_beginning_is_called_one_and_not_judged(lesson: Lesson) -> None:
    bench = bench_of(lesson)

    assert bench.scene is not None
    assert bench.scene.so_far == BEGUN
    said = r"In 15 s the pump started once; highest pressure \d\d\.\d psi\."
    assert re.fullmatch(said, bench.text)
    assert bench.scene.verdict is None
    assert BEGUN in bench.alt
    assert bench.scene.parts["x"]["end"] == pytest.approx(15.0)


def test_the_whole_run_says_what_it_amounts_to(lesson: Lesson) -> None:
    bench = bench_of(lesson)
    (asked,) = lesson.predictions
    asked.answer.entry.value = 0
    asked.press()

    assert bench.scene is not None
    assert bench.scene.so_far == ""
    assert "Good stop" in bench.text
    assert "first 15 s" not in bench.alt
    assert bench.scene.parts["x"]["end"] == pytest.approx(3600.0)
    assert bench.scene.moment > 15.0


def test_it_is_said_on_paper_and_in_other_units_too(lesson: Lesson) -> None:
    bench = bench_of(lesson)

    assert BEGUN in bench.snapshot_html()
    lesson.use("metric")
    assert BEGUN in bench.page.text
    assert " kPa" in bench.text


def test_a_bench_that_shows_all_of_it_has_nothing_to_add(lesson: Lesson) -> None:
    for bench in (bench_of(lesson, so_far=None), bench_of(Lesson())):
        assert bench.scene is not None
        assert bench.scene.so_far == ""


def test_a_picture_asks_for_predictions_only_until_they_are_made(lesson: Lesson) -> None:
    trace = simulate(demo_site("first_line"), "15 s", sun="700 W/m^2")
    lesson.picture(trace, whole="1 hour")
    (asked,), (picture,) = lesson.predictions, lesson.told
    assert BEGUN in picture.text

    asked.answer.entry.value = 0
    asked.press()
    lesson.use("metric")

    assert "first 15 s of 1 h. You can see the rest further down." in picture.text
    assert "Make your predictions" not in picture.text


def test_a_picture_over_its_predictions_asks_for_them_too(lesson: Lesson) -> None:
    """As on a page: first the picture, then what is asked of it."""
    page = Lesson()
    page.picture(simulate(demo_site("first_line"), "15 s", sun="700 W/m^2"), whole="1 hour")

    page.predict(lesson.predictions[0].question)

    assert BEGUN in page.told[0].text


def test_a_picture_on_paper_stands_over_predictions_that_nobody_made_yet() -> None:
    lesson = Lesson()
    lesson.for_paper()
    lesson.picture(simulate(demo_site("first_line"), "15 s", sun="700 W/m^2"), whole="1 hour")

    assert BEGUN in lesson.told[0].text
