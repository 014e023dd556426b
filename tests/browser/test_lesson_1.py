"""Lesson 1 as a learner meets it: two predictions, then sliders and handles that the picture follows."""

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
from tests.customary import PSI

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
BY_HAND: Final = {"sun": 700.0, "head": 20.0, "differential": 20.0, "leak": 0.0}


def status(lesson: LessonPage) -> Locator:
    return lesson.bench.get_by_role("status").first


def predict(lesson: LessonPage) -> None:
    """Make both predictions, wrong ones too."""
    page = lesson.page
    page.get_by_text("A. Stay where it is").click()
    keep = page.get_by_role("button", name="Lock in prediction")
    keep.first.click()
    page.get_by_role("textbox", name="Starts in this hour").fill("7")
    keep.last.click()
    expect(status(lesson)).to_contain_text("In 1 h")
    lesson.settle()


@pytest.fixture
def lesson(open_lesson: Callable[..., LessonPage]) -> LessonPage:
    """The page with both predictions made and every slider at its start, from one test to the next."""
    page: LessonPage = open_lesson(LESSON, again=True)
    if page.slider(SUN).is_disabled():
        predict(page)
    else:
        page.bench.evaluate("it => it.labkitBench.pause()")
        page.bench.get_by_role("button", name="Reset", exact=True).click()
        page.settle()
    return page


def shown(lesson: LessonPage, label: str) -> float:
    """Read the number beside a slider."""
    box = lesson.page.get_by_role("textbox", name=f"{label}, type a value").first
    return float(box.input_value().replace(",", ""))


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


def assert_it_is(lesson: LessonPage, setting: dict[str, float]) -> None:
    """Assert that the sentence says what the engine gives for a setting."""
    trace = directly(**setting)
    starts, highest = readout(status(lesson).inner_text())
    assert starts == trace.measures().starts, setting
    assert highest == pytest.approx(trace.measures().peak_pressure / PSI, abs=0.06), setting


def test_the_sliders_wait_for_the_predictions(open_lesson: Callable[..., LessonPage]) -> None:
    lesson = open_lesson(LESSON)

    expect(lesson.bench).to_contain_text("Make your prediction first")
    expect(status(lesson)).to_contain_text("In 8 min")
    expect(lesson.slider(SUN)).to_be_disabled()


def test_each_slider_changes_the_picture_as_the_engine_says(lesson: LessonPage) -> None:
    setting = dict(BY_HAND)
    moves = [
        ("sun", SUN, "ArrowLeft", 40),
        ("head", HEAD, "ArrowRight", 16),
        ("differential", DIFFERENTIAL, "ArrowLeft", 3),
        ("leak", LEAK, "ArrowRight", 4),
    ]
    for name, label, key, times in moves:
        before = lesson.words()

        value = lesson.press(label, key, times=times)
        lesson.settle()
        setting[name] = shown(lesson, label)

        assert float(value.split()[0]) == setting[name]
        assert_it_is(lesson, setting)
        assert lesson.words() != before
    assert lesson.errors() == []
    assert lesson.complaints == []
    assert lesson.outside == []


def test_time_moves_without_python(lesson: LessonPage) -> None:
    answers = lesson.bench.get_attribute("data-shown")

    lesson.press("Moment of the run", "PageUp", times=2)
    lesson.bench.get_by_role("button", name="Look closer").click()
    lesson.bench.get_by_role("button", name=re.compile("Play|Pause")).click()
    lesson.page.wait_for_timeout(500)

    assert lesson.bench.get_attribute("data-shown") == answers


def test_what_is_shown_at_a_moment_is_what_the_run_was(lesson: LessonPage) -> None:
    said = lesson.press("Moment of the run", "End")

    last = directly(**BY_HAND).pressure[-1] / PSI
    assert said.startswith("1:00:00 pm")
    assert float(said.split(" ")[2]) == pytest.approx(last, abs=0.051)


def test_nonsense_typed_beside_a_slider_is_answered_and_changes_nothing(lesson: LessonPage) -> None:
    before = lesson.words()
    box = lesson.page.get_by_role("textbox", name=f"{SUN}, type a value")

    box.fill("a lot")
    box.press("Enter")

    alarm = lesson.bench.get_by_role("alert")
    expect(alarm).to_contain_text("Sun on the array: “a lot” doesn't fit")
    assert lesson.words() == before
    assert lesson.errors() == []


