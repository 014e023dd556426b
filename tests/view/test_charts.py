"""Charts: drawn in either system, with words that hold their numbers, readable without colour."""

import re
from collections.abc import Callable

import numpy as np
import pytest
from matplotlib.patches import FancyBboxPatch, Rectangle

from labkit.figures.image import drawn_png
from labkit.questions import ChoiceQuestion, Option, phrase
from labkit.site import Site
from labkit.sitefile import demo_site
from labkit.sun import constant
from labkit.units import displayed
from labkit.view.charts import (
    Chart,
    ContactTable,
    GradeLines,
    LeakDown,
    PumpMeetsLine,
    SwitchWindow,
    TankMoments,
    TroughShares,
    chart_html,
)
from labkit.view.lesson import Lesson
from labkit.view.narrow import make_narrow

SUN = constant("600 W/m^2")
STUCK = {
    "switch.wire": {"gauge": "22 AWG", "length": "6000 ft"},
    "switch.contact": "stuck closed",
}
LEAK = {"at": "elm", "distance": "700 ft", "size": "0.2 gpm at 30 psi"}


def leaking(precharge: str) -> Site:
    """Give the first line with a leak and another charge of its tank."""
    changes = {"leaks": [LEAK], "pressure_tank.precharge": precharge}
    return demo_site("first_line").changed(changes)


MADE: dict[str, Callable[[], Chart]] = {
    "pump": lambda: PumpMeetsLine.of(demo_site("first_line"), SUN),
    "grade": lambda: GradeLines.of(demo_site("first_line"), SUN),
    "leaks": lambda: LeakDown.each(demo_site("first_line"), SUN, "0.1 gpm at 30 psi"),
    "tight line": lambda: LeakDown.of(demo_site("first_line"), SUN),
    "tank": lambda: TankMoments.of(leaking("42 psi"), SUN),
    "tank of a tight line": lambda: TankMoments.of(demo_site("first_line"), SUN),
    "troughs": lambda: TroughShares.of(demo_site("three_troughs"), SUN),
    "window": lambda: SwitchWindow.of(demo_site("first_line"), SUN),
    "stuck contact": lambda: ContactTable.of(demo_site("first_line").changed(STUCK), SUN),
    "contact": lambda: ContactTable.of(demo_site("first_line"), SUN),
}


@pytest.fixture(scope="module", params=MADE)
def chart(request: pytest.FixtureRequest) -> Chart:
    return MADE[request.param]()


@pytest.mark.parametrize("system", ["US", "metric"])
def test_a_chart_has_alternative_text_in_the_units_it_shows(chart: Chart, system: str) -> None:
    element = chart_html(chart, system)
    ours, theirs = ("psi", "kPa") if system == "US" else ("kPa", "psi")

    assert f" {ours}" in chart.words(system)
    assert f" {theirs}" not in chart.words(system)
    assert 'alt="' in element
    assert element.count("<img") == element.count('alt="') > element.count('alt=""')
    assert len(re.findall(r'alt="[^"]', element)) == 1


def test_lines_differ_in_more_than_colour(chart: Chart) -> None:
    for axes in chart.draw("US").axes:
        lines = [
            line
            for line in axes.lines
            if line.get_linewidth() >= 1.8 and np.asarray(line.get_xdata()).size > 2
        ]
        looks = {
            str(line.get_color()): str(line.get_linestyle())
            + str(getattr(line, "_dash_pattern", ""))
            for line in lines
        }
        assert len(set(looks.values())) == len(looks)


def test_words_stay_on_the_sheet(chart: Chart) -> None:
    figure = chart.draw("US")
    chart_html(chart, "US")
    figure.canvas.draw()
    width, height = figure.canvas.get_width_height()
    for axes in figure.axes:
        for text in axes.texts:
            box = text.get_window_extent()
            assert box.x0 >= 0.0, text.get_text()
            assert box.x1 <= width, text.get_text()
            assert box.y0 >= 0.0, text.get_text()
            assert box.y1 <= height, text.get_text()


