"""The rig of lesson 11 in a real page: a line set up by keyboard alone, and handed over.

Set PAGE_PICTURES to a folder to keep a picture of the whole page.
"""

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.conftest import PICTURE
from tests.browser.test_lessons import TALL, keep_picture, predict

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.browser.conftest import LessonPage

pytestmark = pytest.mark.browser

LESSON = "lessons/11_commissioning.ipynb"


def press(lesson: "LessonPage", name: str) -> None:
    """Press a button by keyboard, and wait for a line more in the log."""
    rig = lesson.page.locator(".labkit-rig")
    rows = rig.get_by_role("row")
    before = rows.count()
    rig.get_by_role("button", name=name).focus()
    lesson.page.keyboard.press("Enter")
    expect(rows).to_have_count(before + 1)


def come(open_lesson: "Callable[..., LessonPage]") -> tuple["LessonPage", Locator]:
    lesson = open_lesson(LESSON, wait_for=".labkit-rig")
    lesson.page.set_viewport_size(TALL)
    rig = lesson.page.locator(".labkit-rig")
    expect(rig).to_contain_text("Make your predictions first")
    expect(rig.get_by_label("My number")).to_be_disabled()
    predict(lesson)
    expect(rig.get_by_label("My number")).to_be_enabled()
    expect(rig).not_to_contain_text("Make your predictions first")
    rig.get_by_label("My number").press_sequentially("7")
    rig.get_by_label("My number").press("Enter")
    expect(rig.get_by_role("table")).to_contain_text("Came to the line")
    return lesson, rig


def test_a_line_is_set_up_by_keyboard(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson, rig = come(open_lesson)
    picture = rig.locator(PICTURE.split()[-1])
    before = picture.get_attribute("src")

    press(lesson, "Push the float at “elm” down")
    press(lesson, "Hang the shade cloth")
    press(lesson, "Hold the float at “elm” up")
    expect(picture).not_to_have_attribute("src", before or "")
    rig.get_by_label("Turn by").select_option("2 turns")
    press(lesson, "Range screw out")
    rig.get_by_label("Turn by").select_option("1/2 turn")
    for _ in range(3):
        press(lesson, "Range screw out")
    press(lesson, "Meter the contact")
    expect(rig.get_by_role("row").last).to_contain_text("closed")
    rig.get_by_label("Air of the empty tank").select_option("16\N{NO-BREAK SPACE}psi")
    press(lesson, "Drain the tank and set its air")
    press(lesson, "Take the shade cloth off")
    press(lesson, "Let the float at “elm” go")
    live = rig.locator(".labkit-status [aria-live=polite]").first
    expect(live).to_contain_text("settings tried: 1")

    rig.get_by_role("button", name="Hand the line over").focus()
    lesson.page.keyboard.press("Enter")

    expect(rig).to_contain_text("On the hazy day: good stop")
    expect(rig).to_contain_text("All together")
    keep_picture(lesson, LESSON)
    assert lesson.errors() == []
    assert lesson.complaints == []


def test_a_line_left_as_it_came_and_one_half_done(open_lesson: "Callable[..., LessonPage]") -> None:
    lesson, rig = come(open_lesson)

    press(lesson, "Hold the float at “elm” up")
    rig.get_by_role("button", name="Hand the line over").press("Enter")
    expect(rig).to_contain_text("go before you leave")
    rig.get_by_role("button", name="I am stuck: a hint").press("Enter")
    expect(rig).to_contain_text("The switch has tripped and every float is shut")
    press(lesson, "Let the float at “elm” go")
    rig.get_by_role("button", name="Hand the line over").press("Enter")

    expect(rig).to_contain_text("On the hazy day: won't stop")
    assert lesson.errors() == []