def drag(lesson: LessonPage, handle: Locator, across: float, down: float) -> None:
    """Drag a thing by so many pixels, in sixty moves."""
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    assert box is not None
    mouse = lesson.page.mouse
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    mouse.move(x, y)
    mouse.down()
    for step in range(1, 61):
        mouse.move(x + across * step / 60.0, y + down * step / 60.0)
    mouse.up()
    lesson.settle()


def test_the_last_value_of_a_drag_is_the_one_that_shows(lesson: LessonPage) -> None:
    slider = lesson.slider(SUN)
    box = slider.bounding_box()
    assert box is not None

    slider.scroll_into_view_if_needed()
    mouse, box = lesson.page.mouse, slider.bounding_box()
    assert box is not None
    y = box["y"] + box["height"] / 2
    mouse.move(box["x"] + 0.7 * box["width"], y)
    mouse.down()
    for step in range(60):
        mouse.move(box["x"] + (0.7 - step / 150.0) * box["width"], y)
    mouse.up()
    lesson.settle()

    sun = shown(lesson, SUN)
    assert sun < 500.0
    assert_it_is(lesson, {**BY_HAND, "sun": sun})


@pytest.mark.parametrize(
    ("handle", "label", "name", "down"),
    [
        ("cut-out", DIFFERENTIAL, "differential", -40.0),
        ("trough elm", HEAD, "head", -30.0),
        ("sun", SUN, "sun", 40.0),
    ],
)
def test_a_thing_in_the_picture_is_dragged_and_its_slider_goes_along(
    lesson: LessonPage, handle: str, label: str, name: str, down: float
) -> None:
    held = lesson.bench.locator(f"[data-handle='{handle}']")
    before = shown(lesson, label)

    drag(lesson, held, 0.0, down)

    after = shown(lesson, label)
    assert (after > before) == (down < 0.0)
    assert held.get_attribute("aria-valuetext") == lesson.slider(label).get_attribute(
        "aria-valuetext"
    )
    assert_it_is(lesson, {**BY_HAND, name: after})


def test_a_handle_is_worked_by_keys_and_gives_its_value_back(lesson: LessonPage) -> None:
    held = lesson.bench.locator("[data-handle='cut-out']")
    cells = lesson.page.locator(".jp-Notebook .jp-Cell").count()

    held.focus()
    for key in ("ArrowUp", "ArrowUp", "PageUp", "ArrowDown", "b", "d", "d"):
        lesson.page.keyboard.press(key)
    lesson.settle()

    assert shown(lesson, DIFFERENTIAL) == 26.0
    assert lesson.page.locator(".jp-Notebook .jp-Cell").count() == cells
    assert_it_is(lesson, {**BY_HAND, "differential": 26.0})

    box = held.bounding_box()
    assert box is not None
    lesson.page.mouse.move(box["x"] + 22, box["y"] + 22)
    lesson.page.mouse.down()
    lesson.page.mouse.move(box["x"] + 22, box["y"] - 30, steps=5)
    lesson.page.keyboard.press("Escape")
    lesson.page.mouse.up()
    lesson.settle()
    assert shown(lesson, DIFFERENTIAL) == 26.0


def test_who_wants_less_motion_sees_nothing_play(open_lesson: Callable[..., LessonPage]) -> None:
    lesson = open_lesson(LESSON, still=True)
    predict(lesson)
    lesson.bench.scroll_into_view_if_needed()
    lesson.page.wait_for_timeout(700)

    expect(lesson.bench.get_by_role("button", name="Play", exact=True)).to_be_visible()
    stops = directly(**BY_HAND).times("switch trips")[-1]
    moment = lesson.slider("Moment of the run").input_value()
    assert float(moment) == pytest.approx(stops, rel=1e-4)


def test_the_picture_in_the_readme_is_of_this_bench(
    open_lesson: Callable[..., LessonPage], tmp_path: Path
) -> None:
    """Set BENCH_PICTURE to a file's name to make the picture anew."""
    lesson = open_lesson(LESSON, still=True, again=True)
    lesson.page.set_viewport_size({"width": 1366, "height": 768})
    if lesson.slider(SUN).is_disabled():
        predict(lesson)
    lesson.page.wait_for_timeout(1500)
    made = Path(os.environ.get("BENCH_PICTURE", tmp_path / "bench.png"))

    lesson.bench.screenshot(path=made)

    assert np.allclose(size(made), size(CHECKOUT / "lessons" / "pictures" / "bench.png"), rtol=0.1)


def size(picture: Path) -> tuple[int, int]:
    with Image.open(picture) as image:
        return image.size
