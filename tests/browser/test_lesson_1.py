"""Lesson 1 as a learner meets it: two predictions, then four sliders that the picture follows."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

import labkit as lab
from tests.browser.conftest import CHECKOUT

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Locator

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

LESSON: Final = "lessons/01_pressure_tells_the_story.ipynb"
SUN: Final = "Sun on the array (W/m²)"
HEAD: Final = "Rise to the far trough (ft)"
DIFFERENTIAL: Final = "Switch differential (psi)"
LEAK: Final = "Line leak at 30 psi (gpm)"
PSI: Final = 6894.757


def bench(lesson: LessonPage) -> Locator:
    return lesson.page.locator(".labkit-bench").first


def status(lesson: LessonPage) -> Locator:
    return bench(lesson).get_by_role("status").first


def picture(lesson: LessonPage) -> Locator:
    return bench(lesson).locator("img").first


def predict(lesson: LessonPage) -> None:
    """Make both predictions, wrong ones too."""
    page = lesson.page
    page.get_by_text("A. Stay where it is").click()
    keep = page.get_by_role("button", name="Keep my prediction")
    keep.first.click()
    page.get_by_role("textbox", name="Starts in this hour").fill("7")
    keep.last.click()
    expect(status(lesson)).to_contain_text("In 1 h")


def move(lesson: LessonPage, label: str, key: str, *, times: int = 1) -> float:
    """Press a key on a slider of the bench until the picture is another one."""
    before = picture(lesson).get_attribute("src") or ""
    lesson.press(label, key, times=times)
    expect(picture(lesson)).not_to_have_attribute("src", before, timeout=15_000)
    return shown(lesson, label)


def shown(lesson: LessonPage, label: str) -> float:
    """Read the number beside a slider; the handle's own is rounded to a tenth."""
    return float(lesson.page.get_by_role("textbox", name=f"{label}, type a value").inner_text())


def directly(*, sun: float, head: float, differential: float, leak: float) -> lab.Trace:
    """Run the same line through the public face, without a bench."""
    site = lab.demo_site("first_line").changed(
        {
            "trough.elm.pipe.rise": f"{head:g} ft",
            "switch.cut_out": f"{30 + differential:g} psi",
            "leak": [{"at": "elm", "distance": "750 ft", "size": f"{leak:g} gpm at 30 psi"}]
            if leak
            else [],
        }
    )
    return lab.simulate(
        site, "1 hour", sun=f"{sun:g} W/m^2", start="12:00", levels={"elm": "14 in"}
    )


def readout(text: str) -> tuple[int, float]:
    """Read starts and highest pressure [psi] out of the sentence."""
    starts = re.search(r"started (\w+)(?: times)?", text)
    pressure = re.search(r"highest pressure ([\d.]+) psi", text)
    assert starts, text
    assert pressure, text
    count = {"once": 1, "twice": 2}.get(starts[1])
    return count if count is not None else int(starts[1]), float(pressure[1])


def test_each_slider_changes_the_picture_as_the_engine_says(
    open_lesson: Callable[..., LessonPage],
) -> None:
    lesson = open_lesson(LESSON)
    predict(lesson)
    setting = {"sun": 700.0, "head": 20.0, "differential": 20.0, "leak": 0.0}
    moves = [
        ("sun", SUN, "PageDown", 4),
        ("head", HEAD, "PageUp", 2),
        ("differential", DIFFERENTIAL, "PageDown", 1),
        ("leak", LEAK, "PageUp", 1),
    ]
    for name, label, key, times in moves:
        sentence, words = status(lesson).inner_text(), picture(lesson).get_attribute("alt")

        setting[name] = move(lesson, label, key, times=times)
        expect(status(lesson)).not_to_have_text(sentence)
        lesson.page.wait_for_timeout(500)  # the last of the key presses has its picture

        trace = directly(**setting)
        starts, highest = readout(status(lesson).inner_text())
        assert starts == trace.measures().starts, name
        assert highest == pytest.approx(trace.measures().peak_pressure / PSI, abs=0.06), name
        assert picture(lesson).get_attribute("alt") != words
    assert lesson.errors() == []
    assert lesson.complaints == []
    assert lesson.outside == []


def test_the_sliders_wait_for_the_predictions(open_lesson: Callable[..., LessonPage]) -> None:
    lesson = open_lesson(LESSON)

    expect(bench(lesson)).to_contain_text("Make your prediction first")
    expect(status(lesson)).to_contain_text("In 8 min")


def test_the_moment_moves_without_a_new_run(open_lesson: Callable[..., LessonPage]) -> None:
    lesson = open_lesson(LESSON)
    predict(lesson)
    sentence = status(lesson).inner_text()

    before = picture(lesson).get_attribute("src") or ""
    lesson.press("Moment (min into the run)", "PageUp", times=2)
    expect(picture(lesson)).not_to_have_attribute("src", before)

    assert status(lesson).inner_text() == sentence


def test_nonsense_typed_into_a_slider_changes_nothing(
    open_lesson: Callable[..., LessonPage],
) -> None:
    lesson = open_lesson(LESSON)
    predict(lesson)
    lesson.page.wait_for_timeout(1000)
    before = picture(lesson).get_attribute("src")
    box = lesson.page.get_by_role("textbox", name=f"{SUN}, type a value")

    box.fill("a lot")
    box.press("Enter")
    lesson.page.wait_for_timeout(1000)

    assert picture(lesson).get_attribute("src") == before
    assert lesson.errors() == []


def test_the_last_value_of_a_drag_is_the_one_that_shows(
    open_lesson: Callable[..., LessonPage],
) -> None:
    lesson = open_lesson(LESSON)
    predict(lesson)
    handle = lesson.slider(SUN)
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    assert box is not None
    mouse = lesson.page.mouse
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    mouse.move(x, y)
    mouse.down()
    for step in range(60):
        mouse.move(x - 1.5 * step, y)
    mouse.up()
    lesson.page.wait_for_timeout(1500)

    sun = shown(lesson, SUN)
    assert sun < 700.0
    trace = directly(sun=sun, head=20.0, differential=20.0, leak=0.0)
    starts, highest = readout(status(lesson).inner_text())
    assert starts == trace.measures().starts
    assert highest == pytest.approx(trace.measures().peak_pressure / PSI, abs=0.06)


def test_the_picture_in_the_readme_is_of_this_bench(
    open_lesson: Callable[..., LessonPage], tmp_path: Path
) -> None:
    """Set BENCH_PICTURE to a file's name to make the picture anew."""
    lesson = open_lesson(LESSON)
    predict(lesson)
    lesson.page.set_viewport_size({"width": 1280, "height": 1500})
    lesson.page.wait_for_timeout(1500)
    made = Path(os.environ.get("BENCH_PICTURE", tmp_path / "bench.png"))

    bench(lesson).screenshot(path=made)

    assert np.allclose(size(made), size(CHECKOUT / "lessons" / "pictures" / "bench.png"), rtol=0.1)


def size(picture: Path) -> tuple[int, int]:
    with Image.open(picture) as image:
        return image.size