def test_on_a_phone_no_words_of_a_panel_stand_on_others_or_beyond_the_sheet(chart: Chart) -> None:
    figure = chart.draw("US")
    make_narrow(figure)
    figure.canvas.draw()
    width, height = figure.canvas.get_width_height()
    for axes in figure.axes:
        boxes = [
            (text.get_window_extent(), text.get_text())
            for text in (*axes.texts, *(one.xaxis.label for one in axes.child_axes))
            if text.get_text().strip()
        ]
        boxes += [(text.get_window_extent(), text.get_text()) for text in figure.texts]
        for place, (box, words) in enumerate(boxes):
            assert box.x0 >= 0.0, words
            assert box.x1 <= width, words
            assert box.y1 <= height, words
            for other, others in boxes[:place]:
                beside = min(box.x1, other.x1) - max(box.x0, other.x0)
                above = min(box.y1, other.y1) - max(box.y0, other.y0)
                assert min(beside, above) <= 2.0, (words, others)


def test_on_a_phone_no_words_in_the_middle_of_a_panel_lie_over_its_axis() -> None:
    figure = MADE["tank of a tight line"]().draw("US")
    make_narrow(figure)
    figure.canvas.draw()
    (note,) = [one for one in figure.axes[1].texts if "nothing leaks" in one.get_text()]

    assert figure.axes[1].get_window_extent().x0 < note.get_window_extent().x0


def test_a_chart_is_an_image_of_each_panel_the_leading_one_first() -> None:
    chart = MADE["leaks"]()

    first, second = re.findall(r"<img[^>]*>", chart_html(chart, "US", lead=1))
    figure = chart.draw("US")
    make_narrow(figure)

    assert ('alt=""' in first, 'alt=""' in second) == (False, True)
    heights = [int(re.findall(r' height="(\d+)"', one)[0]) for one in (first, second)]
    assert sum(heights) == pytest.approx(figure.get_figheight() * figure.dpi, abs=1.0)


def test_the_square_stands_at_the_dead_head() -> None:
    chart = PumpMeetsLine.of(demo_site("first_line"), SUN)

    squares = [line for line in chart.draw("US").axes[0].lines if line.get_marker() == "s"]

    height = float(np.asarray(squares[0].get_ydata())[0])
    assert height == pytest.approx(displayed(chart.dead_head, "pressure", "US"))


def test_a_chart_follows_the_bench() -> None:
    lesson = Lesson()
    bench = lesson.bench(demo_site("first_line"), ["irradiance"], sun="900 W/m^2")
    lesson.chart(PumpMeetsLine.of, follows=bench)
    before = lesson.told[-1].text

    bench.sliders["irradiance"].value = 200.0

    assert "With 900 W/m²" in before
    assert "With 200 W/m²" in lesson.told[-1].text


def test_the_room_has_the_switch_s_own_points_in_it() -> None:
    chart = SwitchWindow.of(demo_site("first_line"), SUN)

    axes = chart.draw("US").axes[0]

    dashed = {round(float(np.asarray(line.get_xdata())[0]), 3) for line in axes.lines}
    assert {30.0, 50.0} <= dashed
    assert "As it is set now (30 psi and 50 psi)" in chart.words("US")


def test_a_dull_sun_closes_the_room() -> None:
    """At 150 W/m2 the shut line of this ranch pushes less than filling takes in full sun."""
    closed = SwitchWindow.of(demo_site("first_line"), constant("150 W/m^2"))

    assert "No window for the switch" in closed.words("US")
    assert "The window for the switch" in SwitchWindow.of(demo_site("first_line"), SUN).words("US")


def test_the_meter_tells_a_cut_wire_from_an_open_contact_at_the_switch_alone() -> None:
    """By hand: at the drive both are open; apart, one of the two is sound."""
    site = demo_site("first_line").changed({"switch.wire": {"gauge": "18 AWG", "length": "800 ft"}})
    cut, stuck = (
        ContactTable.of(site.changed(change), SUN).meter()
        for change in ({"switch.wire.condition": "cut"}, {"switch.contact": "stuck open"})
    )

    assert cut[1][1:] == stuck[1][1:] == ("OL", "OL")
    assert (cut[0][2], stuck[0][2]) == ("0 ohms", "OL")
    assert (cut[2][2], stuck[2][2]) == ("OL", "10.2 ohms")  # 2 x 0.8 x 6.39 per 1000 ft
    assert cut[3][1:] == stuck[3][1:] == ("run", "run")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"pressure_tank": None}, "a tank of 0 gal"),
        ({"pressure_tank.precharge": "0 psi"}, "its air is at 0 psi"),
        ({"switch.cut_out": "80 psi"}, "the pump does not reach cut-out"),
        ({"leaks": []}, "nothing leaks, so the pump does not start by itself"),
        ({"switch.cut_out": "32 psi"}, "from start to start"),
    ],
)
def test_a_tank_is_drawn_at_every_end_of_the_sliders(
    changes: dict[str, object], words: str
) -> None:
    chart = TankMoments.of(leaking("28 psi").changed(changes), SUN)

    assert chart_html(chart, "US")
    assert words in chart.words("US")


