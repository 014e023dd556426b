"""The bench of the three ways: lists turn the case, nothing shows before the predictions."""

from __future__ import annotations

import pytest

import labkit as lab
from labkit.advice.stop_methods import StopCase
from labkit.questions.keys import lesson_13
from labkit.view.charts.base import chart_html
from labkit.view.charts.stop import StopPrices
from labkit.view.lesson import Lesson
from labkit.view.stop_method_bench import StopMethodBench
from tests.customary import FOOT


def shown(bench: StopMethodBench) -> str:
    return bench.draw_charts()


CASE = StopCase(start=lab.demo_site("first_line"), way=3000 * FOOT)


@pytest.fixture
def bench() -> StopMethodBench:
    return StopMethodBench(CASE)


def test_each_list_turns_its_part_of_the_case(bench: StopMethodBench) -> None:
    bench.sliders["pipe length"].value = 4000.0
    bench.sliders["troughs"].value = "2"
    bench.sliders["between"].value = "a ridge"
    bench.sliders["trench"].value = "of its own"
    bench.sliders["money"].value = "5000"

    case = bench.case
    assert case.way == pytest.approx(4000 * FOOT)
    assert (case.troughs, case.between, case.own_trench, case.money) == (2, "a ridge", True, 5000.0)
    assert "Not here: radio" in bench.page.said
    assert "Within $5,000 the cheapest is pressure" in bench.page.said


def test_reset_goes_back_to_the_case(bench: StopMethodBench) -> None:
    before = shown(bench)
    bench.sliders["between"].value = "a ridge"
    assert shown(bench) != before

    bench.on_reset()

    assert bench.case.between == "open ground"
    assert bench.case.way == pytest.approx(CASE.way)
    assert shown(bench) == before


def test_money_that_buys_nothing_is_said(bench: StopMethodBench) -> None:
    """At 9,000 ft there is no window, and wire and radio cost more than $500."""
    bench.sliders["pipe length"].value = 9000.0
    bench.sliders["money"].value = "500"

    assert "Not here: pressure $150." in bench.page.said
    assert "None of them stays within $500." in bench.page.said


def test_prices_stay_back_until_predictions_are_made() -> None:
    lesson = Lesson()
    found = CASE.compared(with_failures=True)
    first, second = (
        lesson.predict(one) for one in (lesson_13.dull_days(found), lesson_13.one_pair_cut(found))
    )

    bench = lesson.weigh(CASE)
    assert "$" not in shown(bench) + bench.page.said
    assert all(row.disabled for row in bench.sliders.values())
    for one in (first, second):
        one.answer.entry.value = 0
        one.press()

    assert "$970" in shown(bench)
    assert not any(row.disabled for row in bench.sliders.values())


def test_it_speaks_the_units_of_the_page() -> None:
    lesson = Lesson()
    bench = lesson.weigh(CASE)

    lesson.units.value = "metric"

    assert "914.4 m of pipe" in shown(bench)
    assert bench.case.way == pytest.approx(3000 * FOOT)
    bench.use("US")
    assert lesson.system == "US"
    assert "3,000 ft of pipe" in shown(bench)


def test_a_way_that_does_not_work_is_a_cross_on_its_price() -> None:
    case = StopCase(start=CASE.start, way=CASE.way, between="a ridge")
    chart = StopPrices.of(case, case.compared(), reach=3048.0)

    figure = chart.draw("US")
    chart_html(chart, "US")

    marks = [str(line.get_marker()) for line in figure.axes[0].lines if len(line.get_xdata()) == 1]  # type: ignore[arg-type]
    assert marks == ["o", "o", "X"]
    assert "radio $970, doesn't work here" in chart.words("US")
    width, height = figure.canvas.get_width_height()
    for text in figure.axes[0].texts:
        box = text.get_window_extent()
        assert box.x0 >= 0.0, text.get_text()
        assert box.x1 <= width, text.get_text()
        assert box.y0 >= 0.0, text.get_text()
        assert box.y1 <= height, text.get_text()


def test_the_answers_of_the_lesson_come_from_the_runs() -> None:
    """By the contact alone: a cut pair reads open, so a drive that waits for closing pushes on; a
    fifth of the light cannot lift the shut line to cut-out, and a sensor needs no pressure."""
    found = CASE.compared(with_failures=True)

    dull, cut = lesson_13.dull_days(found), lesson_13.one_pair_cut(found)

    assert dull.options[dull.answer].words.words == "Pressure alone."
    assert cut.options[cut.answer].words.words == "Both."
    with pytest.raises(ValueError, match="should rule out one way"):
        lesson_13.behind_the_ridge(found)
