"""The picture on paper, read from what is drawn rather than from dots."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import attrs
import numpy as np
import pytest
from matplotlib.colors import same_color
from PIL import Image

from labkit import demo_site, simulate
from labkit.figures import style
from labkit.figures.image import PALETTE
from labkit.figures.paper import LAND, PRESSURE, Paper, picture_png, scene_html, scene_png
from labkit.figures.scene import scene_of
from tests.customary import PSI
from tests.view.conftest import made_trace

if TYPE_CHECKING:
    from labkit.site import Site
    from labkit.trace import Trace


@pytest.fixture(scope="module")
def trace(ranch: Site) -> Trace:
    return made_trace(ranch)


def words(paper: Paper) -> list[str]:
    return [text.get_text() for text in paper.axes.texts]


def test_a_picture_is_small_and_of_the_stated_size(trace: Trace) -> None:
    image = Image.open(io.BytesIO(picture_png(trace)))

    assert image.size == (1152, 806)
    assert image.mode == "P"
    assert len(image.getcolors() or []) <= PALETTE


def test_pressure_and_height_stand_level(trace: Trace) -> None:
    paper = Paper(scene_of(trace))

    for psi in (0.0, 15.0, 30.0):
        feet = psi * PSI / 9804.0 / 0.3048
        assert paper.up(feet) == pytest.approx(paper.y_of(psi), abs=0.1)


def test_the_line_of_the_pressure_is_the_scene_s(trace: Trace) -> None:
    paper = Paper(scene_of(trace))
    blue = [line for line in paper.axes.lines if same_color(line.get_color(), style.BLUE)]
    longest = max((np.asarray(line.get_xydata()) for line in blue), key=len)

    x, y = longest[0]
    assert x == pytest.approx(PRESSURE.left)
    assert y == pytest.approx(paper.y_of(24.0))


def test_the_moment_is_written_and_what_happened_by_then(trace: Trace) -> None:
    said = words(Paper(scene_of(trace, moment=1950.0)))

    assert said.count("33.0 psi") == 2  # beside the cursor and under the gauge
    assert "12:32:30 pm: switch trips at cut-out" in said


def test_the_verdict_is_left_out_where_a_question_asks_for_it(trace: Trace) -> None:
    scene = scene_of(trace)

    assert "Short-cycles" in words(Paper(scene))
    assert "Short-cycles" not in words(Paper(scene, judged=False))
    assert "Short-cycles" not in scene_html(scene, judged=False)
    assert "Short-cycles: with every float valve closed" in scene_html(scene)


def test_all_words_stand_on_the_sheet() -> None:
    for name in ("first_line", "three_troughs", "radio_tank"):
        trace = simulate(demo_site(name), "30 min", sun="500 W/m^2")
        for system in ("US", "metric"):
            paper = Paper(scene_of(trace, system))
            paper.figure.canvas.draw()
            width, height = paper.figure.canvas.get_width_height()
            for text in paper.axes.texts:
                box = text.get_window_extent()
                assert box.x0 >= 0.0, text.get_text()
                assert box.x1 <= width, text.get_text()
                assert box.y0 >= 0.0, text.get_text()
                assert box.y1 <= height, text.get_text()


def test_an_event_of_many_words_takes_two_rows_and_the_last_ones_are_told(trace: Trace) -> None:
    scene, woken = scene_of(trace), "day 12, 12:00:00 pm: sun strong enough, controller wakes"
    events = [[0.0, f"{number} {woken}"] for number in range(4)]
    paper = Paper(attrs.evolve(scene, parts={**scene.parts, "events": events}))
    paper.figure.canvas.draw()

    told = [text for text in paper.axes.texts if "day 12" in text.get_text()]
    assert [text.get_text()[0] for text in told] == ["2", "3"]
    assert all(text.get_window_extent().x1 < paper.figure.bbox.width - 50.0 for text in told)


@pytest.mark.parametrize("name", ["storage_tank", "radio_tank"])
def test_a_sensor_is_hollow_until_it_says_full(name: str) -> None:
    site = demo_site(name)
    (sensor,) = site.level_sensors
    low = (sensor.starts_at + sensor.stops_at) / 2.0
    trace = simulate(site, "1 hour", sun="800 W/m^2", levels={sensor.trough: low})
    (full,) = trace.times("sensor says full")
    scene = scene_of(trace)
    sign = next(t for t in scene.parts["line"]["troughs"] if t["id"] == sensor.trough)["sensors"][0]

    for time, said in ((full - 1.0, 0), (full + 1.0, 1)):
        assert Paper(attrs.evolve(scene, moment=time)).state(sign["full"]) == said
    assert sign["at"] == pytest.approx(
        float((sensor.stops_at / site.troughs[0].depth).to("").magnitude)
    )
    assert sign["radio"] == (sensor.radio is not None)


def test_the_ground_ends_within_the_drawing(trace: Trace) -> None:
    paper = Paper(scene_of(trace))

    assert paper.along(paper.scene.parts["line"]["far"]) == pytest.approx(LAND.right)
    assert len(scene_png(paper.scene)) < 80_000