def test_the_tanks_hold_what_the_law_of_air_leaves() -> None:
    """Source: Boyle's law in absolute pressure at 4,600 ft (12.40 psi, standard atmosphere), worked
    by hand: 1 - 40.40 / 42.40 and 1 - 40.40 / 62.40."""
    axes = TankMoments.of(leaking("28 psi"), SUN).draw("US").axes[0]

    water = [patch for patch in axes.patches if isinstance(patch, Rectangle)]
    shells = [patch for patch in axes.patches if isinstance(patch, FancyBboxPatch)]

    shares = [
        one.get_height() / shell.get_height() for one, shell in zip(water, shells, strict=True)
    ]
    assert shares == pytest.approx([0.0, 0.0472, 0.3526], abs=5e-4)


@pytest.mark.parametrize(("precharge", "same"), [("28 psi", True), ("42 psi", False)])
def test_the_rule_is_seen_where_the_tank_is_charged_by_it(precharge: str, same: bool) -> None:
    """Where both curves are one, dashes lie on a band that is broader than they, and words say so;
    cut-in is 30 psi, and the rule charges 2 psi under it."""
    axes = TankMoments.of(leaking(precharge), SUN).draw("US").axes[1]
    band, dashes = (line for line in axes.lines if np.asarray(line.get_xdata()).size > 2)
    said = " ".join(text.get_text() for text in axes.texts)

    assert np.allclose(np.asarray(band.get_ydata()), np.asarray(dashes.get_ydata())) == same
    assert band.get_linewidth() > 2.0 * dashes.get_linewidth()
    assert (band.get_linestyle(), dashes.is_dashed()) == ("-", True)
    assert dashes.get_zorder() >= band.get_zorder()
    assert ("as yours is" in said) == same


def test_a_gauge_shows_nothing_under_zero() -> None:
    """A bad check valve pulls the line into suction; a plain gauge rests on its pin."""
    chart = LeakDown.each(demo_site("first_line"), SUN, "0.3 gpm at 30 psi")

    for axes in chart.draw("US").axes:
        for line in axes.lines:
            assert float(np.min(np.asarray(line.get_ydata(), dtype=float))) >= 0.0


def test_on_paper_a_chart_shows_the_start_of_its_bench_though_nobody_predicts() -> None:
    asked = ChoiceQuestion(
        name="any",
        ask=phrase("Any?"),
        options=(Option(words=phrase("yes"), said=phrase("yes"), is_right=True),),
    )
    shown = []
    for for_paper in (False, True):
        lesson = Lesson()
        if for_paper:
            lesson.for_paper()
        lesson.predict(asked)
        bench = lesson.bench(demo_site("first_line"), ["irradiance"], sun="900 W/m^2")
        lesson.chart(PumpMeetsLine.of, follows=bench)
        shown.append(lesson.told[-1].text)

    assert "<img" not in shown[0]
    assert "With 900 W/m²" in shown[1]


def test_on_a_narrow_page_every_letter_is_large_and_on_the_sheet(chart: Chart) -> None:
    """Twelve pixels where the picture is 360 pixels wide, as on a telephone of 390."""
    figure = chart.draw("US")
    make_narrow(figure)
    drawn_png(figure)

    width, height = figure.canvas.get_width_height()
    texts = [*figure.texts, *(text for axes in figure.axes for text in axes.texts)]
    for text in texts:
        if not text.get_text():
            continue
        box = text.get_window_extent()
        assert box.x0 >= -1.0, text.get_text()
        assert box.x1 <= width + 1.0, text.get_text()
        assert box.y0 >= -1.0, text.get_text()
        assert box.y1 <= height + 1.0, text.get_text()
        pixels = float(text.get_fontsize()) / 72.0 * 360.0 / figure.get_size_inches()[0]
        assert pixels >= 12.0, text.get_text()
